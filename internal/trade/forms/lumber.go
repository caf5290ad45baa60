package forms

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
)

// Board is one size of lumber: what it is called and what it measures.
type Board struct {
	Name   string          `json:"name"`
	Thick  quantity.Length `json:"thick"`
	Height quantity.Length `json:"height"` // set on edge
}

// lumber is the actual size of surfaced lumber, inches. Source: American softwood sizes.
var lumber = []Board{
	{"1x4", quantity.Inches(0.75), quantity.Inches(3.5)},
	{"2x4", quantity.Inches(1.5), quantity.Inches(3.5)},
	{"2x6", quantity.Inches(1.5), quantity.Inches(5.5)},
	{"2x8", quantity.Inches(1.5), quantity.Inches(7.25)},
	{"2x10", quantity.Inches(1.5), quantity.Inches(9.25)},
	{"2x12", quantity.Inches(1.5), quantity.Inches(11.25)},
}

// timber is the size of sawn boards sold in metric countries, millimetres thick by high. Source: common practice.
var timber = []Board{
	{"47x100", quantity.Millimetres(47), quantity.Millimetres(100)},
	{"47x125", quantity.Millimetres(47), quantity.Millimetres(125)},
	{"47x150", quantity.Millimetres(47), quantity.Millimetres(150)},
	{"47x175", quantity.Millimetres(47), quantity.Millimetres(175)},
	{"47x200", quantity.Millimetres(47), quantity.Millimetres(200)},
	{"47x225", quantity.Millimetres(47), quantity.Millimetres(225)},
	{"47x300", quantity.Millimetres(47), quantity.Millimetres(300)},
}

// BoardNamed finds a size by its name: 2x6, or 47x150 in millimetres.
func BoardNamed(name string) (Board, error) {
	for _, list := range [][]Board{lumber, timber} {
		for _, b := range list {
			if b.Name == name {
				return b, nil
			}
		}
	}
	return Board{}, fmt.Errorf("forms: %q is not a board: 1x4, 2x4, 2x6, 2x8, 2x10, 2x12, or 47x100 to 47x300 in millimetres", name)
}

// BoardFor returns the lowest board sold where the job is that is at least as high as the slab is thick; ok is false past
// the highest.
func BoardFor(thickness quantity.Length, units quantity.System) (Board, bool) {
	list := lumber[1:]
	if units == quantity.Metric {
		list = timber
	}
	for _, b := range list {
		if b.Height >= thickness-quantity.Inches(0.01) {
			return b, true
		}
	}
	return list[len(list)-1], false
}

// lumberDensity is the weight of form lumber, 35 lb/ft³. Source: common practice.
var lumberDensity = quantity.Of[quantity.Density](35, "lb/ft3")

// Weight is the board's mass per length.
func (b Board) Weight() quantity.LinearMass {
	return quantity.LinearMass(b.Thick.Metres() * b.Height.Metres() * float64(lumberDensity))
}

// gravity is the standard acceleration of free fall, m/s².
const gravity = 9.80665

// HeadLoad returns what fresh concrete pushes on a length of form, and the pressure at its foot: the full head of a liquid.
//
//	p = γ h,   W = γ h² / 2,   acting h/3 above the foot
//
// γ unit weight of fresh concrete, h height of concrete against the form, m. Source: ACI 347-04 basic equation; the
// standard's reductions never govern below about 4 ft, which is refused. Checked: BLD-24.
func HeadLoad(height quantity.Length, density quantity.Density) (load quantity.LineLoad, foot quantity.Stress, err error) {
	if !(height > 0) || height > quantity.Feet(4) || !(density > 0) || density > 5000 {
		return 0, 0, fmt.Errorf("forms: %g m of concrete of %g kg/m³ is not an edge form", height, density)
	}
	pressure := float64(density) * gravity * height.Metres()
	return quantity.LineLoad(pressure * height.Metres() / 2), quantity.Stress(pressure), nil
}

// Bending is how a board between two stakes holds.
type Bending struct {
	Moment     quantity.Moment
	Stress     quantity.Stress
	Deflection quantity.Length
	Limit      quantity.Length // least of L/360 and 1/8 in
}

// deflectionLimit is the most a form may bow whatever its span. Source: common practice.
var deflectionLimit = quantity.Inches(0.125)

// Bend returns the bending of a board about its weak axis between stakes, taken as a simple span.
//
//	M = W L² / 8,   f = M/S, S = h b²/6,   δ = 5 W L⁴ / (384 E I), I = h b³/12
//
// W load per length, L stake spacing, b thickness, h height of the board, E modulus of elasticity. The pressure is taken
// as even over the height, and continuity over stakes is left out: both on the safe side. Source: strength of
// materials. Checked: BLD-24, BLD-25.
func Bend(b Board, load quantity.LineLoad, span quantity.Length, modulus quantity.Stress) (Bending, error) {
	if !(b.Thick > 0) || !(b.Height > 0) || !(load >= 0) || !(span > 0) || !(modulus > 0) {
		return Bending{}, fmt.Errorf("forms: a %s over %g m under %g N/m cannot be worked out", b.Name, span, load)
	}
	l, t, h, w := span.Metres(), b.Thick.Metres(), b.Height.Metres(), float64(load)
	moment := w * l * l / 8
	return Bending{
		Moment:     quantity.Moment(moment),
		Stress:     quantity.Stress(moment / (h * t * t / 6)),
		Deflection: quantity.Length(5 * w * math.Pow(l, 4) / (384 * modulus.Pascals() * h * t * t * t / 12)),
		Limit:      min(span/360, deflectionLimit),
	}, nil
}

// plywood is the least radius of dry plywood, feet: bent across the face grain, and along it. Source: plywood-association
// table.
var plywood = []struct{ inches, across, parallel float64 }{
	{0.25, 2, 5}, {0.3125, 2, 6}, {0.375, 3, 8}, {0.5, 6, 12}, {0.625, 8, 16}, {0.75, 12, 20},
}

// PlywoodRadius returns the tightest radius a dry plywood strip bends to. Thickness must be one of the table: 1/4, 5/16,
// 3/8, 1/2, 5/8 or 3/4 in.
func PlywoodRadius(thickness quantity.Length, alongGrain bool) (quantity.Length, error) {
	for _, row := range plywood {
		if math.Abs(thickness.Inches()-row.inches) < 0.01 {
			if alongGrain {
				return quantity.Feet(row.parallel), nil
			}
			return quantity.Feet(row.across), nil
		}
	}
	return 0, fmt.Errorf("forms: the plywood table has no %.3g in sheet", thickness.Inches())
}

// StripRadius returns the tightest radius a solid dry strip bends to before its skin breaks.
//
//	R = E T / (2 f_b)
//
// T thickness, E modulus, f_b bending strength. Wetting or thin laminae go tighter. Source: strength of materials.
func StripRadius(thickness quantity.Length, modulus, strength quantity.Stress) (quantity.Length, error) {
	if !(thickness > 0) || !(modulus > 0) || !(strength > 0) {
		return 0, fmt.Errorf("forms: a strip %g m thick cannot be bent", thickness)
	}
	return quantity.Length(modulus.Pascals() * thickness.Metres() / (2 * strength.Pascals())), nil
}

// leastWeb is the wood a kerf must leave. Source: common practice.
var leastWeb = quantity.Inches(0.25)

// Kerfs returns how far apart to kerf a board so that it closes round a curve, the turn of one kerf and how many there are.
//
//	θ = k/D,   s = R θ,   n = ⌈turn/θ⌉
//
// k kerf width, D kerf depth, R radius, T board thickness; at least 1/4 in of wood must be left. Source: geometry; common
// practice. Checked: BLD-27.
func Kerfs(radius, kerf, depth, board quantity.Length, turn quantity.Angle) (spacing quantity.Length, each quantity.Angle, count int, err error) {
	if !(radius > 0) || !(kerf > 0) || !(depth > 0) || !(turn >= 0) {
		return 0, 0, 0, fmt.Errorf("forms: kerfs %g m wide and %g m deep cannot bend a board to %g m", kerf, depth, radius)
	}
	if board > 0 && board-depth < leastWeb-1e-9 {
		return 0, 0, 0, fmt.Errorf("forms: a kerf %.3g in deep leaves under 1/4 in of a %.3g in board", depth.Inches(), board.Inches())
	}
	theta := kerf.Metres() / depth.Metres()
	return quantity.Length(radius.Metres() * theta), quantity.Angle(theta), int(math.Ceil(float64(turn)/theta - 1e-9)), nil
}

// CurveStakes returns how far apart stakes may stand round a curve so that straight board between them leaves it by at
// most m.
//
//	c = 2 √(2 R m − m²) ≈ √(8 R m)
func CurveStakes(radius, midOrdinate quantity.Length) (quantity.Length, error) {
	c, err := geometry.LongestChord(radius.Metres(), midOrdinate.Metres())
	return quantity.Length(c), err
}

// Shortfall returns what a board lower than the slab costs: the share of thickness lost, and of strength, which goes with
// the square of thickness.
func Shortfall(board, thickness quantity.Length) (lost, strength quantity.Percent, err error) {
	if !(board > 0) || !(thickness > 0) {
		return 0, 0, fmt.Errorf("forms: a %g m board round a %g m slab is no form", board, thickness)
	}
	r := min(1, board.Metres()/thickness.Metres())
	return quantity.Percent(1 - r), quantity.Percent(1 - r*r), nil
}
