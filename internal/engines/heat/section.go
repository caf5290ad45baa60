package heat

import (
	"errors"
	"fmt"
	"math"
)

// Section is a vertical cut through an edge: the layers of a Body on one side, ground whose face lies lower on the other. Heat
// flows across and down; columns run from far out in the ground to far under the slab.
//
//	ρc ∂T/∂t = ∂/∂x(k ∂T/∂x) + ∂/∂z(k ∂T/∂z) + Q
//
// Each step is implicit across and then implicit down (locally one-dimensional splitting): it stands any step, and no heat is
// made or lost by it.
type Section struct {
	Temps [][]float64 // by column and depth, °C; NaN above the ground outside
	Ages  [][]float64 // of the source, first layer inside only

	body    *Body // the layers inside, for cells and the deep
	widths  []float64
	inside  int // first column of the slab
	sunk    int // cells by which the ground outside lies lower
	k, c    [][]float64
	given   [][]float64
	outer   []float64 // exposed face of each column, over any cover
	side    []float64 // exposed face of each sunk cell at the edge
	face    []float64 // of each column, under any cover
	flank   []float64 // of each sunk cell at the edge, under any form
	came    float64
	made    float64
	begun   float64
	scratch struct{ p, r, lift, x []float64 }
}

// Edge says how a section is cut.
type Edge struct {
	Sunk    float64 // how far the ground outside lies under the slab's top, m
	Outside Layer   // what the ground outside is made of; only its conductivity and capacity count
	Reach   float64 // of the section on either side, m
	Cell    float64 // width of the columns beside the edge, m
}

// widest is the most by which a column is wider than the one before.
const widest = 1.35

// NewSection cuts a section through the edge of layers. Temperatures inside and outside begin as functions of depth under the
// slab's top.
func NewSection(layers []Layer, e Edge, inside, outside func(depth float64) float64, deep float64) (*Section, error) {
	body, err := NewBody(layers, inside, deep)
	if err != nil {
		return nil, err
	}
	if !(e.Reach > 0 && e.Cell > 0 && e.Reach/e.Cell < 2000 && e.Outside.Conductivity > 0 && e.Outside.Capacity > 0) {
		return nil, fmt.Errorf("heat: a section reaching %.3g m in columns of %.3g m of %.3g W/mK", e.Reach, e.Cell, e.Outside.Conductivity)
	}
	s := &Section{body: body}
	depth := 0.0
	for s.sunk < len(body.dz)-1 && depth+body.dz[s.sunk]/2 < e.Sunk {
		depth += body.dz[s.sunk]
		s.sunk++
	}
	var half []float64
	for sum, w := 0.0, e.Cell; sum < e.Reach-1e-9; w *= widest {
		half = append(half, math.Min(w, e.Reach-sum))
		sum += half[len(half)-1]
	}
	for i := len(half) - 1; i >= 0; i-- {
		s.widths = append(s.widths, half[i])
	}
	s.inside = len(s.widths)
	s.widths = append(s.widths, half...)
	s.fill(e, outside)
	return s, nil
}

func (s *Section) fill(e Edge, outside func(depth float64) float64) {
	n := len(s.body.dz)
	grid := func() [][]float64 {
		g := make([][]float64, len(s.widths))
		for i := range g {
			g[i] = make([]float64, n)
		}
		return g
	}
	s.Temps, s.Ages, s.k, s.c, s.given = grid(), grid(), grid(), grid(), grid()
	for i := range s.widths {
		depth := 0.0
		for j, dz := range s.body.dz {
			s.k[i][j], s.c[i][j], s.Temps[i][j] = s.body.k[j], s.body.c[j], s.body.Temps[j]
			if i < s.inside {
				s.k[i][j], s.c[i][j], s.Temps[i][j] = e.Outside.Conductivity, e.Outside.Capacity, outside(depth+dz/2)
			}
			if s.air(i, j) {
				s.Temps[i][j] = math.NaN()
			}
			depth += dz
		}
		s.outer, s.face = append(s.outer, s.Temps[i][s.first(i)]), append(s.face, s.Temps[i][s.first(i)])
	}
	for j := range s.sunk {
		s.side, s.flank = append(s.side, s.Temps[s.inside][j]), append(s.flank, s.Temps[s.inside][j])
	}
	m := max(n, len(s.widths))
	s.scratch.p, s.scratch.r, s.scratch.lift, s.scratch.x = make([]float64, m), make([]float64, m), make([]float64, m), make([]float64, m)
	s.begun = s.Stored()
}

func (s *Section) air(i, j int) bool { return i < s.inside && j < s.sunk }

// first is the uppermost cell of a column.
func (s *Section) first(i int) int {
	if i < s.inside {
		return s.sunk
	}
	return 0
}

// Stored is the heat over 0 °C, J per metre of edge.
func (s *Section) Stored() float64 {
	sum := 0.0
	for i, w := range s.widths {
		for j := s.first(i); j < len(s.body.dz); j++ {
			sum += s.c[i][j] * s.Temps[i][j] * w * s.body.dz[j]
		}
	}
	return sum
}

// Unclosed is as of a Body.
func (s *Section) Unclosed() float64 { return unclosed(s.Stored()-s.begun, s.came, s.made) }

// Around is what acts on the three exposed faces of a section.
type Around struct{ Top, Side, Ground Surface }

// Step moves the section on by dt seconds.
func (s *Section) Step(dt float64, around Around, source Source) {
	s.give(dt, source)
	for j := range s.body.dz {
		s.across(j, dt, &around.Side)
	}
	for i := range s.widths {
		top := &around.Top
		if i < s.inside {
			top = &around.Ground
		}
		s.down(i, dt, top)
	}
}

// give adds the heat of the source at the temperatures as they are.
func (s *Section) give(dt float64, source Source) {
	for i := s.inside; i < len(s.widths) && source != nil; i++ {
		for j := range s.body.first {
			after, total := source(s.Ages[i][j], s.Temps[i][j], dt)
			heat := total - s.given[i][j]
			s.Temps[i][j] += heat / s.c[i][j]
			s.Ages[i][j], s.given[i][j] = after, total
			s.made += heat * s.widths[i] * s.body.dz[j]
		}
	}
}

// across solves one row, far ends insulated, the edge's face exposed where the ground outside is lower.
func (s *Section) across(j int, dt float64, side *Surface) {
	from, n := 0, len(s.widths)
	if j < s.sunk {
		from = s.inside
	}
	t := &s.scratch
	for i := n - 1; i >= from; i-- {
		store := s.c[i][j] * s.widths[i] / dt
		p, r := store, store*s.Temps[i][j]
		if i > from {
			p += s.between(i-1, j)
		}
		if i+1 < n {
			g := s.between(i, j)
			t.lift[i] = g / t.p[i+1]
			p += g - g*t.lift[i]
			r += t.lift[i] * t.r[i+1]
		}
		t.p[i], t.r[i] = p, r
	}
	if j < s.sunk {
		resistance := side.Cover + s.widths[from]/(2*s.k[from][j])
		var flux float64
		s.side[j], s.Temps[from][j], flux = side.balance(t.p[from], t.r[from], resistance, s.side[j])
		s.flank[j] = s.Temps[from][j] + flux*s.widths[from]/(2*s.k[from][j])
		s.came += flux * dt * s.body.dz[j]
	} else {
		s.Temps[from][j] = t.r[from] / t.p[from]
	}
	for i := from + 1; i < n; i++ {
		s.Temps[i][j] = (t.r[i] + s.between(i-1, j)*s.Temps[i-1][j]) / t.p[i]
	}
}

// between is the conductance from column i to the next in a row, W/m²K.
func (s *Section) between(i, j int) float64 {
	return 1 / (s.widths[i]/(2*s.k[i][j]) + s.widths[i+1]/(2*s.k[i+1][j]))
}

// down solves one column under its surface, the deep held.
func (s *Section) down(i int, dt float64, top *Surface) {
	b, n, from := s.body, len(s.body.dz), s.first(i)
	t, k, c, temps := &s.scratch, s.k[i], s.c[i], s.Temps[i]
	conductance := func(j int) float64 { return 1 / (b.dz[j]/(2*k[j]) + b.dz[j+1]/(2*k[j+1])) }
	deep := 2 * k[n-1] / b.dz[n-1]
	if math.IsNaN(b.deep) {
		deep = 0
	}
	for j := n - 1; j >= from; j-- {
		store := c[j] * b.dz[j] / dt
		p, r := store, store*temps[j]
		if j > from {
			p += conductance(j - 1)
		}
		if j+1 < n {
			g := conductance(j)
			t.lift[j] = g / t.p[j+1]
			p += g - g*t.lift[j]
			r += t.lift[j] * t.r[j+1]
		} else if deep > 0 {
			p, r = p+deep, r+deep*b.deep
		}
		t.p[j], t.r[j] = p, r
	}
	resistance := top.Cover + b.dz[from]/(2*k[from])
	var flux float64
	s.outer[i], temps[from], flux = top.balance(t.p[from], t.r[from], resistance, s.outer[i])
	for j := from + 1; j < n; j++ {
		temps[j] = (t.r[j] + conductance(j-1)*temps[j-1]) / t.p[j]
	}
	s.face[i] = temps[from] + flux*b.dz[from]/(2*k[from])
	s.came += flux * dt * s.widths[i]
	if deep > 0 {
		s.came += deep * (b.deep - temps[n-1]) * dt * s.widths[i]
	}
}

// March moves a section from one time to another in even steps, ending a step at every switch.
func (s *Section) March(from, to, step float64, switches []float64, around func(from, to float64) Around, source Source, watch func(t float64)) error {
	if !Even(step).good(from, to) {
		return errors.New("heat: the steps are above zero and the end is after the beginning")
	}
	for t := from; t < to-1e-6; {
		next := math.Min(t+step, to)
		for _, stop := range switches {
			if stop > t+1e-6 && stop < next {
				next = stop
			}
		}
		s.Step(next-t, around(t, next), source)
		if math.IsNaN(s.Temps[s.inside][0]) {
			return errors.New("heat: the faces did not settle")
		}
		if t = next; watch != nil {
			watch(t)
		}
	}
	return nil
}

// EdgeTop is the temperature of the first layer's upper face in the column at the edge.
func (s *Section) EdgeTop() float64 { return s.face[s.inside] }

// FarTop is the temperature of the upper face far inside.
func (s *Section) FarTop() float64 { return s.face[len(s.widths)-1] }

// Coldest is the lowest temperature in the first layer, its faces included.
func (s *Section) Coldest() float64 {
	lowest := math.Inf(1)
	for i := s.inside; i < len(s.widths); i++ {
		lowest = math.Min(lowest, s.face[i])
		for j := range s.body.first {
			lowest = math.Min(lowest, s.Temps[i][j])
		}
	}
	for j := range min(s.sunk, s.body.first) {
		lowest = math.Min(lowest, s.flank[j])
	}
	return lowest
}
