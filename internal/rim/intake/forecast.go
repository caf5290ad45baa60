package intake

import (
	"math"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
)

// weatherColumns are what a table of hours of weather may hold.
var weatherColumns = []column[weather.Hour]{
	{[]string{"air", "temperature", "temp"}, []string{"°F", "°C"}, func(h *weather.Hour, text string, box quantity.Box) error { return read(&h.Air, text, box) }},
	{[]string{"dew", "dew_point", "dewpoint"}, []string{"°F", "°C"}, func(h *weather.Hour, text string, box quantity.Box) error { return readNew(&h.Dew, text, box) }},
	{[]string{"humidity", "rh"}, []string{"%"}, func(h *weather.Hour, text string, box quantity.Box) error { return readNew(&h.Humidity, text, box) }},
	{[]string{"wind", "wind10"}, []string{"mph", "km/h", "m/s"}, func(h *weather.Hour, text string, box quantity.Box) error { return read(&h.Wind, text, box) }},
	{[]string{"cloud"}, []string{"%", "1"}, readCloud},
	{[]string{"rain", "precip"}, []string{"in", "mm"}, func(h *weather.Hour, text string, box quantity.Box) error { return read(&h.Rain, text, box) }},
	{[]string{"rain_chance"}, []string{"%"}, func(h *weather.Hour, text string, box quantity.Box) error { return readNew(&h.RainChance, text, box) }},
}

var forecastTable = tableKind[weather.Hour]{field: "forecast", times: []string{"time", "hour"}, columns: weatherColumns, at: func(h *weather.Hour) *time.Time { return &h.Time },
	example: "time,air_f,humidity_pct,wind_mph,cloud_pct,rain_in,rain_chance_pct", among: "a forecast", blank: unknownHour, judge: impossible}

// unknownHour is an hour of which nothing is told; what a reading may do without is as left out.
func unknownHour() weather.Hour {
	return weather.Hour{Air: quantity.Temp(math.NaN()), Wind: quantity.Speed(math.NaN())}
}

// impossible lists what cannot be in one hour of weather.
func impossible(h weather.Hour) []wrongs {
	var out []wrongs
	switch {
	case math.IsNaN(float64(h.Air)):
		return []wrongs{{"air", "", "is not told.", "Type it, or take the row out: up to three hours are bridged."}}
	case math.IsNaN(float64(h.Wind)):
		return []wrongs{{"wind", "", "is not told, and it is what dries a slab most.", "Type it; 0 for calm air."}}
	}
	for _, p := range weather.Problems([]weather.Hour{h}) {
		out = append(out, wrongs{p.Field, p.Given, p.Why, p.Then})
	}
	return out
}

func readCloud(h *weather.Hour, text string, box quantity.Box) error {
	var share quantity.Percent
	if box.Unit == "1" {
		var r quantity.Ratio
		if err := read(&r, text, box); err != nil {
			return err
		}
		h.Cloud = &r
		return nil
	}
	if err := read(&share, text, box); err != nil {
		return err
	}
	cloud := quantity.Ratio(share)
	h.Cloud = &cloud
	return nil
}

// Forecast reads an hourly forecast from a table: a header of column names with their units (time, air_f or air_c, dew_f or
// humidity_pct, wind_mph, wind_kmh or wind_ms, cloud_pct, rain_in or rain_mm, rain_chance_pct) and one row an hour, parted by commas,
// tabs, semicolons, bars or runs of spaces. A time may be a clock alone: of the day asked about, then going on past midnight.
func Forecast(file string, src []byte, reading Reading) ([]weather.Hour, error) {
	return table(forecastTable, file, src, reading)
}

// WeatherFile reads a forecast as it was saved: a table, or the answer of a weather service; with when it was made, where it says.
func WeatherFile(file string, src []byte, reading Reading) ([]weather.Hour, time.Time, error) {
	if strings.HasPrefix(strings.TrimSpace(strings.TrimPrefix(string(src), "\ufeff")), "{") {
		return ServiceForecast(file, src, reading)
	}
	hours, err := Forecast(file, src, reading)
	return hours, time.Time{}, err
}
