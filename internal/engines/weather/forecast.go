package weather

import (
	"fmt"
	"math"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
)

// Hour is one reading of a forecast or a station. Dew point or humidity must be given; pointers left nil are unknown.
type Hour struct {
	Time       time.Time         `yaml:"time" json:"time" says:"when, with its offset from UTC"`
	Air        quantity.Temp     `yaml:"air" json:"air" says:"air temperature" unit:"°F|°C"`
	Dew        *quantity.Temp    `yaml:"dew,omitempty" json:"dew,omitempty" says:"dew point" unit:"°F|°C"`
	Humidity   *quantity.Percent `yaml:"humidity,omitempty" json:"humidity,omitempty" says:"relative humidity" unit:"%"`
	Wind       quantity.Speed    `yaml:"wind" json:"wind" says:"wind at the height the forecast is for" unit:"mph|km/h"`
	Cloud      *quantity.Ratio   `yaml:"cloud,omitempty" json:"cloud,omitempty" says:"share of the sky under cloud, 0 to 1"`
	Rain       quantity.Length   `yaml:"rain,omitempty" json:"rain,omitempty" says:"rain in the hour from this time on" unit:"in|mm"`
	RainChance *quantity.Percent `yaml:"rain_chance,omitempty" json:"rain_chance,omitempty" says:"chance of rain in that hour" unit:"%"`
	Solar      *float64          `yaml:"solar,omitempty" json:"solar,omitempty" says:"sun on level ground, W/m²"`
}

// Problem is a reading that cannot be: which one, which of its values, as given, why, and what to do.
type Problem struct {
	Index             int
	Field, Given, Why string
	Then              string
}

// Limits of what can be read from the sky near people.
const (
	strongestWind = 40.0 // m/s; one station record holds 468
	coldestAir    = -60.0
	hottestAir    = 60.0
	mostRain      = 0.3 // m in an hour
)

// Problems lists what is wrong with readings, in their order.
func Problems(hours []Hour) []Problem {
	var out []Problem
	for i, h := range hours {
		add := func(field, given, why, then string) {
			out = append(out, Problem{i, field, given, why, then})
		}
		if h.Time.IsZero() {
			add("time", "", "a reading without a time cannot be placed.", "Type it like 2026-06-11T07:00:00-05:00.")
		} else if i > 0 && !h.Time.After(hours[i-1].Time) {
			add("time", h.Time.Format(time.RFC3339), "it is not later than the reading before.", "Sort the hours and drop repeats.")
		}
		h.problems(add)
	}
	return out
}

func (h Hour) problems(add func(field, given, why, then string)) {
	air := h.Air.Celsius()
	if !(air >= coldestAir && air <= hottestAir) {
		add("air", fmt.Sprintf("%.1f °C", air), "no weather station reads that.", "Check the unit: °F or °C?")
	}
	if wind := float64(h.Wind); !(wind >= 0 && wind <= strongestWind) {
		add("wind", fmt.Sprintf("%.0f m/s", wind), "nobody places concrete in such wind; it is a slip of a station.", "Drop the reading or correct it.")
	}
	if rain := float64(h.Rain); !(rain >= 0 && rain <= mostRain) {
		add("rain", fmt.Sprintf("%.1f mm", 1000*rain), "that is not rain of one hour.", "Type inches or millimetres in the hour.")
	}
	if h.Cloud != nil && !within(float64(*h.Cloud), 0, 1) {
		add("cloud", fmt.Sprint(float64(*h.Cloud)), "cloud is a share of the sky.", "Type 0 to 1 (eighths divided by 8).")
	}
	if h.RainChance != nil && !within(float64(*h.RainChance), 0, 1) {
		add("rain_chance", fmt.Sprint(100*float64(*h.RainChance)), "a chance is between 0 and 100 %.", "Type per cent.")
	}
	if h.Solar != nil && !within(*h.Solar, 0, 1500) {
		add("solar", fmt.Sprint(*h.Solar), "the sun gives at most about 1,100 W/m² at the ground.", "Type W/m².")
	}
	h.moistureProblems(air, add)
}

// disagreement is how far humidity and dew point may contradict one another, as ratio.
const disagreement = 0.05

func (h Hour) moistureProblems(air float64, add func(field, given, why, then string)) {
	rightHumidity := h.Humidity == nil || within(float64(*h.Humidity), 0, 1)
	if !rightHumidity {
		add("humidity", fmt.Sprintf("%.0f %%", 100*float64(*h.Humidity)), "humidity is between 0 and 100 %: per cent?", "Type per cent of full.")
	}
	rightDew := h.Dew == nil || within(h.Dew.Celsius(), -90, math.Min(hottestAir, air+0.5))
	switch {
	case !rightDew:
		add("dew", fmt.Sprintf("%.1f °C", h.Dew.Celsius()), "the dew point is never above the air.", "Check the columns and their unit.")
	case h.Dew == nil && h.Humidity == nil:
		add("humidity", "", "without humidity or dew point nothing dries by rule.", "Type one of them.")
	case h.Dew != nil && h.Humidity != nil && rightHumidity:
		if r := Humidity(air, h.Dew.Celsius()); math.Abs(r-float64(*h.Humidity)) > disagreement {
			add("humidity", fmt.Sprintf("%.0f %%", 100*float64(*h.Humidity)),
				fmt.Sprintf("the dew point says %.0f %%.", 100*r), "Give one of them, the one that was measured.")
		}
	}
}

func within(v, low, high float64) bool { return v >= low && v <= high }

// UsualCloud stands for an unknown sky.
const UsualCloud = 0.5

// Conditions is the air over a site at one instant.
type Conditions struct {
	Air, Dew   float64 // °C
	Humidity   float64 // 0–1
	Wind       float64 // m/s at the height of the forecast
	Cloud      float64 // 0–1
	Solar      float64 // W/m² on level ground
	Rain       float64 // m in the hour
	RainChance float64 // 0–1; 1 when rain is given without a chance
}

// Forecast is readings ready to be asked for any instant.
type Forecast struct {
	times []time.Time
	hours []Conditions
	solar []bool
	place almanac.Place
}

// NewForecast prepares readings that have no Problems. Sunshine that was not given is computed for the place from the sun's
// height and the cloud.
func NewForecast(hours []Hour, place almanac.Place) (Forecast, error) {
	if p := Problems(hours); len(p) > 0 {
		return Forecast{}, fmt.Errorf("weather: reading %d, %s: %s", p[0].Index+1, p[0].Field, p[0].Why)
	}
	f := Forecast{place: place}
	for _, h := range hours {
		f.times, f.hours, f.solar = append(f.times, h.Time), append(f.hours, h.conditions()), append(f.solar, h.Solar != nil)
	}
	return f, nil
}

func (h Hour) conditions() Conditions {
	c := Conditions{Air: h.Air.Celsius(), Wind: float64(h.Wind), Cloud: UsualCloud, Rain: h.Rain.Metres()}
	if h.Dew != nil {
		c.Dew = math.Min(c.Air, h.Dew.Celsius())
		c.Humidity = Humidity(c.Air, c.Dew)
	} else {
		c.Humidity = float64(*h.Humidity)
		c.Dew = DewPoint(c.Air, c.Humidity)
	}
	if h.Cloud != nil {
		c.Cloud = float64(*h.Cloud)
	}
	if h.Solar != nil {
		c.Solar = *h.Solar
	}
	if c.Rain > 0 {
		c.RainChance = 1
	}
	if h.RainChance != nil {
		c.RainChance = float64(*h.RainChance)
	}
	return c
}

// Empty says whether there are no readings.
func (f Forecast) Empty() bool { return len(f.times) == 0 }

// Span is the first and the last reading's time.
func (f Forecast) Span() (first, last time.Time) {
	if f.Empty() {
		return first, last
	}
	return f.times[0], f.times[len(f.times)-1]
}

// Times lists when the readings are.
func (f Forecast) Times() []time.Time { return f.times }

// At is the air at an instant: everything on a straight line between the readings around it, except rain, which belongs to
// its hour. ErrOutside or ErrGap where no line may be drawn.
func (f Forecast) At(t time.Time) (Conditions, error) {
	i, share, err := between(f.times, t)
	if err != nil {
		return Conditions{}, err
	}
	a := f.hours[i]
	if share > 0 {
		b := f.hours[i+1]
		mix := func(x, y float64) float64 { return x + share*(y-x) }
		a = Conditions{Air: mix(a.Air, b.Air), Dew: mix(a.Dew, b.Dew), Wind: mix(a.Wind, b.Wind), Cloud: mix(a.Cloud, b.Cloud),
			Solar: mix(a.Solar, b.Solar), Humidity: mix(a.Humidity, b.Humidity), Rain: a.Rain, RainChance: a.RainChance}
	}
	if !f.solar[i] || (share > 0 && !f.solar[i+1]) {
		a.Solar = ClearSky(almanac.SunAt(t, f.place).Apparent) * CloudFactor(a.Cloud)
	}
	return a, nil
}
