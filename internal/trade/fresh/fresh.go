// Package fresh answers: may this load be taken? It holds the rules that fresh concrete is accepted by at the chute: slump, air,
// temperature, and the water that may still be let in. The mix stage plans by them, the order stage judges tickets by them.
package fresh

import (
	"math"

	"slabwright/internal/engines/quantity"
)

// SlumpRange is what ASTM C94 accepts at the chute. As nominal: up to 2 in ±1/2, to 4 in ±1, above ±1 1/2 (50 ±15, 100 ±25,
// above ±40 mm). As maximum: up to 3 in +0 -1 1/2, above +0 -2 1/2 (75: 40, above 65 mm). Source: ASTM C94 (recalled).
// Checked: CON-35.
func SlumpRange(s quantity.System, ordered quantity.Length, maximum bool) (low, high quantity.Length) {
	type step struct{ upTo, off float64 }
	unit, steps := quantity.Inches, []step{{2, 0.5}, {4, 1}, {math.Inf(1), 1.5}}
	if maximum {
		steps = []step{{3, 1.5}, {math.Inf(1), 2.5}}
	}
	if s == quantity.Metric {
		unit, steps = quantity.Millimetres, []step{{50, 15}, {100, 25}, {math.Inf(1), 40}}
		if maximum {
			steps = []step{{75, 40}, {math.Inf(1), 65}}
		}
	}
	at := float64(ordered) / float64(unit(1))
	for _, t := range steps {
		if at <= t.upTo+1e-9 {
			low, high = ordered-unit(t.off), ordered+unit(t.off)
			break
		}
	}
	if maximum {
		high = ordered
	}
	return max(0, low), high
}

// AirTolerance is how far the measured air may lie from the target, in points. Source: ACI 318-19, table 19.3.3.1; ASTM C94.
const AirTolerance = 0.015

// AirAccepted says whether measured air lies within 1.5 points of the order. Source: ASTM C94.
func AirAccepted(ordered, measured quantity.Percent) bool {
	return math.Abs(float64(measured-ordered)) <= AirTolerance+1e-9
}

// LeastTemperature is the coldest concrete may come, by the least dimension of what is poured: 55 °F under 12 in, 50 to 36 in,
// 45 to 72 in, 40 above (13, 10, 7, 5 °C). Source: ASTM C94-15a, 12.11. Checked: CON-36.
func LeastTemperature(s quantity.System, section quantity.Length) quantity.Temp {
	fahrenheit, celsius := 55.0, 13.0
	switch inches := section.Inches(); {
	case inches > 72:
		fahrenheit, celsius = 40, 5
	case inches >= 36:
		fahrenheit, celsius = 45, 7
	case inches >= 12:
		fahrenheit, celsius = 50, 10
	}
	if s == quantity.Metric {
		return quantity.Celsius(celsius)
	}
	return quantity.Fahrenheit(fahrenheit)
}

// HottestAllowed is the warmest concrete may be at discharge: 95 °F (35 °C). Source: ACI 301-20, ACI 305.1-14.
const HottestAllowed quantity.Temp = 35

// gallonMass is what the trade counts for a US gallon of water at room temperature.
const gallonMass = 8.345 * 0.45359237 // kg

// WaterMass is the mass of a volume of water counted by the gallon of 8.345 lb.
func WaterMass(v quantity.Volume) quantity.Mass {
	return quantity.Mass(quantity.In(v, "gal") * gallonMass)
}

// WaterVolume is the volume of a mass of water counted by the same gallon.
func WaterVolume(m quantity.Mass) quantity.Volume {
	return quantity.Of[quantity.Volume](float64(m)/gallonMass, "gal")
}

// SiteWater is the water that may still be added to a load: ((w/cm)max × cm - water batched) × volume, never below zero.
// Water batched includes the free moisture of the aggregates and is read from the ticket; without it nothing may be added.
// Once only, on arrival, when the slump is below the order; then 30 more turns of the drum at mixing speed.
// Source: ASTM C94 up to 2017 (recalled). Checked: CON-32.
func SiteWater(limit float64, cementitious, batched quantity.Density, load quantity.Volume) quantity.Mass {
	return quantity.Mass(math.Max(0, (limit*float64(cementitious)-float64(batched))*float64(load)))
}
