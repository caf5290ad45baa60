package cure

import (
	"math"

	"slabwright/internal/trade/hydration"
)

// Expansion is αT of concrete, 1/K; 8 to 12e-6 by aggregate.
const Expansion = 10e-6

// StrainStep is a free shortening that begins at an age in days; positive shortens.
type StrainStep struct{ Age, Strain float64 }

// CreepCoefficient is how much a load put on at age ti has crept by age t, days.
//
//	φ = 2.35 γ · 1.25 ti^−0.118 · (t − ti)^0.6/(10 + (t − ti)^0.6)
//
// γ is the product of humidity and size factors. Ages below one day count as one in ti^−0.118: the rule is for moist-cured
// concrete older than a day. Source: ACI 209R, recalled. Checked: CUR-50.
func CreepCoefficient(t, ti, gamma float64) float64 {
	if t <= ti {
		return 0
	}
	x := math.Pow(t-ti, 0.6)
	return 2.35 * gamma * 1.25 * math.Pow(math.Max(1, ti), -0.118) * x / (10 + x)
}

// RestrainedStress is the tension at age t (days, equivalent) from free shortenings that are partly held, MPa.
//
//	σ(t) = Kr Σ E(ti) Δεi/[1 + 0.8 φ(t, ti)]      E = 4700 √S
//
// Source: superposition with an aging coefficient of 0.8, common practice; E after ACI 318. Checked: CUR-50.
func RestrainedStress(steps []StrainStep, t, restraint, gamma float64, curve hydration.Strength) float64 {
	sum := 0.0
	for _, s := range steps {
		if s.Age <= t {
			sum += hydration.Modulus(curve.At(s.Age)) * s.Strain / (1 + aging*CreepCoefficient(t, s.Age, gamma))
		}
	}
	return restraint * sum
}

// FrictionStress is the tension in the middle of a panel that shrinks on its base.
//
//	σf = μ γc L/2
//
// μ friction (0.5 on plastic sheet over sand, 1.5 on stone, 2 bonded), γc weight in N/m³, L panel length in m; Pa. Source:
// common practice. Checked: CUR-48.
func FrictionStress(friction, weight, length float64) float64 { return friction * weight * length / 2 }

// CurlStress is the tension from a difference of temperature between top and bottom.
//
//	σc = E αT ΔT C/[2(1 − ν)]
//
// C Bradbury's factor, 1 for a long slab; Pa from E in Pa. Source: Westergaard and Bradbury's form. Checked: CUR-49.
func CurlStress(modulus, expansion, difference, poisson, factor float64) float64 {
	return modulus * expansion * difference * factor / (2 * (1 - poisson))
}

// JointOpening is how far a joint opens.
//
//	Δ = L (εsh + αT ΔT)
func JointOpening(length, shrinkage, expansion, difference float64) float64 {
	return length * (shrinkage + expansion*difference)
}
