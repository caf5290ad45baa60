package weather

import (
	"errors"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
)

var noon = time.Date(2026, 6, 11, 12, 0, 0, 0, time.FixedZone("", -5*3600))

func TestReadingsAreBridgedOverThreeHoursAndNoMore(t *testing.T) {
	times := []time.Time{noon, noon.Add(3 * time.Hour), noon.Add(7 * time.Hour)}
	if i, share, err := between(times, noon.Add(time.Hour)); err != nil || i != 0 || math.Abs(share-1.0/3) > 1e-15 {
		t.Errorf("one hour on: reading %d and %v, %v", i, share, err)
	}
	if i, share, err := between(times, times[2]); err != nil || i != 2 || share != 0 {
		t.Errorf("at the last reading: reading %d and %v, %v", i, share, err)
	}
	if _, _, err := between(times, noon.Add(5*time.Hour)); !errors.Is(err, ErrGap) {
		t.Errorf("in a gap of four hours: %v", err)
	}
	for _, h := range []time.Duration{-1, 8} {
		if _, _, err := between(times, noon.Add(h*time.Hour)); !errors.Is(err, ErrOutside) {
			t.Errorf("outside: %v", err)
		}
	}
}

func ptr[T any](v T) *T { return &v }

func TestImpossibleReadingsAreNamed(t *testing.T) {
	good := Hour{Time: noon, Air: 20, Dew: ptr(quantity.Temp(9.3)), Wind: 3}
	for field, spoil := range map[string]func(*Hour){
		"time":        func(h *Hour) { h.Time = time.Time{} },
		"air":         func(h *Hour) { h.Air = quantity.Temp(math.NaN()) },
		"wind":        func(h *Hour) { h.Wind = 468 },
		"dew":         func(h *Hour) { h.Dew = ptr(quantity.Temp(21)) },
		"rain":        func(h *Hour) { h.Rain = -1 },
		"rain_chance": func(h *Hour) { h.RainChance = ptr(quantity.Percent(60)) },
		"cloud":       func(h *Hour) { h.Cloud = ptr(quantity.Ratio(8)) },
		"solar":       func(h *Hour) { h.Solar = ptr(4000.0) },
		"humidity":    func(h *Hour) { h.Humidity = ptr(quantity.Percent(0.9)) },
	} {
		h := good
		spoil(&h)
		found := false
		for _, p := range Problems([]Hour{h}) {
			found = found || p.Field == field
		}
		if !found {
			t.Errorf("a bad %s passed", field)
		}
	}
	if p := Problems([]Hour{good}); len(p) > 0 {
		t.Errorf("a good hour is faulted: %v", p)
	}
	if p := Problems([]Hour{{Time: noon, Air: 20}}); len(p) != 1 || p[0].Field != "humidity" {
		t.Errorf("no moisture: %v", p)
	}
}

func TestForecastFillsInTheSunAndKeepsRainInItsHour(t *testing.T) {
	f, err := NewForecast([]Hour{
		{Time: noon, Air: 20, Humidity: ptr(quantity.Percent(0.5)), Wind: 2, Rain: quantity.Millimetres(3)},
		{Time: noon.Add(time.Hour), Air: 22, Humidity: ptr(quantity.Percent(0.5)), Wind: 4, Cloud: ptr(quantity.Ratio(0)), Solar: ptr(700.0)},
	}, almanac.Place{Latitude: 0.7, Longitude: -1.3})
	if err != nil {
		t.Fatal(err)
	}
	c, err := f.At(noon.Add(59 * time.Minute))
	if err != nil || c.Rain != 0.003 || c.RainChance != 1 || math.Abs(c.Wind-3.967) > 0.001 {
		t.Errorf("%+v, %v", c, err)
	}
	if c.Solar < 500 || c.Solar > 1100 {
		t.Errorf("sun at noon in June: %v W/m²", c.Solar)
	}
	if c, _ := f.At(noon.Add(time.Hour)); c.Solar != 700 || c.Rain != 0 {
		t.Errorf("given sun became %v, rain %v", c.Solar, c.Rain)
	}
}

func TestHotterDrierWindierNeverDriesSlower(t *testing.T) {
	forms := map[string]func(a, b, c, d float64) float64{"uno": EvaporationUno, "us": EvaporationUnoUS,
		"menzel": EvaporationMenzel, "menzel us": EvaporationMenzelUS}
	rapid.Check(t, func(t *rapid.T) {
		surface := rapid.Float64Range(5, 45).Draw(t, "surface")
		air := rapid.Float64Range(-5, 40).Draw(t, "air")
		humidity := rapid.Float64Range(0, 1).Draw(t, "humidity")
		wind := rapid.Float64Range(0, 20).Draw(t, "wind")
		more := rapid.Float64Range(0, 5).Draw(t, "more")
		for name, e := range forms {
			base := e(surface, air, humidity, wind)
			if e(surface+more, air, humidity, wind) < base-1e-15 {
				t.Fatalf("%s: a warmer surface dries slower", name)
			}
			if e(surface, air, humidity*(1-more/5), wind) < base-1e-15 {
				t.Fatalf("%s: drier air dries slower", name)
			}
			if base > 0 && e(surface, air, humidity, wind+more) < base {
				t.Fatalf("%s: more wind dries slower", name)
			}
		}
	})
}

func TestTheTwoFormsOfOnePaperAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temp := rapid.Float64Range(10, 35).Draw(t, "temperature")
		humidity := rapid.Float64Range(0.2, 0.8).Draw(t, "humidity")
		wind := rapid.Float64Range(0, 10).Draw(t, "wind")
		si, us := EvaporationUno(temp, temp, humidity, wind), EvaporationUnoUS(temp, temp, humidity, wind)
		if math.Abs(si/us-1) > 0.08 { // rounded constants: 2–5 % in the middle of the range
			t.Fatalf("%v against %v", si*3600, us*3600)
		}
	})
}

func TestDewPointAndHumidityAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		air := rapid.Float64Range(-30, 50).Draw(t, "air")
		r := rapid.Float64Range(0.01, 1).Draw(t, "humidity")
		if got := Humidity(air, DewPoint(air, r)); math.Abs(got-r) > 1e-9 {
			t.Fatalf("%v came back as %v", r, got)
		}
	})
}
