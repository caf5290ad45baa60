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

func TestKelvinSeriesAgreesWithTheIntegral(t *testing.T) {
	for _, x := range []float64{1e-6, 1e-3, 0.05, 0.2, 0.7, 1, 2, 3.5, 5} {
		ker, kei, kerPrime, keiPrime := Kelvin(x)
		wantKer, wantKei, wantKerPrime, wantKeiPrime := kelvinIntegral(x)
		near(t, "ker", ker, wantKer, 1e-12)
		near(t, "kei", kei, wantKei, 1e-12)
		near(t, "ker' by the integral", kerPrime, wantKerPrime, 1e-12)
		// The integral of kei' is the small part of a number that goes as 1/x, and loses what is under 2e-14 of it.
		if math.Abs(keiPrime-wantKeiPrime) > 2e-14*(1/x+1) {
			t.Errorf("kei'(%g): %g, by the integral %g", x, keiPrime, wantKeiPrime)
		}
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

// atEdge answers on the edge with the springs it was made with.
func atEdge(e Edge, asks []Ask) []Answer { return e.atEdge(asks, e.spring)[0] }

// reflection asks one question.
func reflection(e Edge, p Patch, x, y float64) Field { return e.Reflections([]Ask{{p, x, y}})[0] }

// A free half-plate under a patch on its edge must agree with the plate elements of the reference panel, and the two
// halves of a joint with theirs: STR-20 and STR-22. The panels end 3.2 l either side of the load, and so sink 3 to 4 %
// more than a half-infinite plate; stresses know less of it: 1 %.
func TestEdgeAgreesWithPlateElements(t *testing.T) {
	l := slabA.Radius()
	patch := Patch{X: 0, Y: 0.1 / l, Along: 0.2 / l, Across: 0.2 / l}
	const force = 20e3
	unitW := force / (slabA.K * l * l)
	free := atEdge(NewEdge(slabA.Nu, 0), []Ask{{patch, 0, 0}, {patch, 1 / l, 0}})
	near(t, "STR-20 w", free[0].W*unitW, 0.375191e-3, 0.04)
	near(t, "STR-20 w 1 m along", free[1].W*unitW, 0.175597e-3, 0.08)
	near(t, "STR-20 stress", slabA.Stress(free[0].M*force), 2.2175e6, 0.01)
	for _, joint := range []struct{ r, loaded, unloaded, stress float64 }{
		{0.1, 0.34592e-3, 0.02949e-3, 2.1753e6},
		{10, 0.20510e-3, 0.17031e-3, 1.6404e6},
	} {
		_, loaded := NewEdge(slabA.Nu, 0).AtJoint([]Ask{{patch, 0, 0}}, joint.r)
		near(t, "STR-22 loaded", loaded[0].W*unitW, joint.loaded, 0.04)
		near(t, "STR-22 unloaded", (free[0].W-loaded[0].W)*unitW, joint.unloaded, 0.08)
		near(t, "STR-22 stress", slabA.Stress(loaded[0].M*force), joint.stress, 0.01)
	}
}

// Westergaard 1947 gives the edge under a point load as P√(2+1.2ν)/√(Eh³k), which is 0.4311 P/(kl²) for ν 0.15.
func TestEdgeUnderAPointLoad(t *testing.T) {
	a := atEdge(NewEdge(0.15, 0), []Ask{{Patch: Patch{Y: 0.0005, Along: 0.001, Across: 0.001}}})
	near(t, "w", a[0].W, math.Sqrt(2+1.2*0.15)/math.Sqrt(12*(1-0.15*0.15)), 2e-3)
}

// At the edge the free field and what is thrown back add up to the whole: the two functions must say the same.
func TestReflectionCompletesTheEdge(t *testing.T) {
	p := slabA
	l := p.Radius()
	free := NewEdge(p.Nu, 0)
	patch := Patch{X: 0, Y: 1.2, Along: 0.1, Across: 0.1}
	whole := atEdge(free, []Ask{{patch, 0.5, 0}})[0]
	back := reflection(free, patch, 0.5, 0)
	open := p.PointLoad(1, 0.5*l, -1.2*l)
	near(t, "w", open.W*p.K*l*l+back.W, whole.W, 2e-3)
	near(t, "M along", open.Mx+back.Mx, whole.M, 5e-3)
	if across := open.My + back.My; math.Abs(across) > 2e-3*whole.M+1e-3 {
		t.Errorf("a free edge carries a moment across it: %g", across)
	}
}

func TestTheEdgeIsForgottenFarInside(t *testing.T) {
	f := reflection(NewEdge(0.15, 0), Patch{X: 0, Y: 7, Along: 0.2, Across: 0.2}, 0, 7)
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
		a := atEdge(e, []Ask{{Patch{X: away, Y: 0.1, Along: 0.2, Across: 0.2}, 0, 0}, {Patch{X: 0, Y: 0.1, Along: 0.2, Across: 0.2}, away, 0}})
		if math.Abs(a[0].W-a[1].W) > 1e-12 {
			t.Fatalf("%g and %g", a[0].W, a[1].W)
		}
	})
}

func TestAStifferSpringHoldsTheEdgeHigher(t *testing.T) {
	last := math.Inf(1)
	for _, spring := range []float64{0, 0.1, 1, 10, 100} {
		a := atEdge(NewEdge(0.15, spring), []Ask{{Patch: Patch{Y: 0.2, Along: 0.3, Across: 0.3}}})
		if a[0].W >= last {
			t.Errorf("spring %g: %g is not less than %g", spring, a[0].W, last)
		}
		last = a[0].W
	}
}

// Questions asked together must be answered as if asked one by one, however they share rows and distances.
func TestManyQuestionsAtOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := NewEdge(0.15, rapid.Float64Range(0, 5).Draw(t, "spring"))
		var asks []Ask
		for range rapid.IntRange(1, 6).Draw(t, "questions") {
			pick := rapid.SampledFrom([]float64{0, 0.3, 1.1, 4})
			asks = append(asks, Ask{Patch{X: pick.Draw(t, "x"), Y: 0.2 + pick.Draw(t, "y"), Along: 0.3, Across: 0.2}, pick.Draw(t, "at"), pick.Draw(t, "high")})
		}
		edge, inside := atEdge(e, asks), e.Reflections(asks)
		for k, ask := range asks {
			if one := atEdge(e, []Ask{ask})[0]; one != edge[k] {
				t.Fatalf("%+v: %+v alone, %+v with others", ask, one, edge[k])
			}
			if one := reflection(e, ask.Patch, ask.X, ask.Y); one != inside[k] {
				t.Fatalf("%+v: %+v alone, %+v with others", ask, one, inside[k])
			}
		}
	})
}

// A joint that carries everything halves what a free edge does; one that carries nothing leaves it.
func TestJointsBetweenNothingAndEverything(t *testing.T) {
	ask := []Ask{{Patch: Patch{Y: 0.2, Along: 0.3, Across: 0.3}}}
	e := NewEdge(0.15, 0)
	free, open := e.AtJoint(ask, 0)
	if free[0] != open[0] {
		t.Errorf("an open joint: %+v, a free edge: %+v", open[0], free[0])
	}
	_, whole := e.AtJoint(ask, 1e9)
	near(t, "whole joint", whole[0].W, free[0].W/2, 1e-6)
}
