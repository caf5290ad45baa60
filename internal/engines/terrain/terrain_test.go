package terrain

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/geometry"
)

// gridShots draws shots in a 20 m square; on a coarse grid, so that lines, duplicates and circles abound.
func gridShots(t *rapid.T) []Shot {
	n := rapid.IntRange(0, 40).Draw(t, "n")
	side := rapid.IntRange(0, 6).Draw(t, "side")
	step := rapid.SampledFrom([]float64{1, 0.1, 1.0 / 3}).Draw(t, "step")
	shots := make([]Shot, n)
	for i := range shots {
		x, y := rapid.IntRange(0, side).Draw(t, "x"), rapid.IntRange(0, side).Draw(t, "y")
		shots[i] = Shot{X: float64(x) * step, Y: float64(y) * step, Z: float64((x*7+y*3)%5) / 10}
	}
	return shots
}

// scattered draws shots in general position, with four corners that cover a 20 m square: no four on a circle, none
// closer than chance brings them, so the triangulation is unique.
func scattered(t *rapid.T, label string) []Shot {
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, label+" seed"), uint64(len(label))))
	var shots []Shot
	for _, c := range [4][2]float64{{-10, -10.5}, {10.25, -10}, {10, 10.125}, {-10.5, 10}} {
		shots = append(shots, Shot{X: c[0], Y: c[1], Z: r.Float64()})
	}
	for range rapid.IntRange(0, 25).Draw(t, label+"n") {
		shots = append(shots, Shot{X: 19.8*r.Float64() - 9.9, Y: 19.8*r.Float64() - 9.9, Z: r.Float64()})
	}
	return shots
}

// checkMesh holds the laws of a triangulation: twins agree, every triangle is counter-clockwise, the areas add up to the
// hull, the count is Euler's, and no free edge has a shot of its neighbour inside its circle.
func checkMesh(t *rapid.T, s *Surface) {
	used := map[int32]bool{}
	hull := 0
	for h := range s.halves {
		h := int32(h)
		used[s.from(h)] = true
		a, b, c := s.point(s.from(h)), s.point(s.to(h)), s.point(s.from(prev(h)))
		if geometry.Orient(a, b, c) <= 0 {
			t.Fatalf("triangle %d is not counter-clockwise", h/3)
		}
		o := s.twin(h)
		if o < 0 {
			hull++
			continue
		}
		if s.twin(o) != h || s.from(o) != s.to(h) || s.to(o) != s.from(h) || s.fixed[o] != s.fixed[h] {
			t.Fatalf("half %d and its twin %d disagree", h, o)
		}
		if !s.fixed[h] && geometry.InCircle(a, b, c, s.point(s.from(prev(o)))) > 0 {
			t.Fatalf("edge %d is not locally Delaunay", h)
		}
	}
	if got, want := s.Len(), 2*len(used)-2-hull; got != want {
		t.Fatalf("%d triangles, Euler wants %d", got, want)
	}
	near(t, "area", s.PlanArea(), s.Hull().Area(), 1e-9)
	places := map[geometry.Point]bool{}
	for _, shot := range s.shots {
		places[shot.Point()] = true
	}
	if len(places) != len(used) {
		t.Fatalf("%d places, %d in triangles", len(places), len(used))
	}
}

func TestAnyGridOfShots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shots := gridShots(t)
		var lines [][]int
		for range rapid.IntRange(0, 4).Draw(t, "lines") {
			i := rapid.IntRange(-1, 45)
			lines = append(lines, []int{i.Draw(t, "i"), i.Draw(t, "j")})
		}
		s, err := Triangulate(shots, lines)
		if err != nil {
			var f *Fault
			if !errors.As(err, &f) || f.Says == "" {
				t.Fatalf("an error that is no fault: %v", err)
			}
			return
		}
		checkMesh(t, s)
		for _, line := range lines {
			if !onFixedEdges(s, s.shots[line[0]].Point(), s.shots[line[1]].Point()) {
				t.Fatalf("breakline %v is not in the mesh", line)
			}
		}
		s.Warnings()
		if _, err := s.Contours(0.05); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Ponds(nil); err != nil {
			t.Fatal(err)
		}
		for _, shot := range shots {
			path, err := s.Flow(shot.Point())
			if err != nil || path.End == Lost {
				t.Fatalf("flow from %v: %v %v", shot, path, err)
			}
		}
	})
}

// onFixedEdges walks from a to b along fixed edges that lie on the line.
func onFixedEdges(s *Surface, a, b geometry.Point) bool {
	for a != b {
		best, found := a, false
		for h := range s.halves {
			if !s.fixed[h] {
				continue
			}
			for _, e := range [2]geometry.Segment{{A: s.point(s.from(int32(h))), B: s.point(s.to(int32(h)))}, {A: s.point(s.to(int32(h))), B: s.point(s.from(int32(h)))}} {
				if e.A == a && geometry.Orient(a, b, e.B) == 0 && e.B.Sub(a).Dot(b.Sub(a)) > 0 {
					best, found = e.B, true
				}
			}
		}
		if !found {
			return false
		}
		a = best
	}
	return true
}

func TestScatteredWithBreaklines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shots := scattered(t, "")
		n := len(shots)
		// Breaklines to the four corners from one shot, and along the border, never cross.
		hub := rapid.IntRange(0, n-1).Draw(t, "hub")
		lines := [][]int{{0, hub}, {hub, 1}, {0, 1, 2}, {2, hub}}
		s, err := Triangulate(shots, lines)
		if err != nil {
			t.Skip("a shot stands on another")
		}
		checkMesh(t, s)
	})
}

// TestVolumeLaws: volumes do not depend on how the site is turned, moved or numbered; swapping the surfaces swaps cut and
// fill; the parts of a cut boundary add up; volumes against a third surface chain.
// TestPlaneAgainstSurface: a plane and a surface of that plane are the same ground.
func TestFaultsSaySo(t *testing.T) {
	square := []Shot{{X: 0, Y: 0}, {X: 4, Y: 0, Z: 1}, {X: 4, Y: 4}, {X: 0, Y: 4, Z: 2}, {Name: "K7", X: 1, Y: 1}}
	for _, c := range []struct {
		name  string
		shots []Shot
		lines [][]int
		kind  FaultKind
		says  string
	}{
		{"none", nil, nil, TooFewShots, "0 shots"},
		{"line", []Shot{{X: 1, Y: 1}, {X: 2, Y: 2}, {X: 3, Y: 3}}, nil, OnOneLine, "one line"},
		{"all at one place", []Shot{{X: 1, Y: 1}, {X: 1, Y: 1}, {X: 1, Y: 1}}, nil, OnOneLine, "one line"},
		{"two heights", append([]Shot{{X: 1, Y: 1, Z: 0.3}}, square...), nil, TwoHeights, "Shot 1 and shot K7"},
		{"not a number", append([]Shot{{X: math.NaN()}}, square...), nil, NotANumber, "Shot 1"},
		{"no shot", square, [][]int{{0, 9}}, NoSuchShot, "names shot 10"},
		{"crossing", square, [][]int{{0, 2}, {1, 3}}, BreaklineCross, "cross at (2.000, 2.000) with heights 1.500 apart"},
	} {
		_, err := Triangulate(c.shots, c.lines)
		var f *Fault
		if !errors.As(err, &f) || f.Kind != c.kind || !strings.Contains(f.Says, c.says) {
			t.Errorf("%s: got %v, want %s …%s…", c.name, err, c.kind, c.says)
		}
	}
}

func TestTiesAreBrokenByTheLowestShot(t *testing.T) {
	ring := []Shot{{X: 5, Y: 0}, {X: 4, Y: 3, Z: 0.2}, {X: 3, Y: 4}, {X: 0, Y: 5, Z: 0.1}, {X: -3, Y: 4}, {X: -4, Y: -3}, {X: 3, Y: -4, Z: 0.3}}
	s, err := Triangulate(ring, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := range s.Len() {
		if c := s.Triangle(i); min(c[0], c[1], c[2]) != 0 {
			t.Errorf("triangle %v does not touch shot 1", c)
		}
	}
	warned := false
	for _, w := range s.Warnings() {
		warned = warned || w.Kind == AmbiguousDiagonal && strings.HasPrefix(w.Says, "4 fours")
	}
	if !warned {
		t.Errorf("no word of the ties: %v", s.Warnings())
	}
}

func TestOutlierIsNamed(t *testing.T) {
	var shots []Shot
	for i := range 7 {
		for j := range 7 {
			x, y := float64(i)+0.1*float64(j%3), float64(j)
			shots = append(shots, Shot{X: x, Y: y, Z: 10 + 0.02*x - 0.01*y})
		}
	}
	shots[24].Z += 0.9
	s, err := Triangulate(shots, nil)
	if err != nil {
		t.Fatal(err)
	}
	var said []string
	for _, w := range s.Warnings() {
		if w.Kind == Outlier {
			said = append(said, w.Says)
		}
	}
	if len(said) != 1 || !strings.Contains(said[0], "Shot 25 is 0.900 m above") {
		t.Errorf("outliers: %q", said)
	}
}

// TestWaterLaws: a raised wall never lowers a pond; a surface that falls one way holds no water and sheds every drop.

// TestExtremesEnd: coordinates from one end of float64 to the other are refused or triangulated, and no walk is endless.
func TestExtremesEnd(t *testing.T) {
	sizes := []float64{0, 5e-324, 1e-200, 3e-51, 2e-50, 1e-30, 1e-9, 1, 1 + 0x1p-52, 3, 1e6, 1e9, 1e300, math.Inf(1)}
	rapid.Check(t, func(t *rapid.T) {
		reach := rapid.IntRange(2, len(sizes)).Draw(t, "reach")
		size := rapid.Custom(func(t *rapid.T) float64 {
			x := rapid.SampledFrom(sizes[:reach]).Draw(t, "size")
			if rapid.Bool().Draw(t, "negative") {
				return -x
			}
			return x
		})
		var shots []Shot
		for range rapid.IntRange(3, 20).Draw(t, "n") {
			shots = append(shots, Shot{X: size.Draw(t, "x"), Y: size.Draw(t, "y")})
		}
		s, err := Triangulate(shots, [][]int{{0, 1}, {1, 2}})
		if err != nil {
			return
		}
		ring := []geometry.Point{shots[0].Point(), shots[1].Point(), shots[2].Point()}
		v, err := VolumesBetween(s, Plane{Height: 1}, geometry.Polygon{Outer: ring})
		if err == nil && !(v.Fill >= 0 && v.Fill <= 1e19) {
			t.Fatalf("volumes %+v", v)
		}
		if _, err := s.Flow(shots[0].Point()); err != nil {
			t.Fatal(err)
		}
	})
}

// The first two shots in the order of work may be one place read twice.
func TestARepeatedShotAtTheStartIsNoLine(t *testing.T) {
	for first := range 4 {
		shots := []Shot{{X: 0, Y: 0, Z: 1}, {X: 4, Y: 0, Z: 1}, {X: 4, Y: 4, Z: 1}, {X: 0, Y: 4, Z: 1}}
		shots = append(shots, shots[first])
		if _, err := Triangulate(shots, nil); err != nil {
			t.Errorf("shot %d twice: %v", first, err)
		}
	}
}
