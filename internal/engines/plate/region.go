package plate

import (
	"math"
	"slices"
)

// box is a rectangle along the axes.
type box struct{ x0, y0, x1, y1 float64 }

func (b box) area() float64    { return (b.x1 - b.x0) * (b.y1 - b.y0) }
func (b box) size() float64    { return max(b.x1-b.x0, b.y1-b.y0) }
func (b box) centre() Point    { return Point{(b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2} }
func (b box) meets(c box) bool { return b.x0 < c.x1 && c.x0 < b.x1 && b.y0 < c.y1 && c.y0 < b.y1 }
func (b box) join(c box) box {
	return box{min(b.x0, c.x0), min(b.y0, c.y0), max(b.x1, c.x1), max(b.y1, c.y1)}
}
func (b box) shrunk(by float64) box { return box{b.x0 + by, b.y0 + by, b.x1 - by, b.y1 - by} }
func (b box) holds(p Point, tolerance float64) bool {
	return p.X >= b.x0-tolerance && p.X <= b.x1+tolerance && p.Y >= b.y0-tolerance && p.Y <= b.y1+tolerance
}

func (p Polygon) bounds() box {
	b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, q := range p {
		b = b.join(box{q.X, q.Y, q.X, q.Y})
	}
	return b
}

// Area is the enclosed area, m², whatever the direction of the outline.
func (p Polygon) Area() float64 {
	sum := 0.0
	for i, a := range p {
		b := p[(i+1)%len(p)]
		sum += (a.X-p[0].X)*(b.Y-p[0].Y) - (b.X-p[0].X)*(a.Y-p[0].Y)
	}
	return math.Abs(sum) / 2
}

// rectangle tells whether the polygon is a rectangle along the axes.
func (p Polygon) rectangle() (box, bool) {
	b := p.bounds()
	if len(p) != 4 || math.Abs(p.Area()-b.area()) > 1e-12*b.area() {
		return b, false
	}
	return b, true
}

// region is an area bounded by straight edges: inside is where a ray crosses an odd number of them.
type region struct {
	edges  []edge
	bounds box
}

type edge struct{ a, b Point }

func newRegion(loops ...Polygon) *region {
	r := &region{bounds: loops[0].bounds()}
	for _, loop := range loops {
		r.bounds = r.bounds.join(loop.bounds())
		for i, a := range loop {
			r.edges = append(r.edges, edge{a, loop[(i+1)%len(loop)]})
		}
	}
	return r
}

func (p Panel) region() *region { return newRegion(append([]Polygon{p.Outline}, p.Holes...)...) }

func (r *region) contains(p Point) bool {
	in := false
	for _, e := range r.edges {
		if (e.a.X > p.X) != (e.b.X > p.X) && e.at(p.X) > p.Y {
			in = !in
		}
	}
	return in
}

// at is the height of an edge above x, taken the same way round whichever way the edge runs.
func (e edge) at(x float64) float64 {
	a, b := e.a, e.b
	if a.X > b.X {
		a, b = b, a
	}
	return a.Y + (b.Y-a.Y)*((x-a.X)/(b.X-a.X))
}

func (e edge) length() float64 { return math.Hypot(e.b.X-e.a.X, e.b.Y-e.a.Y) }

func (e edge) point(t float64) Point { return Point{e.a.X + t*(e.b.X-e.a.X), e.a.Y + t*(e.b.Y-e.a.Y)} }

// distance is that from a point to the edge.
func (e edge) distance(p Point) float64 {
	dx, dy := e.b.X-e.a.X, e.b.Y-e.a.Y
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = min(1, max(0, ((p.X-e.a.X)*dx+(p.Y-e.a.Y)*dy)/l))
	}
	q := e.point(t)
	return math.Hypot(p.X-q.X, p.Y-q.Y)
}

// clip returns the part of the edge within a box as a range of its parameter (Liang and Barsky).
func (e edge) clip(b box) (t0, t1 float64, ok bool) {
	t0, t1 = 0, 1
	dx, dy := e.b.X-e.a.X, e.b.Y-e.a.Y
	for _, side := range [4][2]float64{{-dx, e.a.X - b.x0}, {dx, b.x1 - e.a.X}, {-dy, e.a.Y - b.y0}, {dy, b.y1 - e.a.Y}} {
		p, q := side[0], side[1]
		switch {
		case p == 0 && q < 0:
			return 0, 0, false
		case p < 0:
			t0 = max(t0, q/p)
		case p > 0:
			t1 = min(t1, q/p)
		}
	}
	return t0, t1, t0 < t1
}

// within lists the edges that pass through the inside of a box; edges along its sides do not.
func (r *region) within(b box) []edge {
	var out []edge
	if !r.bounds.meets(b) {
		return nil
	}
	inner := b.shrunk(1e-9 * b.size())
	for _, e := range r.edges {
		if _, _, ok := e.clip(inner); ok {
			out = append(out, e)
		}
	}
	return out
}

// point is a place of numerical integration with its share of the area.
type point struct{ x, y, weight float64 }

// quadrature integrates over the part of a box that lies in all the regions. The box is cut by vertical lines at every
// corner and crossing, so that between two lines each region is bounded by straight edges above and below: Gauss
// points along x, and at each of them along y on every stretch inside, are then exact for polynomials up to degree 7
// in y and total degree 12, and all weights are positive.
func quadrature(b box, regions ...*region) []point {
	breaks := breakLines(b, regions)
	var out []point
	var inside, next, own []float64
	for i := 1; i < len(breaks); i++ {
		x0, width := breaks[i-1], breaks[i]-breaks[i-1]
		for gx, tx := range gauss7 {
			x := x0 + width*tx
			inside = append(inside[:0], b.y0, b.y1)
			for _, r := range regions {
				own = r.stretches(x, own[:0])
				next = common(inside, own, next[:0])
				inside, next = next, inside
			}
			for k := 0; k+1 < len(inside); k += 2 {
				y0, height := inside[k], inside[k+1]-inside[k]
				for gy, ty := range gauss4 {
					out = append(out, point{x, y0 + height*ty, width * weight7[gx] * height * weight4[gy]})
				}
			}
		}
	}
	return out
}

func breakLines(b box, regions []*region) []float64 {
	breaks := []float64{b.x0, b.x1}
	add := func(x float64) {
		if x > b.x0 && x < b.x1 {
			breaks = append(breaks, x)
		}
	}
	for i, r := range regions {
		for _, e := range r.edges {
			if min(e.a.X, e.b.X) >= b.x1 || max(e.a.X, e.b.X) <= b.x0 {
				continue
			}
			add(e.a.X)
			add(e.b.X)
			for _, y := range [2]float64{b.y0, b.y1} {
				if (e.a.Y > y) != (e.b.Y > y) {
					add(e.a.X + (e.b.X-e.a.X)*((y-e.a.Y)/(e.b.Y-e.a.Y)))
				}
			}
			for _, other := range regions[:i] {
				for _, f := range other.edges {
					if x, ok := crossing(e, f); ok {
						add(x)
					}
				}
			}
		}
	}
	slices.Sort(breaks)
	return slices.CompactFunc(breaks, func(p, q float64) bool { return math.Abs(q-p) < 1e-13*(b.x1-b.x0) })
}

// crossing is the x at which two edges cross.
func crossing(e, f edge) (float64, bool) {
	ex, ey, fx, fy := e.b.X-e.a.X, e.b.Y-e.a.Y, f.b.X-f.a.X, f.b.Y-f.a.Y
	det := ex*fy - ey*fx
	if math.Abs(det) <= 1e-14*(math.Abs(ex*fy)+math.Abs(ey*fx)) {
		return 0, false
	}
	t := ((f.a.X-e.a.X)*fy - (f.a.Y-e.a.Y)*fx) / det
	u := ((f.a.X-e.a.X)*ey - (f.a.Y-e.a.Y)*ex) / det
	return e.a.X + t*ex, t >= 0 && t <= 1 && u >= 0 && u <= 1
}

// stretches lists where the vertical line at x is inside: pairs of y from below to above.
func (r *region) stretches(x float64, out []float64) []float64 {
	for _, e := range r.edges {
		if (e.a.X > x) != (e.b.X > x) {
			out = append(out, e.at(x))
		}
	}
	slices.Sort(out)
	return out
}

// common keeps what lies in both lists of pairs.
func common(p, q, out []float64) []float64 {
	for i := 0; i+1 < len(p); i += 2 {
		for k := 0; k+1 < len(q); k += 2 {
			if low, high := max(p[i], q[k]), min(p[i+1], q[k+1]); low < high {
				out = append(out, low, high)
			}
		}
	}
	return out
}

// Gauss points and weights on 0..1.
var (
	gauss4, weight4 = onUnit([]float64{0.3399810435848563, 0.8611363115940526}, []float64{0.6521451548625461, 0.3478548451374538})
	gauss7, weight7 = onUnit([]float64{0, 0.4058451513773972, 0.7415311855993945, 0.9491079123427585},
		[]float64{0.4179591836734694, 0.3818300505051189, 0.2797053914892766, 0.1294849661688697})
)

// onUnit mirrors the points of the interval −1..1, given from the middle outwards, and maps them to 0..1.
func onUnit(points, weights []float64) (x, w []float64) {
	for i := len(points) - 1; i >= 0; i-- {
		x, w = append(x, (1-points[i])/2), append(w, weights[i]/2)
	}
	for i, p := range points {
		if p != 0 {
			x, w = append(x, (1+p)/2), append(w, weights[i]/2)
		}
	}
	return x, w
}
