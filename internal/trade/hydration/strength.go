package hydration

import "math"

// Strength is a strength curve against equivalent age in days; strengths in MPa.
type Strength interface {
	// At is the strength at equivalent age te, days; zero before it begins.
	At(te float64) float64
	// AgeFor is the equivalent age, days, at which the strength is s; infinite when it never gets there.
	AgeFor(s float64) float64
}

// Hyperbolic is the curve of ASTM C1074's appendix.
//
//	S = Su k(te − t0)/(1 + k(te − t0)),      0 for te ≤ t0;      te = t0 + S/(k(Su − S))
//
// Ultimate Su in MPa, Rate k per day, Start t0 in days. Source: ASTM C1074, recalled. Checked: CUR-38, CUR-39.
type Hyperbolic struct{ Ultimate, Rate, Start float64 }

// At is the strength at te.
func (h Hyperbolic) At(te float64) float64 {
	if te <= h.Start {
		return 0
	}
	x := h.Rate * (te - h.Start)
	return h.Ultimate * x / (1 + x)
}

// AgeFor is the age at which the strength is s.
func (h Hyperbolic) AgeFor(s float64) float64 {
	switch {
	case s <= 0:
		return 0
	case s >= h.Ultimate:
		return math.Inf(1)
	}
	return h.Start + s/(h.Rate*(h.Ultimate-s))
}

// The default curve of an ordinary Type I/II mix at 20 °C, as shares of the specified strength; good to 20 %.
const (
	DefaultUltimate = 1.16 // of f'c
	DefaultRate     = 0.22 // per day
	DefaultStart    = 0.25 // days
)

// DefaultStrength is the curve of a mix of which only the specified strength is known, MPa: about 0.16 of it at one day,
// 0.44 at three, 0.70 at seven, all of it at 28.
func DefaultStrength(specified float64) Hyperbolic {
	return Hyperbolic{DefaultUltimate * specified, DefaultRate, DefaultStart}
}

// Exponential is the three-parameter curve of Freiesleben Hansen and Pedersen.
//
//	S = Su exp[−(τ/te)^β]
//
// Ultimate in MPa, Delay τ in days. Source: Freiesleben Hansen and Pedersen (1977), recalled. Checked: CUR-41.
type Exponential struct{ Ultimate, Delay, Shape float64 }

// At is the strength at te.
func (e Exponential) At(te float64) float64 {
	if te <= youngest {
		return 0
	}
	return e.Ultimate * math.Exp(-math.Pow(e.Delay/te, e.Shape))
}

// AgeFor is the age at which the strength is s.
func (e Exponential) AgeFor(s float64) float64 {
	return stretched(s, e.Ultimate, e.Delay, e.Shape)
}

// Logarithmic is Plowman's line, good only inside the ages it was fitted to.
//
//	S = a + b log10 te
//
// Source: Plowman (1956), recalled. Checked: CUR-42.
type Logarithmic struct{ Intercept, Slope float64 }

// At is the strength at te, never below zero.
func (l Logarithmic) At(te float64) float64 {
	if te <= youngest {
		return 0
	}
	return math.Max(0, l.Intercept+l.Slope*math.Log10(te))
}

// AgeFor is the age at which the strength is s.
func (l Logarithmic) AgeFor(s float64) float64 {
	if s <= 0 {
		return 0
	}
	if l.Slope <= 0 {
		return math.Inf(1)
	}
	return math.Pow(10, (s-l.Intercept)/l.Slope)
}

// Modulus is the elasticity of concrete of strength s, both MPa.
//
//	E = 4700 √S
//
// Source: ACI 318, recalled. Checked: CUR-50.
func Modulus(s float64) float64 { return 4700 * math.Sqrt(math.Max(0, s)) }

// Rupture is the bending strength of concrete of strength s, both MPa.
//
//	fr = 0.62 √S
//
// Source: ACI 318, recalled. Checked: CUR-50.
func Rupture(s float64) float64 { return 0.62 * math.Sqrt(math.Max(0, s)) }
