package pour

import (
	"fmt"
	"math"
	"strings"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
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

// calm is the wind at the slab below which a ratio of winds says nothing, m/s; mostWind how far a ratio is believed; otherWeather the
// difference of air from which reading and forecast are not of one place and hour, K. Own rule.
const (
	calm         = 0.5
	mostWind     = 3.0
	otherWeather = 15.0
)

// reread is what a reading on site says of the forecast.
type reread struct {
	at    time.Time
	told  weather.Conditions // by the forecast, wind at the slab
	shift weather.Shift
	used  bool  // the forecast was shifted
	err   error // the forecast tells nothing of that hour
}

// holdReading holds what was read on site against the forecast of its hour, and shifts the forecast by the difference.
func (j *job) holdReading() {
	rd := j.in.Reading
	h := reread{at: rd.At}
	if h.at.IsZero() {
		h.at = j.in.Now
	}
	if rd.given() == 0 || j.forecast.Empty() || h.at.IsZero() {
		return
	}
	h.told, h.err = j.forecast.At(h.at)
	h.told.Wind *= j.windShare
	air, dew := h.told.Air, h.told.Dew
	h.shift = weather.Shift{At: h.at, Wind: 1}
	if rd.Air.Given() {
		air = rd.Air.Value.Celsius()
	}
	if rd.Humidity.Given() {
		dew = weather.DewPoint(air, float64(rd.Humidity.Value))
	}
	h.shift.Air, h.shift.Dew = air-h.told.Air, dew-h.told.Dew
	if rd.Wind.Given() {
		ratio := max(calm, float64(rd.Wind.Value)) / max(calm, h.told.Wind)
		h.shift.Wind = min(mostWind, max(1/mostWind, ratio))
	}
	if h.used = h.err == nil && math.Abs(h.shift.Air) <= otherWeather && rd.sky(); h.used {
		j.forecast, _ = weather.NewForecast(h.shift.Apply(j.in.Forecast), j.place)
	}
	j.reread = &h
}

// sky says whether something of the air was read, not the concrete alone.
func (rd Reading) sky() bool { return rd.Air.Given() || rd.Humidity.Given() || rd.Wind.Given() }

// showReading puts on the sheet how the reading shifts the forecast.
func (j job) showReading(w *working.Sheet) {
	rd, h := j.in.Reading, j.reread
	if h == nil || !h.used {
		return
	}
	at := almanac.Stamp(almanac.On(h.at, j.zone), j.in.Units)
	j.showRead(w)
	step := func(name, says, formula string, value quantity.Any, from ...string) {
		w.Show(working.Step{Name: name, Says: says, Formula: formula + fmt.Sprintf("; whole within %.0f h of %s, then fading to nothing at %.0f h: the morning says little of the evening",
			weather.ShiftWhole.Hours(), at, weather.ShiftGone.Hours()), Value: value, From: from, Source: sources.OwnRule})
	}
	if rd.Air.Given() {
		step("air_shift", "the forecast's air is moved by", "read − forecast", quantity.Plain(h.shift.Air, quantity.AsTempDiff), "reading_air")
	}
	if rd.Humidity.Given() {
		from := []string{"reading_humidity"}
		if rd.Air.Given() {
			from = append(from, "reading_air")
		}
		step("dew_shift", "the forecast's dew point is moved by", "dew point of air and humidity read − forecast", quantity.Plain(h.shift.Dew, quantity.AsTempDiff), from...)
	}
	if rd.Wind.Given() {
		step("wind_shift", "the forecast's wind is multiplied by", fmt.Sprintf("read / forecast at the slab, 1/%.0f to %.0f, to the power of what is left", mostWind, mostWind),
			quantity.Plain(h.shift.Wind, quantity.AsRatio), "reading_wind", "wind_share")
	}
}

// showRead puts on the sheet what was read on site of the air and the concrete.
func (j job) showRead(w *working.Sheet) {
	rd := j.in.Reading
	if rd.Air.Given() {
		working.Given(w, "reading_air", "Ta", "air temperature read on site", rd.Air, "")
	}
	if rd.Humidity.Given() {
		working.Given(w, "reading_humidity", "r", "humidity read on site", rd.Humidity, quantity.AsPercent)
	}
	if rd.Wind.Given() {
		working.Given(w, "reading_wind", "V", "wind read at the slab", rd.Wind, "")
	}
	if rd.Concrete.Given() {
		working.Given(w, "reading_concrete", "Tc", "concrete temperature read on site", rd.Concrete, "")
	}
}

// readingCheck says how what was read on site agrees with the forecast of that hour.
func (j job) readingCheck() (check.Check, bool) {
	rd, h := j.in.Reading, j.reread
	if h == nil || !rd.sky() {
		return check.Check{}, false
	}
	at := almanac.Stamp(almanac.On(h.at, j.zone), j.in.Units)
	c := check.Check{ID: "pour.forecast-agrees", Level: check.Care, Source: sources.OwnRule, Where: at}
	if h.err != nil {
		c.Says = fmt.Sprintf("The forecast tells nothing of %s, when the site was read: the reading is not used.", at)
		c.Then = []string{"Get a forecast that begins before the reading, or type when it was read."}
		return c, true
	}
	var off []string
	if rd.Air.Given() && math.Abs(h.shift.Air) > offAir {
		off = append(off, fmt.Sprintf("air %s against %s", j.show(rd.Air.Show("")), j.show(quantity.Plain(h.told.Air, quantity.AsTemp))))
	}
	if rd.Humidity.Given() && math.Abs(float64(rd.Humidity.Value)-h.told.Humidity) > offHumidity {
		off = append(off, fmt.Sprintf("humidity %s against %s", j.show(rd.Humidity.Show(quantity.AsPercent)), j.show(quantity.Plain(h.told.Humidity, quantity.AsPercent))))
	}
	if rd.Wind.Given() && math.Abs(float64(rd.Wind.Value)-h.told.Wind) > offWind {
		off = append(off, fmt.Sprintf("wind at the slab %s against %s", j.show(rd.Wind.Show("")), j.show(quantity.Plain(h.told.Wind, quantity.AsSpeed))))
	}
	moved := fmt.Sprintf("The forecast is moved to the reading, fading over %.0f hours.", weather.ShiftGone.Hours())
	switch {
	case !h.used:
		c.Says = fmt.Sprintf("The site does not read as forecast: %s. That is not one place and hour: the forecast is judged as written.", strings.Join(off, "; "))
		c.Then = []string{"Read again in the shade, check the unit and the forecast's day, or take the forecast out: the four readings stand alone."}
	case len(off) > 0:
		c.Says = fmt.Sprintf("The site does not read as forecast: %s. %s", strings.Join(off, "; "), moved)
		c.Then = []string{"Get a newer forecast; read again before the truck is called."}
	default:
		c.Level, c.Says = check.Good, "What was read on site agrees with the forecast of that hour. "+moved
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
