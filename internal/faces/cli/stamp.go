package cli

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/pour"
)

type pourCommand struct {
	jobFile
	What  []string `arg:"" optional:"" help:"What happened: truck here, struck off, sheen gone, bull floated, edged, grooved, floated, broomed, cured, sawn. Without it the board is shown."`
	Strip int      `help:"Which strip; without it the next one." placeholder:"N"`
	At    string   `help:"When, if not now: 7:42." placeholder:"TIME"`
	Undo  bool     `help:"Take the last stamp back, or the last of what is named."`
	All   bool     `help:"Show the whole board, not only what is next."`
}

// Help shows how it is used.
func (c pourCommand) Help() string {
	return `Examples:
  slabwright pour pad.yaml                          what is next, by the clock
  slabwright pour pad.yaml truck here               a truck is here now
  slabwright pour pad.yaml struck off --at 7:42     the next strip was struck off at 7:42
  slabwright pour pad.yaml sheen gone --strip 1
  slabwright pour pad.yaml --undo                   that was a slip
Stamps go to pad-taps.csv beside the job, each as it comes; a stamp taken back stays in the record. The rest of the day is worked out anew from what really happened.`
}

// mostNext is how many steps are shown unless all are asked for.
const mostNext = 8

// Run stamps what happened and shows the board from there.
func (c pourCommand) Run(s *session) error {
	o, err := s.open(c.jobFile)
	if err != nil {
		return err
	}
	o.job.Pour.Rehearse = known.Say(true)
	says := ""
	if len(c.What) > 0 || c.Undo {
		if o, says, err = c.stamp(s, o); err != nil {
			return err
		}
	}
	p, err := o.planned("pour")
	if err != nil {
		return err
	}
	r, _ := p.Of("pour")
	if s.JSON {
		return s.printJSON(map[string]plan.StageView{"pour": r.View(o.job.Units)})
	}
	result, _ := r.Result.(pour.Result)
	c.show(s, o, says, result)
	return lacking(p.Stages)
}

// stamp writes what happened, or takes it back, whole or not at all and only when the day can be worked out with it.
func (c pourCommand) stamp(s *session, o atHand) (atHand, string, error) {
	if c.File == "-" {
		return o, "", exit{code: WrongUsage, err: errors.New("a stamp is kept beside the job file, and standard input has no place"), hint: "Name the job file."}
	}
	what := strings.ToLower(strings.Join(c.What, " "))
	if what != "" && !slices.Contains(pour.TapWords(), what) {
		hint := "Stamps are: " + strings.Join(pour.TapWords(), ", ") + "."
		if like := intake.Nearest(what, pour.TapWords()); like != "" {
			hint = fmt.Sprintf("Did you mean %q? ", like) + hint
		}
		return o, "", exit{code: WrongUsage, err: fmt.Errorf("%q is not something that is stamped", what), hint: hint}
	}
	at, err := c.moment(o)
	if err != nil {
		return o, "", err
	}
	file := o.job.TapsFile
	if file == "" {
		file = beside(c.File, "-taps.csv")
	}
	path := intake.Beside(c.File, file)
	for {
		before, err := keptText(path)
		if err != nil {
			return o, "", err
		}
		stamps, err := intake.ReadStamps(path, before, intake.Reading{Units: o.job.Units, Zone: at.Location()})
		if err != nil {
			return o, "", err
		}
		says, err := c.apply(o, &stamps, at, what)
		if err != nil {
			return o, "", err
		}
		o.job.Pour.Team.Taps = stamps.Taps()
		if p, err := o.planned("pour"); err != nil || len(p.Stages) == 0 {
			return o, "", err
		} else if r, _ := p.Of("pour"); len(r.Faults()) > 0 {
			return o, "", r.Fault
		}
		now, err := keptText(path)
		if err != nil {
			return o, "", err
		}
		if !bytes.Equal(before, now) { // somebody else stamped meanwhile
			continue
		}
		if err := s.write(path, stamps.Text()); err != nil {
			return o, "", err
		}
		o, err = s.named(o, c.jobFile, [2]string{"taps_file", file})
		o.job.Pour.Rehearse = known.Say(true)
		return o, says, err
	}
}

// apply puts the stamp in the record and says it back.
func (c pourCommand) apply(o atHand, stamps *intake.Stamps, at time.Time, what string) (string, error) {
	if c.Undo {
		t, ok := stamps.TakeBack(at, what, c.Strip)
		if !ok {
			return "", exit{code: NotFound, err: errors.New("there is no such stamp to take back")}
		}
		return "taken back: " + stamped(t, o), nil
	}
	stamps.Add(at, what, c.Strip)
	return "stamped: " + stamped(pour.Tap{At: at, What: what, Strip: c.Strip}, o), nil
}

func stamped(t pour.Tap, o atHand) string {
	words := fmt.Sprintf("%s, %s", t.What, t.At.In(o.now.Location()).Format("Mon 15:04"))
	if o.job.Units == quantity.US {
		words = fmt.Sprintf("%s, %s", t.What, t.At.In(o.now.Location()).Format("Mon 3:04 pm"))
	}
	if t.Strip > 0 {
		words += fmt.Sprintf(", strip %d", t.Strip)
	}
	return words
}

// moment is when it happened: as said, on the day it is now, or now.
func (c pourCommand) moment(o atHand) (time.Time, error) {
	now := o.now.Truncate(time.Second)
	if c.At == "" {
		return now, nil
	}
	var clock quantity.Clock
	if _, err := clock.ReadText(c.At, quantity.Box{Name: "time"}); err != nil {
		return now, exit{code: WrongUsage, err: fmt.Errorf("--at %w", err), hint: "Type it like 7:42."}
	}
	at := almanac.OnClock(now, int(clock))
	if again := at.Add(time.Hour); again.Format("15:04") == at.Format("15:04") && !again.After(now) {
		at = again // the night the clocks go back: the last time they showed it
	}
	if at.After(now.Add(time.Minute)) {
		return now, exit{code: WrongUsage, err: fmt.Errorf("--at `%s` has not come yet; it is %s", c.At, almanac.Clock(now, o.job.Units)), hint: "Stamp it when it happens."}
	}
	return at, nil
}

// show prints where the day stands and what is next.
func (c pourCommand) show(s *session, o atHand, says string, r pour.Result) {
	if says != "" {
		fmt.Fprintln(s.Out, says)
	}
	day := r.Rehearsal
	if day == nil {
		s.checks(plan.Plan{Job: o.job}, slices.DeleteFunc(slices.Clone(r.Checks), func(k check.Check) bool { return k.Safety }))
		return
	}
	clock := func(t time.Time) string {
		if t.IsZero() {
			return ""
		}
		return almanac.Clock(t.In(o.now.Location()), o.job.Units)
	}
	fmt.Fprintf(s.Out, "%s: done by %s nine days in ten; something too late on %.0f of 100 days\n", s.strong(o.job.Title()), clock(day.EndP90), 100*float64(day.Late))
	if day.Stretch > 0 {
		fmt.Fprintf(s.Out, "  the set takes %.0f %% of the planned time, by the sheen\n", 100*day.Stretch)
	}
	rows := day.Next
	if c.All {
		rows = day.Board
	}
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "  from\tuntil\twhat\tstrip\thands\tdone by\t")
	for i, row := range rows {
		if i == mostNext && !c.All {
			break
		}
		remark := ""
		switch {
		case row.Done:
			remark = "done"
		case row.Late:
			remark = "TOO LATE"
		}
		fmt.Fprintf(w, "  %s\t%s\t%s\t%d\t%d\t%s\t%s\n", clock(row.From), clock(row.Until), row.Step, row.Strip, row.Hands, clock(row.Closes), remark)
	}
	w.Flush()
	if left := len(rows) - mostNext; left > 0 && !c.All {
		fmt.Fprintf(s.Out, "  and %d more: slabwright pour %s --all\n", left, c.File)
	}
}
