package plate

import "math"

// raster lists where a vehicle is put first: over the open slab, with each patch sliding along each edge and joint from
// the inside, and with each patch in each outward corner.
func (m *model) raster(d Drive) []position {
	var out []position
	for _, heading := range d.Headings {
		var patches []Polygon
		around := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for _, p := range d.Patches {
			a := p.Place(Point{}, heading).Area
			patches = append(patches, a)
			around = around.join(a.bounds())
		}
		add := func(at Point) { out = append(out, position{at: at, heading: heading}) }
		b := m.slab.bounds()
		open(box{b.x0 - around.x1, b.y0 - around.y1, b.x1 - around.x0, b.y1 - around.y0}, 2*d.Step, add)
		for _, p := range m.slab.Panels {
			for n, loop := range append([]Polygon{p.Outline}, p.Holes...) {
				sides := outward(loop, n > 0)
				for i, s := range sides {
					next := sides[(i+1)%len(sides)]
					for _, a := range patches {
						s.slide(a, d.Step, add)
						if at, ok := s.corner(next, a); ok && n == 0 {
							add(at)
						}
					}
				}
			}
		}
	}
	return distinct(out)
}

// open is an even raster over a box.
func open(b box, step float64, add func(Point)) {
	nx, ny := math.Ceil((b.x1-b.x0)/step), math.Ceil((b.y1-b.y0)/step)
	for j := 0.5; j < ny; j++ {
		for i := 0.5; i < nx; i++ {
			add(Point{b.x0 + i/nx*(b.x1-b.x0), b.y0 + j/ny*(b.y1-b.y0)})
		}
	}
}

// boundary is a side of a panel with its direction away from the panel.
type boundary struct {
	edge
	nx, ny float64
}

func outward(loop Polygon, hole bool) []boundary {
	turn := 0.0
	for i, a := range loop {
		b := loop[(i+1)%len(loop)]
		turn += a.X*b.Y - b.X*a.Y
	}
	sign := 1.0
	if (turn < 0) != hole {
		sign = -1
	}
	out := make([]boundary, len(loop))
	for i, a := range loop {
		e := edge{a, loop[(i+1)%len(loop)]}
		l := e.length()
		out[i] = boundary{e, sign * (e.b.Y - e.a.Y) / l, -sign * (e.b.X - e.a.X) / l}
	}
	return out
}

// reach is how far a shape extends in the outward direction.
func (s boundary) reach(a Polygon) float64 {
	far := math.Inf(-1)
	for _, q := range a {
		far = max(far, s.nx*q.X+s.ny*q.Y)
	}
	return far
}

// slide puts a shape against the side, its middle at even steps along it.
func (s boundary) slide(a Polygon, step float64, add func(Point)) {
	middle, r := a.bounds().centre(), s.reach(a)
	n := math.Ceil(s.length() / step)
	for i := 0.5; i < n; i++ {
		on := s.point(i / n)
		// Along the side the middle of the shape is at the point on the side; across it, the shape just touches.
		across := s.nx*on.X + s.ny*on.Y - r
		along := -s.ny*(on.X-middle.X) + s.nx*(on.Y-middle.Y)
		add(Point{s.nx*across - s.ny*along, s.ny*across + s.nx*along})
	}
}

// corner puts a shape against two sides that meet in an outward corner.
func (s boundary) corner(next boundary, a Polygon) (Point, bool) {
	det := s.nx*next.ny - s.ny*next.nx
	ex, ey := next.b.X-next.a.X, next.b.Y-next.a.Y
	if math.Abs(det) < 1e-3 || s.nx*ex+s.ny*ey > 0 { // nearly straight, or the panel turns inward
		return Point{}, false
	}
	c := next.a
	p, q := s.nx*c.X+s.ny*c.Y-s.reach(a), next.nx*c.X+next.ny*c.Y-next.reach(a)
	return Point{(p*next.ny - q*s.ny) / det, (s.nx*q - next.nx*p) / det}, true
}
