package pour

import (
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
)

// How far a reading on site may lie off the forecast of its hour before the forecast is doubted. Common practice.
const (
	offAir      = 4.0  // K
	offHumidity = 0.20 // ratio
	offWind     = 2.5  // m/s
)

// forecastChecks say whether the forecast can be trusted: its age, what was read on site, hours that stick out, holes.
func (j job) forecastChecks() []check.Check {
	list := []check.Check{j.ageCheck()}
	for _, c := range []func() (check.Check, bool){j.readingCheck, j.oddCheck, j.gapCheck} {
		if c, ok := c(); ok {
			list = append(list, c)
		}
	}
	return list
}

// readingCheck holds what was read on site against the forecast of that hour.
func (j job) readingCheck() (check.Check, bool) {
	rd := j.in.Reading
	told, err := j.forecast.At(j.in.Now)
	if err != nil || rd.given() == 0 {
		return check.Check{}, false
	}
	var off []string
	if rd.Air.Given() && math.Abs(rd.Air.Value.Celsius()-told.Air) > offAir {
		off = append(off, fmt.Sprintf("air %s against %s", j.show(rd.Air.Show("")), j.show(quantity.Plain(told.Air, quantity.AsTemp))))
	}
	if rd.Humidity.Given() && math.Abs(float64(rd.Humidity.Value)-told.Humidity) > offHumidity {
		off = append(off, fmt.Sprintf("humidity %s against %s", j.show(rd.Humidity.Show(quantity.AsPercent)), j.show(quantity.Plain(told.Humidity, quantity.AsPercent))))
	}
	if slab := told.Wind * j.windShare; rd.Wind.Given() && math.Abs(float64(rd.Wind.Value)-slab) > offWind {
		off = append(off, fmt.Sprintf("wind at the slab %s against %s", j.show(rd.Wind.Show("")), j.show(quantity.Plain(slab, quantity.AsSpeed))))
	}
	c := check.Check{ID: "pour.forecast-agrees", Level: check.Good, Source: sources.OwnRule, Where: almanac.Stamp(almanac.On(j.in.Now, j.zone), j.in.Units),
		Says: "What was read on site agrees with the forecast of that hour."}
	if len(off) > 0 {
		c.Level = check.Care
		c.Says = "The site does not read as forecast: " + strings.Join(off, "; ") + "."
		c.Then = []string{"Judge by the site: take the forecast out and the four readings stand alone; or get a newer forecast."}
	}
	return c, true
}

// oddCheck names the hours that stick out between their neighbours.
func (j job) oddCheck() (check.Check, bool) {
	odd := weather.Oddities(j.in.Forecast)
	if len(odd) == 0 {
		return check.Check{}, false
	}
	first := odd[0]
	at := almanac.Stamp(almanac.On(j.in.Forecast[first.Index].Time, j.zone), j.in.Units)
	c := check.Check{ID: "pour.forecast-odd", Level: check.Care, Where: at, Source: sources.OwnRule,
		Says: fmt.Sprintf("The forecast sticks out at %s: %s. It is judged as written.", at, first.Why), Then: []string{"Mend it if it is a slip."}}
	if len(odd) > 1 {
		c.Says += fmt.Sprintf(" %d more hours do.", len(odd)-1)
	}
	return c, true
}

// gapCheck names the first hole that no line is drawn across.
func (j job) gapCheck() (check.Check, bool) {
	times := j.forecast.Times()
	for i := 1; i < len(times); i++ {
		if times[i].Sub(times[i-1]) > weather.LongestGap {
			from, to := almanac.Stamp(almanac.On(times[i-1], j.zone), j.in.Units), almanac.Stamp(almanac.On(times[i], j.zone), j.in.Units)
			return check.Check{ID: "pour.forecast-gap", Level: check.Care, Where: from, Source: sources.OwnRule,
				Says: fmt.Sprintf("The forecast tells nothing from %s to %s: starts that need those hours are not judged.", from, to),
				Then: []string{"Fill the hole; up to three hours are bridged."}}, true
		}
	}
	return check.Check{}, false
}
