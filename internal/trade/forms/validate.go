package forms

import (
	"fmt"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

// Validate finds everything in the input that cannot be.
func (in Input) Validate() check.Faults {
	f := in.shapeFaults()
	bad := func(field, given, why, typeThis string) {
		f = append(f, check.Fault{Field: field, Given: given, Why: why, Type: typeThis})
	}
	length := func(field string, k known.Length, low, high quantity.Length, why, typeThis string) {
		if !k.Given() || !(k.Value >= low) || !(k.Value <= high) {
			bad(field, k.Text, why, typeThis)
		}
	}
	length("thickness", in.Thickness, quantity.Inches(2), quantity.Inches(24), "slab thickness must be 2 to 24 in (50 to 600 mm).", "Type 4 in or 6 in.")
	length("stock", in.Stock, quantity.Feet(4), quantity.Feet(40), "a board is 4 to 40 ft long.", "Type 16 ft.")
	length("kerf", in.Kerf, 0, quantity.Inches(1), "a cut takes 0 to 1 in.", "Type 1/8 in.")
	length("curve_error", in.CurveError, quantity.Inches(0.01), quantity.Inches(6), "a curve may be off by 0.01 to 6 in.", "Type 1/8 in.")
	if in.Stock2.Given() {
		length("other_stock", in.Stock2, quantity.Feet(4), quantity.Feet(40), "a board is 4 to 40 ft long.", "Type 12 ft.")
	}
	if in.Stakes.Given() {
		length("stake_spacing", in.Stakes, quantity.Inches(6), quantity.Feet(12), "stakes stand 6 in to 12 ft apart.", "Type 3 ft.")
	}
	if in.Board.Given() {
		if _, err := BoardNamed(in.Board.Value); err != nil {
			bad("board", in.Board.Value, "this is not a board the lumber table has.", "Type 2x4, 2x6, 2x8, 2x10 or 2x12.")
		}
	}
	number := func(field, given string, v, low, high float64, why, typeThis string) {
		if !(v >= low) || !(v <= high) {
			bad(field, given, why, typeThis)
		}
	}
	number("concrete", in.Concrete.Text, float64(in.Concrete.Value), 1000, 4000, "fresh concrete weighs 60 to 250 lb/ft³.", "Type 150 lb/ft³.")
	number("wood_modulus", in.Modulus.Text, in.Modulus.Value.PSI(), 1e5, 1e7, "wood has a modulus of 0.1 to 10 million psi.", "Type 1400000 psi.")
	number("wood_stress", in.Allowable.Text, in.Allowable.Value.PSI(), 50, 10_000, "wood is allowed 50 to 10000 psi.", "Type 1000 psi.")
	number("form_oil", in.OilCover.Text, quantity.In(in.OilCover.Value, "ft2/gal"), 10, 10_000, "form oil covers 10 to 10000 ft² a gallon.", "Type 400 ft2/gal.")
	return f
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
