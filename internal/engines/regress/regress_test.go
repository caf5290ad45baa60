package regress

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// hills makes rows in three columns and a smooth value with some noise; the first column only raises it.
func hills(n int, seed uint64) (x [][]float64, y []float64) {
	dice := rand.New(rand.NewPCG(seed, 9))
	for range n {
		row := []float64{3 * dice.Float64(), 2*dice.Float64() - 1, dice.Float64()}
		x = append(x, row)
		y = append(y, 2*math.Sqrt(row[0])+math.Sin(3*row[1])+0.05*dice.NormFloat64())
	}
	return x, y
}

func TestScores(t *testing.T) {
	if s := ScoreOf([]float64{1, 2, 3}, []float64{1, 2, 5}); math.Abs(s.RMSE-math.Sqrt(4.0/3)) > 1e-12 || math.Abs(s.MAE-2.0/3) > 1e-12 || math.Abs(s.R2+1) > 1e-12 {
		t.Errorf("%+v", s)
	}
}

// TestFoldsNeverSplitAGroup, use every fold and are of like size.
func TestFoldsNeverSplitAGroup(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		groups := rapid.SliceOfN(rapid.IntRange(0, 60), 200, 400).Draw(t, "groups")
		folds := GroupFolds(groups, 5, rapid.Uint64().Draw(t, "seed"))
		of, size := map[int]int{}, make([]int, 5)
		for i, f := range folds {
			if old, ok := of[groups[i]]; ok && old != f {
				t.Fatalf("group %d in folds %d and %d", groups[i], old, f)
			}
			of[groups[i]] = f
			size[f]++
		}
		count := map[int]int{}
		for _, g := range groups {
			count[g]++
		}
		if largest := slices.Max(slices.Collect(maps.Values(count))); slices.Max(size)-slices.Min(size) > largest {
			t.Fatalf("sizes %v with groups of at most %d", size, largest)
		}
	})
}

func TestSplitPartsAllRows(t *testing.T) {
	seen, unseen := Split([]int{0, 1, 2, 1, 0}, 1)
	if !slices.Equal(seen, []int{0, 2, 4}) || !slices.Equal(unseen, []int{1, 3}) {
		t.Error(seen, unseen)
	}
}

// TestAForestIsReadBackAsWritten, and nothing else is read as one.
func TestAForestIsReadBackAsWritten(t *testing.T) {
	x, y := hills(60, 3)
	f, err := FitTrees(x, y, TreeSettings{Trees: 7, Depth: 3, Rate: 0.3, Rows: 0.8, Columns: 0.7, LeastLeaf: 2, Shrink: 1, Seed: 5})
	if err != nil {
		t.Fatal(err)
	}
	text, err := f.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	var back Forest
	if err := back.UnmarshalBinary(text); err != nil {
		t.Fatal(err)
	}
	for _, row := range x {
		if a, b := f.Predict(row), back.Predict(row); a != b {
			t.Fatalf("%v, read back %v", a, b)
		}
	}
	for _, bad := range [][]byte{nil, text[:15], text[:len(text)-1], append(slices.Clone(text), 0), append([]byte{200}, text[1:]...)} {
		if back.UnmarshalBinary(bad) == nil {
			t.Errorf("%d bytes are read as a forest", len(bad))
		}
	}
}

func TestQuantileIsTheConservativeOne(t *testing.T) {
	values := []float64{4, 1, 3, 2, 5, 9, 8, 7, 6}
	if q := Quantile(values, 0.9); q != 9 { // 0.9 · 10 = 9th of nine
		t.Errorf("%v", q)
	}
	if q := Quantile(values, 0.5); q != 5 {
		t.Errorf("%v", q)
	}
	if !math.IsNaN(Quantile(nil, 0.9)) {
		t.Error("of nothing there is none")
	}
}

func TestIsotonicIsTheNearestRisingSequence(t *testing.T) {
	if got := Isotonic([]float64{1, 3, 2, 2, 5}, []float64{1, 1, 1, 2, 1}); !slices.Equal(got, []float64{1, 2.25, 2.25, 2.25, 5}) {
		t.Errorf("%v", got)
	}
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(-9, 9), 1, 30).Draw(t, "values")
		weights := make([]float64, len(values))
		for i := range weights {
			weights[i] = rapid.Float64Range(0.01, 5).Draw(t, "weight")
		}
		held := Isotonic(values, weights)
		off := func(list []float64) (sum float64) {
			for i, v := range list {
				sum += weights[i] * (v - values[i]) * (v - values[i])
			}
			return sum
		}
		if !slices.IsSorted(held) || len(held) != len(values) {
			t.Fatalf("%v of %v", held, values)
		}
		try := slices.Clone(held) // any other rising sequence is no nearer
		for i := range try {
			try[i] += rapid.Float64Range(-1, 1).Draw(t, "move")
		}
		slices.Sort(try)
		if off(try) < off(held)-1e-9 {
			t.Fatalf("%v is nearer to %v than %v", try, values, held)
		}
	})
}

func TestTreesLearnAndKeepTheirDirection(t *testing.T) {
	x, y := hills(400, 1)
	seen, held := x[:300], TreeSettings{Trees: 300, Depth: 3, Rate: 0.1, Rows: 0.7, Columns: 1, LeastLeaf: 3, Shrink: 1, Direction: []int{1, 0, 0}, Seed: 3}
	f, err := FitTrees(seen, y[:300], held)
	if err != nil {
		t.Fatal(err)
	}
	var predicted []float64
	for _, row := range x[300:] {
		predicted = append(predicted, f.Predict(row))
	}
	if s := ScoreOf(y[300:], predicted); s.R2 < 0.95 {
		t.Errorf("%+v", s)
	}
	again, _ := FitTrees(seen, y[:300], held)
	if again.Predict(x[310]) != f.Predict(x[310]) || f.Trees() != 300 {
		t.Error("same seed, other forest")
	}
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-1, 4).Draw(t, "low")
		row := []float64{low, rapid.Float64Range(-2, 2).Draw(t, "b"), rapid.Float64Range(-1, 2).Draw(t, "c")}
		high := []float64{low + rapid.Float64Range(0, 4).Draw(t, "more"), row[1], row[2]}
		if f.Predict(high) < f.Predict(row)-1e-9 {
			t.Fatalf("falls from %v to %v", row, high)
		}
	})
}

func kernelOfHills() Kernel {
	return Kernel{Noise: 0.02, Terms: []Term{
		{Shape: Gaussian, Variance: 1.5, Scale: []float64{2, 0, 0}, Times: []float64{0, 1, 0}},
		{Shape: Matern52, Variance: 0.5, Scale: []float64{1, 0, 2}, Times: []float64{0, 0.7, 0}},
		{Shape: Matern32, Variance: 0.2, Scale: []float64{1, 0.8, 0}, Times: []float64{0, 0, 0}},
	}}
}

func TestProcessLearnsAndItsGradientIsRight(t *testing.T) {
	x, y := hills(120, 2)
	k := kernelOfHills()
	p, err := FitProcess(x[:100], y[:100], k)
	if err != nil {
		t.Fatal(err)
	}
	var predicted []float64
	for _, row := range x[100:] {
		mean, variance := p.Predict(row)
		if variance < 0 || variance > k.At(row, row) || math.Abs(mean-meanOver(p, row)) > 1e-9 {
			t.Errorf("mean %v, variance %v", mean, variance)
		}
		predicted = append(predicted, mean)
	}
	if s := ScoreOf(y[100:], predicted); s.R2 < 0.98 {
		t.Errorf("%+v", s)
	}
	logs := k.logs()
	for i, slope := range p.slope() {
		const h = 1e-5
		up, down := slices.Clone(logs), slices.Clone(logs)
		up[i], down[i] = up[i]+h, down[i]-h
		a, err1 := FitProcess(x[:100], y[:100], k.fromLogs(up))
		b, err2 := FitProcess(x[:100], y[:100], k.fromLogs(down))
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		// Central differences: good to 1e-5 of the slope and the rounding of a likelihood of some hundreds.
		if want := (a.LogLikelihood - b.LogLikelihood) / (2 * h); math.Abs(slope-want) > 1e-4*(1+math.Abs(want)) {
			t.Errorf("logarithm %d: %v, by differences %v", i, slope, want)
		}
	}
	tuned, err := Tune(x[:100], y[:100], k, 20, 1)
	if err != nil {
		t.Fatal(err)
	}
	if q, err := FitProcess(x[:100], y[:100], tuned); err != nil || q.LogLikelihood < p.LogLikelihood {
		t.Errorf("tuned to %v from %v", q.LogLikelihood, p.LogLikelihood)
	}
}

// TestCurvesAndNearbyRowsAgreeWithTheProcess.
func TestCurvesAndNearbyRowsAgreeWithTheProcess(t *testing.T) {
	x, y := hills(90, 4)
	for i := range x {
		x[i][0], x[i][2] = math.Round(2*x[i][0])/2, math.Round(x[i][2]) // kinds of row that differ only in the middle column
	}
	k := Kernel{Noise: 0.02, Terms: kernelOfHills().Terms[:2]}
	p, err := FitProcess(x, y, k)
	if err != nil {
		t.Fatal(err)
	}
	places := [][]float64{{0, -0.5, 0}, {0, 0.2, 0}}
	c := CurvesAt(k, x, p.Weights, places)
	ask := [][]float64{{1.2, 0, 0.4}, {1.2, 0, 0.9}, {2.6, 0, 0.4}}
	for i, means := range c.Sweep(ask, len(places)) {
		for j, place := range places {
			want := meanOver(p, []float64{ask[i][0], place[1], ask[i][2]})
			if math.Abs(means[j]-want) > 1e-4 { // the readers' tables: 2e-6 of each weight
				t.Errorf("row %d, place %d: %v, not %v", i, j, means[j], want)
			}
		}
	}
	for _, row := range ask {
		_, all := p.Predict(row)
		near, every := c.NearbyVariance(row, 25), c.NearbyVariance(row, len(x))
		if near < all-1e-6 || math.Abs(every-all) > 1e-4 {
			t.Errorf("variance %v of all, %v of 25, %v of every row", all, near, every)
		}
	}
	if near := c.Near(0, [][]float64{x[5], {40, 0, 0}}); math.Abs(near[0]-1) > 1e-9 || near[1] != 0 {
		t.Errorf("near %v", near)
	}
}

func TestShapesAreReadFromTheirTables(t *testing.T) {
	for s, r := range readers {
		for q := 0.0; q <= r.far; q += 0.0137 {
			want, _ := s.of(q)
			if math.Abs(r.at(q)-want) > 3e-6 {
				t.Fatalf("%s at %v: %v, not %v", s, q, r.at(q), want)
			}
		}
		if left, _ := s.of(r.far); left > 2.5e-5 {
			t.Errorf("%s leaves %v at its end", s, left)
		}
	}
}

func TestNothingBadIsLearned(t *testing.T) {
	good, k := TreeSettings{Trees: 1, Depth: 1, Rate: 1, Rows: 1, Columns: 1, LeastLeaf: 1}, kernelOfHills()
	bad := good
	bad.Rate = math.NaN()
	for name, run := range map[string]func() error{
		"no rows":      func() error { _, err := FitTrees(nil, nil, good); return err },
		"not a number": func() error { _, err := FitTrees([][]float64{{math.NaN()}}, []float64{1}, good); return err },
		"rate":         func() error { _, err := FitTrees([][]float64{{1}}, []float64{1}, bad); return err },
		"ragged rows":  func() error { _, err := FitProcess([][]float64{{1, 2, 3}, {1}}, []float64{1, 2}, k); return err },
		"scales":       func() error { _, err := FitProcess([][]float64{{1}}, []float64{1}, k); return err },
		"no noise": func() error {
			_, err := FitProcess([][]float64{{1, 2, 3}}, []float64{1}, Kernel{Terms: k.Terms})
			return err
		},
		"an unknown shape": func() error {
			_, err := FitProcess([][]float64{{1}}, []float64{1}, Kernel{Noise: 1, Terms: []Term{{"round", 1, []float64{1}, []float64{0}}}})
			return err
		},
	} {
		if run() == nil {
			t.Errorf("%s: learned", name)
		}
	}
}

// meanOver is the expected value at a row, summed over the rows seen one by one.
func meanOver(p *Process, row []float64) float64 {
	sum := 0.0
	for i, x := range p.Rows {
		sum += p.Weights[i] * p.Kernel.At(row, x)
	}
	return sum
}
