package cure

import (
	"math"
	"sort"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/hydration"
)

// warmth is the slab's heat over the hours that a forecast tells, state by hour from the first on.
type warmth struct {
	slab   hydration.Slab
	states []hydration.State
}

// Fewest hours of forecast after the pour that are worth following, most that are, and the share of its warmth over the air that
// the slab keeps at its edges, which lose about double.
const (
	fewestHours = 12
	mostHours   = 14 * 24
	edgeKeeps   = 0.5
)

// Surface of young concrete under the sky: sources as in the curing chapter's tables.
const (
	absorptance = 0.60
	emissivity  = 0.90
)

// told is how many hours from the pour on the forecast tells without a hole.
func (j job) told() int {
	if !j.dated || j.forecast.Empty() {
		return 0
	}
	n := 0
	for n < mostHours {
		if _, err := j.forecast.At(j.at(float64(n + 1))); err != nil {
			break
		}
		n++
	}
	if _, err := j.forecast.At(j.poured); err != nil {
		return 0
	}
	return n
}

// prepareWarmth follows the slab through the forecast. A slab whose heat cannot be followed is taken from the air, as one without
// a forecast.
func (j *job) prepareWarmth() {
	hours := j.told()
	if hours < fewestHours {
		return
	}
	slab, ok := j.slabOf()
	if !ok {
		return
	}
	slab.Depths = j.profileDepths()
	switch {
	case j.in.Tent.Value:
		slab.Covers = []hydration.Cover{j.tent()}
	case j.covered():
		slab.Covers = []hydration.Cover{j.blanket(float64(j.in.CoverValue.Value))}
	}
	states, err := slab.Warmth(float64(hours))
	if err != nil {
		return
	}
	j.warmth = warmth{slab, states}
}

// slabOf sets the slab up: as placed, on its base, wet until curing seals it at the last broom.
func (j job) slabOf() (hydration.Slab, bool) {
	in := j.in
	cement, err := hydration.CementOf(in.Cement.Value)
	if err != nil {
		return hydration.Slab{}, false
	}
	curve, err := hydration.CurveOf(hydration.Blend{Cement: cement, WaterCement: float64(in.WaterCement.Value), FlyAsh: float64(in.FlyAsh.Value),
		FlyAshLime: float64(in.FlyAshLime.Value), Slag: float64(in.Slag.Value)})
	if err != nil {
		return hydration.Slab{}, false
	}
	air, ground := j.meanAir(1), math.Max(0, j.meanAir(24))
	placed := math.Max(air+overChute, coldestChute)
	if in.Placed.Given() {
		placed = in.Placed.Value.Celsius()
	}
	if in.Ground.Given() {
		ground = math.Max(0, in.Ground.Value.Celsius())
	}
	return hydration.Slab{Thickness: in.Thickness.Value.Metres(), Base: in.Base.Value.Metres(), Concrete: hydration.Concrete, BaseIs: hydration.Gravel, Soil: hydration.Clay,
		Content: float64(in.Cementitious.Value), Curve: curve, Placed: placed, Ground: ground, Deep: ground, Absorptance: absorptance, Emissivity: emissivity, Shade: float64(in.Shade.Value),
		WetUntil: j.broomed(), Sky: j.sky, Pace: hydration.Fitting}, true
}

// Concrete as it usually comes: warmer than the air, and never colder than the plant heats it to, °C. Common practice.
const (
	overChute    = 3
	coldestChute = 16
)

// meanAir is the mean air of the first hours.
func (j job) meanAir(hours int) float64 {
	sum := 0.0
	for h := range hours {
		sum += j.airTemp(middle, float64(h)+0.5)
	}
	return sum / float64(hours)
}

// sky is the air over the slab, wind at the slab, hours after placing.
func (j job) sky(hour float64) (weather.Conditions, error) {
	c, err := j.forecast.At(j.at(hour))
	c.Wind *= float64(j.in.WindShare.Value)
	return c, err
}

// covered says whether blankets lie on the slab in the plan: they are on site and the first days are cold.
func (j job) covered() bool {
	if !j.in.Covers.Value {
		return false
	}
	for h := 0.0; h < protectionDays*24; h++ {
		if j.airTemp(middle, h) <= coldAir {
			return true
		}
	}
	return false
}

// blanket is a cover from the last broom to the end of the protection.
func (j job) blanket(resistance float64) hydration.Cover {
	return hydration.Cover{On: j.broomed(), Off: protectionDays * 24, Resistance: resistance}
}

// tent is a heated tent from the placing to the end of the protection.
func (j job) tent() hydration.Cover {
	return hydration.Cover{Off: protectionDays * 24, Tent: true, Inside: j.in.TentAir.Value.Celsius()}
}

// broomed is the age at which curing begins, h: told, or between initial and final set.
func (j job) broomed() float64 {
	if j.in.Finished.Given() {
		return j.in.Finished.Value.Hours()
	}
	return broomShare * j.final
}

// broomShare is the last broom over the final set; initial set is at two thirds of it.
const broomShare = 0.8

// at hour gives the state between two full hours, on straight lines.
func (w warmth) at(hour float64) (top, mid, bottom float64, ok bool) {
	n := len(w.states)
	if n == 0 || hour < 0 || hour > float64(n) {
		return 0, 0, 0, false
	}
	i := int(hour)
	share := hour - float64(i)
	before := hydration.State{Top: w.slab.Placed, Mid: w.slab.Placed, Bottom: (w.slab.Placed + w.slab.Ground) / 2}
	if i > 0 {
		before = w.states[i-1]
	}
	after := before
	if i < n {
		after = w.states[i]
	}
	mix := func(a, b float64) float64 { return a + share*(b-a) }
	return mix(before.Top, after.Top), mix(before.Mid, after.Mid), mix(before.Bottom, after.Bottom), true
}

// modelTemp is the slab by its heat on one side: the coldest of its depths at the edge, its middle, the warmest of its depths.
func (j job) modelTemp(s side, hour float64) (float64, bool) {
	top, mid, bottom, ok := j.warmth.at(hour)
	switch {
	case !ok:
		return 0, false
	case s == middle:
		return mid, true
	case s == fast:
		return math.Max(top, math.Max(mid, bottom)), true
	}
	return j.atEdge(math.Min(top, math.Min(mid, bottom)), hour), true
}

// atEdge is a temperature brought out to the edge; in a tent the edge stands in the same air.
func (j job) atEdge(t, hour float64) float64 {
	if j.in.Tent.Value && hour < protectionDays*24 {
		return t
	}
	if air := j.airTemp(slow, hour); t > air {
		return air + edgeKeeps*(t-air)
	}
	return t
}

// unmeasured is the slab's temperature where no reading tells it.
func (j job) unmeasured(s side, hour float64) float64 {
	if t, ok := j.modelTemp(s, hour); ok {
		return t
	}
	return j.airTemp(s, hour) + overAir[s]
}

// fades is the time in which what readings said beyond the forecast is forgotten to 1/e, h; lookBack how far back they are read.
const (
	fades    = 24.0
	lookBack = 24 * time.Hour
)

// bias is how much warmer the slab was in the last day of its readings than it was thought to be, K, and when they end.
func (j job) bias() (warmer float64, until time.Time) {
	n := len(j.in.Measured)
	if n == 0 || !j.dated {
		return 0, until
	}
	until = j.in.Measured[n-1].Time
	sum, count := 0.0, 0.0
	for i := n - 1; i >= 0 && until.Sub(j.in.Measured[i].Time) <= lookBack; i-- {
		m := j.in.Measured[i]
		if hour := m.Time.Sub(j.poured).Hours(); hour >= 0 {
			sum, count = sum+m.Temp.Celsius()-j.unmeasured(middle, hour), count+1
		}
	}
	if count == 0 {
		return 0, until
	}
	return sum / count, until
}

// after is what the readings say of a later hour: all of it in the middle, only what is colder on the slow side, only what is
// warmer on the fast.
func (j job) after(s side, at time.Time) float64 {
	if j.readUntil.IsZero() || at.Before(j.readUntil) {
		return 0
	}
	b := j.readBias * math.Exp(-at.Sub(j.readUntil).Hours()/fades)
	switch s {
	case slow:
		return math.Min(0, b)
	case fast:
		return math.Max(0, b)
	}
	return b
}

// around finds the readings before and after an instant.
func (j job) around(at time.Time) (a, b Temperature, ok bool) {
	list := j.in.Measured
	i := sort.Search(len(list), func(i int) bool { return list[i].Time.After(at) })
	if i == len(list) && i > 0 && list[i-1].Time.Equal(at) {
		i--
	}
	if i == 0 || i == len(list) {
		return a, b, false
	}
	return list[i-1], list[i], true
}

func (j *job) preparePlace() almanac.Place {
	p := almanac.Place{Latitude: float64(j.in.Latitude.Value), Longitude: float64(j.in.Longitude.Value)}
	if !j.in.Longitude.Given() && len(j.in.Forecast) > 0 {
		p.Longitude = almanac.Meridian(almanac.On(j.in.Forecast[0].Time, j.zone))
	}
	return p
}

// profileDepths are the depths that the picture of the heat shows: through the slab, its base and half a metre of ground.
func (j job) profileDepths() []float64 {
	h, base := j.in.Thickness.Value.Metres(), j.in.Base.Value.Metres()
	return []float64{0, h / 4, h / 2, 3 * h / 4, h, h + base/2, h + base, h + base + 0.2, h + base + 0.5}
}

// HeatRow is the temperature at the depths of one hour.
type HeatRow struct {
	Age   quantity.Time   `json:"age"`
	Air   quantity.Temp   `json:"air"`
	Temps []quantity.Temp `json:"temperatures"` // at Depths, in their order
}

// heatHours are shown: the days in which the slab is young.
const heatHours = 96

func (j job) heatRows() []HeatRow {
	var rows []HeatRow
	for _, s := range j.warmth.states[:min(heatHours, len(j.warmth.states))] {
		row := HeatRow{Age: quantity.Hours(s.Hour), Air: quantity.Temp(j.airTemp(middle, s.Hour))}
		for _, t := range s.Profile {
			row.Temps = append(row.Temps, quantity.Temp(t))
		}
		rows = append(rows, row)
	}
	return rows
}
