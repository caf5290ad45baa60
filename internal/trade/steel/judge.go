package steel

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
)

// judge says what a foreman would say about the steel.
func (r *Result) judge(in Input) {
	r.Check(check.Check{ID: "steel.purpose", Level: check.Good, Source: sources.WireNote,
		Says: "Steel does not prevent cracks and adds little strength; it holds a crack tight so that both sides keep carrying."})
	switch in.Kind.Value {
	case KindBars:
		r.Check(r.areaCheck(in), r.coverCheck(in), r.lapCheck(in), r.throughCheck(in), r.cuttingCheck(in))
		r.Check(r.staggerChecks(in)...)
		if len(r.Sold) > 0 {
			r.Check(r.stockCheck(in))
		}
	case KindMesh:
		r.Check(r.areaCheck(in), check.Check{ID: "steel.mesh-support", Level: check.Care, Source: sources.CommonPractice,
			Says: "Set mesh on chairs before the pour: pulling it up while placing leaves it on the base, where it is worth nothing.",
			Then: []string{"Flat sheets, not rolls: rolls lie curled.", fmt.Sprintf("Lap sheets one square and %s.", quantity.Show(quantity.Inches(2), quantity.AsDrop).String(in.Units))}})
	case KindFibre:
		r.Check(in.fibreCheck())
	}
	for _, d := range r.Dowels {
		r.Check(d.check(in))
	}
	if in.Kind.Value == KindBars || len(r.Dowels) > 0 {
		r.Check(check.Caution("steel.bar-ends", "Guard every bar end that stands up or sticks out where someone could fall on it; small plastic caps stop scratches, not a fall from height.",
			sources.BarEnds, "Bend the ends over, cover them with boards, or use caps with a steel plate."))
		r.Check(check.Caution("steel.lifting", "Two people carry a full-length bar, more carry a bundle; lift with the legs and wear gloves.", sources.LiftingLimit))
	}
}

func (r *Result) areaCheck(in Input) check.Check {
	return check.AtLeast("steel.drag", quantity.Show(r.Provided, quantity.AsSteelArea), quantity.Show(r.Needed, quantity.AsSteelArea), check.Care,
		fmt.Sprintf("%s each way is more than the %s that dragging the slab over its base asks for.", quantity.Show(r.Provided, quantity.AsSteelArea).String(in.Units), quantity.Show(r.Needed, quantity.AsSteelArea).String(in.Units)),
		fmt.Sprintf("%s each way is less than the %s that dragging the slab over its base asks for: a crack can open.", quantity.Show(r.Provided, quantity.AsSteelArea).String(in.Units), quantity.Show(r.Needed, quantity.AsSteelArea).String(in.Units)),
		sources.DragExample, "Bring bars closer, take a bigger size, or cut joints closer.")
}

// leastCover is the concrete over bars below which they rust and show. Source: common practice.
var leastCover = quantity.Inches(1.5)

func (r *Result) coverCheck(in Input) check.Check {
	shown := quantity.Show(r.cover(in), quantity.AsDrop)
	return check.AtLeast("steel.cover", shown, quantity.Show(leastCover, quantity.AsDrop), check.Care,
		fmt.Sprintf("Bars sit on %s chairs with %s of concrete over them.", quantity.Show(r.Chair, quantity.AsDrop).String(in.Units), shown.String(in.Units)),
		fmt.Sprintf("Only %s of concrete over the bars: they may show and rust.", shown.String(in.Units)),
		sources.CommonPractice, "Lower chairs, a thinner bar, or a thicker slab.")
}

func (r *Result) lapCheck(in Input) check.Check {
	_, structural, err := ClassBLap(in.splice(r.Grid.Diameter))
	c := check.Check{ID: "steel.lap", Level: check.Good, Source: sources.DevelopmentLength, Value: quantity.Show(r.Lap, quantity.AsDrop), Limit: quantity.Show(structural, quantity.AsDrop),
		Says: fmt.Sprintf("Laps are %s by the %s rule.", quantity.Show(r.Lap, quantity.AsDrop).String(in.Units), r.LapRule)}
	if err == nil && r.Lap < structural {
		c.Says += fmt.Sprintf(" A structural (class B) lap would be %s: shorter laps are for crack-control steel only.", quantity.Show(structural, quantity.AsDrop).String(in.Units))
		c.Source = sources.CommonPractice
	}
	return c
}

func (r *Result) throughCheck(in Input) check.Check {
	if in.Through.Value {
		return check.Check{ID: "steel.joints", Level: check.Care, Source: sources.DragExample,
			Says: "Bars run through the joints: the joints cannot open and cracks may come between them.",
			Then: []string{"Stop bars at the joints, or cut every second one there."}}
	}
	return check.Check{ID: "steel.joints", Level: check.Good, Source: sources.DragExample,
		Says: fmt.Sprintf("Bars stop %s short of every joint, so that it can open.", quantity.Show(in.JointGap.Value, quantity.AsDrop).String(in.Units))}
}

func (r *Result) cuttingCheck(in Input) check.Check {
	waste := 0.0
	bought := 0.0
	for _, row := range r.Cutting {
		waste += row.Offcut.Metres() * float64(row.Times)
		bought += row.Stick.Metres() * float64(row.Times)
	}
	c := check.Check{ID: "steel.cutting", Level: check.Good, Source: sources.Arithmetic, Value: quantity.Counted(r.Sticks),
		Says: fmt.Sprintf("%d sticks to buy; %s left over. No cutting plan needs less.", r.Sticks, quantity.Plain(waste/math.Max(bought, 1e-9), quantity.AsPercent).String(in.Units))}
	if !r.Proven {
		c.Says = fmt.Sprintf("%d sticks to buy; %s left over. The cutting plan is the best found, not proven the best.", r.Sticks, quantity.Plain(waste/math.Max(bought, 1e-9), quantity.AsPercent).String(in.Units))
	}
	return c
}

// staggerChecks warns where laps of neighbouring bars cannot be staggered by a lap.
func (r *Result) staggerChecks(in Input) []check.Check {
	worst := quantity.Length(0)
	lapped := false
	for _, b := range r.Bars {
		if b.Pieces == 2 {
			lapped = true
			list, err := in.pieces(b, r.Lap)
			if err != nil || len(list) != 2 {
				continue
			}
			apart := quantity.Length(math.Abs(float64(list[0]-list[1])) * in.Units.CutStep())
			if apart < r.Lap && (worst == 0 || apart < worst) {
				worst = max(apart, quantity.Millimetres(0.1))
			}
		}
	}
	if !lapped {
		return nil
	}
	if worst > 0 {
		return []check.Check{{ID: "steel.stagger", Level: check.Care, Source: sources.CommonPractice,
			Says: "Turning every second bar round moves its lap less than a lap from its neighbour's.",
			Then: []string{"Cut a third piece into every second bar, or buy longer sticks."}}}
	}
	return []check.Check{{ID: "steel.stagger", Level: check.Good, Source: sources.CommonPractice, Says: "Turn every second bar end for end: laps of neighbours then stand more than a lap apart."}}
}

func (in Input) fibreCheck() check.Check {
	least := fibres[2].Least
	return check.AtLeast("steel.fibre-dose", quantity.Show(in.FibreDose.Value, quantity.AsContent), quantity.Show(least, quantity.AsContent), check.Stop,
		"The macro fibre dose is enough to hold cracks. Fibre does not replace joints or dowels.",
		fmt.Sprintf("Below the least dose for macro fibre, %s: it would do nothing for the slab.", quantity.Show(least, quantity.AsContent).String(in.Units)), sources.FibreFAQ,
		fmt.Sprintf("Order at least %s; a third more is usual.", quantity.Show(least, quantity.AsContent).String(in.Units)))
}

func (d DowelJoint) check(in Input) check.Check {
	size := func(l quantity.Length) string { return quantity.Show(l, quantity.AsDrop).String(in.Units) }
	switch d.Kind {
	case UseDowels:
		return check.Check{ID: "steel.dowels", Level: check.Good, Source: sources.DowelTable,
			Says: fmt.Sprintf("Pour stop: %d smooth dowels, %s by %s, every %s at mid-depth, level and parallel, one end greased.", d.Count, size(d.Diameter), size(d.Length), size(d.Spacing))}
	case UseTies:
		return check.Check{ID: "steel.dowels", Level: check.Good, Source: sources.CommonPractice,
			Says: fmt.Sprintf("Pour stop: %d tie bars, %s by %s, every %s hold it shut; dowels do not pay in slabs this thin.", d.Count, size(d.Diameter), size(d.Length), size(d.Spacing))}
	}
	return check.Check{ID: "steel.dowels", Level: check.Care, Source: sources.DowelDoubt,
		Says: "Nothing crosses the pour stop: the two sides can part and step.", Then: []string{"Choose dowels or tie bars where wheels cross."}}
}
