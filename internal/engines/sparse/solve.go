package sparse

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"gonum.org/v1/gonum/blas"
)

// Report says how good an answer is.
type Report struct {
	// Residual is the largest |f − K·x| against the largest |f| and |K_ii·x_i|, each row first divided by √K_ii so that
	// unknowns of different kinds may be mixed. Of the order of the relative change of the matrix for which the answer
	// is exact (J. L. Rigal and J. Gaches, J. ACM 14, 1967).
	Residual float64
	// Refined tells that one step of iterative refinement was taken.
	Refined bool

	worst int // the unknown with the largest residual
}

// Good is the residual above which an answer is refined, and Limit the one above which it is refused.
const (
	Good  = 1e-12
	Limit = 1e-9
)

// together is the number of right-hand sides answered in one pass over the factor.
const together = 32

// Solve answers one right-hand side in place. Above the residual Good it refines once; above Limit it returns an error.
func (f *Factor) Solve(x []float64) (Report, error) {
	reports, err := f.SolveAll(context.Background(), [][]float64{x})
	if err != nil {
		return Report{}, err
	}
	return reports[0], nil
}

// SolveSum answers right-hand sides in place, on the caller's core, and checks the residual of their sum alone: a third
// quicker than SolveAll, for many answers that are only ranked. Right-hand sides with their values in the same place share
// the work on what is zero in all of them.
func (f *Factor) SolveSum(xs [][]float64) (Report, error) {
	if err := f.sized(xs); err != nil || len(xs) == 0 {
		return Report{}, err
	}
	n := f.m.p.Size()
	load, sum := make([]float64, n), make([]float64, n)
	add := func(to []float64) {
		for _, x := range xs {
			for k, v := range x {
				to[k] += v
			}
		}
	}
	add(load)
	f.substitute(xs, make([]float64, n*len(xs)))
	add(sum)
	report := f.residual(f.m, make([]float64, n), sum, load)
	return report, f.refused(report, 0)
}

func (f *Factor) sized(xs [][]float64) error {
	for i, x := range xs {
		if n := f.m.p.Size(); len(x) != n {
			return fmt.Errorf("sparse: right-hand side %d has %d values for %d unknowns", i, len(x), n)
		}
	}
	return nil
}

func (f *Factor) refused(r Report, side int) error {
	if r.Residual <= Limit {
		return nil
	}
	node, unknown := r.worst/f.m.p.block, r.worst%f.m.p.block
	return &IllConditionedError{Side: side, Node: node, Unknown: unknown, X: f.m.p.x[node], Y: f.m.p.y[node], Residual: r.Residual}
}

// SolveAll answers many right-hand sides in place, on all cores.
func (f *Factor) SolveAll(ctx context.Context, xs [][]float64) ([]Report, error) {
	if err := f.sized(xs); err != nil {
		return nil, err
	}
	n := f.m.p.Size()
	reports := make([]Report, len(xs))
	var wait sync.WaitGroup
	tickets := make(chan int)
	for range min(runtime.GOMAXPROCS(0), (len(xs)+together-1)/together) {
		wait.Go(func() {
			work := make([]float64, n*min(together, len(xs)))
			for from := range tickets {
				to := min(from+together, len(xs))
				f.batch(xs[from:to], reports[from:to], work)
			}
		})
	}
	for from := 0; from < len(xs) && ctx.Err() == nil; from += together {
		tickets <- from
	}
	close(tickets)
	wait.Wait()
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	for i, r := range reports {
		if err := f.refused(r, i); err != nil {
			return nil, err
		}
	}
	return reports, nil
}

// IllConditionedError names the unknown at which an answer misses its equation most.
type IllConditionedError struct {
	Side          int // right-hand side
	Node, Unknown int
	X, Y          float64
	Residual      float64
}

func (e *IllConditionedError) Error() string {
	return fmt.Sprintf("sparse: right-hand side %d: residual %.2g after refinement is above %.0e, worst at node %d at (%g, %g), unknown %d: the system is too ill-conditioned or the load is no number",
		e.Side, e.Residual, Limit, e.Node, e.X, e.Y, e.Unknown)
}

func (f *Factor) batch(xs [][]float64, reports []Report, work []float64) {
	n, width := f.m.p.Size(), len(xs)
	loads := make([][]float64, width)
	for i, x := range xs {
		loads[i] = append([]float64(nil), x...)
	}
	f.substitute(xs, work)
	residual := make([]float64, n)
	for i, x := range xs {
		reports[i] = f.residual(f.m, residual, x, loads[i])
		if reports[i].Residual <= Good {
			continue
		}
		f.substitute([][]float64{residual}, work)
		for k, d := range residual {
			x[k] += d
		}
		reports[i] = f.residual(f.m, residual, x, loads[i])
		reports[i].Refined = true
	}
}

// residual sets r = load − M·x and reports its size. A value that is no number counts as infinite.
func (f *Factor) residual(m *Matrix, r, x, load []float64) Report {
	m.Multiply(r, x)
	for i := range r {
		r[i] = load[i] - r[i]
	}
	return f.report(r, x, load)
}

// report measures a residual r.
func (f *Factor) report(r, x, load []float64) Report {
	report, size := Report{}, 0.0
	for i := range r {
		s := f.scale[i]
		if v := abs(r[i]) * s; v > report.Residual || v != v {
			report.Residual, report.worst = v, i
		}
		size = math.Max(size, math.Max(abs(load[i])*s, abs(x[i])/s))
	}
	switch {
	case bad(size) || bad(report.Residual):
		report.Residual = math.Inf(1)
	case report.Residual > 0:
		report.Residual /= size
	}
	return report
}

// substitute solves L·Lᵀ·x = load for all right-hand sides at once, in the order of elimination.
func (f *Factor) substitute(xs [][]float64, work []float64) {
	p, m := f.m.p, len(xs)
	b := p.block
	all := work[:p.Size()*m] // [unknown in order][right-hand side]
	for place, node := range p.node {
		for d := range b {
			row := all[(place*b+d)*m : (place*b+d+1)*m]
			for i, x := range xs {
				row[i] = x[int(node)*b+d]
			}
		}
	}
	var buffer []float64
	for i := range p.fronts {
		buffer = f.forward(&p.fronts[i], f.lower[i], all, m, buffer)
	}
	for i := len(p.fronts) - 1; i >= 0; i-- {
		buffer = f.backward(&p.fronts[i], f.lower[i], all, m, buffer)
	}
	for place, node := range p.node {
		for d := range b {
			row := all[(place*b+d)*m : (place*b+d+1)*m]
			for i, x := range xs {
				x[int(node)*b+d] = row[i]
			}
		}
	}
}

func (f *Factor) forward(fr *front, l, all []float64, m int, buffer []float64) []float64 {
	b := f.m.p.block
	c, r := fr.size(b)
	own := all[int(fr.first)*b*m : int(fr.last)*b*m]
	if !slices.ContainsFunc(own, func(v float64) bool { return v != 0 }) {
		return buffer // loads far from here pass nothing on
	}
	if m == 1 {
		kernel.Dtrsv(blas.Lower, blas.NoTrans, blas.NonUnit, c, l, c, own, 1)
		if r == 0 {
			return buffer
		}
		buffer = grown(buffer, r)
		kernel.Dgemv(blas.NoTrans, r, c, 1, l[c*c:], c, own, 1, 0, buffer, 1)
		f.scatter(fr, buffer, all, m)
		return buffer
	}
	kernel.Dtrsm(blas.Left, blas.Lower, blas.NoTrans, blas.NonUnit, c, m, 1, l, c, own, m)
	if r == 0 {
		return buffer
	}
	buffer = grown(buffer, r*m)
	clear(buffer)
	kernel.Dgemm(blas.NoTrans, blas.NoTrans, r, m, c, 1, l[c*c:], c, own, m, 0, buffer, m)
	f.scatter(fr, buffer, all, m)
	return buffer
}

// scatter subtracts what a front passes on from the later unknowns.
func (f *Factor) scatter(fr *front, passed, all []float64, m int) {
	width := f.m.p.block * m
	for k, place := range fr.rows {
		to := all[int(place)*width : (int(place)+1)*width]
		for i, v := range passed[k*width : (k+1)*width] {
			to[i] -= v
		}
	}
}

func (f *Factor) backward(fr *front, l, all []float64, m int, buffer []float64) []float64 {
	b := f.m.p.block
	c, r := fr.size(b)
	own := all[int(fr.first)*b*m : int(fr.last)*b*m]
	if r > 0 {
		buffer = grown(buffer, r*m)
		for k, place := range fr.rows {
			copy(buffer[k*b*m:(k+1)*b*m], all[int(place)*b*m:(int(place)+1)*b*m])
		}
		if m == 1 {
			kernel.Dgemv(blas.Trans, r, c, -1, l[c*c:], c, buffer, 1, 1, own, 1)
		} else {
			kernel.Dgemm(blas.Trans, blas.NoTrans, c, m, r, -1, l[c*c:], c, buffer, m, 1, own, m)
		}
	}
	if m == 1 {
		kernel.Dtrsv(blas.Lower, blas.Trans, blas.NonUnit, c, l, c, own, 1)
		return buffer
	}
	kernel.Dtrsm(blas.Left, blas.Lower, blas.Trans, blas.NonUnit, c, m, 1, l, c, own, m)
	return buffer
}

func grown(buffer []float64, n int) []float64 {
	if cap(buffer) < n {
		return make([]float64, n)
	}
	return buffer[:n]
}
