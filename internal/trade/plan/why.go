package plan

import (
	"fmt"
	"strings"

	"slabwright/internal/trade/working"
)

// Why finds the working behind what: a stage's whole sheet ("order"), one figure ("order.yards") or a figure by its bare
// name ("yards"). The error says what can be asked.
func (p Plan) Why(what string) (Report, []working.Step, error) {
	what = strings.ToLower(strings.TrimSpace(what))
	if r, ok := p.Of(what); ok {
		if !r.Answered() {
			return r, nil, fmt.Errorf("%s has no answer yet: %s", what, p.lack(r))
		}
		return r, r.Working.Steps, nil
	}
	stage, name, dotted := strings.Cut(what, ".")
	for _, r := range p.Stages {
		if dotted && r.Name != stage {
			continue
		}
		if !dotted {
			name = what
		}
		if _, ok := r.Working.Find(name); ok {
			return r, r.Working.Behind(name), nil
		}
	}
	return Report{}, nil, fmt.Errorf("nothing here is called %q; ask for a stage (%s) or one of its figures, like %s",
		what, strings.Join(Names(), ", "), strings.Join(p.someFigures(), ", "))
}

func (p Plan) lack(r Report) string {
	if r.Fault != nil {
		return r.Fault.Error()
	}
	return "it waits for " + strings.Join(r.Waits, ", ")
}

func (p Plan) someFigures() []string {
	var names []string
	for _, h := range headlines {
		if _, ok := p.Figure(h); ok {
			names = append(names, h)
		}
	}
	return names
}

// Deep adds before each value that another stage worked out the steps behind it, the whole chain down to what a person
// said or the program assumed. Each step stands once, under its stage's name.
func (p Plan) Deep(r Report, steps []working.Step) []working.Step {
	d := &chain{plan: p, seen: map[string]bool{}}
	d.add(r.Name, steps)
	return d.out
}

type chain struct {
	plan Plan
	seen map[string]bool
	out  []working.Step
}

func (c *chain) add(stage string, steps []working.Step) {
	for _, step := range steps {
		full := stage + "." + step.Name
		if c.seen[full] {
			continue
		}
		c.seen[full] = true
		for _, from := range step.From {
			other, name, dotted := strings.Cut(from, ".")
			if report, ok := c.plan.Of(other); dotted && ok {
				c.add(other, report.Working.Behind(name))
			}
		}
		step.Name = full
		c.out = append(c.out, step)
	}
}

// StepViews are steps of the plan as scripts read them.
func (p Plan) StepViews(steps []working.Step) []StepView {
	views := make([]StepView, len(steps))
	for i, s := range steps {
		views[i] = p.manner().step(s)
	}
	return views
}

// headlines are the answers that stand at the top, in the order a foreman asks.
var headlines = []string{"order.yards", "slab.thickness", "price.price", "pour.verdict", "cure.trailer", "joints.panels", "steel.grid", "grade.least_slope", "order.trucks", "access.method"}

// Headlines are the plan's first answers, those that could be worked out.
func (p Plan) Headlines() []working.Step {
	var out []working.Step
	for _, name := range headlines {
		if step, ok := p.Figure(name); ok {
			out = append(out, step)
		}
	}
	return out
}
