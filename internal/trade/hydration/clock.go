package hydration

import "math"

// StrengthRef is the temperature at which the strength clock runs true, °C, and StrengthEnergy its activation energy,
// J/mol: a curve fitted with other values must bring its own.
const (
	StrengthRef    = 20.0
	StrengthEnergy = 40000.0
)

// Frozen is the temperature below which nothing counts, °C.
const Frozen = -10.0

const kelvin = 273.15

// AgeFactor is how fast a clock runs at temperature t against its reference, both in °C; energy in J/mol.
//
//	γ(T) = exp[Ea/R (1/Tr − 1/T)]      kelvin
//
// Source: ASTM C1074, recalled. Below −10 °C it is zero: hardening stops. Checked: CUR-36.
func AgeFactor(t, energy, ref float64) float64 {
	if !(t >= Frozen) {
		return 0
	}
	return math.Exp(energy / GasConstant * (1/(ref+kelvin) - 1/(t+kelvin)))
}

// EquivalentAge adds up temperatures, each held for the same step; the answer is in the step's unit.
//
//	te = Σ exp[−Q(1/T − 1/Tr)] Δt      Q = Ea/R
//
// Source: ASTM C1074, recalled. Checked: CUR-37.
func EquivalentAge(temps []float64, step, energy, ref float64) float64 {
	te := 0.0
	for _, t := range temps {
		te += AgeFactor(t, energy, ref) * step
	}
	return te
}

// NurseSaul adds up temperatures above a datum, each held for the same step; °C times the step's unit.
//
//	M = Σ (T − T0) Δt,      intervals with T ≤ T0 left out
//
// Source: ASTM C1074, recalled; T0 is 0 °C in later editions, −10 °C in older ones. Checked: CUR-37.
func NurseSaul(temps []float64, step, datum float64) float64 {
	m := 0.0
	for _, t := range temps {
		m += math.Max(0, t-datum) * step
	}
	return m
}

// EnergyFHP is the activation energy at a temperature, J/mol.
//
//	Ea = 33.5 kJ/mol at 20 °C and above;      33.5 + 1.47(20 − T) below
//
// Source: Freiesleben Hansen and Pedersen (1977), recalled.
func EnergyFHP(t float64) float64 {
	return 1000 * (33.5 + 1.47*math.Max(0, 20-t))
}
