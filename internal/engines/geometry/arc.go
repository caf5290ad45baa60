package geometry

import (
	"fmt"
	"math"
)

// Arc is a piece of a circle: from heading Start, turning by Sweep (positive counter-clockwise, |Sweep| ≤ 2π).
type Arc struct {
	Centre Point
	Radius float64 // metres
	Start  float64 // heading of the first point from the centre, radians
	Sweep  float64 // radians
}

// At returns the point at fraction t of the way along the arc.
func (a Arc) At(t float64) Point {
	return a.Centre.Add(Direction(a.Start + t*a.Sweep).Scale(a.Radius))
}

// Points returns the arc as a line of chords that stay within chordError metres of it, both ends included.
func (a Arc) Points(chordError float64) []Point {
	n := chordsFor(a.Radius, math.Abs(a.Sweep), chordError)
	points := make([]Point, n+1)
	for i := range points {
		points[i] = a.At(float64(i) / float64(n))
	}
	return points
}

// leastChordError bounds the number of chords: nobody sets out a curve finer than a tenth of a millimetre.
const leastChordError = 1e-4

// chordsFor returns how many chords keep the mid-ordinate of each within chordError metres; at least one, at least
// three for a full turn.
func chordsFor(radius, sweep, chordError float64) int {
	chordError = max(chordError, leastChordError)
	if math.IsNaN(chordError) || !(radius > 0) || math.IsInf(radius, 0) {
		return 3
	}
	half := math.Acos(max(-1, 1-chordError/radius))
	n := int(math.Ceil(sweep/(2*half) - 1e-9))
	return max(n, 1, int(math.Ceil(sweep/(2*math.Pi/3)-1e-9)))
}

// Disc returns a circle as a polygon with corners on the circle, whose edges stay within chordError metres of it.
func Disc(centre Point, radius, chordError float64) Polygon {
	points := Arc{centre, radius, 0, 2 * math.Pi}.Points(chordError)
	return Polygon{Outer: points[:len(points)-1]}
}

// ArcThrough returns the arc from a through mid to b; ok is false when the three lie on a line.
func ArcThrough(a, mid, b Point) (arc Arc, ok bool) {
	turn := Orient(a, mid, b)
	p, q := mid.Sub(a), b.Sub(a)
	den := 2 * p.Cross(q)
	if turn == 0 || den == 0 {
		return Arc{}, false
	}
	pp, qq := p.Dot(p), q.Dot(q)
	c := Point{(q.Y*pp - p.Y*qq) / den, (p.X*qq - q.X*pp) / den}
	from, to := c.Scale(-1).Heading(), q.Sub(c).Heading()
	sweep := math.Mod(to-from, 2*math.Pi)
	if turn > 0 && sweep < 0 {
		sweep += 2 * math.Pi
	}
	if turn < 0 && sweep > 0 {
		sweep -= 2 * math.Pi
	}
	return Arc{a.Add(c), c.Length(), from, sweep}, true
}

// MidOrdinate returns the rise of an arc above the middle of its chord, metres.
//
//	m = R − √(R² − C²/4)
//
// R radius, C chord, metres. Written as (C²/4)/(R + √…) so that flat arcs keep their digits. Source: plane geometry.
// Error when the chord is longer than the diameter. Checked: SITE-26.
func MidOrdinate(radius, chord float64) (float64, error) {
	return TangentOffset(radius, chord/2)
}

// TangentOffset returns how far an arc has left its tangent at distance x along the tangent, metres.
//
//	y = R − √(R² − x²)
//
// R radius, x along the tangent from the point of contact, metres. Error when |x| > R. Source: plane geometry.
func TangentOffset(radius, x float64) (float64, error) {
	if !(radius > 0) || !(math.Abs(x) <= radius) {
		return 0, fmt.Errorf("geometry: %g m beside the centre is not on a curve of radius %g m: use a shorter chord", x, radius)
	}
	return x * x / (radius + math.Sqrt((radius-x)*(radius+x))), nil
}

// ChordOffset returns the rise of an arc above its chord at distance x from the middle of the chord, metres.
//
//	y = √(R² − x²) − (R − m)       m mid-ordinate
//
// Error when the chord exceeds the diameter or x lies beyond its end. Source: plane geometry. Checked: SITE-26.
func ChordOffset(radius, chord, x float64) (float64, error) {
	m, err := MidOrdinate(radius, chord)
	if err != nil {
		return 0, err
	}
	if !(math.Abs(x) <= chord/2) {
		return 0, fmt.Errorf("geometry: %g m from the middle is beyond the end of a chord of %g m", x, chord)
	}
	drop, err := TangentOffset(radius, x)
	return m - drop, err
}

// RadiusFromMidOrdinate returns the radius of the curve measured in the field by a chord and the rise at its middle.
//
//	R = C²/(8m) + m/2
//
// C chord, m mid-ordinate, both above zero, metres. Source: plane geometry.
func RadiusFromMidOrdinate(chord, midOrdinate float64) (float64, error) {
	if !(chord > 0) || !(midOrdinate > 0) || math.IsInf(chord, 0) || math.IsInf(midOrdinate, 0) {
		return 0, fmt.Errorf("geometry: chord %g m and mid-ordinate %g m: both must be above zero", chord, midOrdinate)
	}
	return chord*chord/(8*midOrdinate) + midOrdinate/2, nil
}

// LongestChord returns the longest straight piece that stays within m metres of a curve of the given radius.
//
//	C = 2√(2Rm − m²) ≈ √(8Rm)
//
// Error unless 0 < m ≤ R. Source: plane geometry.
func LongestChord(radius, midOrdinate float64) (float64, error) {
	if !(midOrdinate > 0) || !(midOrdinate <= radius) || math.IsInf(radius, 0) {
		return 0, fmt.Errorf("geometry: mid-ordinate %g m must be above zero and at most the radius %g m", midOrdinate, radius)
	}
	return 2 * math.Sqrt(midOrdinate*(2*radius-midOrdinate)), nil
}

// SegmentShare returns the share of a disc cut off by a straight edge at distance e from its centre.
//
//	share = (r² acos(e/r) − e √(r² − e²)) / (π r²)
//
// r radius, e distance from the centre, metres; e ≥ r gives 0, e ≤ −r gives 1. Source: plane geometry. Checked: SITE-27.
func SegmentShare(radius, edgeDistance float64) (float64, error) {
	if !(radius > 0) || math.IsInf(radius, 0) || math.IsNaN(edgeDistance) {
		return 0, fmt.Errorf("geometry: radius %g m must be above zero", radius)
	}
	k := min(max(edgeDistance/radius, -1), 1)
	return (math.Acos(k) - k*math.Sqrt(1-k*k)) / math.Pi, nil
}
