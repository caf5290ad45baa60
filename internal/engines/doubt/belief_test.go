package doubt

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

func learnt(t *testing.T, b Belief, share float64, cases ...float64) Learnt {
	t.Helper()
	l, err := b.Learn(cases, share)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// TestLearningByHand: belief 0 ± 1 with scatter 1 counts as one case at 0; cases 2 and 4 give (0+2+4)/3 = 2,
// ν s² = 2 + 2 + 2/3·9 = 10, ν = 4, and t₄ at nine tenths is 1.5332.
func TestLearningByHand(t *testing.T) {
	l := learnt(t, Belief{0, 1, 1}, 0.8, 2, 4)
	near(t, "mean", l.Mean, 2, 1e-12)
	near(t, "upper end", l.High, 2+1.5332062*math.Sqrt(10.0/4/3), 1e-6)
	near(t, "lower end", l.Low, 4-l.High, 1e-12)
}

func TestNoCaseLeavesTheBelief(t *testing.T) {
	l := learnt(t, Belief{5, 2, 3}, 0.8)
	near(t, "mean", l.Mean, 5, 0)
	if !(l.Low < 3 && l.High > 7) {
		t.Errorf("interval %g to %g", l.Low, l.High)
	}
}

// TestTheIntervalKeepsItsPromise: where means come from the belief, four in five lie inside the interval, to within three standard
// errors of 2,000 tries.
func TestTheIntervalKeepsItsPromise(t *testing.T) {
	chance := rand.New(rand.NewPCG(11, 12))
	b, inside := Belief{0, 0.5, 0.3}, 0
	const tries = 2000
	for range tries {
		truth := b.Deviation * chance.NormFloat64()
		var cases []float64
		for range 5 {
			cases = append(cases, truth+b.Scatter*chance.NormFloat64())
		}
		if l := learnt(t, b, 0.8, cases...); truth >= l.Low && truth <= l.High {
			inside++
		}
	}
	if share := float64(inside) / tries; math.Abs(share-0.8) > 3*math.Sqrt(0.8*0.2/tries)+0.02 {
		t.Errorf("%.3f of the means lie inside (0.02 allowed for the scatter being learnt too)", share)
	}
}

// TestLearntLiesBetweenBeliefAndCases, and more of the same case narrows nothing wrongly.
func TestLearntLiesBetweenBeliefAndCases(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Belief{rapid.Float64Range(-5, 5).Draw(t, "mean"), rapid.Float64Range(0.01, 5).Draw(t, "deviation"), rapid.Float64Range(0.01, 5).Draw(t, "scatter")}
		x := rapid.Float64Range(-50, 50).Draw(t, "case")
		one, err := b.Learn([]float64{x}, 0.8)
		if err != nil {
			t.Fatal(err)
		}
		low, high := min(b.Mean, x), max(b.Mean, x)
		if one.Mean < low-1e-9 || one.Mean > high+1e-9 || !(one.Low <= one.Mean && one.Mean <= one.High) {
			t.Fatalf("%+v of %+v and %g", one, b, x)
		}
	})
}

func TestNonsenseIsNotLearnt(t *testing.T) {
	for _, b := range []Belief{{0, 0, 1}, {0, 1, 0}, {math.NaN(), 1, 1}} {
		if _, err := b.Learn([]float64{1}, 0.8); err == nil {
			t.Errorf("%+v learns", b)
		}
	}
	if _, err := (Belief{0, 1, 1}).Learn([]float64{math.Inf(1)}, 0.8); err == nil {
		t.Error("an endless case is learnt")
	}
}
