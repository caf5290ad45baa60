// Package strength answers: what have mixes like this one reached, at this age, and how sure is that?
//
// It is learned from 880 laboratory strengths of 390 mixes (Yeh 1998): the mean of a Gaussian process over ratios of the recipe and the
// age and of a forest of boosted trees, both held to what is known of concrete (it grows with age, it falls with water), with an
// interval held to its promise on mixes not learned from.
// It plans; the plant's own record and the code's rules decide. Outside the recipes of the data it refuses and names what is out.
package strength

import (
	"fmt"
	"math"
	"sort"

	"slabwright/internal/engines/quantity"
)

// Mix is a recipe per volume of concrete, aggregates saturated and surface-dry, water net.
type Mix struct {
	Cement      quantity.Density `json:"cement"`
	Slag        quantity.Density `json:"slag"`
	FlyAsh      quantity.Density `json:"fly_ash"`
	Water       quantity.Density `json:"water"`
	Plasticizer quantity.Density `json:"plasticizer"` // high-range water reducer
	Coarse      quantity.Density `json:"coarse"`
	Sand        quantity.Density `json:"sand"`
}

// binder is everything that counts in w/cm.
func (m Mix) binder() float64 { return float64(m.Cement + m.Slag + m.FlyAsh) }

// scaled is the mix with every mass times share.
func (m Mix) scaled(share float64) Mix {
	s := quantity.Density(share)
	return Mix{m.Cement * s, m.Slag * s, m.FlyAsh * s, m.Water * s, m.Plasticizer * s, m.Coarse * s, m.Sand * s}
}

// Estimate is what mixes like the one asked about reach.
type Estimate struct {
	Strength quantity.Stress `json:"strength"` // expected mean of cylinders
	Low      quantity.Stress `json:"low"`      // nine tests in ten lie from low
	High     quantity.Stress `json:"high"`     // to high
	Near     float64         `json:"near"`     // 1: the data hold this very mix; 0: nothing like it
	Widened  bool            `json:"widened"`  // few mixes are like it: the band is wider than most
	AirTimes float64         `json:"air_times"`
}

// The guard. Where the process knows so little that its deviation is above mostDoubt of that before any data, it refuses; where
// its scatter is above wide times the usual one, the estimate says that it is widened.
const (
	mostDoubt = 0.8
	wide      = 1.4
)

// AirTimes is what air does to strength: 5 % of it a point above the 2 % that the laboratory mixes are taken to hold, never below
// nothing. Source: common practice, 4 to 6 % a point.
func AirTimes(air quantity.Percent) float64 {
	return math.Max(0, 1-airCosts*100*math.Max(0, float64(air)-trapped))
}

const (
	airCosts = 0.05
	trapped  = 0.02
)

// Predict is PredictAges at one age.
func Predict(m Mix, age quantity.Time, air quantity.Percent) (Estimate, error) {
	list, err := PredictAges(m, []quantity.Time{age}, air)
	if err != nil {
		return Estimate{}, err
	}
	return list[0], nil
}

// PredictAges is the strength of cylinders of a mix at ages, with the interval that nine tests in ten keep to, and air as a share
// of the volume.
//
// The data hold no air, so a mix with more than 2 % is read without the air above that (all masses times 0.98/(1-A)) and its
// strength multiplied by AirTimes. Rising with age and falling with water are exact: see curve.
//
// Source: fit to the data of Yeh 1998; scores in docs/validation/strength.md. Refuses with an OutsideError, naming the input, outside
// the box of the data and where too little is known. Checked: CON-ML rows; CON-51 to CON-53 for the plain process beside it.
func PredictAges(m Mix, ages []quantity.Time, air quantity.Percent) ([]Estimate, error) {
	if !(air >= 0 && air <= 0.15) {
		return nil, fmt.Errorf("air of %.3g %% is outside 0 to 15 %%", 100*float64(air))
	}
	s, err := shipped()
	if err != nil {
		return nil, err
	}
	plain := m.scaled((1 - trapped) / (1 - math.Max(float64(air), trapped)))
	for _, age := range ages {
		if out := s.box.outside(plain, age.Days()); len(out) > 0 {
			return nil, &OutsideError{out}
		}
	}
	oldest := quantity.Time(0)
	for _, age := range ages {
		oldest = max(oldest, age)
	}
	line, near := s.curve(plain, oldest.Days())
	out := make([]Estimate, len(ages))
	for i, age := range ages {
		spread, doubt := s.scatter(plain, age.Days())
		if doubt > mostDoubt {
			return nil, &OutsideError{[]string{"no mix of the data is like this one"}}
		}
		out[i] = estimate(line.at(age.Days()), s.Band*spread, AirTimes(air))
		out[i].Near, out[i].Widened = near, spread > wide*s.UsualSpread
	}
	return out, nil
}

// estimate is a strength and its band in MPa, times what air leaves.
func estimate(mpa, band, times float64) Estimate {
	at := func(v float64) quantity.Stress { return quantity.MPa(math.Max(v, least) * times) }
	return Estimate{Strength: at(mpa), Low: at(mpa - band), High: at(mpa + band), AirTimes: times}
}

// least is the weakest strength told, MPa.
const least = 0.5

// OutsideError says which inputs lie outside what was learned from.
type OutsideError struct{ What []string }

func (e *OutsideError) Error() string {
	text := "outside the mixes learned from:"
	for i, w := range e.What {
		if i > 0 {
			text += ";"
		}
		text += " " + w
	}
	return text
}

// Real is a mix of the data with one measured strength.
type Real struct {
	Number   int             `json:"number"` // of the mix in the data
	Mix      Mix             `json:"mix"`
	Age      quantity.Time   `json:"age"`
	Strength quantity.Stress `json:"strength"`
	Apart    float64         `json:"apart"` // in length scales of the process: below 1 is like it
}

// Nearest lists real mixes most like m, the nearest first, each with its test nearest in age, count of them.
// Distance is counted in the scales by which the process itself forgets, age included.
func Nearest(m Mix, age quantity.Time, count int) ([]Real, error) {
	s, err := shipped()
	if err != nil {
		return nil, err
	}
	asked := features(m, age.Days())
	best := map[int]Real{}
	for i, t := range s.data {
		apart := s.Kernel.Terms[trend].Distance(asked, s.rows[i])
		if old, ok := best[t.number]; !ok || apart < old.Apart {
			best[t.number] = Real{t.number, t.mix, quantity.Days(t.days), quantity.MPa(t.mpa), apart}
		}
	}
	list := make([]Real, 0, len(best))
	for _, r := range best {
		list = append(list, r)
	}
	sort.Slice(list, func(i, j int) bool {
		if list[i].Apart != list[j].Apart {
			return list[i].Apart < list[j].Apart
		}
		return list[i].Number < list[j].Number
	})
	return list[:min(max(count, 0), len(list))], nil
}

// scatter is the deviation of a single test around the estimate before the band is laid on it, in MPa, and the deviation of the
// process as a share of what it was before any data.
func (m *model) scatter(mix Mix, days float64) (spread, doubt float64) {
	row := features(mix, days)
	variance := m.curves.NearbyVariance(row, nearby)
	return m.Spread * math.Sqrt(variance+m.Kernel.Noise), math.Sqrt(variance / m.Kernel.At(row, row))
}

// nearby is how many rows the scatter at a mix is worked out from.
const nearby = 30
