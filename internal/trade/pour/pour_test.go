package pour_test

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/pour"
	"slabwright/internal/trade/working/workingtest"
)

func find(t *testing.T, r pour.Result, id check.ID) check.Check {
	t.Helper()
	for _, c := range r.Checks {
		if c.ID == id {
			return c
		}
	}
	t.Fatalf("no check %s", id)
	return check.Check{}
}

func design(t *testing.T, in pour.Input) pour.Result {
	t.Helper()
	r, err := pour.Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func at(in pour.Input, hour int) pour.Input {
	in.Start = june11.Add(time.Duration(hour) * time.Hour)
	in.Earliest, in.Latest = known.Say(quantity.Hours(float64(hour))), known.Say(quantity.Hours(float64(hour)))
	return in
}

func TestEveryNumberHasItsWorkingAndSource(t *testing.T) {
	r := design(t, apron(fineDays(june11, 36)))
	workingtest.RestsOnSomething(t, r.Report())
	for _, want := range []string{"verdict", "start", "initial_set", "final_set"} {
		if s, ok := r.Working.Find(want); !ok || !s.Figure {
			t.Errorf("no figure %s", want)
		}
	}
	for _, c := range r.Checks {
		if c.Level > check.Good && len(c.Then) == 0 {
			t.Errorf("%s is %s and says nothing to do", c.ID, c.Level)
		}
	}
}

func TestNothingKnownOfTheWeatherIsNeverGood(t *testing.T) {
	in := apron(nil)
	r := design(t, in)
	if r.Verdict != check.NotComputed || find(t, r, "pour.no-forecast").Level != check.NotComputed {
		t.Errorf("verdict %v without forecast or reading", r.Verdict)
	}
	if s, ok := r.Working.Find("initial_set"); !ok || math.Abs(s.Value.SI-4.04*3600) > 60 {
		t.Errorf("set at a steady 21.1 °C: %v", s.Value)
	}
}

func reading(air, humidity, wind, concrete float64) pour.Reading {
	return pour.Reading{Air: known.Say(quantity.Celsius(air)), Humidity: known.Say(quantity.Percent(humidity)),
		Wind: known.Say(quantity.Speed(wind)), Concrete: known.Say(quantity.Celsius(concrete))}
}

func TestFourNumbersAreJudgedWithCare(t *testing.T) {
	in := apron(nil)
	in.Now, in.ForecastIssued = time.Time{}, time.Time{}
	for _, c := range []struct {
		reading pour.Reading
		want    check.Level
	}{
		{reading(18, 0.7, 1, 20), check.Care}, // mild, but rain and night are unknown
		{reading(35, 0.2, 7, 30), check.Stop}, // CUR-07: far above 1.0 kg/m²/h
		{reading(30, 0.6, 1, 36), check.Stop}, // over the limit at the chute
		{reading(-4, 0.6, 1, 16), check.Stop}, // freezing without covers
	} {
		in.Reading = c.reading
		r := design(t, in)
		if r.Verdict != c.want {
			t.Errorf("%+v: %v, not %v", c.reading, r.Verdict, c.want)
		}
		if find(t, r, "pour.no-forecast").Level != check.Care {
			t.Error("four numbers pass for a forecast")
		}
	}
	in.Reading = reading(25, 0.5, 16/3.6, 25)
	if e := quantity.In(design(t, in).Chosen.Peak, "kg/m2/h"); math.Abs(e-0.6062) > 0.0005 { // CUR-01
		t.Errorf("evaporation %v from four numbers", e)
	}
}

func TestTheHourThatGoesWrongIsNamed(t *testing.T) {
	spoil := func(change func(h int, hour *weather.Hour)) []weather.Hour {
		hours := fineDays(june11, 96)
		for h := range hours {
			change(h, &hours[h])
		}
		return hours
	}
	chance := quantity.Percent(0.8)
	for _, c := range []struct {
		name     string
		id       check.ID
		level    check.Level
		where    string
		forecast []weather.Hour
	}{
		{"rain at nine", "pour.rain", check.Stop, "9:00 am", spoil(func(h int, w *weather.Hour) {
			if h == 9 {
				w.Rain, w.RainChance = quantity.Millimetres(2), &chance
			}
		})},
		{"drizzle", "pour.rain", check.Care, "9:00 am", spoil(func(h int, w *weather.Hour) {
			if h == 9 {
				w.Rain = quantity.Millimetres(0.1)
			}
		})},
		{"gale", "pour.drying", check.Stop, "", spoil(func(h int, w *weather.Hour) {
			if h > 6 {
				w.Wind = 18
			}
		})},
		{"frost the first night", "pour.frost", check.Stop, "Fri Jun 12, 1:00 am", spoil(func(h int, w *weather.Hour) {
			w.Air -= 12
			if h == 25 {
				w.Air = -2
			}
		})},
		{"cold nights", "pour.frost", check.Care, "", spoil(func(h int, w *weather.Hour) { w.Air -= 12 })},
		{"hot concrete", "pour.concrete-hot", check.Stop, "", spoil(func(h int, w *weather.Hour) { w.Air += 18 })},
	} {
		got := find(t, design(t, at(apron(c.forecast), 7)), c.id)
		if got.Level != c.level || (c.where != "" && got.Where != c.where) {
			t.Errorf("%s: %v at %q: %s", c.name, got.Level, got.Where, got.Says)
		}
	}
}

func TestADryMistyDayIsGood(t *testing.T) {
	hours := fineDays(june11, 96)
	for h := range hours {
		humidity, cloud := quantity.Percent(0.85), quantity.Ratio(1)
		hours[h].Humidity, hours[h].Cloud, hours[h].Wind = &humidity, &cloud, 1
	}
	r := design(t, apron(hours))
	if r.Verdict != check.Good {
		t.Errorf("%v: %+v", r.Verdict, r.Checks)
	}
}

func TestAnOldForecastIsNeverPlainlyGood(t *testing.T) {
	hours := fineDays(june11, 96)
	for h := range hours {
		humidity, cloud := quantity.Percent(0.85), quantity.Ratio(1)
		hours[h].Humidity, hours[h].Cloud, hours[h].Wind = &humidity, &cloud, 1
	}
	in := apron(hours)
	in.ForecastIssued = in.Now.Add(-7 * time.Hour)
	if r := design(t, in); r.Verdict != check.Care || find(t, r, "pour.forecast-age").Level != check.Care {
		t.Errorf("a forecast of seven hours: %v", r.Verdict)
	}
	in.ForecastIssued = time.Time{}
	if r := design(t, in); r.Verdict != check.Care {
		t.Errorf("a forecast of unknown age: %v", r.Verdict)
	}
}

func TestLateHandsAreCountedAndHelped(t *testing.T) {
	in := at(apron(fineDays(june11, 96)), 7)
	in.Area = known.Say(quantity.Of[quantity.Area](2400, "ft2"))
	in.Finishers = known.Say[quantity.Number](1)
	c := find(t, design(t, in), "pour.finishers")
	if c.Level < check.Care || len(c.Then) == 0 || !strings.Contains(c.Then[0], "keep up") {
		t.Errorf("one finisher on 2400 ft²: %v, %v", c.Level, c.Then)
	}
}

func TestFaultsNameTheFieldAndTheRemedy(t *testing.T) {
	for field, spoil := range map[string]func(*pour.Input){
		"area":                 func(in *pour.Input) { in.Area = known.Area{} },
		"thickness":            func(in *pour.Input) { in.Thickness = known.Say(quantity.Inches(-6)) },
		"water_cement":         func(in *pour.Input) { in.WaterCement = known.Say(quantity.Ratio(0.9)) },
		"cement":               func(in *pour.Input) { in.Cement = known.Say("IV") },
		"concrete_temperature": func(in *pour.Input) { in.ConcreteTemp = known.Say(quantity.Celsius(64)) },
		"zone":                 func(in *pour.Input) { in.Zone = "Chicago" },
		"reading":              func(in *pour.Input) { in.Forecast, in.Reading.Air = nil, known.Say(quantity.Celsius(20)) },
		"forecast[4].wind":     func(in *pour.Input) { in.Forecast[3].Wind = 468 },
		"supplier_initial_set": func(in *pour.Input) { in.SupplierFirst = known.Say(quantity.Hours(4)) },
		"finishers":            func(in *pour.Input) { in.Finishers = known.Say[quantity.Number](0) },
		"strength":             func(in *pour.Input) { in.Strength = known.Say(quantity.Stress(math.NaN())) },
	} {
		in := apron(fineDays(june11, 24))
		spoil(&in)
		_, err := pour.Design(in)
		var faults check.Faults
		if !errors.As(err, &faults) || faults[0].Field != field || faults[0].Why == "" || faults[0].Type == "" {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func TestTheClockOfTheSiteRunsThroughSummerTime(t *testing.T) {
	in := apron(nil)
	in.Zone = "America/Chicago"
	start := time.Date(2026, 3, 7, 6, 0, 0, 0, time.UTC) // midnight in Chicago
	in.Forecast = fineDays(start, 96)
	in.Now, in.ForecastIssued = start, start
	r := design(t, in)
	for _, d := range r.Days {
		if d.Starts[0].At.Hour() != 5 || d.Date.Hour() != 0 {
			t.Errorf("%v begins with a start at %v", d.Date, d.Starts[0].At)
		}
	}
	if len(r.Days) != 4 || r.Days[2].Date.Sub(r.Days[1].Date) != 23*time.Hour {
		t.Errorf("%d days, the second of %v", len(r.Days), r.Days[2].Date.Sub(r.Days[1].Date))
	}
}

func TestSameInputSameAnswer(t *testing.T) {
	in := apron(fineDays(june11, 30))
	a, _ := json.Marshal(design(t, in))
	b, _ := json.Marshal(design(t, in))
	if string(a) != string(b) {
		t.Error("two runs differ")
	}
}

func TestThePictureSaysWhatItShows(t *testing.T) {
	in := apron(fineDays(june11, 36))
	r := design(t, in)
	pictures := pour.Picture(in, r)
	if len(pictures) != 1 {
		t.Fatal("no day strip")
	}
	p := pictures[0]
	if !strings.Contains(p.Title, pour.VerdictWords(r.Verdict)) || p.Says == "" || len(p.Table.Rows) < len(r.Days[0].Starts) {
		t.Errorf("title %q, %d rows", p.Title, len(p.Table.Rows))
	}
	for _, row := range p.Table.Rows {
		if len(row) != len(p.Table.Header) {
			t.Errorf("row of %d cells", len(row))
		}
	}
	layers := map[string]bool{}
	for _, l := range draft.Layers() {
		layers[l.Name] = true
	}
	shapes := 0
	for _, m := range p.Marks {
		if !layers[drawing.LayerOf(m).Name] {
			t.Errorf("a mark on %q", drawing.LayerOf(m).Name)
		}
		if _, ok := m.(drawing.Symbol); ok {
			shapes++
		}
	}
	if shapes != len(r.Days[0].Starts) {
		t.Errorf("%d verdict shapes for %d starts", shapes, len(r.Days[0].Starts))
	}
	low, high, _ := p.Bounds()
	if low.X < 0 || low.Y < 0 || high.X > 260 || high.Y > 160 {
		t.Errorf("off the paper: %v to %v", low, high)
	}
	if got := pour.Picture(apron(nil), design(t, apron(nil))); got != nil {
		t.Error("a picture of nothing")
	}
}

func TestHotterDrierWindierNeverDriesSlower(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := apron(nil)
		air := rapid.Float64Range(5, 35).Draw(t, "air")
		concrete := rapid.Float64Range(13, 34).Draw(t, "concrete")
		humidity := rapid.Float64Range(0.1, 1).Draw(t, "humidity")
		wind := rapid.Float64Range(0, 10).Draw(t, "wind")
		peak := func(air, humidity, wind, concrete float64) float64 {
			in.Reading = reading(air, humidity, wind, concrete)
			r, err := pour.Design(in)
			if err != nil {
				t.Fatal(err)
			}
			return float64(r.Chosen.Peak)
		}
		base := peak(air, humidity, wind, concrete)
		for name, more := range map[string]float64{"hotter concrete": peak(air, humidity, wind, concrete+1), "drier": peak(air, humidity*0.9, wind, concrete),
			"windier": peak(air, humidity, wind+1, concrete)} {
			if more < base-1e-15 {
				t.Fatalf("%s dries slower", name)
			}
		}
	})
}

func TestTheOrderOfAPourNeverTurnsAround(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hours := fineDays(june11, 96)
		warmer, windier := rapid.Float64Range(-20, 12).Draw(t, "warmer"), rapid.Float64Range(0, 6).Draw(t, "windier")
		for h := range hours {
			hours[h].Air += quantity.Temp(warmer)
			hours[h].Wind += quantity.Speed(windier)
		}
		in := at(apron(hours), rapid.IntRange(5, 15).Draw(t, "hour"))
		in.Thickness = known.Say(quantity.Inches(rapid.Float64Range(3, 12).Draw(t, "thickness")))
		in.Slag = known.Say(quantity.Percent(rapid.Float64Range(0, 0.4).Draw(t, "slag")))
		r, err := pour.Design(in)
		if err != nil {
			t.Fatal(err)
		}
		s := r.Chosen
		if s.Level == check.NotComputed {
			return
		}
		order := []time.Time{s.At, s.FloatFrom, s.FloatUntil, s.SetBy}
		for i := 1; i < len(order); i++ {
			if order[i].Before(order[i-1]) {
				t.Fatalf("%v", order)
			}
		}
		if s.PlacedBy.Before(s.At) || s.FinishedBy.Before(s.FloatFrom) || s.FloatUntil.Sub(s.FloatFrom) < 30*time.Minute {
			t.Fatalf("%+v", s)
		}
		if !quantity.Finite(float64(s.Peak), s.Deficit, float64(s.Hottest), s.Strain) || s.Deficit < 0 || s.Peak < 0 {
			t.Fatalf("%+v", s)
		}
	})
}

func TestArbitraryInputNeverPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := apron(fineDays(june11, rapid.IntRange(0, 30).Draw(t, "hours")))
		for _, e := range known.Entries(&in) {
			if rapid.IntRange(0, 9).Draw(t, e.Field) == 0 {
				known.Set(&in, e.Field, rapid.Float64().Draw(t, "value"))
			}
		}
		r, err := pour.Design(in)
		if err == nil && !reflect.DeepEqual(r.Report(), r.Answer) {
			t.Fatal("no answer")
		}
		if err == nil {
			pour.Picture(in, r)
		}
	})
}

// A person waits for this at five in the morning: three days of starts.
func BenchmarkThreeDays(b *testing.B) {
	in := apron(fineDays(june11, 96))
	for b.Loop() {
		if _, err := pour.Design(in); err != nil {
			b.Fatal(err)
		}
	}
}

// Ten days of a forecast, every hour a start: what is judged in one go.
func BenchmarkTenDaysOfStarts(b *testing.B) {
	in := apron(fineDays(june11, 12*24))
	in.Earliest, in.Latest = known.Say(quantity.Hours(0)), known.Say(quantity.Hours(23))
	for b.Loop() {
		r, err := pour.Design(in)
		if err != nil {
			b.Fatal(err)
		}
		starts := 0
		for _, d := range r.Days {
			starts += len(d.Starts)
		}
		b.ReportMetric(float64(starts), "starts")
	}
}

func BenchmarkADayAndAHalf(b *testing.B) {
	in := apron(fineDays(june11, 36))
	for b.Loop() {
		if _, err := pour.Design(in); err != nil {
			b.Fatal(err)
		}
	}
}
