package known

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

func TestGuessesAreRoundInMetres(t *testing.T) {
	type input struct {
		Base  Length `yaml:"base"`
		Said  Length `yaml:"said"`
		Waste Percent
	}
	in := input{Base: Assume(quantity.Inches(4), quantity.Inches(3), quantity.Inches(8), "usual", sources.CommonPractice), Said: Say(quantity.Inches(4)),
		Waste: Assume[quantity.Percent](0.073, 0, 1, "usual", sources.CommonPractice)}
	InMetric(&in)
	if in.Base.Value.Metres() != 0.1 || in.Base.Low.Metres() != 0.075 || in.Base.High.Metres() != 0.2 || in.Said.Value != quantity.Inches(4) || in.Waste.Value != 0.073 {
		t.Errorf("%+v", in)
	}
	for inches, want := range map[float64]float64{2: 0.05, 1: 0.025, 0.5: 0.013, 6: 0.15, 12: 0.3, 36: 0.9, 180: 4.6} {
		if got := roundMetric(quantity.Inches(inches)).Metres(); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v in becomes %v m, want %v", inches, got, want)
		}
	}
}

// TestRoundingKeepsOrder: a low end stays under its high end, twice rounded is once rounded, and nothing moves far.
func TestRoundingKeepsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := quantity.Length(rapid.Float64Range(-30, 30).Draw(t, "a")), quantity.Length(rapid.Float64Range(-30, 30).Draw(t, "b"))
		if a <= b && roundMetric(a) > roundMetric(b) {
			t.Fatalf("%v and %v change places", a, b)
		}
		if once := roundMetric(a); roundMetric(once) != once || math.Abs(float64(once-a)) > max(0.0005+1e-9, 0.13*math.Abs(float64(a))) {
			t.Fatalf("%v becomes %v, then %v", a, once, roundMetric(once))
		}
	})
}
