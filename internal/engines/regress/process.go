package regress

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Shape is how a kernel falls with distance r, counted in length scales.
type Shape string

// The shapes, smoothest first.
const (
	Gaussian Shape = "gaussian" // exp(-r²/2)
	Matern52 Shape = "matern52" // (1 + √5 r + 5r²/3) exp(-√5 r)
	Matern32 Shape = "matern32" // (1 + √3 r) exp(-√3 r)
)

// of is the kernel at squared distance q, and its slope in q.
func (s Shape) of(q float64) (value, slope float64) {
	switch s {
	case Gaussian:
		e := math.Exp(-q / 2)
		return e, -e / 2
	case Matern52:
		a := math.Sqrt(5 * q)
		e := math.Exp(-a)
		return (1 + a + a*a/3) * e, -5.0 / 6 * (1 + a) * e
	case Matern32:
		a := math.Sqrt(3 * q)
		e := math.Exp(-a)
		return (1 + a) * e, -1.5 * e
	}
	return math.NaN(), math.NaN()
}

// Term is one part of a kernel: variance · shape(Σ ((x-x')/scale)²) · exp(-½ Σ ((x-x')/times)²). A column with scale 0 does not
// count. The second factor keeps apart the columns in which a query wants a whole curve: sums over rows that differ only there
// are taken once.
type Term struct {
	Shape    Shape
	Variance float64
	Scale    []float64 // per column, in the columns' units
	Times    []float64 // per column, of the factor
}

// Kernel is a sum of terms and the noise of single measurements.
type Kernel struct {
	Terms []Term
	Noise float64
}

func distance(a, b, scale []float64) float64 {
	q := 0.0
	for c, s := range scale {
		if s > 0 {
			d := (a[c] - b[c]) / s
			q += d * d
		}
	}
	return q
}

// at is the term between two rows, and the slope of its shape over its shape's value.
func (t Term) at(a, b []float64) (value, slope float64) {
	shape, fall := t.Shape.of(distance(a, b, t.Scale))
	factor := t.Variance * math.Exp(-distance(a, b, t.Times)/2)
	return factor * shape, factor * fall
}

// Distance is how far apart two rows are for the term, in length scales, both factors counted.
func (t Term) Distance(a, b []float64) float64 {
	return math.Sqrt(distance(a, b, t.Scale) + distance(a, b, t.Times))
}

// At is the covariance of the smooth part between two rows.
func (k Kernel) At(a, b []float64) float64 {
	sum := 0.0
	for _, t := range k.Terms {
		value, _ := t.at(a, b)
		sum += value
	}
	return sum
}

func (k Kernel) check(columns int) error {
	if len(k.Terms) == 0 || !(k.Noise > 0) {
		return fmt.Errorf("regress: a kernel needs a term and noise above zero")
	}
	for _, t := range k.Terms {
		if len(t.Scale) != columns || len(t.Times) != columns || !(t.Variance > 0) {
			return fmt.Errorf("regress: a term has %d and %d scales for %d columns, variance %g", len(t.Scale), len(t.Times), columns, t.Variance)
		}
		if one, _ := t.Shape.of(0); math.IsNaN(one) {
			return fmt.Errorf("regress: no kernel shape %q", t.Shape)
		}
	}
	return nil
}

// Process is a Gaussian process that has seen rows.
type Process struct {
	Kernel        Kernel
	Rows          [][]float64
	Weights       []float64 // K⁻¹ y
	LogLikelihood float64   // log marginal likelihood of the values seen
	factor        *mat.Cholesky
	inverse       *mat.SymDense // nil until asked for
	values        []float64
}

// FitProcess conditions a process of mean zero on rows and values:
//
//	K_ij = k(x_i, x_j) + noise δ_ij        ln L = -½ yᵀK⁻¹y - ½ ln|K| - n/2 ln 2π
//
// Source: Rasmussen and Williams 2006, Gaussian Processes for Machine Learning, algorithm 2.1.
func FitProcess(x [][]float64, y []float64, k Kernel) (*Process, error) {
	if err := checkRows(x, y); err != nil {
		return nil, err
	}
	if err := k.check(len(x[0])); err != nil {
		return nil, err
	}
	n := len(x)
	cov := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			cov.SetSym(i, j, k.At(x[i], x[j]))
		}
		cov.SetSym(i, i, cov.At(i, i)+k.Noise)
	}
	p := &Process{Kernel: k, Rows: x, values: y, factor: &mat.Cholesky{}}
	if !p.factor.Factorize(cov) {
		return nil, fmt.Errorf("regress: the covariance of %d rows is not positive; more noise helps", n)
	}
	weights := mat.NewVecDense(n, nil)
	if err := p.factor.SolveVecTo(weights, mat.NewVecDense(n, slices.Clone(y))); err != nil {
		return nil, fmt.Errorf("regress: %w", err)
	}
	p.Weights = weights.RawVector().Data
	fit := 0.0
	for i, w := range p.Weights {
		fit += w * y[i]
	}
	p.LogLikelihood = -fit/2 - p.factor.LogDet()/2 - float64(n)/2*math.Log(2*math.Pi)
	return p, nil
}

// Predict is the expected value at a row and the variance of the smooth part there; a new measurement scatters by the noise more.
func (p *Process) Predict(row []float64) (mean, variance float64) {
	n := len(p.Rows)
	near := mat.NewVecDense(n, nil)
	for i, x := range p.Rows {
		near.SetVec(i, p.Kernel.At(row, x))
		mean += p.Weights[i] * near.AtVec(i)
	}
	solved := mat.NewVecDense(n, nil)
	if err := p.factor.SolveVecTo(solved, near); err != nil {
		return mean, p.Kernel.At(row, row)
	}
	return mean, max(p.Kernel.At(row, row)-mat.Dot(near, solved), 0)
}

func (p *Process) inverted() *mat.SymDense {
	if p.inverse == nil {
		p.inverse = &mat.SymDense{}
		if err := p.factor.InverseTo(p.inverse); err != nil {
			p.inverse = mat.NewSymDense(len(p.Rows), nil)
		}
	}
	return p.inverse
}

// Tune climbs the log marginal likelihood over the logarithms of all variances, scales and the noise, by steps of the sign of the
// gradient that grow while the sign holds (resilient propagation). A weak pull keeps every logarithm near its start: pull is
// the standard deviation of that belief, 0 for none. It returns the best kernel met.
// Source: gradient as in Rasmussen and Williams 2006, eq. 5.9; steps after Riedmiller and Braun 1993.
func Tune(x [][]float64, y []float64, start Kernel, rounds int, pull float64) (Kernel, error) {
	at := start.logs()
	origin, best := slices.Clone(at), start
	step, before := make([]float64, len(at)), make([]float64, len(at))
	for i := range step {
		step[i] = 0.1
	}
	top := math.Inf(-1)
	for range rounds {
		k := start.fromLogs(at)
		p, err := FitProcess(x, y, k)
		if err != nil {
			if math.IsInf(top, -1) {
				return Kernel{}, err
			}
			return best, nil
		}
		goal, slope := p.LogLikelihood, p.slope()
		for i := range slope {
			if pull > 0 {
				d := (at[i] - origin[i]) / pull
				goal, slope[i] = goal-d*d/2, slope[i]-d/pull
			}
		}
		if goal > top {
			top, best = goal, k
		}
		for i, g := range slope {
			switch s := g * before[i]; {
			case s > 0:
				step[i] = min(step[i]*1.2, 0.5)
			case s < 0:
				step[i] = max(step[i]*0.5, 1e-3)
			}
			before[i] = g
			at[i] += math.Copysign(step[i], g)
		}
	}
	return best, nil
}

// logs lists the logarithms of variances, used scales and noise.
func (k Kernel) logs() []float64 {
	var out []float64
	for _, t := range k.Terms {
		out = append(out, math.Log(t.Variance))
		for _, s := range slices.Concat(t.Scale, t.Times) {
			if s > 0 {
				out = append(out, math.Log(s))
			}
		}
	}
	return append(out, math.Log(k.Noise))
}

// fromLogs is a kernel of the same form with other numbers.
func (k Kernel) fromLogs(logs []float64) Kernel {
	at := 0
	next := func() float64 { at++; return math.Exp(logs[at-1]) }
	renewed := func(scale []float64) []float64 {
		out := make([]float64, len(scale))
		for c, s := range scale {
			if s > 0 {
				out[c] = next()
			}
		}
		return out
	}
	out := Kernel{Terms: slices.Clone(k.Terms)}
	for i, t := range k.Terms {
		out.Terms[i].Variance = next()
		out.Terms[i].Scale = renewed(t.Scale)
		out.Terms[i].Times = renewed(t.Times)
	}
	out.Noise = next()
	return out
}

// slope is the gradient of the log marginal likelihood in the logarithms: ½ tr((ααᵀ - K⁻¹) ∂K/∂θ).
func (p *Process) slope() []float64 {
	b, n := p.inverted(), len(p.Rows)
	out := make([]float64, len(p.Kernel.logs()))
	for i := range n {
		for j := range i + 1 {
			share := p.Weights[i]*p.Weights[j] - b.At(i, j)
			if i == j {
				share /= 2
				out[len(out)-1] += share * p.Kernel.Noise
			}
			p.addSlope(out, p.Rows[i], p.Rows[j], share)
		}
	}
	return out
}

func (p *Process) addSlope(out []float64, a, b []float64, share float64) {
	at := 0
	for _, t := range p.Kernel.Terms {
		value, slope := t.at(a, b)
		out[at] += share * value
		at++
		at = stretch(out, at, a, b, t.Scale, -2*share*slope)
		at = stretch(out, at, a, b, t.Times, share*value)
	}
}

// stretch adds the slope in the logarithm of each used scale and returns the place after them.
func stretch(out []float64, at int, a, b, scale []float64, factor float64) int {
	for c, s := range scale {
		if s > 0 {
			d := (a[c] - b[c]) / s
			out[at] += factor * d * d
			at++
		}
	}
	return at
}
