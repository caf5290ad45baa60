package intake

import (
	"errors"
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
)

func chicago(t *testing.T) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("America/Chicago")
	if err != nil {
		t.Fatal(err)
	}
	return zone
}

func TestAPastedTableIsReadByTheClockPastMidnight(t *testing.T) {
	zone := chicago(t)
	reading := Reading{Zone: zone, Day: time.Date(2027, 6, 17, 7, 0, 0, 0, zone)}
	for name, text := range map[string]string{
		"commas": "time,air_f,humidity_pct,wind_mph\n9 pm,70,60,4\n11 pm,68,62,3\n1 am,66,70,3\n",
		"tabs":   "time\tair_f\thumidity_pct\twind_mph\n21:00\t70\t60\t4\n23:00\t68\t62\t3\n01:00\t66\t70\t3\n",
		"spaces": "time    air_f  humidity_pct  wind_mph\n------  -----  ------------  --------\n9 pm       70            60     4 mph\n11 pm      68            62         3\n   \n  1 am     66            70         3  \n",
		"empty":  "time\tair_f\tcloud_pct\thumidity_pct\twind_mph\n21:00\t70\t\t60\t4\n23:00\t68\t\t62\t3\n01:00\t66\t\t70\t3\n",
		"bars":   "time|air_f|humidity_pct|wind_mph\n9 pm|70|60|4\n11 pm|68|62|3\n1 am|66|70|3\n",
	} {
		hours, err := Forecast(name, []byte(text), reading)
		if err != nil || len(hours) != 3 {
			t.Fatalf("%s: %d hours, %v", name, len(hours), err)
		}
		if last := hours[2].Time; last.Day() != 18 || last.Hour() != 1 {
			t.Errorf("%s: the last hour is %v", name, last)
		}
	}
}

func TestTheNightsTheClocksChange(t *testing.T) {
	reading := Reading{Zone: chicago(t)}
	table := func(times ...string) string {
		text := "time,air_f,humidity_pct,wind_mph\n"
		for _, at := range times {
			text += at + ",50,60,4\n"
		}
		return text
	}
	hours, err := Forecast("autumn", []byte(table("2027-11-07 00:00", "2027-11-07 01:00", "2027-11-07 01:00", "2027-11-07 02:00")), reading)
	if err != nil || hours[3].Time.Sub(hours[0].Time) != 3*time.Hour {
		t.Errorf("the night of 25 hours: %v %v", hours, err)
	}
	clocks, err := Forecast("clocks", []byte(table("12 am", "1 am", "1 am", "2 am", "9 pm")), Reading{Zone: reading.Zone, Day: time.Date(2027, 11, 7, 12, 0, 0, 0, reading.Zone)})
	if err != nil || clocks[2].Time.Sub(clocks[1].Time) != time.Hour || clocks[4].Time.Hour() != 21 || clocks[4].Time.Day() != 7 {
		t.Errorf("clocks alone on the day of 25 hours: %v %v", clocks, err)
	}
	_, err = Forecast("spring", []byte(table("2027-03-14 01:00", "2027-03-14 02:00", "2027-03-14 03:00")), reading)
	if err == nil || !strings.Contains(err.Error(), "spring:3:1") || !strings.Contains(err.Error(), "clocks go forward") {
		t.Errorf("the hour that is not: %v", err)
	}
}

func TestFaultsOfATableNameTheirLine(t *testing.T) {
	reading := Reading{Zone: time.UTC}
	for text, want := range map[string]string{
		"time,air_f,humidity_pct,wind_mph\n2027-06-17 07:00,70,60,468\n":                                     "f:2:24",
		"time,air_f,humidity_pct,wind_mph\n2027-06-17 07:00,70,60,\n":                                        "f:2:24",
		"time,air_f,dew_f,wind_mph\n2027-06-17 07:00,70,80,4\n":                                              "f:2:21",
		"time,air_f,dew_f,humidity_pct,wind_mph\n2027-06-17 07:00,70,50,90,4\n":                              "f:2:24",
		"time,air_f,humidity_pct,wind_mph\n2027-06-17 07:00,70,60,4\n2027-06-17 06:00,1,1,1\n":               "f:3:1",
		"time              air_f  humidity_pct  wind_mph\n2027-06-17 07:00     70            60       468\n": "f:2:45",
		"time              air_f  humidity_pct  wind_mph\n\n2027-06-17 07:00     70            60 4\n":       "f:3:1",
		"time              air_f  humidity_pct  gusts\n2027-06-17 07:00     70            60       4\n":      "f:1:40",
		"time              air_f  humidity_pct  wind_mph\n2027-06-17 07:00     70  sixty  4\n":               "f:2:26",
	} {
		if _, err := Forecast("f", []byte(text), reading); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, not at %s", text, err, want)
		}
	}
}

func TestAProbesLogIsReadWithWhatElseItHolds(t *testing.T) {
	reading := Reading{Zone: chicago(t)}
	log := "Timestamp,Slab_F,Battery\n6/17/2027 7:00 AM,61.5,3.1\n6/17/2027 8:00 AM,63,3.1\n"
	rows, err := SlabTemperatures("probe.csv", []byte(log), reading)
	if err != nil || len(rows) != 2 || rows[1].Temp != quantity.Fahrenheit(63) || rows[0].Time.Hour() != 7 {
		t.Fatalf("%+v %v", rows, err)
	}
	_, err = SlabTemperatures("probe.csv", []byte(log+"6/17/2027 9:00 AM,-400,3.1\n"), reading)
	var faults Faults
	if !errors.As(err, &faults) || faults[0].Line != 4 || !strings.Contains(err.Error(), "unit") {
		t.Errorf("%v", err)
	}
	if _, err := SlabTemperatures("probe.csv", []byte("time,slab_f\n"), reading); err == nil {
		t.Error("an empty log passed")
	}
}

func TestAStampTakenBackStaysInTheRecord(t *testing.T) {
	at := time.Date(2027, 6, 17, 7, 0, 0, 0, time.UTC)
	var s Stamps
	s.Add(at, "truck here", 0)
	s.Add(at.Add(time.Hour), "struck off", 2)
	s.Add(at.Add(-time.Minute), "truck here", 0) // forgotten, and stamped later
	if back, ok := s.TakeBack(at.Add(2*time.Hour), "struck off", 0); !ok || back.Strip != 2 {
		t.Fatalf("%+v %v", back, ok)
	}
	kept, err := ReadStamps("taps.csv", s.Text(), Reading{})
	if err != nil {
		t.Fatal(err)
	}
	if taps := kept.Taps(); len(taps) != 2 || !taps[0].At.Equal(at.Add(-time.Minute)) {
		t.Errorf("%+v", taps)
	}
	if text := string(kept.Text()); strings.Count(text, "\n") != 5 || text != string(s.Text()) {
		t.Errorf("%s", text)
	}
	if _, ok := kept.TakeBack(at, "sheen gone", 0); ok {
		t.Error("took back what was not stamped")
	}
	if _, err := ReadStamps("taps.csv", []byte("time,what\n2027-06-17T07:00:00Z,lunch\n"), Reading{}); err == nil || !strings.Contains(err.Error(), "taps.csv:2:") {
		t.Errorf("%v", err)
	}
}

func TestAYearIsReadAndHoursThatCannotBeAreLeftForTheCount(t *testing.T) {
	var b strings.Builder
	b.WriteString("time_lst,air_c,rh_pct,wind10_ms,precip_mm,visibility_km\n")
	at := time.Date(2013, 1, 1, 0, 0, 0, 0, time.UTC)
	for h := range 24 * 30 {
		wind := "3.0"
		switch h {
		case 5:
			wind = "468"
		case 6:
			wind = ""
		}
		b.WriteString(at.Add(time.Duration(h)*time.Hour).Format("2006-01-02T15:04") + ",12,60," + wind + ",0,16\n")
	}
	r, err := WeatherRecord("year.csv", []byte(b.String()), Reading{})
	if err != nil || len(r.Hour) != 24*30-1 || r.Year != 2013 || r.Hour[5] != 5 || r.Hour[6] != 7 {
		t.Fatalf("%d hours, %v", len(r.Hour), err)
	}
	if _, err := WeatherRecord("year.csv", []byte("time,air_c,rh_pct,wind_ms\n2013-01-01T00:00,1,50,3\n"), Reading{}); err == nil {
		t.Error("one hour passed for a year")
	}
}

func TestFourNumbersAsTheyAreSaid(t *testing.T) {
	for _, text := range []string{"84F 32% 6mph 79F", "84F, 32 %, 6 mph, 79 F", "84 32 6 79"} {
		r, err := SiteReading(text, quantity.US)
		if err != nil || r.Air.Value != quantity.Fahrenheit(84) || r.Concrete.Value != quantity.Fahrenheit(79) || r.Wind.Value != quantity.Speed(6*0.44704) {
			t.Errorf("%s: %+v %v", text, r, err)
		}
	}
	if _, err := SiteReading("84F 32%", quantity.US); err == nil || !strings.Contains(err.Error(), "four") {
		t.Errorf("%v", err)
	}
}

func FuzzStamps(f *testing.F) {
	f.Add("time,what,strip\n2027-06-17T07:00:00Z,truck here,\n2027-06-17T07:00:00Z,not truck here,\n")
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ReadStamps("taps.csv", []byte(text), Reading{Zone: time.UTC})
		if err != nil {
			return
		}
		again, err := ReadStamps("taps.csv", s.Text(), Reading{Zone: time.UTC})
		if err != nil || len(again.Taps()) != len(s.Taps()) {
			t.Errorf("%d stamps read back as %d: %v", len(s.Taps()), len(again.Taps()), err)
		}
	})
}
