package mix

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"slabwright/internal/engines/quantity"
)

// overdesign holds the constants of the required average strength, as each edition prints them.
type overdesign struct {
	single           quantity.Stress // how far one test may fall below f'c
	strong           quantity.Stress // above it a test may fall to 0.90 f'c instead
	weak             quantity.Stress // below it the low step applies
	low, middle, top quantity.Stress // the steps without a record, weakest first
	percentageStep   float64
}

func (t Tables) overdesign() overdesign {
	if t.content == siTables.content {
		return overdesign{single: quantity.MPa(3.5), strong: quantity.MPa(35), weak: quantity.MPa(21),
			low: quantity.MPa(7), middle: quantity.MPa(8.3), top: quantity.MPa(5), percentageStep: 1.10}
	}
	return overdesign{single: quantity.PSI(500), strong: quantity.PSI(5000), weak: quantity.PSI(3000),
		low: quantity.PSI(1000), middle: quantity.PSI(1200), top: quantity.PSI(700), percentageStep: 1.10}
}

// RequiredAverage is the average strength a plant must aim at so that a specified strength passes, from a record of at
// least 15 tests:
//
//	f'cr = max(f'c + 1.34 k s, f'c + 2.33 k s - 500 psi)     f'c up to 5000 psi (SI: 3.5 MPa, 35 MPa)
//	f'cr = max(f'c + 1.34 k s, 0.90 f'c + 2.33 k s)          above
//
// s standard deviation of the record, k DeviationFactor of its size. 1.34 is 2.33/√3; each part is a chance of 1 in 100.
// Source: ACI 318 and ACI 301. Checked: CON-21, CON-22, CON-23, CON-24.
func (t Tables) RequiredAverage(specified, deviation quantity.Stress, tests int) (quantity.Stress, error) {
	k, err := DeviationFactor(tests)
	if err != nil {
		return 0, err
	}
	r, s := t.overdesign(), quantity.Stress(k*float64(deviation))
	second := specified + 2.33*s - r.single
	if specified > r.strong {
		second = 0.90*specified + 2.33*s
	}
	return max(specified+1.34*s, second), nil
}

// DeviationFactor enlarges the standard deviation of a short record: 15 tests 1.16, 20 1.08, 25 1.03, from 30 on 1,
// straight lines between. Fewer than 15 tests are no record. Source: ACI 318 and ACI 301. Checked: CON-24.
func DeviationFactor(tests int) (float64, error) {
	steps := []struct{ n, k float64 }{{15, 1.16}, {20, 1.08}, {25, 1.03}, {30, 1}}
	n := float64(tests)
	if n < steps[0].n {
		return 0, fmt.Errorf("a record needs 15 tests or more; this has %d", tests)
	}
	for i := 1; i < len(steps); i++ {
		a, b := steps[i-1], steps[i]
		if n <= b.n {
			return a.k + (n-a.n)/(b.n-a.n)*(b.k-a.k), nil
		}
	}
	return 1, nil
}

// UnprovenAverage is the required average without a record: below 3000 psi +1000, to 5000 psi +1200, above 1.10 f'c + 700
// (SI: +7.0, +8.3, 1.10 f'c + 5.0 MPa, steps at 21 and 35 MPa). Source: ACI 301 and older ACI 318. Checked: CON-25.
func (t Tables) UnprovenAverage(specified quantity.Stress) quantity.Stress {
	r := t.overdesign()
	switch {
	case specified < r.weak:
		return specified + r.low
	case specified <= r.strong:
		return specified + r.middle
	}
	return quantity.Stress(r.percentageStep)*specified + r.top
}

// Acceptance is a run of strength tests judged.
type Acceptance struct {
	Averages      []float64 // of each three in a row, Pa
	AveragesPass  []bool
	SinglesPass   []bool
	ThreesDecided bool // three tests or more were given
	Pass          bool // of what could be decided
}

// Accept judges tests in the order they were made: every average of three in a row at least f'c, and no test below f'c by
// more than 500 psi (3.5 MPa), or below 0.90 f'c above 5000 psi (35 MPa). Equality passes. With fewer than three tests only
// the second rule can be judged. Source: ACI 318-19, 26.12.3.1. Checked: CON-27.
func (t Tables) Accept(tests []float64, specified quantity.Stress) Acceptance {
	floor := float64(t.singleFloor(specified))
	a := Acceptance{Pass: true, ThreesDecided: len(tests) >= 3}
	for i, f := range tests {
		ok := f >= floor
		a.SinglesPass, a.Pass = append(a.SinglesPass, ok), a.Pass && ok
		if i >= 2 {
			mean := (tests[i-2] + tests[i-1] + f) / 3
			ok = mean >= float64(specified)*(1-1e-12)
			a.Averages, a.AveragesPass, a.Pass = append(a.Averages, mean), append(a.AveragesPass, ok), a.Pass && ok
		}
	}
	return a
}

// LowTestChances are the chances that a normal production gives a test below f'c by more than the allowed fall, and an average of
// three below f'c. Source: normal distribution. Checked: CON-26.
func (t Tables) LowTestChances(mean, deviation, specified quantity.Stress) (single, three float64) {
	floor := t.singleFloor(specified)
	below := func(limit quantity.Stress, s float64) float64 {
		return distuv.UnitNormal.CDF(float64(limit-mean) / s)
	}
	return below(floor, float64(deviation)), below(specified, float64(deviation)/math.Sqrt(3))
}

// WithinTest is the scatter between cylinders of one sample, and its share of the mean strength:
//
//	s1 = mean range / d2        d2 = 1.128 for two cylinders, 1.693 for three
//
// At most 3 % is excellent, above 6 % poor in the field. Source: control-chart constants; ACI 214R-11. Checked: CON-28.
func WithinTest(ranges []float64, cylinders int, mean quantity.Stress) (deviation, share float64, err error) {
	d2, ok := map[int]float64{2: 1.128, 3: 1.693}[cylinders]
	if !ok {
		return 0, 0, fmt.Errorf("a strength test is the average of 2 or 3 cylinders, not %d", cylinders)
	}
	if len(ranges) == 0 || mean <= 0 {
		return 0, 0, fmt.Errorf("needs at least one range and a mean strength above zero")
	}
	sum := 0.0
	for _, r := range ranges {
		sum += r
	}
	deviation = sum / float64(len(ranges)) / d2
	return deviation, deviation / float64(mean), nil
}

// ControlGrade names the standard of control of an overall standard deviation. Source: ACI 214R-11 (recalled).
func ControlGrade(deviation quantity.Stress) string {
	for _, g := range []struct {
		below float64
		name  string
	}{{400, "excellent"}, {500, "very good"}, {600, "good"}, {700, "fair"}} {
		if deviation.PSI() < g.below {
			return g.name
		}
	}
	return "poor"
}

// TestCount is how many strength tests a class of concrete needs: one a day, one per 150 yd³ (110 m³), one per 5000 ft²
// (460 m²), whichever is most. Source: ACI 318, 26.12.2, read in a summary.
func (t Tables) TestCount(days int, volume quantity.Volume, area quantity.Area) int {
	perVolume, perArea := quantity.CubicYards(150), quantity.Of[quantity.Area](5000, "ft2")
	if t.content == siTables.content {
		perVolume, perArea = 110, 460
	}
	return max(days, int(math.Ceil(float64(volume/perVolume)-1e-9)), int(math.Ceil(float64(area/perArea)-1e-9)))
}

// CoresPass judges three or more cores of a low test: their average at least 0.85 f'c and none below 0.75 f'c.
// Source: ACI 318-19, 26.12.4 (recalled).
func CoresPass(cores []float64, specified quantity.Stress) (bool, error) {
	if len(cores) < 3 {
		return false, fmt.Errorf("needs three cores for a low test; have %d", len(cores))
	}
	sum, least := 0.0, math.Inf(1)
	for _, c := range cores {
		sum, least = sum+c, min(least, c)
	}
	return sum/float64(len(cores)) >= 0.85*float64(specified) && least >= 0.75*float64(specified), nil
}
