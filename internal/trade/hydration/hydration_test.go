package hydration

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func drawBlend(t *rapid.T) Blend {
	cement, err := CementOf(rapid.SampledFrom(CementTypes()).Draw(t, "type"))
	if err != nil {
		t.Fatal(err)
	}
	return Blend{Cement: cement, FlyAsh: rapid.Float64Range(0, 0.5).Draw(t, "ash"), FlyAshLime: rapid.Float64Range(0.05, 0.28).Draw(t, "lime"),
		Slag: rapid.Float64Range(0, 0.5).Draw(t, "slag"), WaterCement: rapid.Float64Range(0.33, 0.70).Draw(t, "w")}
}

func TestEveryBlendHardensForwardAndSetsInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBlend(t)
		c, err := CurveOf(b)
		if err != nil {
			t.Fatal(err)
		}
		te, more := rapid.Float64Range(0, 500).Draw(t, "te"), rapid.Float64Range(0, 500).Draw(t, "more")
		if c.Degree(te+more) < c.Degree(te) || c.Degree(te+more) > c.Ultimate {
			t.Fatalf("degree at %v and %v later: %v, %v of %v", te, more, c.Degree(te), c.Degree(te+more), c.Ultimate)
		}
		if a := c.Degree(te); a > 1e-6 && a < c.Ultimate*0.999 && math.Abs(c.AgeAt(a)-te) > 1e-6*te {
			t.Fatalf("age at %v comes back as %v, not %v", a, c.AgeAt(a), te)
		}
		if h := 1e-4 * te; te > 1 {
			slope := (c.Degree(te+h) - c.Degree(te-h)) / (2 * h)
			if math.Abs(slope-c.Rate(te)) > 1e-5*c.Rate(te)+1e-12 {
				t.Fatalf("rate %v, difference %v", c.Rate(te), slope)
			}
		}
		set := SetAges(c, b.WaterCement).Shift(rapid.Float64Range(-3.5, 3.5).Draw(t, "shift"), c.Energy)
		warm, cold := rapid.Float64Range(20, 35).Draw(t, "warm"), rapid.Float64Range(0, 20).Draw(t, "cold")
		w, err1 := set.At(warm, c.Energy)
		k, err2 := set.At(cold, c.Energy)
		if err1 != nil || err2 != nil || w.Initial > k.Initial || w.Final > k.Final || w.Initial >= w.Final || w.Initial <= 0 {
			t.Fatalf("warm %v, cold %v, %v, %v", w, k, err1, err2)
		}
		if back := SetFrom(k, cold, c.Energy); math.Abs(back.Initial-set.Initial) > 1e-9*set.Initial {
			t.Fatalf("%v came back as %v", set, back)
		}
	})
}

func TestStrengthCurvesAreTheirOwnInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		su := rapid.Float64Range(10, 80).Draw(t, "ultimate")
		curves := map[string]Strength{
			"hyperbolic":  Hyperbolic{su, rapid.Float64Range(0.05, 1).Draw(t, "k"), rapid.Float64Range(0, 1).Draw(t, "t0")},
			"exponential": Exponential{su, rapid.Float64Range(0.5, 5).Draw(t, "tau"), rapid.Float64Range(0.3, 1).Draw(t, "beta")},
			"logarithmic": Logarithmic{su / 4, su / 2},
		}
		s := su * rapid.Float64Range(0.05, 0.9).Draw(t, "share")
		for name, c := range curves {
			te := c.AgeFor(s)
			if math.Abs(c.At(te)-s) > 1e-9*su {
				t.Fatalf("%s: %v MPa at %v days is %v", name, s, te, c.At(te))
			}
			if c.At(te*1.1) < s-1e-9 {
				t.Fatalf("%s loses strength", name)
			}
		}
		if !math.IsInf(curves["hyperbolic"].AgeFor(su), 1) {
			t.Fatal("the ultimate strength is reached")
		}
	})
}

func TestFitFindsTheCurveItsCylindersCameFrom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		truth := Hyperbolic{rapid.Float64Range(20, 60).Draw(t, "ultimate"), rapid.Float64Range(0.1, 0.6).Draw(t, "k"), rapid.Float64Range(0, 0.6).Draw(t, "t0")}
		var ages, strengths []float64
		for _, age := range []float64{1, 3, 7, 14, 28} {
			for _, off := range []float64{-0.3, 0, 0.3} { // symmetric scatter leaves the least-squares curve where it was
				ages, strengths = append(ages, age), append(strengths, truth.At(age)+off)
			}
		}
		fit, err := FitStrength(HyperbolicFamily, ages, strengths)
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range []float64{truth.Ultimate, truth.Rate, truth.Start} {
			if math.Abs(fit.Params[i]-want) > 1e-5*(1+math.Abs(want)) {
				t.Fatalf("parameter %d is %v, not %v", i, fit.Params[i], want)
			}
		}
		if !(fit.LowerPrediction(5, 0.9) < fit.LowerMean(5, 0.9) && fit.LowerMean(5, 0.9) < fit.Curve().At(5)) {
			t.Fatal("bounds out of order")
		}
	})
}

func TestNoCylindersCanBreakTheFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 8).Draw(t, "n")
		ages := rapid.SliceOfN(rapid.Float64Range(-1, 60), n, n).Draw(t, "ages")
		strengths := rapid.SliceOfN(rapid.Float64Range(-1, 60), n, n).Draw(t, "strengths")
		for _, family := range Families {
			fit, err := FitStrength(family, ages, strengths)
			if err == nil && (math.IsNaN(fit.Scatter) || math.IsNaN(fit.LowerPrediction(3, 0.9))) {
				t.Fatalf("%s: %+v", family, fit)
			}
		}
	})
}

func TestBlendsOutsideTheEquationsAreRefused(t *testing.T) {
	cement, _ := CementOf(DefaultCement)
	good := Blend{Cement: cement, WaterCement: 0.45}
	for name, spoil := range map[string]func(*Blend){
		"water":     func(b *Blend) { b.WaterCement = 0.8 },
		"nan":       func(b *Blend) { b.WaterCement = math.NaN() },
		"ash":       func(b *Blend) { b.FlyAsh = 0.6 },
		"slag":      func(b *Blend) { b.Slag = -0.1 },
		"lime":      func(b *Blend) { b.FlyAshLime = 0.9 },
		"compounds": func(b *Blend) { b.Cement.C3S = 0.9 },
		"no alite":  func(b *Blend) { b.Cement.C3S = 0 },
		"blaine":    func(b *Blend) { b.Cement.Blaine = 3750 },
		"coarse":    func(b *Blend) { b.Cement.Blaine = 100 },
	} {
		b := good
		spoil(&b)
		if _, err := CurveOf(b); err == nil {
			t.Errorf("%s passed", name)
		}
	}
	if _, err := CementOf("IV"); err == nil {
		t.Error("an unknown cement passed")
	}
}
