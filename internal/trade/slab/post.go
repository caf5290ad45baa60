package slab

import "math"

// Strength reduction for plain concrete, and the load factor on jacks and posts (live load), both ACI 318 (recalled).
const (
	plainPhi   = 0.60
	loadFactor = 1.6
)

// groundAllowance is taken off a slab cast on ground before shear is checked: 50 mm (2 in).
const groundAllowance = 0.050

// bearingStrength is what concrete bears under a square plate before it crushes, N, reduced.
//
//	P = φ 0.85 f'c A        φ = 0.60
//
// Source: ACI 318, plain concrete (recalled).
func bearingStrength(fc, side float64) float64 { return plainPhi * 0.85 * fc * side * side }

// punching is the resistance of a plain slab to a plate breaking through.
type punching struct {
	Depth     float64 // h_eff, m
	Perimeter float64 // b₀, m
	Nominal   float64 // V_n, N
	Reduced   float64 // φV_n, N
}

// punchingStrength is the resistance to a plate of a short side and an aspect (long over short) on a slab h thick.
//
//	h_eff = h − 50 mm      b₀ = 2(s + s·β) + 4 h_eff      V_n = 1.33(1 + 2/β) √f'c b₀ h_eff ≤ 2.66 √f'c b₀ h_eff  (psi)
//
// For a square plate b₀ = 4(s + h_eff). The soil's push from below is left out, which is safe. Source: ACI 318, plain
// concrete (recalled); 2.66 psi^½ is 0.2209 MPa^½, the code's 0.22 rounded. Checked: STR-32.
func punchingStrength(fc, side, aspect, h float64) punching {
	depth := math.Max(h-groundAllowance, 0)
	p := punching{Depth: depth, Perimeter: 2*side*(1+aspect) + 4*depth}
	coefficient := math.Min(1.33*(1+2/aspect), 2.66)
	p.Nominal = coefficient * math.Sqrt(fc/psi) * psi * p.Perimeter * depth
	p.Reduced = plainPhi * p.Nominal
	return p
}

// contactRadius is the radius of the disc that a load presses at a pressure, m: a = √(P/(πp)). Checked: STR-31.
func contactRadius(load, pressure float64) float64 { return math.Sqrt(load / (math.Pi * pressure)) }

// tyrePrint is the rectangle that stands for a tyre's print, m: 0.8712 L by 0.6 L with area 0.5227 L² (PCA 1966,
// recalled).
func tyrePrint(load, pressure float64) (length, width float64) {
	l := math.Sqrt(load / pressure / 0.5227)
	return 0.8712 * l, 0.6 * l
}

// aisleLoad is the uniform load beside an unloaded aisle that raises the allowed tension in the aisle's top, Pa.
//
//	w = 257.876 σ √(k h/E)      w psf; σ allowed, psi; k pci; h in; E psi
//
// Source: US Army TM 5-809-12 (recalled).
func aisleLoad(allowed, k, h, e float64) float64 {
	psf := psi / 144
	return 257.876 * (allowed / psi) * math.Sqrt(k/pci*(h/0.0254)/(e/psi)) * psf
}
