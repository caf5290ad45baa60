package intake

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/pour"
)

var slabTable = tableKind[cure.Temperature]{field: "slab_temperature_file", times: []string{"time", "timestamp", "date_time", "datetime"}, loose: true,
	columns: []column[cure.Temperature]{{[]string{"slab", "temperature", "temp", "concrete"}, []string{"°F", "°C"},
		func(t *cure.Temperature, text string, box quantity.Box) error { return read(&t.Temp, text, box) }}},
	at: func(t *cure.Temperature) *time.Time { return &t.Time }, example: "time,slab_f", among: "slab temperatures", judge: notOfASlab,
	blank: func() cure.Temperature { return cure.Temperature{Temp: quantity.Temp(math.NaN())} }}

// coldestSlab and hottestSlab are what a probe in a slab can read, °C.
const (
	coldestSlab = -30
	hottestSlab = 90
)

func notOfASlab(t cure.Temperature) []wrongs {
	switch {
	case math.IsNaN(float64(t.Temp)):
		return []wrongs{{"slab", "", "is not told.", "Name its column slab_f or slab_c, and take out rows without a reading."}}
	case t.Temp >= coldestSlab && t.Temp <= hottestSlab:
		return nil
	}
	return []wrongs{{"slab", fmt.Sprintf("%.0f °C", t.Temp.Celsius()), "no slab outdoors has that.", "Check the unit in the header: slab_f or slab_c? Take out what a loose wire wrote."}}
}

// SlabTemperatures reads the log of a probe in the slab: a time and a temperature (slab_f, slab_c); other columns are passed over.
func SlabTemperatures(file string, src []byte, reading Reading) ([]cure.Temperature, error) {
	rows, err := table(slabTable, file, src, reading)
	if err == nil && len(rows) == 0 {
		err = Faults{{File: file, Line: 1, Column: 1, Fault: check.Fault{Field: slabTable.field, Why: "holds no reading.", Type: "Begin with: " + slabTable.example}}}
	}
	return rows, err
}

// stamp is one row of what was stamped on the day.
type stamp struct {
	at    time.Time
	what  string
	strip int
}

var stampTable = tableKind[stamp]{field: "taps_file", times: []string{"time"}, free: true, at: func(s *stamp) *time.Time { return &s.at },
	columns: []column[stamp]{
		{[]string{"what"}, nil, func(s *stamp, text string, _ quantity.Box) error { s.what = strings.ToLower(text); return nil }},
		{[]string{"strip"}, nil, func(s *stamp, text string, _ quantity.Box) (err error) {
			if s.strip, err = strconv.Atoi(text); err != nil {
				return fmt.Errorf("%q is no number of a strip", text)
			}
			return nil
		}},
	},
	example: "time,what,strip", among: "stamps", judge: notStamped, blank: func() stamp { return stamp{} }}

func notStamped(s stamp) []wrongs {
	what := strings.TrimPrefix(s.what, takenBack)
	if slices.Contains(pour.TapWords(), what) {
		return nil
	}
	return []wrongs{{"what", s.what, "is not something that is stamped.", "Type one of: " + strings.Join(pour.TapWords(), ", ") + "."}}
}

// takenBack begins a row that takes the last stamp of its kind back: nothing written is ever taken out.
const takenBack = "not "

// Stamps is the record of a day, to which rows are only added.
type Stamps struct{ rows []stamp }

// ReadStamps reads the record; an empty one is an empty day.
func ReadStamps(file string, src []byte, reading Reading) (Stamps, error) {
	if len(strings.TrimSpace(string(src))) == 0 {
		return Stamps{}, nil
	}
	rows, err := table(stampTable, file, src, reading)
	return Stamps{rows}, err
}

// Add stamps something at a time; what was forgotten may be stamped later with its own time.
func (s *Stamps) Add(at time.Time, what string, strip int) {
	s.rows = append(s.rows, stamp{at, what, strip})
}

// TakeBack takes back the last stamp that stands, or the last of a kind and strip (empty, zero: any). It says which, and whether
// there was one.
func (s *Stamps) TakeBack(at time.Time, what string, strip int) (pour.Tap, bool) {
	standing := s.standing()
	for i := len(standing) - 1; i >= 0; i-- {
		t := s.rows[standing[i]]
		if (what == "" || t.what == what) && (strip == 0 || t.strip == strip) {
			s.rows = append(s.rows, stamp{at, takenBack + t.what, t.strip})
			return t.tap(), true
		}
	}
	return pour.Tap{}, false
}

func (t stamp) tap() pour.Tap { return pour.Tap{At: t.at, What: t.what, Strip: t.strip} }

// standing are the rows that were not taken back.
func (s Stamps) standing() []int {
	var list []int
	for i, row := range s.rows {
		what, back := strings.CutPrefix(row.what, takenBack)
		if !back {
			list = append(list, i)
			continue
		}
		for k := len(list) - 1; k >= 0; k-- {
			if t := s.rows[list[k]]; t.what == what && t.strip == row.strip {
				list = slices.Delete(list, k, k+1)
				break
			}
		}
	}
	return list
}

// Taps are the stamps that stand, by rising time.
func (s Stamps) Taps() []pour.Tap {
	var out []pour.Tap
	for _, i := range s.standing() {
		out = append(out, s.rows[i].tap())
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].At.Before(out[b].At) })
	return out
}

// Text is the record as it is kept.
func (s Stamps) Text() []byte {
	var b strings.Builder
	b.WriteString("time,what,strip\n")
	for _, row := range s.rows {
		strip := ""
		if row.strip > 0 {
			strip = strconv.Itoa(row.strip)
		}
		fmt.Fprintf(&b, "%s,%s,%s\n", row.at.Format(time.RFC3339), row.what, strip)
	}
	return []byte(b.String())
}

var yearTable = tableKind[weather.Hour]{field: "weather_year_file", times: []string{"time", "time_lst", "timestamp"}, columns: weatherColumns, loose: true,
	at: func(h *weather.Hour) *time.Time { return &h.Time }, example: "time,air_c,humidity_pct,wind_ms,rain_mm", among: "a weather record", blank: unknownHour}

// fewestOfARecord is the least number of hours that odds are counted from: a month of them.
const fewestOfARecord = 24 * 28

// WeatherRecord reads hourly observations of a year or several. Times without an offset are on the station's standard clock. Hours
// that cannot be are kept for the count of rejects.
func WeatherRecord(file string, src []byte, reading Reading) (pour.Record, error) {
	reading.Zone = time.UTC
	hours, err := table(yearTable, file, src, reading)
	if err != nil {
		return pour.Record{}, err
	}
	if len(hours) < fewestOfARecord {
		return pour.Record{}, Faults{{File: file, Line: 1, Column: 1, Fault: check.Fault{Field: yearTable.field, Given: fmt.Sprintf("%d hours", len(hours)),
			Why: "are too few to count odds from.", Type: "Give a year of hourly observations, or at least four weeks."}}}
	}
	r := pour.Record{Year: hours[0].Time.Year()}
	begins := time.Date(r.Year, 1, 1, 0, 0, 0, 0, time.UTC)
	for _, h := range hours {
		humidity, ok := moisture(h)
		if !ok || math.IsNaN(float64(h.Wind)) {
			continue
		}
		_, offset := h.Time.Zone()
		r.Hour, r.Air, r.Humidity = append(r.Hour, h.Time.Sub(begins).Hours()+float64(offset)/3600), append(r.Air, h.Air.Celsius()), append(r.Humidity, humidity)
		r.Wind, r.Rain = append(r.Wind, float64(h.Wind)), append(r.Rain, h.Rain.Metres())
	}
	return r, nil
}

// moisture is the humidity of an hour, if it is told with an air temperature.
func moisture(h weather.Hour) (float64, bool) {
	switch {
	case math.IsNaN(float64(h.Air)):
		return 0, false
	case h.Humidity != nil:
		return float64(*h.Humidity), true
	case h.Dew != nil:
		return weather.Humidity(h.Air.Celsius(), h.Dew.Celsius()), true
	}
	return 0, false
}
