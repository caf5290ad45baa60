package pour

import (
	"errors"
	"math"
)

// Bleed is how a fresh slab gives water to its surface: Capacity in kg/m², Time constant in hours.
//
//	B(t) = Bc (1 − exp(−t/τb))
//
// A planning model, not a standard; order of ASTM C232 results, recalled. Checked: CUR-10, CUR-11.
type Bleed struct{ Capacity, Time float64 }

// By is the water given by t hours after placing, kg/m².
func (b Bleed) By(t float64) float64 { return b.Capacity * (1 - math.Exp(-t/b.Time)) }

// Rate is the water given at t hours, kg/m²/h.
func (b Bleed) Rate(t float64) float64 { return b.Capacity / b.Time * math.Exp(-t/b.Time) }

var errStaysWet = errors.New("pour: it stays wet: nothing evaporates")

// DriesAt is when a steady evaporation, kg/m²/h, has used up the bleed water, hours after placing: the first t > 0 with
// B(t) < E t. At once when evaporation is not slower than the first bleeding.
func (b Bleed) DriesAt(evaporation float64) (float64, error) {
	if evaporation <= 0 {
		return 0, errStaysWet
	}
	if b.Capacity/b.Time <= evaporation {
		return 0, nil
	}
	low, high := 0.0, b.Capacity/evaporation // B never exceeds the capacity
	for range 200 {
		middle := (low + high) / 2
		if b.By(middle) > evaporation*middle {
			low = middle
		} else {
			high = middle
		}
	}
	return high, nil
}

// Deficit is the water missing at the surface after t hours of steady evaporation, kg/m².
//
//	D(t) = max(0, W − B)
func (b Bleed) Deficit(evaporation, t float64) float64 {
	return math.Max(0, evaporation*t-b.By(t))
}

// The deficits at initial set that make the risk of plastic cracks medium and high, kg/m². Common practice, adjustable.
const (
	mediumDeficit = 0.1
	highDeficit   = 0.3
)

func riskWord(deficit float64) string {
	switch {
	case deficit < mediumDeficit:
		return "low"
	case deficit <= highDeficit:
		return "medium"
	}
	return "high"
}
