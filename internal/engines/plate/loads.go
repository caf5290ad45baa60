package plate

import (
	"fmt"
	"math"
)

// weightVector is the part of the load that is the same in every case: the weight of the slab.
func (m *model) weightVector() []float64 {
	f := make([]float64, unknowns*len(m.nodes))
	if m.slab.Weight == 0 {
		return f
	}
	for k := range m.elements {
		e := &m.elements[k]
		if e.points == nil {
			v := product(whole(0, 0, 1, m.sideX[e.i].a), whole(0, 0, 1, m.sideY[e.j].a))
			e.scatter(f, m.slab.Weight*e.thickness, &v)
		}
		for _, p := range e.points {
			v := m.at(e, p.x, p.y)
			e.scatter(f, m.slab.Weight*p.thickness*p.weight, &v)
		}
	}
	return f
}

// addTemperature adds the bending that a temperature difference would cause:
//
//	f = D (1+ν) αΔT/h ∫ N,xx + N,yy dA,  ΔT top less bottom, w down
func (m *model) addTemperature(f []float64, t Temperature) {
	difference, _, _ := t.split()
	if difference == 0 {
		return
	}
	pull := func(thickness float64) float64 {
		return m.slab.Rigidity(thickness) * (1 + m.slab.Poisson) * m.slab.Expansion * difference / thickness
	}
	for k := range m.elements {
		e := &m.elements[k]
		x, y := m.sideX[e.i].a, m.sideY[e.j].a
		if e.points == nil {
			xx, yy := product(whole(2, 0, 1, x), whole(0, 0, 1, y)), product(whole(0, 0, 1, x), whole(2, 0, 1, y))
			e.scatter(f, pull(e.thickness), &xx)
			e.scatter(f, pull(e.thickness), &yy)
		}
		for _, p := range e.points {
			xi, eta := m.local(e, p.x, p.y)
			c := curvatureAt(xi, eta, x, y)
			e.scatter(f, p.weight*pull(p.thickness), &c.xx)
			e.scatter(f, p.weight*pull(p.thickness), &c.yy)
		}
	}
}

// onSlab is the part of a contact area that may be missed through rounding in outlines before it counts as off the slab.
const onSlab = 1e-6

// addPatch spreads a force over its contact area. It returns an error if part of the area is off the slab: that part of
// the force would be lost.
func (m *model) addPatch(f []float64, p Patch) error {
	if covered := m.spread(f, p); math.Abs(covered-1) > onSlab {
		b := p.Area.bounds()
		return &Fault{"patch", fmt.Sprintf("the contact area from (%.3f, %.3f) to (%.3f, %.3f) has %.1f %% off the slab: move it onto the slab or make it smaller",
			b.x0, b.y0, b.x1, b.y1, 100*(1-covered))}
	}
	return nil
}

// spread adds a patch, cut exactly against elements and panels, and returns the share of its area that is on the slab.
func (m *model) spread(f []float64, p Patch) float64 {
	b, upright := p.Area.rectangle()
	area := p.Area.Area()
	shape := newRegion(p.Area)
	covered := 0.0
	pressure := p.Force / area
	i0, i1, j0, j1 := cellOf(m.xs, b.x0), cellOf(m.xs, b.x1), cellOf(m.ys, b.y0), cellOf(m.ys, b.y1)
	for panel := range m.cells {
		if !m.regions[panel].bounds.meets(b) {
			continue
		}
		for j := j0; j <= j1; j++ {
			for i := i0; i <= i1; i++ {
				k, ok := m.cells[panel][m.cell(i, j)]
				if !ok {
					continue
				}
				e := &m.elements[k]
				if upright && !e.cut() {
					covered += m.addWhole(f, e, b, pressure)
				} else {
					covered += m.addPart(f, e, b, shape, pressure)
				}
			}
		}
	}
	return covered / area
}

// addWhole takes the part of an upright rectangle on an element that is not cut.
func (m *model) addWhole(f []float64, e *element, b box, pressure float64) (area float64) {
	c := m.box(e)
	x0, x1, y0, y1 := max(b.x0, c.x0), min(b.x1, c.x1), max(b.y0, c.y0), min(b.y1, c.y1)
	if x0 >= x1 || y0 >= y1 {
		return 0
	}
	xi0, eta0 := m.local(e, x0, y0)
	xi1, eta1 := m.local(e, x1, y1)
	v := product(whole(0, xi0, xi1, m.sideX[e.i].a), whole(0, eta0, eta1, m.sideY[e.j].a))
	e.scatter(f, pressure, &v)
	return (x1 - x0) * (y1 - y0)
}

func (m *model) addPart(f []float64, e *element, b box, shape *region, pressure float64) (area float64) {
	c := m.box(e)
	part := box{max(b.x0, c.x0), max(b.y0, c.y0), min(b.x1, c.x1), min(b.y1, c.y1)}
	if part.x0 >= part.x1 || part.y0 >= part.y1 {
		return 0
	}
	regions := []*region{shape}
	if e.cut() {
		regions = append(regions, m.regions[e.panel])
	}
	for _, q := range quadrature(part, regions...) {
		v := m.at(e, q.x, q.y)
		e.scatter(f, pressure*q.weight, &v)
		area += q.weight
	}
	return area
}

// total is the force of a load vector and its moments about the origin: ∫p, ∫p·x, ∫p·y. The functions of an element add
// up to any plane, so the sums over the nodes are exact.
func (m *model) total(f []float64) (force, aboutY, aboutX float64) {
	for k, n := range m.nodes {
		x, y := m.xs[n.i], m.ys[n.j]
		v := f[k*unknowns : (k+1)*unknowns]
		force += v[0]
		aboutY += x*v[0] + v[1]
		aboutX += y*v[0] + v[2]
	}
	return force, aboutY, aboutX
}
