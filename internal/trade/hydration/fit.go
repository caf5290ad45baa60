package hydration

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Family is a form of strength curve that can be fitted to cylinders.
type Family string

// The families.
const (
	HyperbolicFamily  Family = "hyperbolic"  // Su, k, t0
	ExponentialFamily Family = "exponential" // Su, τ, β
	LogarithmicFamily Family = "logarithmic" // a, b
)

// Families lists them.
var Families = []Family{HyperbolicFamily, ExponentialFamily, LogarithmicFamily}

// curve makes the family's curve from its parameters; false where they make none.
func (f Family) curve(p []float64) (Strength, bool) {
	switch f {
	case HyperbolicFamily:
		return Hyperbolic{p[0], p[1], p[2]}, p[0] > 0 && p[1] > 0
	case ExponentialFamily:
		return Exponential{p[0], p[1], p[2]}, p[0] > 0 && p[1] > 0 && p[2] > 0
	case LogarithmicFamily:
		return Logarithmic{p[0], p[1]}, true
	}
	return nil, false
}

// guess starts the search: most curves end a sixth above the last cylinders and are half way in the first days.
func (f Family) guess(ages, strengths []float64) []float64 {
	youngest, top := math.Inf(1), 0.0
	for i := range ages {
		youngest, top = math.Min(youngest, ages[i]), math.Max(top, strengths[i])
	}
	switch f {
	case HyperbolicFamily:
		return []float64{1.15 * top, 0.3, 0.2 * youngest}
	case ExponentialFamily:
		return []float64{1.2 * top, 1.5, 0.7}
	}
	return []float64{top / 2, top / 2}
}

// Fit is a strength curve fitted to cylinders, with how sure it is.
type Fit struct {
	Family   Family
	Params   []float64 // in the order the family names them
	Scatter  float64   // s, MPa: standard deviation of a cylinder about the curve
	Free     int       // cylinders less parameters
	Youngest float64   // ages between which it was fitted, days
	Oldest   float64
	cov      *mat.SymDense
}

// fewestAges is the least number of different ages that can shape a curve.
const fewestAges = 3

// FitStrength fits a family to cylinders: equivalent ages in days, strengths in MPa, by least squares.
//
//	covariance V = s²(JᵀJ)⁻¹      s² = Σ residual²/(n − p)
//
// Source: ASTM C1074, recalled: 15 cylinders at 1, 3, 7, 14, 28 days are wanted; fewer than three different ages are refused.
// Checked: CUR-40, CUR-41, CUR-42.
func FitStrength(family Family, ages, strengths []float64) (Fit, error) {
	if err := fitInput(family, ages, strengths); err != nil {
		return Fit{}, err
	}
	p, ssr, err := descend(family, ages, strengths)
	if err != nil {
		return Fit{}, err
	}
	fit := Fit{Family: family, Params: p, Free: len(ages) - len(p), Youngest: math.Inf(1)}
	for _, a := range ages {
		fit.Youngest, fit.Oldest = math.Min(fit.Youngest, a), math.Max(fit.Oldest, a)
	}
	variance := ssr / float64(fit.Free)
	fit.Scatter = math.Sqrt(variance)
	normal, _ := normalEquations(family, p, ages, strengths)
	var chol mat.Cholesky
	if !chol.Factorize(normal) {
		return Fit{}, errors.New("hydration: these cylinders leave the curve undecided; add other ages")
	}
	fit.cov = mat.NewSymDense(len(p), nil)
	if err := chol.InverseTo(fit.cov); err != nil {
		return Fit{}, fmt.Errorf("hydration: these cylinders hardly decide the curve; add other ages: %w", err)
	}
	fit.cov.ScaleSym(variance, fit.cov)
	return fit, nil
}

func fitInput(family Family, ages, strengths []float64) error {
	if _, ok := family.curve([]float64{1, 1, 1}); !ok {
		return fmt.Errorf("hydration: no curve is called %q; use hyperbolic, exponential or logarithmic", family)
	}
	if len(ages) != len(strengths) || len(ages) == 0 {
		return fmt.Errorf("hydration: %d ages with %d strengths", len(ages), len(strengths))
	}
	p := len(family.guess(ages, strengths))
	distinct := map[float64]bool{}
	for i := range ages {
		if !(ages[i] > 0 && ages[i] < 4000) || !(strengths[i] >= 0 && strengths[i] < 250) {
			return fmt.Errorf("hydration: cylinder %d: %v days, %v MPa cannot be", i+1, ages[i], strengths[i])
		}
		distinct[ages[i]] = true
	}
	if len(distinct) < fewestAges || len(ages) <= p {
		return fmt.Errorf("hydration: %d cylinders at %d ages; a curve needs at least %d at %d different ages",
			len(ages), len(distinct), p+1, fewestAges)
	}
	return nil
}

// rounds bounds the search; a curve of three parameters settles in about ten.
const rounds = 200

// descend is the damped least-squares search of Levenberg and Marquardt.
func descend(family Family, ages, strengths []float64) ([]float64, float64, error) {
	p := family.guess(ages, strengths)
	best, damping := residuals(family, p, ages, strengths), 1e-3
	for range rounds {
		normal, gradient := normalEquations(family, p, ages, strengths)
		moved := false
		for damping < 1e12 && !moved {
			trial, ok := dampedStep(normal, gradient, p, damping)
			if next := residuals(family, trial, ages, strengths); ok && next <= best {
				moved = true
				settled := best-next <= 1e-14*best+1e-300
				p, best, damping = trial, next, damping/10
				if settled {
					return p, best, nil
				}
			} else {
				damping *= 10
			}
		}
		if !moved {
			return p, best, nil
		}
	}
	return nil, 0, fmt.Errorf("hydration: no %s curve settles on these cylinders in %d rounds", family, rounds)
}

func dampedStep(normal *mat.SymDense, gradient *mat.VecDense, p []float64, damping float64) ([]float64, bool) {
	n := len(p)
	damped := mat.NewSymDense(n, nil)
	damped.CopySym(normal)
	for i := range n {
		damped.SetSym(i, i, normal.At(i, i)*(1+damping)+1e-300)
	}
	var chol mat.Cholesky
	if !chol.Factorize(damped) {
		return p, false
	}
	var step mat.VecDense
	if err := chol.SolveVecTo(&step, gradient); err != nil {
		return p, false
	}
	trial := make([]float64, n)
	for i := range trial {
		trial[i] = p[i] + step.AtVec(i)
	}
	return trial, true
}

func residuals(family Family, p, ages, strengths []float64) float64 {
	curve, ok := family.curve(p)
	if !ok {
		return math.Inf(1)
	}
	sum := 0.0
	for i := range ages {
		r := strengths[i] - curve.At(ages[i])
		sum += r * r
	}
	if math.IsNaN(sum) {
		return math.Inf(1)
	}
	return sum
}

// normalEquations are JᵀJ and Jᵀr.
func normalEquations(family Family, p, ages, strengths []float64) (*mat.SymDense, *mat.VecDense) {
	n := len(p)
	normal, right := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	curve, _ := family.curve(p)
	for k := range ages {
		g, r := gradient(family, p, ages[k]), strengths[k]-curve.At(ages[k])
		for i := range n {
			right.SetVec(i, right.AtVec(i)+g[i]*r)
			for j := i; j < n; j++ {
				normal.SetSym(i, j, normal.At(i, j)+g[i]*g[j])
			}
		}
	}
	return normal, right
}

// gradient is ∂S/∂p by central differences; a step of 1e-6 leaves an error near 1e-10 of the slope.
func gradient(family Family, p []float64, te float64) []float64 {
	g := make([]float64, len(p))
	for i := range p {
		h := 1e-6 * math.Max(1e-3, math.Abs(p[i]))
		up, down := append([]float64{}, p...), append([]float64{}, p...)
		up[i] += h
		down[i] -= h
		a, _ := family.curve(up)
		b, _ := family.curve(down)
		g[i] = (a.At(te) - b.At(te)) / (2 * h)
	}
	return g
}

// Curve is the fitted curve.
func (f Fit) Curve() Strength {
	c, _ := f.Family.curve(f.Params)
	return c
}

// LowerMean is the value, MPa, above which the true curve lies at te with one-sided confidence level, 0.5–1.
//
//	S − t √(gᵀVg)
//
// Checked: CUR-40, CUR-41.
func (f Fit) LowerMean(te, level float64) float64 { return f.lower(te, level, 0) }

// LowerPrediction is the value above which one more result lies at te with one-sided confidence level: what opening
// decisions use, at 0.90.
//
//	S − t √(gᵀVg + s²)
//
// Checked: CUR-40.
func (f Fit) LowerPrediction(te, level float64) float64 {
	return f.lower(te, level, f.Scatter*f.Scatter)
}

func (f Fit) lower(te, level, extra float64) float64 {
	g := mat.NewVecDense(len(f.Params), gradient(f.Family, f.Params, te))
	spread := math.Sqrt(mat.Inner(g, f.cov, g) + extra)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f.Free)}.Quantile(level)
	return math.Max(0, f.Curve().At(te)-t*spread)
}
