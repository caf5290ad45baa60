package strength

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"slabwright/internal/engines/regress"
)

// Settings say how the model is trained and scored. Everything that learns is learned anew inside every fold: the kernel, the
// weights, the trees. Only what is written here and in start was chosen by hand; see docs/validation/strength.md for how.
type Settings struct {
	Rounds  int     // of tuning the kernel by likelihood
	Pull    float64 // how far the logarithms of the kernel may stray from the start, as a deviation
	Trees   regress.TreeSettings
	Forests int    // of trees, each with the next seed
	Folds   int    // grouped by mix
	Repeats int    // of the folds, each with the next seed
	Seed    uint64 // of the first deal
}

// Full is the setting of the shipped model. More rounds fit the data better and new mixes worse.
var Full = Settings{Rounds: 30, Pull: 1, Forests: 2, Folds: 10, Repeats: 3, Seed: 1,
	Trees: regress.TreeSettings{Trees: 400, Depth: 6, Rate: 0.05, Rows: 0.6, Columns: 0.25, LeastLeaf: 1, Shrink: 1}}

// Reduced is the setting that the ordinary tests score again: seconds instead of minutes.
var Reduced = Settings{Rounds: 4, Pull: 1, Forests: 1, Folds: 3, Repeats: 1, Seed: 1,
	Trees: regress.TreeSettings{Trees: 150, Depth: 4, Rate: 0.1, Rows: 0.6, Columns: 0.25, LeastLeaf: 1, Shrink: 1}}

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
	row := plainRow(t.mix, t.days)
	row[len(row)-1] = t.days
	return row[:]
}

func pick[T any](list []T, rows []int) []T {
	out := make([]T, len(rows))
	for i, r := range rows {
		out[i] = list[r]
	}
	return out
}

// fit learns a model from tests and nothing else.
func fit(tests []test, s Settings) (*model, error) {
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
	k, err := regress.Tune(rows, y, start(), s.Rounds, s.Pull)
	if err != nil {
		return nil, fmt.Errorf("strength: %w", err)
	}
	p, err := regress.FitProcess(rows, y, k)
	if err != nil {
		return nil, fmt.Errorf("strength: %w", err)
	}
	m.Kernel, m.Weights = k, p.Weights
	trees, err := growForest(tests, s.Trees, s.Forests)
	if err != nil {
		return nil, err
	}
	for _, f := range trees {
		text, err := f.MarshalBinary()
		if err != nil {
			return nil, err
		}
		m.Trees = append(m.Trees, text)
	}
	return ready(m, trees, tests), nil
}

// judged is one test predicted by a model that has not seen its mix.
type judged struct {
	measured, mean, scatter float64
	process, forest         float64 // the two parts of the mean
}

func (j judged) off() float64 { return math.Abs(j.measured-j.mean) / j.scatter }

// foldwise predicts every test from models learned in the folds without its mix, some folds at a time.
func foldwise(d Data, s Settings, seed uint64) ([]judged, []int, error) {
	folds := regress.GroupFolds(d.Groups, s.Folds, seed)
	out := make([]judged, len(d.tests))
	errs := make([]error, s.Folds)
	var wait sync.WaitGroup
	turn := make(chan struct{}, runtime.GOMAXPROCS(0))
	for f := range s.Folds {
		wait.Go(func() {
			turn <- struct{}{}
			errs[f] = predictFold(d, s, folds, f, out)
			<-turn
		})
	}
	wait.Wait()
	if err := errors.Join(errs...); err != nil {
		return nil, nil, err
	}
	return out, folds, nil
}

// predictFold learns from the other folds and predicts the tests of this one.
func predictFold(d Data, s Settings, folds []int, fold int, out []judged) error {
	seen, unseen := regress.Split(folds, fold)
	m, err := fit(pick(d.tests, seen), s)
	if err != nil {
		return err
	}
	for _, i := range unseen {
		t := d.tests[i]
		line, _ := m.curve(t.mix, t.days)
		scatter, _ := m.scatter(t.mix, t.days)
		trees := m.forest.line(t.mix, len(line)).at(t.days)
		out[i] = judged{measured: t.mpa, mean: line.at(t.days), scatter: scatter, process: 2*line.at(t.days) - trees, forest: trees}
	}
	return nil
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

// Validation is the model's score on one deal of the mixes, with those of its two parts alone.
type Validation struct {
	Scores
	Process Scores `json:"process"`
	Forest  Scores `json:"forest"`
}

// Validate scores the model on folds grouped by mix, once for each repeat. No fold has seen its own tests in any way.
func Validate(d Data, s Settings) ([]Validation, error) {
	out, _, err := validate(d, s)
	return out, err
}

func validate(d Data, s Settings) (out []Validation, all []judged, err error) {
	for r := range s.Repeats {
		list, folds, err := foldwise(d, s, s.Seed+uint64(r))
		if err != nil {
			return nil, nil, err
		}
		alone := func(part func(judged) float64) Scores {
			parts := slices.Clone(list)
			for i, j := range parts {
				parts[i].mean = part(j)
			}
			return score(parts, folds)
		}
		out = append(out, Validation{score(list, folds), alone(func(j judged) float64 { return j.process }), alone(func(j judged) float64 { return j.forest })})
		all = append(all, list...)
	}
	return out, all, nil
}

// Train learns the shipped model from all tests, and takes the band and the scores from models that have not seen what they predict.
// The scores of the reduced setting come with it, for the tests to meet again.
func Train(d Data, s, reduced Settings) (Model, error) {
	m, err := fit(d.tests, s)
	if err != nil {
		return Model{}, err
	}
	m.Note = "Written by tools/trainstrength from testdata/concrete-strength.csv; do not edit."
	var all []judged
	if m.Scores, all, err = validate(d, s); err != nil {
		return Model{}, err
	}
	m.band(all)
	m.Reduced, err = Validate(d, reduced)
	return m.Model, err
}

// band takes the width of the interval and the usual scatter from tests predicted without their mix.
func (m *Model) band(list []judged) {
	var offs, scatters []float64
	for _, j := range list {
		offs, scatters = append(offs, j.off()), append(scatters, j.scatter)
	}
	m.Band, m.UsualSpread = regress.Quantile(offs, intended), regress.Quantile(scatters, 0.5)
}
