package layout_test

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/rim/sheets/sheetstest"
	"slabwright/internal/trade/draft"
)

var update = flag.Bool("update", false, "write the golden files anew")

// area is the drawing area of a Letter sheet.
var area = geometry.Box{Min: page.Point{X: 12.7, Y: 50}, Max: page.Point{X: 266.7, Y: 190}}

// Goldens hold the lowered primitives: they show what moved, not that it is right.
func TestGoldens(t *testing.T) {
	for _, pic := range sheetstest.Pictures() {
		placed, err := layout.Fit(pic, area, quantity.US)
		if err != nil {
			t.Fatal(err)
		}
		var got bytes.Buffer
		p := page.Page{Name: pic.Name, Title: placed.View.Scale.Says, Paper: page.Letter.Across(), Items: placed.Items}
		if err := p.List(&got); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join("testdata", pic.Name+".golden")
		if *update {
			if err := os.WriteFile(path, got.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got.Bytes(), want) {
			t.Errorf("%s: the lowered picture differs from %s; look at it, then renew with -update", pic.Name, path)
		}
	}
}

func TestLargestScaleThatFits(t *testing.T) {
	metres := func(m float64) string { return fmt.Sprintf("%.3f m", m) }
	for _, c := range []struct {
		length, width float64
		system        quantity.System
		want          string
	}{
		{5, 3, quantity.US, "3/8 in = 1 ft"}, // with the house 3.75 m, 156 mm at 1/2 in: too high for 140
		{12.192, 4.267, quantity.US, "3/16 in = 1 ft"},
		{60, 22, quantity.US, "1 in = 30 ft"},
		{5, 3, quantity.Metric, "1:50"},
		{12.192, 4.267, quantity.Metric, "1:75"},
		{60, 22, quantity.Metric, "1:500"},
	} {
		placed, err := layout.Fit(sheetstest.Slab("slab", c.length, c.width, metres), area, c.system)
		if err != nil {
			t.Fatal(err)
		}
		if placed.View.Scale.Says != c.want {
			t.Errorf("%v x %v m is drawn at %s, want %s", c.length, c.width, placed.View.Scale.Says, c.want)
		}
	}
}

// words returns the boxes of all lettering of a placed picture.
func words(items []page.Item) (out []page.Words) {
	for _, item := range items {
		if w, ok := item.(page.Words); ok {
			out = append(out, w)
		}
	}
	return out
}

// Lettering of a slab's plan overlaps no other lettering, at any size of slab from 4 to 60 m: boxes are turned back upright
// where both read the same way, and compared by their upright bounds otherwise.
func TestLabelsKeepClear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(4, 60).Draw(t, "length")
		width := rapid.Float64Range(3, 24).Draw(t, "width")
		placed, err := layout.Fit(sheetstest.Slab("slab", length, min(width, length), func(m float64) string { return fmt.Sprintf("%.2f m", m) }), area, quantity.Metric)
		if err != nil {
			t.Fatal(err)
		}
		all := words(placed.Items)
		for i, a := range all {
			for _, b := range all[:i] {
				if page.Extent([]page.Item{a}).Expand(-0.05).Overlaps(page.Extent([]page.Item{b}).Expand(-0.05)) {
					t.Fatalf("%q and %q overlap on a slab of %.2f x %.2f m", a.Says, b.Says, length, width)
				}
			}
		}
	})
}

// Everything a placed picture draws lies in its box, and the true distance between two corners is that of the scale.
func TestPlacedInsideAndTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(1, 90).Draw(t, "length")
		width := rapid.Float64Range(0.5, 40).Draw(t, "width")
		pic := sheetstest.Slab("slab", length, width, func(m float64) string { return fmt.Sprintf("%.2f m", m) })
		placed, err := layout.Fit(pic, area, quantity.US)
		if err != nil {
			t.Fatal(err)
		}
		if got := page.Extent(placed.Items); !area.Expand(1e-6).Contains(got.Min) || !area.Expand(1e-6).Contains(got.Max) {
			t.Fatalf("drawn over %v, outside %v", got, area)
		}
		a, b := placed.View.On(page.Point{}), placed.View.On(page.Point{X: length})
		if want := length * 1000 / placed.View.Scale.Ratio; math.Abs(a.Distance(b)-want) > 1e-9 {
			t.Fatalf("%.3f m is %.6f mm on paper, want %.6f", length, a.Distance(b), want)
		}
		if back := placed.View.Back(b); back.Distance(page.Point{X: length}) > 1e-9 {
			t.Fatalf("back at %v, want (%v, 0)", back, length)
		}
	})
}

// Hatching stays inside its ground and away from holes; no pattern of a small area is lost in one that holds it.
func TestHatchStaysInside(t *testing.T) {
	ground := geometry.Polygon{Outer: []page.Point{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 3}, {X: 1.5, Y: 3}, {X: 1.5, Y: 1.5}, {X: 0, Y: 1.5}},
		Holes: [][]page.Point{{{X: 2, Y: 1}, {X: 3, Y: 1}, {X: 3, Y: 2}, {X: 2, Y: 2}}}}
	for _, kind := range []drawing.Hatch{drawing.Diagonal, drawing.Crossed, drawing.Dots, drawing.Triangles, drawing.Rounds, drawing.Strokes, drawing.Waves} {
		view := layout.View{Scale: layout.Scale{Ratio: 50}, K: 20}
		low := layout.Lower(drawing.Picture{Marks: []drawing.Mark{drawing.Path{
			Layer: drawing.Layer{Name: "x", Hatch: kind}, Points: ground.Outer, Holes: ground.Holes, Closed: true}}}, view)
		if len(low.Hatches) == 0 {
			t.Errorf("%s: nothing drawn", kind)
		}
		for _, item := range low.Hatches {
			for _, p := range pointsOf(item) {
				q := view.Back(p)
				if !ground.Contains(q) && ground.BoundaryDistance(q) > 0.02 {
					t.Fatalf("%s: a stroke reaches %v, outside", kind, q)
				}
			}
		}
	}
}

func pointsOf(item page.Item) (out []page.Point) {
	switch m := item.(type) {
	case page.Stroke:
		for _, l := range m.Lines {
			out = append(out, l.Points...)
		}
	case page.Area:
		for _, r := range m.Rings {
			out = append(out, r...)
		}
	}
	return out
}

func TestRefuses(t *testing.T) {
	path := func(x float64) drawing.Picture {
		return drawing.Picture{Name: "p", Space: drawing.Site, Marks: []drawing.Mark{
			drawing.Path{Layer: draft.SlabEdge, Points: []page.Point{{}, {X: x}}}}}
	}
	for name, pic := range map[string]drawing.Picture{"empty": {}, "nowhere": path(math.NaN()), "endless": path(math.Inf(1)), "a county": path(1e5)} {
		if _, err := layout.Fit(pic, area, quantity.US); err == nil {
			t.Errorf("%s was drawn", name)
		}
	}
}

// Any marks with ordinary numbers are drawn without panic and without a place that is no place.
func TestAnyMarks(t *testing.T) {
	number := rapid.Float64Range(-30, 30)
	point := rapid.Custom(func(t *rapid.T) page.Point { return page.Point{X: number.Draw(t, "x"), Y: number.Draw(t, "y")} })
	rapid.Check(t, func(t *rapid.T) {
		layer := rapid.SampledFrom(draft.Layers()).Draw(t, "layer")
		layer.Pattern = rapid.SampledFrom([]drawing.Pattern{drawing.Solid, drawing.Dash, drawing.DoubleLine, drawing.TickedSolid}).Draw(t, "pattern")
		layer.Hatch = rapid.SampledFrom([]drawing.Hatch{drawing.Empty, drawing.Full, drawing.Diagonal, drawing.Rounds, drawing.Waves}).Draw(t, "hatch")
		ring := rapid.SliceOfN(point, 0, 6)
		pic := drawing.Picture{Name: "any", Space: drawing.Site, Marks: []drawing.Mark{
			drawing.Path{Layer: layer, Points: ring.Draw(t, "outer"), Holes: [][]page.Point{ring.Draw(t, "hole")}, Closed: rapid.Bool().Draw(t, "closed")},
			drawing.Circle{Layer: layer, At: point.Draw(t, "centre"), Radius: number.Draw(t, "radius")},
			drawing.Arc{Layer: layer, At: point.Draw(t, "centre"), Radius: number.Draw(t, "radius"), From: number.Draw(t, "from"), To: number.Draw(t, "to")},
			drawing.Dimension{Layer: layer, A: point.Draw(t, "a"), B: point.Draw(t, "b"), Offset: number.Draw(t, "offset"), Says: "1"},
			drawing.Arrow{Layer: layer, From: point.Draw(t, "from"), To: point.Draw(t, "to"), Says: "2"},
			drawing.Text{Layer: layer, At: point.Draw(t, "at"), Says: rapid.String().Draw(t, "says"), Angle: number.Draw(t, "angle")},
			drawing.Symbol{Layer: layer, At: point.Draw(t, "at"), Size: number.Draw(t, "size")},
		}}
		placed, err := layout.Fit(pic, area, quantity.US)
		if err != nil {
			return
		}
		for _, item := range placed.Items {
			for _, p := range pointsOf(item) {
				if !p.IsFinite() {
					t.Fatalf("a place that is no place in %v", item)
				}
			}
		}
	})
}
