package survey

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// system is a set of observation equations: the misfit of each observation and how it answers to each unknown, at x.
type system struct {
	sigma []float64
	at    func(x []float64) (design *mat.Dense, misfit []float64)
	owner func(unknown int) string // the point an unknown belongs to
}

// solution is the least-squares answer.
type solution struct {
	x          []float64
	misfit     []float64  // observed minus computed, at x
	cofactor   *mat.Dense // Q = (AᵀWA)⁻¹
	redundancy []float64
	condition  float64
	rounds     int
}

const (
	settled        = 1e-6 // m: a step smaller than this ends the iteration
	mostRounds     = 60
	mostHalvings   = 12
	worstCondition = 1e9 // of the weighted design: beyond it a point is held by rounding only
)

// Floating is the error of observations that leave a point free to move.
type Floating struct {
	Points []string // the points that can still move, the freest first
	All    bool     // the whole figure can move or turn
}

// Error says which point floats and what to measure.
func (f *Floating) Error() string {
	if f.All {
		return "survey: the whole figure can still move or turn: hold one point fixed and the direction to another"
	}
	return fmt.Sprintf("survey: point %s is not held: add another tie to it", f.Points[0])
}

// solve finds the x that makes Σ (misfit/σ)² least, by Gauss–Newton steps, each solved by QR of √W·A and halved while it
// does not improve. Source: method of observation equations (adjustment-computation textbooks).
func (s system) solve(x []float64) (*solution, error) {
	x = append([]float64(nil), x...)
	design, misfit := s.weighted(x)
	for round := 1; round <= mostRounds; round++ {
		if err := s.held(design); err != nil {
			return nil, err
		}
		step := mat.NewVecDense(len(x), nil)
		var qr mat.QR
		qr.Factorize(design)
		if err := qr.SolveVecTo(step, false, mat.NewVecDense(len(misfit), misfit)); err != nil {
			var badly mat.Condition
			if !errors.As(err, &badly) {
				return nil, fmt.Errorf("survey: adjustment: %w", err)
			}
		}
		size := mat.Norm(step, math.Inf(1))
		x, design, misfit = s.walk(x, step.RawVector().Data, misfit)
		if size < settled {
			return s.finish(x, design, misfit, round)
		}
	}
	return nil, fmt.Errorf("survey: the adjustment did not settle in %d rounds: sketch the starting places closer, or look for a gross error", mostRounds)
}

// walk takes the step, or half of it, until the sum of squares does not grow.
func (s system) walk(x, step, misfit []float64) ([]float64, *mat.Dense, []float64) {
	before := sumSquares(misfit)
	for halving := 0; ; halving++ {
		next := make([]float64, len(x))
		for i := range x {
			next[i] = x[i] + step[i]*math.Pow(0.5, float64(halving))
		}
		design, after := s.weighted(next)
		if sumSquares(after) <= before*(1+1e-12) || halving == mostHalvings {
			return next, design, after
		}
	}
}

// weighted returns √W·A and √W·l.
func (s system) weighted(x []float64) (*mat.Dense, []float64) {
	design, misfit := s.at(x)
	m, n := design.Dims()
	for i := range m {
		misfit[i] /= s.sigma[i]
		for j := range n {
			design.Set(i, j, design.At(i, j)/s.sigma[i])
		}
	}
	return design, misfit
}

func sumSquares(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x * x
	}
	return sum
}

// held reports the points that the equations leave free: those that move in the direction the design does not see.
func (s system) held(design *mat.Dense) error {
	m, n := design.Dims()
	padded := mat.NewDense(max(m, n), n, nil) // rows of zeros let the SVD show the directions no observation sees
	padded.Slice(0, m, 0, n).(*mat.Dense).Copy(design)
	var svd mat.SVD
	if !svd.Factorize(padded, mat.SVDThin) {
		return errors.New("survey: the observations cannot be solved: check them for values that are not numbers")
	}
	values := svd.Values(nil)
	if !(values[n-1]*worstCondition > values[0]) {
		var v mat.Dense
		svd.VTo(&v)
		return s.floating(mat.Col(nil, n-1, &v))
	}
	return nil
}

func (s system) floating(direction []float64) error {
	moves := map[string]float64{}
	var order []string
	for i, d := range direction {
		name := s.owner(i)
		if _, known := moves[name]; !known {
			order = append(order, name)
		}
		moves[name] = math.Hypot(moves[name], d)
	}
	f := &Floating{}
	most := 0.0
	for _, name := range order {
		most = max(most, moves[name])
	}
	free := 0
	for _, name := range order {
		if moves[name] > 0.1*most { // the others only follow by rounding
			free++
			if moves[name] == most {
				f.Points = append([]string{name}, f.Points...)
			} else {
				f.Points = append(f.Points, name)
			}
		}
	}
	f.All = free == len(order) && free > 1
	return f
}

func (s system) finish(x []float64, design *mat.Dense, misfit []float64, rounds int) (*solution, error) {
	m, n := design.Dims()
	var qr mat.QR
	qr.Factorize(design)
	var r, inverse mat.Dense
	qr.RTo(&r)
	if err := inverse.Inverse(r.Slice(0, n, 0, n)); err != nil {
		var badly mat.Condition
		if !errors.As(err, &badly) {
			return nil, fmt.Errorf("survey: adjustment: %w", err)
		}
	}
	out := &solution{x: x, misfit: make([]float64, m), redundancy: make([]float64, m), condition: qr.Cond(), rounds: rounds, cofactor: &mat.Dense{}}
	out.cofactor.Mul(&inverse, inverse.T())
	var aq mat.Dense
	aq.Mul(design, out.cofactor)
	for i := range m {
		out.misfit[i] = misfit[i] * s.sigma[i]
		hat := 0.0
		for j := range n {
			hat += aq.At(i, j) * design.At(i, j)
		}
		out.redundancy[i] = min(max(1-hat, 0), 1)
	}
	return out, nil
}

// Limits of the tests. Source: data snooping, geodetic literature (recalled).
const (
	BlunderLimit   = 3.29 // |t| above this happens by chance once in a thousand
	DoubtLimit     = 2.58 // |t| above this, once in a hundred
	UncheckedBelow = 0.1  // redundancy below which nothing checks an observation
	globalRisk     = 0.05 // two-sided, of the global test
)

// Residual is what the adjustment did to one observation.
type Residual struct {
	Name         string
	Observed     float64
	Adjusted     float64
	V            float64 // adjusted minus observed
	Standardised float64 // t = v/√(Q_vv), with the given sigmas; 0 when nothing checks the observation
	Redundancy   float64 // 0: nothing checks it … 1: it holds nothing
	Error        float64 // observed minus true, were this the only blunder: −v/r
}

// Unchecked reports whether nothing else would show an error in the observation.
func (r Residual) Unchecked() bool { return r.Redundancy < UncheckedBelow }

// Fit is how the observations fit together.
type Fit struct {
	Residuals  []Residual
	Freedom    int     // f = observations − unknowns
	SumSquares float64 // vᵀWv
	S0         float64 // √(vᵀWv/f), 1 when the sigmas are honest; 0 without freedom
	Low, High  float64 // 95 % range of vᵀWv by the χ² test
	Condition  float64 // of the weighted equations
	Rounds     int
}

// Passes reports whether the observations agree with their sigmas by the global test. Too small a sum also fails: the
// sigmas are too wide, which is no danger.
func (f Fit) Passes() bool {
	return f.Freedom == 0 || f.SumSquares >= f.Low && f.SumSquares <= f.High
}

// TooLoose reports whether the global test fails on the high side: there is a blunder, or the sigmas are too small.
func (f Fit) TooLoose() bool { return f.Freedom > 0 && f.SumSquares > f.High }

// Suspect returns the position of the observation with the largest |t|. ok is false when none exceeds the limit, or when
// all are equal (one degree of freedom): then something is wrong and nothing tells which.
func (f Fit) Suspect(limit float64) (i int, ok bool) {
	largest, second := -1.0, -1.0
	for k, r := range f.Residuals {
		switch t := math.Abs(r.Standardised); {
		case t > largest:
			i, largest, second = k, t, largest
		case t > second:
			second = t
		}
	}
	return i, largest > limit && largest-second > 1e-6*largest
}

// GlobalTest returns the range in which vᵀWv falls 95 times in 100 when the sigmas are right.
//
//	χ²(0.025, f) … χ²(0.975, f)
//
// f degrees of freedom, at least 1. Source: χ² distribution.
func GlobalTest(freedom int) (low, high float64, err error) {
	if freedom < 1 {
		return 0, 0, fmt.Errorf("survey: %d degrees of freedom: measure more than the figure needs, or nothing is tested", freedom)
	}
	chi := distuv.ChiSquared{K: float64(freedom)}
	return chi.Quantile(globalRisk / 2), chi.Quantile(1 - globalRisk/2), nil
}

func (s system) fit(sol *solution, names []string, observed []float64) Fit {
	m, n := len(s.sigma), len(sol.x)
	f := Fit{Freedom: m - n, Condition: sol.condition, Rounds: sol.rounds}
	for i, misfit := range sol.misfit {
		r := Residual{Name: names[i], Observed: observed[i], Adjusted: observed[i] - misfit, V: -misfit, Redundancy: sol.redundancy[i]}
		if r.Redundancy > 1e-9 { // below that v is rounding over rounding
			r.Standardised = r.V / (s.sigma[i] * math.Sqrt(r.Redundancy))
			r.Error = misfit / r.Redundancy
		}
		f.SumSquares += misfit * misfit / (s.sigma[i] * s.sigma[i])
		f.Residuals = append(f.Residuals, r)
	}
	if f.Freedom > 0 {
		f.S0 = math.Sqrt(f.SumSquares / float64(f.Freedom))
		f.Low, f.High, _ = GlobalTest(f.Freedom)
	}
	return f
}
