package strength

import (
	"fmt"
	"math"

	"slabwright/internal/engines/regress"
)

// Settings say how the model is trained and scored.
type Settings struct {
	Rounds  int     // of tuning the kernel, in each fold anew; 0: the kernel given stands
	Pull    float64 // how far the logarithms of the kernel may stray from the start, as a deviation
	Folds   int     // grouped by mix
	Repeats int     // of the folds, each with the next seed
	Seed    uint64  // of the first deal
}

// Full is the setting of the shipped model.
var Full = Settings{Rounds: 70, Pull: 1.5, Folds: 10, Repeats: 3, Seed: 1}

// Scores are measured on mixes not learned from.
type Scores struct {
	RMSE     float64 `json:"rmse"` // MPa
	MAE      float64 `json:"mae"`
	R2       float64 `json:"r2"`
	Coverage float64 `json:"coverage"` // share of tests in the 90 % interval
	Width    float64 `json:"width"`    // of that interval, mean, MPa
}

// intended is the share of tests the interval is made for.
const intended = 0.90

// Data is the strength data with what folds need.
type Data struct {
	tests  []test
	Groups []int     // number of the mix of each row
	MPa    []float64 // measured
}

// LoadData reads the embedded data.
func LoadData() (Data, error) {
	tests, err := readTests(dataCSV)
	d := Data{tests: tests}
	for _, t := range tests {
		d.Groups, d.MPa = append(d.Groups, t.number), append(d.MPa, t.mpa)
	}
	return d, err
}

// Row gives the numbers of row i: the seven masses in kg/m³, then the age in days.
func (d Data) Row(i int) []float64 {
	t := d.tests[i]
	row := features(t.mix, t.days)[:waterBinderColumn:waterBinderColumn]
	return append(row, t.days)
}

func pick[T any](list []T, rows []int) []T {
	out := make([]T, len(rows))
	for i, r := range rows {
		out[i] = list[r]
	}
	return out
}

// fit conditions a model on tests with a kernel, tuned first for some rounds.
func fit(tests []test, k regress.Kernel, rounds int, pull float64) (*model, error) {
	var m Model
	n := float64(len(tests))
	for _, t := range tests {
		m.Mean += t.mpa / n
	}
	for _, t := range tests {
		m.Spread += (t.mpa - m.Mean) * (t.mpa - m.Mean) / n
	}
	m.Spread = math.Sqrt(m.Spread)
	rows, y := rowsOf(tests), make([]float64, len(tests))
	for i, t := range tests {
		y[i] = (t.mpa - m.Mean) / m.Spread
	}
	if rounds > 0 {
		var err error
		if k, err = regress.Tune(rows, y, k, rounds, pull); err != nil {
			return nil, fmt.Errorf("strength: %w", err)
		}
	}
	p, err := regress.FitProcess(rows, y, k)
	if err != nil {
		return nil, fmt.Errorf("strength: %w", err)
	}
	m.Kernel, m.Weights = k, p.Weights
	return ready(m, tests), nil
}

// judged is one test predicted by a model that has not seen its mix.
type judged struct{ measured, mean, scatter float64 }

func (j judged) off() float64 { return math.Abs(j.measured-j.mean) / j.scatter }

// foldwise predicts every test from the folds without its mix.
func foldwise(d Data, k regress.Kernel, s Settings, seed uint64) ([]judged, []int, error) {
	folds := regress.GroupFolds(d.Groups, s.Folds, seed)
	out := make([]judged, len(d.tests))
	for f := range s.Folds {
		var seen, unseen []int
		for i, g := range folds {
			if g == f {
				unseen = append(unseen, i)
			} else {
				seen = append(seen, i)
			}
		}
		m, err := fit(pick(d.tests, seen), k, s.Rounds, s.Pull)
		if err != nil {
			return nil, nil, err
		}
		for _, i := range unseen {
			t := d.tests[i]
			line, _ := m.curve(t.mix, t.days)
			scatter, _ := m.scatter(t.mix, t.days)
			out[i] = judged{t.mpa, line.at(t.days), scatter}
		}
	}
	return out, folds, nil
}

// score measures predictions; the band of each fold is the quantile of the other folds, so that no test helps to cover itself.
func score(list []judged, folds []int) Scores {
	measured, mean := make([]float64, len(list)), make([]float64, len(list))
	covered, width := 0.0, 0.0
	bands := map[int]float64{}
	for i, j := range list {
		measured[i], mean[i] = j.measured, j.mean
		band, ok := bands[folds[i]]
		if !ok {
			var others []float64
			for k, o := range list {
				if folds[k] != folds[i] {
					others = append(others, o.off())
				}
			}
			band = regress.Quantile(others, intended)
			bands[folds[i]] = band
		}
		if j.off() <= band {
			covered++
		}
		width += 2 * band * j.scatter
	}
	r, n := regress.ScoreOf(measured, mean), float64(len(list))
	return Scores{RMSE: r.RMSE, MAE: r.MAE, R2: r.R2, Coverage: covered / n, Width: width / n}
}

// Validate scores the model on folds grouped by mix, once for each repeat. With s.Rounds above zero the kernel is tuned anew inside
// every fold, from the same start, so no fold has seen its own tests in any way; with none the shipped kernel is taken.
func Validate(d Data, s Settings) ([]Scores, error) {
	k := start()
	if s.Rounds == 0 {
		m, err := shipped()
		if err != nil {
			return nil, err
		}
		k = m.Kernel
	}
	var out []Scores
	for r := range s.Repeats {
		list, folds, err := foldwise(d, k, s, s.Seed+uint64(r))
		if err != nil {
			return nil, err
		}
		out = append(out, score(list, folds))
	}
	return out, nil
}

// Train tunes the kernels on all tests, scores them on grouped folds, and takes the band from the first deal of them.
func Train(d Data, s Settings) (Model, error) {
	m, err := fit(d.tests, start(), s.Rounds, s.Pull)
	if err != nil {
		return Model{}, err
	}
	m.Note = "Written by tools/trainstrength from testdata/concrete-strength.csv; do not edit."
	for r := range s.Repeats {
		list, folds, err := foldwise(d, m.Kernel, Settings{Folds: s.Folds}, s.Seed+uint64(r))
		if err != nil {
			return Model{}, err
		}
		m.Fixed = append(m.Fixed, score(list, folds))
		if r == 0 {
			m.band(list)
		}
	}
	return m.Model, nil
}

// band takes the width of the interval and the usual scatter from tests predicted without their mix.
func (m *Model) band(list []judged) {
	var offs, scatters []float64
	for _, j := range list {
		offs, scatters = append(offs, j.off()), append(scatters, j.scatter)
	}
	m.Band, m.UsualSpread = regress.Quantile(offs, intended), regress.Quantile(scatters, 0.5)
}
