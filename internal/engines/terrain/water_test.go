package terrain

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/geometry"
)

func TestPond(t *testing.T) { // SITE-21
	shots := []Shot{{X: 0, Y: 0}, {X: 4, Y: 0, Z: 0.04}, {X: 4, Y: 4, Z: 0.04}, {X: 0, Y: 4}, {X: 2, Y: 2, Z: -0.01}}
	s, err := Triangulate(shots, nil)
	if err != nil {
		t.Fatal(err)
	}
	ponds, err := s.Ponds([]int{0, 3})
	if err != nil || len(ponds) != 1 {
		t.Fatalf("%v %v", ponds, err)
	}
	p := ponds[0]
	near(t, "area", p.Area, 5.76, 1e-9)
	near(t, "volume", p.Volume, 0.0192, 1e-12)
	near(t, "depth", p.Depth, 0.010, 1e-12)
	pieces := 0.0
	for _, ring := range p.Pieces {
		pieces += geometry.SignedArea(ring)
	}
	near(t, "drawn area", pieces, p.Area, 1e-9)
	path, err := s.Flow(geometry.Point{X: 3.9, Y: 3.5})
	if err != nil || path.End != Stands || path.Points[len(path.Points)-1].Point() != (geometry.Point{X: 2, Y: 2}) {
		t.Errorf("flow %v %v", path, err)
	}
}

func TestWaterLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shots := scattered(t, "")
		s, err := Triangulate(shots, nil)
		if err != nil {
			t.Skip("two heights at one place")
		}
		ponds, err := s.Ponds(nil)
		if err != nil {
			t.Fatal(err)
		}
		volume := 0.0
		for _, p := range ponds {
			volume += p.Volume
		}
		one, err := s.Ponds([]int{0})
		if err != nil {
			t.Fatal(err)
		}
		walled := 0.0
		for _, p := range one {
			walled += p.Volume
		}
		if walled < volume-1e-9 {
			t.Fatalf("with one way out %g m³ stand, with all of the rim open %g", walled, volume)
		}
		p := geometry.Point{X: rapid.Float64Range(-9, 9).Draw(t, "x"), Y: rapid.Float64Range(-9, 9).Draw(t, "y")}
		path, err := s.Flow(p)
		if err != nil || path.End == Lost {
			t.Fatalf("%v %v", path, err)
		}
		for i := 1; i < len(path.Points); i++ {
			if path.Points[i].Z > path.Points[i-1].Z+1e-12 {
				t.Fatalf("water climbs: %v", path.Points)
			}
		}
		tilted := make([]float64, len(shots))
		for i, shot := range shots {
			tilted[i] = 0.02*shot.X - 0.013*shot.Y
		}
		flat, _ := s.Reshaped(tilted)
		if ponds, _ := flat.Ponds(nil); len(ponds) != 0 {
			for _, pond := range ponds {
				if pond.Depth > 1e-12 {
					t.Fatalf("a plane holds %v", pond)
				}
			}
		}
		if path, _ := flat.Flow(p); path.End != RanOff {
			t.Fatalf("on a plane water %s: %v", path.End, path.Points)
		}
	})
}

func TestContourLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, err := Triangulate(scattered(t, ""), nil)
		if err != nil {
			t.Skip("two heights at one place")
		}
		level := rapid.Float64Range(0, 1).Draw(t, "level")
		low := 0.0 // plan area below the level, by contours' other meaning
		for i := range s.Len() {
			c := s.Triangle(i)
			var d [3]float64
			for k, v := range c {
				d[k] = s.Shots()[v].Z - level
			}
			f := s.facet(int32(i))
			low += TrianglePrism(geometry.SignedArea(f.corners[:]), d[0], d[1], d[2]).FillArea
		}
		if lines := s.Contour(level).Lines; (len(lines) == 0) != (low == 0 || low > s.PlanArea()*(1-1e-12)) {
			t.Fatalf("%d lines at %g with %g of %g m² below", len(lines), level, low, s.PlanArea())
		}
		for _, line := range s.Contour(level).Lines {
			for i, p := range line {
				z, ok := s.At(p.Lerp(geometry.Point{}, 1e-9))
				if ok && math.Abs(z-level) > 1e-5 { // 10 nm off the edge, on slopes up to about 1000
					t.Fatalf("point %d of a contour at %g is at %g", i, level, z)
				}
			}
		}
	})
}

func TestProfile(t *testing.T) {
	c := loadCases(t)["S1"]
	s := c.surface(t, "existing", true)
	line := geometry.Segment{A: geometry.Point{X: -5, Y: 7}, B: geometry.Point{X: 30, Y: 8}}
	runs, err := s.Profile(line)
	if err != nil || len(runs) != 1 {
		t.Fatalf("%d runs, %v", len(runs), err)
	}
	for _, p := range runs[0][1 : len(runs[0])-1] {
		z, ok := s.At(line.At(p.Station / line.Length()))
		if !ok {
			t.Fatalf("no ground at station %g", p.Station)
		}
		near(t, fmt.Sprint("height at ", p.Station), p.Z, z, 1e-9)
	}
	inside := s.Hull().ClipLine(geometry.LineThrough(line.A, line.B))
	near(t, "length", runs[0][len(runs[0])-1].Station-runs[0][0].Station, inside[0].Length(), 1e-9)
}

// TestOnlyPartOfASurface walls a bowl in and opens it: water stands behind the border that is left.
func TestOnlyPartOfASurface(t *testing.T) {
	var shots []Shot
	for x := range 5 {
		for y := range 3 {
			shots = append(shots, Shot{X: float64(x), Y: float64(y), Z: float64(x)})
		}
	}
	whole, err := Triangulate(shots, nil)
	if err != nil {
		t.Fatal(err)
	}
	high := whole.Only(func(i int) bool {
		for _, v := range whole.Triangle(i) {
			if shots[v].X < 2 {
				return false
			}
		}
		return true
	})
	if math.Abs(high.PlanArea()-4) > 1e-12 {
		t.Errorf("kept %v m²", high.PlanArea())
	}
	if path, err := high.Flow(geometry.Point{X: 3.5, Y: 1}); err != nil || path.End != RanOff || path.Points[len(path.Points)-1].X != 2 {
		t.Errorf("water ends %v, %v", path, err)
	}
}

// TestStandingAgreesWithPonds holds the quick depths to those of the ponds, on random hollows and ways out.
func TestStandingAgreesWithPonds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var shots []Shot
		for range rapid.IntRange(4, 60).Draw(t, "shots") {
			shots = append(shots, Shot{X: rapid.Float64Range(0, 9).Draw(t, "x"), Y: rapid.Float64Range(0, 9).Draw(t, "y"), Z: float64(rapid.IntRange(0, 6).Draw(t, "z"))})
		}
		s, err := Triangulate(shots, nil)
		if err != nil {
			t.Skip(err)
		}
		outlets := []int{s.Triangle(0)[0]}
		d, err := s.Standing(outlets)
		if err != nil {
			t.Fatal(err)
		}
		heights := make([]float64, len(shots))
		for i := range shots {
			heights[i] = shots[i].Z
		}
		deepest := 0.0
		for _, depth := range d.Depths(heights) {
			deepest = math.Max(deepest, depth)
		}
		ponds, err := s.Ponds(outlets)
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		for _, p := range ponds {
			want = math.Max(want, p.Depth)
		}
		if deepest != want {
			t.Fatalf("deepest %v, of the ponds %v", deepest, want)
		}
	})
}
