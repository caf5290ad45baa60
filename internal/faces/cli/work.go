package cli

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"syscall"
	"text/tabwriter"
	"time"

	"slabwright/internal/faces/api"
	"slabwright/internal/faces/serve"
)

type workCommand struct {
	Kept
	AtOnce    int           `help:"How many works it does at once." default:"1" placeholder:"N"`
	LostAfter time.Duration `help:"How long another worker may be silent before its works are taken over." default:"15s" placeholder:"TIME"`
}

// Help shows how it is used.
func (workCommand) Help() string {
	return `Takes long works (real panels, backing in, ranking guesses, price risk, weather, packs of sheets) that servers
on the same jobs were asked for. Start as many as you like, on any machines; end any of them at any time.

Examples:
  slabwright work --store postgres://shop@db.example:5432/shop --at-once 2
  slabwright work --file shop.db            beside slabwright serve --file shop.db --no-works, on the same machine
  slabwright works --file shop.db           who works on what
End it with Ctrl-C: what is going on has ten seconds to end, then others go on with it.`
}

// Run does works until it is interrupted.
func (c workCommand) Run(s *session) error {
	if c.AtOnce < 1 || c.AtOnce > mostAtOnce {
		return exit{code: WrongUsage, err: fmt.Errorf("--at-once %d: one process does 1 to %d works at once", c.AtOnce, mostAtOnce), hint: "Start more processes for more."}
	}
	if c.LostAfter < time.Second {
		return exit{code: WrongUsage, err: fmt.Errorf("--lost-after %s: a busy worker is silent for longer than that", c.LostAfter), hint: "Type a second or more, like 15s."}
	}
	where, err := c.where(s)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	s.writing.Lock() // an interrupt waits until what is going on has ended or is handed back
	defer s.writing.Unlock()
	w, err := serve.Work(ctx, serve.Options{Store: where, Now: s.Now, Edition: edition(), AtOnce: c.AtOnce, Lost: c.LostAfter, Log: slog.New(slog.NewTextHandler(s.Err, nil))})
	if err != nil {
		return exit{code: Failed, err: err}
	}
	if !s.Quiet {
		fmt.Fprintf(s.Err, "Doing the long works of %s. End with Ctrl-C.\n", w.Store)
	}
	<-ctx.Done()
	if err := w.Close(); err != nil {
		return exit{code: Failed, err: err}
	}
	return nil
}

// mostAtOnce is how many works one process may do at once: each keeps a processor busy.
const mostAtOnce = 64

// edition names the program as built: only the same one reads what long works found. Builds of one state of the source are the same.
func edition() string {
	name := Version
	if built, ok := debug.ReadBuildInfo(); ok {
		for _, s := range built.Settings {
			if s.Key == "vcs.revision" {
				name += "-" + s.Value[:min(10, len(s.Value))]
			}
			if s.Key == "vcs.modified" && s.Value == "true" {
				name += "-changed"
			}
		}
	}
	return name
}

type worksCommand struct{ Kept }

// Help shows how it is used.
func (worksCommand) Help() string {
	return `Examples:
  slabwright works                          of the jobs in your data folder
  slabwright works --store postgres://shop@db.example:5432/shop --json`
}

// Run lists workers and works.
func (c worksCommand) Run(s *session) error {
	where, err := c.where(s)
	if err != nil {
		return err
	}
	ctx := context.Background()
	w, err := serve.Work(ctx, serve.Options{Store: where, Now: s.Now, Edition: edition(), Log: slog.New(slog.DiscardHandler)})
	if err != nil {
		return exit{code: Failed, err: err}
	}
	shop, err := w.Workshop(ctx)
	if err = errors.Join(err, w.Close()); err != nil {
		return exit{code: Failed, err: err}
	}
	if s.JSON {
		return s.printJSON(shop)
	}
	s.workshop(shop)
	return nil
}

func (s *session) workshop(shop api.Workshop) {
	if s.Plain {
		for _, one := range shop.Workers {
			fmt.Fprintf(s.Out, "worker\t%s\t%s\t%d\t%s\t%s\n", one.ID, one.Version, one.AtOnce, one.Seen.Format(time.RFC3339), strings.Join(one.Doing, " "))
		}
		for _, one := range shop.Works {
			fmt.Fprintf(s.Out, "work\t%s\t%s\t%s\t%.0f\t%s\t%s\n", one.Job, one.ID, one.Question, one.Percent, one.State, one.Says)
		}
		return
	}
	table := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	if len(shop.Workers) == 0 {
		fmt.Fprintln(table, "Nobody does long works. Start one: slabwright work, or slabwright serve without --no-works.")
	}
	for _, one := range shop.Workers {
		doing := "free"
		if len(one.Doing) > 0 {
			doing = "on " + strings.Join(one.Doing, ", ")
		}
		fmt.Fprintf(table, "%s\t%s\tseen %s ago\n", one.ID, doing, max(0, s.Now().Sub(one.Seen)).Round(time.Second))
	}
	for _, one := range shop.Works {
		state := one.State
		if state == "working" {
			state = fmt.Sprintf("working, %.0f %%", one.Percent)
		}
		about := one.Job
		if about == "" {
			about = one.Day
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\n", one.Question, about, state, one.Says)
	}
	table.Flush()
}
