package joints

import (
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
)

// mostCorners and mostPanels bound the work of one layout: outlines and slabs beyond them are laid out piece by piece.
const (
	mostCorners = 400
	mostPanels  = 1200
)

// Validate finds everything in the input that cannot be.
func (in Input) Validate() check.Faults {
	l := bounds.List{Units: in.Units, Faults: in.outlineFaults()}
	bounds.Within(&l, "thickness", in.Thickness, quantity.Inches(2), quantity.Inches(24), "slab thickness must be 2 to 24 in (50 to 600 mm).", "Type 4 in or 6 in.")
	bounds.Within(&l, "spacing_cap", in.Cap, quantity.Feet(1), quantity.Feet(100), "the cap on joint spacing must be 1 to 100 ft.", "Type 15 ft.")
	bounds.Within(&l, "narrowest", in.Narrowest, 0, quantity.Feet(20), "the narrowest panel must be 0 to 20 ft.", "Type 2 ft.")
	bounds.Within(&l, "isolation", in.Strip, 0, quantity.Inches(4), "an isolation strip is 0 to 4 in thick.", "Type 1/2 in.")
	bounds.Within(&l, "spacing_factor", in.Factor, 6, 100, "joint spacing over thickness must be 6 to 100; 24 to 36 is usual.", "Type 30.")
	bounds.Within(&l, "max_aspect", in.MaxAspect, 1.05, 10, "the longest panel must be 1.05 to 10 times its width.", "Type 1.5.")
	bounds.Within(&l, "best_aspect", in.BestAspect, 1, 10, "the best panel must be 1 to 10 times its width.", "Type 1.25.")
	bounds.Within(&l, "depth_share", in.DepthShare, 0.1, 0.5, "cut depth over thickness must be 0.1 to 0.5.", "Type 0.25.")
	if in.BarCover.Given() && !(in.BarCover.Value > 0 && in.BarCover.Value < quantity.Inches(24)) {
		l.Add("bar_cover", in.BarCover.Text, "the concrete over the bars must be more than nothing and less than 24 in.", "Type 2 in, or leave it out.")
	}
	if !slices.Contains([]string{WetSaw, EarlySaw, Groover}, in.Saw.Value) {
		l.Add("saw", in.Saw.Value, "this is not a way of making joints.", "Type wet saw, early-entry saw or groover.")
	}
	if !slices.Contains([]string{Fewest, Squarest}, in.Prefer.Value) {
		l.Add("prefer", in.Prefer.Value, "a layout is picked by the fewest cuts or the squarest panels.", "Type fewest or squarest.")
	}
	if !slices.Contains(ranks, in.Layout.Value) {
		l.Add("layout", in.Layout.Value, "three layouts are shown.", "Type best, second or third.")
	}
	if _, err := DayArea(in.Hands.Value); err != nil {
		l.Add("hands", in.Hands.Text, "a crew is 1 to 100 hands.", "Type 4.")
	}
	if in.DayArea.Given() && !(in.DayArea.Value.SquareMetres() >= 1 && in.DayArea.Value.SquareMetres() < 1e5) {
		l.Add("day_area", in.DayArea.Text, "a day's work is 1 to 100 000 m².", "Type 1200 ft2.")
	}
	if v := in.TruckHolds.Value.CubicMetres(); !(v >= 0.1 && v <= 20) {
		l.Add("truck_holds", in.TruckHolds.Text, "a truck brings 0.1 to 20 m³.", "Type 9 yd3.")
	}
	for i, pin := range in.Pinned {
		l.Faults = append(l.Faults, pin.faults(fmt.Sprintf("pinned[%d]", i))...)
	}
	return append(l.Faults, in.placeFaults()...)
}

func (in Input) outlineFaults() check.Faults {
	corners := 0
	for _, ring := range in.Outline.Rings() {
		corners += len(ring)
	}
	if corners > mostCorners {
		return check.Faults{{Field: "outline", Why: fmt.Sprintf("%d corners are more than %d.", corners, mostCorners), Type: "Draw curves with fewer points."}}
	}
	var f check.Faults
	for _, one := range in.Outline.Faults() {
		f = append(f, check.Fault{Field: "outline", Why: one.Says, Type: "Mend the corner named and try again."})
	}
	if len(f) > 0 {
		return f
	}
	if box := in.Outline.Bounds(); !(max(box.Width(), box.Height()) < 1000) || !(in.Outline.Area() > 0.05) {
		return check.Faults{{Field: "outline", Why: fmt.Sprintf("%.3g by %.3g m is not the size of a slab.", box.Width(), box.Height()), Type: "Check the unit of the corners."}}
	}
	if s, err := Spacing(in.Thickness.Value, in.Factor.Value, in.Cap.Value); err == nil && in.Outline.Area()/(s.Metres()*s.Metres()) > mostPanels {
		return check.Faults{{Field: "outline", Why: fmt.Sprintf("this slab would need over %d panels.", mostPanels), Type: "Plan it as several slabs."}}
	}
	return nil
}

// placeFaults refuses things, loads and joint ends without usable coordinates.
func (in Input) placeFaults() check.Faults {
	var f check.Faults
	for i, t := range in.Things {
		usable := quantity.Finite(t.Radius, t.Centre.X, t.Centre.Y) && t.Radius >= 0
		if !usable || slices.ContainsFunc(t.Line, func(q geometry.Point) bool { return !q.IsFinite() }) {
			f = append(f, check.Fault{Field: fmt.Sprintf("things[%d]", i+1), Given: t.Name, Why: "its place is not a number.", Type: "Give centre and radius, or a line, in metres."})
		}
	}
	if slices.ContainsFunc(in.Stands, func(q geometry.Point) bool { return !q.IsFinite() }) {
		f = append(f, check.Fault{Field: "stands", Why: "a place is not a number.", Type: "Give x and y in metres."})
	}
	for name, list := range map[string][]Place{"meet": in.Meet, "loads": in.Loads} {
		for i, q := range list {
			if !q.typed() {
				f = append(f, check.Fault{Field: fmt.Sprintf("%s[%d]", name, i+1), Why: "is a place without its two numbers.", Type: "Type x and y, like {x: 12 ft, y: 8 ft}."})
			}
		}
	}
	for i, s := range in.PourStops {
		if !s.From.typed() || !s.To.typed() || !(s.From.at().Distance(s.To.at()) > 0) {
			f = append(f, check.Fault{Field: fmt.Sprintf("pour_stops[%d]", i+1), Why: "a line needs two different ends.", Type: "Type from and to, each with x and y, like {from: {x: 26 ft, y: 0 ft}, to: {x: 26 ft, y: 14 ft}}."})
		}
	}
	slices.SortStableFunc(f, func(a, b check.Fault) int { return strings.Compare(a.Field, b.Field) })
	return f
}
