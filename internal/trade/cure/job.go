package cure

import (
	"math"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// side is which edge of what may happen is followed.
type side int

const (
	slow side = iota
	middle
	fast
)

// overAir is how much warmer than the air a young slab is taken, K: not at all on the slow side; on the fast side what sun and
// its own heat add over a day in the two reference cases of the heat model (mean slab 6 K above mean air in both).
var overAir = [...]float64{slow: 0, middle: 3, fast: 6}

// horizon is how far ahead dates are looked for, h.
const horizon = 366 * 24

// job is the input made ready.
type job struct {
	in       Input
	zone     *time.Location
	poured   time.Time
	dated    bool
	forecast weather.Forecast
	later    known.Temp // mean with its band
	gain     gain
	final    float64 // final set, h

	warmth    warmth
	hours     *[3][]float64 // slab temperatures of each side in the middle of each hour, as far as they were asked for
	readBias  float64       // of the last readings over what was thought, K
	readUntil time.Time
}

func prepare(in Input) (job, error) {
	if faults := in.Validate(); len(faults) > 0 {
		return job{}, faults.Err()
	}
	j := job{in: in, dated: !in.Poured.IsZero(), final: in.FinalSet.Value.Hours()}
	j.zone, _ = in.zone()
	j.poured = almanac.On(in.Poured, j.zone)
	j.forecast, _ = weather.NewForecast(in.Forecast, j.preparePlace())
	j.later = j.laterAir()
	var err error
	if j.gain, err = in.gain(); err != nil {
		return j, err
	}
	j.prepareWarmth()
	j.readBias, j.readUntil = j.bias()
	j.hours = new([3][]float64)
	return j, nil
}

// laterAir is the mean air after the forecast: said, or the mean of the forecast's last full days, or the season's guess.
func (j job) laterAir() known.Temp {
	said, band := j.in.LaterAir, quantity.Temp(j.in.LaterBand.Value)
	if said.Origin == known.Assumed {
		if mean, ok := j.forecastMean(); ok {
			return known.Assume(mean, mean-band, mean+band, "mean of the forecast's last full days", sources.OwnRule)
		}
	}
	if said.Low < said.Value && said.Value < said.High {
		return said
	}
	said.Low, said.High = said.Value-band, said.Value+band
	return said
}

// forecastMean is the mean air of the last one or two full days of the forecast.
func (j job) forecastMean() (quantity.Temp, bool) {
	if !j.dated {
		return 0, false
	}
	first, last := j.forecast.Span()
	days := int(last.Sub(first).Hours() / 24)
	if days < 1 {
		return 0, false
	}
	sum, n := 0.0, min(days, 2)*24
	for h := range n {
		air, err := j.forecast.At(last.Add(-time.Duration(h) * time.Hour))
		if err != nil {
			return 0, false
		}
		sum += air.Air
	}
	return quantity.Temp(sum / float64(n)), true
}

// longestReadingGap is how far apart two slab temperatures may be to count for the time between, h.
const longestReadingGap = 96.0

// slabTemp is the slab's temperature on one side, hours after placing, °C: as read, else by its heat through the forecast, else from
// the air; after the last reading with what the readings said beyond it.
func (j job) slabTemp(s side, hour float64) float64 {
	at := j.at(hour)
	if t, ok := j.measuredAt(s, at); ok {
		return t
	}
	return j.unmeasured(s, hour) + j.after(s, at)
}

// inHour is the slab's temperature in the middle of a whole hour: worked out once, asked for by every date.
func (j job) inHour(s side, hour int) float64 {
	list := &j.hours[s]
	for len(*list) <= hour {
		*list = append(*list, j.slabTemp(s, float64(len(*list))+0.5))
	}
	return (*list)[hour]
}

func (j job) at(hour float64) time.Time {
	return j.poured.Add(time.Duration(hour * float64(time.Hour)))
}

// measuredAt reads between two slab temperatures: on a straight line when they are near, otherwise the colder of the two on
// the slow side and the warmer on the fast.
func (j job) measuredAt(s side, at time.Time) (float64, bool) {
	a, b, ok := j.around(at)
	gap := b.Time.Sub(a.Time)
	if !ok || !j.dated || gap.Hours() > longestReadingGap {
		return 0, false
	}
	x, y := a.Temp.Celsius(), b.Temp.Celsius()
	switch {
	case gap > weather.LongestGap && s == slow:
		return math.Min(x, y), true
	case gap > weather.LongestGap && s == fast:
		return math.Max(x, y), true
	}
	return x + (y-x)*at.Sub(a.Time).Hours()/gap.Hours(), true
}

// warmest is the clock hour at which days are warmest.
const warmest = 15

// noClock is the clock hour at which an undated pour is thought to end.
const noClock = 10

// airTemp is the air on one side, hours after placing, °C: the forecast where it reaches, then the later mean with its swing.
func (j job) airTemp(s side, hour float64) float64 {
	at, clock := j.at(hour), noClock+hour
	if j.dated {
		if c, err := j.forecast.At(at); err == nil {
			return c.Air
		}
		clock = float64(at.Hour()) + float64(at.Minute())/60
	}
	mean := [...]quantity.Temp{slow: j.later.Low, middle: j.later.Value, fast: j.later.High}[s]
	return mean.Celsius() + float64(j.in.LaterSwing.Value)*math.Cos(2*math.Pi*(clock-warmest)/24)
}

// gain is how strength grows with equivalent age, days and MPa.
type gain struct {
	curve  hydration.Strength
	fit    *hydration.Fit
	spread float64
	energy float64
}

func (in Input) gain() (gain, error) {
	g := gain{spread: math.Min(0.5, float64(in.Spread.Value)+in.hotLoss()), energy: float64(in.Energy.Value)}
	if len(in.Cylinders) == 0 {
		g.curve = hydration.Hyperbolic{Ultimate: float64(in.Ultimate.Value) * in.Strength.Value.MPa(), Rate: float64(in.Rate.Value), Start: in.Begins.Value.Days()}
		return g, nil
	}
	var ages, strengths []float64
	for _, c := range in.Cylinders {
		ages, strengths = append(ages, c.Age.Days()), append(strengths, c.Strength.MPa())
	}
	fit, err := hydration.FitStrength(hydration.HyperbolicFamily, ages, strengths)
	g.curve, g.fit = fit.Curve(), &fit
	return g, err
}

// A first day as hot as this loses late strength, up to the most, °C and share. Source: common practice (the cross-over effect).
const (
	hotFrom, hotTo = 32.0, 42.0
	mostHotLoss    = 0.10
)

// hotLoss is the share of late strength that concrete placed hot may lose.
func (in Input) hotLoss() float64 {
	if !in.Placed.Given() {
		return 0
	}
	return mostHotLoss * math.Max(0, math.Min(1, (in.Placed.Value.Celsius()-hotFrom)/(hotTo-hotFrom)))
}

// confidence of the lower bound from cylinders, one-sided.
const confidence = 0.90

// low is the strength counted on at equivalent age te: the slow edge of the usual curve, or the lower bound for one more
// cylinder, and never more than the usual edge before the first cylinder's age.
func (g gain) low(te float64) float64 {
	edge := (1 - g.spread) * g.curve.At(te)
	if g.fit == nil {
		return edge
	}
	bound := g.fit.LowerPrediction(te, confidence)
	if te < g.fit.Youngest {
		return math.Min(bound, edge)
	}
	return bound
}

func (g gain) high(te float64) float64 { return 2*g.curve.At(te) - g.low(te) }

// agePace is how many days of equivalent age an hour at t is worth.
func (g gain) agePace(t float64) float64 {
	return hydration.AgeFactor(t, g.energy, hydration.StrengthRef) / 24
}

// ageWhen is the first age, h, at which reached says yes to the equivalent age in days on one side with the slab warmer by
// some kelvin; infinite when it does not within the horizon.
func (j job) ageWhen(s side, warmer float64, reached func(te float64) bool) float64 {
	te := 0.0
	for h := range horizon {
		next := te + j.gain.agePace(j.inHour(s, h)+warmer)
		if reached(next) {
			return float64(h) + crossing(te, next, reached)
		}
		te = next
	}
	return math.Inf(1)
}

// crossing is how far between two equivalent ages reached turns to yes.
func crossing(from, to float64, reached func(float64) bool) float64 {
	low, high := 0.0, 1.0
	for range 20 {
		middle := (low + high) / 2
		if reached(from + middle*(to-from)) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}
