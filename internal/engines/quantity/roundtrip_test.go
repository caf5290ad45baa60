package quantity

import (
	"encoding/json"
	"fmt"
	"math"
	"math/big"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Each unit against its defining constant, as published: the factors in the table are products of a few constants, and
// these are the products.
func TestUnitsFollowFromTheirDefinitions(t *testing.T) {
	for _, c := range []struct {
		dim    Dimension
		symbol string
		si     float64
	}{
		{LengthDim, "in", 25.4e-3}, {LengthDim, "ft", 0.3048}, {LengthDim, "yd", 0.9144}, {LengthDim, "mi", 1609.344},
		{AreaDim, "ft2", 0.09290304}, {AreaDim, "acre", 4046.8564224}, {VolumeDim, "yd3", 0.764554857984},
		{VolumeDim, "ft3", 0.028316846592}, {VolumeDim, "gal", 3.785411784e-3}, {MassDim, "lb", 0.45359237},
		{MassDim, "ton", 907.18474}, {ForceDim, "lb", 4.4482216152605}, {ForceDim, "kip", 4448.2216152605},
		{StressDim, "psi", 6894.757293168361}, {StressDim, "psf", 47.88025898033584}, {SubgradeDim, "pci", 271447.1375263134},
		{DensityDim, "lb/yd3", 0.5932764212577829}, {DensityDim, "lb/ft3", 16.018463373960142}, {SpeedDim, "mph", 0.44704},
		{SpeedDim, "km/h", 1 / 3.6}, {InsulationDim, "R", 0.17611018368230568}, {TimeDim, "d", 86400},
		{TempDiffDim, "°F", 5.0 / 9}, {AngleDim, "deg", math.Pi / 180},
	} {
		// 2e-15: the table's factor is one rounded product, the published digits another.
		if got := MustUnit(c.dim, c.symbol).SI(1); math.Abs(got/c.si-1) > 2e-15 {
			t.Errorf("1 %s is %.17g, want %.17g", c.symbol, got, c.si)
		}
	}
	for fahrenheit, celsius := range map[float64]float64{32: 0, 212: 100, -40: -40} {
		if got := Fahrenheit(fahrenheit).Celsius(); math.Abs(got-celsius) > 1e-12 {
			t.Errorf("%v °F is %v °C, want %v", fahrenheit, got, celsius)
		}
	}
}

func TestEveryUnitConvertsThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(units).Draw(t, "unit")
		value := rapid.Float64Range(-1e6, 1e6).Draw(t, "value")
		back := u.From(u.SI(value))
		// A few roundings of the value, and of the offset where there is one.
		if slack := 4e-16 * (math.Abs(value) + 2*math.Abs(u.Offset)); math.Abs(back-value) > slack {
			t.Fatalf("%v %s comes back as %v", value, u.Symbol, back)
		}
	})
}

// A number with any unit's symbol or alias is read into that many of the unit.
func TestEveryUnitIsReadAsWritten(t *testing.T) {
	for name, read := range readers {
		probe, err := read("1", Box{Name: name})
		if name == "date" || name == "clock" || name == "slope" {
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, u := range units {
			if u.Dim != probe.dim {
				continue
			}
			for _, symbol := range append([]string{u.Symbol}, u.Aliases...) {
				if symbol == "" || symbol == "-" || symbol == "1" || symbol == "money" || symbol == "ratio" || symbol == "mm water" || symbol == "µm" ||
					symbol == "um" || symbol == "micron" {
					continue
				}
				text := "2 " + symbol
				got, err := read(text, Box{Name: name})
				if err != nil {
					t.Errorf("%s %q: %v", name, text, err)
				} else if want := u.SI(2); math.Abs(got.si-want) > 1e-12*math.Abs(want) {
					t.Errorf("%s %q is %v, want %v", name, text, got.si, want)
				}
			}
		}
	}
}

func TestTapeLengthsComeBackExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.Int64Range(1, 400*12*64).Draw(t, "sixty-fourths")
		text := Tape(float64(parts)/64, 64, rapid.Bool().Draw(t, "with feet"))
		var l Length
		heard, err := l.ReadText(text, Box{Name: "side", Unit: "ft", Locale: rapid.SampledFrom([]string{"", "de-DE", "fr-CA"}).Draw(t, "locale")})
		want := new(big.Rat).Mul(big.NewRat(parts, 64), big.NewRat(254, 10000))
		if err != nil || heard.Exact != want.String() || float64(l) != float(want) {
			t.Fatalf("%s is %v (%s), want %s: %v", text, float64(l), heard.Exact, want, err)
		}
	})
}

// What a box reads back is read again as the same length, to the eighth the read-back is rounded to.
func TestReadBacksAreReadAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		metres := rapid.Float64Range(0.01, 300).Draw(t, "metres")
		unit := rapid.SampledFrom([]string{"ft", "in", "m", "mm"}).Draw(t, "unit")
		box := Box{Name: "side", Unit: unit}
		var first, again Length
		heard, err := first.ReadText(fmt.Sprintf("%.6f m", metres), box)
		if err != nil {
			t.Fatal(err)
		}
		shown, _, _ := cutTwoSpaces(heard.ReadBack)
		if _, err := again.ReadText(shown, box); err != nil || math.Abs(float64(first-again)) > 0.0254/16+1e-9 {
			t.Fatalf("%v m reads back as %q, which is %v: %v", metres, shown, again, err)
		}
	})
}

func cutTwoSpaces(s string) (before, after string, found bool) {
	for i := range len(s) - 1 {
		if s[i] == ' ' && s[i+1] == ' ' {
			return s[:i], s[i+2:], true
		}
	}
	return s, "", false
}

func TestClocksAndDatesComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := Clock(rapid.IntRange(0, 1439).Draw(t, "minutes"))
		for _, text := range []string{at.String(), at.Spoken("en-US"), at.Spoken("de-DE")} {
			var again Clock
			if _, err := again.ReadText(text, Box{}); err != nil || again != at {
				t.Fatalf("%s is %s: %v", text, again, err)
			}
		}
		day := DateOf(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)).Add(rapid.IntRange(0, 40000).Draw(t, "days"))
		for _, text := range []string{day.String(), day.ISO(), fmt.Sprintf("%d. %d. %d", day.Day, day.Month, day.Year)} {
			var again Date
			if _, err := again.ReadText(text, Box{}); err != nil || again != day {
				t.Fatalf("%s is %s: %v", text, again, err)
			}
		}
		if n := day.DaysSince(Date{2000, 1, 1}); DateOf(time.Date(2000, 1, 1+n, 0, 0, 0, 0, time.UTC)) != day {
			t.Fatalf("%s is not %d days on", day, n)
		}
	})
}

// A weekday or a date without its year is the next such day, never one that is past.
func TestDaysWithoutAYearLieAhead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		now := today.AddDate(0, 0, rapid.IntRange(0, 3000).Draw(t, "now"))
		box := Box{Today: now, Locale: "en-GB"}
		ahead := now.AddDate(0, 0, rapid.IntRange(0, 364).Draw(t, "ahead"))
		var byDate, byWeekday Date
		_, err := byDate.ReadText(ahead.Format("2 January"), box)
		_, errDay := byWeekday.ReadText(ahead.Format("Mon"), box)
		if err != nil || errDay != nil || byDate != DateOf(ahead) {
			t.Fatalf("on %s, %s is %s: %v, %v", now.Format(time.DateOnly), ahead.Format("2 January"), byDate, err, errDay)
		}
		if n := byWeekday.DaysSince(DateOf(now)); n < 1 || n > 7 || byWeekday.Weekday() != ahead.Weekday() {
			t.Fatalf("on %s, %s is %s", now.Format("Mon 2006-01-02"), ahead.Format("Mon"), byWeekday)
		}
	})
}

func TestClockAndDateAreTextInJSON(t *testing.T) {
	type day struct {
		Pour  Date
		First Clock
		None  Date
	}
	in := day{Pour: Date{2026, 6, 11}, First: 420}
	text, err := json.Marshal(in)
	if err != nil || string(text) != `{"Pour":"2026-06-11","First":"07:00","None":""}` {
		t.Fatalf("%s, %v", text, err)
	}
	var out day
	if err := json.Unmarshal(text, &out); err != nil || out != in {
		t.Fatalf("%v, %v", out, err)
	}
}
