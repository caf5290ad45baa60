// Package doubt works out what uncertain numbers do to an outcome: how it spreads, what must be held in reserve for a chosen
// risk, and what it would be worth to know one of the numbers.
//
// The outcome is taken as its likely value plus what each number moves it by on its own, each number independent of the others:
//
//	Y = y₀ + Σ gᵢ(xᵢ),  gᵢ piecewise linear through its values at the number's low, likely and high end
//
// That makes learning a number simple: what is left in doubt is the sum without it, whatever it turns out to be. How much the
// sum misses where numbers act on each other is for the caller to measure and to say.
package doubt

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Standard normal quantiles: eight and nine draws in ten lie below.
const (
	EightInTen = 0.8416212335729143
	NineInTen  = 1.2815515655446004
)

// Number is one uncertain number: its three points, and what the outcome is when it stands at each with all others likely.
type Number struct {
	Low, Likely, High float64    // Low ≤ Likely ≤ High
	Outcome           [3]float64 // at Low, Likely, High
}

// Spread is an outcome drawn many times.
type Spread struct {
	Likely float64
	values [][]float64 // of each number, by draw
	moves  [][]float64 // of the outcome by it
	totals []float64   // by draw
	sorted []float64
}

// Draw draws the outcome n times. Each number follows the PERT form of the beta distribution, drawn in n equal shares of its
// probability in an order of its own (Latin hypercube), so that means settle faster than by plain chance. The same seed draws the
// same. Source: McKay, Beckman and Conover 1979 for the sampling; Malcolm and others 1959 for the form.
//
// A number whose points are out of order or not finite, an outcome that is not, and n below 2 are errors.
func Draw(likely float64, numbers []Number, n int, seed uint64) (Spread, error) {
	if n < 2 || math.IsNaN(likely) || math.IsInf(likely, 0) {
		return Spread{}, fmt.Errorf("doubt: %d draws round %g: at least two draws of a finite outcome", n, likely)
	}
	s := Spread{Likely: likely, totals: make([]float64, n)}
	for i := range s.totals {
		s.totals[i] = likely
	}
	for i, number := range numbers {
		if err := number.fault(); err != nil {
			return Spread{}, fmt.Errorf("doubt: number %d: %w", i, err)
		}
		values, moves := number.draw(n, rand.New(rand.NewPCG(seed, uint64(i)))), make([]float64, n)
		for k, x := range values {
			moves[k] = number.move(x)
			s.totals[k] += moves[k]
		}
		s.values, s.moves = append(s.values, values), append(s.moves, moves)
	}
	s.sorted = slices.Sorted(slices.Values(s.totals))
	return s, nil
}

func (n Number) fault() error {
	for _, v := range []float64{n.Low, n.Likely, n.High, n.Outcome[0], n.Outcome[1], n.Outcome[2]} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("%v is not finite", n)
		}
	}
	if n.Low > n.Likely || n.Likely > n.High {
		return fmt.Errorf("low %g, likely %g and high %g are out of order", n.Low, n.Likely, n.High)
	}
	return nil
}

// draw draws values of the number.
func (n Number) draw(draws int, chance *rand.Rand) []float64 {
	quantile := pertQuantiles(n.Low, n.Likely, n.High)
	values := make([]float64, draws)
	for k, share := range chance.Perm(draws) {
		values[k] = quantile.at((float64(share) + chance.Float64()) / float64(draws))
	}
	return values
}

// move is the outcome at x less the outcome at the likely value.
func (n Number) move(x float64) float64 {
	switch {
	case x < n.Likely:
		return (n.Outcome[0] - n.Outcome[1]) * (n.Likely - x) / (n.Likely - n.Low)
	case x > n.Likely:
		return (n.Outcome[2] - n.Outcome[1]) * (x - n.Likely) / (n.High - n.Likely)
	}
	return 0
}

// steps is how finely the quantiles of a number are kept. Only the outermost share of the steps bends enough to be seen: the
// straight line there is off by at most the half of it, 0.4 % of the range for the flattest form.
const steps = 512

type quantiles [steps + 1]float64

// pertQuantiles tabulates the PERT distribution of three points: a beta distribution on [a, b] with
// α = 1 + 4(m − a)/(b − a), β = 1 + 4(b − m)/(b − a), so that its mean is (a + 4m + b)/6.
func pertQuantiles(a, m, b float64) *quantiles {
	q := new(quantiles)
	if !(b > a) {
		for i := range q {
			q[i] = m
		}
		return q
	}
	beta := distuv.Beta{Alpha: 1 + 4*(m-a)/(b-a), Beta: 1 + 4*(b-m)/(b-a)}
	for i := range q {
		q[i] = a + (b-a)*beta.Quantile(float64(i)/steps)
	}
	return q
}

func (q *quantiles) at(p float64) float64 {
	at := p * steps
	i := min(int(at), steps-1)
	return q[i] + (at-float64(i))*(q[i+1]-q[i])
}

// At is the value of a number at one draw.
func (s Spread) At(number, draw int) float64 { return s.values[number][draw] }

// Total is the outcome at one draw.
func (s Spread) Total(draw int) float64 { return s.totals[draw] }

// Mean is the mean outcome.
func (s Spread) Mean() float64 { return mean(s.totals) }

// Deviation is the standard deviation of the outcome.
func (s Spread) Deviation() float64 { return deviation(s.totals) }

// Quantile is the outcome that a share p of the draws stay under, 0 ≤ p ≤ 1.
func (s Spread) Quantile(p float64) float64 { return quantile(s.sorted, p) }

// Above is the share of draws above a limit.
func (s Spread) Above(limit float64) float64 {
	i, _ := slices.BinarySearchFunc(s.sorted, limit, func(v, l float64) int {
		if v <= l {
			return -1
		}
		return 1
	})
	return float64(len(s.sorted)-i) / float64(len(s.sorted))
}

// Reserve is what must be held back over the mean so that a share p of the outcomes are covered.
func (s Spread) Reserve(p float64) float64 { return s.Quantile(p) - s.Mean() }

// Spared is how much less must be held back once the number is known: to what does not matter, since what is left is the sum without
// it. The reserve is taken as the same multiple of the deviation there as it is of the whole, which is exact for normal sums and for a
// number that is the only one, and far steadier than the difference of two quantiles.
func (s Spread) Spared(number int, p float64) float64 {
	all := deviation(s.totals)
	if all == 0 {
		return 0
	}
	rest := make([]float64, len(s.totals))
	for k, total := range s.totals {
		rest[k] = total - s.moves[number][k]
	}
	return max(0, s.Reserve(p)*(1-deviation(rest)/all))
}

// Swing is what the number moves the outcome by between the tenth and the ninetieth of a hundred of its draws.
func (s Spread) Swing(number int) (low, high float64) {
	sorted := slices.Sorted(slices.Values(s.moves[number]))
	return s.Likely + quantile(sorted, 0.1), s.Likely + quantile(sorted, 0.9)
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

func deviation(values []float64) float64 {
	m, sum := mean(values), 0.0
	for _, v := range values {
		sum += (v - m) * (v - m)
	}
	return math.Sqrt(sum / float64(len(values)-1))
}

// quantile is read between the middles of the sorted values' equal shares.
func quantile(sorted []float64, p float64) float64 {
	at := min(max(p*float64(len(sorted))-0.5, 0), float64(len(sorted)-1))
	i := min(int(at), len(sorted)-2)
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}
