package slab

import (
	"math"

	"slabwright/internal/engines/winkler"
)

// bradbury is the share of the fully restrained curling stress that a panel of the given length over l keeps at its
// middle.
//
//	C = 1 − 2 (sinλ coshλ + cosλ sinhλ)/(sin2λ + sinh2λ)        λ = (L/l)/√8
//
// This is Bradbury's 1 − [2 cosλ coshλ/(sin2λ+sinh2λ)](tanλ+tanhλ) multiplied out, which has no pole at λ = π/2. Source:
// Bradbury 1938 (recalled). Valid for L/l from 2 to 12, beyond which C tends to 1. Checked: STR-17.
func bradbury(lengthOverRadius float64) float64 {
	lambda := lengthOverRadius / math.Sqrt(8)
	if lambda > 40 {
		return 1 // cosh would overflow and C differs from 1 by less than 1e-17
	}
	return 1 - 2*(math.Sin(lambda)*math.Cosh(lambda)+math.Cos(lambda)*math.Sinh(lambda))/(math.Sin(2*lambda)+math.Sinh(2*lambda))
}

// bradburyPeak is the L/l at which C is largest: λ = π, where C = 1 + 1/cosh π = 1.0863. A thicker slab has a smaller L/l, so
// past the peak the thinner slab's C would be the smaller.
const bradburyPeak = 2 * math.Sqrt2 * math.Pi

// bradburySafe is bradbury held at its largest value past the peak: it never falls as a panel gets longer.
func bradburySafe(lengthOverRadius float64) float64 {
	return bradbury(math.Min(lengthOverRadius, bradburyPeak))
}

// curling is the stress in a panel that is warmer or colder on top, Pa, without a wheel. Positive: tension at the bottom.
type curling struct{ Interior, Edge float64 }

// curlingStress is the stress of a temperature difference ΔT = top − bottom (K) in a panel length × width.
//
//	interior: σ = EαΔT/(2(1−ν²)) · (C_x + ν C_y)        edge: σ = EαΔT C/2
//
// Source: Bradbury 1938 (recalled): the slab stays in contact, which is on the safe side at the middle when its corners
// lift. Against plate elements (STR-18): middle 0.4 % high, edge 2 % low. Checked: STR-18.
func curlingStress(p winkler.Plate, alpha, difference, cLong, cShort float64) curling {
	full := p.E * alpha * difference / 2
	return curling{
		Interior: full / (1 - p.Nu*p.Nu) * (cLong + p.Nu*cShort),
		Edge:     full * math.Max(cLong, cShort),
	}
}

// cornerCurl is the tension that a colder top adds under a wheel of contact radius a at a corner, Pa, positive for ΔT < 0
// at the top face.
//
//	σ = EαΔT/(3(1−ν)) · √(a/l)
//
// Source: Bradbury 1938 (recalled).
func cornerCurl(p winkler.Plate, alpha, difference, a float64) float64 {
	return p.E * alpha * difference / (3 * (1 - p.Nu)) * math.Sqrt(a/p.Radius())
}
