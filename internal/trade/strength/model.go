package strength

import (
	_ "embed" // the data, the tuned model
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/regress"
)

// The data: see testdata/concrete-strength.md for its source and its limits.
//
//go:embed testdata/concrete-strength.csv
var dataCSV string

// The tuned model, written by tools/trainstrength.
//
//go:embed model.json
var modelJSON []byte

// test is one row of the data.
type test struct {
	number    int
	mix       Mix
	days, mpa float64
}

// readTests reads the data's rows in the order of the file.
func readTests(text string) ([]test, error) {
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("strength: %w", err)
	}
	tests := make([]test, 0, len(records))
	for i, r := range records[1:] {
		var v [10]float64
		if len(r) != len(v) {
			return nil, fmt.Errorf("strength: line %d of the data has %d fields", i+2, len(r))
		}
		for k := range v {
			if v[k], err = strconv.ParseFloat(r[k], 64); err != nil {
				return nil, fmt.Errorf("strength: line %d of the data: %w", i+2, err)
			}
		}
		d := func(k int) quantity.Density { return quantity.Density(v[k]) }
		tests = append(tests, test{int(v[0]), Mix{d(1), d(2), d(3), d(4), d(5), d(6), d(7)}, v[8], v[9]})
	}
	return tests, nil
}

// Model is what training leaves: numbers only, with the scores it was accepted by.
type Model struct {
	Note        string         `json:"note"`
	Kernel      regress.Kernel `json:"kernel"`
	Mean        float64        `json:"mean"`         // of the strengths, MPa
	Spread      float64        `json:"spread"`       // their standard deviation, MPa
	Weights     []float64      `json:"weights"`      // of the data's rows
	Trees       [][]byte       `json:"trees"`        // the forests, as regress.Forest writes them
	Band        float64        `json:"band"`         // scatters that nine grouped tests in ten keep to
	UsualSpread float64        `json:"usual_spread"` // median scatter of mixes not learned from, MPa
	Scores      []Validation   `json:"scores"`       // folds grouped by mix, everything learned anew inside every fold
	Reduced     []Validation   `json:"reduced"`      // the same at the reduced setting
}

// model is a Model with the data it belongs to, ready to be asked.
type model struct {
	Model
	data   []test
	rows   [][]float64
	curves *regress.Curves
	forest forest
	box    box
}

var shipped = sync.OnceValues(func() (*model, error) {
	tests, err := readTests(dataCSV)
	if err != nil {
		return nil, err
	}
	var m Model
	if err := json.Unmarshal(modelJSON, &m); err != nil {
		return nil, fmt.Errorf("strength: model.json: %w", err)
	}
	if len(m.Weights) != len(tests) {
		return nil, fmt.Errorf("strength: model.json has %d weights for %d rows", len(m.Weights), len(tests))
	}
	if len(m.Trees) == 0 {
		return nil, fmt.Errorf("strength: model.json has no trees")
	}
	trees := make(forest, len(m.Trees))
	for i, text := range m.Trees {
		trees[i] = &regress.Forest{}
		if err := trees[i].UnmarshalBinary(text); err != nil {
			return nil, fmt.Errorf("strength: model.json: %w", err)
		}
	}
	return ready(m, trees, tests), nil
})

func ready(m Model, trees forest, tests []test) *model {
	out := &model{Model: m, data: tests, rows: rowsOf(tests), forest: trees, box: boxOf(tests)}
	places := make([][]float64, len(ages))
	for i, days := range ages {
		places[i] = make([]float64, columns)
		places[i][ageColumn] = math.Log(days)
	}
	out.curves = regress.CurvesAt(m.Kernel, out.rows, m.Weights, places)
	return out
}

func rowsOf(tests []test) [][]float64 {
	rows := make([][]float64, len(tests))
	for i, t := range tests {
		rows[i] = features(t.mix, t.days)
	}
	return rows
}

// The lattice on which the estimate is held to rise with age and fall with water. Ages are those of the data, so that nothing is
// lost there; between them the line is straight in ln age, and in water. Water contents that tested mixes of this kind had stand
// close, the others wide apart.
var ages = [...]float64{1, 3, 7, 14, 28, 56, 91, 120, 180, 270, 365}

const (
	leastWater = 120.0 // kg/m³
	mostWater  = 249.0
	waterStep  = 3.0
	wideStep   = 4    // of the steps, where no tested mix of this kind is near
	supported  = 0.5  // nearness over that of the nearest, from which steps are close
	trust      = 16   // power of that share that a water content counts with
	leastTrust = 1e-9 // keeps every weight above zero
)

// curve is the estimate of a mix over age up to days, the plain mean of the process and the forest, both held to what is known. The
// forest is by its directions. For the process, over a lattice of water contents the mean of the
// process is replaced by the falling sequence nearest to it, water contents near the data counting more; over ages it never falls
// back; between lattice points it is a straight line. The lattice does not depend on the mix's own water, so the estimate rises with age and
// falls with water exactly, everywhere. near is 1 at a mix of the data, 0 far from all.
func (m *model) curve(mix Mix, days float64) (line agedLine, near float64) {
	near = m.curves.Near(series, [][]float64{features(mix, 1)})[0]
	count := 1
	for count < len(ages) && ages[count-1] < days {
		count++
	}
	waters, weights := m.waters(mix)
	rows := make([][]float64, len(waters))
	for i, w := range waters {
		rows[i] = m.watered(mix, w)
	}
	means := m.curves.Sweep(rows, count)
	before, falls := make([]float64, len(waters)), make([]float64, len(waters))
	for a := range count {
		for w := range waters {
			falls[w] = -means[w][a] // so that it must rise
		}
		held := regress.Isotonic(falls, weights)
		for w := range held {
			if a > 0 {
				held[w] = math.Min(held[w], before[w])
			}
		}
		before = held
		line = append(line, m.Mean-m.Spread*regress.Between(waters, held, float64(mix.Water)))
	}
	for a, mpa := range m.forest.line(mix, count) {
		line[a] = (line[a] + mpa) / 2
	}
	return line, near
}

// watered is the features of a mix with another water content.
func (m *model) watered(mix Mix, water float64) []float64 {
	mix.Water = quantity.Density(water)
	return features(mix, 1)
}

// waters are the water contents of the lattice for a mix, whatever its own, each with how much it counts.
func (m *model) waters(mix Mix) (waters, weights []float64) {
	var all, kept []float64
	var rows [][]float64
	for w := leastWater; w <= mostWater; w += waterStep {
		all, rows = append(all, w), append(rows, m.watered(mix, w))
	}
	near := m.curves.Near(series, rows)
	nearest := math.Max(slices.Max(near), math.SmallestNonzeroFloat64)
	for i, w := range all {
		share := near[i] / nearest
		if share < supported && i%wideStep != 0 && i != len(all)-1 {
			continue
		}
		kept, weights = append(kept, w), append(weights, math.Pow(share, trust)+leastTrust)
	}
	return kept, weights
}

// agedLine is a strength in MPa at each of the lattice's ages, youngest first, as far as was asked.
type agedLine []float64

// at reads the line at an age in days, straight in ln age.
func (l agedLine) at(days float64) float64 {
	places := make([]float64, len(l))
	for i := range l {
		places[i] = math.Log(ages[i])
	}
	return regress.Between(places, l, math.Log(days))
}
