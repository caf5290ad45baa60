package geometry

// Segment is the straight piece from A to B.
type Segment struct {
	A Point `json:"a" yaml:"a"`
	B Point `json:"b" yaml:"b"`
}

// Length returns |B − A|, metres.
func (s Segment) Length() float64 { return s.A.Distance(s.B) }

// Direction returns the unit vector from A to B; zero for a segment without length.
func (s Segment) Direction() Point { return s.B.Sub(s.A).Unit() }

// Midpoint is halfway between A and B.
func (s Segment) Midpoint() Point { return s.A.Lerp(s.B, 0.5) }

// At returns the point at fraction t from A to B.
func (s Segment) At(t float64) Point { return s.A.Lerp(s.B, t) }

// Reversed returns the segment from B to A.
func (s Segment) Reversed() Segment { return Segment{s.B, s.A} }

// Bounds is the smallest upright box around the segment.
func (s Segment) Bounds() Box { return EmptyBox().Grow(s.A).Grow(s.B) }

// Nearest returns the point of the segment closest to p and its fraction from A to B, in [0, 1].
func (s Segment) Nearest(p Point) (Point, float64) {
	d := s.B.Sub(s.A)
	l2 := d.Dot(d)
	if l2 == 0 {
		return s.A, 0
	}
	t := min(max(p.Sub(s.A).Dot(d)/l2, 0), 1)
	return s.At(t), t
}

// Distance returns the distance from p to the nearest point of the segment, metres.
func (s Segment) Distance(p Point) float64 {
	q, _ := s.Nearest(p)
	return p.Distance(q)
}

// Offset returns station and offset of p: metres along the segment from A, and metres to its left.
// A segment without length gives the distance from A as station and no offset.
func (s Segment) Offset(p Point) (station, offset float64) {
	u := s.Direction()
	d := p.Sub(s.A)
	if u == (Point{}) {
		return d.Length(), 0
	}
	return u.Dot(d), u.Cross(d)
}

// Meeting says how two segments meet.
type Meeting int

// The ways two segments can meet.
const (
	Apart       Meeting = iota // no common point
	Touching                   // an end of one lies on the other
	Crossing                   // interiors cross at one point
	Overlapping                // they share a piece of a line
)

// Meet says how s and o meet and where: the crossing or touching point, or one end of the shared piece.
// The answer is decided exactly; the crossing point itself is rounded to float64.
func (s Segment) Meet(o Segment) (Meeting, Point) {
	a, b := Orient(s.A, s.B, o.A), Orient(s.A, s.B, o.B)
	c, d := Orient(o.A, o.B, s.A), Orient(o.A, o.B, s.B)
	if a*b < 0 && c*d < 0 {
		return Crossing, s.crossing(o)
	}
	touches := make([]Point, 0, 4)
	note := func(sign int, line Segment, p Point) {
		if sign != 0 || !line.Bounds().Contains(p) {
			return
		}
		for _, q := range touches {
			if q == p {
				return
			}
		}
		touches = append(touches, p)
	}
	note(a, s, o.A)
	note(b, s, o.B)
	note(c, o, s.A)
	note(d, o, s.B)
	switch len(touches) {
	case 0:
		return Apart, Point{}
	case 1:
		return Touching, touches[0]
	}
	return Overlapping, touches[0]
}

// crossing solves A + t(B − A) = o.A + u(o.B − o.A) for segments known to cross properly.
func (s Segment) crossing(o Segment) Point {
	d, e, w := s.B.Sub(s.A), o.B.Sub(o.A), o.A.Sub(s.A)
	den := d.Cross(e)
	if den == 0 { // the exact test saw a crossing finer than float64 can place
		return s.Midpoint()
	}
	return s.At(min(max(w.Cross(e)/den, 0), 1))
}

// DistanceTo returns the smallest distance between two segments, metres; zero when they meet.
func (s Segment) DistanceTo(o Segment) float64 {
	if how, _ := s.Meet(o); how != Apart {
		return 0
	}
	return min(s.Distance(o.A), s.Distance(o.B), o.Distance(s.A), o.Distance(s.B))
}

// LineCrossing returns where the infinite lines through s and o cross; ok is false when they are parallel.
func LineCrossing(s, o Segment) (p Point, ok bool) {
	d, e := s.B.Sub(s.A), o.B.Sub(o.A)
	den := d.Cross(e)
	if den == 0 {
		return Point{}, false
	}
	p = s.At(o.A.Sub(s.A).Cross(e) / den)
	return p, p.IsFinite()
}
