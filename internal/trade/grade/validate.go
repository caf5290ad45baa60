package grade

import (
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
)

// Limits of what the stage takes: beyond them something was mistyped.
const (
	mostCorners = 500
	mostShots   = 50000
	farthest    = 20000.0 // m from the origin
	longestSide = 2000.0  // m
	leastArea   = 0.05    // m²
)

// Validate finds every fault of the input at once.
func (in Input) Validate() check.Faults {
	l := bounds.List{Units: in.Units}
	in.shapeFaults(&l)
	in.numberFaults(&l)
	in.spotFaults(&l, "grade.ground", in.Ground)
	in.spotFaults(&l, "grade.base_shots", in.BaseShots)
	in.breakFaults(&l)
	if len(l.Faults) == 0 {
		in.tieFaults(&l)
		in.foldFaults(&l)
		in.waterFaults(&l)
		in.bulkFaults(&l)
		in.setOutFaults(&l)
		in.rollingFaults(&l)
	}
	return l.Faults
}

func (in Input) shapeFaults(l *bounds.List) {
	const remedy = "Give the corners: outline: {outer: [[0, 0], [12, 0], [12, 4], [0, 4]]} in metres."
	bad := in.Outline.Faults()
	box := geometry.BoundsOf(in.Outline.Outer).Expand(0)
	switch {
	case in.Outline.IsEmpty():
		l.Add("grade.outline", "", "is not known.", remedy)
	case len(bad) > 0:
		l.Add("grade.outline", "", "is no slab: "+bad[0].Says, remedy)
	case len(in.Outline.Outer) > mostCorners || len(in.Outline.Holes) > mostCorners:
		l.Add("grade.outline", "", fmt.Sprintf("has more than %d corners or box-outs.", mostCorners), "Leave out the ones that do not matter.")
	case box.Width() > longestSide || box.Height() > longestSide || !near(box.Min) || !near(box.Max):
		l.Add("grade.outline", "", "is larger or farther off than a lot.", "Give metres from a corner of the lot.")
	case in.Outline.Area() < leastArea || in.Outline.Area() < 1e-4*(box.Width()*box.Width()+box.Height()*box.Height()):
		l.Add("grade.outline", "", "is too small or too thin for a slab.", remedy)
	}
	if n := len(in.Against); n > 0 && n != len(in.Outline.Outer) {
		l.Add("grade.against", fmt.Sprint(n), fmt.Sprintf("the outline has %d sides.", len(in.Outline.Outer)), "Give one wall for each side, empty where it is free.")
	}
	if n := len(in.Corners); n > 0 && n != len(in.Outline.Outer) {
		l.Add("grade.corners", fmt.Sprint(n), fmt.Sprintf("the outline has %d corners.", len(in.Outline.Outer)), "Name each corner once, in the order of the outline.")
	}
}

func (in Input) breakFaults(l *bounds.List) {
	for i, line := range in.Breaks {
		for _, v := range line {
			if v < 0 || v >= len(in.Ground) {
				l.Add(fmt.Sprintf("grade.breaklines[%d]", i+1), fmt.Sprint(v), fmt.Sprintf("is no shot; there are %d.", len(in.Ground)), "Give positions in ground; the first is 0.")
				break
			}
		}
	}
}

func near(p geometry.Point) bool {
	return p.X > -farthest && p.X < farthest && p.Y > -farthest && p.Y < farthest
}

func (in Input) numberFaults(l *bounds.List) {
	feet, inches := quantity.Feet, quantity.Inches
	slope := func(pct float64) quantity.Slope { return quantity.Slope(pct / 100) }
	tons := func(v float64) quantity.Mass { return quantity.Of[quantity.Mass](v, "ton") }
	pcf := func(v float64) quantity.Density { return quantity.Of[quantity.Density](v, "lb/ft3") }
	bounds.Needed(l, "grade.thickness", in.Thickness, inches(1), inches(60), quantity.AsThickness)
	bounds.Needed(l, "grade.base_thickness", in.Base, 0, inches(60), quantity.AsThickness)
	bounds.Needed(l, "grade.dig_margin", in.Margin, 0, feet(10), quantity.AsDrop)
	bounds.Needed(l, "grade.dressed_width", in.Dress, feet(0.1), feet(50), quantity.AsDistance)
	bounds.Needed(l, "grade.reveal", in.Reveal, inches(-60), inches(60), quantity.AsDrop)
	bounds.Needed(l, "grade.least_slope", in.Least, slope(0.1), slope(25), quantity.AsSlope)
	bounds.Needed(l, "grade.greatest_slope", in.Greatest, slope(0.1), slope(30), quantity.AsSlope)
	bounds.Needed(l, "grade.cross_slope", in.Cross, 0, slope(25), quantity.AsSlope)
	bounds.Needed(l, "grade.grade_break", in.Break, slope(0.1), slope(50), quantity.AsSlope)
	bounds.Needed(l, "grade.valley_slope", in.Valley, 0, slope(25), quantity.AsSlope)
	bounds.Needed(l, "grade.flatness", in.Flatness, 0, inches(2), quantity.AsDrop)
	bounds.Needed(l, "grade.rain", in.Rain, quantity.Of[quantity.LengthRate](0.1, "in/h"), quantity.Of[quantity.LengthRate](50, "in/h"), quantity.AsRain)
	bounds.Between(l, "grade.north", in.North, -7, 7, quantity.AsAngle)
	bounds.Needed(l, "grade.cut_cost", in.CutCost, 0.01, 100, quantity.AsRatio)
	bounds.Needed(l, "grade.fill_cost", in.FillCost, 0.01, 100, quantity.AsRatio)
	bounds.Between(l, "grade.height_of_instrument", in.Height, feet(-farLevel), feet(farLevel), quantity.AsElevation)
	bounds.Needed(l, "grade.string_height", in.String, 0, feet(10), quantity.AsDrop)
	bounds.Needed(l, "grade.stake_spacing", in.Stakes, feet(1), feet(200), quantity.AsDistance)
	bounds.Between(l, "grade.soil_weight", in.SoilWeight, pcf(30), pcf(250), quantity.AsDensity)
	bounds.Between(l, "grade.frost_depth", in.Frost, 0, feet(20), quantity.AsDrop)
	bounds.Between(l, "grade.stone_weight", in.StoneWeight, pcf(50), pcf(200), quantity.AsDensity)
	bounds.Needed(l, "grade.stone_moisture", in.Moisture, 0, 0.5, quantity.AsPercent)
	bounds.Needed(l, "grade.stone_waste", in.Waste, 0, 1, quantity.AsPercent)
	bounds.Needed(l, "grade.packing", in.Packing, 0.3, 1, quantity.AsRatio)
	bounds.Needed(l, "grade.loose_lift", in.Lift, inches(0.5), feet(4), quantity.AsDrop)
	bounds.Needed(l, "grade.truck_box", in.Box, quantity.CubicYards(0.1), quantity.CubicYards(60), quantity.AsVolume)
	bounds.Needed(l, "grade.truck_payload", in.Payload, tons(0.1), tons(60), quantity.AsTons)
	bounds.Needed(l, "grade.kept_on_site", in.Keep, 0, 1, quantity.AsPercent)
	if _, err := soilOf(in.Soil.Value); err != nil {
		l.Add("grade.soil", string(in.Soil.Value), "is no soil known here.", "Type one of "+strings.Join(Soil("").Choices(), ", ")+".")
	}
	if _, err := stoneOf(in.Stone.Value); err != nil {
		l.Add("grade.stone", string(in.Stone.Value), "is no base known here.", "Type one of "+strings.Join(Stone("").Choices(), ", ")+".")
	}
	w := work{in: in}
	if in.Least.Value > w.greatest()+slopeRoom {
		l.Add("grade.least_slope", w.shown(in.Least.Value), fmt.Sprintf("is more than the greatest slope of %s.", w.shown(w.greatest())), "Lower the least slope or raise the greatest.")
	}
}

// sameLevel is how far two shots at one place may differ and still be one, m.
const sameLevel = 1e-6

// farLevel is how far from zero a level may be, ft: no land is higher.
const farLevel = 30000

func (in Input) spotFaults(l *bounds.List, field string, spots []Spot) {
	if len(spots) > mostShots {
		l.Add(field, fmt.Sprint(len(spots)), fmt.Sprintf("are more than %d shots.", mostShots), "Thin them out.")
	}
	first := map[geometry.Point]int{}
	for i, s := range spots {
		at := fmt.Sprintf("%s[%d]", field, i+1)
		if j, twice := first[s.At]; twice && math.Abs(float64(spots[j].Elevation.Value-s.Elevation.Value)) > sameLevel {
			l.Add(at, quantity.Show(s.Elevation.Value, quantity.AsElevation).String(in.Units), fmt.Sprintf("shot %d stands at the same place at %s.", j+1, quantity.Show(spots[j].Elevation.Value, quantity.AsElevation).String(in.Units)),
				"Drop one; for a wall or kerb, set top and foot 10 mm apart.")
		} else if !twice {
			first[s.At] = i
		}
		if !near(s.At) {
			l.Add(at+".at", "", "is no place on the lot.", "Give metres from a corner of the lot.")
		}
		bounds.Needed(l, at+".elevation", s.Elevation, quantity.Feet(-farLevel), quantity.Feet(farLevel), quantity.AsElevation)
	}
}

func (in Input) tieFaults(l *bounds.List) {
	w := newWork(in)
	for i, t := range in.Ties {
		field := fmt.Sprintf("grade.ties[%d]", i+1)
		bounds.Needed(l, field+".elevation", t.Elevation, quantity.Feet(-farLevel), quantity.Feet(farLevel), quantity.AsElevation)
		bounds.Between(l, field+".step", t.Step, quantity.Feet(-10), quantity.Feet(10), quantity.AsDrop)
		if k := t.kind(); k != Meet && k != Below && k != Above {
			l.Add(field+".kind", string(k), "is not a way to hold a slab.", "Type meet, below or above.")
		}
		w.placeFaults(l, field, t)
	}
}

func (w *work) placeFaults(l *bounds.List, field string, t Tie) {
	_, isCorner := w.corner(t.Corner)
	_, isSide := w.side(t.Side)
	switch {
	case t.Side != "" && !isSide:
		l.Add(field+".side", t.Side, "is no side of this slab.", "Type two neighbouring corners, like "+w.sideName(0)+".")
	case t.Side == "" && t.Corner != "" && !isCorner:
		l.Add(field+".corner", t.Corner, "is no corner of this slab.", "Type one of "+wordList(w.names)+".")
	case t.Side == "" && t.Corner == "" && !(t.X.Given() && t.Y.Given()):
		l.Add(field, "", "has no place.", "Type corner: A, side: BC, or x and y.")
	case t.Side == "" && t.Corner == "" && !near(geometry.Point{X: t.X.Value.Metres(), Y: t.Y.Value.Metres()}):
		l.Add(field, "", "is no place on the lot.", "Give x and y from a corner of the lot.")
	}
}

func wordList(names []string) string { return strings.Join(names, ", ") }
