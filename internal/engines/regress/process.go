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

// Mean is the expected value at a row.
func (p *Process) Mean(row []float64) float64 {
	sum := 0.0
	for i, x := range p.Rows {
		sum += p.Weights[i] * p.Kernel.At(row, x)
	}
	return sum
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

// WithoutGroup predicts every row from the rows of all other groups from one inverse:
//
//	μ_G = y_G - B_GG⁻¹ (K⁻¹ y)_G        B = K⁻¹
//
// Source: Rasmussen and Williams 2006, 5.4.2, for blocks instead of single rows.
func (p *Process) WithoutGroup(groups []int) ([]float64, error) {
	b, out := p.inverted(), make([]float64, len(p.Rows))
	members := map[int][]int{}
	for i, g := range groups {
		members[g] = append(members[g], i)
	}
	for _, rows := range members {
		m := len(rows)
		block, right := mat.NewSymDense(m, nil), mat.NewVecDense(m, nil)
		for a, i := range rows {
			right.SetVec(a, p.Weights[i])
			for c := a; c < m; c++ {
				block.SetSym(a, c, b.At(i, rows[c]))
			}
		}
		var factor mat.Cholesky
		if !factor.Factorize(block) {
			return nil, fmt.Errorf("regress: group of %d rows has no positive block", m)
		}
		off := mat.NewVecDense(m, nil)
		if err := factor.SolveVecTo(off, right); err != nil {
			return nil, fmt.Errorf("regress: %w", err)
		}
		for a, i := range rows {
			out[i] = p.values[i] - off.AtVec(a)
		}
	}
	return out, nil
}
