package weather

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
)

// The forecast says at the instant of a reading what was read, whatever lies between two hours; twelve hours off it is as it was; and
// it never becomes a forecast that cannot be.
func TestAShiftHoldsAtItsInstantAndWearsOff(t *testing.T) {
	midnight := time.Date(2027, 6, 17, 0, 0, 0, 0, time.UTC)
	rapid.Check(t, func(t *rapid.T) {
		hours := make([]Hour, 49)
		for i := range hours {
			humidity := quantity.Percent(rapid.Float64Range(0.05, 1).Draw(t, "humidity"))
			hours[i] = Hour{Time: midnight.Add(time.Duration(i) * time.Hour), Air: quantity.Celsius(rapid.Float64Range(-45, 45).Draw(t, "air")),
				Humidity: &humidity, Wind: quantity.Speed(rapid.Float64Range(0, 13).Draw(t, "wind"))}
		}
		minutes := rapid.IntRange(0, 24*60).Draw(t, "minutes")
		s := Shift{At: midnight.Add(time.Duration(minutes) * time.Minute), Air: rapid.Float64Range(-15, 15).Draw(t, "shift"), Dew: rapid.Float64Range(-60, 60).Draw(t, "dew"), Wind: rapid.Float64Range(1.0/3, 3).Draw(t, "ratio")}
		told, err := NewForecast(hours, almanac.Place{})
		if err != nil {
			t.Fatal(err)
		}
		shifted, err := NewForecast(s.Apply(hours), almanac.Place{})
		if err != nil {
			t.Fatal(err)
		}
		before, _ := told.At(s.At)
		after, _ := shifted.At(s.At)
		if math.Abs(after.Air-before.Air-s.Air) > 1e-9 { // rounding of two straight lines
			t.Errorf("air %v, not %v and %v", after.Air, before.Air, s.Air)
		}
		if want := before.Wind * s.Wind; math.Abs(after.Wind-want) > 1e-9 {
			t.Errorf("wind %v, not %v", after.Wind, want)
		}
		if after.Dew > after.Air+1e-9 {
			t.Errorf("dew point %v over air %v", after.Dew, after.Air)
		}
		for i, h := range s.Apply(hours) {
			if off := h.Time.Sub(s.At).Abs(); off >= ShiftGone && h != hours[i] {
				t.Errorf("%v off it is still moved", off)
			}
		}
	})
}

func TestTheMoistureOfAShiftIsItsDewPoint(t *testing.T) {
	at := time.Date(2027, 6, 17, 6, 0, 0, 0, time.UTC)
	half := quantity.Percent(0.5)
	hours := []Hour{{Time: at, Air: quantity.Celsius(20), Humidity: &half, Wind: 2}}
	warmer := Shift{At: at, Air: 5, Wind: 1}.Apply(hours)[0].conditions()
	if want := DewPoint(20, 0.5); math.Abs(warmer.Dew-want) > 1e-9 || warmer.Humidity >= 0.5 {
		t.Errorf("warmer air of the same moisture: dew point %v, not %v; humidity %v", warmer.Dew, want, warmer.Humidity)
	}
	if cold := (Shift{At: at, Air: -15, Wind: 1}).Apply(hours)[0].conditions(); cold.Dew > cold.Air || cold.Humidity < 0.999 {
		t.Errorf("air cooled under its dew point is full: %+v", cold)
	}
}
