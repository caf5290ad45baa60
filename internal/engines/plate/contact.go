package plate

import (
	"context"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/sparse"
)

// contactPoint is a point of integration of the soil under a slab that may lift off.
type contactPoint struct {
	element   int
	functions vector
	stiffness float64 // support times the point's area, N/m
	at        Point
	area      float64
}

// pointsByElement walks the runs of contact points of one element: first and one past the last.
func (f *Factored) pointsByElement(yield func(from, to int) bool) {
	for from := 0; from < len(f.contact); {
		to := from + 1
		for to < len(f.contact) && f.contact[to].element == f.contact[from].element {
			to++
		}
		if !yield(from, to) {
			return
		}
		from = to
	}
}

func (m *model) contactPoints() []contactPoint {
	var out []contactPoint
	for k := range m.elements {
		e := &m.elements[k]
		for _, p := range m.integration(e) {
			if p.support > 0 {
				out = append(out, contactPoint{k, m.at(e, p.x, p.y), p.support * p.weight, Point{p.x, p.y}, p.weight})
			}
		}
	}
	return out
}

// mostRounds bounds the search for the contact. Five to eight rounds are usual.
const mostRounds = 60

// settle finds the deflection at which the soil pushes only where the slab goes down. It is the minimum of
//
//	E(u) = ½ uᵀB u − fᵀu + ½ Σ k max(w, 0)²
//
// B the stiffness without soil, the sum over the points of integration. E is convex and made of pieces of parabolas.
// Newton's method solves with the soil only where w > 0 now; a step that would climb is cut back to the lowest point on
// its way, so that E falls in every round, and when a full step leaves the set of points unchanged it is the minimum.
func (f *Factored) settle(ctx context.Context, r *Result, load, near []float64) (*Result, error) {
	s := &settling{f: f, load: load, w: make([]float64, len(f.contact)), touching: make([]bool, len(f.contact))}
	r.u = make([]float64, len(load))
	copy(r.u, near)
	for from, to := range f.pointsByElement {
		v := f.m.elements[f.contact[from].element].of(r.u)
		for k := from; k < to; k++ {
			s.w[k] = f.contact[k].functions.dot(&v)
			s.touching[k] = near == nil || s.w[k] > 0
		}
	}
	next := make([]float64, len(load))
	tolerance := roughly
	for round := 1; round <= mostRounds; round++ {
		stiffness, err := s.stiffness()
		if err != nil && round == 1 && near != nil {
			return f.settle(ctx, r, load, nil) // what was near for another load holds nothing down here
		}
		if err != nil {
			return nil, err
		}
		copy(next, r.u)
		report, err := s.solve(ctx, stiffness, next, tolerance)
		if err != nil {
			return nil, err
		}
		r.Accuracy.Residual, r.Accuracy.Rounds = report.Residual, round
		settled := s.step(r.u, next, round == 1)
		if settled && report.Residual <= finally {
			r.Contact = s.share()
			r.finish(load, s.reaction(), stiffness)
			return r, nil
		}
		if settled {
			tolerance = finally
		}
	}
	r.Contact = s.share()
	stiffness, err := s.stiffness()
	if err != nil {
		return nil, err
	}
	r.finish(load, s.reaction(), stiffness)
	r.Status = Unsettled
	return r, fmt.Errorf("plate: contact did not settle in %d rounds (%d points still change)", mostRounds, s.flips)
}

// roughly is the residual that is enough while the contact still changes; finally the one at the end.
const (
	roughly = 1e-5
	finally = sparse.Good
)

type settling struct {
	f        *Factored
	load     []float64
	w        []float64 // deflection at the points
	touching []bool
	flips    int

	matrix  *sparse.Matrix // with the soil that was touched when it was last brought up to date
	counted []bool         // the points whose soil is in matrix
	heldM   *sparse.Matrix // the same with holds
}

// stiffness is that of the slab with the soil that touches. Only elements in which that has changed are touched.
func (s *settling) stiffness() (*sparse.Matrix, error) {
	f := s.f
	if err := s.loose(); err != nil {
		return nil, fmt.Errorf("plate: the slab is not held down: it has left too much of its soil; give its weight or less uplift: %w", err)
	}
	if s.matrix == nil {
		s.matrix, s.counted = f.full.Clone(), make([]bool, len(f.contact))
		for i := range s.counted {
			s.counted[i] = true
		}
	}
	for from, to := range f.pointsByElement {
		if slices.Equal(s.touching[from:to], s.counted[from:to]) {
			continue
		}
		table := new(matrix)
		for i := from; i < to; i++ {
			switch {
			case s.touching[i] && !s.counted[i]:
				table.addOuter(f.contact[i].stiffness, &f.contact[i].functions)
			case s.counted[i] && !s.touching[i]:
				table.addOuter(-f.contact[i].stiffness, &f.contact[i].functions)
			}
		}
		copy(s.counted[from:to], s.touching[from:to])
		s.matrix.Add(f.m.elements[f.contact[from].element].node[:], table[:])
	}
	return s.matrix, nil
}

// solve answers for the soil that touches now, by steps guided by the factor with all the soil; where those do not get there,
// by a factor of its own.
func (s *settling) solve(ctx context.Context, stiffness *sparse.Matrix, x []float64, tolerance float64) (sparse.Report, error) {
	f := s.f
	load := append([]float64(nil), s.load...)
	f.release(load, stiffness)
	if f.m.held != nil {
		if s.heldM == nil {
			s.heldM = stiffness.Clone()
		} else {
			s.heldM.Copy(stiffness)
		}
		s.heldM.Hold(f.m.held)
		stiffness = s.heldM
	}
	report, err := f.factor.SolveNear(ctx, stiffness, x, load, tolerance)
	if err == nil || ctx.Err() != nil {
		return report, err
	}
	own, err := sparse.Decompose(ctx, stiffness)
	if err == nil {
		copy(x, load)
		report, err = own.Solve(x)
	}
	if err != nil {
		return report, fmt.Errorf("plate: while the slab lifts off its soil: %w", f.named(err))
	}
	return report, nil
}

// step moves u towards next, as far as the energy falls, and tells whether the contact is settled: next then lies down
// just where it was solved to have soil, which makes it the minimum.
func (s *settling) step(u, next []float64, first bool) bool {
	f := s.f
	change := make([]float64, len(f.contact))
	for from, to := range f.pointsByElement {
		v := f.m.elements[f.contact[from].element].of(next)
		for k := from; k < to; k++ {
			change[k] = f.contact[k].functions.dot(&v) - s.w[k]
		}
	}
	t := 1.0
	if !first && s.move(change, t, false) > 0 {
		t = s.lowest(u, next, change)
	}
	for k, v := range next {
		u[k] += t * (v - u[k])
	}
	s.flips = s.move(change, t, true)
	return s.flips == 0 && t == 1
}

// move counts the points that begin or cease to touch over a share t of the step, and takes that share if told to. A
// point that hovers within rounding of the soil stays what it was.
func (s *settling) move(change []float64, t float64, take bool) (flips int) {
	deepest := 0.0
	for k, c := range change {
		deepest = max(deepest, math.Abs(s.w[k]+t*c))
	}
	for k, c := range change {
		w := s.w[k] + t*c
		touching := s.touching[k]
		if math.Abs(w) > 1e-12*deepest {
			touching = w > 0
		}
		if touching != s.touching[k] {
			flips++
		}
		if take {
			s.w[k], s.touching[k] = w, touching
		}
	}
	return flips
}

// lowest is the share of the step at which the energy is least, 1 if it falls all the way. The slope of the energy
// along the step rises steadily, so it is found by halving.
func (s *settling) lowest(u, next, change []float64) float64 {
	f := s.f
	d, ku, kd := make([]float64, len(u)), make([]float64, len(u)), make([]float64, len(u))
	for k := range d {
		d[k] = next[k] - u[k]
	}
	s.matrix.Multiply(ku, u)
	s.matrix.Multiply(kd, d)
	var fixed, growing float64 // slope of all but the soil, and how it rises
	for k := range d {
		fixed += d[k] * (ku[k] - s.load[k])
		growing += d[k] * kd[k]
	}
	for k, c := range change {
		if s.counted[k] {
			fixed -= f.contact[k].stiffness * s.w[k] * c
			growing -= f.contact[k].stiffness * c * c
		}
	}
	slope := func(t float64) float64 {
		sum := fixed + t*growing
		for k, c := range change {
			if w := s.w[k] + t*c; w > 0 {
				sum += f.contact[k].stiffness * w * c
			}
		}
		return sum
	}
	if slope(1) <= 0 {
		return 1
	}
	low, high := 0.0, 1.0
	for range 50 {
		if middle := (low + high) / 2; slope(middle) > 0 {
			high = middle
		} else {
			low = middle
		}
	}
	return low
}

func (s *settling) share() float64 {
	var on, all float64
	for k, c := range s.f.contact {
		all += c.area
		if s.touching[k] {
			on += c.area
		}
	}
	return share(on, all)
}

func (s *settling) reaction() (w wrench) {
	for k, c := range s.f.contact {
		if s.touching[k] {
			w.add(c.stiffness*s.w[k], c.at.X, c.at.Y)
		}
	}
	return w
}
