package cli

import (
	"fmt"
	"text/tabwriter"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/speak"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/plan"
)

// layouts prints what joints and steel weigh against each other: panels and layouts by their risk, and what could be laid in.
func (s *session) layouts(p plan.Plan) error {
	if r, ok := p.Of("steel"); ok && r.Answered() {
		s.reinforcement(p)
	}
	return s.panels(p)
}

// reinforcement prints what could be laid in, with weight and the shop's price of it.
func (s *session) reinforcement(p plan.Plan) {
	t := speak.Of(p.Job)
	fmt.Fprintf(s.Out, "\n%s\n", s.strong("What could be laid in"))
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "  what\tsteel each way\tweight\tmaterial\tdoes not")
	for _, o := range p.Results.Steel.Options {
		name := o.Name
		if o.Chosen {
			name += " (chosen)"
		}
		area := "none"
		if o.Area > 0 {
			area = t.Value(quantity.Show(o.Area, quantity.AsSteelArea))
		}
		fmt.Fprintf(w, "  %s\t%s\t%s\t%s\t%s\n", name, area, t.Value(quantity.Show(o.Weight, quantity.AsMass)), t.Value(quantity.Show(o.Cost, quantity.AsMoney)), o.DoesNot)
	}
	w.Flush()
}

// panels prints each panel's score and what the cure says of it, then the worst panel of the layouts that could be built instead.
func (s *session) panels(p plan.Plan) error {
	risks := p.LayoutRisks()
	if risks == nil {
		return nil
	}
	t := speak.Of(p.Job)
	side := func(l quantity.Length) string { return t.Value(quantity.Show(l, quantity.AsSide)) }
	small := func(l quantity.Length) string { return t.Value(quantity.Show(l, quantity.AsDeflection)) }
	fmt.Fprintf(s.Out, "\n%s\n", s.strong("How near each panel comes to cracking"))
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "  panel\tsize\tscore\tcrack index\tends lift\tjoint opens")
	for i, c := range risks[0].Panels {
		panel := p.Results.Joints.Panels[i]
		fmt.Fprintf(w, "  %d\t%s × %s\t%.2f\t%.2f\t%s\t%s\n", panel.Number, side(panel.Length), side(panel.Width), panel.Score, c.Index, small(c.Lift), small(c.Opening))
	}
	w.Flush()
	s.line("  ", fmt.Sprintf("Crack index: greatest tension over bending strength in four weeks, cut in time; care from %.1f. Lift: of a panel free of its weight.", cure.LateIndex))
	for _, l := range risks[1:] {
		c := l.Worst()
		s.line("  ", fmt.Sprintf("With layout: %s the worst is %s, crack index %.2f, ends lift %s.", l.Layout, c.Name, c.Index, small(c.Lift)))
	}
	return nil
}
