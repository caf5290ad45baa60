package plate

import (
	"fmt"
	"math"
)

// A plate resists every movement but three: to sink, and to tilt either way, as a stiff board. So a slab is held if and
// only if its panels as stiff boards are, on soil, joints and holds. That is a small system, three unknowns for a panel,
// and tells a loose panel from a soft one far more surely than the pivots of the large one.

// boards is the stiffness of the panels as stiff boards.
type boards struct {
	middle []Point
	reach  []float64
	n      int
	k      []float64 // n × n, row by row
}

func newBoards(m *model) *boards {
	b := &boards{n: 3 * len(m.slab.Panels)}
	b.k = make([]float64, b.n*b.n)
	for _, p := range m.slab.Panels {
		o := p.Outline.bounds()
		b.middle, b.reach = append(b.middle, o.centre()), append(b.reach, o.size()/2)
	}
	return b
}

// movement is the deflection of a board at a place for each of its three unknowns.
func (b *boards) movement(panel int, p Point) [3]float64 {
	return [3]float64{1, (p.X - b.middle[panel].X) / b.reach[panel], (p.Y - b.middle[panel].Y) / b.reach[panel]}
}

// spring adds stiffness against a movement of one panel, and the opposite movement of another if other is not negative.
func (b *boards) spring(stiffness float64, panel int, v [3]float64, other int, w [3]float64) {
	add := func(p, q int, x, y [3]float64, sign float64) {
		for i := range 3 {
			for j := range 3 {
				b.k[(3*p+i)*b.n+3*q+j] += sign * stiffness * x[i] * y[j]
			}
		}
	}
	add(panel, panel, v, v, 1)
	if other >= 0 {
		add(other, other, w, w, 1)
		add(panel, other, v, w, -1)
		add(other, panel, w, v, -1)
	}
}

// joined adds joints and holds.
func (b *boards) joined(m *model) {
	none := [3]float64{}
	for _, l := range m.links {
		p, q := m.elements[l.left].panel, m.elements[l.right].panel
		b.spring(l.shear, p, b.movement(p, l.at), q, b.movement(q, l.at))
	}
	for k, held := range m.held {
		if !held {
			continue
		}
		n := m.nodes[k/unknowns]
		r := 1 / b.reach[n.panel]
		v := [unknowns][3]float64{b.movement(n.panel, Point{m.xs[n.i], m.ys[n.j]}), {0, r, 0}, {0, 0, r}, none}[k%unknowns]
		b.spring(m.slab.Modulus, n.panel, v, -1, none)
	}
}

// loose returns an error that names the first panel which can move without resistance.
func (b *boards) loose() error {
	whole := make([]float64, b.n)
	for i := range b.n {
		whole[i] = b.k[i*b.n+i]
	}
	for j := range b.n {
		d := b.k[j*b.n+j]
		// Rounding leaves some 1e-16 of the diagonal; the softest soil beside the stiffest joint 1e-10.
		if !(d > 1e-13*whole[j]) || math.IsInf(d, 0) {
			movement := [3]string{"floats: nothing holds it up", "tilts freely along x", "tilts freely along y"}[j%3]
			return fmt.Errorf("plate: panel %d is not held, it %s: give it soil, a hold, or a joint to a panel that is held", j/3+1, movement)
		}
		for i := j + 1; i < b.n; i++ {
			f := b.k[i*b.n+j] / d
			for c := j + 1; c <= i; c++ {
				b.k[i*b.n+c] -= f * b.k[c*b.n+j]
			}
		}
	}
	return nil
}

// loose names a panel that nothing holds, with all the soil there is.
func (m *model) loose() error {
	b := newBoards(m)
	for k := range m.elements {
		e := &m.elements[k]
		for _, p := range m.integration(e) {
			b.spring(p.weight*p.support, e.panel, b.movement(e.panel, Point{p.x, p.y}), -1, [3]float64{})
		}
	}
	b.joined(m)
	return b.loose()
}

// loose names a panel that nothing holds with the soil that it still touches. A window is held at its rim.
func (s *settling) loose() error {
	m := s.f.m
	if m.window != nil {
		return nil
	}
	b := newBoards(m)
	for k, c := range s.f.contact {
		if s.touching[k] {
			p := m.elements[c.element].panel
			b.spring(c.stiffness, p, b.movement(p, c.at), -1, [3]float64{})
		}
	}
	b.joined(m)
	return b.loose()
}
