package doubt

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func drawn(t *testing.T, likely float64, numbers ...Number) Spread {
	t.Helper()
	s, err := Draw(likely, numbers, 10000, 7)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %g, want %g ± %g", what, got, want, within)
	}
}

// proportional is a number whose outcome moves with it one to one.
func proportional(low, likely, high float64) Number {
	return Number{low, likely, high, [3]float64{low, likely, high}}
}

// TestMomentsOfThreePoints holds the drawn mean to (a+4m+b)/6, and the deviation to the beta's own,
// √((μ−a)(b−μ)/7), both to half a percent: the quantile table and 10,000 stratified draws leave less.
func TestMomentsOfThreePoints(t *testing.T) {
	for _, c := range [][3]float64{{0, 5, 10}, {2, 3, 9}, {1, 1, 4}, {1, 4, 4}} {
		a, m, b := c[0], c[1], c[2]
		s := drawn(t, m, proportional(a, m, b))
		mu := (a + 4*m + b) / 6
		near(t, "mean", s.Mean(), mu, 0.005*(b-a))
		near(t, "deviation", s.Deviation(), math.Sqrt((mu-a)*(b-mu)/7), 0.005*(b-a))
	}
}

// TestFourItems is BLD-37 drawn instead of added: μ 5741.67; the beta's own variance is not the rule (b−a)²/36, so the deviation
// is the one derived from each beta.
func TestFourItems(t *testing.T) {
	items := [][3]float64{{2400, 2600, 3000}, {1500, 1900, 2700}, {600, 700, 950}, {300, 400, 600}}
	var numbers []Number
	likely, variance := 0.0, 0.0
	for _, c := range items {
		numbers = append(numbers, proportional(c[0], c[1], c[2]))
		likely += c[1]
		mu := (c[0] + 4*c[1] + c[2]) / 6
		variance += (mu - c[0]) * (c[2] - mu) / 7
	}
	s := drawn(t, likely, numbers...)
	near(t, "mean", s.Mean(), 5741.67, 1)
	near(t, "deviation", s.Deviation(), math.Sqrt(variance), 4)
	near(t, "nine in ten", s.Quantile(0.9), 5741.67+1.2816*math.Sqrt(variance), 12)
}

// many is a sum of n alike symmetric numbers: nearly normal, so closed forms apply.
func many(n int) []Number {
	var numbers []Number
	for range n {
		numbers = append(numbers, proportional(-3, 0, 3))
	}
	return numbers
}

// one is the deviation of a number of many: √(3·3/7).
var one = math.Sqrt(9.0 / 7)

// TestSparedAgainstTheClosedForm: of a normal sum, knowing one of n spares z(σ − √(σ² − σ₁²)).
func TestSparedAgainstTheClosedForm(t *testing.T) {
	s := drawn(t, 0, many(4)...)
	sigma := one * 2
	z := 0.8416212335729143
	near(t, "reserve", s.Reserve(0.8), z*sigma, 0.04)
	near(t, "spared", s.Spared(1, 0.8), z*(sigma-math.Sqrt(sigma*sigma-one*one)), 0.04)
}

func TestAboveCountsDraws(t *testing.T) {
	s := drawn(t, 0, proportional(-1, 0, 1))
	near(t, "above the middle", s.Above(0), 0.5, 0.01)
	near(t, "above the top", s.Above(1), 0, 0)
	near(t, "above the bottom", s.Above(-1.01), 1, 0)
}

func TestNumbersOutOfOrderAreRefused(t *testing.T) {
	for name, n := range map[string]Number{"order": proportional(3, 2, 4), "not finite": proportional(1, 2, math.Inf(1)), "outcome": {1, 2, 3, [3]float64{1, math.NaN(), 3}}} {
		if _, err := Draw(0, []Number{n}, 100, 1); err == nil {
			t.Errorf("%s: drawn all the same", name)
		}
	}
	if _, err := Draw(0, nil, 1, 1); err == nil {
		t.Error("one draw is drawn")
	}
}

// TestKnowingNeverHurts: whatever the numbers, nothing more must be held back once one is known, quantiles rise, and the same seed
// draws the same.
func TestKnowingNeverHurts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var numbers []Number
		for range rapid.IntRange(1, 6).Draw(t, "how many") {
			a := rapid.Float64Range(-100, 100).Draw(t, "low")
			m := a + rapid.Float64Range(0, 50).Draw(t, "to likely")
			b := m + rapid.Float64Range(0, 50).Draw(t, "to high")
			out := rapid.Float64Range(-1000, 1000)
			numbers = append(numbers, Number{a, m, b, [3]float64{out.Draw(t, "at low"), 5, out.Draw(t, "at high")}})
		}
		s, err := Draw(5, numbers, 500, 3)
		if err != nil {
			t.Fatal(err)
		}
		again, _ := Draw(5, numbers, 500, 3)
		if s.Mean() != again.Mean() || s.Quantile(0.8) != again.Quantile(0.8) {
			t.Fatal("the same seed draws otherwise")
		}
		if s.Quantile(0.1) > s.Quantile(0.5) || s.Quantile(0.5) > s.Quantile(0.9) {
			t.Fatal("quantiles fall")
		}
		for i := range numbers {
			if spared := s.Spared(i, 0.8); !(spared >= 0) {
				t.Fatalf("spared %g", spared)
			}
			if low, high := s.Swing(i); !(low <= high) {
				t.Fatalf("swing from %g to %g", low, high)
			}
		}
	})
}

// BenchmarkDraw draws what a plan's price risk needs: sixty numbers, ten thousand times, with the worth of each.
func BenchmarkDraw(b *testing.B) {
	numbers := many(60)
	for b.Loop() {
		s, err := Draw(0, numbers, 10000, 1)
		if err != nil {
			b.Fatal(err)
		}
		for i := range numbers {
			s.Spared(i, 0.8)
		}
	}
}
