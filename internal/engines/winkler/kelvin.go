package winkler

import (
	"math"
	"math/cmplx"
)

// Kelvin evaluates the Kelvin functions ker, kei of order zero and their derivatives at x > 0; it gives NaN elsewhere.
//
//	ker x + i kei x = K₀(x e^{iπ/4})
//
// By their power series up to x = 5, by an integral beyond. Relative accuracy 1e-12 for 1e-6 < x < 100 (the two against
// each other in the tests); past 700 the values underflow to zero.
func Kelvin(x float64) (ker, kei, kerPrime, keiPrime float64) {
	switch {
	case !(x > 0):
		return math.NaN(), math.NaN(), math.NaN(), math.NaN()
	case x <= seriesTo:
		return kelvinSeries(x)
	}
	return kelvinIntegral(x)
}

// seriesTo is where the power series begins to lose digits: its terms grow as e^x while the functions fall as e^(−x/√2).
const seriesTo = 5

// euler is Euler's constant.
const euler = 0.57721566490153286061

// kelvinSeries sums, with y = x²/4 and H the harmonic numbers,
//
//	ber + i bei = Σ (i y)ⁿ/(n!)²
//	ker + i kei = −[ln(x/2) + γ + iπ/4] (ber + i bei) + Σ H(n) (i y)ⁿ/(n!)²
//
// and their derivatives term by term, d(yⁿ)/dx = 2n yⁿ/x. Source: Abramowitz and Stegun 1964, 9.9.10 to 9.9.12.
func kelvinSeries(x float64) (ker, kei, kerPrime, keiPrime float64) {
	y, term, harmonic := x*x/4, 1.0, 0.0
	b, bSlope := [2]float64{1, 0}, [2]float64{} // ber and bei, and x/2 times their derivatives
	var k, kSlope [2]float64                    // the sums with H
	for n := 1; ; n++ {
		f := float64(n)
		term *= y / (f * f)
		harmonic += 1 / f
		part, signed := n%2, term
		if n%4 >= 2 {
			signed = -term
		}
		b[part] += signed
		bSlope[part] += signed * f
		k[part] += signed * harmonic
		kSlope[part] += signed * harmonic * f
		if term*harmonic*f < 1e-18 {
			break
		}
	}
	scale := math.Log(x/2) + euler
	ker = -scale*b[0] + math.Pi/4*b[1] + k[0]
	kei = -scale*b[1] - math.Pi/4*b[0] + k[1]
	kerPrime = (-b[0] + 2*(-scale*bSlope[0]+math.Pi/4*bSlope[1]+kSlope[0])) / x
	keiPrime = (-b[1] + 2*(-scale*bSlope[1]-math.Pi/4*bSlope[0]+kSlope[1])) / x
	return ker, kei, kerPrime, keiPrime
}

// kelvinStep is the step of the trapezoidal rule below. The integrand is analytic and falls in the strip |Im t| < π/4, so
// the rule errs by about exp(−2π·(π/4)/step), here 3e-15.
const kelvinStep = 0.147

// kelvinCosh is cosh at the steps of the rule, as far as x = 1e-7 needs them.
var kelvinCosh = func() (out []float64) {
	for t := kelvinStep; t < 21; t += kelvinStep {
		out = append(out, math.Cosh(t))
	}
	return out
}()

// kelvinIntegral is
//
//	K₀(z) = ∫₀^∞ exp(−z cosh t) dt        z = x e^{iπ/4}
//
// by the trapezoidal rule, which for this integral converges faster than any power of its step.
func kelvinIntegral(x float64) (ker, kei, kerPrime, keiPrime float64) {
	omega := cmplx.Rect(1, math.Pi/4)
	z := complex(x, 0) * omega
	k0 := cmplx.Exp(-z) / 2
	k1 := k0
	for _, cosh := range kelvinCosh {
		if x*(cosh-1) > 56 {
			break
		}
		e := cmplx.Exp(-z * complex(cosh, 0))
		k0 += e
		k1 += e * complex(cosh, 0)
	}
	k0 *= kelvinStep
	k1 *= -kelvinStep * omega
	return real(k0), imag(k0), real(k1), imag(k1)
}
