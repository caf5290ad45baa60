// Package regress learns a number from rows of numbers: boosted trees that keep to a direction where one is known, Gaussian
// processes whose kernels are sums of smooth terms, folds that never split a group, and intervals that are held to what they
// promise on rows not learned from. Everything is deterministic: same rows, same settings, same seed, same bits on one machine.
package regress

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// Score is how well predictions meet what was measured.
type Score struct {
	RMSE float64 // root of the mean squared error
	MAE  float64 // mean absolute error
	R2   float64 // share of the variance explained
}

// ScoreOf compares predictions with measurements of the same length. Of no rows the score is zero.
func ScoreOf(measured, predicted []float64) Score {
	if len(measured) == 0 {
		return Score{}
	}
	n, mean := float64(len(measured)), meanOf(measured)
	var square, absolute, spread float64
	for i, y := range measured {
		e := y - predicted[i]
		square, absolute, spread = square+e*e, absolute+math.Abs(e), spread+(y-mean)*(y-mean)
	}
	return Score{RMSE: math.Sqrt(square / n), MAE: absolute / n, R2: 1 - square/spread}
}

func meanOf(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

// GroupFolds deals rows into folds so that rows of one group lie in one fold: groups in random order, each to the fold with the
// fewest rows so far. It returns the fold of every row.
func GroupFolds(groups []int, folds int, seed uint64) []int {
	size := map[int]int{}
	var names []int
	for _, g := range groups {
		if size[g] == 0 {
			names = append(names, g)
		}
		size[g]++
	}
	slices.Sort(names)
	dice := rand.New(rand.NewPCG(seed, 0))
	dice.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
	load, fold := make([]int, folds), map[int]int{}
	for _, g := range names {
		least := 0
		for f := range load {
			if load[f] < load[least] {
				least = f
			}
		}
		fold[g], load[least] = least, load[least]+size[g]
	}
	out := make([]int, len(groups))
	for i, g := range groups {
		out[i] = fold[g]
	}
	return out
}

// Split parts the numbers of rows into those outside a fold, to learn from, and those in it.
func Split(folds []int, fold int) (seen, unseen []int) {
	for i, f := range folds {
		if f == fold {
			unseen = append(unseen, i)
		} else {
			seen = append(seen, i)
		}
	}
	return seen, unseen
}

// Quantile is the value that a share p of the values does not pass, the conservative one of a finite sample: the ⌈p(n+1)⌉-th
// smallest, the largest when there are too few. This is the split-conformal rule: with exchangeable rows the next value lies at or
// below it with a chance of at least p. Source: Vovk, Gammerman and Shafer, Algorithmic Learning in a Random World.
func Quantile(values []float64, p float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	k := int(math.Ceil(p * float64(len(sorted)+1)))
	return sorted[min(max(k, 1), len(sorted))-1]
}

// checkRows refuses rows that cannot be learned from: none, of unequal length, or not numbers.
func checkRows(x [][]float64, y []float64) error {
	if len(x) == 0 || len(x) != len(y) {
		return fmt.Errorf("regress: %d rows and %d values; both must be the same and more than none", len(x), len(y))
	}
	for i, row := range x {
		if len(row) != len(x[0]) {
			return fmt.Errorf("regress: row %d has %d numbers, the first has %d", i, len(row), len(x[0]))
		}
		for _, v := range append([]float64{y[i]}, row...) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return fmt.Errorf("regress: row %d holds something that is not a number", i)
			}
		}
	}
	return nil
}
