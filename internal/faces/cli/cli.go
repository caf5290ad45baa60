// Package cli is the command line: it parses, calls and prints. No rule of the trade lives here.
package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"time"

	"github.com/alecthomas/kong"
	"github.com/posener/complete"
	"github.com/willabides/kongplete"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/check"
)

// Version is set when a release is built.
var Version = "0.1"

// World is everything outside the program that a command may touch.
type World struct {
	In       io.Reader
	Out, Err io.Writer
	Now      func() time.Time
	Getenv   func(string) string
	Colour   bool // Out is a terminal that shows colour
	Terminal bool // In is a terminal: prompting is allowed
	ErrTerm  bool // Err is a terminal: progress may be drawn
}

// System is the world the program really runs in.
func System() World {
	return World{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Now: time.Now, Getenv: os.Getenv,
		Colour:   isTerminal(os.Stdout) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb",
		Terminal: isTerminal(os.Stdin), ErrTerm: isTerminal(os.Stderr)}
}

func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// The exit codes.
const (
	Done        = 0
	Failed      = 1
	WrongUsage  = 2
	AnsweredNo  = 3
	Missing     = 4
	NotFound    = 5
	Uncomputed  = 7
	Interrupted = 130
)

// exit is an error that knows its exit code. A nil err prints nothing.
type exit struct {
	code int
	err  error
	hint string
}

func (e exit) Error() string {
	if e.err == nil {
		return fmt.Sprintf("exit %d", e.code)
	}
	return e.err.Error()
}

func (e exit) Unwrap() error { return e.err }

// Globals are the options every command takes.
type Globals struct {
	JSON    bool   `help:"Print one JSON object for scripts." group:"Output"`
	Plain   bool   `help:"Print tab-separated lines for scripts." group:"Output"`
	NoColor bool   `help:"No colour; also when NO_COLOR is set." group:"Output"`
	Quiet   bool   `short:"q" help:"Print the answer only." group:"Output"`
	AsOf    string `help:"Plan as of this day (2027-06-17) instead of today: same input, same output." placeholder:"DATE" group:"Output"`
}

// Commands is the whole command line.
type Commands struct {
	Globals
	Version kong.VersionFlag `help:"Print the version."`

	New    newCommand    `cmd:"" help:"Start a job file from three numbers."`
	Size   sizeCommand   `cmd:"" help:"How many yards for a size like 14x40x6in?"`
	Plan   planCommand   `cmd:"" help:"Work out the whole plan of a job and write its sheets."`
	Sheets sheetsCommand `cmd:"" help:"Write a job's sheets only."`
	Why    whyCommand    `cmd:"" help:"Show how a number was worked out."`
	Levels askCommand    `cmd:"" help:"Where does the water go, and how deep do we dig?"`
	Load   askCommand    `cmd:"" help:"How thick, will it hold, and when may it be loaded?"`
	Joints askCommand    `cmd:"" help:"Where do joints, bars and boards go?"`
	Order  askCommand    `cmd:"" help:"What do we order: yards, mix, trucks?"`
	Day    askCommand    `cmd:"" help:"Pour on that day? Exit code 3 means don't."`
	Price  askCommand    `cmd:"" help:"What does it cost, what do we charge?"`
	Stage  stageCommand  `cmd:"" help:"Run one stage alone: input on standard input, result as JSON."`
	Verify verifyCommand `cmd:"" help:"Run the published checks on this machine."`
	Source sourceCommand `cmd:"" name:"sources" help:"List every source the program cites."`
	Schema schemaCommand `cmd:"" help:"Print the JSON Schema of a job file."`

	Completion kongplete.InstallCompletions `cmd:"" help:"Print how to switch on shell completion."`
}

const about = `Plans an outdoor concrete slab: three numbers or a full survey in, every decision out, explained.

Examples:
  slabwright size 14x40x6in
  slabwright new pad.yaml --length "40 ft" --width "14 ft" --thickness 6in
  slabwright plan examples/boathouse-apron.yaml
  slabwright why examples/boathouse-apron.yaml order
  slabwright day examples/bakery-court.yaml
  slabwright verify

Exit codes: 0 done, 1 failed, 2 wrong usage, 3 answered no, 4 input missing, 5 not found, 7 could not compute.`

// Main runs one command line and returns its exit code.
func Main(args []string, w World) int {
	var commands Commands
	parser := kong.Must(&commands, kong.Name("slabwright"), kong.Description(about), kong.Vars{"version": "slabwright " + Version},
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, NoExpandSubcommands: true}), kong.Writers(w.Out, w.Err),
		kong.Exit(func(code int) { panic(stopped(code)) }))
	kongplete.Complete(parser, kongplete.WithPredictor("job", complete.PredictFiles("*.yaml")))
	return run(parser, &commands, args, w)
}

// stopped is how kong's own exits (help, version) come back here.
type stopped int

func run(parser *kong.Kong, commands *Commands, args []string, w World) (code int) {
	defer func() {
		if p := recover(); p != nil {
			early, ok := p.(stopped)
			if !ok {
				panic(p)
			}
			code = int(early)
		}
	}()
	if len(args) == 0 {
		args = []string{"--help"}
	}
	if len(args) > 0 && args[0] == "help" {
		args = append(args[1:], "--help")
	}
	ctx, err := parser.Parse(args)
	if err != nil {
		return tell(w, usage(err, args))
	}
	interrupted := make(chan os.Signal, 1)
	signal.Notify(interrupted, os.Interrupt)
	done := make(chan error, 1)
	go func() {
		defer func() {
			if p := recover(); p != nil {
				done <- fmt.Errorf("a mistake in the program: %v", p)
			}
		}()
		done <- ctx.Run(&session{World: w, Globals: &commands.Globals, command: ctx.Command()})
	}()
	select {
	case err = <-done:
	case <-interrupted:
		return Interrupted
	}
	return tell(w, err)
}

func usage(err error, args []string) error {
	hint := "slabwright --help"
	if len(args) > 0 && !strings.HasPrefix(args[0], "-") && !strings.HasPrefix(err.Error(), "unexpected argument "+args[0]) {
		hint = "slabwright " + args[0] + " --help"
	}
	return exit{code: WrongUsage, err: err, hint: "See `" + hint + "`."}
}

// tell prints an error once, in words, and gives its exit code.
func tell(w World, err error) int {
	if err == nil {
		return Done
	}
	known := classify(err)
	if known.err != nil {
		fmt.Fprintln(w.Err, "slabwright: "+known.err.Error())
	}
	if known.hint != "" {
		fmt.Fprintln(w.Err, known.hint)
	}
	return known.code
}

// classify gives each kind of error its exit code.
func classify(err error) exit {
	var known exit
	var inFile intake.Faults
	var faults check.Faults
	switch {
	case errors.As(err, &known):
		return known
	case errors.As(err, &inFile):
		return exit{code: WrongUsage, err: fmt.Errorf("%d to mend\n%w", len(inFile), err)}
	case errors.As(err, &faults):
		return exit{code: Missing, err: err}
	case errors.Is(err, os.ErrNotExist):
		return exit{code: NotFound, err: err}
	}
	return exit{code: Failed, err: err}
}

// session is one running command.
type session struct {
	World
	*Globals
	command string
}

// today is the day the plan is made: --as-of, or the clock.
func (s *session) today() (time.Time, error) {
	if s.AsOf == "" {
		return s.Now(), nil
	}
	t, err := time.Parse("2006-01-02", s.AsOf)
	if err != nil {
		return t, exit{code: WrongUsage, err: fmt.Errorf("--as-of `%s` is not a day", s.AsOf), hint: "Type it like 2027-06-17."}
	}
	return t, nil
}

func (s *session) colour() bool { return s.Colour && !s.NoColor && !s.Plain && !s.JSON }

// strong marks text on a terminal.
func (s *session) strong(text string) string {
	if !s.colour() {
		return text
	}
	return "\x1b[1m" + text + "\x1b[0m"
}

// unitsOf reads a system's name.
func unitsOf(text string) (quantity.System, error) {
	var u quantity.System
	_, err := u.ReadText(text, quantity.Box{Name: "units"})
	return u, err
}
