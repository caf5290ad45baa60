package plate

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"sync"

	"slabwright/internal/engines/sparse"
)

// Factored is a slab whose equations have been taken apart: any number of loads are answered from it quickly. It may be
// used from several goroutines at once.
type Factored struct {
	m        *model
	mesh     Mesh
	full     *sparse.Matrix // with the soil, before anything is held
	factor   *sparse.Factor // of full with holds
	weight   []float64
	recovery *recovery
	samples  [][]Point
	inside   []bool         // whether a node is on its panel, and not only on the far side of a cut element
	contact  []contactPoint // only for a slab that may lift off
	loan     bool           // factor is that of a like slab: it guides, and does not answer
}

// Solve answers one load on a mesh that is made for it. It is Factor and Factored.Solve in one; with many loads on one
// slab keep the Factored.
func Solve(ctx context.Context, s Slab, l Load, mesh Mesh) (*Result, error) {
	if faults := l.Validate(); len(faults) > 0 {
		return nil, faults[0]
	}
	if mesh.Around == nil {
		mesh.Around = l.Patches
	}
	f, err := Factor(ctx, s, mesh)
	if err != nil {
		return nil, err
	}
	return f.Solve(ctx, l)
}

// Factor meshes the slab and factors its equations, with the soil holding everywhere. The error is a *Fault for input that
// cannot be, names the panel and place of a part that nothing holds, or is the context's.
func Factor(ctx context.Context, s Slab, mesh Mesh) (*Factored, error) {
	m, err := newModel(ctx, s, mesh)
	if err != nil {
		return nil, err
	}
	return factored(ctx, m, mesh.filled(s))
}

func factored(ctx context.Context, m *model, mesh Mesh) (*Factored, error) {
	pattern, err := m.pattern()
	if err != nil {
		return nil, fmt.Errorf("plate: %w", err)
	}
	f := &Factored{m: m, mesh: mesh, full: pattern.Matrix(), weight: m.weightVector(), recovery: newRecovery(m)}
	f.samples, f.inside = m.samples(f.recovery.zone), m.inside()
	m.bendingStiffness(f.full)
	if m.slab.LiftOff {
		f.contact = m.contactPoints()
	}
	m.soilStiffness(f.full)
	f.factor, err = f.decompose(ctx, f.full)
	return f, err
}

func (f *Factored) decompose(ctx context.Context, full *sparse.Matrix) (*sparse.Factor, error) {
	factor, err := sparse.Decompose(ctx, f.withHolds(full))
	return factor, f.named(err)
}

// withHolds is a stiffness with the held unknowns taken out.
func (f *Factored) withHolds(full *sparse.Matrix) *sparse.Matrix {
	if f.m.held == nil {
		return full
	}
	full = full.Clone()
	full.Hold(f.m.held)
	return full
}

// named turns the solver's complaint into the panel and place where the slab is loose.
func (f *Factored) named(err error) error {
	var loose *sparse.NotPositiveError
	if errors.As(err, &loose) {
		movement := [unknowns]string{"sinks", "tilts along x", "tilts along y", "twists"}[loose.Unknown]
		return fmt.Errorf("plate: panel %d is not held: it %s freely at (%.3f, %.3f): give it soil, a hold or a joint: %w",
			f.m.nodes[loose.Node].panel+1, movement, loose.X, loose.Y, err)
	}
	var ill *sparse.IllConditionedError
	if errors.As(err, &ill) {
		return fmt.Errorf("plate: panel %d is too ill-conditioned to solve, worst at (%.3f, %.3f): look for very stiff joints or very different thicknesses there: %w",
			f.m.nodes[ill.Node].panel+1, ill.X, ill.Y, err)
	}
	return err
}

// Unknowns is the number of equations.
func (f *Factored) Unknowns() int { return unknowns * len(f.m.nodes) }

// vector is the right-hand side of a load.
func (f *Factored) vector(l Load) ([]float64, error) {
	if faults := l.Validate(); len(faults) > 0 {
		return nil, faults[0]
	}
	if len(l.Temperature) > 0 && f.m.slab.Expansion == 0 {
		return nil, &Fault{"slab", "a temperature load needs the thermal expansion: concrete has 1e-5 per K"}
	}
	v := append([]float64(nil), f.weight...)
	f.m.addTemperature(v, l.Temperature)
	for _, p := range l.Patches {
		if err := f.m.addPatch(v, p); err != nil {
			return nil, err
		}
	}
	return v, nil
}

// release makes a load vector one for the equations with holds: what held unknowns do to the others goes to the right, and
// each equation of a held unknown says what it is held at.
func (f *Factored) release(v []float64, stiffness *sparse.Matrix) {
	m := f.m
	if m.fixed != nil {
		pull := make([]float64, len(v))
		stiffness.Multiply(pull, m.fixed)
		for k := range v {
			v[k] -= pull[k]
		}
	}
	for k, held := range m.held {
		if held {
			v[k] = 0
			if m.fixed != nil {
				v[k] = m.fixed[k]
			}
		}
	}
}

// Solve answers one load. A slab that may lift off is solved in rounds; if they run out the result has the status
// Unsettled and comes with an error.
func (f *Factored) Solve(ctx context.Context, l Load) (*Result, error) {
	load, err := f.vector(l)
	if err != nil {
		return nil, err
	}
	return f.answer(ctx, l, load, nil)
}

// SolveFrom is Solve that starts from an answer that is near: to another load, or of a like slab. One on another mesh is no
// help and is left out.
func (f *Factored) SolveFrom(ctx context.Context, near *Result, l Load) (*Result, error) {
	load, err := f.vector(l)
	if err != nil {
		return nil, err
	}
	if near == nil || len(near.u) != len(load) {
		return f.answer(ctx, l, load, nil)
	}
	return f.answer(ctx, l, load, near.u)
}

// answer solves for a load vector, from a first guess if there is one.
func (f *Factored) answer(ctx context.Context, l Load, load, near []float64) (*Result, error) {
	r := f.result(l)
	if f.m.slab.LiftOff {
		return f.settle(ctx, r, load, near)
	}
	right := append([]float64(nil), load...)
	f.release(right, f.full)
	var report sparse.Report
	var err error
	if f.loan {
		r.u = make([]float64, len(load))
		copy(r.u, near)
		report, err = f.factor.SolveNear(ctx, f.withHolds(f.full), r.u, right, sparse.Good)
	} else {
		r.u = right
		report, err = f.factor.Solve(r.u)
	}
	if err != nil {
		return nil, f.named(err)
	}
	r.Accuracy.Residual, r.Accuracy.Rounds = report.Residual, 1
	r.Contact = 1
	r.finish(load, f.m.soil(r.u), f.full)
	return r, nil
}

// SolveAll answers many loads, those without lift-off in one pass on all cores.
func (f *Factored) SolveAll(ctx context.Context, loads []Load) ([]*Result, error) {
	out := make([]*Result, len(loads))
	vectors, answers := make([][]float64, len(loads)), make([][]float64, len(loads))
	for k, l := range loads {
		if f.m.slab.LiftOff {
			r, err := f.Solve(ctx, l)
			if err != nil {
				return nil, fmt.Errorf("load %d: %w", k+1, err)
			}
			out[k] = r
			continue
		}
		v, err := f.vector(l)
		if err != nil {
			return nil, fmt.Errorf("load %d: %w", k+1, err)
		}
		vectors[k], answers[k] = v, append([]float64(nil), v...)
		f.release(answers[k], f.full)
	}
	if f.m.slab.LiftOff {
		return out, nil
	}
	factor, err := f.own(ctx)
	if err != nil {
		return nil, err
	}
	reports, err := factor.SolveAll(ctx, answers)
	if err != nil {
		return nil, f.named(err)
	}
	onAllCores(len(loads), func(k int) {
		r := f.result(loads[k])
		r.u = answers[k]
		r.Accuracy.Residual, r.Accuracy.Rounds = reports[k].Residual, 1
		r.Contact = 1
		r.finish(vectors[k], f.m.soil(r.u), f.full)
		out[k] = r
	})
	return out, nil
}

// onAllCores does n independent things, each in its own place: the order they are done in leaves no trace.
func onAllCores(n int, do func(k int)) {
	var wait sync.WaitGroup
	cores := runtime.GOMAXPROCS(0)
	for c := range cores {
		wait.Go(func() {
			for k := c; k < n; k += cores {
				do(k)
			}
		})
	}
	wait.Wait()
}

func (f *Factored) result(l Load) *Result {
	s := f.m.slab
	difference, top, bottom := l.Temperature.split()
	locked := -s.Modulus * s.Expansion / (1 - s.Poisson)
	r := &Result{f: f, load: l, warp: s.Expansion * difference, residual: [2]float64{locked * top, locked * bottom}}
	r.Accuracy.Unknowns = f.Unknowns()
	return r
}

// wrench is a force down with its moments ∫p·x and ∫p·y; size is the sum without signs, to judge rounding by.
type wrench struct{ force, aboutY, aboutX, size float64 }

func (w *wrench) add(force, x, y float64) {
	w.force += force
	w.aboutY += force * x
	w.aboutX += force * y
	w.size += math.Abs(force)
}

// soil is the reaction of a soil that holds both ways, added up point by point and not through the equations.
func (m *model) soil(u []float64) (w wrench) {
	for k := range m.elements {
		e := &m.elements[k]
		v := e.of(u)
		if e.points == nil && e.support > 0 {
			m.evenSoil(e, &v, &w)
		}
		for _, p := range e.points {
			n := m.at(e, p.x, p.y)
			w.add(p.weight*p.support*n.dot(&v), p.x, p.y)
		}
	}
	return w
}

// evenSoil adds the soil under an element that is the same throughout, at its 4 × 4 Gauss points.
func (m *model) evenSoil(e *element, v *vector, w *wrench) {
	x, y := m.sideX[e.i], m.sideY[e.j]
	for gx := range x.gauss {
		left := v.along(&x.gauss[gx])
		for gy := range y.gauss {
			w.add(weight4[gx]*weight4[gy]*x.a*y.a*e.support*left.dot(&y.gauss[gy]), m.xs[e.i]+gauss4[gx]*x.a, m.ys[e.j]+gauss4[gy]*y.a)
		}
	}
}

// integration lists the points of an element: its own, or those of a whole box.
func (m *model) integration(e *element) []place {
	if e.points != nil {
		return e.points
	}
	if e.support == 0 {
		return nil
	}
	out := make([]place, 0, 16)
	for _, p := range gauss(m.box(e)) {
		out = append(out, place{p, e.thickness, e.support})
	}
	return out
}

// finish fills in balance and extremes. stiffness is the one the answer was found with, before anything was held.
func (r *Result) finish(load []float64, soil wrench, stiffness *sparse.Matrix) {
	m := r.f.m
	r.Status = Solved
	forces := make([]float64, len(r.u))
	stiffness.Multiply(forces, r.u)
	inside, outside := 0.0, 0.0
	held := make([]float64, len(r.u))
	for k, v := range r.u {
		inside += v * forces[k]
		outside += v * load[k]
		if m.held != nil && m.held[k] {
			held[k] = forces[k] - load[k]
			outside += v * held[k]
		}
	}
	force, aboutY, aboutX := m.total(load)
	heldForce, heldY, heldX := m.total(held)
	// Loads that balance themselves, like temperature, count by their size.
	scale, turning := soil.size, 0.0
	for k, v := range load {
		switch k % unknowns {
		case 0:
			scale += math.Abs(v)
		case 1, 2:
			turning += math.Abs(v)
		}
	}
	b := m.slab.bounds()
	scale += turning / b.size()
	reach := scale * max(b.size(), math.Abs(b.x0), math.Abs(b.y0))
	r.Balance = Balance{
		Applied: force, Soil: soil.force, Held: -heldForce,
		Force:  share(math.Abs(force+heldForce-soil.force), scale),
		Moment: share(math.Hypot(aboutY+heldY-soil.aboutY, aboutX+heldX-soil.aboutX), reach),
		Energy: share(math.Abs(inside-outside), math.Abs(inside)+math.Abs(outside)),
	}
	r.scan()
}

func share(part, of float64) float64 {
	if of == 0 {
		return 0
	}
	return part / of
}
