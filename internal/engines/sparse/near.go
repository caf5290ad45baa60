package sparse

import (
	"context"
	"fmt"
)

// mostSteps bounds SolveNear. Ten to forty steps are usual.
const mostSteps = 250

// SolveNear solves m·x = load for a matrix near the factored one and on the same pattern, such as a plate that has lost some
// of its soil, by conjugate gradients with the factor to guide them (M. R. Hestenes and E. Stiefel, J. Res. Natl. Bur.
// Stand. 49, 1952; recalled). x holds a first guess and gets the answer. It stops at the residual tolerance, as Report
// measures it. The closer the matrices, the fewer the steps: as many as there are directions in which they differ, at most.
// It returns an error if tolerance is not reached, when factoring m itself is the way.
func (f *Factor) SolveNear(ctx context.Context, m *Matrix, x, load []float64, tolerance float64) (Report, error) {
	if err := f.sized([][]float64{x, load}); err != nil {
		return Report{}, err
	}
	n := len(x)
	residual, guided, along, pushed := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	work := make([]float64, n)
	report := f.residual(m, residual, x, load)
	before := 0.0
	for step := 0; !(report.Residual <= tolerance); step++ {
		if step == mostSteps || bad(report.Residual) {
			return report, fmt.Errorf("sparse: residual %.2g after %d steps is above %.0e: the matrix is too far from the factored one", report.Residual, step, tolerance)
		}
		if ctx.Err() != nil {
			return report, ctx.Err()
		}
		copy(guided, residual)
		f.substitute([][]float64{guided}, work)
		energy := dot(residual, guided)
		turn := 0.0
		if step > 0 {
			turn = energy / before
		}
		before = energy
		for k, g := range guided {
			along[k] = g + turn*along[k]
		}
		m.Multiply(pushed, along)
		share := energy / dot(along, pushed)
		for k, d := range along {
			x[k] += share * d
			residual[k] -= share * pushed[k]
		}
		report = f.report(residual, x, load)
	}
	// What was carried along drifts from the truth by rounding: the last word is computed afresh.
	return f.residual(m, residual, x, load), nil
}
