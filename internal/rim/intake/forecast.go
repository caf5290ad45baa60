package intake

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/check"
)

// column is one column of a forecast table: its name without the unit, and how a cell is read into the hour.
type column struct {
	name  string
	units []string // as they may follow the name: air_f, air_c; the first is the unit of a bare name in a US job
	read  func(h *weather.Hour, text, unit string) error
}

var forecastColumns = []column{
	{"air", []string{"°F", "°C"}, func(h *weather.Hour, text, unit string) error { return read(&h.Air, text, unit) }},
	{"dew", []string{"°F", "°C"}, func(h *weather.Hour, text, unit string) error { return readNew(&h.Dew, text, unit) }},
	{"humidity", []string{"%"}, func(h *weather.Hour, text, unit string) error { return readNew(&h.Humidity, text, unit) }},
	{"wind", []string{"mph", "km/h", "m/s"}, func(h *weather.Hour, text, unit string) error { return read(&h.Wind, text, unit) }},
	{"cloud", []string{"%", "1"}, func(h *weather.Hour, text, unit string) error { return readCloud(h, text, unit) }},
	{"rain", []string{"in", "mm"}, func(h *weather.Hour, text, unit string) error { return read(&h.Rain, text, unit) }},
	{"rain_chance", []string{"%"}, func(h *weather.Hour, text, unit string) error { return readNew(&h.RainChance, text, unit) }},
}

// suffixes are the units as a header writes them.
var suffixes = map[string]string{"f": "°F", "c": "°C", "pct": "%", "mph": "mph", "kmh": "km/h", "ms": "m/s", "in": "in", "mm": "mm", "share": "1"}

func read[T any](into *T, text, unit string) error {
	typed, ok := any(into).(quantity.Typed)
	if !ok {
		return fmt.Errorf("cannot read %q", text)
	}
	_, err := typed.ReadText(text, quantity.Box{Unit: unit, Kind: quantity.AsElevation})
	return err
}

func readNew[T any](into **T, text, unit string) error {
	var v T
	if err := read(&v, text, unit); err != nil {
		return err
	}
	*into = &v
	return nil
}

func readCloud(h *weather.Hour, text, unit string) error {
	var share quantity.Percent
	if unit == "1" {
		var r quantity.Ratio
		if err := read(&r, text, unit); err != nil {
			return err
		}
		h.Cloud = &r
		return nil
	}
	if err := read(&share, text, unit); err != nil {
		return err
	}
	cloud := quantity.Ratio(share)
	h.Cloud = &cloud
	return nil
}

// Forecast reads an hourly forecast as CSV: a header of column names with their units (time, air_f or air_c, dew_f or humidity_pct,
// wind_mph, wind_kmh or wind_ms, cloud_pct, rain_in or rain_mm, rain_chance_pct) and one row an hour. Empty cells are unknown.
// Every fault names line and column.
func Forecast(file string, src []byte, reading Reading) ([]weather.Hour, error) {
	f := &forecastReader{file: file, reading: reading, csv: csv.NewReader(bytes.NewReader(src))}
	f.csv.TrimLeadingSpace, f.csv.Comment, f.csv.FieldsPerRecord = true, '#', -1
	header, err := f.csv.Read()
	if err != nil {
		return nil, f.whole(err, "has no header row.", "Begin with: time,air_f,humidity_pct,wind_mph,cloud_pct,rain_in")
	}
	if err := f.heads(header); err != nil {
		return nil, err
	}
	var hours []weather.Hour
	for {
		record, err := f.csv.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, f.whole(err, "cannot be read as a table.", "Put text with commas in double quotes, and double a quote inside it.")
		}
		if len(f.faults) >= manyFaults {
			break
		}
		hours = append(hours, f.row(record))
		f.forward(hours)
	}
	if len(f.faults) > 0 {
		return nil, f.faults
	}
	return hours, nil
}

type forecastReader struct {
	file    string
	reading Reading
	csv     *csv.Reader
	columns []*column // of each cell; nil is the time
	units   []string
	faults  Faults
}

// manyFaults is when the reading of a table stops: the rest is likely wrong in the same way.
const manyFaults = 20

func (f *forecastReader) whole(err error, why, instead string) Faults {
	line, col := 1, 1
	if where := (*csv.ParseError)(nil); errors.As(err, &where) {
		line, col = where.Line, where.Column
	}
	return Faults{{File: f.file, Line: line, Column: col, Fault: check.Fault{Field: "forecast", Why: why, Type: instead}}}
}

// forward faults an hour that does not come after the one before it.
func (f *forecastReader) forward(hours []weather.Hour) {
	n := len(hours)
	if n < 2 || hours[n-1].Time.IsZero() || hours[n-1].Time.After(hours[n-2].Time) {
		return
	}
	f.fault(f.timeCell(), "", "is not later than the row before.", "Sort the rows by time and take repeats out.")
}

func (f *forecastReader) timeCell() int {
	return slices.IndexFunc(f.columns, func(c *column) bool { return c == nil })
}

// heads understands the header: each name a known column, with or without its unit.
func (f *forecastReader) heads(header []string) error {
	hasTime := false
	for i, cell := range header {
		name := strings.ToLower(strings.TrimSpace(strings.TrimPrefix(cell, "\ufeff")))
		if name == "time" {
			hasTime = true
			f.columns, f.units = append(f.columns, nil), append(f.units, "")
			continue
		}
		c, unit := findColumn(name, f.reading.Units)
		if c == nil {
			f.fault(i, shortened(cell), "is not a column of a forecast.", "Columns: time, air_f, dew_f, humidity_pct, wind_mph, cloud_pct, rain_in, rain_chance_pct (or _c, _kmh, _ms, _mm).")
		}
		f.columns, f.units = append(f.columns, c), append(f.units, unit)
	}
	if !hasTime {
		f.fault(0, "", "no column is named time.", "Begin with: time,air_f,humidity_pct,wind_mph")
	}
	if len(f.faults) > 0 {
		return f.faults
	}
	return nil
}

func findColumn(name string, units quantity.System) (*column, string) {
	for i := range forecastColumns {
		c := &forecastColumns[i]
		if name == c.name {
			return c, c.units[min(int(units), len(c.units)-1)]
		}
		if suffix, ok := strings.CutPrefix(name, c.name+"_"); ok {
			for _, u := range c.units {
				if suffixes[suffix] == u {
					return c, u
				}
			}
		}
	}
	return nil, ""
}

func (f *forecastReader) row(record []string) weather.Hour {
	var h weather.Hour
	if len(record) != len(f.columns) {
		f.fault(0, shortened(strings.Join(record, ",")), fmt.Sprintf("has %d cells; the header has %d.", len(record), len(f.columns)), "Leave an unknown cell empty, but keep its comma.")
		return h
	}
	for i, cell := range record {
		if cell = strings.TrimSpace(cell); cell == "" {
			continue
		}
		if f.columns[i] == nil {
			t, err := readMoment(cell, f.reading.Zone)
			if err != nil {
				f.fault(i, shortened(cell), "is not a time that can be placed.", "Type it like 2027-06-17T07:00-05:00, or name the job's time_zone.")
			}
			h.Time = t
			continue
		}
		if err := f.columns[i].read(&h, cell, f.units[i]); err != nil {
			f.fault(i, "", f.columns[i].name+" "+err.Error()+".", "")
		}
	}
	if h.Time.IsZero() && len(f.faults) == 0 {
		f.fault(f.timeCell(), "", "has no time.", "Type it like 2027-06-17 07:00.")
	}
	return h
}

func (f *forecastReader) fault(cell int, given, why, instead string) {
	line, col := f.csv.FieldPos(cell)
	f.faults = append(f.faults, Fault{File: f.file, Line: line, Column: col, Fault: check.Fault{Field: "forecast", Given: given, Why: why, Type: instead}})
}
