package winkler

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// slabA is the reference plate of the structural checks: E 27.6 GPa, h 150 mm, ν 0.15, k 54 MPa/m.
var slabA = Plate{E: 27.6e9, H: 0.150, Nu: 0.15, K: 54e6}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s: got %.7g, want %.7g within %g", what, got, want, relative)
	}
}

// kelvinSeries is the second method: K₀ by its power series, good to about 1e-11 up to x = 5.
func kelvinSeries(x float64) (ker, kei float64) {
	const euler = 0.57721566490153286
	q, term, harmonic := complex(0, x*x/4), complex(1, 0), 0.0
	i0, sum := term, complex(0, 0)
	for k := 1.0; k < 60; k++ {
		term *= q / complex(k*k, 0)
		harmonic += 1 / k
		i0 += term
		sum += term * complex(harmonic, 0)
	}
	k0 := -complex(math.Log(x/2)+euler, math.Pi/4)*i0 + sum
	return real(k0), imag(k0)
}

func TestKelvinFunctionsAgreeWithTheirSeries(t *testing.T) {
	for _, x := range []float64{1e-6, 1e-3, 0.05, 0.2, 0.7, 1, 2, 3.5, 5} {
		ker, kei, kerPrime, keiPrime := Kelvin(x)
		wantKer, wantKei := kelvinSeries(x)
		near(t, "ker", ker, wantKer, 1e-9)
		near(t, "kei", kei, wantKei, 1e-9)
		// Derivatives by a five-point difference of the functions themselves.
		d := 1e-3 * x
		a, ai, _, _ := Kelvin(x - 2*d)
		b, bi, _, _ := Kelvin(x - d)
		c, ci, _, _ := Kelvin(x + d)
		e, ei, _, _ := Kelvin(x + 2*d)
		near(t, "ker'", kerPrime, (a-8*b+8*c-e)/(12*d), 1e-7)
		// kei is flat near zero: the difference loses what is under 1e-12 of kei itself.
		if got, want := keiPrime, (ai-8*bi+8*ci-ei)/(12*d); math.Abs(got-want) > 1e-7*math.Abs(want)+1e-12/d {
			t.Errorf("kei'(%g): %g, by differences %g", x, got, want)
		}
	}
}

func TestKelvinOutsideItsRange(t *testing.T) {
	for _, x := range []float64{0, -1, math.NaN()} {
		if ker, _, _, _ := Kelvin(x); !math.IsNaN(ker) {
			t.Errorf("Kelvin(%g) gave %g", x, ker)
		}
	}
	if ker, kei, _, _ := Kelvin(2000); ker != 0 || kei != 0 {
		t.Errorf("far away the plate still moves: %g %g", ker, kei)
	}
}

func TestDiscAndPointLoadOfTheInfinitePlate(t *testing.T) {
	w, m := slabA.Disc(20e3, 0.1)
	near(t, "STR-14 w", w, 0.1191276e-3, 1e-6)
	near(t, "STR-14 stress", slabA.Stress(m), 1.191798e6, 1e-6)
	near(t, "STR-15 w", slabA.PointLoad(20e3, 0, 0).W, 0.1207260e-3, 1e-6)
	near(t, "point load close by", slabA.PointLoad(20e3, 1e-7, 0).W, 0.1207260e-3, 1e-5)
}

// A free half-plate under a patch on its edge must agree with the plate elements of the reference panel, and the two
// halves of a joint with theirs: STR-20 and STR-22. The panels end 3.2 l either side of the load, and so sink 3 to 4 %
// more than a half-infinite plate; stresses know less of it: 1 %.
func TestEdgeAgreesWithPlateElements(t *testing.T) {
	l := slabA.Radius()
	patch := []Patch{{X: 0, Y: 0.1 / l, Along: 0.2 / l, Across: 0.2 / l}}
	const force = 20e3
	unitW := force / (slabA.K * l * l)
	w, m := NewEdge(slabA.Nu, 0).AtEdge(patch, []float64{0, 1 / l})
	near(t, "STR-20 w", w[0][0]*unitW, 0.375191e-3, 0.04)
	near(t, "STR-20 w 1 m along", w[1][0]*unitW, 0.175597e-3, 0.08)
	near(t, "STR-20 stress", slabA.Stress(m[0][0]*force), 2.2175e6, 0.01)
	for _, joint := range []struct{ r, loaded, unloaded, stress float64 }{
		{0.1, 0.34592e-3, 0.02949e-3, 2.1753e6},
		{10, 0.20510e-3, 0.17031e-3, 1.6404e6},
	} {
		heldW, heldM := NewEdge(slabA.Nu, 2*joint.r).AtEdge(patch, []float64{0})
		near(t, "STR-22 loaded", (w[0][0]+heldW[0][0])/2*unitW, joint.loaded, 0.04)
		near(t, "STR-22 unloaded", (w[0][0]-heldW[0][0])/2*unitW, joint.unloaded, 0.08)
		near(t, "STR-22 stress", slabA.Stress((m[0][0]+heldM[0][0])/2*force), joint.stress, 0.01)
	}
}

// Westergaard 1947 gives the edge under a point load as P√(2+1.2ν)/√(Eh³k), which is 0.4311 P/(kl²) for ν 0.15.
func TestEdgeUnderAPointLoad(t *testing.T) {
	w, _ := NewEdge(0.15, 0).AtEdge([]Patch{{X: 0, Y: 0.0005, Along: 0.001, Across: 0.001}}, []float64{0})
	near(t, "w", w[0][0], math.Sqrt(2+1.2*0.15)/math.Sqrt(12*(1-0.15*0.15)), 2e-3)
}

// At the edge the free field and what is thrown back add up to the whole: the two functions must say the same.
func TestReflectionCompletesTheEdge(t *testing.T) {
	p := slabA
	l := p.Radius()
	free := NewEdge(p.Nu, 0)
	patch := Patch{X: 0, Y: 1.2, Along: 0.1, Across: 0.1}
	w, m := free.AtEdge([]Patch{patch}, []float64{0.5})
	back := free.Reflection(patch, 0.5, 0)
	open := p.PointLoad(1, 0.5*l, -1.2*l)
	near(t, "w", open.W*p.K*l*l+back.W, w[0][0], 2e-3)
	near(t, "M along", open.Mx+back.Mx, m[0][0], 5e-3)
	if across := open.My + back.My; math.Abs(across) > 2e-3*m[0][0]+1e-3 {
		t.Errorf("a free edge carries a moment across it: %g", across)
	}
}

func TestTheEdgeIsForgottenFarInside(t *testing.T) {
	f := NewEdge(0.15, 0).Reflection(Patch{X: 0, Y: 7, Along: 0.2, Across: 0.2}, 0, 7)
	if math.Abs(f.W) > 1e-4 || math.Abs(f.Mx) > 1e-4 || math.Abs(f.My) > 1e-4 {
		t.Errorf("seven radii away the edge still shows: %+v", f)
	}
}

func TestMaxwellReciprocity(t *testing.T) {
	// The deflection at A of a load at B is that at B of a load at A: along the edge both are patches of one size.
	rapid.Check(t, func(t *rapid.T) {
		spring := rapid.Float64Range(0, 20).Draw(t, "spring")
		away := rapid.Float64Range(0.5, 5).Draw(t, "away")
		e := NewEdge(0.15, spring)
		w, _ := e.AtEdge([]Patch{{X: 0, Y: 0.1, Along: 0.2, Across: 0.2}, {X: away, Y: 0.1, Along: 0.2, Across: 0.2}}, []float64{0, away})
		if math.Abs(w[0][1]-w[1][0]) > 1e-12 {
			t.Fatalf("%g and %g", w[0][1], w[1][0])
		}
	})
}

func TestAStifferSpringHoldsTheEdgeHigher(t *testing.T) {
	last := math.Inf(1)
	for _, spring := range []float64{0, 0.1, 1, 10, 100} {
		w, _ := NewEdge(0.15, spring).AtEdge([]Patch{{X: 0, Y: 0.2, Along: 0.3, Across: 0.3}}, []float64{0})
		if w[0][0] >= last {
			t.Errorf("spring %g: %g is not less than %g", spring, w[0][0], last)
		}
		last = w[0][0]
	}
}
