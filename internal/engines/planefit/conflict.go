package planefit

import (
	"context"
	"slices"
)

// possible is the misfit, in scaled units, below which limits count as met together: far above rounding (1e-12), far below
// a tape's eighth of an inch on a lot of 100 m (3e-5).
const possible = 1e-7

// conflicting finds a smallest set of limits, by name, that no plane meets; nil when all can be met.
//
// Elastic filter: each limit becomes a sample that costs only on its wrong side, and the fit without any hard limit finds
// the least total misfit. Names are then left out one after another: one whose absence leaves the rest impossible is not
// needed for the conflict and stays out; what remains is irreducible (deletion filter, Chinneck and Dravnieks 1991).
func conflicting(ctx context.Context, p problem) []int {
	groups := byName(p.names)
	if len(groups) == 0 || met(ctx, p, slices.Concat(groups...)) {
		return nil
	}
	for i := 0; i < len(groups); {
		without := slices.Concat(groups[:i], groups[i+1:])
		if len(without) > 0 && !met(ctx, p, slices.Concat(without...)) {
			groups = without
			continue
		}
		i++
	}
	return slices.Concat(groups...)
}

// byName groups limits by name, in the order the names first appear.
func byName(names []string) [][]int {
	var groups [][]int
	at := map[string]int{}
	for i, name := range names {
		k, ok := at[name]
		if !ok {
			k = len(groups)
			at[name] = k
			groups = append(groups, nil)
		}
		groups[k] = append(groups[k], i)
	}
	return groups
}

// met says whether some plane meets the given limits.
func met(ctx context.Context, p problem, limits []int) bool {
	elastic := problem{panels: p.panels, flatten: 1e-9}
	for _, i := range limits {
		l := p.limit(i)
		l.weight, l.fill = 1/float64(len(limits)), 1
		if p.order[i] < 0 {
			l.cut = 1
		}
		elastic.samples = append(elastic.samples, l)
	}
	meets := func(v []float64) bool {
		for _, l := range elastic.samples {
			short := l.level - l.of(v)
			if short < -possible || (l.cut > 0 && short > possible) {
				return false
			}
		}
		return true
	}
	sol, err := solve(ctx, elastic, meets)
	return err == nil && meets(sol.v)
}

// limit is the row of limit i of the original problem.
func (p problem) limit(i int) row {
	if k := p.order[i]; k >= 0 {
		return p.atMost[k]
	}
	return p.equal[-1-p.order[i]]
}
