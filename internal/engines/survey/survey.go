// Package survey turns tape and level readings into places and heights, and says how far they can be trusted.
//
// x east, y north, z up, metres; headings radians counter-clockwise from +x; azimuths radians clockwise from north.
// A residual is adjusted minus observed: what must be added to a reading to make it fit the rest. Standard deviations
// are one sigma. Nothing here knows who measured or why.
package survey

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
)

// TapeClass is what a distance was measured with.
type TapeClass string

// The tape classes.
const (
	SteelTape TapeClass = "steel"  // steel tape on flat hard ground
	ClothTape TapeClass = "cloth"  // cloth or fibreglass tape, or any tape on grass
	Pacing    TapeClass = "pacing" // counted steps
)

// tapeScatter is σ = constant + share × distance. Source: common practice.
var tapeScatter = map[TapeClass]struct{ constant, share float64 }{
	SteelTape: {0.003, 0.0001},
	ClothTape: {0.010, 0.0003},
	Pacing:    {0.3, 0.03},
}

// TapeSigma returns the standard deviation of a distance, metres.
//
//	steel 3 mm + 0.1 mm/m,   cloth 10 mm + 0.3 mm/m,   pacing 0.3 m + 3 %
//
// Source: common practice. Error for an unknown class or a distance that is not above zero.
func TapeSigma(class TapeClass, distance float64) (float64, error) {
	s, ok := tapeScatter[class]
	if !ok {
		return 0, fmt.Errorf("survey: no tape is called %q: say steel, cloth or pacing", class)
	}
	if err := aboveZero("distance", distance); err != nil {
		return 0, err
	}
	return s.constant + s.share*distance, nil
}

func aboveZero(what string, values ...float64) error {
	for _, v := range values {
		if !(v > 0) || math.IsInf(v, 0) {
			return fmt.Errorf("survey: %s %g: give a number above zero", what, v)
		}
	}
	return nil
}

func finite(what string, values ...float64) error {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("survey: %s is not a number", what)
		}
	}
	return nil
}

// Intersection is a point found by two tapes.
type Intersection struct {
	At       geometry.Point
	Crossing float64 // angle between the two tapes at the point, radians in [0, π]
	Weak     bool    // the arcs cross at less than 30° or more than 150°: errors grow by about 1/sin of the angle
}

// weakCrossing is the angle below which two arcs cross too flat. Source: common practice.
const weakCrossing = 30 * math.Pi / 180

// PointFromTwoTapes returns the point at distance r1 from a and r2 from b, on the left of the line from a to b or on its
// right.
//
//	along = (r1² − r2² + b²)/(2b),   h = ±√(r1² − along²)
//
// r1, r2 tape readings, b distance from a to b, m. Error, with the gap, when the arcs do not meet.
// Source: plane geometry.
func PointFromTwoTapes(a geometry.Point, r1 float64, b geometry.Point, r2 float64, left bool) (Intersection, error) {
	if err := aboveZero("tape reading", r1, r2); err != nil {
		return Intersection{}, err
	}
	base := a.Distance(b)
	if err := aboveZero("distance between the two marks", base); err != nil {
		return Intersection{}, err
	}
	if gap := max(base-r1-r2, math.Abs(r1-r2)-base); gap > 0 {
		return Intersection{}, fmt.Errorf("survey: the two tapes cannot meet, they miss by %.3f m: read both again, or check which marks they start from", gap)
	}
	along := ((r1-r2)*(r1+r2) + base*base) / (2 * base)
	h := math.Sqrt(max(0, (r1-along)*(r1+along)))
	if !left {
		h = -h
	}
	u := b.Sub(a).Unit()
	at := a.Add(u.Scale(along)).Add(u.Left().Scale(h))
	crossing := math.Acos(min(max((r1*r1+r2*r2-base*base)/(2*r1*r2), -1), 1))
	return Intersection{at, crossing, crossing < weakCrossing || crossing > math.Pi-weakCrossing}, nil
}

// PointOnBaseline returns the point at a station along the line from a to b and an offset to its left.
//
//	P = A + u t + n o       u unit vector of the line, n its left normal
//
// t station, o offset, m. Error when the line has no length. Source: plane geometry.
func PointOnBaseline(a, b geometry.Point, station, offset float64) (geometry.Point, error) {
	u := b.Sub(a).Unit()
	if u == (geometry.Point{}) {
		return geometry.Point{}, fmt.Errorf("survey: the baseline starts and ends at (%g, %g): give two different points", a.X, a.Y)
	}
	return a.Add(u.Scale(station)).Add(u.Left().Scale(offset)), finite("station or offset", station, offset)
}

// OffsetError returns how far a point slips along the baseline when its offset is laid off at a wrong angle, metres.
//
//	e = o sin ε
//
// o offset, m; ε error of the right angle, radians. Source: plane geometry.
func OffsetError(offset, angle float64) float64 { return math.Abs(offset * math.Sin(angle)) }

// CornerAngle returns the angle between two sides of a triangle from its three lengths, radians: the 3-4-5 check.
//
//	cos C = (a² + b² − c²)/(2 a b)
//
// a, b the sides at the corner, c the tie across, m. Error when they do not close.
// Source: law of cosines. Checked: SITE-06.
func CornerAngle(a, b, c float64) (float64, error) {
	if err := aboveZero("side", a, b, c); err != nil {
		return 0, err
	}
	if c > a+b || c < math.Abs(a-b) {
		return 0, fmt.Errorf("survey: sides of %g, %g and %g m do not close: measure the tie again", a, b, c)
	}
	return math.Acos(min(max((a*a+b*b-c*c)/(2*a*b), -1), 1)), nil
}

// RectangleDiagonal returns √(L² + W²), metres. Source: Pythagoras.
func RectangleDiagonal(length, width float64) (float64, error) {
	return math.Hypot(length, width), aboveZero("side", length, width)
}

// OutOfSquare returns the angle by which a rectangle is racked, from its two diagonals, radians.
//
//	p² − q² = 4 L W sin ε,   so   p − q ≈ 2 L W ε / D
//
// p, q diagonals, L, W sides, m; positive when p is the longer. Exact for a parallelogram of these sides.
// Error when no such parallelogram exists. Source: parallelogram law.
func OutOfSquare(length, width, p, q float64) (float64, error) {
	if err := aboveZero("length", length, width, p, q); err != nil {
		return 0, err
	}
	s := (p - q) * (p + q) / (4 * length * width)
	if math.Abs(s) > 1 {
		return 0, fmt.Errorf("survey: diagonals of %g and %g m do not fit sides of %g and %g m: measure again", p, q, length, width)
	}
	return math.Asin(s), nil
}

// QuadrilateralArea returns the area of a plane quadrilateral from its sides in order and both diagonals, m².
//
//	K = ¼ √(4 p² q² − (b² + d² − a² − c²)²)
//
// a, b, c, d sides, p, q diagonals, m. Six lengths say more than a plane figure needs: compare with the adjusted area.
// Error when the lengths leave the root negative. Source: Bretschneider's formula. Checked: SITE-03.
func QuadrilateralArea(a, b, c, d, p, q float64) (float64, error) {
	if err := aboveZero("length", a, b, c, d, p, q); err != nil {
		return 0, err
	}
	e := b*b + d*d - a*a - c*c
	under := 4*p*p*q*q - e*e
	if under < 0 {
		return 0, fmt.Errorf("survey: no figure has sides %g, %g, %g, %g m and diagonals %g, %g m: one of them is wrong", a, b, c, d, p, q)
	}
	return math.Sqrt(under) / 4, nil
}
