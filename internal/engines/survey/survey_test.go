package survey

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/geometry"
)

func near(t interface {
	Helper()
	Errorf(string, ...any)
}, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g ± %g", what, got, want, tol)
	}
}

const degree = math.Pi / 180

func tape(from, to int, value, sigma float64) Observation {
	return Observation{Kind: Distance, From: from, To: to, Value: value, Sigma: sigma}
}

// houseTies is SITE-04: two house corners and four slab corners, all ties at σ 5 mm.
func houseTies() Network {
	n := Network{Points: []NetworkPoint{
		{Name: "H1", FixedX: true, FixedY: true},
		{Name: "H2", At: geometry.Point{X: 9.144}, FixedX: true, FixedY: true},
		{Name: "P1", At: geometry.Point{X: 1.5, Y: 3}}, {Name: "P2", At: geometry.Point{X: 13.5, Y: 3.5}},
		{Name: "P3", At: geometry.Point{X: 13, Y: 8}}, {Name: "P4", At: geometry.Point{X: 1, Y: 7.5}},
	}}
	for _, d := range []struct {
		from, to int
		value    float64
	}{{0, 2, 3.355}, {1, 2, 8.211}, {0, 3, 14.118}, {1, 3, 5.690}, {0, 4, 15.567}, {1, 4, 9.108}, {0, 5, 7.681},
		{1, 5, 11.066}, {2, 3, 12.203}, {3, 4, 4.721}, {4, 5, 12.211}, {5, 2, 4.615}, {2, 4, 12.856}, {3, 5, 13.286}} {
		n.Observations = append(n.Observations, tape(d.from, d.to, d.value, 0.005))
	}
	return n
}

func TestHouseTies(t *testing.T) { // SITE-04, digits as printed
	a, err := houseTies().Adjust()
	if err != nil {
		t.Fatal(err)
	}
	want := []geometry.Point{{X: 1.50111, Y: 3.00073}, {X: 13.70112, Y: 3.40343}, {X: 13.29602, Y: 8.10612}, {X: 1.09659, Y: 7.59945}}
	for i, w := range want {
		near(t, "x "+a.Points[i+2].Name, a.Points[i+2].At.X, w.X, 1e-5)
		near(t, "y "+a.Points[i+2].Name, a.Points[i+2].At.Y, w.Y, 1e-5)
	}
	near(t, "s0", a.S0, 0.7263, 1e-4)
	near(t, "low", a.Low, 1.237, 1e-3)
	near(t, "high", a.High, 14.449, 1e-3)
	if i, ok := a.Suspect(0); !ok || a.Residuals[i].Name != "H1–P3" || a.Freedom != 6 || !a.Passes() {
		t.Errorf("suspect %v, f %d, passes %v", a.Residuals[i], a.Freedom, a.Passes())
	} else {
		near(t, "t", math.Abs(a.Residuals[i].Standardised), 1.348, 1e-3)
	}
	sum := 0.0
	for _, r := range a.Residuals {
		sum += r.Redundancy
	}
	near(t, "Σr", sum, 6, 1e-9)
	for i, w := range map[int]Ellipse{3: {7.125e-3, 2.988e-3, 161.3 * degree}, 4: {7.840e-3, 2.947e-3, 139.1 * degree}} {
		e := a.Points[i].Ellipse()
		near(t, "major", e.Major, w.Major, 1e-6)
		near(t, "minor", e.Minor, w.Minor, 1e-6)
		near(t, "azimuth", e.Azimuth, w.Azimuth, 0.1*degree)
	}
}

func TestBlunderIsFound(t *testing.T) { // SITE-05
	n := houseTies()
	n.Observations[9].Value = 4.821
	s, err := n.Snoop()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "s0 before", s.First.S0, 3.880, 1e-3)
	if len(s.Removed) != 1 || s.Removed[0].Name != "P2–P3" || s.Removed[0].Index != 9 {
		t.Fatalf("removed %+v", s.Removed)
	}
	r := s.Removed[0]
	near(t, "t", r.Standardised, -9.34, 0.005)
	near(t, "r", r.Redundancy, 0.20, 0.005)
	near(t, "estimated error", r.Error, 0.1, 0.01)
	if r.Likely != "a tenth of a metre dropped" || r.Error < 0 {
		t.Error(r.Likely)
	}
	near(t, "s0 after", s.S0, 0.7753, 1e-4)
	near(t, "P3 x", s.Points[4].At.X, 13.29652, 1e-5)
	near(t, "P3 y", s.Points[4].At.Y, 8.10484, 1e-5)
}

func TestLoneQuadrilateralNeverTellsWhich(t *testing.T) { // SITE-03, in feet
	n := Network{Points: []NetworkPoint{{Name: "A", FixedX: true, FixedY: true}, {Name: "B", At: geometry.Point{X: 40}, FixedY: true},
		{Name: "C", At: geometry.Point{X: 40, Y: 12}}, {Name: "D", At: geometry.Point{Y: 12}}}}
	for _, d := range []struct {
		from, to int
		value    float64
	}{{0, 1, 40}, {1, 2, 12.02}, {2, 3, 39.98}, {3, 0, 12}, {0, 2, 41.74}, {1, 3, 41.78}} {
		n.Observations = append(n.Observations, tape(d.from, d.to, d.value, 0.02))
	}
	a, err := n.Adjust()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "s0", a.S0, 0.2742, 1e-4)
	for _, r := range a.Residuals {
		near(t, "|t| "+r.Name, math.Abs(r.Standardised), 0.2742, 1e-4)
	}
	near(t, "B x", a.Points[1].At.X, 40.0026, 1e-4)
	near(t, "C y", a.Points[2].At.Y, 12.0207, 1e-4)
	near(t, "area", a.Polygon().Area(), 480.342, 1e-3)
	raw, err := QuadrilateralArea(40, 12.02, 39.98, 12, 41.74, 41.78)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "raw area", raw, 480.695, 1e-3)
	n.Observations[2].Value += 1
	s, err := n.Snoop()
	if err != nil || !s.Ambiguous || len(s.Removed) != 0 {
		t.Errorf("a lone quadrilateral named a culprit: %+v %v", s.Removed, err)
	}
}

func TestTrilateration(t *testing.T) { // SITE-01, in feet
	n := Network{Points: []NetworkPoint{{Name: "A", At: geometry.Point{X: 865.40, Y: 4527.15}, FixedX: true, FixedY: true},
		{Name: "B", At: geometry.Point{X: 2432.55, Y: 2047.25}, FixedX: true, FixedY: true},
		{Name: "C", At: geometry.Point{X: 2865.22, Y: 27.15}, FixedX: true, FixedY: true},
		{Name: "U", At: geometry.Point{X: 7000, Y: 2500}}}}
	for i, d := range []float64{6049.00, 4736.83, 5446.49} {
		n.Observations = append(n.Observations, tape(i, 3, d, 1))
	}
	a, err := n.Adjust()
	if err != nil {
		t.Fatal(err)
	}
	u := a.Points[3]
	near(t, "x", u.At.X, 6861.3168, 1e-3)
	near(t, "y", u.At.Y, 3727.8186, 1e-3)
	near(t, "s0", a.S0, 0.09766, 1e-5)
	near(t, "Sx", a.S0*math.Sqrt(u.QXX), 0.0775, 1e-4)
	near(t, "Sy", a.S0*math.Sqrt(u.QYY), 0.1542, 1e-4)
	e := u.Ellipse().Scaled(a.S0)
	near(t, "major", e.Major, 0.1618, 1e-4)
	near(t, "minor", e.Minor, 0.0602, 1e-4)
	near(t, "azimuth", e.Azimuth, 161.00*degree, 0.1*degree)
	for i, v := range []float64{-0.0374, 0.0768, -0.0474} {
		near(t, "v", a.Residuals[i].V, v, 1e-4)
	}
}

func TestFloatingPointIsNamed(t *testing.T) {
	n := houseTies()
	for i := len(n.Observations) - 1; i >= 0; i-- { // leave P4 on the tape to H1 alone
		o := n.Observations[i]
		if (o.From == 5 || o.To == 5) && o.From != 0 {
			n.Observations = without(n.Observations, i)
		}
	}
	_, err := n.Adjust()
	var f *Floating
	if !errors.As(err, &f) || f.All || f.Points[0] != "P4" || !strings.Contains(err.Error(), "point P4") {
		t.Errorf("got %v", err)
	}
	free := Network{Points: []NetworkPoint{{Name: "A"}, {Name: "B", At: geometry.Point{X: 4}}, {Name: "C", At: geometry.Point{Y: 3}}},
		Observations: []Observation{tape(0, 1, 4, 1), tape(0, 2, 3, 1), tape(1, 2, 5, 1)}}
	if _, err := free.Adjust(); !errors.As(err, &f) || !f.All {
		t.Errorf("a figure without a datum: %v", err)
	}
}

// TestPerfectReadingsComeBack: readings of every kind without error give back the true places, whatever the start.
func TestPerfectReadingsComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		truth := []geometry.Point{{}, {X: 12}}
		for range rapid.IntRange(1, 5).Draw(t, "points") {
			truth = append(truth, geometry.Point{X: 12 * r.Float64(), Y: 2 + 8*r.Float64()})
		}
		var n Network
		for i, p := range truth {
			start := p.Add(geometry.Point{X: r.Float64() - 0.5, Y: r.Float64() - 0.5})
			if i < 2 {
				start = p
			}
			n.Points = append(n.Points, NetworkPoint{Name: fmt.Sprint("P", i), At: start, FixedX: i < 2, FixedY: i < 2})
		}
		for i := 2; i < len(truth); i++ {
			for _, o := range []Observation{{Kind: Distance, To: i}, {Kind: Distance, From: 1, To: i}, {Kind: Offset, Along: 1, To: i},
				{Kind: Station, Along: 1, To: i}, {Kind: Angle, Along: 1, To: i}, {Kind: Distance, From: i - 1, To: i},
				{Kind: Offset, From: i - 1, Along: 0, To: i}, {Kind: Station, From: i - 1, Along: 0, To: i}, {Kind: East, To: i}, {Kind: North, To: i}} {
				if o.From == o.Along && (o.Kind == Offset || o.Kind == Station) {
					continue
				}
				o.Value, _ = o.equation(truth[o.From], truth[o.Along], truth[o.To])
				o.Sigma = 0.01
				n.Observations = append(n.Observations, o)
			}
		}
		a, err := n.Adjust()
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range truth {
			if d := a.Points[i].At.Distance(p); d > 1e-8 {
				t.Fatalf("P%d is %g m off", i, d)
			}
		}
	})
}

// TestSlopesOfEquations compares the derivatives with differences.
func TestSlopesOfEquations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		p := [3]geometry.Point{{X: r.Float64(), Y: r.Float64()}, {X: 5 + r.Float64(), Y: r.Float64()}, {X: 2 + r.Float64(), Y: 3 + r.Float64()}}
		o := Observation{Kind: rapid.SampledFrom([]Kind{Distance, Station, Offset, Angle, East, North}).Draw(t, "kind")}
		_, slopes := o.equation(p[0], p[1], p[2])
		const h = 1e-6
		for k := range p {
			for axis, d := range []geometry.Point{{X: h}, {Y: h}} {
				q, m := p, p
				q[k], m[k] = p[k].Add(d), p[k].Sub(d)
				up, _ := o.equation(q[0], q[1], q[2])
				down, _ := o.equation(m[0], m[1], m[2])
				want := []float64{slopes[k].X, slopes[k].Y}[axis]
				near(t, fmt.Sprint(o.Kind, " by point ", k, " axis ", axis), (up-down)/(2*h), want, 1e-7)
			}
		}
	})
}

func TestLevelNet(t *testing.T) { // SITE-02, in feet
	build := func(sigma func(length float64) float64) LevelNet {
		n := LevelNet{Points: []LevelPoint{{"BMX", 100, true}, {"BMY", 107.5, true}, {Name: "A"}, {Name: "B"}, {Name: "C"}}}
		for _, d := range []struct {
			from, to      int
			value, length float64
		}{{0, 2, 5.10, 4}, {2, 1, 2.34, 3}, {1, 4, -1.25, 2}, {4, 0, -6.13, 3}, {2, 3, -0.68, 2}, {1, 3, -3.00, 2}, {3, 4, 1.70, 2}} {
			n.Differences = append(n.Differences, LevelDifference{From: d.from, To: d.to, Value: d.value, Sigma: sigma(d.length)})
		}
		return n
	}
	for _, c := range []struct {
		sigma       func(float64) float64
		a, b, c, s0 float64
	}{
		{func(float64) float64 { return 1 }, 105.141, 104.483, 106.188, 0.0501},
		{func(l float64) float64 { return math.Sqrt(l / 12) }, 105.150, 104.489, 106.197, 0.1072},
	} {
		got, err := build(c.sigma).Adjust()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "A", got.Points[2].Z, c.a, 1e-3)
		near(t, "B", got.Points[3].Z, c.b, 1e-3)
		near(t, "C", got.Points[4].Z, c.c, 1e-3)
		near(t, "s0", got.S0, c.s0, 1e-4)
	}
	loose := build(func(float64) float64 { return 1 })
	loose.Points = append(loose.Points, LevelPoint{Name: "E"}, LevelPoint{Name: "F"})
	loose.Differences = append(loose.Differences, LevelDifference{From: 5, To: 6, Value: 1, Sigma: 1})
	var f *Floating
	if _, err := loose.Adjust(); !errors.As(err, &f) || f.All {
		t.Errorf("two heights tied only to each other: %v", err)
	}
}

func TestLevelBook(t *testing.T) { // SITE-07
	b := LevelBook{Start: 175.5, End: 168.5, EndKnown: true}
	for _, r := range []struct {
		s Sight
		v float64
	}{{Back, 1.379}, {Intermediate, 2.795}, {Intermediate, 3.215}, {Intermediate, 0.595}, {Intermediate, 1.270}, {Fore, 3.215},
		{Back, 1.280}, {Intermediate, 1.030}, {Intermediate, 3.045}, {Fore, 3.815}, {Back, 2.312}, {Fore, 3.227}, {Back, 1.743},
		{Intermediate, 2.735}, {Fore, 3.623}} {
		b.Readings = append(b.Readings, RodReading{Sight: r.s, Reading: r.v})
	}
	l, err := b.Reduce()
	if err != nil {
		t.Fatal(err)
	}
	want := []float64{174.084, 173.664, 176.284, 175.609, 173.664, 173.914, 171.899, 171.129, 170.214, 169.222, 168.334}
	k := 0
	for i, p := range l.Points {
		if b.Readings[i].Sight != Back {
			near(t, "z", p.Z, want[k], 1e-9)
			k++
		}
	}
	near(t, "ΣBS", l.BackSum, 6.714, 1e-9)
	near(t, "ΣFS", l.ForeSum, 13.880, 1e-9)
	near(t, "Σrise", l.RiseSum, 2.870, 1e-9)
	near(t, "Σfall", l.FallSum, 10.036, 1e-9)
	near(t, "misclosure", l.Misclosure, -0.166, 1e-9)
	if !l.ArithmeticAgrees || l.Setups != 4 {
		t.Errorf("agrees %v, %d set-ups", l.ArithmeticAgrees, l.Setups)
	}
	near(t, "closed", l.Points[len(l.Points)-1].Adjusted, 168.5, 1e-9)
	near(t, "first change point", l.Points[5].Correction, 0.166/4, 1e-12)
}

func TestLevelBookByDistance(t *testing.T) {
	b := LevelBook{Start: 10, End: 10.03, EndKnown: true, Readings: []RodReading{
		{"BM", Back, 1, 10}, {"1", Fore, 1, 10}, {"1", Back, 1, 20}, {"x", Intermediate, 1.5, 3}, {"2", Fore, 1, 20}}}
	l, err := b.Reduce()
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0, 0.01, 0.01, 0.03, 0.03} {
		near(t, fmt.Sprint("correction ", i), l.Points[i].Correction, want, 1e-12)
	}
	for _, order := range [][]Sight{{}, {Back}, {Fore, Fore}, {Back, Back, Fore}, {Back, Fore, Fore}, {Back, Intermediate}, {Back, "side", Fore}} {
		var bad LevelBook
		for _, s := range order {
			bad.Readings = append(bad.Readings, RodReading{Sight: s})
		}
		if _, err := bad.Reduce(); err == nil {
			t.Errorf("sights %v pass", order)
		}
	}
}

func TestTwoTapes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		a, b := geometry.Point{X: r.Float64(), Y: r.Float64()}, geometry.Point{X: 5 + r.Float64(), Y: r.Float64()}
		p := geometry.Point{X: 10*r.Float64() - 2, Y: 8*r.Float64() - 4}
		left := geometry.Orient(a, b, p) > 0
		got, err := PointFromTwoTapes(a, a.Distance(p), b, b.Distance(p), left)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "distance", got.At.Distance(p), 0, 1e-6) // flat crossings lose half the digits
	})
	_, err := PointFromTwoTapes(geometry.Point{}, 2, geometry.Point{X: 5}, 2.5, true)
	if err == nil || !strings.Contains(err.Error(), "miss by 0.500 m") {
		t.Error(err)
	}
	flat, err := PointFromTwoTapes(geometry.Point{}, 2.6, geometry.Point{X: 5}, 2.5, true)
	if err != nil || !flat.Weak {
		t.Errorf("%+v %v", flat, err)
	}
}

func TestTwoPegAgreesWithTheInstrument(t *testing.T) {
	const c, a, b = 4e-4, 1.200, 1.750 // error of the level; rod readings by a true level near A
	near, err := TwoPeg(a-b, (a+c*2)-(b+c*32), 2, 32)
	if err != nil || math.Abs(near-c) > 1e-12 || near < CollimationLimit {
		t.Errorf("found %g, %v", near, err)
	}
}

func TestNothingBadPasses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bad := rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), 0, -1}).Draw(t, "bad")
		n := houseTies()
		n.Observations[rapid.IntRange(0, 13).Draw(t, "i")].Value = bad
		if _, err := n.Adjust(); err == nil {
			t.Fatal("a tape of ", bad)
		}
		n = houseTies()
		n.Observations[0].Sigma = bad
		if _, err := n.Adjust(); err == nil {
			t.Fatal("a sigma of ", bad)
		}
		if _, err := CornerAngle(3, 4, bad); err == nil {
			t.Fatal("a side of ", bad)
		}
		if _, err := QuadrilateralArea(1, 1, 1, bad, 1, 1); err == nil {
			t.Fatal("a side of ", bad)
		}
	})
	if _, err := (Network{}).Adjust(); err == nil {
		t.Error("nothing adjusts")
	}
}

func ExampleNetwork_Snoop() {
	// Four corners tied to two house corners; one tape was booked 0.1 m long.
	n := houseTies()
	n.Observations[9].Value = 4.821
	s, err := n.Snoop()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range s.Removed {
		fmt.Printf("measure %s again: it is %.3f m off, perhaps %s\n", r.Name, r.Error, r.Likely)
	}
	// Output: measure P2–P3 again: it is 0.105 m off, perhaps a tenth of a metre dropped
}
