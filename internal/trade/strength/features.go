package strength

import (
	"fmt"
	"math"

	"slabwright/internal/engines/regress"
)

// Columns of a row of features: masses in kg/m³ as in the data, then what physics says matters.
const (
	cementColumn = iota
	slagColumn
	ashColumn
	waterColumn
	plasticizerColumn
	coarseColumn
	sandColumn
	waterBinderColumn // ln w/(c+s+p)
	waterCementColumn // ln w/c
	volumeColumn      // of the solids and water, L/m³: what is missing from 1000 is air, or a recipe that yields more or less
	massColumn        // kg/m³
	ageColumn         // ln days
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
	row := make([]float64, columns)
	copy(row, []float64{c, s, p, w, sp, ca, fa})
	row[waterBinderColumn], row[waterCementColumn] = math.Log(w/(c+s+p)), math.Log(w/c)
	row[volumeColumn] = c/cementGravity + s/slagGravity + p/ashGravity + w + sp/plasticizerGravity + ca/coarseGravity + fa/sandGravity
	row[massColumn] = c + s + p + w + sp + ca + fa
	row[ageColumn] = math.Log(days)
	return row
}

// scales is a row of length scales by column; 0: the column does not count.
type scales map[int]float64

func (s scales) row() []float64 {
	out := make([]float64, columns)
	for c, v := range s {
		out[c] = v
	}
	return out
}

// The terms of the kernel.
const (
	trend   = iota // slow, over recipe and ratios
	series         // what mixes of one series of tests share
	between        // what neighbouring series share, and how mixes differ in growing
)

// start is the kernel that tuning begins from and stays near. Scales of the trend are about four times the spread of each column in
// the data, those of the series about one time, those between about two times.
func start() regress.Kernel {
	times := func(s float64) []float64 { return scales{ageColumn: s}.row() }
	return regress.Kernel{Noise: 0.03, Terms: []regress.Term{
		{Shape: regress.Gaussian, Variance: 2.25, Times: times(3), Scale: scales{cementColumn: 400, slagColumn: 340, ashColumn: 256, waterColumn: 80,
			plasticizerColumn: 24, coarseColumn: 312, sandColumn: 320, waterBinderColumn: 1, waterCementColumn: 1.33, volumeColumn: 80, massColumn: 240}.row()},
		{Shape: regress.Matern32, Variance: 0.2, Times: times(2), Scale: scales{cementColumn: 100, slagColumn: 85, ashColumn: 64, waterColumn: 20,
			plasticizerColumn: 6, coarseColumn: 78, sandColumn: 80, volumeColumn: 40, massColumn: 120}.row()},
		{Shape: regress.Matern52, Variance: 0.3, Times: times(1), Scale: scales{cementColumn: 200, slagColumn: 170, ashColumn: 128, waterColumn: 40,
			plasticizerColumn: 12, coarseColumn: 156, sandColumn: 160, waterBinderColumn: 0.5, volumeColumn: 40, massColumn: 120}.row()},
	}}
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
