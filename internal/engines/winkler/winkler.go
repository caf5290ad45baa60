// Package winkler solves thin plates on a bed of springs exactly where that can be done: the infinite plate under a point
// load or a disc (Kelvin functions), and the half-infinite plate under rectangular patches near its edge, free or held by
// a line of springs (one Fourier integral). It knows no concrete. All numbers are SI; w is positive down, a moment
// positive when it puts the bottom face in tension.
package winkler

import "math"

// Plate is a thin elastic plate on springs.
type Plate struct {
	E  float64 // modulus of elasticity, Pa
	H  float64 // thickness, m
	Nu float64 // Poisson's ratio
	K  float64 // stiffness of the bed, Pa/m
}

// Rigidity is the plate's bending stiffness per unit width, N·m.
//
//	D = E h³ / (12 (1 − ν²))
func (p Plate) Rigidity() float64 { return p.E * p.H * p.H * p.H / (12 * (1 - p.Nu*p.Nu)) }

// Radius is the radius of relative stiffness, m: how far the plate spreads a load.
//
//	l = (D/k)^¼
//
// Checked: STR-07.
func (p Plate) Radius() float64 { return math.Pow(p.Rigidity()/p.K, 0.25) }

// Stress is the bending stress at the face, Pa, of a moment m per unit width: σ = 6 m / h².
func (p Plate) Stress(m float64) float64 { return 6 * m / (p.H * p.H) }
