package pour_test

import (
	"fmt"
	"math"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/pour"
)

var zone = time.FixedZone("CDT", -5*3600)

var june11 = time.Date(2026, 6, 11, 0, 0, 0, 0, zone)

// fineDays are invented days: 58 to 84 °F, humidity 70 to 32 %, wind 4 to 12 mph.
func fineDays(midnight time.Time, hours int) []weather.Hour {
	var out []weather.Hour
	for h := range hours {
		wave := math.Sin(math.Pi * (float64(h%24) - 9) / 12) // coolest at 3, warmest at 15
		humidity, cloud := quantity.Percent(0.51-0.19*wave), quantity.Ratio(0.3)
		out = append(out, weather.Hour{Time: midnight.Add(time.Duration(h) * time.Hour), Air: quantity.Fahrenheit(71 + 13*wave), Humidity: &humidity,
			Wind: quantity.Of[quantity.Speed](8+4*wave, "mph"), Cloud: &cloud})
	}
	return out
}

// apron is a slab of 14 by 40 ft, 6 in thick, asked about at five in the morning.
func apron(forecast []weather.Hour) pour.Input {
	in := pour.Defaults()
	in.Longitude = known.Say(quantity.Angle(-90 * math.Pi / 180))
	in.Area = known.Say(quantity.Of[quantity.Area](560, "ft2"))
	in.Thickness = known.Say(quantity.Inches(6))
	in.Forecast = forecast
	in.ForecastIssued = june11.Add(3 * time.Hour)
	in.Now = june11.Add(5 * time.Hour)
	return in
}

func Example() {
	r, err := pour.Design(apron(fineDays(june11, 36)))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(pour.VerdictWords(r.Verdict), "at", r.Start.Format("15:04"))
	for _, s := range r.Days[0].Starts[:3] {
		fmt.Printf("%s %s: float from %s to %s, last broom %s\n", s.At.Format("15:04"), s.Level, s.FloatFrom.Format("15:04"), s.FloatUntil.Format("15:04"), s.FinishedBy.Format("15:04"))
	}
	fmt.Println(r.Checks[0].Then[0])
	// Output:
	// Pour with care at 05:00
	// 05:00 take care: float from 09:34 to 11:05, last broom 11:18
	// 06:00 take care: float from 10:02 to 11:28, last broom 11:46
	// 07:00 take care: float from 10:32 to 11:54, last broom 12:17
	// With wind breaks on the windy side: at most 0.09 lb/ft²/h, looks good.
}
