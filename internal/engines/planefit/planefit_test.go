package planefit

import (
	"context"
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"
)

// ground is the sample lot of SITE-19 and SITE-20: unit areas, slab and base 0.20 m.
func ground() []Sample {
	var out []Sample
	for _, x := range []float64{0, 3, 6, 9, 12} {
		for _, y := range []float64{0, 2, 4, 6} {
			z := math.Round((100+.018*x-.031*y+.0021*x*y-.0006*x*x)*1000) / 1000
			out = append(out, Sample{X: x, Y: y, Level: z + .20, Weight: 1})
		}
	}
	return out
}

// steepest bounds the slope by a 64-sided polygon inside the circle.
func steepest(s float64) []Limit {
	var out []Limit
	for k := range 64 {
		a := 2 * math.Pi * float64(k) / 64
		out = append(out, Limit{Name: "steepest slope", B: math.Cos(a), C: math.Sin(a), Bound: s * math.Cos(math.Pi/64)})
	}
	return out
}

func TestPublishedGradings(t *testing.T) {
	for _, c := range []struct {
		id     string
		limits []Limit
		cost   float64
		plane  Plane
	}{
		{"SITE-19", append([]Limit{
			{Name: "least slope", C: 1, Bound: -.015}, {Name: "cross slope", B: 1, Bound: .0208}, {Name: "cross slope", B: -1, Bound: .0208},
			{Name: "sill west", A: 1, Bound: 100.05}, {Name: "sill east", A: 1, B: 12, Bound: 100.05}}, steepest(.05)...), 4.308, Plane{100.05, 0, -.015}},
		{"SITE-20", append([]Limit{
			{Name: "tie", A: 1, Bound: 100.10, Equal: true}, {Name: "least slope", C: 1, Bound: -.02},
			{Name: "cross slope", B: 1, Bound: .01}, {Name: "cross slope", B: -1, Bound: .01}}, steepest(.05)...), 2.408, Plane{100.10, .010, -.020}},
	} {
		r, err := Fit(context.Background(), Problem{Samples: ground(), Cut: 1, Fill: 3, Limits: c.limits})
		// 1e-4 as the rows ask: three decimals of the ground, and a flattening term of 1e-6.
		if err != nil || math.Abs(r.Cost-c.cost) > 1e-4 || math.Abs(r.Plane.A-c.plane.A) > 1e-4 || math.Abs(r.Plane.B-c.plane.B) > 1e-4 || math.Abs(r.Plane.C-c.plane.C) > 1e-4 {
			t.Errorf("%s: cost %v, plane %v, %v", c.id, r.Cost, r.Plane, err)
		}
		t.Logf("%s: %d rounds, %d binding", c.id, r.Rounds, len(r.Binding))
	}
}

// TestMultipliersSayWhatRelaxingSaves: moving a binding bound by a millimetre changes the cost by the multiplier.
func TestMultipliersSayWhatRelaxingSaves(t *testing.T) {
	p := Problem{Samples: ground(), Cut: 1, Fill: 3, Limits: []Limit{{Name: "sill", A: 1, Bound: 100.05}, {Name: "least slope", C: 1, Bound: -.015}}}
	before, err := Fit(context.Background(), p)
	if err != nil || len(before.Binding) == 0 {
		t.Fatal(before, err)
	}
	for _, b := range before.Binding {
		relaxed := p
		relaxed.Limits = append([]Limit{}, p.Limits...)
		for i := range relaxed.Limits {
			if relaxed.Limits[i].Name == b.Name {
				relaxed.Limits[i].Bound += 1e-4
			}
		}
		after, err := Fit(context.Background(), relaxed)
		saved := (before.Cost - after.Cost) / 1e-4
		// 2 %: the cost is piecewise linear, and the step may pass the corner of a piece.
		if err != nil || math.Abs(saved-b.Saves) > .02*math.Abs(b.Saves)+1e-6 {
			t.Errorf("%s: promised %v, saved %v, %v", b.Name, b.Saves, saved, err)
		}
	}
}

func TestConflictsAreSmallest(t *testing.T) {
	p := Problem{Samples: ground(), Cut: 1, Fill: 1, Limits: append([]Limit{
		{Name: "door", A: 1, Bound: 100, Equal: true}, {Name: "walk", A: 1, C: 6, Bound: 100, Equal: true},
		{Name: "least slope", C: 1, Bound: -.02}, {Name: "ceiling far off", A: 1, B: 12, Bound: 105}}, steepest(.05)...)}
	_, err := Fit(context.Background(), p)
	var c Conflict
	if !errors.As(err, &c) || len(c.Limits) != 3 { // the 64 sides of the steepest slope are one limit, and not to blame
		t.Fatalf("got %v", err)
	}
	for _, l := range c.Limits {
		if l.Name != "door" && l.Name != "walk" && l.Name != "least slope" {
			t.Errorf("blames %s", l.Name)
		}
	}
}

func TestBadGroundIsRefused(t *testing.T) {
	for name, p := range map[string]Problem{
		"no samples":  {Cut: 1, Fill: 1},
		"not numbers": {Samples: []Sample{{X: math.NaN(), Weight: 1}}, Cut: 1, Fill: 1},
		"free fill":   {Samples: ground(), Cut: 1},
		"empty limit": {Samples: ground(), Cut: 1, Fill: 1, Limits: []Limit{{Name: "nothing", Bound: 1}}},
	} {
		if _, err := Fit(context.Background(), p); err == nil {
			t.Errorf("%s: fitted", name)
		}
	}
}

func TestFewSamplesStillGiveAPlane(t *testing.T) {
	for n := 1; n <= 3; n++ {
		r, err := Fit(context.Background(), Problem{Samples: ground()[:n], Cut: 1, Fill: 1})
		if err != nil || !finite(r.Plane.A, r.Plane.B, r.Plane.C) || r.Cost > 1e-6 {
			t.Errorf("%d samples: %v, %v", n, r, err)
		}
	}
}

// TestAgainstASimplex compares costs with a general simplex program on random gradings.
func TestAgainstASimplex(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := randomProblem(t)
		r, err := Fit(context.Background(), p)
		want, simplexErr := simplexCost(p)
		var c Conflict
		if errors.As(err, &c) != errors.Is(simplexErr, lp.ErrInfeasible) {
			t.Fatalf("one finds a conflict, the other not: %v, %v", err, simplexErr)
		}
		if err != nil || simplexErr != nil {
			return
		}
		// 1e-6 relative: the flattening term shifts the cost by at most ½·1e-6·slope².
		if math.Abs(r.Cost-want) > 1e-6*(1+math.Abs(want)) {
			t.Fatalf("cost %v, simplex %v", r.Cost, want)
		}
	})
}

func randomProblem(t *rapid.T) Problem {
	p := Problem{Cut: rapid.Float64Range(.2, 3).Draw(t, "cut"), Fill: rapid.Float64Range(.2, 3).Draw(t, "fill")}
	for range rapid.IntRange(4, 14).Draw(t, "samples") {
		p.Samples = append(p.Samples, Sample{X: rapid.Float64Range(0, 20).Draw(t, "x"), Y: rapid.Float64Range(0, 10).Draw(t, "y"),
			Level: rapid.Float64Range(99, 101).Draw(t, "level"), Weight: rapid.Float64Range(.1, 2).Draw(t, "weight")})
	}
	p.Limits = []Limit{{Name: "least slope", C: 1, Bound: -rapid.Float64Range(0, .03).Draw(t, "least")},
		{Name: "steepest", C: -1, Bound: rapid.Float64Range(.01, .2).Draw(t, "most")},
		{Name: "cross", B: 1, Bound: .02}, {Name: "cross back", B: -1, Bound: .02},
		{Name: "sill", A: 1, Bound: rapid.Float64Range(99, 101).Draw(t, "sill")}}
	return p
}

// simplexCost solves the same program in standard form: v split in positive and negative parts, u and w the cut and fill of
// each sample, one slack a limit.
func simplexCost(p Problem) (float64, error) {
	n, m := len(p.Samples), len(p.Limits)
	cols := 6 + 2*n + m
	a, b, c := mat.NewDense(n+m, cols, nil), make([]float64, n+m), make([]float64, cols)
	for i, q := range p.Samples {
		for k, v := range []float64{1, q.X, q.Y} {
			a.Set(i, 2*k, v)
			a.Set(i, 2*k+1, -v)
		}
		a.Set(i, 6+2*i, 1)
		a.Set(i, 7+2*i, -1)
		b[i] = q.Level
		c[6+2*i], c[7+2*i] = q.Weight*p.Cut, q.Weight*p.Fill
	}
	for j, l := range p.Limits {
		for k, v := range []float64{l.A, l.B, l.C} {
			a.Set(n+j, 2*k, v)
			a.Set(n+j, 2*k+1, -v)
		}
		a.Set(n+j, 6+2*n+j, 1)
		b[n+j] = l.Bound
	}
	cost, _, err := lp.Simplex(c, a, b, 1e-10, nil)
	return cost, err
}

func BenchmarkTwoThousandSamples(b *testing.B) {
	p := Problem{Cut: 1, Fill: 3, Limits: append([]Limit{{Name: "least slope", C: 1, Bound: -.02}}, steepest(.05)...)}
	for i := range 2000 {
		x, y := float64(i%50), float64(i/50)
		p.Samples = append(p.Samples, Sample{X: x, Y: y, Level: 100 + .02*x - .01*y + .05*math.Sin(x*y), Weight: 1})
	}
	for b.Loop() {
		if _, err := Fit(context.Background(), p); err != nil {
			b.Fatal(err)
		}
	}
}
