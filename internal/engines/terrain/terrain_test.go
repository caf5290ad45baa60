package terrain

import (
	"errors"
	"fmt"
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

func boundaryIn(t *rapid.T) geometry.Polygon {
	n := rapid.IntRange(3, 9).Draw(t, "corners")
	ring := make([]geometry.Point, n)
	for i := range ring {
		r := rapid.Float64Range(2, 9).Draw(t, "r")
		ring[i] = geometry.Direction(2 * math.Pi * float64(i) / float64(n)).Scale(r)
	}
	p := geometry.Polygon{Outer: ring}
	if rapid.Bool().Draw(t, "hole") {
		hole := geometry.Rectangle(0.5, 0.4).Translate(geometry.Point{X: -0.2, Y: -0.15})
		p.Holes = [][]geometry.Point{hole.Outer}
	}
	return p
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
func TestVolumeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := scattered(t, "first"), scattered(t, "other one")
		boundary := boundaryIn(t)
		v, ok := volumes(a, b, boundary)
		if !ok {
			t.Skip("two heights at one place")
		}
		const tol = 1e-9 // of volumes up to 200 m³: the rounding of some hundred pieces
		same := func(what string, w Volumes) {
			near(t, what+" cut", w.Cut, v.Cut, tol*200)
			near(t, what+" fill", w.Fill, v.Fill, tol*200)
			near(t, what+" cut area", w.CutArea, v.CutArea, 1e-6) // areas divide by depths that may be tiny
		}
		angle := rapid.Float64Range(-4, 4).Draw(t, "angle")
		shift := geometry.Point{X: 300, Y: -200}
		turn := func(p geometry.Point) geometry.Point { return p.Rotate(geometry.Point{}, angle).Add(shift) }
		turned, ok := volumes(moved(a, turn), moved(b, turn), boundary.Map(turn))
		if ok {
			same("turned", turned)
		}
		renumbered, _ := volumes(reversed(a), reversed(b), boundary)
		same("renumbered", renumbered)
		swapped, _ := volumes(b, a, boundary)
		same("swapped", Volumes{Cut: swapped.Fill, Fill: swapped.Cut, CutArea: swapped.FillArea})
		line := geometry.LineThrough(geometry.Point{X: 0.3}, geometry.Point{X: rapid.Float64Range(-5, 5).Draw(t, "lx"), Y: 7})
		var parts Volumes
		for _, half := range append(boundary.ClipHalfPlane(line), boundary.ClipHalfPlane(line.Reversed())...) {
			part, _ := volumes(a, b, half)
			parts = parts.Plus(part)
		}
		same("parts", parts)
		if all := boundary.Area(); v.CutArea+v.FillArea > all*(1+1e-9) {
			t.Fatalf("%g m² cut and %g m² filled of %g", v.CutArea, v.FillArea, all)
		}
	})
}

func volumes(a, b []Shot, boundary geometry.Polygon) (Volumes, bool) {
	top, err := Triangulate(a, nil)
	if err != nil {
		return Volumes{}, false
	}
	low, err := Triangulate(b, nil)
	if err != nil {
		return Volumes{}, false
	}
	v, err := VolumesBetween(top, low, boundary)
	return v, err == nil
}

func moved(shots []Shot, f func(geometry.Point) geometry.Point) []Shot {
	out := make([]Shot, len(shots))
	for i, s := range shots {
		p := f(s.Point())
		out[i] = Shot{X: p.X, Y: p.Y, Z: s.Z}
	}
	return out
}

func reversed(shots []Shot) []Shot {
	out := make([]Shot, len(shots))
	for i, s := range shots {
		out[len(shots)-1-i] = s
	}
	return out
}

// TestPlaneAgainstSurface: a plane and a surface of that plane are the same ground.
func TestPlaneAgainstSurface(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(-0.1, 0.1)
		plane := Plane{Origin: geometry.Point{X: 1, Y: 2}, Height: 0.05, Slope: geometry.Point{X: f.Draw(t, "b"), Y: f.Draw(t, "c")}}
		var flat []Shot
		for _, c := range scattered(t, "flat") {
			z, _ := plane.At(c.Point())
			flat = append(flat, Shot{X: c.X, Y: c.Y, Z: z})
		}
		ground, err := Triangulate(scattered(t, "ground"), nil)
		if err != nil {
			t.Skip("two heights at one place")
		}
		drawn, err := Triangulate(flat, nil)
		if err != nil {
			t.Skip("two heights at one place")
		}
		boundary := boundaryIn(t)
		for _, swap := range []bool{false, true} {
			one, errOne := VolumesBetween(ground, plane, boundary)
			two, errTwo := VolumesBetween(ground, drawn, boundary)
			if swap {
				one, errOne = VolumesBetween(plane, ground, boundary)
				two, errTwo = VolumesBetween(drawn, ground, boundary)
			}
			if errOne != nil || errTwo != nil {
				t.Fatal(errOne, errTwo)
			}
			near(t, "cut", one.Cut, two.Cut, 1e-8)
			near(t, "fill", one.Fill, two.Fill, 1e-8)
		}
		level, err := VolumesBetween(plane, Plane{Height: -3}, boundary)
		if err != nil {
			t.Fatal(err)
		}
		z, _ := plane.At(boundary.Centroid())
		// The plane stays above −2 within reach, so its prism is area times the depth at the middle.
		near(t, "prism", level.Net(), boundary.Area()*(z+3), 1e-9*200)
	})
}

func TestUncovered(t *testing.T) {
	shots := []Shot{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}}
	s, err := Triangulate(shots, nil)
	if err != nil {
		t.Fatal(err)
	}
	boundary := geometry.Rectangle(4, 4).Translate(geometry.Point{X: 0.8})
	_, err = VolumesBetween(s, Plane{Height: 1}, boundary)
	var u *Uncovered
	if !errors.As(err, &u) {
		t.Fatalf("want Uncovered, got %v", err)
	}
	near(t, "existing", u.Existing, 3.2, 1e-12)
	near(t, "design", u.Design, 0, 1e-12)
	if !strings.Contains(err.Error(), "3.2 m²") {
		t.Error(err)
	}
	_, err = VolumesBetween(Plane{Height: 1}, s, boundary)
	if !errors.As(err, &u) || math.Abs(u.Design-3.2) > 1e-12 {
		t.Errorf("design short: %v", err)
	}
}

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

// TestWaterLaws: a raised wall never lowers a pond; a surface that falls one way holds no water and sheds every drop.
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

func ExampleVolumesBetween() {
	// Ground that falls 0.3 m over a 6 × 4 m pad; the pad is to lie level at 10.00 m.
	ground, err := Triangulate([]Shot{{X: -1, Y: -1, Z: 10.20}, {X: 7, Y: -1, Z: 9.80}, {X: 7, Y: 5, Z: 9.80}, {X: -1, Y: 5, Z: 10.20}}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	v, err := VolumesBetween(ground, Plane{Height: 10}, geometry.Rectangle(6, 4))
	fmt.Printf("cut %.3f m³ fill %.3f m³ over %.1f m² %v\n", v.Cut, v.Fill, v.Area, err)
	// Output: cut 0.900 m³ fill 0.900 m³ over 24.0 m² <nil>
}
