package plan

import (
	"fmt"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/steel"
)

// LayoutRisk is how near the panels of one joint layout come to cracking, lifting and opening, as the cure works it out.
type LayoutRisk struct {
	Layout string            `json:"layout"` // best, second or third
	Panels []cure.PanelCrack `json:"panels"` // in the order of the layout's panels
}

// Worst is the panel that comes nearest to cracking.
func (l LayoutRisk) Worst() cure.PanelCrack {
	worst := l.Panels[0]
	for _, c := range l.Panels[1:] {
		if c.Index > worst.Index {
			worst = c
		}
	}
	return worst
}

// LayoutRisks asks the cure of the layout as planned, then of those that could be built instead. Nil where joints or cure have not
// answered.
func (p Plan) LayoutRisks() []LayoutRisk {
	of, ok := p.Of("cure")
	joined, cut := p.Of("joints")
	if !ok || !cut || !of.Answered() || !joined.Answered() {
		return nil
	}
	return layoutRisks(of.Input.(cure.Input), joined.Result.(joints.Result))
}

func layoutRisks(in cure.Input, r joints.Result) []LayoutRisk {
	var out []LayoutRisk
	add := func(layout string, panels []joints.Panel) {
		in.Panels = curePanels(panels, r.Outline)
		if cracks, err := cure.Cracks(in); err == nil && len(panels) > 0 {
			out = append(out, LayoutRisk{layout, cracks})
		}
	}
	add(r.Layout, r.Panels)
	for _, a := range r.Alternatives {
		add(a.Name, a.Panels)
	}
	return out
}

// amendPictures writes on one stage's pictures what only the plan knows: the risk of each panel, the shop's money.
func (p *Plan) amendPictures() {
	sign := p.Job.Currency
	for i, r := range p.Stages {
		if _, ok := r.Result.(steel.Result); ok {
			p.Stages[i].amend = func(pictures []drawing.Picture) { inCurrency(pictures, sign) }
		}
	}
	p.tellRisks()
}

// inCurrency shows the money in the tables with the shop's own sign.
func inCurrency(pictures []drawing.Picture, sign string) {
	for _, pic := range pictures {
		for _, row := range pic.Table.Rows {
			for i, cell := range row {
				row[i] = quantity.InCurrency(cell, sign)
			}
		}
	}
}

// tellRisks writes what the cure says of each panel beside its score on the joint plans.
func (p *Plan) tellRisks() {
	of, ok := p.Of("cure")
	if !ok || !of.Answered() {
		return
	}
	units := p.Job.Units
	for i, r := range p.Stages {
		if result, ok := r.Result.(joints.Result); ok {
			p.Stages[i].amend = func(pictures []drawing.Picture) {
				for _, l := range layoutRisks(of.Input.(cure.Input), result) {
					l.write(pictures, units, l.Layout == result.Layout)
				}
			}
		}
	}
}

// write adds the risks to the table of the layout's drawing, which names its panels by number.
func (l LayoutRisk) write(pictures []drawing.Picture, units quantity.System, chosen bool) {
	name := "joint-plan"
	if !chosen {
		name += "-" + l.Layout
	}
	for i := range pictures {
		t := &pictures[i].Table
		if pictures[i].Name != name || len(t.Header) == 0 {
			continue
		}
		next := 0
		t.Header = append(t.Header, "crack index, lift")
		for k, row := range t.Rows {
			cell := ""
			if (!chosen || row[0] == "panel") && next < len(l.Panels) {
				c := l.Panels[next]
				cell = fmt.Sprintf("%.2f, %s", c.Index, quantity.Show(c.Lift, quantity.AsDeflection).String(units))
				next++
			}
			t.Rows[k] = append(row, cell)
		}
	}
}
