package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"text/tabwriter"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/speak"
	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// jobFile is the argument of every command that reads a job.
type jobFile struct {
	File string `arg:"" help:"The job file (YAML); - reads standard input." predictor:"job"`
}

// atHand is a job file as it was read.
type atHand struct {
	job  job.Job
	src  []byte
	name string
	now  time.Time // on the site's clock
}

// open reads the job file. Notes on how things were read go to standard error.
func (s *session) open(f jobFile) (o atHand, err error) {
	if o.src, o.name, err = s.read(f.File); err != nil {
		return o, err
	}
	if o.now, err = s.today(intake.ZoneIn(o.src)); err != nil {
		return o, err
	}
	lists, err := s.lists(f.File)
	if err != nil {
		return o, err
	}
	var notes []intake.Note
	if o.job, notes, err = intake.JobWith(o.name, o.src, o.now, intake.FilesBeside(o.name), lists); err != nil {
		return o, err
	}
	if !s.Quiet {
		for _, n := range notes {
			fmt.Fprintf(s.Err, "%s:%d:%d: %s: %s\n", n.File, n.Line, n.Column, n.Field, n.Says)
		}
	}
	return o, nil
}

// made reads the job file and plans it, only as far as the named stages need where any are named.
func (s *session) made(f jobFile, stages ...string) (plan.Plan, error) {
	o, err := s.open(f)
	if err != nil {
		return plan.Plan{}, err
	}
	return o.planned(stages...)
}

// played is the job with the day of its pour played through, unless somebody said not to.
func (o atHand) played() atHand {
	o.job.Pour.Rehearse = o.job.Pour.Rehearse.Or(known.Guess(true, "the sheets show the board", sources.OwnRule))
	return o
}

// planned plans the job.
func (o atHand) planned(stages ...string) (plan.Plan, error) {
	var planner plan.Planner
	p := planner.Ask(o.job, stages...)
	return p, misfits(p, o.name, o.src)
}

// deeper names all stages where the deep ones are wanted too, none otherwise.
func deeper(deep bool) []string {
	if deep {
		return plan.Names()
	}
	return nil
}

// misfits gives what the file says and no stage can use its place in the file.
func misfits(p plan.Plan, name string, src []byte) error {
	var all intake.Faults
	var faults check.Faults
	for _, r := range p.Stages {
		faults = append(faults, r.Faults()...)
	}
	if len(faults) > 0 {
		all, _ = intake.Placed(name, src, faults)
	}
	if len(all) > 0 {
		return all
	}
	return nil
}

func (s *session) read(path string) (src []byte, name string, err error) {
	if path == "-" {
		src, err = intake.All(s.In)
		return src, "standard input", err
	}
	src, err = intake.File(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, path, exit{code: NotFound, err: fmt.Errorf("there is no file %s", path), hint: "Start one with `slabwright new " + path + "`."}
	}
	return src, path, err
}

type planCommand struct {
	jobFile
	Out      string `short:"o" help:"Folder for the sheets; else beside the job file, named after it." placeholder:"DIR"`
	Deep     bool   `help:"Also work out hold and backing, which take seconds."`
	NoSheets bool   `help:"Do not write sheets."`
	DryRun   bool   `help:"Say which files would be written, write none."`
}

// Help shows how it is used.
func (planCommand) Help() string {
	return `Examples:
  slabwright plan pad.yaml                 summary here, sheets in pad-sheets/
  slabwright plan pad.yaml --json          the whole plan as one JSON object, no sheets
  slabwright plan pad.yaml --no-sheets -q  the headline only`
}

// Run plans the job and writes its sheets.
func (c planCommand) Run(s *session) error {
	o, err := s.open(c.jobFile)
	if err != nil {
		return err
	}
	if !c.NoSheets {
		o = s.photographed(o)
	}
	p, err := o.played().planned(deeper(c.Deep)...)
	if err != nil {
		return err
	}
	if s.JSON {
		if err := s.printJSON(p.View()); err != nil {
			return err
		}
		if c.Out == "" || c.NoSheets {
			return unanswered(p)
		}
	} else if s.Plain {
		s.plain(p)
	} else {
		s.summary(p)
	}
	if !c.NoSheets && !(s.Plain && c.Out == "") {
		if err := s.writeSheets(p, c.folder(), c.DryRun); err != nil {
			return err
		}
	}
	return unanswered(p)
}

func (c planCommand) folder() string { return sheetFolder(c.File, c.Out) }

// sheetFolder is the folder the sheets go to: as asked, or beside the job file and named after it.
func sheetFolder(file, out string) string {
	if out != "" {
		return out
	}
	if file == "-" {
		return "slab-sheets"
	}
	return strings.TrimSuffix(file, filepath.Ext(file)) + "-sheets"
}

// unanswered turns a stage that lacks something into the exit code for it.
func unanswered(p plan.Plan) error { return lacking(p.Stages) }

// summary prints the plan as a person reads it: the answers first, then what to mind, then what to measure next.
func (s *session) summary(p plan.Plan) {
	fmt.Fprintln(s.Out, s.strong(p.Job.Title()))
	s.rows(append(p.Headlines(), firmness(p)), speak.Of(p.Job).Headline)
	if s.Quiet {
		return
	}
	s.verdicts(p)
	s.people(p)
	s.movers(p)
}

// firmness is how far the plan may be relied on, as one more answer.
func firmness(p plan.Plan) working.Step {
	return working.Step{Says: "how firm this is", Value: quantity.Words(string(p.Trust()) + "; " + p.TrustReason())}
}

// verdicts prints what is wrong with what would mend it, then what to mind by question, one line each; what looks good is
// only counted.
func (s *session) verdicts(p plan.Plan) {
	for _, level := range []check.Level{check.Stop, check.Care} {
		heading := false
		for _, r := range p.Stages {
			for _, c := range r.Checks {
				if c.Level != level || (c.Safety && level == check.Care) {
					continue
				}
				if !heading {
					fmt.Fprintf(s.Out, "\n%s\n", s.strong(sentence(level.String())))
					heading = true
				}
				s.line(fmt.Sprintf("  %s %-7s ", shape(level), r.Name), speak.Of(p.Job).Says(c.Says))
				if level == check.Stop {
					s.then(p, c, 12)
				}
			}
		}
	}
	fmt.Fprintf(s.Out, "\n%s good. What would mend the others: slabwright levels, load, joints, order, day, price.\n",
		counted(levelled(p.Checks(), check.Good), "check looks", "checks look"))
}

// people prints the cautions about people, each hazard once.
func (s *session) people(p plan.Plan) {
	cautions := check.Cautions(p.Checks())
	if len(cautions) == 0 {
		return
	}
	fmt.Fprintf(s.Out, "\n%s\n", s.strong("For people's sake (local code and a licensed engineer govern)"))
	for _, c := range cautions {
		if c.Level != check.Stop {
			s.line("  "+shape(c.Level)+" ", c.Says)
		}
	}
}

// line prints a sentence after its lead, broken to the terminal's width under itself.
func (s *session) line(lead, text string) {
	fmt.Fprintln(s.Out, lead+broken(text, len([]rune(lead)), s.Width))
}

func (s *session) then(p plan.Plan, c check.Check, indent int) {
	for _, then := range c.Then {
		s.line(strings.Repeat(" ", indent), speak.Of(p.Job).Says(then))
	}
}

// checks prints one stage's checks: what is wrong first, then what to mind; what looks good is not listed.
func (s *session) checks(p plan.Plan, checks []check.Check) {
	for _, level := range []check.Level{check.Stop, check.NotComputed, check.Care} {
		for _, c := range checks {
			if c.Level == level {
				s.line("  "+shape(level)+" ", speak.Of(p.Job).Says(c.Says))
				s.then(p, c, 6)
			}
		}
	}
}

func sentence(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// shape marks a level without colour: octagon, triangle, circle.
func shape(l check.Level) string {
	switch l {
	case check.Stop:
		return "⬣"
	case check.Care:
		return "▲"
	case check.Good:
		return "●"
	}
	return "○"
}

// movers prints the guesses that move the answer most: what to measure next.
func (s *session) movers(p plan.Plan) {
	s.progress("Asking each guess what it moves")
	movers := p.Movers()
	if len(movers) == 0 {
		return
	}
	t := speak.Of(p.Job)
	fmt.Fprintf(s.Out, "\n%s (%s assumed)\n", s.strong("Measure this next"), counted(len(p.Guesses()), "value", "values"))
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	for _, m := range movers[:min(5, len(movers))] {
		fmt.Fprintf(w, "  %s\t%s (%s)\t%s\n", m.Says, t.Value(m.Value), t.Span(m.Low, m.High), t.Says(m.Moves(t.Units)))
		fmt.Fprintf(w, "    %s, %s\t%s\t\n", m.Effort.How, t.Value(quantity.Show(m.Effort.Time, quantity.AsMinutes)), t.Worth(m))
	}
	w.Flush()
}

// plain prints one figure a line: stage, name, number, unit, text.
func (s *session) plain(p plan.Plan) {
	for _, r := range p.Stages {
		s.plainFigures(r, speak.Of(p.Job))
	}
}

func (s *session) plainFigures(r plan.Report, t speak.Tongue) {
	for _, f := range r.Figures() {
		s.fields(append([]string{r.Name, f.Name}, t.Plain(f.Value)...)...)
	}
	for _, c := range r.Checks {
		s.fields(r.Name, "check "+string(c.ID), c.Level.Word(), "", t.Says(c.Says))
	}
}

// fields prints one line for scripts: fields with tabs between, none of them with a tab or line break inside.
func (s *session) fields(fields ...string) {
	for i, f := range fields {
		fields[i] = strings.Join(strings.Fields(f), " ")
	}
	fmt.Fprintln(s.Out, strings.Join(fields, "\t"))
}
