package known

import (
	"math"
	"reflect"

	"slabwright/internal/engines/quantity"
)

// InMetric makes the assumed lengths of a stage's input round in metres: the trade's habits are told in inches and feet, and nobody
// who measures in millimetres sets a base of 102. What a person said, measured or another stage worked out stays. in is a pointer
// to the input struct.
func InMetric(in any) {
	walk(reflect.ValueOf(in).Elem(), "", func(_ string, _ reflect.StructTag, k entrant) bool {
		if length, ok := k.(*Length); ok && length.Origin == Assumed {
			length.Value, length.Low, length.High = roundMetric(length.Value), roundMetric(length.Low), roundMetric(length.High)
		}
		return true
	})
}

// metricSteps are what lengths are rounded to, by how long they are: millimetres under 20, fives under 150, tens under half a
// metre, fifties under two metres, hundreds beyond. None moves by more than 5 %, those under 20 mm by at most half a millimetre.
var metricSteps = []struct{ under, step float64 }{{0.02, 0.001}, {0.15, 0.005}, {0.5, 0.01}, {2, 0.05}, {math.Inf(1), 0.1}}

// roundMetric keeps zero and signs, and the order of any two lengths.
func roundMetric(l quantity.Length) quantity.Length {
	for _, s := range metricSteps {
		if math.Abs(float64(l)) < s.under {
			return quantity.Length(math.Round(math.Round(float64(l)/s.step)*s.step*1e6) / 1e6)
		}
	}
	return l
}
