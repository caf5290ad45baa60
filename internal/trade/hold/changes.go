package hold

import (
	"cmp"
	"context"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/plate"
	"slabwright/internal/engines/quantity"
)

// Changes looked at: thicker by a step, edges thicker by two steps over a width, pads under jacks.
var (
	edgeMore  = 2.0 // steps
	edgeWidth = 0.6 // m, with the taper taken as full thickness
	widePad   = quantity.Inches(18)
)

func inch(units quantity.System) quantity.Length {
	if units == quantity.Metric {
		return quantity.Millimetres(25)
	}
	return quantity.Inches(1)
}

// changes solves the worst cases again with one thing built otherwise, and tells what the worst of them then uses.
func (m *model) changes(ctx context.Context, p *plates, worst []Case) ([]Change, error) {
	offers := m.offers(worst)
	out := make([]Change, len(offers))
	err := atOnce(len(offers), func(i int) (err error) {
		out[i] = Change{Name: offers[i].name, Says: offers[i].says}
		out[i].Utilisation, _, err = use(ctx, &built{m: offers[i].changed, from: p}, worst)
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// thickerBy is the change to a slab a step thicker, off the ladder.
func (m *model) thickerBy(step quantity.Length, rungs []Rung) (Change, bool) {
	for _, r := range rungs {
		if same(r.Thickness, m.in.Thickness.Value+step) {
			return Change{Name: "thicker", Says: show(step, m.in.Units) + " more concrete", Utilisation: r.Utilisation}, true
		}
	}
	return Change{}, false
}

// gravest are the cases that use most, worst first: those that a change could make the worst.
func gravest(cases []Case) []Case {
	worst := slices.Clone(cases)
	slices.SortStableFunc(worst, func(a, b Case) int { return cmp.Compare(b.Utilisation, a.Utilisation) })
	return worst[:min(len(worst), 3)]
}

// mayRise is how much more than now a lesser case may use under a change that is meant to help: it is left out if even then
// it would not be the worst.
const mayRise = 1.1

// use is what the worst of some cases, worst first, uses on a slab built otherwise, and the tension of the first over what it
// was.
func use(ctx context.Context, b *built, cases []Case) (most, first float64, err error) {
	for i, c := range cases {
		if i > 0 && mayRise*c.Utilisation <= most {
			continue
		}
		ratio, err := b.rough(ctx, c)
		if err != nil {
			return 0, 0, err
		}
		if i == 0 {
			first = ratio
		}
		most = math.Max(most, c.Utilisation*ratio)
	}
	return most, first, nil
}

type offer struct {
	name, says string
	changed    *model
}

func (m *model) offers(worst []Case) []offer {
	copied := func(change func(*model)) *model {
		c := *m
		change(&c)
		return &c
	}
	step, units := inch(m.in.Units), m.in.Units
	out := []offer{
		{"thick edges", "free edges " + show(quantity.Length(edgeMore)*step, units) + " thicker", copied(func(c *model) {
			c.slab.Thickenings = m.strips(m.slab.Thickness + edgeMore*step.Metres())
		})},
	}
	if len(m.joints) > 0 && m.in.DowelStiffness.Given() && m.in.DowelStiffness.Value > m.in.JointStiffness.Value {
		out = append(out, offer{"dowels", "dowels across the joints", copied(func(c *model) { c.setJoints(float64(m.in.DowelStiffness.Value)) })})
	}
	if m.in.BetterSupport.Given() && m.in.BetterSupport.Value > m.in.SubgradeModulus.Value {
		out = append(out, offer{"better base", "more compacted stone", copied(func(c *model) {
			c.slab.Support = float64(m.in.BetterSupport.Value)
			c.setJoints(float64(c.in.JointStiffness.Value))
		})})
	}
	if slices.ContainsFunc(worst, func(c Case) bool { return c.spot.posts }) && m.narrowPads() {
		out = append(out, offer{"pads", show(widePad, units) + " pads under the jacks", copied(func(c *model) {
			c.in.Prints = slices.Clone(m.in.Prints)
			for i := range c.in.Prints {
				if p := &c.in.Prints[i]; p.Post {
					p.Along, p.Wide = max(p.Along, widePad), max(p.Wide, widePad)
				}
			}
			c.loads[1] = vehicleOf(c.in.Prints, true)
		})})
	}
	return out
}

func (m *model) narrowPads() bool {
	return slices.ContainsFunc(m.in.Prints, func(p Print) bool { return p.Post && p.Along < widePad })
}

// strips are the areas along the free edges that would be thicker.
func (m *model) strips(thickness float64) (out []plate.Thickening) {
	for _, e := range m.sides {
		in := e.Direction().Left().Scale(edgeWidth)
		out = append(out, plate.Thickening{Thickness: thickness, Area: polygon([]geometry.Point{e.A, e.B, e.B.Add(in), e.A.Add(in)})})
	}
	return out
}
