package survey

import (
	"fmt"
	"math"
)

// steelExpansion is the expansion of steel tape, 1/K; standardTape the temperature it is made for, °C.
// Source: elementary surveying texts (recalled).
const (
	steelExpansion = 11.6e-6
	standardTape   = 20.0
)

// Gravity turns the mass of a tape into its weight, m/s².
const gravity = 9.80665

// SlopeDistance returns the level distance of a taped slope.
//
//	h = √(s² − Δz²)
//
// s along the slope, Δz difference in height, m; error when |Δz| > s. Source: Pythagoras.
func SlopeDistance(slope, rise float64) (float64, error) {
	if err := aboveZero("slope distance", slope); err != nil {
		return 0, err
	}
	if !(math.Abs(rise) <= slope) {
		return 0, fmt.Errorf("survey: a tape of %g m cannot climb %g m: check the heights", slope, rise)
	}
	return math.Sqrt((slope - rise) * (slope + rise)), nil
}

// TemperatureCorrection returns what to add to a steel tape's reading, metres.
//
//	C_t = 11.6e-6 L (T − 20)
//
// L reading, m; T tape temperature, °C. Source: elementary surveying texts (recalled).
func TemperatureCorrection(length, temperature float64) float64 {
	return steelExpansion * length * (temperature - standardTape)
}

// SagCorrection returns what to add to the reading of a tape hanging free between its ends, metres (never positive).
//
//	C_s = −w² L³ / (24 P²)
//
// w weight per metre, N/m, from massPerMetre, kg/m; L unsupported span, m; P pull, N. Good to a few per cent of itself
// while the sag is below a tenth of the span. Source: elementary surveying texts (recalled).
func SagCorrection(massPerMetre, span, pull float64) (float64, error) {
	if err := aboveZero("tape mass, span or pull", massPerMetre, span, pull); err != nil {
		return 0, err
	}
	w := massPerMetre * gravity
	return -w * w * span * span * span / (24 * pull * pull), nil
}

// PullCorrection returns what to add to the reading of a tape pulled harder or softer than when it was made, metres.
//
//	C_p = (P − P0) L / (A E)
//
// P pull, P0 standard pull, N; L reading, m; A cross-section, m²; E modulus, Pa. Source: Hooke's law.
func PullCorrection(length, pull, standardPull, section, modulus float64) (float64, error) {
	if err := aboveZero("tape section or modulus", section, modulus); err != nil {
		return 0, err
	}
	return (pull - standardPull) * length / (section * modulus), finite("pull or length", pull, standardPull, length)
}
