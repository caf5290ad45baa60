package slab

import (
	"math"

	"slabwright/internal/engines/quantity"
)

// ruptureOf is the modulus of rupture, Pa, of concrete of strength fc (Pa).
//
//	MR = K √f'c      f'c and MR in psi
//
// K 7.5 for a structural check (ACI 318, recalled); 8 for rounded gravel to 10 for crushed stone in pavements, 9 between
// (PCA and ACI 330R practice, recalled). Checked: STR-05.
func ruptureOf(fc, factor float64) float64 { return factor * math.Sqrt(fc/psi) * psi }

// ruptureMetric is ACI 318M's rounded form, 0.62 √f'c in MPa: 0.4 % below 7.5 √f'c in psi. Checked: STR-05.
func ruptureMetric(fc float64) float64 { return 0.62 * math.Sqrt(fc/1e6) * 1e6 }

// ruptureTwoThirds is ACI 330R-08's 2.3 f'c^(2/3) in psi (recalled).
func ruptureTwoThirds(fc float64) float64 { return 2.3 * math.Pow(fc/psi, 2.0/3) * psi }

// elasticityOf is the modulus of elasticity, Pa: E = 57 000 √f'c in psi (ACI 318, recalled). Checked: STR-05.
func elasticityOf(fc float64) float64 { return 57000 * math.Sqrt(fc/psi) * psi }

// elasticityMetric is ACI 318M's rounded form, 4700 √f'c in MPa: 0.7 % lower. Checked: STR-05.
func elasticityMetric(fc float64) float64 { return 4700 * math.Sqrt(fc/1e6) * 1e6 }

// ageFactor is the share of the 28-day strength reached at an age, type I cement, moist cured.
//
//	f'c(t)/f'c(28) = t / (4 + 0.85 t)      t days
//
// Source: ACI 209R (recalled). It gives 1.0072 at 28 days by its own rounding. Cold slows it: the maturity of the real slab
// rules where it is known. Checked: STR-06.
func ageFactor(age quantity.Time) float64 {
	t := age.Days()
	return t / (4 + 0.85*t)
}

// poisson is the Poisson's ratio of concrete used throughout the chapter.
const poisson = 0.15
