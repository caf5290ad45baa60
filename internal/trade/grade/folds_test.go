package grade

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

func spotted(x, y float64) Spotted { return Spotted{X: feet(x), Y: feet(y)} }

func lettered(c string) Spotted { return Spotted{Corner: c} }

// court is 40 by 30 ft of nearly level ground.
func court() Input {
	in := Defaults()
	in.Outline = geometry.Rectangle(quantity.Feet(40).Metres(), quantity.Feet(30).Metres())
	in.Thickness = known.Say(quantity.Inches(5))
	in.Ground = []Spot{spot(-4, -4, 99.6), spot(44, -4, 99.5), spot(44, 34, 99.7), spot(-4, 34, 99.8), spot(20, 15, 99.6)}
	return in
}

// pan is the court with four valleys to a drain in its middle.
func pan() Input {
	in := court()
	for _, c := range []string{"A", "B", "C", "D"} {
		in.Folds = append(in.Folds, Fold{From: lettered(c), To: spotted(20, 15), Kind: Valley})
	}
	return in
}

func TestFourPanelsFallToADrain(t *testing.T) {
	in := pan()
	r := mustDesign(t, in)
	if len(r.Panels) != 4 || len(r.Folds) != 4 || r.Low != "P1" {
		t.Fatalf("%d panels, %d folds, lowest %s", len(r.Panels), len(r.Folds), r.Low)
	}
	drain := geometry.Point{X: quantity.Feet(20).Metres(), Y: quantity.Feet(15).Metres()}
	for _, p := range r.Panels {
		toward := drain.Sub(p.Outline.Centroid()).Unit()
		// A compass point off at most, where the slab may lean 1 % across: 2 % · cos 22.5° − 1 % · sin 22.5° at the worst.
		if fall := -p.Plane.slope().Dot(toward); fall < 0.0146 || p.Slope < 0.02-1e-7 {
			t.Errorf("panel %s falls %v to the drain", p.Name, fall)
		}
		// 1e-7 m: misfit of the program on a lot of this size.
		if gap := p.Plane.At(drain) - r.Panels[0].Plane.At(drain); math.Abs(gap) > 1e-7 {
			t.Errorf("panel %s gapes %v at the drain", p.Name, gap)
		}
	}
	if r.Least < in.Least.Value-1e-6 {
		t.Errorf("least fall %v as set", r.Least)
	}
	if len(Picture(in, r)[0].Marks) < 12 {
		t.Error("folds are not drawn")
	}
	for _, s := range r.Working.Steps {
		for _, from := range s.From {
			if _, ok := r.Working.Find(from); !ok && !strings.Contains(from, ".") {
				t.Errorf("%s rests on %s, which is not there", s.Name, from)
			}
		}
	}
}

func TestAHipShedsBothWays(t *testing.T) {
	in := court()
	in.Folds = []Fold{{From: spotted(20, 0), To: spotted(20, 30), Kind: Hip}}
	r := mustDesign(t, in)
	if len(r.Panels) != 2 || r.Panels[0].Plane.B*r.Panels[1].Plane.B >= 0 {
		t.Fatalf("panels %+v", r.Panels)
	}
	if h := r.High; !strings.Contains(h, "P1") && !strings.Contains(h, "P2") {
		t.Errorf("highest %s is not on the hip", h)
	}
}

func TestAValleyRunsDownItsWay(t *testing.T) {
	in := court()
	in.Folds = []Fold{{From: spotted(20, 30), To: spotted(20, 0), Kind: Valley}}
	in.Cross = known.Say(quantity.Slope(0.015))
	r := mustDesign(t, in)
	if r.Folds[0].Slope < 0.01-1e-6 || r.Folds[0].Break < 0.03 {
		t.Errorf("valley falls %v and bends %v", r.Folds[0].Slope, r.Folds[0].Break)
	}
}

func TestPanelsHoldTheSameEarthAsTheirSum(t *testing.T) {
	in := pan()
	r := mustDesign(t, in)
	var net, area float64
	for _, c := range r.Cells {
		net += float64(c.Depth) * float64(c.Area)
		area += float64(c.Area)
	}
	// 2 %: a cell counts its middle's depth; the overlay is exact, and bends within cells.
	if exact := float64(r.Cut - r.Fill); math.Abs(exact-net) > 0.02*exact {
		t.Errorf("cells hold %v m³, the overlay %v", net, exact)
	}
	if want := in.Outline.Area() * in.Thickness.Value.Metres(); math.Abs(float64(r.NetVolume)-want) > 1e-9 {
		t.Errorf("concrete %v, not %v", r.NetVolume, want)
	}
	in.BaseShots = []Spot{{At: geometry.Point{X: 3, Y: 3}, Elevation: known.Say(quantity.Length(r.Panels[r.panelOf(geometry.Point{X: 3, Y: 3})].Plane.At(geometry.Point{X: 3, Y: 3})) - in.Thickness.Value)}}
	if shot := mustDesign(t, in); math.Abs(float64(shot.NetVolume-r.NetVolume)) > 1e-6 {
		t.Errorf("a base as drawn takes %v m³, not %v", shot.NetVolume, r.NetVolume)
	}
}

// panelOf is the panel of a result that holds a place.
func (r Result) panelOf(p geometry.Point) int {
	for i, q := range r.Panels {
		if q.Outline.Contains(p) {
			return i
		}
	}
	return 0
}

func TestFoldsThatCannotBeAreSaid(t *testing.T) {
	for field, f := range map[string]Fold{
		"grade.folds[1].from.corner": {From: lettered("K"), To: spotted(1, 1), Kind: Hip},
		"grade.folds[1].to":          {From: lettered("A"), Kind: Hip},
		"grade.folds[1].kind":        {From: lettered("A"), To: lettered("C")},
		"grade.folds[1]":             {From: lettered("A"), To: spotted(20, 15), Kind: Valley},
	} {
		in := court()
		in.Folds = []Fold{f}
		if _, err := Design(in); !isFault(err, field) {
			t.Errorf("%s: %v", field, err)
		}
	}
	in := pan()
	in.Break = known.Say(quantity.Slope(0.01))
	_, err := Design(in)
	var faults check.Faults
	if !errors.As(err, &faults) || !strings.Contains(err.Error(), "a bend of at most 1.00 %") {
		t.Errorf("a bend of 1 %% between panels of 2 %%: %v", err)
	}
}

// TestFoldsMeetAndHold draws folds of every kind and holds what comes out to the laws of a folded slab.
func TestFoldsMeetAndHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := lot(t)
		box := in.Outline.Bounds()
		across := rapid.Float64Range(0.2, 0.8).Draw(t, "across")
		x := known.Say(quantity.Length(box.Min.X + across*box.Width()/2))
		in.Folds = []Fold{{From: Spotted{X: x, Y: known.Say(quantity.Length(box.Min.Y))}, To: Spotted{X: x, Y: known.Say(quantity.Length(box.Max.Y))}, Kind: rapid.SampledFrom([]FoldKind{Hip, Valley}).Draw(t, "kind")}}
		in.Cross = known.Say(quantity.Slope(0.02))
		r, err := Design(in)
		var faults check.Faults
		if errors.As(err, &faults) {
			return // a wall on the way, and said so
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range r.Folds {
			for _, p := range []geometry.Point{f.Line.A, f.Line.B} {
				l, q := r.Panels[0].Plane.At(p), r.Panels[1].Plane.At(p)
				if math.Abs(l-q) > 1e-6 {
					t.Fatalf("panels gape %v", l-q)
				}
			}
			if f.Break > in.Break.Value+1e-6 {
				t.Fatalf("bend %v", f.Break)
			}
		}
		if r.Slope > in.Greatest.Value+1e-6 || !quantity.Finite(float64(r.Cut)) {
			t.Fatalf("slope %v, cut %v", r.Slope, r.Cut)
		}
	})
}

// BenchmarkFourPanelsResolved re-solves the pan on 2,000 shots after a corner was dragged.
func BenchmarkFourPanelsResolved(b *testing.B) {
	in := pan()
	in.Ground = nil
	for i := range 2000 {
		in.Ground = append(in.Ground, spot(float64(i%50)-5, float64(i/50)-5, 99.6+.3*math.Sin(float64(i))))
	}
	for i := 0; b.Loop(); i++ {
		in.Outline.Outer[2].X = quantity.Feet(40 + .1*float64(i%7)).Metres()
		if _, err := Design(in); err != nil {
			b.Fatal(err)
		}
	}
}
