// Package geometry is the plane vocabulary of the house: points, segments, rings, polygons with holes, arcs.
//
// x runs east, y runs north, both in metres; angles are radians, counter-clockwise from +x. Rings are open lists of
// corners (the last corner is not repeated). A polygon's rings may run either way round: every function says what it
// answers without asking the caller to turn them first. Predicates that decide a shape (Orient, InCircle) are exact;
// measured results (areas, distances, crossings) are float64. Work near the origin: 1 km away a coordinate still
// resolves 1e-13 m, 1000 km away only 1e-10 m.
package geometry

import "math"

// Point is a place or a vector in plan, metres.
type Point struct {
	X float64 `json:"x" yaml:"x"`
	Y float64 `json:"y" yaml:"y"`
}

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns the vector from q to p.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Scale returns k·p.
func (p Point) Scale(k float64) Point { return Point{k * p.X, k * p.Y} }

// Dot returns the scalar product p·q, m².
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross returns the z component of p × q, m²: positive when q lies counter-clockwise of p.
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Length returns |p|, metres.
func (p Point) Length() float64 { return math.Hypot(p.X, p.Y) }

// Distance returns |p − q|, metres.
func (p Point) Distance(q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// Heading returns the direction of the vector p, radians counter-clockwise from +x in (−π, π].
func (p Point) Heading() float64 { return math.Atan2(p.Y, p.X) }

// Unit returns p at length one; the zero vector stays zero.
func (p Point) Unit() Point {
	if l := p.Length(); l > 0 {
		return Point{p.X / l, p.Y / l}
	}
	return Point{}
}

// Left returns p turned a quarter turn counter-clockwise.
func (p Point) Left() Point { return Point{-p.Y, p.X} }

// Rotate returns p turned by angle (radians, counter-clockwise) about the point about.
func (p Point) Rotate(about Point, angle float64) Point {
	s, c := math.Sincos(angle)
	d := p.Sub(about)
	return Point{about.X + c*d.X - s*d.Y, about.Y + s*d.X + c*d.Y}
}

// Lerp returns the point at fraction t of the way from p to q; t outside [0, 1] extrapolates.
func (p Point) Lerp(q Point, t float64) Point {
	return Point{p.X + t*(q.X-p.X), p.Y + t*(q.Y-p.Y)}
}

// IsFinite reports whether both coordinates are ordinary numbers.
func (p Point) IsFinite() bool {
	return !math.IsNaN(p.X) && !math.IsInf(p.X, 0) && !math.IsNaN(p.Y) && !math.IsInf(p.Y, 0)
}

// Direction returns the unit vector with the given heading, radians counter-clockwise from +x.
func Direction(heading float64) Point {
	s, c := math.Sincos(heading)
	return Point{c, s}
}

// Box is an upright rectangle. The zero Box is the single point (0, 0); an empty one has Min above Max.
type Box struct {
	Min Point `json:"min" yaml:"min"`
	Max Point `json:"max" yaml:"max"`
}

// EmptyBox returns the box that holds nothing and grows from the first point added.
func EmptyBox() Box {
	inf := math.Inf(1)
	return Box{Point{inf, inf}, Point{-inf, -inf}}
}

// BoundsOf returns the smallest box around the points; without points it is empty.
func BoundsOf(points []Point) Box {
	b := EmptyBox()
	for _, p := range points {
		b = b.Grow(p)
	}
	return b
}

// Grow returns the smallest box holding b and p.
func (b Box) Grow(p Point) Box {
	return Box{Point{math.Min(b.Min.X, p.X), math.Min(b.Min.Y, p.Y)},
		Point{math.Max(b.Max.X, p.X), math.Max(b.Max.Y, p.Y)}}
}

// Expand returns b with every side moved outwards by d metres (inwards when negative).
func (b Box) Expand(d float64) Box {
	return Box{Point{b.Min.X - d, b.Min.Y - d}, Point{b.Max.X + d, b.Max.Y + d}}
}

// IsEmpty reports whether the box holds no point.
func (b Box) IsEmpty() bool { return b.Min.X > b.Max.X || b.Min.Y > b.Max.Y }

// Width is the extent along x, metres.
func (b Box) Width() float64 { return b.Max.X - b.Min.X }

// Height is the extent along y, metres.
func (b Box) Height() float64 { return b.Max.Y - b.Min.Y }

// Centre is the middle of the box.
func (b Box) Centre() Point { return b.Min.Lerp(b.Max, 0.5) }

// Contains reports whether p is in the box or on its border.
func (b Box) Contains(p Point) bool {
	return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
}

// Overlaps reports whether the boxes share at least a point.
func (b Box) Overlaps(o Box) bool {
	return b.Min.X <= o.Max.X && o.Min.X <= b.Max.X && b.Min.Y <= o.Max.Y && o.Min.Y <= b.Max.Y
}

// Polygon returns the box as a polygon, counter-clockwise from its lower left corner.
func (b Box) Polygon() Polygon {
	return Polygon{Outer: []Point{b.Min, {b.Max.X, b.Min.Y}, b.Max, {b.Min.X, b.Max.Y}}}
}
