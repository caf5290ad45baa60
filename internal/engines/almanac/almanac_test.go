package almanac

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"slabwright/internal/engines/quantity"
)

func zone(t *testing.T, name string) *time.Location {
	t.Helper()
	z, err := Zone(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func TestDaysOfTheClockChangeAreShorterAndLonger(t *testing.T) {
	chicago := zone(t, "America/Chicago")
	for date, want := range map[string]float64{"2026-03-08": 23, "2026-11-01": 25, "2026-07-01": 24} {
		noon, err := time.ParseInLocation("2006-01-02 15:04", date+" 12:00", chicago)
		if err != nil {
			t.Fatal(err)
		}
		if got := Midnight(noon, 1).Sub(Midnight(noon, 0)).Hours(); got != want {
			t.Errorf("%s lasts %v h, not %v", date, got, want)
		}
	}
}

func TestDaylightFollowsTheClockOfTheSite(t *testing.T) {
	chicago := zone(t, "America/Chicago")
	place := Place{Latitude: 41.9 * math.Pi / 180, Longitude: -87.6 * math.Pi / 180}
	before := DayAt(time.Date(2026, 3, 7, 12, 0, 0, 0, chicago), place)
	after := DayAt(time.Date(2026, 3, 8, 12, 0, 0, 0, chicago), place)
	if shift := after.Rise.Hour()*60 + after.Rise.Minute() - before.Rise.Hour()*60 - before.Rise.Minute(); shift < 50 || shift > 60 {
		t.Errorf("sunrise moved %d minutes on the clock, not about 58", shift)
	}
}

func TestRoundingIsLater(t *testing.T) {
	adelaide := zone(t, "Australia/Adelaide") // half an hour off the hour
	at := time.Date(2026, 6, 11, 14, 1, 0, 0, adelaide)
	if got := Later(at, time.Hour); got.Hour() != 15 || got.Minute() != 0 {
		t.Errorf("14:01 rounds to %v", got)
	}
	if got := Later(Later(at, time.Hour), time.Hour); got.Hour() != 15 {
		t.Errorf("a full hour moved to %v", got)
	}
	if got := NextMidnight(at); got.Day() != 12 || got.Hour() != 0 {
		t.Errorf("the date rounds to %v", got)
	}
	if got := NextMidnight(NextMidnight(at)); got.Day() != 12 {
		t.Errorf("a midnight moved to %v", got)
	}
}

func TestWordsOfTheClock(t *testing.T) {
	at := time.Date(2026, 8, 4, 13, 3, 0, 0, time.UTC)
	for got, want := range map[string]string{
		Clock(at, quantity.US): "1:05 pm", Clock(at, quantity.Metric): "13:05", Date(at, quantity.US): "Tue Aug 4, 2026",
		Stamp(at, quantity.Metric): "Tue 4 Aug 13:05",
	} {
		if got != want {
			t.Errorf("%q, not %q", got, want)
		}
	}
}

func TestUnknownZonesSayWhatToType(t *testing.T) {
	for _, name := range []string{"Chicago time", "Local", "../etc"} {
		if _, err := Zone(name); err == nil {
			t.Errorf("%q passed for a zone", name)
		}
	}
	if z, err := Zone(""); z != nil || err != nil {
		t.Errorf("no zone: %v, %v", z, err)
	}
}

func TestTheSunIsLowestAtItsRiseAndHighestAtNoon(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := Place{Latitude: rapid.Float64Range(-1.1, 1.1).Draw(t, "latitude"), Longitude: rapid.Float64Range(-3.1, 3.1).Draw(t, "longitude")}
		at := time.Date(2026, 1, 1, 12, 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(0, 3650).Draw(t, "day"))
		day := DayAt(at, place)
		noon := SunAt(day.Noon, place).Zenith
		if day.Kind == Ordinary {
			for _, edge := range []time.Time{day.Rise, day.Set} {
				// Declination moves up to 0.4° a day and is taken at noon: a quarter of a day leaves 0.11°.
				if z := SunAt(edge, place).Zenith / rad; math.Abs(z-horizon) > 0.15 {
					t.Fatalf("zenith %v at %v", z, edge)
				}
			}
		}
		for _, minutes := range []int{-40, 40} {
			if SunAt(day.Noon.Add(time.Duration(minutes)*time.Minute), place).Zenith < noon-1e-4 {
				t.Fatalf("higher %d minutes from noon", minutes)
			}
		}
	})
}

func TestAClockIsKnownByTheTimesGivenOnIt(t *testing.T) {
	plant := time.FixedZone("plant", -5*3600)
	given := time.Date(2027, 6, 1, 7, 0, 0, 0, plant)
	if zone, err := ZoneOf("plant", time.Time{}, given); err != nil || zone != plant {
		t.Errorf("the clock of the time given: %v, %v", zone, err)
	}
	if zone, err := ZoneOf("Local", given); err != nil || zone != nil {
		t.Errorf("a local clock that no time shows: %v, %v", zone, err)
	}
	if zone, err := ZoneOf("Europe/Rome", given); err != nil || zone.String() != "Europe/Rome" {
		t.Errorf("%v, %v", zone, err)
	}
	if _, err := ZoneOf("plant"); err == nil {
		t.Error("a clock nobody knows passed")
	}
}
