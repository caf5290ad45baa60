package plate

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// outlines is how many are drawn; 200 pass as well.
const outlines = 12

// shapes are outlines that no grid fits.
func shapes() map[string]Panel {
	round := Polygon{{0, 0}, {4, 0}}
	for i := range 13 {
		s, c := math.Sincos(math.Pi / 2 * float64(i) / 12)
		round = append(round, Point{2.5 + 1.5*c, 2.5 + 1.5*s})
	}
	round = append(round, Point{0, 4})
	return map[string]Panel{
		"L":            {Outline: Polygon{{0, 0}, {5, 0}, {5, 2}, {2, 2}, {2, 4}, {0, 4}}},
		"skewed side":  {Outline: Polygon{{0, 0}, {4, 0}, {3.1, 4.2}, {0, 4.2}}},
		"triangle":     {Outline: Polygon{{0, 0}, {4, 1}, {1, 3.7}}},
		"round corner": {Outline: round},
		"box-out":      {Outline: Polygon{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, Holes: []Polygon{{{1.13, 1.21}, {1.74, 1.21}, {1.74, 1.83}, {1.13, 1.83}}}},
		"skewed lid":   {Outline: Polygon{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, Holes: []Polygon{{{1.5, 1.1}, {1.9, 1.5}, {1.5, 1.9}, {1.1, 1.5}}}},
		"round cap":    {Outline: Polygon{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, Holes: []Polygon{roundPatch(Point{2.2, 1.9}, 0.4, 1).Area}},
	}
}

// The patch test: a free, weightless slab of any shape bends under a temperature difference into a paraboloid without
// stress. Every element, whole or cut, must hold constant curvature exactly.
func TestPatchTestOnAnyShape(t *testing.T) {
	for name, p := range shapes() {
		t.Run(name, func(t *testing.T) {
			s := slabA()
			s.Panels, s.Support = []Panel{p}, 0
			s.Holds = []Hold{{Point{0.9, 0.9}, Point{0.9, 0.9}, true}}
			r := solve(t, s, Load{Temperature: Gradient(-8)}, Mesh{Size: 0.3})
			free := s.Modulus * s.Expansion * 8 / 2
			if worst := max(r.Top.Value, r.Bottom.Value); worst > 1e-6*free {
				t.Errorf("stress %g Pa where there is none; %g Pa if it were locked", worst, free)
			}
			for _, q := range p.Outline {
				want := s.Expansion * -8 / (2 * s.Thickness) * ((q.X-0.9)*(q.X-0.9) + (q.Y-0.9)*(q.Y-0.9))
				if got := state(t, r, 0, q.X, q.Y).Deflection; math.Abs(got-want) > 1e-6*math.Abs(want) {
					t.Errorf("at %v: %g m, want %g", q, got, want)
				}
			}
		})
	}
}

// A rigid movement on even soil: weight alone sinks any shape evenly.
func TestWeightSinksAnyShapeEvenly(t *testing.T) {
	for name, p := range shapes() {
		t.Run(name, func(t *testing.T) {
			s := slabA()
			s.Panels, s.Weight = []Panel{p}, 24e3
			r := solve(t, s, Load{}, Mesh{})
			want := s.Weight * s.Thickness / s.Support
			if math.Abs(r.Down.Value-want) > 1e-8*want || math.Abs(r.Up.Value-want) > 1e-8*want {
				t.Errorf("sinks %g to %g m, want %g", r.Up.Value, r.Down.Value, want)
			}
			area := p.Outline.Area()
			for _, h := range p.Holes {
				area -= h.Area()
			}
			if w := area * s.Weight * s.Thickness; math.Abs(r.Balance.Applied-w) > 1e-9*w {
				t.Errorf("weighs %g N, want %g", r.Balance.Applied, w)
			}
		})
	}
}

// turned is slab A turned about its middle, with its load, and the map from its own places.
func turned(angle float64, patches ...Patch) (Slab, Load, func(x, y float64) Point) {
	s, c := math.Sincos(angle)
	place := func(x, y float64) Point { return Point{2 + c*(x-2) - s*(y-2), 2 + s*(x-2) + c*(y-2)} }
	move := func(p Polygon) (out Polygon) {
		for _, q := range p {
			out = append(out, place(q.X, q.Y))
		}
		return out
	}
	slab := slabA()
	slab.Panels[0].Outline = move(slab.Panels[0].Outline)
	var l Load
	for _, p := range patches {
		l.Patches = append(l.Patches, Patch{Area: move(p.Area), Force: p.Force})
	}
	return slab, l, place
}

// A slab that lies across the grid must answer like one along it. Deflection is held to 0.2 %, the tolerance of the
// straight slab; stress, whose load is now not on mesh lines, to 1 %.
func TestTurnedSlabAnswersLikeStraightOne(t *testing.T) {
	for name, at := range map[string]Point{"middle": {2, 2}, "edge": {0.1, 2}, "corner": {0.1, 0.1}} {
		patch := Rectangle(at, 0.2, 0.2, 20e3)
		straight := solve(t, slabA(), Load{Patches: []Patch{patch}}, Mesh{PerPatch: 8})
		for _, degrees := range []float64{7, 30, 45, 61} {
			s, l, place := turned(degrees*math.Pi/180, patch)
			r := solve(t, s, l, Mesh{PerPatch: 6})
			for _, q := range []Point{{2, 2}, {0, 2}, {0, 0}, {0, 1}, {0.6, 0.6}} {
				p := place(q.X, q.Y)
				want, got := state(t, straight, 0, q.X, q.Y).Deflection, state(t, r, 0, p.X, p.Y).Deflection
				if math.Abs(got-want) > 2e-3*straight.Down.Value {
					t.Errorf("%s, %g°: at %v %g mm, straight %g", name, degrees, q, got*1e3, want*1e3)
				}
			}
			if d := r.Bottom.Value/straight.Bottom.Value - 1; math.Abs(d) > 0.01 {
				t.Errorf("%s, %g°: bottom %.4g MPa at %v, straight %.4g (%+.2f %%)", name, degrees, r.Bottom.Value/1e6, r.Bottom.At, straight.Bottom.Value/1e6, 100*d)
			}
			if d := r.Top.Value/straight.Top.Value - 1; math.Abs(d) > 0.01 {
				t.Errorf("%s, %g°: top %.4g MPa at %v, straight %.4g (%+.2f %%)", name, degrees, r.Top.Value/1e6, r.Top.At, straight.Top.Value/1e6, 100*d)
			}
		}
	}
}

// The same for outlines with an inward corner and with a box-out, curled by day, with a wheel at an edge: straight, they
// lie on mesh lines; turned, every side is cut. Compared away from the inward corners, where stress has a bound.
func TestTurnedShapesAnswerLikeStraightOnes(t *testing.T) {
	wheel := Rectangle(Point{0.1, 1.2}, 0.2, 0.2, 20e3)
	for _, name := range []string{"L", "box-out"} {
		build := func(angle float64) (Slab, Load, func(x, y float64) Point) {
			s, l, place := turned(angle, wheel)
			p := shapes()[name]
			for i, q := range p.Outline {
				p.Outline[i] = place(q.X, q.Y)
			}
			for _, h := range p.Holes {
				for i, q := range h {
					h[i] = place(q.X, q.Y)
				}
			}
			s.Panels[0] = p
			l.Temperature = Gradient(6)
			return s, l, place
		}
		s, l, _ := build(0)
		straight := solve(t, s, l, Mesh{PerPatch: 6, Size: 0.12})
		for _, degrees := range []float64{17, 45} {
			s, l, place := build(degrees * math.Pi / 180)
			r := solve(t, s, l, Mesh{PerPatch: 6})
			for _, q := range []Point{{0, 1.2}, {0, 0}, {0, 3}, {0.7, 0.6}, {3.9, 1.1}, {1.5, 0}} {
				p := place(q.X, q.Y)
				want, got := state(t, straight, 0, q.X, q.Y), state(t, r, 0, p.X, p.Y)
				if math.Abs(got.Deflection-want.Deflection) > 3e-3*straight.Down.Value {
					t.Errorf("%s, %g°: at %v %g mm, straight %g", name, degrees, q, got.Deflection*1e3, want.Deflection*1e3)
				}
				if a, b := got.Bottom.greatest(), want.Bottom.greatest(); math.Abs(a-b) > 0.01*governing(straight) {
					t.Errorf("%s, %g°: at %v %g MPa, straight %g", name, degrees, q, a/1e6, b/1e6)
				}
			}
		}
	}
}

// However little of a cell is slab, the answer must not notice: the slab ends fractions of a cell past a mesh line, with
// slivers from a ten-millionth of a cell up.
func TestSliversDoNotMatter(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	for range 30 {
		share, tilt := math.Pow(10, -7+6.7*random.Float64()), 0.3*random.Float64()
		s := slabA()
		// The right side leans; its foot stands just past a mesh line set by the corner of a soil area.
		foot := 3 + 0.2*share
		s.Panels[0].Outline = Polygon{{0, 0}, {foot, 0}, {foot + tilt, 3}, {0, 3}}
		s.Soils = []SupportArea{{Polygon{{0, 0}, {3, 0}, {3, 1}, {0, 1}}, s.Support}}
		l := Load{Patches: []Patch{Rectangle(Point{2.5, 1.5}, 0.3, 0.3, 30e3)}}
		got := solve(t, s, l, Mesh{})
		s.Soils = nil
		want := solve(t, s, l, Mesh{Size: 0.19})
		if math.Abs(got.Down.Value-want.Down.Value) > 2e-3*want.Down.Value || math.Abs(got.Bottom.Value-want.Bottom.Value) > 1e-2*want.Bottom.Value {
			t.Errorf("share %g: %g mm and %g MPa, want %g and %g", share, got.Down.Value*1e3, got.Bottom.Value/1e6, want.Down.Value*1e3, want.Bottom.Value/1e6)
		}
	}
}

// On outlines drawn at random, with a wheel against a random side, the default mesh is within 1 % in stress and 0.3 % in
// deflection of one twice as fine.
func TestRandomOutlines(t *testing.T) {
	for seed := range uint64(outlines) {
		random := rand.New(rand.NewPCG(seed, 7))
		corners := 3 + random.IntN(5)
		var p Polygon
		for i := range corners {
			s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.6*random.Float64()) / float64(corners))
			r := 1.6 + random.Float64()
			p = append(p, Point{3 + r*c, 3 + r*s})
		}
		s := slabA()
		s.Panels[0].Outline = p
		side := outward(p, false)[random.IntN(corners)]
		wheel := Rectangle(Point{}, 0.25, 0.2, 20e3).Place(Point{}, math.Atan2(side.ny, side.nx))
		on := side.point(0.25 + 0.5*random.Float64())
		wheel = wheel.Place(Point{on.X - 0.126*side.nx, on.Y - 0.126*side.ny}, 0)
		l := Load{Patches: []Patch{wheel}}
		a := solve(t, s, l, Mesh{})
		b := solve(t, s, l, halved(Mesh{}.filled(s)))
		for q, pair := range [3][2]float64{{a.Top.Value, b.Top.Value}, {a.Bottom.Value, b.Bottom.Value}, {a.Down.Value, b.Down.Value}} {
			limit := [3]float64{0.01 * governing(b), 0.01 * governing(b), 3e-3 * b.Down.Value}[q]
			if d := pair[0] - pair[1]; math.Abs(d) > limit {
				t.Errorf("seed %d, %v: quantity %d: %g, finer %g (%+.2f %%)", seed, p, q, pair[0], pair[1], 100*d/pair[1])
			}
		}
	}
}

// A joint that runs across the grid passes shear like one along it.
func TestSkewedJoint(t *testing.T) {
	angle := 0.4
	s, c := math.Sincos(angle)
	place := func(p Point) Point { return Point{c*p.X - s*p.Y, s*p.X + c*p.Y} }
	straight := twoPanels(10)
	patch := Rectangle(Point{2.9, 2}, 0.2, 0.2, 20e3)
	a := solve(t, straight, Load{Patches: []Patch{patch}}, Mesh{})
	skewed := twoPanels(10)
	for k := range skewed.Panels {
		for i, p := range skewed.Panels[k].Outline {
			skewed.Panels[k].Outline[i] = place(p)
		}
	}
	for k, j := range skewed.Joints {
		skewed.Joints[k].From, skewed.Joints[k].To = place(j.From), place(j.To)
	}
	for i, p := range patch.Area {
		patch.Area[i] = place(p)
	}
	b := solve(t, skewed, Load{Patches: []Patch{patch}}, Mesh{PerPatch: 6})
	for panel := range 2 {
		want := state(t, a, panel, 3, 2).Deflection
		p := place(Point{3, 2})
		if got := state(t, b, panel, p.X, p.Y).Deflection; math.Abs(got-want) > 3e-3*want {
			t.Errorf("panel %d: %g mm, straight %g", panel, got*1e3, want*1e3)
		}
	}
}

func TestPlaceOffTheSlabIsRefused(t *testing.T) {
	s := slabA()
	s.Panels[0] = shapes()["skewed side"]
	r := solve(t, s, Load{Patches: []Patch{Rectangle(Point{1, 1}, 0.2, 0.2, 1e3)}}, Mesh{})
	for _, p := range []Point{{3.9, 4}, {-1, 0}, {9, 9}} {
		if _, err := r.At(0, p); err == nil {
			t.Errorf("%v has a state", p)
		}
	}
	if _, err := r.At(1, Point{1, 1}); err == nil {
		t.Error("panel 1 of one panel has a state")
	}
	_, err := Solve(context.Background(), s, Load{Patches: []Patch{Rectangle(Point{3.8, 2}, 0.3, 0.3, 1e3)}}, Mesh{})
	if err == nil {
		t.Error("a patch across the skewed side was taken")
	}
}

// The exact curl of a free round slab on soil that holds both ways: w = Re C (ber r/l + i bei r/l), with no radial moment
// and no shear at the rim. It proves cut elements on a curved edge.
func TestRoundSlabCurlsLikeTheKelvinFunctions(t *testing.T) {
	const radius, difference = 1.5, 10.0
	s := slabA()
	s.Panels[0].Outline = roundPatch(Point{2, 2}, radius, 1).Area
	l := s.Radius()
	// f = Σ (i x²/4)^k/(k!)² and its derivatives by r.
	series := func(r float64) (f, first, second complex128) {
		term := complex(1, 0)
		for k := range 40 {
			f += term
			p := float64(2 * k)
			if k > 0 && r > 0 {
				first += term * complex(p/r, 0)
				second += term * complex(p*(p-1)/(r*r), 0)
			}
			term *= complex(0, r*r/(4*l*l)) / complex(float64((k+1)*(k+1)), 0)
		}
		return f, first, second
	}
	_, d1, d2 := series(radius)
	bend := d2 + complex(s.Poisson/radius, 0)*d1 // Re(C·bend) = (1+ν) αΔT/h
	shear := 1i * d1                             // Re(C·shear) = 0
	free := (1 + s.Poisson) * s.Expansion * difference / s.Thickness
	// With C = a + ib: a Re − b Im.
	det := -real(bend)*imag(shear) + imag(bend)*real(shear)
	c := complex(-free*imag(shear)/det, -free*real(shear)/det)

	r := solve(t, s, Load{Temperature: Gradient(difference)}, Mesh{})
	for _, far := range []float64{0, 0.5, 1, 1.49} {
		f, first, second := series(far)
		w := real(c * f)
		got := state(t, r, 0, 2+far*0.6, 2+far*0.8)
		if math.Abs(got.Deflection-w) > 1e-3*r.Down.Value {
			t.Errorf("at %g m: %g, want %g", far, got.Deflection, w)
		}
		if far == 0 {
			continue
		}
		tangential := s.Rigidity(s.Thickness) * (free - real(c*first)/far - s.Poisson*real(c*second))
		if _, least, _ := got.Bottom.Principal(); far > 1 {
			greatest, _, _ := got.Bottom.Principal()
			want := 6 * tangential / (s.Thickness * s.Thickness)
			if math.Abs(greatest-want) > 5e-3*want || math.Abs(least) > 0.02*want {
				t.Errorf("at %g m: hoop stress %g and radial %g, want %g and next to 0", far, greatest, least, want)
			}
		}
	}
}

func TestInwardCorners(t *testing.T) {
	for name, want := range map[string]int{"L": 1, "skewed side": 0, "triangle": 0, "round corner": 0, "box-out": 4, "skewed lid": 4, "round cap": 0} {
		for _, flip := range []bool{false, true} {
			p := shapes()[name]
			if flip {
				slices.Reverse(p.Outline)
				for _, h := range p.Holes {
					slices.Reverse(h)
				}
			}
			got := Slab{Panels: []Panel{p}}.InwardCorners()
			if len(got) != want {
				t.Errorf("%s (reversed %v): %d inward corners, want %d: %v", name, flip, len(got), want, got)
			}
			if name == "L" && len(got) == 1 && (got[0].At != Point{2, 2} || math.Abs(got[0].Value-math.Pi/2) > 1e-12) {
				t.Errorf("the corner of the L is %+v", got[0])
			}
		}
	}
}
