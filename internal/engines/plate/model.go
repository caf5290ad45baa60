package plate

import (
	"context"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/sparse"
)

// element is one cell of the grid as far as it belongs to one panel.
type element struct {
	panel     int
	i, j      int
	node      [corners]int
	thickness float64 // at its middle, m
	support   float64 // at its middle, N/m³
	share     float64 // part of the cell that is slab, 0..1
	points    []place // where the element is integrated if it is cut or not the same throughout; nil for a plain one
}

func (e *element) cut() bool { return e.share < 1 }

// place is a point of integration with the properties there.
type place struct {
	point
	thickness, support float64
}

// model is a slab cut into elements.
type model struct {
	slab    Slab
	xs, ys  []float64
	sideX   []*side
	sideY   []*side
	regions []*region // of the panels

	elements []element
	cells    []map[int]int // per panel: cell -> element
	nodes    []node
	nodeAt   []map[int]int // per panel: grid point -> node
	links    []link

	held   []bool    // unknowns that are held; nil if none
	fixed  []float64 // what they are held at; nil for zero
	window *box      // the part of the slab that is meshed; nil for all
}

type node struct {
	panel, i, j int
}

// link is a point of integration on a joint.
type link struct {
	joint       int // of the slab
	left, right int // elements
	at          Point
	shear       float64 // stiffness of this point's share of the joint, N/m
}

func (m *model) cell(i, j int) int { return j*len(m.sideX) + i }

func (m *model) box(e *element) box {
	return box{m.xs[e.i], m.ys[e.j], m.xs[e.i+1], m.ys[e.j+1]}
}

// mostCells keeps a typing error from asking for more memory than there is.
const mostCells = 400_000

func newModel(ctx context.Context, s Slab, mesh Mesh) (*model, error) {
	if faults := append(s.Validate(), mesh.Validate()...); len(faults) > 0 {
		return nil, faults[0]
	}
	mesh = mesh.filled(s)
	x, y := s.axes(mesh)
	if n := (x.high - x.low) * (y.high - y.low) / (mesh.Size * mesh.Size); n > mostCells {
		return nil, fmt.Errorf("plate: elements of %g m on %g × %g m make about %.0f cells; the most is %d: give a larger element size",
			mesh.Size, x.high-x.low, y.high-y.low, n, mostCells)
	}
	m, err := meshed(ctx, s, x.lines(mesh), y.lines(mesh))
	if err != nil {
		return nil, err
	}
	if err := m.join(); err != nil {
		return nil, err
	}
	if err := m.hold(); err != nil {
		return nil, err
	}
	return m, m.loose()
}

// meshed makes the elements of the part of a slab under a grid.
func meshed(ctx context.Context, s Slab, xs, ys []float64) (*model, error) {
	m := &model{slab: s, xs: xs, ys: ys, sideX: sides(xs), sideY: sides(ys)}
	for i, p := range s.Panels {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		m.regions = append(m.regions, p.region())
		m.cells, m.nodeAt = append(m.cells, map[int]int{}), append(m.nodeAt, map[int]int{})
		m.fill(i)
	}
	return m, nil
}

// like is the model of another slab with the same panels on the same grid, the same throughout.
func (m *model) like(s Slab) *model {
	out := *m
	out.slab, out.elements, out.links = s, slices.Clone(m.elements), slices.Clone(m.links)
	for k := range out.elements {
		e := &out.elements[k]
		e.thickness, e.support, e.points = s.Thickness, s.Support, slices.Clone(e.points)
		for i := range e.points {
			e.points[i].thickness, e.points[i].support = s.Thickness, s.Support
		}
	}
	for k := range out.links {
		l := &out.links[k]
		l.shear *= s.Joints[l.joint].Shear / m.slab.Joints[l.joint].Shear
	}
	return &out
}

func sides(lines []float64) []*side {
	out := make([]*side, len(lines)-1)
	for i := range out {
		if a := lines[i+1] - lines[i]; i > 0 && a == out[i-1].a {
			out[i] = out[i-1]
		} else {
			out[i] = newSide(a)
		}
	}
	return out
}

// fill makes the elements of one panel.
func (m *model) fill(panel int) {
	r := m.regions[panel]
	var zones []*region
	for _, t := range m.slab.Thickenings {
		zones = append(zones, newRegion(t.Area))
	}
	for _, a := range m.slab.Soils {
		zones = append(zones, newRegion(a.Area))
	}
	for j := range m.sideY {
		for i := range m.sideX {
			b := box{m.xs[i], m.ys[j], m.xs[i+1], m.ys[j+1]}
			if !r.bounds.meets(b) {
				continue
			}
			e := element{panel: panel, i: i, j: j, share: 1}
			var inside []point
			if len(r.within(b)) > 0 {
				inside = quadrature(b, r)
				e.share = 0
				for _, p := range inside {
					e.share += p.weight / b.area()
				}
				// Less than this is rounding in the outline.
				if e.share < 1e-9 {
					continue
				}
				e.share = min(e.share, 1-1e-12)
			} else if !r.contains(b.centre()) {
				continue
			}
			e.thickness, e.support = m.properties(middle(b, inside), zones)
			m.integrate(&e, b, inside, zones)
			m.add(e)
		}
	}
}

func middle(b box, points []point) Point {
	if points == nil {
		return b.centre()
	}
	var x, y, w float64
	for _, p := range points {
		x, y, w = x+p.weight*p.x, y+p.weight*p.y, w+p.weight
	}
	return Point{x / w, y / w}
}

// integrate gives an element its points, if it needs them.
func (m *model) integrate(e *element, b box, inside []point, zones []*region) {
	mixed := false
	for _, z := range zones {
		mixed = mixed || len(z.within(b)) > 0
	}
	if mixed && inside == nil {
		// An edge of a zone crosses the element: halve it three times, so that the step is felt where it is.
		for k := range 64 {
			w, h := (b.x1-b.x0)/8, (b.y1-b.y0)/8
			x, y := b.x0+float64(k%8)*w, b.y0+float64(k/8)*h
			inside = append(inside, gauss(box{x, y, x + w, y + h})...)
		}
	}
	for _, p := range inside {
		q := place{p, e.thickness, e.support}
		if mixed {
			q.thickness, q.support = m.properties(Point{p.x, p.y}, zones)
		}
		e.points = append(e.points, q)
	}
}

// gauss are the 4 × 4 points of a whole box.
func gauss(b box) []point {
	out := make([]point, 0, 16)
	for gy, ty := range gauss4 {
		for gx, tx := range gauss4 {
			out = append(out, point{b.x0 + tx*(b.x1-b.x0), b.y0 + ty*(b.y1-b.y0), weight4[gx] * weight4[gy] * b.area()})
		}
	}
	return out
}

func (m *model) properties(p Point, zones []*region) (thickness, support float64) {
	thickness, support = m.slab.Thickness, m.slab.Support
	for k, t := range m.slab.Thickenings {
		if zones[k].contains(p) {
			thickness = t.Thickness
		}
	}
	for k, a := range m.slab.Soils {
		if zones[len(m.slab.Thickenings)+k].contains(p) {
			support = a.Support
		}
	}
	return thickness, support
}

func (m *model) add(e element) {
	at := m.nodeAt[e.panel]
	for c := range corners {
		i, j := e.i+c%2, e.j+c/2
		key := j*len(m.xs) + i
		n, ok := at[key]
		if !ok {
			n = len(m.nodes)
			at[key] = n
			m.nodes = append(m.nodes, node{e.panel, i, j})
		}
		e.node[c] = n
	}
	m.cells[e.panel][m.cell(e.i, e.j)] = len(m.elements)
	m.elements = append(m.elements, e)
}

// face is the common side of two elements of a panel of which at least one is cut.
type face struct {
	low, high *element
	upright   bool // the side runs along y
}

func (m *model) faces(yield func(face) bool) {
	for k := range m.elements {
		e := &m.elements[k]
		for _, f := range [2]face{{low: e, upright: true}, {low: e}} {
			i, j := e.i, e.j+1
			if f.upright {
				i, j = e.i+1, e.j
			}
			if i >= len(m.sideX) || j >= len(m.sideY) {
				continue
			}
			other, ok := m.cells[e.panel][m.cell(i, j)]
			if !ok || !(e.cut() || m.elements[other].cut()) {
				continue
			}
			f.high = &m.elements[other]
			if !yield(f) {
				return
			}
		}
	}
}

// nodes lists the six nodes of the two elements and the four along-and-across numbers that place them.
func (f face) nodes() []int {
	a, b := f.low.node, f.high.node
	if f.upright {
		return []int{a[0], a[1], b[1], a[2], a[3], b[3]}
	}
	return []int{a[0], a[2], b[2], a[1], a[3], b[3]}
}

func (m *model) groups(yield func([]int) bool) {
	for k := range m.elements {
		if !yield(m.elements[k].node[:]) {
			return
		}
	}
	for f := range m.faces {
		if !yield(f.nodes()) {
			return
		}
	}
	for _, l := range m.links {
		a, b := m.elements[l.left].node, m.elements[l.right].node
		if !yield(append(a[:], b[:]...)) {
			return
		}
	}
}

func (m *model) pattern() (*sparse.Pattern, error) {
	x, y := make([]float64, len(m.nodes)), make([]float64, len(m.nodes))
	for k, n := range m.nodes {
		x[k], y[k] = m.xs[n.i], m.ys[n.j]
	}
	return sparse.NewPattern(unknowns, x, y, m.groups)
}

// at are the values of the element's functions at a point of the plane, and its place within the element.
func (m *model) at(e *element, x, y float64) vector {
	xi, eta := m.local(e, x, y)
	return *m.functions(e, xi, eta)
}

// functions are their values at a place given in shares of the element's sides.
func (m *model) functions(e *element, xi, eta float64) *vector {
	v := product(hermite(0, xi, m.sideX[e.i].a), hermite(0, eta, m.sideY[e.j].a))
	return &v
}

func (m *model) local(e *element, x, y float64) (xi, eta float64) {
	return (x - m.xs[e.i]) / m.sideX[e.i].a, (y - m.ys[e.j]) / m.sideY[e.j].a
}

// of gathers the unknowns of an element.
func (e *element) of(u []float64) (v vector) {
	for c, n := range e.node {
		copy(v[c*unknowns:(c+1)*unknowns], u[n*unknowns:(n+1)*unknowns])
	}
	return v
}

// scatter adds f times an element's vector to the unknowns.
func (e *element) scatter(to []float64, f float64, v *vector) {
	for c, n := range e.node {
		for d := range unknowns {
			to[n*unknowns+d] += f * v[c*unknowns+d]
		}
	}
}

func (v *vector) dot(w *vector) float64 {
	s := 0.0
	for i := range v {
		s += v[i] * w[i]
	}
	return s
}

func finite(v ...float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
