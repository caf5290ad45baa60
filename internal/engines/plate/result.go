package plate

import (
	"fmt"
	"math"
)

// Status tells whether an answer is one. NotSolved is the zero value.
type Status int

const (
	NotSolved Status = iota
	Solved
	Unsettled // the contact with the soil was still changing when the rounds ran out
)

// Stress is the stress in one face, Pa, tension positive.
type Stress struct{ X, Y, XY float64 }

// Principal returns the greatest and least normal stress, and the direction (radians from x) across which the greatest
// acts: a crack runs at right angles to it.
func (s Stress) Principal() (greatest, least, direction float64) {
	middle, half := (s.X+s.Y)/2, (s.X-s.Y)/2
	r := math.Hypot(half, s.XY)
	return middle + r, middle - r, math.Atan2(s.XY, half) / 2
}

func (s Stress) greatest() float64 { return (s.X+s.Y)/2 + math.Sqrt((s.X-s.Y)*(s.X-s.Y)/4+s.XY*s.XY) }

// strongest is the greatest normal stress and its direction.
func (s Stress) strongest() (value, direction float64) {
	_, _, direction = s.Principal()
	return s.greatest(), direction
}

// State is all that is known at one place of a panel.
type State struct {
	Deflection     float64 // m, down
	SlopeX, SlopeY float64
	MomentX        float64 // N·m/m, positive with tension at the bottom, bending along x
	MomentY        float64
	Twist          float64
	Top, Bottom    Stress
}

// Extreme is a greatest value and where it is.
type Extreme struct {
	Value     float64
	Panel     int
	At        Point
	Direction float64 // of a stress, radians from x
}

// Balance compares what goes in with what comes out, on every solve.
type Balance struct {
	Applied float64 // weight and patches, N
	Soil    float64 // reaction of the soil, N
	Held    float64 // reaction of the holds, N
	Force   float64 // what is missing, as a share of the forces at work
	Moment  float64 // likewise of the moments about both axes
	Energy  float64 // |work of the load − energy in slab, joints and soil| as a share
}

// Accuracy says how far the numbers can be trusted.
type Accuracy struct {
	Unknowns int
	Residual float64 // of the equations, see sparse.Report
	// Recovery is the difference between the governing stress and what the elements themselves give there, as a share.
	// The error of the governing stress is as a rule several times smaller.
	Recovery float64
	Rounds   int // solutions until contact no longer changed; 1 without LiftOff
}

// Result is the answer to one load case. It may be asked from several goroutines at once.
type Result struct {
	Status   Status
	Top      Extreme // greatest tension in the top face, Pa (negative if there is none anywhere)
	Bottom   Extreme // greatest tension in the bottom face, Pa
	Down     Extreme // greatest deflection, m
	Up       Extreme // least deflection, m; negative where the slab rises
	Contact  float64 // share of the supported area that presses on the soil
	Balance  Balance
	Accuracy Accuracy

	f        *Factored
	load     Load
	u        []float64
	residual [2]float64 // self-balanced stress at the top and bottom per Eα/(1−ν): temperature that no bending relieves
	warp     float64    // αΔT, free curvature times thickness
}

// Place is a place of a panel and its state.
type Place struct {
	Panel int
	At    Point
	State
}

// Field returns the state at every node of the mesh that lies on the slab, panel by panel: what a picture is drawn from.
// At a step in thickness a node comes once for each thickness.
func (r *Result) Field() []Place {
	m, rec := r.f.m, r.f.recovery
	var out []Place
	for n, nd := range m.nodes {
		for z, h := range rec.thickness {
			if !rec.has[z][n] || !r.f.inside[n] {
				continue
			}
			v := r.u[n*unknowns : (n+1)*unknowns]
			c := curvatures{rec.xx[z][n].of(r.u), rec.yy[z][n].of(r.u), v[3]}
			s := State{Deflection: v[0], SlopeX: v[1], SlopeY: v[2]}
			s.MomentX, s.MomentY, s.Twist = r.moments(h, c)
			s.Top, s.Bottom = r.faces(h, c)
			out = append(out, Place{nd.panel, Point{m.xs[nd.i], m.ys[nd.j]}, s})
		}
	}
	return out
}

// At returns the state of a panel (numbered from 0) at a place in it or on its edge.
func (r *Result) At(panel int, p Point) (State, error) {
	m := r.f.m
	if panel < 0 || panel >= len(m.regions) {
		return State{}, fmt.Errorf("plate: there is no panel %d among %d", panel, len(m.regions))
	}
	reach := 1e-6 * m.slab.bounds().size()
	k := m.elementAt(panel, p, reach)
	if k < 0 {
		return State{}, fmt.Errorf("plate: (%g, %g) is not on panel %d", p.X, p.Y, panel)
	}
	xi, eta := m.local(&m.elements[k], p.X, p.Y)
	return r.state(k, xi, eta, r.f.recovery.in(m, k, r.u).at(xi, eta)), nil
}

// elementAt is the element that holds a point, uncut ones first, or -1 if the point is off the panel.
func (m *model) elementAt(panel int, p Point, reach float64) int {
	best := -1
	for _, dx := range []float64{-reach, reach} {
		for _, dy := range []float64{-reach, reach} {
			k, ok := m.cells[panel][m.cell(cellOf(m.xs, p.X+dx), cellOf(m.ys, p.Y+dy))]
			if ok && m.box(&m.elements[k]).holds(p, reach) && (best < 0 || m.elements[k].share > m.elements[best].share) {
				best = k
			}
		}
	}
	if best < 0 || !m.elements[best].cut() || m.regions[panel].contains(p) {
		return best
	}
	for _, e := range m.regions[panel].edges {
		if e.distance(p) <= reach {
			return best
		}
	}
	return -1
}

func (r *Result) state(k int, xi, eta float64, c curvatures) State {
	m := r.f.m
	e := &m.elements[k]
	v := e.of(r.u)
	a, b := m.sideX[e.i].a, m.sideY[e.j].a
	x0, y0, x1, y1 := hermite(0, xi, a), hermite(0, eta, b), hermite(1, xi, a), hermite(1, eta, b)
	w, sx, sy := product(x0, y0), product(x1, y0), product(x0, y1)
	h := m.thicknessAt(e, xi, eta)
	s := State{Deflection: w.dot(&v), SlopeX: sx.dot(&v), SlopeY: sy.dot(&v)}
	s.MomentX, s.MomentY, s.Twist = r.moments(h, c)
	s.Top, s.Bottom = r.faces(h, c)
	return s
}

// thicknessAt is the thickness of an element at a place: that of the nearest point of integration if it is not the same
// throughout.
func (m *model) thicknessAt(e *element, xi, eta float64) float64 {
	x, y := m.xs[e.i]+xi*m.sideX[e.i].a, m.ys[e.j]+eta*m.sideY[e.j].a
	least, h := math.Inf(1), e.thickness
	for _, p := range e.points {
		if d := math.Hypot(p.x-x, p.y-y); d < least {
			least, h = d, p.thickness
		}
	}
	return h
}

// moments are M = D (κ + νκ′ − (1+ν) κ_T) with κ = −w,xx and κ_T = −αΔT/h.
func (r *Result) moments(h float64, c curvatures) (x, y, twist float64) {
	s := r.f.m.slab
	d := s.Rigidity(h)
	free := (1 + s.Poisson) * r.warp / h
	return d * (free - c.xx - s.Poisson*c.yy), d * (free - c.yy - s.Poisson*c.xx), -d * (1 - s.Poisson) * c.xy
}

func (r *Result) faces(h float64, c curvatures) (top, bottom Stress) {
	x, y, t := r.moments(h, c)
	section := 6 / (h * h)
	bottom = Stress{section*x + r.residual[1], section*y + r.residual[1], section * t}
	top = Stress{-section*x + r.residual[0], -section*y + r.residual[0], -section * t}
	return top, bottom
}

// scan looks for the extremes at the samples.
func (r *Result) scan() {
	none := Extreme{Value: math.Inf(-1)}
	r.Top, r.Bottom, r.Down, r.Up = none, none, none, none
	var ownTop, ownBottom float64
	m := r.f.m
	for k := range m.elements {
		e := &m.elements[k]
		b := r.f.recovery.within(m, k, r.u, 1)
		for _, p := range r.f.samples[k] {
			w, raw, corrected := b.seen(p)
			here := func(value, direction float64) Extreme {
				return Extreme{value, e.panel, Point{m.xs[e.i] + p.X*m.sideX[e.i].a, m.ys[e.j] + p.Y*m.sideY[e.j].a}, direction}
			}
			top, bottom := r.faces(m.thicknessAt(e, p.X, p.Y), corrected)
			if top.greatest() > r.Top.Value {
				r.Top = here(top.strongest())
				own, _ := r.faces(e.thickness, raw)
				ownTop = own.greatest()
			}
			if bottom.greatest() > r.Bottom.Value {
				r.Bottom = here(bottom.strongest())
				_, own := r.faces(e.thickness, raw)
				ownBottom = own.greatest()
			}
			if w > r.Down.Value {
				r.Down = here(w, 0)
			}
			if -w > r.Up.Value {
				r.Up = here(-w, 0)
			}
		}
	}
	r.Up.Value = -r.Up.Value
	governing, own := r.Bottom.Value, ownBottom
	if r.Top.Value > governing {
		governing, own = r.Top.Value, ownTop
	}
	if governing > 0 {
		r.Accuracy.Recovery = math.Abs(own-governing) / governing
	}
}

// samples are the places within each element at which extremes are looked for, in shares of its sides: corners, middles
// of sides and the middle, once for elements of one thickness that share them, and along the edge of the slab in a cut
// element.
func (m *model) samples(zone []int32) [][]Point {
	out := make([][]Point, len(m.elements))
	type half struct { // a place on the grid of half elements
		panel, i, j int
		zone        int32
	}
	seen := make(map[half]bool, 4*len(m.elements))
	for k := range m.elements {
		e := &m.elements[k]
		b := m.box(e)
		for c := range 9 {
			h := half{e.panel, 2*e.i + c%3, 2*e.j + c/3, zone[k]}
			p := Point{float64(c%3) / 2, float64(c/3) / 2}
			if seen[h] || e.cut() && !m.regions[e.panel].contains(Point{b.x0 + p.X*(b.x1-b.x0), b.y0 + p.Y*(b.y1-b.y0)}) {
				continue
			}
			seen[h] = true
			out[k] = append(out[k], p)
		}
		if !e.cut() {
			continue
		}
		for _, line := range m.regions[e.panel].within(b) {
			t0, t1, _ := line.clip(b)
			for _, t := range []float64{t0, (t0 + t1) / 2, t1} {
				p := line.point(t)
				xi, eta := m.local(e, p.X, p.Y)
				out[k] = append(out[k], Point{xi, eta})
			}
		}
	}
	return out
}

// inside tells which nodes lie on their panel.
func (m *model) inside() []bool {
	out := make([]bool, len(m.nodes))
	for k := range m.elements {
		e := &m.elements[k]
		for _, n := range e.node {
			nd := m.nodes[n]
			out[n] = out[n] || !e.cut() || m.regions[e.panel].contains(Point{m.xs[nd.i], m.ys[nd.j]})
		}
	}
	return out
}
