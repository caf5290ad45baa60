package terrain

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/geometry"
)

func cut(ax, ay, bx, by float64) geometry.Segment {
	return geometry.Segment{A: geometry.Point{X: ax, Y: ay}, B: geometry.Point{X: bx, Y: by}}
}

func TestPartsOfAnOutline(t *testing.T) {
	ell := geometry.Polygon{Outer: []geometry.Point{{}, {X: 10}, {X: 10, Y: 4}, {X: 4, Y: 4}, {X: 4, Y: 8}, {Y: 8}}}
	for _, c := range []struct {
		says  string
		in    geometry.Polygon
		cuts  []geometry.Segment
		areas []float64
	}{
		{"no cut", geometry.Rectangle(6, 4), nil, []float64{24}},
		{"one across", geometry.Rectangle(6, 4), []geometry.Segment{cut(3, 0, 3, 4)}, []float64{12, 12}},
		{"ends a hair off the edge", geometry.Rectangle(6, 4), []geometry.Segment{cut(2, .001, 2, 3.998)}, []float64{8, 16}},
		{"four to a drain", geometry.Rectangle(6, 4), []geometry.Segment{cut(0, 0, 3, 2), cut(6, 0, 3, 2), cut(6, 4, 3, 2), cut(0, 4, 3, 2)}, []float64{6, 6, 6, 6}},
		{"two that cross", geometry.Rectangle(6, 4), []geometry.Segment{cut(3, 0, 3, 4), cut(0, 2, 6, 2)}, []float64{6, 6, 6, 6}},
		{"one that meets another", geometry.Rectangle(6, 4), []geometry.Segment{cut(3, 0, 3, 4), cut(0, 2, 3, 2)}, []float64{6, 12, 6}},
		{"one with a free end", geometry.Rectangle(6, 4), []geometry.Segment{cut(3, 0, 3, 2)}, []float64{24}},
		{"past the outline", geometry.Rectangle(6, 4), []geometry.Segment{cut(3, -1, 3, 5)}, []float64{12, 12}},
		{"inner corner of an ell", ell, []geometry.Segment{cut(4, 4, 0, 0)}, []float64{32, 24}},
		{"a pan inside", geometry.Rectangle(6, 4), []geometry.Segment{cut(2, 1, 4, 1), cut(4, 1, 4, 3), cut(4, 3, 2, 3), cut(2, 3, 2, 1)}, []float64{20, 4}},
	} {
		p, err := Part(c.in, c.cuts)
		if err != nil {
			t.Errorf("%s: %v", c.says, err)
			continue
		}
		if len(p.Parts) != len(c.areas) {
			t.Errorf("%s: %d parts, not %d", c.says, len(p.Parts), len(c.areas))
			continue
		}
		for i, part := range p.Parts {
			// 1e-2: an end is moved by up to five millimetres; the exact cases come out to rounding.
			if math.Abs(part.Area()-c.areas[i]) > 1e-2 {
				t.Errorf("%s: part %d has %v m², not %v", c.says, i, part.Area(), c.areas[i])
			}
		}
	}
}

// TestPartsMakeTheWhole holds the parts of random cuts to the outline, and every cut inside to its two sides.
func TestPartsMakeTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outline := geometry.Rectangle(12, 7)
		if rapid.Bool().Draw(t, "ell") {
			outline = geometry.Polygon{Outer: []geometry.Point{{}, {X: 12}, {X: 12, Y: 3}, {X: 5, Y: 3}, {X: 5, Y: 7}, {Y: 7}}}
		}
		place := func(name string) geometry.Point {
			if rapid.Bool().Draw(t, name+" at a corner") {
				return rapid.SampledFrom(outline.Outer).Draw(t, name)
			}
			return geometry.Point{X: float64(rapid.IntRange(0, 24).Draw(t, name)) / 2, Y: float64(rapid.IntRange(0, 14).Draw(t, name)) / 2}
		}
		var cuts []geometry.Segment
		for range rapid.IntRange(0, 5).Draw(t, "cuts") {
			c := geometry.Segment{A: place("from"), B: place("to")}
			if c.Length() > 0 {
				cuts = append(cuts, c)
			}
		}
		p, err := Part(outline, cuts)
		if err != nil {
			t.Skip("cuts that lie on one another at a slant cannot be told apart: ", err)
		}
		area := 0.0
		for _, part := range p.Parts {
			area += part.Area()
		}
		if math.Abs(area-outline.Area()) > 1e-6 {
			t.Fatalf("parts have %v m², the outline %v", area, outline.Area())
		}
		for _, c := range p.Cuts {
			if outline.Locate(p.Points[c.From].Lerp(p.Points[c.To], .5)) == geometry.Inside && (c.Left < 0 || c.Right < 0) {
				t.Fatalf("cut %+v has no side", c)
			}
		}
	})
}
