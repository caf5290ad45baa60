package forms

import (
	"fmt"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
)

// Validate finds everything in the input that cannot be.
func (in Input) Validate() check.Faults {
	l := bounds.List{Units: in.Units, Faults: in.shapeFaults()}
	bounds.Within(&l, "thickness", in.Thickness, quantity.Inches(2), quantity.Inches(24), "slab thickness must be 2 to 24 in (50 to 600 mm).", "Type 4 in or 6 in.")
	bounds.Within(&l, "stock", in.Stock, quantity.Feet(4), quantity.Feet(40), "a board is 4 to 40 ft long.", "Type 16 ft.")
	bounds.Within(&l, "kerf", in.Kerf, 0, quantity.Inches(1), "a cut takes 0 to 1 in.", "Type 1/8 in.")
	bounds.Within(&l, "curve_error", in.CurveError, quantity.Inches(0.01), quantity.Inches(6), "a curve may be off by 0.01 to 6 in.", "Type 1/8 in.")
	if in.Stock2.Given() {
		bounds.Within(&l, "other_stock", in.Stock2, quantity.Feet(4), quantity.Feet(40), "a board is 4 to 40 ft long.", "Type 12 ft.")
	}
	bounds.Within(&l, "straightedge", in.Straightedge, quantity.Feet(4), quantity.Feet(40), "a straightedge is 4 to 40 ft long.", "Type 12 ft.")
	bounds.Within(&l, "edge_width", in.EdgeWidth, quantity.Inches(3), quantity.Feet(4), "the bottom of an edge is 3 in to 4 ft wide.", "Type 12 in.")
	if in.EdgeDepth.Given() {
		bounds.Within(&l, "edge_depth", in.EdgeDepth, in.Thickness.Value, quantity.Feet(4), "a thickened edge is deeper than the slab, up to 4 ft.", "Type 12 in, or leave it out.")
	}
	if in.Stakes.Given() {
		bounds.Within(&l, "stake_spacing", in.Stakes, quantity.Inches(6), quantity.Feet(12), "stakes stand 6 in to 12 ft apart.", "Type 3 ft.")
	}
	if in.Board.Given() {
		if _, err := BoardNamed(in.Board.Value); err != nil {
			l.Add("board", in.Board.Value, "this is not a board the lumber table has.", "Type 2x4, 2x6, 2x8, 2x10 or 2x12, or 47x100 to 47x300 in millimetres.")
		}
	}
	bounds.Within(&l, "concrete", in.Concrete, 1000, 4000, "fresh concrete weighs 60 to 250 lb/ft³.", "Type 150 lb/ft³.")
	bounds.Within(&l, "wood_modulus", in.Modulus, quantity.PSI(1e5), quantity.PSI(1e7), "wood has a modulus of 0.1 to 10 million psi.", "Type 1400000 psi.")
	bounds.Within(&l, "wood_stress", in.Allowable, quantity.PSI(50), quantity.PSI(10_000), "wood is allowed 50 to 10000 psi.", "Type 1000 psi.")
	bounds.Within(&l, "reuse", in.Reuse, 1, 100, "a board serves 1 to 100 pours.", "Type 5.")
	bounds.Within(&l, "form_oil", in.OilCover, quantity.Of[quantity.Coverage](10, "ft2/gal"), quantity.Of[quantity.Coverage](10_000, "ft2/gal"), "form oil covers 10 to 10000 ft² a gallon.", "Type 400 ft2/gal.")
	return l.Faults
}

func (in Input) shapeFaults() check.Faults {
	corners := len(in.Outline.Outer)
	for _, hole := range in.Outline.Holes {
		corners += len(hole)
	}
	if corners > 2000 {
		return check.Faults{{Field: "outline", Why: fmt.Sprintf("%d corners are too many.", corners), Type: "Draw curves with fewer points."}}
	}
	var f check.Faults
	for _, one := range in.Outline.Faults() {
		f = append(f, check.Fault{Field: "outline", Why: one.Says, Type: "Mend the corner named and try again."})
	}
	if len(f) == 0 && !(in.Outline.Perimeter() < 5000) {
		f = append(f, check.Fault{Field: "outline", Why: fmt.Sprintf("%.3g m of edge is more than one slab.", in.Outline.Perimeter()), Type: "Check the unit of the corners."})
	}
	for i, a := range in.Against {
		if !a.From.IsFinite() || !a.To.IsFinite() {
			f = append(f, check.Fault{Field: fmt.Sprintf("against[%d]", i+1), Given: a.Name, Why: "its ends are not places.", Type: "Give both ends in metres."})
		}
	}
	if slices.ContainsFunc(in.PourStops, func(s geometry.Segment) bool {
		return !s.A.IsFinite() || !s.B.IsFinite() || !(s.Length() > 0) || s.Length() > 1000
	}) {
		f = append(f, check.Fault{Field: "pour_stops", Why: "a line needs two different ends.", Type: "Give both ends in metres."})
	}
	return f
}
