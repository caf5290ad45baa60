package plate

import (
	"context"
	"math"
	"testing"
)

// A window on a mesh without a line on the load must answer as a mesh made for the load over the whole slab does, within
// half a per cent: half of what the default mesh is meant for. Coarse, the first answer is a tenth and more off.
func TestZoomAnswersLikeAMeshMadeForTheLoad(t *testing.T) {
	joined := slabA()
	joined.Panels, joined.Joints = Bays([]float64{0, 2.6, 5.2, 7.8}, []float64{0, 3, 6}, nil, 2*joined.Support*joined.Radius())
	skewed := slabA()
	skewed.Panels = []Panel{
		{Outline: Polygon{{0, 0}, {3, 0}, {3, 4}, {0, 4}}, Holes: []Polygon{{{1, 2.4}, {1.6, 2.4}, {1.6, 3}, {1, 3}}}},
		{Outline: Polygon{{3, 0}, {7, 0}, {6, 4}, {3, 4}}},
	}
	skewed.Joints = []Joint{{Point{3, 0}, Point{3, 4}, skewed.Support * skewed.Radius()}}
	turnedAbout := func(s Slab) Slab {
		for i, p := range s.Panels {
			s.Panels[i].Outline = Patch{Area: p.Outline}.Place(Point{}, 0.3).Area
		}
		for i, j := range s.Joints {
			ends := Patch{Area: Polygon{j.From, j.To}}.Place(Point{}, 0.3).Area
			s.Joints[i].From, s.Joints[i].To = ends[0], ends[1]
		}
		return s
	}
	turned := slabA()
	turned.Panels, turned.Joints = Bays([]float64{0, 3.1, 6.2}, []float64{0, 3}, nil, turned.Support*turned.Radius())
	turned = turnedAbout(turned)
	lifting := joined
	lifting.LiftOff, lifting.Weight = true, 24e3
	thick := joined
	thick.Thickenings = []Thickening{{Polygon{{0, 0}, {7.8, 0}, {7.8, 0.6}, {0, 0.6}}, 0.2}}
	wheels := func(at Point, heading float64) []Patch {
		var out []Patch
		for _, p := range axle(20e3) {
			out = append(out, p.Place(at, heading))
		}
		return out
	}
	for name, c := range map[string]struct {
		slab Slab
		load Load
	}{
		"in the open":         {joined, Load{Patches: wheels(Point{3.9, 1.7}, 0)}},
		"at an edge":          {joined, Load{Patches: wheels(Point{1.8, 0.125}, math.Pi/2)}},
		"along a joint":       {joined, Load{Patches: wheels(Point{3.4, 3.1}, math.Pi/2)}},
		"across a joint":      {joined, Load{Patches: []Patch{Rectangle(Point{2.6, 1.4}, 0.3, 0.2, 2e4)}}},
		"in a corner":         {joined, Load{Patches: []Patch{Rectangle(Point{0.1, 0.1}, 0.2, 0.2, 2e4)}}},
		"beside a box-out":    {skewed, Load{Patches: []Patch{Rectangle(Point{1.75, 2.7}, 0.2, 0.2, 2e4)}}},
		"by a skewed side":    {skewed, Load{Patches: []Patch{Rectangle(Point{6.3, 2}, 0.2, 0.2, 2e4)}}},
		"turned":              {turned, Load{Patches: []Patch{Rectangle(Point{}, 0.2, 0.2, 2e4).Place(Point{2.7, 1.3}, 0.3)}}},
		"by day, lifting off": {lifting, Load{Patches: wheels(Point{1.8, 0.125}, math.Pi/2), Temperature: Gradient(8)}},
		"at dawn":             {lifting, Load{Patches: wheels(Point{3.4, 1.5}, 0), Temperature: Gradient(-8)}},
		"on a thick edge":     {thick, Load{Patches: wheels(Point{1.8, 0.125}, math.Pi/2)}},
	} {
		t.Run(name, func(t *testing.T) {
			want := solve(t, c.slab, c.load, Mesh{})
			f, err := Factor(context.Background(), c.slab, Mesh{Growth: 2})
			must(t, err)
			r, err := f.Solve(context.Background(), c.load)
			must(t, err)
			for face, e := range map[string]Extreme{"bottom": want.Bottom, "top": want.Top} {
				z, err := r.Zoom(context.Background(), e.At, 1.5*c.slab.Radius(), Mesh{})
				must(t, err)
				balanced(t, z)
				got, first := z.Bottom.Value, r.Bottom.Value
				if face == "top" {
					got, first = z.Top.Value, r.Top.Value
				}
				t.Logf("%s: %.4f of the whole (without zoom %.4f); %d unknowns for %d", face, got/e.Value, first/e.Value, z.Accuracy.Unknowns, want.Accuracy.Unknowns)
				if math.Abs(got/e.Value-1) > 5e-3 {
					t.Errorf("%s: %g in the window, %g with the whole slab meshed", face, got, e.Value)
				}
			}
		})
	}
}

// A slab that borrows another's mesh and factor, and starts from another's answer, must come to what it comes to alone: both
// stop at the same residual.
func TestChangedSlabsAnswerAsTheyWouldAlone(t *testing.T) {
	ctx := context.Background()
	s := slabA()
	s.Panels, s.Joints = Bays([]float64{0, 3, 6}, []float64{0, 4}, nil, s.Support*s.Radius())
	s.Panels[1].Outline[2].X = 5.3 // a skewed side
	for _, lifting := range []bool{false, true} {
		s.LiftOff, s.Weight = lifting, 0
		load := Load{Patches: axle(20e3)}
		for i, p := range load.Patches {
			load.Patches[i] = p.Place(Point{2.5, 2}, 0)
		}
		if lifting {
			s.Weight, load.Temperature = 24e3, Gradient(-9)
		}
		f, err := Factor(ctx, s, Mesh{})
		must(t, err)
		before, err := f.Solve(ctx, load)
		must(t, err)
		changed := s
		changed.Thickness, changed.Support = 0.18, 40e6
		changed.Joints = []Joint{{s.Joints[0].From, s.Joints[0].To, 8 * s.Joints[0].Shear}}
		g, err := f.Changed(ctx, changed)
		must(t, err)
		got, err := g.SolveFrom(ctx, before, load)
		must(t, err)
		balanced(t, got)
		alone, err := Factor(ctx, changed, f.mesh)
		must(t, err)
		want, err := alone.Solve(ctx, load)
		must(t, err)
		for name, pair := range map[string][2]float64{"top": {got.Top.Value, want.Top.Value}, "bottom": {got.Bottom.Value, want.Bottom.Value}, "down": {got.Down.Value, want.Down.Value}} {
			if math.Abs(pair[0]/pair[1]-1) > 1e-7 {
				t.Errorf("lifting %v, %s: %g changed, %g alone", lifting, name, pair[0], pair[1])
			}
		}
		many, err := g.SolveAll(ctx, []Load{load})
		must(t, err)
		if math.Abs(many[0].Bottom.Value/want.Bottom.Value-1) > 1e-7 {
			t.Errorf("all at once: %g, alone %g", many[0].Bottom.Value, want.Bottom.Value)
		}
		if g.factor != f.factor {
			t.Error("it made a factor of its own")
		}
		changed.Thickenings = []Thickening{{Polygon{{0, 0}, {3, 0}, {3, 0.5}, {0, 0.5}}, 0.25}}
		thick, err := f.Changed(ctx, changed)
		must(t, err)
		if _, err := thick.SolveFrom(ctx, before, load); err != nil {
			t.Error(err)
		}
	}
}

// What is screened must be what is solved: the same peaks, flat and over a slab that is curled already, where contact stays.
func TestScreenSeesWhatIsSolved(t *testing.T) {
	ctx := context.Background()
	s := slabA()
	s.Panels, s.Joints = Bays([]float64{0, 3, 6}, []float64{0, 4}, nil, s.Support*s.Radius())
	f, err := Factor(ctx, s, Mesh{})
	must(t, err)
	curled, err := f.Solve(ctx, Load{Temperature: Gradient(6)})
	must(t, err)
	var loads []Load
	for i := range 40 {
		loads = append(loads, Load{Patches: []Patch{Rectangle(Point{0.1 + 0.14*float64(i), 2}, 0.2, 0.2, 20e3)}})
	}
	got, err := f.Screen(ctx, loads, nil, curled)
	must(t, err)
	for i, l := range loads {
		for weather, temperature := range []Temperature{nil, Gradient(6)} {
			r, err := f.Solve(ctx, Load{Patches: l.Patches, Temperature: temperature})
			must(t, err)
			want := r.Under(l.Patches[0], nil).Value
			for _, p := range r.Field() {
				want = max(want, p.Bottom.greatest())
			}
			if p := got[i][weather]; math.Abs(p.Bottom().Value/want-1) > 1e-9 || p.Down().Value < 0.99*r.Down.Value {
				t.Errorf("load %d, weather %d: screened %g Pa, %g m; solved %g Pa, %g m", i, weather, p.Bottom().Value, p.Down().Value, want, r.Down.Value)
			}
		}
	}
	hidden, err := f.Screen(ctx, loads[20:21], []Round{{At: Point{2.9, 2}, Radius: 1}})
	must(t, err)
	if hidden[0][0].Bottom().Value >= got[20][0].Bottom().Value {
		t.Error("what is left out was seen")
	}
}

func TestZoomRefuses(t *testing.T) {
	r := solve(t, slabA(), Load{}, Mesh{})
	if _, err := r.Zoom(context.Background(), Point{math.NaN(), 0}, 1, Mesh{}); err == nil {
		t.Error("a window nowhere")
	}
	if _, err := r.Zoom(context.Background(), Point{1, 1}, 0, Mesh{}); err == nil {
		t.Error("a window without size")
	}
	if _, err := new(Result).Zoom(context.Background(), Point{1, 1}, 1, Mesh{}); err == nil {
		t.Error("a result that was never solved")
	}
}
