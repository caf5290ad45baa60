package plate

import (
	"context"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func near(t testing.TB, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.9g, want %.9g within %g", what, got, want, relative)
	}
}

// A cantilever of two thicknesses, ν = 0, is a beam: deflection is a cubic on each part, which the elements hold exactly.
func TestSteppedCantilever(t *testing.T) {
	s := slabA()
	s.Panels[0].Outline = Polygon{{0, 0}, {2, 0}, {2, 1}, {0, 1}}
	s.Thickness, s.Poisson, s.Support = 0.2, 0, 0
	s.Thickenings = []Thickening{{Polygon{{1, -1}, {3, -1}, {3, 2}, {1, 2}}, 0.1}}
	s.Holds = []Hold{{Point{0, 0}, Point{0, 1}, true}}
	const p = 1e3
	r := solve(t, s, Load{Patches: []Patch{Rectangle(Point{1.9, 0.5}, 0.2, 1, p)}}, Mesh{})
	d1, d2 := s.Rigidity(0.2), s.Rigidity(0.1)
	w1, slope1 := p/d1*(1.9/2-1.0/6), p/d1*(1.9-0.5)
	near(t, "deflection at the step", state(t, r, 0, 1, 0.3).Deflection, w1, 1e-9)
	near(t, "deflection at 1.8 m", state(t, r, 0, 1.8, 0.7).Deflection, w1+slope1*0.8+p/d2*(0.9*0.32-0.512/6), 1e-9)
	near(t, "top stress before the step", state(t, r, 0, 0.9, 0.5).Top.X, 6*p*1.0/0.04, 1e-7)
	near(t, "top stress after the step", state(t, r, 0, 1.1, 0.5).Top.X, 6*p*0.8/0.01, 1e-7)
	near(t, "held force", r.Balance.Held, p, 1e-9)
}

// A thickened edge across the grid answers like one along it.
func TestSkewedThickeningAndSoil(t *testing.T) {
	zone := Polygon{{0, 0}, {0.5, 0}, {0.5, 4}, {0, 4}}
	patch := Rectangle(Point{0.1, 2}, 0.2, 0.2, 20e3)
	build := func(angle float64) (Slab, Load, func(x, y float64) Point) {
		s, l, place := turned(angle, patch)
		var z Polygon
		for _, q := range zone {
			z = append(z, place(q.X, q.Y))
		}
		s.Thickenings, s.Soils = []Thickening{{z, 0.2}}, []SupportArea{{z, 30e6}}
		return s, l, place
	}
	s, l, _ := build(0)
	want := solve(t, s, l, Mesh{PerPatch: 6})
	s, l, place := build(0.4)
	got := solve(t, s, l, Mesh{PerPatch: 6, Size: 0.12})
	for _, q := range []Point{{0, 2}, {0.3, 2}, {1, 2}, {0, 0}} {
		p := place(q.X, q.Y)
		if a, b := state(t, got, 0, p.X, p.Y).Deflection, state(t, want, 0, q.X, q.Y).Deflection; math.Abs(a-b) > 3e-3*want.Down.Value {
			t.Errorf("at %v: %g mm, straight %g", q, a*1e3, b*1e3)
		}
	}
	near(t, "bottom stress", got.Bottom.Value, want.Bottom.Value, 0.015)
	plain := solve(t, slabA(), Load{Patches: []Patch{patch}}, Mesh{PerPatch: 6})
	if !(want.Bottom.Value < plain.Bottom.Value) {
		t.Errorf("thicker at the edge: %g MPa, plain %g", want.Bottom.Value/1e6, plain.Bottom.Value/1e6)
	}
}

func TestSoilAreaOverAllIsTheSoil(t *testing.T) {
	l := Load{Patches: []Patch{Rectangle(Point{1, 1}, 0.3, 0.2, 10e3)}}
	a := slabA()
	a.Support = 30e6
	b := slabA()
	b.Soils = []SupportArea{{Polygon{{-1, -1}, {5, -1}, {5, 5}, {-1, 5}}, 30e6}}
	mesh := Mesh{Size: 0.2}
	near(t, "deflection", solve(t, b, l, mesh).Down.Value, solve(t, a, l, mesh).Down.Value, 1e-9)
}

// A temperature profile without mean and without slope bends nothing; its stress is locked in: −EαT/(1−ν) at each face.
func TestCurvedTemperatureProfile(t *testing.T) {
	var bow Temperature // T = 6 (s − 1/2)² − 1/2 in straight pieces
	for i := range 41 {
		d := float64(i) / 40
		bow = append(bow, Level{d, 6*(d-0.5)*(d-0.5) - 0.5})
	}
	r := solve(t, slabA(), Load{Temperature: bow}, Mesh{})
	want := -27.6e9 * 1e-5 / 0.85 * 1
	s := state(t, r, 0, 1.3, 2.2)
	near(t, "top", s.Top.X, want, 2e-3) // the pieces miss the parabola by 1/1000
	near(t, "bottom", s.Bottom.Y, want, 2e-3)
	if math.Abs(s.Deflection) > 1e-12 {
		t.Errorf("deflects %g m", s.Deflection)
	}
	lowered := slices.Clone(bow)
	for i := range lowered {
		lowered[i].Rise += 7
	}
	same := state(t, solve(t, slabA(), Load{Temperature: lowered}, Mesh{}), 0, 1.3, 2.2)
	near(t, "an even change makes no stress", same.Top.X, s.Top.X, 1e-6)
}

func TestTemperatureSplit(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		var p Temperature
		for d := 0.0; d <= 1; d += rapid.Float64Range(0.05, 0.5).Draw(r, "step") {
			p = append(p, Level{d, rapid.Float64Range(-30, 30).Draw(r, "rise")})
		}
		difference, top, bottom := p.split()
		at := func(d float64) float64 {
			for i := 1; i < len(p); i++ {
				if d <= p[i].Depth {
					return p[i-1].Rise + (p[i].Rise-p[i-1].Rise)*(d-p[i-1].Depth)/(p[i].Depth-p[i-1].Depth)
				}
			}
			return p[len(p)-1].Rise
		}
		const n = 20000
		var mean, moment float64
		for i := range n {
			d := (float64(i) + 0.5) / n
			mean += at(d) / n
			moment -= 12 * at(d) * (d - 0.5) / n
		}
		if math.Abs(difference-moment) > 1e-2 {
			r.Errorf("difference %g, summed %g", difference, moment)
		}
		if math.Abs(top-(p[0].Rise-mean-moment/2)) > 1e-2 || math.Abs(bottom-(at(1)-mean+moment/2)) > 1e-2 {
			r.Errorf("rests %g and %g", top, bottom)
		}
	})
}

// randomSlab is any rectangle of one to four bays with any joint, thickness, soil and perhaps a skewed side.
func randomSlab(r *rapid.T) (Slab, Load) {
	length := func(name string) float64 { return rapid.Float64Range(1.5, 5).Draw(r, name) }
	s := Slab{
		Thickness: rapid.Float64Range(0.08, 0.4).Draw(r, "h"), Modulus: rapid.Float64Range(15e9, 40e9).Draw(r, "E"),
		Poisson: rapid.Float64Range(0, 0.3).Draw(r, "nu"), Support: rapid.Float64Range(1e7, 2e8).Draw(r, "k"),
		Weight: 24e3, Expansion: 1e-5, LiftOff: rapid.Bool().Draw(r, "lift"),
	}
	xs, ys := []float64{0, length("x1")}, []float64{0, length("y1")}
	if rapid.Bool().Draw(r, "two") {
		xs = append(xs, xs[1]+length("x2"))
	}
	shear := rapid.SampledFrom([]float64{0, 1e6, 1e8, 1e11}).Draw(r, "shear")
	s.Panels, s.Joints = Bays(xs, ys, nil, shear)
	if rapid.Bool().Draw(r, "skew") {
		s.Panels[0].Outline[3].X += rapid.Float64Range(0, 0.6).Draw(r, "lean")
	}
	l := Load{Temperature: Gradient(rapid.Float64Range(-12, 12).Draw(r, "dT"))}
	for range rapid.IntRange(0, 3).Draw(r, "patches") {
		x := rapid.Float64Range(0.75, xs[len(xs)-1]-0.15).Draw(r, "x")
		y := rapid.Float64Range(0.15, ys[1]-0.15).Draw(r, "y")
		l.Patches = append(l.Patches, Rectangle(Point{x, y}, 0.3, 0.3, rapid.Float64Range(1e3, 60e3).Draw(r, "P")))
	}
	return s, l
}

// Every slab answers, in balance, with numbers; the soil that only pushes never pulls; and twice the patches push it
// further down.
func TestRandomSlabs(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, l := randomSlab(r)
		f, err := Factor(context.Background(), s, Mesh{})
		if err != nil {
			r.Fatal(err)
		}
		a, err := f.Solve(context.Background(), l)
		if err != nil {
			r.Fatal(err)
		}
		balanced(r, a)
		for _, p := range a.Field() {
			if !finite(p.Deflection, p.Top.X, p.Top.Y, p.Top.XY, p.Bottom.X, p.MomentX, p.SlopeX, p.SlopeY) {
				r.Fatalf("no number at %v: %+v", p.At, p.State)
			}
		}
		if a.Contact <= 0 || a.Contact > 1 {
			r.Errorf("contact share %g", a.Contact)
		}
		if len(l.Patches) == 0 {
			return
		}
		double := Load{Temperature: l.Temperature, Patches: append(slices.Clone(l.Patches), l.Patches...)}
		b, err := f.Solve(context.Background(), double)
		if err != nil {
			r.Fatal(err)
		}
		// The work of the patches on what they add is positive: K is positive definite and soil only stiffens with depth.
		work := 0.0
		for _, p := range l.Patches {
			c := p.Area.bounds().centre()
			panel := f.m.panelAt(c)
			x, _ := a.At(panel, c)
			y, _ := b.At(panel, c)
			work += p.Force * (y.Deflection - x.Deflection)
		}
		if work <= 0 {
			r.Errorf("twice the load sinks no further: work %g", work)
		}
	})
}

// E. Betti: the work of one load on the deflection by another is the same the other way round.
func TestReciprocity(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := randomSlab(r)
		s.LiftOff, s.Weight = false, 0
		f, err := Factor(context.Background(), s, Mesh{})
		if err != nil {
			r.Fatal(err)
		}
		patch := func(name string) Load {
			return Load{Patches: []Patch{Rectangle(Point{rapid.Float64Range(0.75, 1.35).Draw(r, name+"x"), rapid.Float64Range(0.15, 1.35).Draw(r, name+"y")}, 0.3, 0.3, 1e4)}}
		}
		la, lb := patch("a"), patch("b")
		va, err := f.vector(la)
		must(t, err)
		vb, err := f.vector(lb)
		must(t, err)
		res, err := f.SolveAll(context.Background(), []Load{la, lb})
		if err != nil {
			r.Fatal(err)
		}
		var ab, ba float64
		for i := range va {
			ab += va[i] * res[1].u[i]
			ba += vb[i] * res[0].u[i]
		}
		if math.Abs(ab-ba) > 1e-9*math.Abs(ab)+1e-12*math.Abs(res[0].Down.Value*1e4) {
			r.Errorf("work %g one way, %g the other", ab, ba)
		}
	})
}

// Mirrored in both axes, or moved a long way off, a slab answers the same.
func TestSymmetryAndPlace(t *testing.T) {
	s := slabA()
	patch := Rectangle(Point{0.7, 1.2}, 0.3, 0.2, 20e3)
	a := solve(t, s, Load{Patches: []Patch{patch}}, Mesh{})
	swap := Patch{Force: patch.Force}
	for _, q := range patch.Area {
		swap.Area = append(swap.Area, Point{4 - q.Y, 4 - q.X})
	}
	b := solve(t, s, Load{Patches: []Patch{swap}}, Mesh{})
	moved := Patch{Force: patch.Force}
	for i, q := range s.Panels[0].Outline {
		s.Panels[0].Outline[i] = Point{q.X + 512, q.Y - 256}
	}
	for _, q := range patch.Area {
		moved.Area = append(moved.Area, Point{q.X + 512, q.Y - 256})
	}
	c := solve(t, s, Load{Patches: []Patch{moved}}, Mesh{})
	for _, q := range []Point{{0.7, 1.2}, {0, 0}, {4, 1}, {2.2, 3.1}} {
		want := state(t, a, 0, q.X, q.Y)
		mirrored, far := state(t, b, 0, 4-q.Y, 4-q.X), state(t, c, 0, q.X+512, q.Y-256)
		near(t, "mirrored deflection", mirrored.Deflection, want.Deflection, 1e-8)
		near(t, "moved deflection", far.Deflection, want.Deflection, 1e-8)
		if d := math.Abs(mirrored.Bottom.Y-want.Bottom.X) + math.Abs(far.Bottom.X-want.Bottom.X); d > 1e-5*a.Bottom.Value {
			t.Errorf("at %v: stress %g, mirrored %g, moved %g", q, want.Bottom.X, mirrored.Bottom.Y, far.Bottom.X)
		}
	}
}

// A wide panel under a disc is a boundless plate.
func TestWidePanelIsBoundless(t *testing.T) {
	s := slabA()
	s.Panels[0].Outline = Polygon{{0, 0}, {7, 0}, {7, 7}, {0, 7}}
	r := solve(t, s, Load{Patches: []Patch{roundPatch(Point{3.5, 3.5}, 0.1, 20e3)}}, Mesh{PerPatch: 8})
	w, tension, err := boundlessA().UnderDisc(20e3, 0.1)
	must(t, err)
	c := state(t, r, 0, 3.5, 3.5)
	near(t, "deflection", c.Deflection, w, 1e-3)
	near(t, "tension", c.Bottom.X, tension, 4e-3) // the edges at 5.7 l are still felt: 2e-3
	for _, far := range []float64{0.4, 0.9, 1.5} {
		want, err := boundlessA().UnderPoint(20e3, far)
		must(t, err)
		if got := state(t, r, 0, 3.5+far, 3.5).Deflection; math.Abs(got-want) > 3e-3*w {
			t.Errorf("%g m off: %g, want %g", far, got, want)
		}
	}
}

// Values of M. Abramowitz and I. A. Stegun, table 9.12 (recalled), and the differential equation that both functions obey.
func TestKelvinFunctions(t *testing.T) {
	for _, row := range []struct{ x, ker, kei float64 }{{0.1, 2.4204739805, -0.7768506457}, {1, 0.2867062087, -0.4949946365}, {5, -0.0115117271, 0.0111875865}} {
		ker, _ := Ker(row.x)
		kei, _ := Kei(row.x)
		if math.Abs(ker-row.ker) > 1e-8 || math.Abs(kei-row.kei) > 1e-8 {
			t.Errorf("ker %g = %.10f, kei = %.10f, want %.10f and %.10f", row.x, ker, kei, row.ker, row.kei)
		}
	}
	rapid.Check(t, func(r *rapid.T) {
		x := rapid.Float64Range(0.01, 12).Draw(r, "x")
		// x ker″ + ker′ = −x kei: by central differences of the derivative.
		h := 1e-5 * x
		_, a := Ker(x + h)
		_, b := Ker(x - h)
		_, d := Ker(x)
		kei, _ := Kei(x)
		if left, right := x*(a-b)/(2*h)+d, -x*kei; math.Abs(left-right) > 1e-6*(math.Abs(d)+math.Abs(right)) {
			r.Errorf("x = %g: %g, want %g", x, left, right)
		}
	})
	for _, x := range []float64{0, -1, math.NaN()} {
		if v, _ := Ker(x); !math.IsNaN(v) {
			t.Errorf("ker %g = %g", x, v)
		}
	}
}

func TestDowels(t *testing.T) {
	d := Dowels{Diameter: 0.025, Modulus: 200e9, Spacing: 0.3, Opening: 0.003, Bedding: 407e9}
	q, err := d.JointShear()
	must(t, err)
	// By hand: I 1.91748e-8, EI 3834.95, β (407e9·0.025/15339.8)^¼ = 28.5386, DCI 4·23243.3·3834.95/2.085616 = 1.709566e8,
	// bar 3³e-9/(12·3834.95) = 5.8671e-13, q = 1/0.3/(5.84944e-9 + 5.8671e-13).
	near(t, "shear stiffness", q, 5.69790e8, 1e-3)
	wider := d
	wider.Opening = 0.02
	if w, _ := wider.JointShear(); !(w < q) {
		t.Error("a wider opening is stiffer")
	}
	for _, bad := range []Dowels{{}, {Diameter: 25, Modulus: 200e9, Spacing: 0.3, Bedding: 407e9}, {Diameter: 0.025, Modulus: 200e9, Spacing: math.NaN(), Bedding: 407e9}} {
		if _, err := bad.JointShear(); err == nil {
			t.Errorf("%+v: no error", bad)
		}
	}
}
