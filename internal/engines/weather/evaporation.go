package weather

import "math"

// Evaporation here is water lost from a wet surface in kg/m²/s, negative for condensation, from the surface's and the air's
// temperature (°C), the air's humidity (0–1) and the wind half a metre above it (m/s). Published comment on all three forms:
// true rates lie within about 40 % of the estimate.

const perHour = 1.0 / 3600

// lbft2 is one lb/ft² in kg/m².
const lbft2 = 0.45359237 / (0.3048 * 0.3048)

const mph = 0.44704

// EvaporationUno is the form in SI units.
//
//	E = 5([Tc + 18]^2.5 − r[Ta + 18]^2.5)(V + 4)·10⁻⁶      kg/m²/h, °C, km/h
//
// Temperatures below −18 °C count as −18. Source: Uno (1998). Checked: CUR-01, CUR-03, CUR-07, CUR-08.
func EvaporationUno(surface, air, humidity, wind float64) float64 {
	factor, airTerm := DryingUno(air, humidity, wind)
	return factor * (power25(surface+18) - airTerm)
}

// DryingUno is the same form as a function of the surface alone: E = factor ([Tc + 18]^2.5 − air), kg/m²/s.
func DryingUno(air, humidity, wind float64) (factor, airTerm float64) {
	return 5e-6 * (3.6*wind + 4) * perHour, humidity * power25(air+18)
}

// EvaporationUnoUS is the form of the same paper in US units, 2–5 % apart because the SI constants are rounded.
//
//	E = (Tc^2.5 − r Ta^2.5)(1 + 0.4V)·10⁻⁶      lb/ft²/h, °F, mph
//
// Temperatures below 0 °F count as 0. Source: Uno (1998), recalled. Checked: CUR-04.
func EvaporationUnoUS(surface, air, humidity, wind float64) float64 {
	drive := power25(1.8*surface+32) - humidity*power25(1.8*air+32)
	return 1e-6 * drive * (1 + 0.4*wind/mph) * lbft2 * perHour
}

func power25(x float64) float64 {
	x = math.Max(0, x)
	return x * x * math.Sqrt(x)
}

// EvaporationMenzel is the equation behind the evaporation chart.
//
//	E = 0.315 (e0 − ea)(0.253 + 0.060V)      kg/m²/h, kPa, km/h;      e0 = es(Tc), ea = r es(Ta)
//
// Source: Menzel (1954), recalled. Reading the chart is good to about 0.1 kg/m²/h. Checked: CUR-02.
func EvaporationMenzel(surface, air, humidity, wind float64) float64 {
	drive := (VapourPressure(surface) - humidity*VapourPressure(air)) / 1000
	return 0.315 * drive * (0.253 + 0.060*3.6*wind) * perHour
}

// EvaporationMenzelUS is the same equation with its US coefficients.
//
//	E = 0.44 (e0 − ea)(0.253 + 0.096V)      lb/ft²/h, psi, mph
//
// Source: Menzel (1954), recalled. Checked: CUR-05, CUR-06.
func EvaporationMenzelUS(surface, air, humidity, wind float64) float64 {
	const psi = 0.45359237 * 9.80665 / (0.0254 * 0.0254)
	drive := (VapourPressure(surface) - humidity*VapourPressure(air)) / psi
	return 0.44 * drive * (0.253 + 0.096*wind/mph) * lbft2 * perHour
}
