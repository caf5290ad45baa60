package weather

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
)

// How far an hour may stand off both its neighbours, on the same side, before it looks like a slip: weather turns, but it does not
// turn back within the hour by so much. Own rule.
const (
	oddAir      = 8.0  // K
	oddHumidity = 0.40 // ratio
	oddWind     = 10.0 // m/s
)

// Oddities lists hours that can be but stick out from the hour before and the hour after, both within the longest gap.
func Oddities(hours []Hour) []Problem {
	var out []Problem
	for i := 1; i+1 < len(hours); i++ {
		a, h, b := hours[i-1], hours[i], hours[i+1]
		if b.Time.Sub(a.Time) > 2*LongestGap {
			continue
		}
		stick := func(field string, before, v, after, limit float64, kind quantity.Kind) {
			if up, down := math.Min(v-before, v-after), math.Min(before-v, after-v); math.Max(up, down) > limit {
				say := func(x float64) string {
					return fmt.Sprintf("%s (%s)", quantity.Plain(x, kind).String(quantity.US), quantity.Plain(x, kind).String(quantity.Metric))
				}
				out = append(out, Problem{Index: i, Field: field, Given: say(v), Why: fmt.Sprintf("%s %s between %s and %s", field, say(v), say(before), say(after)), Then: "Check that hour."})
			}
		}
		stick("air", a.Air.Celsius(), h.Air.Celsius(), b.Air.Celsius(), oddAir, quantity.AsTemp)
		stick("wind", float64(a.Wind), float64(h.Wind), float64(b.Wind), oddWind, quantity.AsSpeed)
		if a.Humidity != nil && h.Humidity != nil && b.Humidity != nil {
			stick("humidity", float64(*a.Humidity), float64(*h.Humidity), float64(*b.Humidity), oddHumidity, quantity.AsPercent)
		}
	}
	return out
}
