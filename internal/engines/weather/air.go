// Package weather answers what the air does at a surface outdoors: moisture, wind near the ground, sunshine, the sky's
// warmth, heat carried off by wind, water lost from a wet surface; and it holds hourly series as times and values that
// refuse to answer across long gaps. Temperatures are in °C, humidity a ratio 0–1, pressure in Pa, wind in m/s, radiation in
// W/m², angles in radians.
package weather

import "math"

// The Magnus coefficients over water, pressure in Pa, temperature in °C. Source: WMO-No. 8, recalled; within 0.2 % of the
// steam tables between −20 and 50 °C.
const (
	magnusP = 611.2
	magnusA = 17.62
	magnusB = 243.12
)

// Kelvin is 0 °C on the absolute scale.
const Kelvin = 273.15

// VapourPressure is the pressure of water vapour over water at temperature t, Pa.
//
//	es = 611.2 exp(17.62 T/(243.12 + T))
//
// Source: WMO-No. 8, recalled. Range −45…60 °C; below −200 °C it is held at that value. Checked: CUR-12.
func VapourPressure(t float64) float64 {
	t = math.Max(t, -200)
	return magnusP * math.Exp(magnusA*t/(magnusB+t))
}

// dryest keeps the logarithm of humidity finite.
const dryest = 1e-4

// DewPoint is the temperature to which air at t with humidity r must cool to be full of vapour.
//
//	g = ln r + 17.62 T/(243.12 + T)      Td = 243.12 g/(17.62 − g)
//
// Source: inverse of VapourPressure. r is held between 0.0001 and 1. Checked: CUR-12, CUR-14.
func DewPoint(t, r float64) float64 {
	t = math.Max(t, -200)
	g := math.Log(math.Min(1, math.Max(dryest, r))) + magnusA*t/(magnusB+t)
	return magnusB * g / (magnusA - g)
}

// Humidity is the relative humidity, 0–1, of air at t with dew point td; a dew point above the air counts as full.
func Humidity(t, td float64) float64 {
	return math.Min(1, VapourPressure(td)/VapourPressure(t))
}

// WetBulb is the temperature of a wetted thermometer in moving air at sea level.
//
//	Tw = T atan(0.151977√(RH + 8.313659)) + atan(T + RH) − atan(RH − 1.676331) + 0.00391838 RH^1.5 atan(0.023101 RH) − 4.686035
//
// RH in per cent, angles in radians. Source: Stull (2011). Range 5–99 %, −20…50 °C, error −1…+0.65 K; humidity outside is
// held at the ends. Checked: CUR-13, CUR-14.
func WetBulb(t, r float64) float64 {
	rh := 100 * math.Min(0.99, math.Max(0.05, r))
	return t*math.Atan(0.151977*math.Sqrt(rh+8.313659)) + math.Atan(t+rh) - math.Atan(rh-1.676331) +
		0.00391838*math.Pow(rh, 1.5)*math.Atan(0.023101*rh) - 4.686035
}

// OpenGround is the roughness length of open ground with short grass, m.
const OpenGround = 0.03

// WindFactor turns wind at one height into wind at another over ground of a roughness, all in metres.
//
//	V(z)/V(z_ref) = ln(z/z0)/ln(z_ref/z0)
//
// Source: logarithmic law. Heights at or below the roughness give 0. Checked: CUR-09.
func WindFactor(from, to, roughness float64) float64 {
	if from <= roughness || to <= roughness || roughness <= 0 {
		return 0
	}
	return math.Log(to/roughness) / math.Log(from/roughness)
}
