package heat

import "math"

// SurfaceStep is the temperature in deep ground whose face is stepped from `initial` to `face`.
//
//	(T − Ts)/(Ti − Ts) = erf(x/2√(at))
//
// Depth x in m, diffusivity a in m²/s, time t in s. Source: Carslaw and Jaeger, recalled. Checked: CUR-29.
func SurfaceStep(initial, face, depth, diffusivity, t float64) float64 {
	if t <= 0 {
		return initial
	}
	return face + (initial-face)*math.Erf(depth/(2*math.Sqrt(diffusivity*t)))
}

// SurfaceConvection is the share of the way to the air's temperature that deep ground has gone under a wind of transfer h.
//
//	θ = erfc(u) − exp(hx/k + h²at/k²) erfc(u + h√(at)/k)      u = x/2√(at)
//	  = erfc(u) − exp(−u²) erfcx(u + h√(at)/k)
//
// Source: Carslaw and Jaeger, recalled. The second form, with the scaled complementary error function, does not overflow.
// Checked: CUR-30.
func SurfaceConvection(transfer, conductivity, diffusivity, depth, t float64) float64 {
	if t <= 0 {
		return 0
	}
	root := math.Sqrt(diffusivity * t)
	u, w := depth/(2*root), transfer*root/conductivity
	return math.Erfc(u) - math.Exp(-u*u)*erfcx(u+w)
}

// erfcx is exp(z²)·erfc(z) for z from 0; from 20 on by its asymptotic series, good to 1e-11.
func erfcx(z float64) float64 {
	if z < 20 {
		return math.Exp(z*z) * math.Erfc(z)
	}
	s := 1 / (2 * z * z)
	return (1 - s*(1-3*s*(1-5*s*(1-7*s)))) / (z * math.SqrtPi)
}

// DampingDepth is the depth at which a periodic swing at the face has shrunk to 1/e.
//
//	d = √(2a/ω)      ω = 2π/P
//
// Source: Carslaw and Jaeger, recalled. Checked: CUR-31.
func DampingDepth(diffusivity, period float64) float64 {
	return math.Sqrt(diffusivity * period / math.Pi)
}

// Periodic is the swing and the lag, s, at a depth under a face that swings by one.
//
//	amplitude exp(−x/d)      lag (x/d) P/2π
func Periodic(depth, diffusivity, period float64) (swing, lag float64) {
	x := depth / DampingDepth(diffusivity, period)
	return math.Exp(-x), x * period / (2 * math.Pi)
}

// seriesTerms of the sum below leave less than 1e-9 of the answer.
const seriesTerms = 400

// SlabWithSource is the temperature over its faces of a slab that gives heat q evenly, both faces held, from even temperature.
//
//	T = qL²/8k [1 − 4(x/L − ½)²] − (4qL²/kπ³) Σ m⁻³ sin(mπx/L) exp(−(mπ/L)² at)      m odd
//
// An infinite t gives the steady state. Source: Carslaw and Jaeger, recalled. Checked: CUR-32.
func SlabWithSource(q, length, conductivity, diffusivity, x, t float64) float64 {
	scale := q * length * length / conductivity
	steady := scale / 8 * (1 - 4*math.Pow(x/length-0.5, 2))
	sum := 0.0
	for i := range seriesTerms {
		m := float64(2*i+1) * math.Pi
		sum += math.Pow(float64(2*i+1), -3) * math.Sin(m*x/length) * math.Exp(-m*m/(length*length)*diffusivity*t)
	}
	return steady - 4*scale/math.Pow(math.Pi, 3)*sum
}
