package weather

import (
	"math"
	"time"

	"slabwright/internal/engines/quantity"
)

// Shift is how the air at one instant was found to differ from its forecast. Zero: not at all, and calm.
type Shift struct {
	At       time.Time
	Air, Dew float64 // K, found less told
	Wind     float64 // found over told, 0 to …
}

// How a Shift wears off: whole within an hour of its instant, so that it holds between two hours of a forecast, then along a straight
// line to nothing. Own rule: the weather of the morning says little of the evening's.
const (
	ShiftWhole = time.Hour
	ShiftGone  = 12 * time.Hour
)

// Weight is the share of the shift that is left at an instant, 0 to 1, before it as after.
func (s Shift) Weight(at time.Time) float64 {
	off := at.Sub(s.At).Abs()
	return min(1, max(0, float64(ShiftGone-off)/float64(ShiftGone-ShiftWhole)))
}

// Apply is the hours with the shift in them; hours without Problems stay so. The dew point carries the moisture: where it was not given
// it takes the place of the humidity, and it is never above the air.
func (s Shift) Apply(hours []Hour) []Hour {
	out := make([]Hour, len(hours))
	for i, h := range hours {
		if w := s.Weight(h.Time); w > 0 {
			c := h.conditions()
			air := min(hottestAir, max(coldestAir, c.Air+w*s.Air))
			dew := quantity.Temp(max(-90, min(air, c.Dew+w*s.Dew)))
			h.Air, h.Dew, h.Humidity = quantity.Temp(air), &dew, nil
			h.Wind = quantity.Speed(min(strongestWind, c.Wind*math.Pow(s.Wind, w)))
		}
		out[i] = h
	}
	return out
}
