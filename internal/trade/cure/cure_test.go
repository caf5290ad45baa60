package cure_test

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/working/workingtest"
)

func design(t *testing.T, in cure.Input) cure.Result {
	t.Helper()
	r, err := cure.Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func find(t *testing.T, r cure.Result, id check.ID) check.Check {
	t.Helper()
	for _, c := range r.Checks {
		if c.ID == id {
			return c
		}
	}
	t.Fatalf("no check %s", id)
	return check.Check{}
}

func milestone(t *testing.T, r cure.Result, name string) cure.Milestone {
	t.Helper()
	m, ok := r.Find(name)
	if !ok {
		t.Fatalf("no %s", name)
	}
	return m
}

// hours makes a forecast of steady air from the pour on.
func hours(in cure.Input, n int, air func(h int) float64) cure.Input {
	humidity := quantity.Percent(0.5)
	in.Forecast = nil
	for h := range n {
		in.Forecast = append(in.Forecast, weather.Hour{Time: in.Poured.Add(time.Duration(h) * time.Hour), Air: quantity.Celsius(air(h)), Humidity: &humidity, Wind: 2})
	}
	return in
}

func TestEveryNumberHasItsWorkingAndSource(t *testing.T) {
	r := design(t, apron())
	workingtest.RestsOnSomething(t, r.Report())
	for _, want := range []string{"saw_from", "saw_until", "strip", "foot", "car", "trailer", "truck", "cure_until"} {
		s, ok := r.Working.Find(want)
		if !ok || !s.Figure || s.Value.Text == "" {
			t.Errorf("no figure %s", want)
		}
		if weekday := s.Value.Text[:3]; !strings.Contains("Mon Tue Wed Thu Fri Sat Sun", weekday) {
			t.Errorf("%s has no weekday: %s", want, s.Value.Text)
		}
	}
	for _, c := range r.Checks {
		if c.Level > check.Good && len(c.Then) == 0 {
			t.Errorf("%s is %s and says nothing to do", c.ID, c.Level)
		}
	}
}

// At a steady 20 °C without doubt the trailer's age is CUR-39's equivalent age: 6.3997 days for 20.7 MPa on 36/.22/.25.
func TestSteadyAirGivesTheClosedForm(t *testing.T) {
	in := apron()
	in.Strength, in.Ultimate = known.Say(quantity.MPa(36)), known.Say[quantity.Ratio](1)
	in.Spread, in.LaterBand, in.LaterSwing = known.Say[quantity.Percent](0), known.Say[quantity.TempDiff](0), known.Say[quantity.TempDiff](0)
	in.CarAt = in.TrailerAt
	for air, days := range map[float64]float64{10: 11.425} { // CUR-39, second value
		in.LaterAir = known.Say(quantity.Celsius(air))
		if m := milestone(t, design(t, in), "trailer"); math.Abs(m.Age.Days()-days) > 0.002 {
			t.Errorf("at %v °C after %v days, not %v", air, m.Age.Days(), days)
		}
	}
}

func TestDatesAreNeverEarlierThanTheirAges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := apron()
		in.Poured = in.Poured.Add(time.Duration(rapid.IntRange(0, 365*24*60).Draw(t, "minutes")) * time.Minute)
		in.LaterAir = known.Say(quantity.Celsius(rapid.Float64Range(2, 30).Draw(t, "air")))
		r, err := cure.Design(in)
		if err != nil {
			t.Fatal(err)
		}
		last := quantity.Time(0)
		for _, m := range r.Milestones {
			if m.Never {
				continue
			}
			exact := r.Poured.Add(time.Duration(m.Age.Seconds() * float64(time.Second)))
			if m.At.Before(exact.Add(-time.Second)) || m.At.Sub(exact) > 25*time.Hour {
				t.Fatalf("%s: %v for an age ending %v", m.Name, m.At, exact)
			}
			if m.Soonest > m.Age && m.Name != "cure_until" {
				t.Fatalf("%s: fast side %v after slow side %v", m.Name, m.Soonest.Days(), m.Age.Days())
			}
			if m.Name == "foot" || m.Name == "car" || m.Name == "trailer" || m.Name == "truck" {
				if m.Age < last {
					t.Fatalf("%s before the lighter load", m.Name)
				}
				last = m.Age
			}
			if (m.Name == "car" || m.Name == "truck") && m.At.Hour() != 0 {
				t.Fatalf("%s on %v: not a whole day", m.Name, m.At)
			}
		}
		if r.Saw.EarlyFrom > r.Saw.From || r.Saw.EarlyUntil > r.Saw.Until {
			t.Fatalf("saw windows %+v", r.Saw)
		}
	})
}

func TestWarmerIsNeverLaterAndColderNeverEarlier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := apron()
		air := rapid.Float64Range(0, 28).Draw(t, "air")
		in.LaterAir = known.Say(quantity.Celsius(air))
		in = hours(in, rapid.IntRange(0, 72).Draw(t, "forecast"), func(h int) float64 { return air + 4*math.Sin(float64(h)/4) })
		cold, err := cure.Design(in)
		if err != nil {
			t.Fatal(err)
		}
		more := rapid.Float64Range(0, 6).Draw(t, "warmer")
		in.LaterAir.Value += quantity.Temp(more)
		for i := range in.Forecast {
			in.Forecast[i].Air += quantity.Temp(more)
		}
		warm, err := cure.Design(in)
		if err != nil {
			t.Fatal(err)
		}
		for i, m := range warm.Milestones {
			if m.Age > cold.Milestones[i].Age+1e-6 {
				t.Fatalf("%s later in warmer air: %v, %v", m.Name, m.Age.Days(), cold.Milestones[i].Age.Days())
			}
		}
	})
}

func TestMoreDoubtIsNeverSooner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := apron()
		in.Spread = known.Say(quantity.Percent(rapid.Float64Range(0, 0.25).Draw(t, "spread")))
		sure := design2(t, in)
		in.Spread.Value += quantity.Percent(rapid.Float64Range(0, 0.1).Draw(t, "more"))
		in.LaterBand = known.Say(in.LaterBand.Value + quantity.TempDiff(rapid.Float64Range(0, 4).Draw(t, "band")))
		for i, m := range design2(t, in).Milestones {
			if m.Age < sure.Milestones[i].Age-1e-6 {
				t.Fatalf("%s sooner with more doubt", m.Name)
			}
		}
	})
}

func design2(t *rapid.T, in cure.Input) cure.Result {
	r, err := cure.Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestSummerTimeMovesTheClockNotTheConcrete(t *testing.T) {
	in := apron()
	in.Poured = time.Date(2026, 10, 31, 16, 0, 0, 0, time.UTC) // 11:00 in Chicago, the day before the clocks go back
	in.FootAt = known.Say(quantity.MPa(0.5))
	m := milestone(t, design(t, in), "foot") // least age governs: 24 h
	if m.By != "least age" || m.Age.Hours() != 24 {
		t.Fatalf("%+v", m)
	}
	if m.At.Hour() != 10 || m.At.Day() != 1 {
		t.Errorf("24 h after 11:00 is %v on the clock of the day with 25 hours", m.At)
	}
}

func TestColdMeasuredNightsMakeTheDateLater(t *testing.T) {
	in := apron()
	before := milestone(t, design(t, in), "trailer")
	for day, temp := range []float64{6, 5, 7} {
		in.Measured = append(in.Measured, cure.Temperature{Time: in.Poured.Add(time.Duration(day*4*24) * time.Hour), Temp: quantity.Celsius(temp)})
	}
	after := milestone(t, design(t, in), "trailer")
	if after.Age <= before.Age || !after.At.After(before.At) {
		t.Errorf("nine cold days leave the trailer at %v", after.At)
	}
	for _, forward := range after.Forward {
		if strings.Contains(forward, "read in the slab") {
			t.Error("asks for temperatures that are there")
		}
	}
}

func cylinders() []cure.Cylinder {
	var out []cure.Cylinder
	for i, s := range []float64{8.1, 8.6, 8.3, 18.9, 19.7, 19.4, 26.6, 27.5, 26.1, 32.0, 31.2, 32.7, 36.1, 35.0, 36.6} {
		out = append(out, cure.Cylinder{Age: quantity.Days([]float64{1, 3, 7, 14, 28}[i/3]), Strength: quantity.MPa(s)})
	}
	return out
}

func TestCylindersReplaceTheUsualCurve(t *testing.T) {
	in := apron()
	usual := milestone(t, design(t, in), "trailer")
	in.Cylinders = cylinders()
	tested := milestone(t, design(t, in), "trailer")
	if tested.Age >= usual.Age {
		t.Errorf("good cylinders leave the trailer at %v days", tested.Age.Days())
	}
	if c := find(t, design(t, in), "cure.open-truck"); c.Level != check.Good {
		t.Errorf("cylinders above the strength ordered, truck: %v, %s", c.Level, c.Says)
	}
	in.Cylinders = cylinders()[:6] // two ages
	var faults check.Faults
	if _, err := cure.Design(in); !errors.As(err, &faults) || faults[0].Field != "cylinders" {
		t.Errorf("two ages pass: %v", err)
	}
}

func TestFrostBeforeItIsSafe(t *testing.T) {
	in := hours(apron(), 72, func(h int) float64 {
		if h == 20 {
			return -3
		}
		return 8
	})
	c := find(t, design(t, in), "cure.freeze")
	if c.Level != check.Stop || !strings.Contains(c.Says, "Frost at") {
		t.Errorf("%v: %s", c.Level, c.Says)
	}
	in.Covers = known.Say(true)
	if c := find(t, design(t, in), "cure.freeze"); c.Level != check.Care {
		t.Errorf("with blankets %v", c.Level)
	}
	warm := hours(apron(), 72, func(int) float64 { return 20 })
	if c := find(t, design(t, warm), "cure.freeze"); c.Level != check.Good {
		t.Errorf("in summer %v: %s", c.Level, c.Says)
	}
}

func TestAStrengthAboveTheMixIsNever(t *testing.T) {
	in := apron()
	in.TrailerAt = known.Say(quantity.MPa(30)) // slow side ends at 0.8 · 1.16 · 27.6 = 25.6 MPa
	r := design(t, in)
	if m := milestone(t, r, "trailer"); !m.Never || !m.At.IsZero() {
		t.Errorf("%+v", m)
	}
	if c := find(t, r, "cure.open-trailer"); c.Level != check.Stop {
		t.Errorf("%v: %s", c.Level, c.Says)
	}
}

func TestWithoutADayThereAreAges(t *testing.T) {
	in := apron()
	in.Poured = time.Time{}
	r := design(t, in)
	if c := find(t, r, "cure.pour-date"); c.Level != check.NotComputed {
		t.Errorf("%v", c.Level)
	}
	if s, _ := r.Working.Find("trailer"); !strings.HasSuffix(s.Value.Text, "days after the pour") {
		t.Errorf("trailer: %q", s.Value.Text)
	}
}

func TestFaultsNameTheFieldAndTheRemedy(t *testing.T) {
	for field, spoil := range map[string]func(*cure.Input){
		"strength":             func(in *cure.Input) { in.Strength = known.Stress{} },
		"later_air":            func(in *cure.Input) { in.LaterAir = known.Say(quantity.Celsius(math.NaN())) },
		"final_set":            func(in *cure.Input) { in.FinalSet = known.Say(quantity.Hours(-7)) },
		"zone":                 func(in *cure.Input) { in.Zone = "home" },
		"cement":               func(in *cure.Input) { in.Cement = known.Say("IV") },
		"slab_temperatures[1]": func(in *cure.Input) { in.Measured = []cure.Temperature{{Time: in.Poured, Temp: 150}} },
		"forecast[1].humidity": func(in *cure.Input) { in.Forecast = []weather.Hour{{Time: in.Poured, Air: 20}} },
	} {
		in := apron()
		spoil(&in)
		_, err := cure.Design(in)
		var faults check.Faults
		if !errors.As(err, &faults) || faults[0].Field != field || faults[0].Why == "" || faults[0].Type == "" {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func TestThePictureHasItsFlagsAndWords(t *testing.T) {
	in := apron()
	r := design(t, in)
	p := cure.Picture(in, r)[0]
	layers := map[string]bool{}
	for _, l := range draft.Layers() {
		layers[l.Name] = true
	}
	flags := 0
	for _, m := range p.Marks {
		if !layers[drawing.LayerOf(m).Name] {
			t.Errorf("a mark on %q", drawing.LayerOf(m).Name)
		}
		if s, ok := m.(drawing.Symbol); ok && s.Shape == drawing.Flag {
			flags++
		}
	}
	if flags != 4 {
		t.Errorf("%d flags", flags)
	}
	words := ""
	for _, row := range p.Table.Rows {
		if len(row) != len(p.Table.Header) {
			t.Errorf("row of %d cells", len(row))
		}
		words += row[len(row)-1] + ";"
	}
	for _, want := range []string{"walk on it", "drive a car", "park the trailer", "let a truck on", "end curing"} {
		if !strings.Contains(words, want) {
			t.Errorf("the table does not say when to %s", want)
		}
	}
	low, high, _ := p.Bounds()
	if low.X < 0 || low.Y < 0 || high.X > 260 || high.Y > 160 {
		t.Errorf("off the paper: %v to %v", low, high)
	}
}

func TestSameInputSameAnswer(t *testing.T) {
	in := hours(apron(), 72, func(h int) float64 { return 15 + 5*math.Sin(float64(h)/4) })
	a, _ := json.Marshal(design(t, in))
	b, _ := json.Marshal(design(t, in))
	if string(a) != string(b) {
		t.Error("two runs differ")
	}
}

func TestArbitraryInputNeverPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := hours(apron(), rapid.IntRange(0, 30).Draw(t, "hours"), func(int) float64 { return 12 })
		for _, e := range known.Entries(&in) {
			if rapid.IntRange(0, 9).Draw(t, e.Field) == 0 {
				known.Set(&in, e.Field, rapid.Float64().Draw(t, "value"))
			}
		}
		r, err := cure.Design(in)
		if err == nil {
			cure.Picture(in, r)
		}
	})
}

func BenchmarkDates(b *testing.B) {
	in := apron()
	for b.Loop() {
		if _, err := cure.Design(in); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDesign(b *testing.B) {
	in := hours(apron(), 96, func(h int) float64 { return 18 + 6*math.Cos(2*math.Pi*float64(h-5)/24) })
	for b.Loop() {
		if _, err := cure.Design(in); err != nil {
			b.Fatal(err)
		}
	}
}
