package steel

import (
	"fmt"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
)

// mostArea bounds the slabs laid out in one go, m².
const mostArea = 20_000

// Validate finds everything in the input that cannot be.
func (in Input) Validate() check.Faults {
	l := bounds.List{Units: in.Units, Faults: in.shapeFaults()}
	inches := quantity.Inches
	bounds.Within(&l, "thickness", in.Thickness, inches(2), inches(24), "slab thickness must be 2 to 24 in (50 to 600 mm).", "Type 4 in or 6 in.")
	bounds.Within(&l, "saw_depth", in.SawDepth, 0, in.Thickness.Value/2+inches(0.01), "the cut cannot go deeper than half the slab.", "Type 1 in or 1 1/2 in.")
	bounds.Within(&l, "edge_clear", in.EdgeClear, inches(0.5), inches(24), "bar ends stop 1/2 to 24 in from the edge.", "Type 3 in.")
	bounds.Within(&l, "joint_clear", in.JointGap, 0, inches(24), "bar ends stop 0 to 24 in from a joint.", "Type 2 in.")
	bounds.Within(&l, "stock", in.Stock, quantity.Feet(4), quantity.Feet(80), "a stick is 4 to 80 ft long.", "Type 20 ft.")
	bounds.Within(&l, "kerf", in.Kerf, 0, inches(1), "a cut takes 0 to 1 in.", "Type 1/8 in.")
	bounds.Within(&l, "chair_spacing", in.Chairs, quantity.Feet(0.5), quantity.Feet(10), "chairs stand 6 in to 10 ft apart.", "Type 4 ft.")
	bounds.Within(&l, "mesh_spacing", in.MeshSpace, inches(2), inches(24), "mesh wires are 2 to 24 in apart.", "Type 6 in.")
	bounds.Within(&l, "dowel_end", in.Doweled, 0, quantity.Feet(4), "the first dowel is 0 to 4 ft from the edge.", "Type 6 in.")
	if in.Stock2.Given() {
		bounds.Within(&l, "other_stock", in.Stock2, quantity.Feet(4), quantity.Feet(80), "a stick is 4 to 80 ft long.", "Type 40 ft.")
	}
	bounds.Within(&l, "strength", in.Strength, quantity.PSI(2499), quantity.PSI(10_001), "laps are known for concrete of 2500 to 10000 psi.", "Type 4000 psi.")
	bounds.Within(&l, "friction", in.Friction, 0.1, 10, "friction of slab on base is 0.5 to 2.5.", "Type 1.5.")
	bounds.Within(&l, "yield", in.Yield, quantity.PSI(20_000), quantity.PSI(100_001), "bar steel yields at 20000 to 100000 psi.", "Type 60000 psi.")
	bounds.Within(&l, "working_share", in.Working, 0.1, 1, "working stress is a share of yield, 0.1 to 1.", "Type 0.67.")
	bounds.Within(&l, "ties", in.Ties, 0, 1, "the share of crossings tied is 0 to 100 %.", "Type 50 %.")
	bounds.Within(&l, "mesh_wire", in.MeshWire, 0.5, 45, "wire numbers run from 1.4 to 45.", "Type 2.9.")
	bounds.Within(&l, "fibre_dose", in.FibreDose, 0.01, 100, "a fibre dose is 0.5 to 100 lb/yd³.", "Type 4 lb/yd³.")
	word := func(field, given string, choices ...string) {
		if !slices.Contains(choices, given) {
			l.Add(field, given, "this is not one of the choices.", fmt.Sprintf("Type one of %q.", choices))
		}
	}
	word("kind", in.Kind.Value, KindBars, KindMesh, KindFibre, KindNone)
	word("lap_rule", in.LapRule.Value, Lap40, LapB)
	word("dowels", in.Dowels.Value, ByThickness, UseDowels, UseTies, NoBars)
	return append(l.Faults, in.steelFaults()...)
}

func (in Input) steelFaults() check.Faults {
	var f check.Faults
	if g := in.Grid.Value; in.Grid.Given() && (!(g.Spacing >= quantity.Inches(2)) || !(g.Spacing <= quantity.Feet(8)) ||
		!(g.Diameter > 0) || !(g.Diameter < quantity.Inches(2)) || !(g.Area > 0) || !(g.LinearMass > 0) || !quantity.Finite(float64(g.LinearMass), float64(g.Area))) {
		f = append(f, check.Fault{Field: "bars", Given: in.Grid.Text, Why: "bars stand 2 in to 8 ft apart and have a size.", Type: "Type #4 @ 18 in each way."})
	}
	g := in.grid()
	if _, err := BarHeight(in.Thickness.Value, g.Diameter, in.SawDepth.Value); err != nil && in.Thickness.Value > 0 {
		f = append(f, check.Fault{Field: "bars", Given: in.Grid.Text, Why: err.Error() + ".", Type: "Choose a thinner bar, a thicker slab, or mesh."})
	}
	for i, l := range in.Leftovers {
		if !(l.Length.Value > 0) || l.Length.Value > quantity.Feet(80) || l.Count.Value < 1 || l.Count.Value > 1000 {
			f = append(f, check.Fault{Field: fmt.Sprintf("leftovers[%d]", i+1), Given: l.Length.Text, Why: "an offcut has a length up to 80 ft and a count up to 1000.", Type: "Type length and count, or leave it out."})
		}
	}
	return f
}

func (in Input) shapeFaults() check.Faults {
	var f check.Faults
	corners := 0
	for _, ring := range in.Outline.Rings() {
		corners += len(ring)
	}
	if corners > 1000 || len(in.Panels) > 1500 {
		return check.Faults{{Field: "outline", Why: "too many corners or panels for one slab.", Type: "Plan it as several slabs."}}
	}
	for _, one := range in.Outline.Faults() {
		f = append(f, check.Fault{Field: "outline", Why: one.Says, Type: "Mend the corner named and try again."})
	}
	if len(f) == 0 && !(in.Outline.Area() < mostArea) {
		f = append(f, check.Fault{Field: "outline", Why: fmt.Sprintf("%.3g m² is more than one slab.", in.Outline.Area()), Type: "Check the unit of the corners."})
	}
	for i, p := range in.Panels {
		if len(p.Faults()) > 0 {
			f = append(f, check.Fault{Field: fmt.Sprintf("panels[%d]", i+1), Why: p.Faults()[0].Says, Type: "Leave panels out to lay bars over the whole slab."})
		}
	}
	if !in.Along.IsFinite() || slices.ContainsFunc(in.PourStops, func(s geometry.Segment) bool { return !s.A.IsFinite() || !s.B.IsFinite() || !(s.Length() > 0) }) {
		f = append(f, check.Fault{Field: "pour_stops", Why: "a direction or a pour stop is not a place.", Type: "Give two different ends in metres."})
	}
	return f
}
