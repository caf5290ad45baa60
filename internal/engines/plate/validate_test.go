package plate

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// What cannot be is said in a sentence that names the thing, the value and a remedy.
func TestFaults(t *testing.T) {
	tyre := Rectangle(Point{2, 2}, 0.2, 0.2, 20e3)
	square := func(x, y float64) Polygon { return Polygon{{x, y}, {x + 2, y}, {x + 2, y + 2}, {x, y + 2}} }
	for _, c := range []struct {
		name   string
		change func(s *Slab, l *Load, m *Mesh)
		says   []string
	}{
		{"support in MPa/m", func(s *Slab, l *Load, m *Mesh) { s.Support = 54 }, []string{"soil", "54 N/m³", "0.1 to 300 MPa/m", "1 pci is 271447"}},
		{"support negative", func(s *Slab, l *Load, m *Mesh) { s.Support = -5e6 }, []string{"-5e+06", "pci"}},
		{"support above 300 MPa/m", func(s *Slab, l *Load, m *Mesh) { s.Support = 4e8 }, []string{"400 MPa/m"}},
		{"support no number", func(s *Slab, l *Load, m *Mesh) { s.Support = math.NaN() }, []string{"NaN"}},
		{"thickness in mm", func(s *Slab, l *Load, m *Mesh) { s.Thickness = 150 }, []string{"150 m", "0.15 is 150 mm or 6 in"}},
		{"thickness zero", func(s *Slab, l *Load, m *Mesh) { s.Thickness = 0 }, []string{"thickness of 0 m"}},
		{"modulus in GPa", func(s *Slab, l *Load, m *Mesh) { s.Modulus = 27.6 }, []string{"27.6 Pa", "27.6e9"}},
		{"Poisson", func(s *Slab, l *Load, m *Mesh) { s.Poisson = 0.5 }, []string{"0.15"}},
		{"weight in kN", func(s *Slab, l *Load, m *Mesh) { s.Weight = -24 }, []string{"24000"}},
		{"expansion", func(s *Slab, l *Load, m *Mesh) { s.Expansion = 10 }, []string{"1e-5"}},
		{"temperature without expansion", func(s *Slab, l *Load, m *Mesh) { s.Expansion = 0; l.Temperature = Gradient(5) }, []string{"thermal expansion"}},
		{"lift-off without weight", func(s *Slab, l *Load, m *Mesh) { s.LiftOff = true; l.Temperature = Gradient(5) }, []string{"hold-down weight missing"}},
		{"no panels", func(s *Slab, l *Load, m *Mesh) { s.Panels = nil }, []string{"no panels"}},
		{"two corners", func(s *Slab, l *Load, m *Mesh) { s.Panels[0].Outline = Polygon{{0, 0}, {1, 1}} }, []string{"panel 1", "at least 3"}},
		{"bow tie", func(s *Slab, l *Load, m *Mesh) { s.Panels[0].Outline = Polygon{{0, 0}, {4, 4}, {4, 0}, {0, 5}} }, []string{"crosses"}},
		{"corner twice", func(s *Slab, l *Load, m *Mesh) { s.Panels[0].Outline = append(s.Panels[0].Outline, Point{0, 4}) }, []string{"corners 4 and 5", "leave one out"}},
		{"corner nowhere", func(s *Slab, l *Load, m *Mesh) { s.Panels[0].Outline[1].X = math.Inf(1) }, []string{"corner 2"}},
		{"panels overlap", func(s *Slab, l *Load, m *Mesh) { s.Panels = append(s.Panels, Panel{Outline: square(3, 1)}) }, []string{"panel 2", "also belong to panel 1"}},
		{"hole outside", func(s *Slab, l *Load, m *Mesh) { s.Panels[0].Holes = []Polygon{square(3, 3)} }, []string{"hole 1 of panel 1", "outside"}},
		{"joint nowhere", func(s *Slab, l *Load, m *Mesh) { s.Joints = []Joint{{Point{1, 1}, Point{2, 1}, 1e7}} }, []string{"joint 1", "both sides"}},
		{"joint negative", func(s *Slab, l *Load, m *Mesh) { s.Joints = []Joint{{Point{1, 1}, Point{2, 1}, -1}} }, []string{"joint 1", "-1"}},
		{"joint of no length", func(s *Slab, l *Load, m *Mesh) { s.Joints = []Joint{{Point{1, 1}, Point{1, 1}, 1}} }, []string{"two different places"}},
		{"skewed hold", func(s *Slab, l *Load, m *Mesh) { s.Holds = []Hold{{From: Point{0, 0}, To: Point{1, 1}}} }, []string{"hold 1", "along x or along y"}},
		{"hold nowhere", func(s *Slab, l *Load, m *Mesh) { s.Holds = []Hold{{From: Point{8, 0}, To: Point{9, 0}}} }, []string{"hold 1", "touches no part"}},
		{"patch outside", func(s *Slab, l *Load, m *Mesh) { l.Patches[0] = Rectangle(Point{7, 2}, 0.2, 0.2, 1e3) }, []string{"(6.900, 1.900)", "100.0 % off the slab"}},
		{"patch across the edge", func(s *Slab, l *Load, m *Mesh) { l.Patches[0] = Rectangle(Point{4, 2}, 0.2, 0.2, 1e3) }, []string{"(3.900, 1.900)", "50.0 % off the slab"}},
		{"tyre pressure infinite", func(s *Slab, l *Load, m *Mesh) { l.Patches[0] = Rectangle(Point{2, 2}, 0, 0, 1e3) }, []string{"patch 1", "infinite"}},
		{"force no number", func(s *Slab, l *Load, m *Mesh) { l.Patches[0].Force = math.NaN() }, []string{"patch 1", "NaN"}},
		{"levels upside down", func(s *Slab, l *Load, m *Mesh) { l.Temperature = Temperature{{1, 0}, {0, 5}} }, []string{"level 2", "0 (top face)"}},
		{"rise in absolute kelvin", func(s *Slab, l *Load, m *Mesh) { l.Temperature = Temperature{{0, 293}} }, []string{"293"}},
		{"mesh of atoms", func(s *Slab, l *Load, m *Mesh) { m.Size = 1e-6 }, []string{"larger element size"}},
		{"mesh negative", func(s *Slab, l *Load, m *Mesh) { m.Size = -1 }, []string{"-1"}},
		{"growth below one", func(s *Slab, l *Load, m *Mesh) { m.Growth = 0.9 }, []string{"0.9"}},
		{"floating", func(s *Slab, l *Load, m *Mesh) { s.Support = 0 }, []string{"panel 1 is not held, it floats"}},
		{"floating second panel", func(s *Slab, l *Load, m *Mesh) {
			s.Panels = append(s.Panels, Panel{Outline: square(4, 0)})
			s.Soils = []SupportArea{{square(4, 0), 0}}
		}, []string{"panel 2 is not held, it floats"}},
		{"hinged on a joint", func(s *Slab, l *Load, m *Mesh) {
			s.Panels = append(s.Panels, Panel{Outline: square(4, 0)})
			s.Soils = []SupportArea{{square(4, 0), 0}}
			s.Joints = []Joint{{Point{4, 0}, Point{4, 2}, 1e8}}
		}, []string{"panel 2 is not held, it tilts freely along x"}},
		{"held along one line", func(s *Slab, l *Load, m *Mesh) {
			s.Support, s.Holds = 0, []Hold{{From: Point{0, 2}, To: Point{4, 2}}}
		}, []string{"panel 1 is not held, it tilts freely along y"}},
		{"lifted away", func(s *Slab, l *Load, m *Mesh) {
			s.LiftOff, s.Weight = true, 1e3
			l.Patches[0] = Rectangle(Point{2, 2}, 2, 2, -1e6)
		}, []string{"not held down"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, l, m := slabA(), Load{Patches: []Patch{tyre}}, Mesh{}
			c.change(&s, &l, &m)
			_, err := Solve(context.Background(), s, l, m)
			if err == nil {
				t.Fatal("no error")
			}
			for _, part := range c.says {
				if !strings.Contains(err.Error(), part) {
					t.Errorf("%q does not say %q", err, part)
				}
			}
			if !strings.HasPrefix(err.Error(), "plate: ") {
				t.Errorf("%q lacks its origin", err)
			}
		})
	}
}

func TestAllFaultsAtOnce(t *testing.T) {
	s := slabA()
	s.Thickness, s.Support, s.Poisson = 150, 54, -1
	if got := s.Validate(); len(got) != 3 {
		t.Errorf("%d faults: %v", len(got), got)
	}
	var f *Fault
	if _, err := Factor(context.Background(), s, Mesh{}); !errors.As(err, &f) || f.Where != "slab" {
		t.Errorf("Factor says %v", err)
	}
	if got := slabA().Validate(); got != nil {
		t.Errorf("a sound slab has faults: %v", got)
	}
}

func TestBoundlessRefuses(t *testing.T) {
	b := boundlessA()
	if _, _, err := b.UnderDisc(1e3, 0); err == nil {
		t.Error("a disc of no radius was taken")
	}
	if _, err := b.UnderPoint(math.NaN(), 1); err == nil {
		t.Error("a force that is no number was taken")
	}
	b.Support = 0
	if _, err := b.UnderPoint(1e3, 1); err == nil {
		t.Error("no support was taken")
	}
}

// Whatever is typed, the answer is an error or numbers: no panic, no NaN.
func TestAnythingTypedIsAnswered(t *testing.T) {
	some := rapid.Float64Range(0.1, 4)
	odd := rapid.OneOf(rapid.SampledFrom([]float64{0, -1, 1, 1e-300, 1e300, math.Inf(1), math.NaN(), 4, 2}), some, some, some, some)
	rapid.Check(t, func(r *rapid.T) {
		s := slabA()
		draw := func(name string) float64 { return odd.Draw(r, name) }
		for range rapid.IntRange(1, 3).Draw(r, "changes") {
			switch rapid.IntRange(0, 9).Draw(r, "what") {
			case 0:
				s.Thickness = draw("h")
			case 1:
				s.Support = 1e7 * draw("k")
			case 2:
				s.Panels[0].Outline[2] = Point{draw("x"), draw("y")}
			case 3:
				s.Thickenings = []Thickening{{Polygon{{draw("a"), 0}, {3, draw("b")}, {1, 4}}, draw("t")}}
			case 4:
				s.Panels[0].Holes = []Polygon{{{draw("a"), 1}, {3, draw("b")}, {1, 3}}}
			case 5:
				s.Joints = []Joint{{Point{draw("a"), draw("b")}, Point{2, 2}, 1e8 * draw("q")}}
			case 6:
				s.Holds = []Hold{{Point{draw("a"), 1}, Point{draw("b"), 1}, true}}
			case 7:
				s.LiftOff, s.Weight = true, 1e4*draw("weight")
			case 8:
				s.Soils = []SupportArea{{Polygon{{0, 0}, {draw("a"), draw("b")}, {0, 4}}, 1e7 * draw("k2")}}
			case 9:
				s.Panels = append(s.Panels, Panel{Outline: Polygon{{4, 0}, {draw("a"), 0}, {6, draw("b")}, {4, 4}}})
			}
		}
		l := Load{Patches: []Patch{Rectangle(Point{draw("px"), draw("py")}, draw("w"), 0.3, 1e4*draw("P"))}, Temperature: Gradient(draw("dT"))}
		res, err := Solve(context.Background(), s, l, Mesh{Size: 0.5})
		if err != nil {
			return
		}
		for _, e := range []Extreme{res.Top, res.Bottom, res.Down, res.Up} {
			if !finite(e.Value, e.At.X, e.At.Y) {
				r.Fatalf("extreme %+v", e)
			}
		}
		balanced(r, res)
	})
}
