package plate

import (
	"context"
	"errors"
	"math"
)

// Zoom answers the load of r again in a window around a place, on a mesh of its own: what a mesh made for the load gives
// there, for the cost of the window. The rim of the window moves as r does, in deflection, slopes and twist; r's mesh, as
// coarse as a third of the radius of relative stiffness, is exact enough for that where no contact area is near, so reach
// should be 1.5 radii or more. Under a slab that may lift off, the contact in the window is found anew. Extremes, contact
// and balance are those of the window. mesh.Around stands for the patches of the load that reach into the window.
func (r *Result) Zoom(ctx context.Context, at Point, reach float64, mesh Mesh) (*Result, error) {
	if len(r.u) == 0 {
		return nil, errors.New("plate: there is no answer to look into")
	}
	if !finite(at.X, at.Y, reach) || !(reach > 0) {
		return nil, &Fault{"window", "it needs a place and a reach over 0 m"}
	}
	if faults := mesh.Validate(); len(faults) > 0 {
		return nil, faults[0]
	}
	coarse := r.f.m
	s := coarse.slab
	edgesX, edgesY := s.axes(Mesh{})
	w := box{
		x0: rim(coarse.xs, edgesX.edges, at.X-reach, -1), x1: rim(coarse.xs, edgesX.edges, at.X+reach, 1),
		y0: rim(coarse.ys, edgesY.edges, at.Y-reach, -1), y1: rim(coarse.ys, edgesY.edges, at.Y+reach, 1),
	}
	if !(w.x0 < w.x1 && w.y0 < w.y1) {
		return nil, &Fault{"window", "it is off the slab"}
	}
	if mesh.Around == nil {
		for _, p := range r.load.Patches {
			if p.Area.bounds().meets(w) {
				mesh.Around = append(mesh.Around, p)
			}
		}
	}
	mesh = mesh.filled(s)
	x, y := s.axes(mesh)
	x.low, x.high, y.low, y.high = w.x0, w.x1, w.y0, w.y1
	m, err := meshed(ctx, s, x.lines(mesh), y.lines(mesh))
	if err != nil {
		return nil, err
	}
	m.window = &w
	if err := m.join(); err != nil {
		return nil, err
	}
	if err := m.hold(); err != nil {
		return nil, err
	}
	m.follow(r)
	f, err := factored(ctx, m, mesh)
	if err != nil {
		return nil, err
	}
	load := append([]float64(nil), f.weight...)
	m.addTemperature(load, r.load.Temperature)
	for _, p := range r.load.Patches {
		m.spread(load, p)
	}
	near := make([]float64, len(load))
	for n, nd := range m.nodes {
		at := r.movement(nd.panel, Point{m.xs[nd.i], m.ys[nd.j]})
		copy(near[n*unknowns:], at[:])
	}
	return f.answer(ctx, r.load, load, near)
}

// rim is the mesh line at or beyond v, to the side of sign, that is not along an edge of a panel; the outermost line if
// there is none.
func rim(lines, edges []float64, v, sign float64) float64 {
	best := lines[0]
	if sign > 0 {
		best = lines[len(lines)-1]
	}
	near := 1e-9 * (lines[len(lines)-1] - lines[0])
search:
	for _, x := range lines {
		if sign*(x-v) < 0 || sign*(x-best) >= 0 {
			continue
		}
		for _, e := range edges {
			if math.Abs(e-x) <= near {
				continue search
			}
		}
		best = x
	}
	return best
}

// follow holds the nodes on the rim of the window at what r does there. The outer bounds of the slab are no rim.
func (m *model) follow(r *Result) {
	whole, w := r.f.m.slab.bounds(), *m.window
	if m.held == nil {
		m.held = make([]bool, unknowns*len(m.nodes))
	}
	m.fixed = make([]float64, len(m.held))
	for n, nd := range m.nodes {
		x, y := m.xs[nd.i], m.ys[nd.j]
		if !(x == w.x0 && x > whole.x0 || x == w.x1 && x < whole.x1 || y == w.y0 && y > whole.y0 || y == w.y1 && y < whole.y1) {
			continue
		}
		for d, v := range r.movement(nd.panel, Point{x, y}) {
			m.held[n*unknowns+d], m.fixed[n*unknowns+d] = true, v
		}
	}
}

// movement are deflection, slopes and twist of a panel at a place; beside the panel, those of its nearest element drawn on.
func (r *Result) movement(panel int, p Point) (out [unknowns]float64) {
	m := r.f.m
	k := -1
	near := 1e-9 * m.slab.bounds().size()
	for _, q := range [4]Point{{p.X - near, p.Y - near}, {p.X + near, p.Y - near}, {p.X - near, p.Y + near}, {p.X + near, p.Y + near}} {
		if e, ok := m.cells[panel][m.cell(cellOf(m.xs, q.X), cellOf(m.ys, q.Y))]; ok {
			k = e
			break
		}
	}
	if k < 0 {
		k = m.elementNear(panel, p, p)
	}
	e := &m.elements[k]
	v := e.of(r.u)
	xi, eta := m.local(e, p.X, p.Y)
	a, b := m.sideX[e.i].a, m.sideY[e.j].a
	for d := range out {
		n := product(hermite(d%2, xi, a), hermite(d/2, eta, b))
		out[d] = n.dot(&v)
	}
	return out
}
