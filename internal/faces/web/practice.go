package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"time"
)

// practice starts the practice job: all invented, marked so on every sheet. Its day and its weather are counted from now, so
// that it is always two days before the pour.
func (p *Page) practice(w http.ResponseWriter, r *http.Request) {
	text, err := embedded.ReadFile("assets/practice.json")
	var doc map[string]any
	if err == nil {
		err = json.Unmarshal(text, &doc)
	}
	var zone *time.Location
	if err == nil {
		zone, err = time.LoadLocation(fmt.Sprint(doc["time_zone"]))
	}
	if err != nil {
		p.fail(w, r, err)
		return
	}
	now := p.office.Now().In(zone)
	day := workday(now.AddDate(0, 0, 2))
	doc["pour_date"] = day.Format(time.DateOnly)
	doc["pour"] = map[string]any{"forecast_issued": now.Format(time.RFC3339)}
	doc["forecast_file"] = forecastName
	p.make(w, r, doc, file{forecastName, inventedWeather(now, day)})
}

// workday is the day itself or the Monday after it.
func workday(t time.Time) time.Time {
	for t.Weekday() == time.Saturday || t.Weekday() == time.Sunday {
		t = t.AddDate(0, 0, 1)
	}
	return t
}

// forecastName is what the forecast beside a job is called.
const forecastName = "forecast.csv"

// inventedWeather is a hot-dry-windy day after mild ones: 58 to 84 °F, humidity 70 to 32 %, wind 4 to 12 mph, hour by hour to
// the night after the pour.
func inventedWeather(now, day time.Time) []byte {
	from := time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, now.Location())
	until := time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, now.Location()).AddDate(0, 0, 3)
	var out bytes.Buffer
	out.WriteString("time,air_f,humidity_pct,wind_mph,cloud_pct,rain_in,rain_chance_pct\r\n")
	for t := from; t.Before(until); t = t.Add(time.Hour) {
		warmth := (1 - math.Cos(2*math.Pi*(float64(t.Hour())-4)/24)) / 2 // 0 at four in the morning, 1 at four in the afternoon
		fmt.Fprintf(&out, "%s,%.0f,%.0f,%.0f,20,0,5\r\n", t.Format("2006-01-02 15:04"), 58+26*warmth, 70-38*warmth, 4+8*warmth)
	}
	return out.Bytes()
}
