package plate

import (
	"fmt"
	"math"
	"math/cmplx"
)

// kelvinK returns ker x + i kei x and its derivative by x, for x > 0:
//
//	ker x + i kei x = K₀(z),  z = x e^{iπ/4},  K₀(z) = ∫₀^∞ exp(−z cosh t) dt,  K₀′ = −K₁ = −∫₀^∞ exp(−z cosh t) cosh t dt
//
// (M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 9.9.2 and 9.6.24; recalled). The trapezoidal rule is
// used on the integrals: for an integrand that is analytic in a strip of half width π/4 its error falls like
// exp(−2π·(π/4)/step), here below 1e-16. Accuracy: 1e-13 relative to |K₀|.
func kelvinK(x float64) (value, derivative complex128) {
	const step = 0.125
	turn := cmplx.Rect(1, math.Pi/4)
	z := complex(x, 0) * turn
	var k0, k1 complex128
	for n := 0; ; n++ {
		c := math.Cosh(step * float64(n))
		f := cmplx.Exp(-z * complex(c, 0))
		if n == 0 {
			f /= 2
		}
		k0 += f
		k1 += f * complex(c, 0)
		if x*c/math.Sqrt2 > 745 {
			break
		}
	}
	return k0 * step, -turn * k1 * step
}

// Ker returns the Kelvin function ker x and its derivative, for x > 0. Outside it returns NaN.
func Ker(x float64) (value, derivative float64) {
	if !(x > 0) {
		return math.NaN(), math.NaN()
	}
	v, d := kelvinK(x)
	return real(v), real(d)
}

// Kei returns the Kelvin function kei x and its derivative, for x > 0. Outside it returns NaN.
func Kei(x float64) (value, derivative float64) {
	if !(x > 0) {
		return math.NaN(), math.NaN()
	}
	v, d := kelvinK(x)
	return imag(v), imag(d)
}

// Boundless is a thin plate without edges on soil that holds both ways.
type Boundless struct {
	Thickness, Modulus, Poisson, Support float64 // as in Slab
}

func (b Boundless) slab() Slab {
	return Slab{Thickness: b.Thickness, Modulus: b.Modulus, Poisson: b.Poisson, Support: b.Support}
}

func (b Boundless) check(where string, numbers ...float64) error {
	var f faults
	s := b.slab()
	s.Panels = []Panel{{Outline: Polygon{{0, 0}, {1, 0}, {1, 1}}}}
	f.material(s)
	if b.Support == 0 {
		f.add("soil", "without support a boundless plate sinks without end")
	}
	for _, v := range numbers {
		if !finite(v) {
			f.add(where, "%g is no number to compute with", v)
		}
	}
	if len(f) > 0 {
		return f[0]
	}
	return nil
}

// UnderPoint is the deflection at distance r (m) from a force on one point, m:
//
//	w = −P l²/(2πD) kei(r/l),  w(0) = P l²/(8D) = P/(8 k l²)
//
// (H. Hertz 1884; S. Timoshenko and S. Woinowsky-Krieger, Theory of Plates and Shells, art. 59; recalled). Checked: STR-15.
func (b Boundless) UnderPoint(force, r float64) (float64, error) {
	if err := b.check("force or distance", force, r); err != nil {
		return 0, err
	}
	s := b.slab()
	l := s.Radius()
	d := s.Rigidity(b.Thickness)
	if r == 0 {
		return force * l * l / (8 * d), nil
	}
	kei, _ := Kei(math.Abs(r) / l)
	return -force * l * l / (2 * math.Pi * d) * kei, nil
}

// UnderDisc is the deflection (m) and the tension at the bottom (Pa) under the middle of a force spread over a disc of
// radius a. With x = a/l and p = P/(πa²)
//
//	w = p/k · (1 + x ker′x),  σ = 6/h² · (1+ν)/2 · p a l · kei′x
//
// exactly, for a thin plate. Checked: STR-14.
func (b Boundless) UnderDisc(force, a float64) (deflection, tension float64, err error) {
	if err := b.check("force or radius", force, a); err != nil {
		return 0, 0, err
	}
	if !(a > 0) {
		return 0, 0, &Fault{"disc", fmt.Sprintf("a contact radius of %g m: the pressure would be infinite", a)}
	}
	l := b.slab().Radius()
	x, p := a/l, force/(math.Pi*a*a)
	_, ker := Ker(x)
	_, kei := Kei(x)
	return p / b.Support * (1 + x*ker), 6 / (b.Thickness * b.Thickness) * (1 + b.Poisson) / 2 * p * a * l * kei, nil
}
