package quantity

import (
	"math"
	"testing"
)

// seeds are the typed texts of the table, so that mutation starts from every grammar.
func seeds(f *testing.F) {
	f.Helper()
	for _, text := range []string{"", "-1", "1e99 m", "12' 7 3/8\"", "1/0", "1:0", "9,7", "½", "1 250", "R-2", "$5 a yard", "1 h 20", "12:00 noon", "29.2."} {
		f.Add(text, "ft", "de-DE")
	}
	for _, text := range []string{"40'6", "7 3/8", "2 pct", "1 in/12 ft", "84F", "4.75 tons", "0700", "thu 11 june", "6/11/26", "11 and a quarter", "three quarters of an hour"} {
		f.Add(text, "", "en-US")
	}
}

// sound fails unless a reading is what every reader promises: a finite value with a read-back, or an error that says what
// to do, never both.
func sound(t *testing.T, name, text string, got reading, err error) {
	t.Helper()
	switch {
	case err != nil && (got.si != 0 || err.Error() == ""):
		t.Errorf("%s %q: error %v with value %v", name, text, err, got.si)
	case err == nil && (math.IsNaN(got.si) || math.IsInf(got.si, 0)):
		t.Errorf("%s %q is %v", name, text, got.si)
	case err == nil && got.heard.ReadBack == "":
		t.Errorf("%s %q has no read-back", name, text)
	case err == nil && got.heard.Ask != nil && len(got.heard.Ask.Choices) == 0:
		t.Errorf("%s %q asks without a choice", name, text)
	}
}

func FuzzReadTextLength(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text, unit, locale string) {
		box := Box{Name: "side", Unit: unit, Locale: locale, Low: 1, High: 400}
		got, err := as[Length](text, box)
		sound(t, "length", text, got, err)
		if err == nil && got.si < 0 {
			t.Errorf("%q is a negative side", text)
		}
		if err == nil && got.heard.Exact == "" {
			t.Errorf("%q has no exact value", text)
		}
		elevation, err := as[Length](text, Box{Name: "elevation", Locale: locale})
		sound(t, "elevation", text, elevation, err)
	})
}

func FuzzReadTextSlope(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text, unit, locale string) {
		got, err := as[Slope](text, Box{Name: "slope", Unit: unit, Locale: locale, Low: 1, High: 12})
		sound(t, "slope", text, got, err)
		if err == nil && got.si < 0 {
			t.Errorf("%q is a negative slope", text)
		}
	})
}

func FuzzReadTextTime(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text, _, locale string) {
		got, err := as[Time](text, Box{Name: "haul", Unit: "min", Locale: locale, Low: 10, High: 90})
		sound(t, "duration", text, got, err)
	})
}

// FuzzReadTextAmounts runs every type that is a number with a unit.
func FuzzReadTextAmounts(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text, unit, locale string) {
		for name, read := range readers {
			if name == "clock" || name == "date" {
				continue
			}
			for _, box := range []Box{{Name: name, Locale: locale, Low: 2, High: 3}, {Name: name, Unit: unit, System: Metric}} {
				got, err := read(text, box)
				sound(t, name, text, got, err)
			}
		}
	})
}

func FuzzReadTextClock(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text, _, locale string) {
		got, err := readers["clock"](text, Box{Name: "first truck", Locale: locale, Low: 4, High: 15})
		sound(t, "clock", text, got, err)
		if got.si < 0 || got.si >= 86400 {
			t.Errorf("%q is %v s past midnight", text, got.si)
		}
	})
}

func FuzzReadTextDate(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text, _, locale string) {
		var d Date
		heard, err := d.ReadText(text, Box{Name: "pour day", Locale: locale, Today: today})
		if err != nil {
			if !d.IsZero() {
				t.Errorf("%q: error %v with %s", text, err, d)
			}
			return
		}
		if DateOf(d.Time()) != d || heard.ReadBack != d.String() {
			t.Errorf("%q is no day: %#v, %s", text, d, heard.ReadBack)
		}
	})
}

func FuzzReadTextSystem(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text, _, _ string) {
		var s System
		if heard, err := s.ReadText(text, Box{}); err == nil && heard.ReadBack != s.String() {
			t.Errorf("%q reads back %q", text, heard.ReadBack)
		}
	})
}
