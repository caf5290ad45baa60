package strength

import (
	"fmt"
	"math"

	"slabwright/internal/engines/regress"
)

// How binders count and concrete grows by published rules, for the columns a tree cannot make of the masses by cutting.
const (
	slagCounts   = 0.6  // of cement. Source: EN 206 (recalled)
	ashCounts    = 0.4  // of cement. Source: EN 206 (recalled)
	abramsFalls  = 2.1  // strength falls by 8.2 to the power of w/c. Source: Abrams 1918 (recalled)
	growthFirst  = 4.0  // days, of t/(a + b t). Source: ACI 209R-92
	growthLater  = 0.85 // of the same
	rises        = 1
	falls        = -1
	matureAtDays = 28.0 // to this age strength is held to rise
)

// Columns of a row of the forest, and which way strength goes with each.
var treeDirections = []int{
	0, 0, 0, falls, 0, 0, 0, // masses
	rises, 0, // age up to 28 days, and beyond it
	falls, falls, falls, // water over cement, binder, and binder as it counts
	0, 0, 0, 0, 0, // plasticizer, slag, ash over binder; binder; sand over aggregate
	rises, // Abrams' law times growth
}

// treeRow is the row the forest reads for a mix at an age in days. Columns that hold water fall or rise with it as their direction
// says, so that the forest falls with water.
func treeRow(m Mix, days float64) []float64 {
	c, s, p, w := float64(m.Cement), float64(m.Slag), float64(m.FlyAsh), float64(m.Water)
	sp, ca, fa := float64(m.Plasticizer), float64(m.Coarse), float64(m.Sand)
	b, counts, young := c+s+p, c+slagCounts*s+ashCounts*p, math.Min(days, matureAtDays)
	return []float64{c, s, p, w, sp, ca, fa, young, math.Max(days, matureAtDays), w / c, w / b, w / counts, sp / b, s / b, p / b, b, fa / (fa + ca),
		math.Exp(-abramsFalls*w/counts) * young / (growthFirst + growthLater*young)}
}

// forest is boosted trees over square roots of strengths, one forest for each seed.
type forest []*regress.Forest

// growForest learns from tests.
func growForest(tests []test, s regress.TreeSettings, seeds int) (forest, error) {
	rows, roots := make([][]float64, len(tests)), make([]float64, len(tests))
	for i, t := range tests {
		rows[i], roots[i] = treeRow(t.mix, t.days), math.Sqrt(t.mpa)
	}
	s.Direction = treeDirections
	var out forest
	for s.Seed = range uint64(seeds) {
		f, err := regress.FitTrees(rows, roots, s)
		if err != nil {
			return nil, fmt.Errorf("strength: %w", err)
		}
		out = append(out, f)
	}
	return out, nil
}

// mpa is the forest's strength of a mix at an age.
func (f forest) mpa(m Mix, days float64) float64 {
	row, sum := treeRow(m, days), 0.0
	for _, one := range f {
		root := math.Max(one.Predict(row), 0)
		sum += root * root
	}
	return sum / float64(len(f))
}

// line is the forest's strength at the first so many ages of the lattice; beyond 28 days it never falls back.
func (f forest) line(m Mix, count int) agedLine {
	out := make(agedLine, count)
	for a := range out {
		out[a] = f.mpa(m, ages[a])
		if a > 0 {
			out[a] = math.Max(out[a], out[a-1])
		}
	}
	return out
}
