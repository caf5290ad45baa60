package doubt

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Belief is what is thought of a number that varies from case to case before any case was seen: its mean, how sure that is, and
// how far cases scatter round it.
type Belief struct {
	Mean      float64
	Deviation float64 // of the mean, above zero
	Scatter   float64 // of one case round the mean, above zero
}

// scatterWorth is how many cases the believed scatter counts for beside the seen one.
const scatterWorth = 2

// Learnt is the mean after some cases.
type Learnt struct {
	Mean      float64
	Low, High float64 // the share asked for lies between them
	Cases     int
}

// Learn moves a belief by cases: normal cases round an unknown mean with an unknown scatter, the conjugate normal and scaled inverse
// χ² belief. With κ₀ = (scatter/deviation)² believed cases for the mean and ν₀ = 2 for the scatter,
//
//	mean = (κ₀ m + n x̄)/(κ₀ + n)
//	ν s² = ν₀ s₀² + Σ(x − x̄)² + κ₀ n (x̄ − m)²/(κ₀ + n),  ν = ν₀ + n
//	interval: mean ± t_ν · s/√(κ₀ + n)
//
// Source: Gelman and others, Bayesian Data Analysis, 3rd ed., 3.3. A belief or a case that is not finite, a deviation or scatter not
// above zero and a share outside 0 to 1 are errors.
func (b Belief) Learn(cases []float64, share float64) (Learnt, error) {
	if !(b.Deviation > 0 && b.Scatter > 0 && share > 0 && share < 1) || !finite(append([]float64{b.Mean, b.Deviation, b.Scatter}, cases...)) {
		return Learnt{}, fmt.Errorf("doubt: belief %+v, cases %v, share %g: finite numbers, deviations above zero, share between 0 and 1", b, cases, share)
	}
	n, kappa := float64(len(cases)), (b.Scatter/b.Deviation)*(b.Scatter/b.Deviation)
	average := b.Mean
	if n > 0 {
		average = mean(cases)
	}
	sum := scatterWorth * b.Scatter * b.Scatter
	for _, x := range cases {
		sum += (x - average) * (x - average)
	}
	sum += kappa * n / (kappa + n) * (average - b.Mean) * (average - b.Mean)
	nu := scatterWorth + n
	l := Learnt{Mean: (kappa*b.Mean + n*average) / (kappa + n), Cases: len(cases)}
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Quantile(0.5+share/2) * math.Sqrt(sum/nu/(kappa+n))
	l.Low, l.High = l.Mean-half, l.Mean+half
	return l, nil
}

func finite(values []float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
