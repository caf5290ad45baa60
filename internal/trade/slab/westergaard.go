package slab

import (
	"math"

	"slabwright/internal/engines/winkler"
)

// euler is Euler's constant γ as the formulas print it.
const euler = 0.57721566490153286

// bending is what a formula gives: the stress at the face in tension (Pa) and the deflection at the load (m).
type bending struct{ Stress, Deflection float64 }

// equivalentRadius is the contact radius that makes thin-plate theory right under a small load on a thick slab, m.
//
//	b = √(1.6 a² + h²) − 0.675 h   for a < 1.724 h;   b = a   otherwise
//
// Interior loads only. Source: Westergaard 1926, as quoted. Checked: STR-08.
func equivalentRadius(a, h float64) float64 {
	if a < 1.724*h {
		return math.Sqrt(1.6*a*a+h*h) - 0.675*h
	}
	return a
}

// interiorStress is the tension at the bottom under a wheel far from any edge or joint, with the disc of radius r: b for
// the special theory, a for the ordinary one. The second term is for the disc's size.
//
//	σ  = 3P(1+ν)/(2πh²) · [ln(2l/r) + 1/2 − γ]
//	σ₂ = 3P(1+ν)/(64h²) · (r/l)²
//
// P load, N; h thickness, m; l radius of relative stiffness, m. Source: Westergaard 1926, as quoted. Valid for r/l up to
// about 0.6 and a slab of 8 l. Against the exact plate (STR-14) the ordinary theory is 5e-6 high. Checked: STR-09.
func interiorStress(p winkler.Plate, load, r float64) (first, second float64) {
	l := p.Radius()
	first = 3 * load * (1 + p.Nu) / (2 * math.Pi * p.H * p.H) * (math.Log(2*l/r) + 0.5 - euler)
	second = 3 * load * (1 + p.Nu) / (64 * p.H * p.H) * (r / l) * (r / l)
	return first, second
}

// interiorDeflection is the sink under a wheel far from edges, m.
//
//	w = P/(8kl²) · {1 + (1/2π) [ln(a/2l) + γ − 1.25] (a/l)²}
//
// Source: Westergaard 1939 (recalled); equals the exact plate to 5 digits. Checked: STR-09.
func interiorDeflection(p winkler.Plate, load, a float64) float64 {
	l := p.Radius()
	x := a / l
	return load / (8 * p.K * l * l) * (1 + (math.Log(x/2)+euler-1.25)*x*x/(2*math.Pi))
}

// edgeCircle is the tension along the edge, at the bottom, under a disc of radius a touching a free edge.
//
//	σ = 3(1+ν)P/(π(3+ν)h²) · {ln[Eh³/(100ka⁴)] + 1.84 − 4ν/3 + (1−ν)/2 + 1.18(1+2ν)a/l}
//	w = P√(2+1.2ν)/√(Eh³k) · [1 − (0.76+0.4ν)a/l]
//
// Source: Westergaard 1947 as put in order by Ioannides, Thompson and Barenberg 1985 (recalled). Against plate elements
// under a square of equal area (STR-20): stress 2 % low, deflection 5.6 % low. Checked: STR-10.
func edgeCircle(p winkler.Plate, load, a float64) bending {
	x := a / p.Radius()
	return bending{
		Stress:     edgeStress(p, load, a, 1.84-4*p.Nu/3+(1-p.Nu)/2+1.18*(1+2*p.Nu)*x),
		Deflection: edgeDeflection(p, load) * (1 - (0.76+0.4*p.Nu)*x),
	}
}

// edgeSemicircle is edgeCircle for a half disc with its straight side on the edge, carrying the whole load.
//
//	σ: constant 3.84 − 4ν/3 + 0.5(1+2ν)a/l        w: 1 − (0.323+0.17ν)a/l
//
// Source: as edgeCircle. Checked: STR-11.
func edgeSemicircle(p winkler.Plate, load, a float64) bending {
	x := a / p.Radius()
	return bending{
		Stress:     edgeStress(p, load, a, 3.84-4*p.Nu/3+0.5*(1+2*p.Nu)*x),
		Deflection: edgeDeflection(p, load) * (1 - (0.323+0.17*p.Nu)*x),
	}
}

func edgeStress(p winkler.Plate, load, a, constant float64) float64 {
	spread := math.Log(p.E * math.Pow(p.H, 3) / (100 * p.K * math.Pow(a, 4)))
	return 3 * (1 + p.Nu) * load / (math.Pi * (3 + p.Nu) * p.H * p.H) * (spread + constant)
}

func edgeDeflection(p winkler.Plate, load float64) float64 {
	return load * math.Sqrt(2+1.2*p.Nu) / math.Sqrt(p.E*math.Pow(p.H, 3)*p.K)
}

// edge1926 is the old edge formula, kept to compare with old books: about 20 % below edgeCircle.
//
//	σ = 0.572 P/h² · [4 log₁₀(l/b) + 0.359]        ν = 0.15
//
// Source: Westergaard 1926 (recalled). Checked: STR-12.
func edge1926(p winkler.Plate, load, a float64) float64 {
	return 0.572 * load / (p.H * p.H) * (4*math.Log10(p.Radius()/equivalentRadius(a, p.H)) + 0.359)
}

// corner1926 is the tension at the top, across the diagonal, of a free corner under a disc of radius a tangent to both
// edges.
//
//	σ = 3P/h² · [1 − (a₁/l)^0.6]      w = P/(kl²) · (1.1 − 0.88 a₁/l)      a₁ = a√2
//
// Source: Westergaard 1926 (recalled). Lost contact under a curled corner raises it. Checked: STR-13.
func corner1926(p winkler.Plate, load, a float64) bending {
	l := p.Radius()
	x := a * math.Sqrt2 / l
	return bending{
		Stress:     3 * load / (p.H * p.H) * (1 - math.Pow(x, 0.6)),
		Deflection: load / (p.K * l * l) * (1.1 - 0.88*x),
	}
}

// cornerSquare is corner1926 for a square of side c fitted into the corner.
//
//	σ = 3P/h² · [1 − (c/l)^0.72]      w = P/(kl²) · (1.205 − 0.69 c/l)
//
// Source: Ioannides, Thompson and Barenberg 1985 (recalled). Against plate elements at c/l 0.323 (STR-21): stress 5.2 %
// low, deflection 0.8 % low. Checked: STR-13.
func cornerSquare(p winkler.Plate, load, c float64) bending {
	l := p.Radius()
	x := c / l
	return bending{
		Stress:     3 * load / (p.H * p.H) * (1 - math.Pow(x, 0.72)),
		Deflection: load / (p.K * l * l) * (1.205 - 0.69*x),
	}
}

// cornerSection is how far from a corner, along its diagonal, the top cracks: 2√(a₁ l), m (Westergaard 1926, recalled).
func cornerSection(p winkler.Plate, a float64) float64 { return 2 * math.Sqrt(a*math.Sqrt2*p.Radius()) }
