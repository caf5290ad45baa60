package main

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"slabwright/internal/engines/regress"
	"slabwright/internal/trade/strength"
)

// baseline is a plainer model: from the rows seen it makes a function of a row (seven masses, age in days).
type baseline struct {
	name string
	fit  func(data strength.Data, seen []int) (func(row []float64) float64, error)
}

var models = []baseline{
	{"mean only", fitMean},
	{"Abrams, t/(a + bt)", fitAbrams(func(t, a float64) float64 { return t / (a + (28-a)*t/28) }, 4.9)},
	{"Abrams, EN 1992 age", fitAbrams(func(t, s float64) float64 { return math.Exp(s * (1 - math.Sqrt(28/t))) }, 0.38)},
	{"log-linear", fitLogLinear},
	{"plain Gaussian process, fixed numbers", fitPlain},
	{"boosted trees, free", fitTrees(false)},
	{"boosted trees, held to age and water", fitTrees(true)},
}

// scored is a baseline's scores over the repeats, averaged.
type scored struct {
	name string
	strength.Scores
}

// baselines scores every plainer model on the same folds as the model. Its intervals are quantiles of the other folds' residuals of
// ln strength, as is usual where a model tells no scatter of its own.
func baselines(data strength.Data, s strength.Settings) ([]scored, error) {
	var out []scored
	for _, b := range models {
		total := scored{name: b.name}
		for r := range s.Repeats {
			folds := regress.GroupFolds(data.Groups, s.Folds, s.Seed+uint64(r))
			predicted := make([]float64, len(folds))
			for f := range s.Folds {
				seen, unseen := regress.Split(folds, f)
				model, err := b.fit(data, seen)
				if err != nil {
					return nil, fmt.Errorf("%s: %w", b.name, err)
				}
				for _, i := range unseen {
					predicted[i] = math.Max(model(data.Row(i)), 0.5)
				}
			}
			add(&total.Scores, logScores(data.MPa, predicted, folds), float64(s.Repeats))
		}
		out = append(out, total)
	}
	return out, nil
}

func add(total *strength.Scores, one strength.Scores, repeats float64) {
	total.RMSE, total.MAE, total.R2 = total.RMSE+one.RMSE/repeats, total.MAE+one.MAE/repeats, total.R2+one.R2/repeats
	total.Coverage, total.Width = total.Coverage+one.Coverage/repeats, total.Width+one.Width/repeats
}

func logScores(measured, predicted []float64, folds []int) strength.Scores {
	off := func(i int) float64 { return math.Abs(math.Log(measured[i] / predicted[i])) }
	covered, width := 0.0, 0.0
	for i := range measured {
		var others []float64
		for k := range measured {
			if folds[k] != folds[i] {
				others = append(others, off(k))
			}
		}
		band := regress.Quantile(others, 0.90)
		if off(i) <= band {
			covered++
		}
		width += predicted[i] * (math.Exp(band) - math.Exp(-band))
	}
	r, n := regress.ScoreOf(measured, predicted), float64(len(measured))
	return strength.Scores{RMSE: r.RMSE, MAE: r.MAE, R2: r.R2, Coverage: covered / n, Width: width / n}
}

func fitMean(data strength.Data, seen []int) (func([]float64) float64, error) {
	mean := 0.0
	for _, i := range seen {
		mean += data.MPa[i] / float64(len(seen))
	}
	return func([]float64) float64 { return mean }, nil
}

// abrams is A exp(-B w/(c + ks s + kf p)) g(t) with parameters A/100, B, ks, kf and the age curve's own.
func abrams(p, row []float64, growth func(t, a float64) float64) float64 {
	return p[0] * 100 * math.Exp(-p[1]*row[3]/(row[0]+p[2]*row[1]+p[3]*row[2])) * growth(row[7], p[4])
}

// fitAbrams fits it by least squares in MPa: Gauss-Newton steps, halved until they help.
func fitAbrams(growth func(t, a float64) float64, age float64) func(strength.Data, []int) (func([]float64) float64, error) {
	return func(data strength.Data, seen []int) (func([]float64) float64, error) {
		p := []float64{1.25, 2.3, 0.7, 0.5, age}
		miss := func(p []float64) float64 {
			sum := 0.0
			for _, i := range seen {
				d := data.MPa[i] - abrams(p, data.Row(i), growth)
				sum += d * d
			}
			return sum
		}
		for range 20 {
			slope, off := mat.NewDense(len(seen), len(p), nil), mat.NewVecDense(len(seen), nil)
			for k, i := range seen {
				row := data.Row(i)
				f := abrams(p, row, growth)
				off.SetVec(k, data.MPa[i]-f)
				for c := range p {
					q := append([]float64{}, p...)
					q[c] += 1e-6
					slope.Set(k, c, (abrams(q, row, growth)-f)/1e-6)
				}
			}
			var step mat.VecDense
			if err := step.SolveVec(slope, off); err != nil {
				return nil, err
			}
			now := miss(p)
			for share := 1.0; share > 1e-3; share /= 2 {
				q := append([]float64{}, p...)
				for c := range q {
					q[c] += share * step.AtVec(c)
				}
				if miss(q) < now {
					p = q
					break
				}
			}
		}
		return func(row []float64) float64 { return abrams(p, row, growth) }, nil
	}
}

// terms are the columns of the log-linear model.
func terms(row []float64) []float64 {
	c, s, p, w, sp, ca, fa, t := row[0], row[1], row[2], row[3], row[4], row[5], row[6], math.Log(row[7])
	b := c + s + p
	wb := math.Log(w / b)
	return []float64{1, wb, math.Log(b), s / b, p / b, sp / b, ca / 1000, fa / 1000, t, t * t, t * wb, t * s / b, t * p / b, wb * wb, s / b * s / b, p / b * p / b, sp / b * t}
}

func fitLogLinear(data strength.Data, seen []int) (func([]float64) float64, error) {
	x, y := mat.NewDense(len(seen), len(terms(data.Row(0))), nil), mat.NewVecDense(len(seen), nil)
	for k, i := range seen {
		x.SetRow(k, terms(data.Row(i)))
		y.SetVec(k, math.Log(data.MPa[i]))
	}
	var coefficients mat.VecDense
	if err := coefficients.SolveVec(x, y); err != nil {
		return nil, err
	}
	return func(row []float64) float64 {
		return math.Exp(mat.Dot(mat.NewVecDense(coefficients.Len(), terms(row)), &coefficients))
	}, nil
}

func fitPlain(data strength.Data, seen []int) (func([]float64) float64, error) {
	p, err := data.FitPlain(seen)
	if err != nil {
		return nil, err
	}
	return func(row []float64) float64 { return p.MPaOf(row) }, nil
}

// treeColumns adds to a row what trees cannot make of it by cutting: ratios and Abrams' law.
func treeColumns(row []float64) []float64 {
	c, s, p, w, sp, ca, fa, t := row[0], row[1], row[2], row[3], row[4], row[5], row[6], row[7]
	b, effective := c+s+p, c+0.73*s+0.5*p
	abrams := math.Exp(-2.26*w/effective) * t / (4.9 + (28-4.9)*t/28)
	return append(append([]float64{}, row...), w/c, w/b, w/effective, sp/b, s/b, p/b, b, fa/(fa+ca), abrams)
}

// treeDirections: strength falls with water and its ratios, rises with age and Abrams' law.
var treeDirections = []int{0, 0, 0, -1, 0, 0, 0, 1, -1, -1, -1, 0, 0, 0, 0, 0, 1}

// fitTrees averages three forests.
func fitTrees(held bool) func(strength.Data, []int) (func([]float64) float64, error) {
	return func(data strength.Data, seen []int) (func([]float64) float64, error) {
		var x [][]float64
		var y []float64
		for _, i := range seen {
			x, y = append(x, treeColumns(data.Row(i))), append(y, math.Sqrt(data.MPa[i]))
		}
		s := regress.TreeSettings{Trees: 900, Depth: 4, Rate: 0.05, Rows: 0.6, Columns: 0.4, LeastLeaf: 1, Shrink: 1}
		if held {
			s.Direction = treeDirections
		}
		var forests []*regress.Forest
		for s.Seed = range uint64(3) {
			f, err := regress.FitTrees(x, y, s)
			if err != nil {
				return nil, err
			}
			forests = append(forests, f)
		}
		return func(row []float64) float64 {
			sum := 0.0
			for _, f := range forests {
				root := math.Max(f.Predict(treeColumns(row)), 0)
				sum += root * root / float64(len(forests))
			}
			return sum
		}, nil
	}
}
