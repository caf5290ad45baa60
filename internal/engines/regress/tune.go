package regress

import (
	"math"
	"slices"
)

// This file finds the numbers of a kernel: each a little by likelihood, whole terms by the error on groups left out.

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

// TuneByGroups moves whole terms of a kernel so that rows are predicted best from the rows of other folds, groups kept together: the
// noise, and each term's variance, its scales all by one factor, and its times all by one factor. Every number is tried larger
// and smaller by a factor that starts at stretch and takes its root each round. What likelihood cannot see, that rows of one group
// hang together, this does; and it moves few numbers, so that it finds little that is not there.
func TuneByGroups(x [][]float64, y []float64, groups []int, start Kernel, rounds int, stretch float64) (Kernel, error) {
	folds := make([][]int, innerDeals)
	for d := range folds {
		folds[d] = GroupFolds(groups, innerFolds, uint64(d))
	}
	k := start
	best, err := missBetween(x, y, folds, k)
	if err != nil {
		return Kernel{}, err
	}
	for range rounds {
		for part := range 1 + 3*len(k.Terms) {
			for _, factor := range []float64{stretch, 1 / stretch} {
				try := k.moved(part, factor)
				miss, err := missBetween(x, y, folds, try)
				if err != nil {
					return Kernel{}, err
				}
				if miss < best {
					best, k = miss, try
					break
				}
			}
		}
		stretch = math.Sqrt(stretch)
	}
	return k, nil
}

// The folds inside which TuneByGroups looks, and how many times they are dealt.
const (
	innerFolds = 10
	innerDeals = 3
)

// missBetween is the mean squared error of rows predicted from the other folds.
func missBetween(x [][]float64, y []float64, folds [][]int, k Kernel) (float64, error) {
	p, err := FitProcess(x, y, k)
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for _, deal := range folds {
		mean, err := p.WithoutGroup(deal)
		if err != nil {
			return 0, err
		}
		s := ScoreOf(y, mean)
		sum += s.RMSE * s.RMSE
	}
	return sum, nil
}

// moved is the kernel with one part times a factor: part 0 the noise, then of each term its variance, its scales, its times.
func (k Kernel) moved(part int, factor float64) Kernel {
	out := Kernel{Terms: slices.Clone(k.Terms), Noise: k.Noise}
	times := func(list []float64) []float64 {
		moved := make([]float64, len(list))
		for i, v := range list {
			moved[i] = v * factor
		}
		return moved
	}
	if part == 0 {
		out.Noise *= factor
		return out
	}
	t := &out.Terms[(part-1)/3]
	switch (part - 1) % 3 {
	case 0:
		t.Variance *= factor
	case 1:
		t.Scale = times(t.Scale)
	case 2:
		t.Times = times(t.Times)
	}
	return out
}
