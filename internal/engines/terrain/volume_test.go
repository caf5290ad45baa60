package terrain

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/geometry"
)

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
