package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/plan"
)

// jobFile is the argument of every command that reads a job.
type jobFile struct {
	File string `arg:"" help:"The job file (YAML); - reads standard input." predictor:"job"`
}

// made reads the job file and plans it. Notes on how things were read go to standard error.
func (s *session) made(f jobFile) (plan.Plan, error) {
	today, err := s.today()
	if err != nil {
		return plan.Plan{}, err
	}
	src, name, err := s.read(f.File)
	if err != nil {
		return plan.Plan{}, err
	}
	j, notes, err := intake.Job(name, src, today)
	if err != nil {
		return plan.Plan{}, err
	}
	if !s.Quiet {
		for _, n := range notes {
			fmt.Fprintf(s.Err, "%s:%d:%d: %s: %s\n", n.File, n.Line, n.Column, n.Field, n.Says)
		}
	}
	var planner plan.Planner
	p := planner.Make(j)
	return p, misfits(p, name, src)
}

// misfits gives what the file says and no stage can use its place in the file.
func misfits(p plan.Plan, name string, src []byte) error {
	var all intake.Faults
	for _, r := range p.Stages {
		placed, _ := intake.Placed(name, src, r.Faults())
		all = append(all, placed...)
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
	src, err = os.ReadFile(path)
	if os.IsNotExist(err) {
		return nil, path, exit{code: NotFound, err: fmt.Errorf("there is no file %s", path), hint: "Start one with `slabwright new " + path + "`."}
	}
	return src, path, err
}

type planCommand struct {
	jobFile
	Out      string `short:"o" help:"Folder for the sheets; else beside the job file, named after it." type:"path" placeholder:"DIR"`
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
	p, err := s.made(c.jobFile)
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
func unanswered(p plan.Plan) error {
	lacks := p.Unanswered()
	if len(lacks) == 0 {
		return nil
	}
	code := Missing
	for _, r := range p.Stages {
		if r.Fault != nil && len(r.Faults()) == 0 {
			code = Uncomputed
		}
	}
	return exit{code: code, err: fmt.Errorf("not answered yet:\n  %s", strings.Join(lacks, "\n  "))}
}

// summary prints the plan as a person reads it: the answers first, then what to mind, then what to measure next.
func (s *session) summary(p plan.Plan) {
	units := p.Job.Units
	fmt.Fprintln(s.Out, s.strong(p.Job.Title()))
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	for _, h := range p.Headlines() {
		fmt.Fprintf(w, "  %s\t%s\n", h.Says, h.Value.String(units))
	}
	w.Flush()
	fmt.Fprintf(s.Out, "  %s: %s\n", p.Trust(), p.TrustReason())
	if s.Quiet {
		return
	}
	s.verdicts(p)
	s.people(p.Checks())
	s.movers(p)
}

// verdicts prints what is wrong with what would mend it, then what to mind by question, one line each; what looks good is
// only counted.
func (s *session) verdicts(p plan.Plan) {
	good := 0
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
				fmt.Fprintf(s.Out, "  %s %-7s %s\n", shape(level), r.Name, c.Says)
				if level == check.Stop {
					s.then(c)
				}
			}
		}
	}
	for _, c := range p.Checks() {
		if c.Level == check.Good {
			good++
		}
	}
	fmt.Fprintf(s.Out, "\n%d checks look good. What would mend the others: slabwright levels, load, joints, order, day, price.\n", good)
}

// people prints the cautions about people, each hazard once.
func (s *session) people(checks []check.Check) {
	cautions := check.Cautions(checks)
	if len(cautions) == 0 {
		return
	}
	fmt.Fprintf(s.Out, "\n%s\n", s.strong("For people's sake (local code and a licensed engineer govern)"))
	for _, c := range cautions {
		if c.Level != check.Stop {
			fmt.Fprintf(s.Out, "  %s %s\n", shape(c.Level), c.Says)
		}
	}
}

func (s *session) then(c check.Check) {
	for _, then := range c.Then {
		fmt.Fprintf(s.Out, "      %s\n", then)
	}
}

// checks prints one stage's checks: what is wrong first, then what to mind; what looks good is only counted.
func (s *session) checks(checks []check.Check) {
	good := 0
	for _, level := range []check.Level{check.Stop, check.NotComputed, check.Care} {
		for _, c := range checks {
			if c.Level == level {
				fmt.Fprintf(s.Out, "  %s %s\n", shape(level), c.Says)
				s.then(c)
			}
		}
	}
	for _, c := range checks {
		if c.Level == check.Good {
			good++
		}
	}
	fmt.Fprintf(s.Out, "  %d checks look good, ", good)
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
	movers := p.Movers()
	if len(movers) == 0 {
		return
	}
	units := p.Job.Units
	fmt.Fprintf(s.Out, "\n%s (%d values assumed)\n", s.strong("Measure this next"), len(p.Guesses()))
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	for _, m := range movers[:min(5, len(movers))] {
		fmt.Fprintf(w, "  %s\t%s (%s to %s)\t%s\n", m.Says, m.Value.String(units), m.Low.String(units), m.High.String(units), m.Moves(units))
	}
	w.Flush()
}

// plain prints one figure a line: stage, name, number, unit, text.
func (s *session) plain(p plan.Plan) {
	for _, r := range p.Stages {
		s.plainFigures(r, p.Job.Units)
	}
}

func (s *session) plainFigures(r plan.Report, units quantity.System) {
	for _, f := range r.Figures() {
		number := ""
		if f.Value.Kind != quantity.AsText {
			number = fmt.Sprint(f.Value.In(units))
		}
		fmt.Fprintf(s.Out, "%s\t%s\t%s\t%s\t%s\n", r.Name, f.Name, number, f.Value.Unit(units), f.Value.String(units))
	}
	for _, c := range r.Checks {
		fmt.Fprintf(s.Out, "%s\tcheck %s\t%s\t\t%s\n", r.Name, c.ID, c.Level.Word(), c.Says)
	}
}
