package strength

import (
	"fmt"
	"math"

	"slabwright/internal/engines/regress"
)

// Columns of a row of features: what physics says matters, and two sums that tell series of tests apart.
const (
	waterBinderColumn    = iota // ln w/(c+s+p)
	waterEffectiveColumn        // ln w/(c + 0.6 s + 0.4 p)
	slagColumn                  // share of the binder
	ashColumn                   // share of the binder
	plasticizerColumn           // over the binder
	pasteColumn                 // binder, water and plasticizer, L/m³
	sandColumn                  // share of the aggregate
	volumeColumn                // of the solids and water, L/m³: what is missing from 1000 is air, or a recipe that yields more or less
	massColumn                  // kg/m³
	ageColumn                   // ln days
	columns
)

// Densities of the parts relative to water, usual values, for the absolute volume.
const (
	cementGravity      = 3.15
	slagGravity        = 2.90
	ashGravity         = 2.40
	plasticizerGravity = 1.10
	coarseGravity      = 2.70
	sandGravity        = 2.65
)

// features is the row the process reads for a mix at an age in days.
func features(m Mix, days float64) []float64 {
	c, s, p, w := float64(m.Cement), float64(m.Slag), float64(m.FlyAsh), float64(m.Water)
	sp, ca, fa := float64(m.Plasticizer), float64(m.Coarse), float64(m.Sand)
	b := c + s + p
	paste := c/cementGravity + s/slagGravity + p/ashGravity + w + sp/plasticizerGravity
	row := make([]float64, columns)
	row[waterBinderColumn], row[waterEffectiveColumn] = math.Log(w/b), math.Log(w/(c+slagCounts*s+ashCounts*p))
	row[slagColumn], row[ashColumn], row[plasticizerColumn] = s/b, p/b, sp/b
	row[pasteColumn], row[sandColumn] = paste, fa/math.Max(fa+ca, 1) // a recipe may be asked about before its stone is typed
	row[volumeColumn] = paste + ca/coarseGravity + fa/sandGravity
	row[massColumn] = b + w + sp + ca + fa
	row[ageColumn] = math.Log(days)
	return row
}

// spreads are about the standard deviations of the columns over the data, age left out.
var spreads = [ageColumn]float64{0.28, 0.30, 0.20, 0.17, 0.0134, 33, 0.035, 15, 65}

// The terms of the kernel.
const (
	trend  = iota // slow, over the whole of the data
	series        // what mixes of one series of tests share
)

// start is the kernel that tuning begins from and stays near. Scales of the trend are three spreads of each column, those of the series one.
func start() regress.Kernel {
	term := func(shape regress.Shape, variance, spread, age float64) regress.Term {
		scale, times := make([]float64, columns), make([]float64, columns)
		for c, s := range spreads {
			scale[c] = spread * s
		}
		times[ageColumn] = age
		return regress.Term{Shape: shape, Variance: variance, Scale: scale, Times: times}
	}
	return regress.Kernel{Noise: 0.03, Terms: []regress.Term{term(regress.Matern52, 2, 3, 3), term(regress.Matern32, 0.3, 1, 1.5)}}
}

// box is the smallest and largest of each input in the data.
type box struct{ low, high [9]float64 }

var boxed = [9]string{"cement", "slag", "fly ash", "water", "plasticizer", "coarse aggregate", "sand", "water over binder", "age"}

func boxInputs(m Mix, days float64) [9]float64 {
	return [9]float64{float64(m.Cement), float64(m.Slag), float64(m.FlyAsh), float64(m.Water), float64(m.Plasticizer), float64(m.Coarse), float64(m.Sand),
		float64(m.Water) / m.binder(), days}
}

// boxOf is the box around the tests.
func boxOf(tests []test) box {
	var b box
	for i, t := range tests {
		for k, v := range boxInputs(t.mix, t.days) {
			if i == 0 {
				b.low[k], b.high[k] = v, v
			}
			b.low[k], b.high[k] = math.Min(b.low[k], v), math.Max(b.high[k], v)
		}
	}
	return b
}

// outside names the inputs beyond the data, each with what the data hold.
func (b box) outside(m Mix, days float64) []string {
	var out []string
	for k, v := range boxInputs(m, days) {
		if !(v >= b.low[k]*(1-1e-9) && v <= b.high[k]*(1+1e-9)) {
			unit := " kg/m³"
			switch boxed[k] {
			case "age":
				unit = " d"
			case "water over binder":
				unit = ""
			}
			out = append(out, fmt.Sprintf("%s %.4g%s, the data hold %.4g to %.4g", boxed[k], v, unit, b.low[k], b.high[k]))
		}
	}
	return out
}
