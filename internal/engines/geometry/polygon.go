package geometry

import "math"

// Polygon is an outline with holes, metres. Rings are open (last corner not repeated) and may run either way round.
type Polygon struct {
	Outer []Point   `json:"outer" yaml:"outer"`
	Holes [][]Point `json:"holes,omitempty" yaml:"holes,omitempty"`
}

// Rectangle returns the upright rectangle with its lower left corner at the origin; width along x, height along y.
func Rectangle(width, height float64) Polygon {
	return Box{Max: Point{width, height}}.Polygon()
}

// Rings returns the outer ring, then the holes, as they are stored.
func (p Polygon) Rings() [][]Point {
	return append([][]Point{p.Outer}, p.Holes...)
}

// IsEmpty reports whether the polygon has no outline.
func (p Polygon) IsEmpty() bool { return len(p.Outer) == 0 }

// SignedArea returns the area of a ring by the shoelace formula, m²: positive when it runs counter-clockwise.
//
//	A = ½ Σ (x_i y_{i+1} − x_{i+1} y_i)
//
// Coordinates are taken from the first corner, so a ring far from the origin loses no digits.
func SignedArea(ring []Point) float64 {
	twice := 0.0
	for i := 1; i+1 < len(ring); i++ {
		twice += ring[i].Sub(ring[0]).Cross(ring[i+1].Sub(ring[0]))
	}
	return twice / 2
}

// IsCounterClockwise reports whether the ring runs counter-clockwise (false for a ring without area).
func IsCounterClockwise(ring []Point) bool { return SignedArea(ring) > 0 }

// RingLength returns the length round a closed ring, metres.
func RingLength(ring []Point) float64 {
	sum := 0.0
	for i, p := range ring {
		sum += p.Distance(ring[(i+1)%len(ring)])
	}
	return sum
}

// PathLength returns the length along an open line of points, metres.
func PathLength(path []Point) float64 {
	sum := 0.0
	for i := 1; i < len(path); i++ {
		sum += path[i].Distance(path[i-1])
	}
	return sum
}

// Area returns the area inside the outline less the holes, m².
func (p Polygon) Area() float64 {
	area := math.Abs(SignedArea(p.Outer))
	for _, hole := range p.Holes {
		area -= math.Abs(SignedArea(hole))
	}
	return area
}

// Perimeter returns the length of all edges, outline and holes, metres.
func (p Polygon) Perimeter() float64 {
	sum := 0.0
	for _, ring := range p.Rings() {
		sum += RingLength(ring)
	}
	return sum
}

// Bounds is the smallest upright box around the outline; empty for an empty polygon.
func (p Polygon) Bounds() Box { return BoundsOf(p.Outer) }

// Centroid returns the centre of area. Without area it is the mean of the corners; without corners the origin.
//
//	C = Σ (P_i + P_{i+1}) (P_i × P_{i+1}) / (6 A)
func (p Polygon) Centroid() Point {
	if len(p.Outer) == 0 {
		return Point{}
	}
	origin := p.Outer[0]
	var moment Point
	area := 0.0
	for i, ring := range p.Rings() {
		m, a := ringMoment(ring, origin)
		if (a < 0) != (i > 0) { // outline counts positive, holes negative, whichever way they run
			m, a = m.Scale(-1), -a
		}
		moment, area = moment.Add(m), area+a
	}
	if math.Abs(area) <= 1e-14*p.Bounds().Width()*p.Bounds().Height() {
		return mean(p.Outer)
	}
	return origin.Add(moment.Scale(1 / area))
}

func ringMoment(ring []Point, origin Point) (moment Point, area float64) {
	for i, q := range ring {
		a, b := q.Sub(origin), ring[(i+1)%len(ring)].Sub(origin)
		c := a.Cross(b)
		moment = moment.Add(a.Add(b).Scale(c / 6))
		area += c / 2
	}
	return moment, area
}

func mean(points []Point) Point {
	if len(points) == 0 {
		return Point{}
	}
	var sum Point
	for _, p := range points {
		sum = sum.Add(p)
	}
	return sum.Scale(1 / float64(len(points)))
}

// Place says where a point lies against a polygon.
type Place int

// The places a point can have.
const (
	Outside Place = iota
	OnBoundary
	Inside
)

// Locate says whether q is inside, outside or on the border of the polygon, decided exactly. A point in a hole is outside.
func (p Polygon) Locate(q Point) Place {
	inside := false
	for _, ring := range p.Rings() {
		switch locateInRing(ring, q) {
		case OnBoundary:
			return OnBoundary
		case Inside:
			inside = !inside
		}
	}
	if inside {
		return Inside
	}
	return Outside
}

func locateInRing(ring []Point, q Point) Place {
	inside := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if a.Y > b.Y {
			a, b = b, a
		}
		if q.Y < a.Y || q.Y > b.Y || q.X > math.Max(a.X, b.X) {
			continue
		}
		side := Orient(a, b, q)
		if side == 0 && q.X >= math.Min(a.X, b.X) {
			return OnBoundary
		}
		if a.Y <= q.Y && q.Y < b.Y && side > 0 { // q strictly left of a rising edge: the ray to +x crosses it
			inside = !inside
		}
	}
	if inside {
		return Inside
	}
	return Outside
}

// Contains reports whether q is inside the polygon or on its border.
func (p Polygon) Contains(q Point) bool { return p.Locate(q) != Outside }

// Edge is one side of a polygon as it is stored.
type Edge struct {
	Segment
	Ring    int   // 0 is the outline, 1 the first hole
	Index   int   // the edge runs from corner Index to the next
	Outward Point // unit normal pointing out of the material (into the hole for a hole edge); zero without length
}

// Edges returns every side, outline first, in the order of the corners.
func (p Polygon) Edges() []Edge {
	var edges []Edge
	for r, ring := range p.Rings() {
		outwardIsLeft := IsCounterClockwise(ring) == (r > 0)
		for i, a := range ring {
			s := Segment{a, ring[(i+1)%len(ring)]}
			n := s.Direction().Left()
			if !outwardIsLeft {
				n = n.Scale(-1)
			}
			edges = append(edges, Edge{s, r, i, n})
		}
	}
	return edges
}

// NearestEdge returns the point of the border closest to q and the edge it lies on; ok is false for an empty polygon.
func (p Polygon) NearestEdge(q Point) (at Point, edge Edge, ok bool) {
	best := math.Inf(1)
	for _, e := range p.Edges() {
		n, _ := e.Nearest(q)
		if d := n.Distance(q); d < best {
			best, at, edge, ok = d, n, e, true
		}
	}
	return at, edge, ok
}

// BoundaryDistance returns the distance from q to the nearest edge, inside or outside, metres; +Inf when empty.
func (p Polygon) BoundaryDistance(q Point) float64 {
	best := math.Inf(1)
	for _, ring := range p.Rings() {
		for i, a := range ring {
			best = min(best, Segment{a, ring[(i+1)%len(ring)]}.Distance(q))
		}
	}
	return best
}

// Distance returns how far q is from the polygon, metres: zero inside or on the border, +Inf when it is empty.
func (p Polygon) Distance(q Point) float64 {
	if p.Contains(q) {
		return 0
	}
	return p.BoundaryDistance(q)
}

// DistanceTo returns the smallest distance between two polygons, metres; zero when they touch or overlap.
func (p Polygon) DistanceTo(o Polygon) float64 {
	if p.IsEmpty() || o.IsEmpty() {
		return math.Inf(1)
	}
	if p.Contains(o.Outer[0]) || o.Contains(p.Outer[0]) {
		return 0
	}
	best := math.Inf(1)
	others := o.Edges()
	for _, e := range p.Edges() {
		for _, f := range others {
			best = min(best, e.Segment.DistanceTo(f.Segment))
		}
	}
	return best
}

// Map returns the polygon with every corner moved by f.
func (p Polygon) Map(f func(Point) Point) Polygon {
	move := func(ring []Point) []Point {
		out := make([]Point, len(ring))
		for i, q := range ring {
			out[i] = f(q)
		}
		return out
	}
	moved := Polygon{Outer: move(p.Outer)}
	for _, hole := range p.Holes {
		moved.Holes = append(moved.Holes, move(hole))
	}
	return moved
}

// Translate returns the polygon moved by v, metres.
func (p Polygon) Translate(v Point) Polygon {
	return p.Map(func(q Point) Point { return q.Add(v) })
}

// Rotate returns the polygon turned by angle (radians, counter-clockwise) about the point about.
func (p Polygon) Rotate(about Point, angle float64) Polygon {
	return p.Map(func(q Point) Point { return q.Rotate(about, angle) })
}

// Oriented returns a copy with the outline counter-clockwise and the holes clockwise: material on the left of every edge.
func (p Polygon) Oriented() Polygon {
	o := p.Map(func(q Point) Point { return q })
	for i, ring := range o.Rings() {
		if IsCounterClockwise(ring) != (i == 0) {
			reverse(ring)
		}
	}
	return o
}

func reverse(ring []Point) {
	for i, j := 0, len(ring)-1; i < j; i, j = i+1, j-1 {
		ring[i], ring[j] = ring[j], ring[i]
	}
}
