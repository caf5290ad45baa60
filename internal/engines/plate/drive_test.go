package plate

import (
	"context"
	"math"
	"testing"
)

// axle is two tyres 1.8 m apart.
func axle(force float64) []Patch {
	return []Patch{Rectangle(Point{0, 0.9}, 0.25, 0.2, force), Rectangle(Point{0, -0.9}, 0.25, 0.2, force)}
}

// The search must find what a fine raster over all positions finds, each solved on a mesh of its own.
func TestTravelFindsTheWorstOfAFineRaster(t *testing.T) {
	s := slabA()
	s.Panels, s.Joints = Bays([]float64{0, 2.6, 4.4}, []float64{0, 3}, nil, s.Support*s.Radius())
	d := Drive{Patches: axle(20e3), Headings: []float64{0}}
	got, results := travelled(t, s, d, Mesh{})
	t.Logf("%d positions, %d straddling", got.Positions, got.Straddling)
	var worst [quantities]float64
	f, err := Factor(context.Background(), s, Mesh{Size: 0.12})
	must(t, err)
	var loads []Load
	for x := 0.125; x <= 4.2751; x += 0.1383 {
		for y := -0.8; y <= 3.8; y += 0.2 {
			p := position{at: Point{x, y}}
			if (&search{f: f, d: d}).place(&p, make([]float64, f.Unknowns())) {
				loads = append(loads, Load{Patches: p.patches})
			}
		}
	}
	count := len(loads)
	all, err := f.SolveAll(context.Background(), loads)
	must(t, err)
	for _, r := range all {
		for q, e := range [quantities]Extreme{r.Top, r.Bottom, r.Down} {
			worst[q] = math.Max(worst[q], e.Value)
		}
	}
	for q, w := range got.worst() {
		// 1 % for the raster's own mesh; the search may well find worse than the raster.
		if w.Extreme.Value < 0.99*worst[q] {
			t.Errorf("quantity %d: the search found %g at %v, the raster of %d positions %g", q, w.Extreme.Value, w.At, count, worst[q])
		}
		t.Logf("quantity %d: search %g at %v, raster of %d %g", q, w.Extreme.Value, w.At, count, worst[q])
		balanced(t, results[q])
	}
}

// A wheel on a symmetric slab has symmetric peaks, as far as narrowing down at one of two equal places allows, and the worst corner deflection is that of STR-21.
func TestWheelOnSymmetricSlab(t *testing.T) {
	f, err := Factor(context.Background(), slabA(), Mesh{})
	must(t, err)
	e, err := f.Drive(context.Background(), Drive{Patches: []Patch{Rectangle(Point{}, 0.2, 0.2, 20e3)}, Headings: []float64{0}})
	must(t, err)
	if w := e.Down; math.Abs(w.Extreme.Value-0.956448e-3) > 2e-6 {
		t.Errorf("worst deflection %g at %v", w.Extreme.Value, w.At)
	}
	at := map[Point]Peak{}
	key := func(x, y float64) Point { return Point{math.Round(x * 1e6), math.Round(y * 1e6)} }
	for _, p := range e.Field {
		at[key(p.At.X, p.At.Y)] = p
	}
	for _, p := range e.Field {
		q := at[key(4-p.At.X, p.At.Y)]
		if math.Abs(p.Down-q.Down) > 0.02*e.Down.Extreme.Value || math.Abs(p.Bottom-q.Bottom) > 0.2*e.Bottom.Extreme.Value {
			t.Errorf("peaks at %v and its mirror image differ: %g %g mm, %g %g MPa", p.At, p.Down*1e3, q.Down*1e3, p.Bottom/1e6, q.Bottom/1e6)
		}
	}
}

func TestDriveOverAnyShape(t *testing.T) {
	for name, p := range shapes() {
		s := slabA()
		s.Panels[0] = p
		e, _ := travelled(t, s, Drive{Patches: axle(20e3), Headings: []float64{0.3}}, Coarse)
		for q, w := range e.worst() {
			if !(w.Extreme.Value > 0) || len(w.Patches) == 0 {
				t.Errorf("%s: quantity %d: %+v", name, q, w)
			}
		}
	}
}

func TestDriveRefuses(t *testing.T) {
	f, err := Factor(context.Background(), slabA(), Mesh{})
	must(t, err)
	for name, d := range map[string]Drive{
		"nothing":        {},
		"not an angle":   {Patches: axle(1), Headings: []float64{math.NaN()}},
		"negative step":  {Patches: axle(1), Step: -1},
		"tiny step":      {Patches: axle(1), Step: 1e-9},
		"larger than it": {Patches: []Patch{Rectangle(Point{}, 50, 50, 1)}, Step: 10},
	} {
		if _, err := f.Drive(context.Background(), d); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := f.Drive(ctx, Drive{Patches: axle(1)}); err != context.Canceled {
		t.Errorf("cancelled: %v", err)
	}
}
