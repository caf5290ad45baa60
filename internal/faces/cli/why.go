package cli

import (
	"fmt"
	"strings"

	"slabwright/internal/faces/speak"
	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/working"
)

type whyCommand struct {
	jobFile
	What string `arg:"" help:"A stage (order), a figure (order.yards) or a figure's name (yards)."`
	Deep bool   `help:"Follow values of other stages to their own working."`
}

// Help shows how it is used.
func (whyCommand) Help() string {
	return `Examples:
  slabwright why pad.yaml order           the whole calculation sheet of the order
  slabwright why pad.yaml order.yards     only what leads to that figure
  slabwright why pad.yaml thickness       any figure by its name`
}

// Run prints the working.
func (c whyCommand) Run(s *session) error {
	p, err := s.made(c.jobFile, deeper(plan.IsDeep(c.What))...)
	if err != nil {
		return err
	}
	r, steps, err := p.Why(c.What)
	if err != nil {
		return unknown(p, c.What)
	}
	if c.Deep {
		steps = p.Deep(r, steps)
	}
	if s.JSON {
		return s.printJSON(p.StepViews(steps))
	}
	t := speak.Of(p.Job)
	if s.Plain {
		for _, step := range steps {
			s.fields(append([]string{r.Name, step.Name}, t.Plain(step.Value)...)...)
		}
		return nil
	}
	fmt.Fprintf(s.Out, "%s\n%s\n\n", s.strong(p.Job.Title()), r.Question)
	for i, step := range steps {
		s.step(i+1, step, t)
	}
	return nil
}

// unknown says what may be asked instead of what.
func unknown(p plan.Plan, what string) error {
	what = strings.ToLower(strings.TrimSpace(what))
	if r, ok := p.Of(what); ok && !r.Answered() {
		return lacking([]plan.Report{r})
	}
	var names []string
	for _, r := range p.Stages {
		names = append(names, r.Name)
		for _, step := range r.Working.Steps {
			names = append(names, step.Name, r.Name+"."+step.Name)
		}
	}
	hint := "Ask for a stage (" + strings.Join(plan.Names(), ", ") + ") or one of its figures, like order.yards."
	if like := intake.Nearest(what, names); like != "" {
		hint = fmt.Sprintf("Did you mean %q? ", like) + hint
	}
	return exit{code: NotFound, err: fmt.Errorf("nothing here is called %q", what), hint: hint}
}

// step prints one line of a calculation sheet: what, formula, value, how it is known, source.
func (s *session) step(n int, step working.Step, t speak.Tongue) {
	name := step.Says
	if step.Symbol != "" {
		name += ", " + step.Symbol
	}
	value := t.Value(step.Value)
	if step.Figure {
		value = s.strong(value)
	}
	fmt.Fprintf(s.Out, "%3d  %s = %s\n", n, name, value)
	for _, line := range stepNotes(step, t) {
		fmt.Fprintf(s.Out, "     %s\n", line)
	}
}

func stepNotes(step working.Step, t speak.Tongue) []string {
	var lines []string
	if step.Formula != "" {
		lines = append(lines, "= "+step.Formula)
	}
	if len(step.From) > 0 && step.Origin == known.Missing {
		lines = append(lines, "from "+strings.Join(step.From, ", "))
	}
	switch step.Origin {
	case known.Said, known.Measured:
		line := string(step.Origin)
		if step.Typed != "" {
			line += ": `" + step.Typed + "`"
		}
		lines = append(lines, line)
	case known.Listed:
		lines = append(lines, "on "+step.Reason+": `"+step.Typed+"`")
	case known.Computed:
		lines = append(lines, "from "+step.Reason)
	case known.Assumed:
		line := "assumed: " + step.Reason
		if step.Low.SI != step.High.SI {
			line += " (could be " + t.Span(step.Low, step.High) + ")"
		}
		lines = append(lines, line)
	}
	if step.Source != "" {
		lines = append(lines, "source: "+step.Source.String())
	}
	return lines
}
