package strength

import (
	"fmt"
	"math"
	"sync"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/regress"
)

// Plain is the process that this program's model is measured against: one Matérn term over the seven masses and ln age, with
// numbers that were fixed by hand. Square roots of strengths are learned; everything is counted in the standard deviations of
// the data. Source: fit to the data of Yeh 1998, computed independently. Checked: CON-51, CON-52, CON-53.
type Plain struct {
	process      *regress.Process
	low, spread  [8]float64 // mean and deviation of each column
	mean, scaled float64    // of the square roots of strengths
}

// plainScales are the length scales of the seven masses and ln age.
var plainScales = []float64{3.5, 5.5, 5, 1.5, 2, 2.5, 5, 5}

const (
	plainVariance = 2.25
	plainNoise    = 0.03
)

func plainRow(m Mix, days float64) [8]float64 {
	return [8]float64{float64(m.Cement), float64(m.Slag), float64(m.FlyAsh), float64(m.Water), float64(m.Plasticizer), float64(m.Coarse), float64(m.Sand), math.Log(days)}
}

// FitPlain conditions the plain process on rows of the data.
func (d Data) FitPlain(rows []int) (*Plain, error) {
	p := &Plain{}
	n := float64(len(rows))
	var y []float64
	for _, i := range rows {
		t := d.tests[i]
		for c, v := range plainRow(t.mix, t.days) {
			p.low[c] += v / n
		}
		y = append(y, math.Sqrt(t.mpa))
		p.mean += math.Sqrt(t.mpa) / n
	}
	for k, i := range rows {
		t := d.tests[i]
		for c, v := range plainRow(t.mix, t.days) {
			p.spread[c] += (v - p.low[c]) * (v - p.low[c]) / n
		}
		p.scaled += (y[k] - p.mean) * (y[k] - p.mean) / n
	}
	for c, v := range p.spread {
		p.spread[c] = math.Sqrt(v)
	}
	p.scaled = math.Sqrt(p.scaled)
	x := make([][]float64, len(rows))
	for k, i := range rows {
		x[k] = p.standard(d.tests[i].mix, d.tests[i].days)
		y[k] = (y[k] - p.mean) / p.scaled
	}
	var err error
	p.process, err = regress.FitProcess(x, y, regress.Kernel{Noise: plainNoise, Terms: []regress.Term{
		{Shape: regress.Matern52, Variance: plainVariance, Scale: plainScales, Times: make([]float64, len(plainScales))}}})
	return p, err
}

func (p *Plain) standard(m Mix, days float64) []float64 {
	row := make([]float64, len(p.low))
	for c, v := range plainRow(m, days) {
		row[c] = (v - p.low[c]) / p.spread[c]
	}
	return row
}

// Root is mean and deviation of the square root of a strength in MPa.
func (p *Plain) Root(m Mix, days float64) (mean, deviation float64) {
	mu, variance := p.process.Predict(p.standard(m, days))
	return p.mean + p.scaled*mu, p.scaled * math.Sqrt(variance+plainNoise)
}

// MPa is the expected strength, μ² + σ², and the square of the ends of the nine-in-ten interval of its root.
func (p *Plain) MPa(m Mix, days float64) (mean, low, high float64) {
	const nineInTen = 1.6448536269514722
	mu, sd := p.Root(m, days)
	low = math.Max(mu-nineInTen*sd, 0)
	return mu*mu + sd*sd, low * low, (mu + nineInTen*sd) * (mu + nineInTen*sd)
}

// LogLikelihood is the log marginal likelihood of the scaled roots.
func (p *Plain) LogLikelihood() float64 { return p.process.LogLikelihood }

var plainOfAll = sync.OnceValues(func() (*Plain, error) {
	d, err := LoadData()
	if err != nil {
		return nil, err
	}
	all := make([]int, len(d.tests))
	for i := range all {
		all[i] = i
	}
	return d.FitPlain(all)
})

// mixOf checks a recipe given to a calculation.
func mixOf(m Mix, age quantity.Time) error {
	if !(m.Cement > 0 && m.Water > 0 && age > 0) || m.Slag < 0 || m.FlyAsh < 0 || m.Plasticizer < 0 || m.Coarse < 0 || m.Sand < 0 {
		return fmt.Errorf("cement, water and age are above zero and nothing is below")
	}
	return nil
}

// MPaOf is the expected strength at a row of Data.Row.
func (p *Plain) MPaOf(row []float64) float64 {
	d := func(k int) quantity.Density { return quantity.Density(row[k]) }
	mean, _, _ := p.MPa(Mix{d(0), d(1), d(2), d(3), d(4), d(5), d(6)}, row[7])
	return mean
}
