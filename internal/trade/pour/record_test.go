package pour

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"
	"time"
)

// newark reads the station year; month 0 is all of it.
func newark(t *testing.T, month time.Month) Record {
	t.Helper()
	file, err := os.Open("testdata/hourly-weather.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	number := func(row []string, name string) float64 {
		v, err := strconv.ParseFloat(row[column[name]], 64)
		if err != nil && row[column[name]] != "" {
			t.Fatal(err)
		}
		return v
	}
	var r Record
	for _, row := range rows[1:] {
		at, err := time.Parse("2006-01-02T15:04", row[column["time_lst"]])
		if err != nil {
			t.Fatal(err)
		}
		if (month != 0 && at.Month() != month) || row[column["wind10_ms"]] == "" {
			continue
		}
		r.Hour = append(r.Hour, at.Sub(time.Date(2013, 1, 1, 0, 0, 0, 0, time.UTC)).Hours())
		r.Air, r.Humidity = append(r.Air, number(row, "air_c")), append(r.Humidity, number(row, "rh_pct")/100)
		r.Wind, r.Rain = append(r.Wind, number(row, "wind10_ms")), append(r.Rain, number(row, "precip_mm")/1000)
	}
	return r
}

// CUR-51 … CUR-54 count the station year; counts are exact.
func TestStationYear(t *testing.T) {
	year := newark(t, 0)
	for threshold, want := range map[float64]int{0.25: 1065, 0.5: 339, 1.0: 15} {
		c := LookBack(year, 7, 17, threshold)
		if c.Hours != 3654 || c.Above != want {
			t.Errorf("CUR-51: %d hours, %d at %v and above; not 3654, %d", c.Hours, c.Above, threshold, want)
		}
	}
	c := LookBack(year, 7, 18, 0.5)
	if c.Days != 325 || c.Rainy != 65 || c.Cold != 116 || c.Hot != 19 || c.Good != 94 {
		t.Errorf("CUR-52: %+v; not 325 days, 65 rainy, 116 cold, 19 hot, 94 good", c)
	}
	if c.WorstWind < 468 || c.WorstWind > 469 || c.Rejected != 1 {
		t.Errorf("CUR-54: wind %v m/s, %d rejected", c.WorstWind, c.Rejected)
	}
	for month, want := range map[time.Month][3]int{time.July: {4, 30, 116}, time.October: {21, 31, 15}} {
		d, h := LookBack(newark(t, month), 7, 18, 0.5), LookBack(newark(t, month), 7, 17, 0.5)
		if d.Good != want[0] || d.Days != want[1] || h.Above != want[2] {
			t.Errorf("CUR-53: %v: %d good of %d, %d hours; not %v", month, d.Good, d.Days, h.Above, want)
		}
	}
}
