package weather

import (
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
)

func TestAnHourThatSticksOutIsNamedAndATurnOfTheWeatherIsNot(t *testing.T) {
	at := time.Date(2027, 6, 17, 6, 0, 0, 0, time.UTC)
	row := func(airs ...float64) []Hour {
		var hours []Hour
		for i, a := range airs {
			half := quantity.Percent(0.5)
			hours = append(hours, Hour{Time: at.Add(time.Duration(i) * time.Hour), Air: quantity.Celsius(a), Humidity: &half, Wind: 3})
		}
		return hours
	}
	if odd := Oddities(row(20, 21, 36, 22, 23)); len(odd) != 1 || odd[0].Index != 2 || odd[0].Field != "air" {
		t.Errorf("%+v", odd)
	}
	if odd := Oddities(row(28, 27, 16, 15, 15)); len(odd) != 0 {
		t.Errorf("a front passes for a slip: %+v", odd)
	}
	windy := row(20, 20, 20)
	windy[1].Wind = 20
	if odd := Oddities(windy); len(odd) != 1 || odd[0].Field != "wind" {
		t.Errorf("%+v", odd)
	}
}
