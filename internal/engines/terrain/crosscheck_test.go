package terrain

import (
	"math"
	"testing"

	"slabwright/internal/engines/geometry"
)

// TestVolumesThreeWays: the grid and the sections, made fine, come to the exact volume, and faster than their mesh.
func TestVolumesThreeWays(t *testing.T) {
	for name, c := range loadCases(t) {
		existing, design := c.surface(t, "existing", true), c.surface(t, "design", true)
		exact, err := VolumesBetween(existing, design, c.boundary)
		if err != nil {
			t.Fatal(err)
		}
		axis := geometry.Line{Along: geometry.Point{X: 1, Y: 0.2}}
		worst := [2]float64{}
		for i, n := range []int{20, 200} {
			s, err := VolumesBySections(existing, design, c.boundary, axis, n)
			if err != nil {
				t.Fatal(err)
			}
			worst[i] = math.Abs(s.Prismoidal.Net()-exact.Net()) + math.Abs(s.Prismoidal.Fill-exact.Fill)
			// Between 200 sections the depth kinks at edges and corners of the outline: each costs about one interval's share.
			near(t, name+" sections, average end", s.AverageEnd.Net(), exact.Net(), 2e-3*math.Abs(exact.Net())*20/float64(n)*10)
			near(t, name+" section area", s.Prismoidal.Area, exact.Area, 5e-3*exact.Area)
		}
		if worst[1] > worst[0] || worst[1] > 1e-3*(exact.Cut+exact.Fill) {
			t.Errorf("%s: prismoidal off by %g with 20 sections, %g with 200", name, worst[0], worst[1])
		}
	}
	s1 := loadCases(t)["S1"]
	existing, design := s1.surface(t, "existing", true), s1.surface(t, "design", true)
	fine, err := FourPointVolumes(existing, design, s1.boundary.Bounds(), 264, 164) // 5 cm cells
	if err != nil {
		t.Fatal(err)
	}
	near(t, "grid cut", fine.Cut, 32.443, 5e-3) // the published 5 cm grid, to the digits it gives
	near(t, "grid fill", fine.Fill, 0.530, 5e-3)
}

// TestPondAgainstSampling: a pond's volume is the sum of its depth over a fine grid.
func TestPondAgainstSampling(t *testing.T) {
	s, err := Triangulate(waves(300, 3), nil)
	if err != nil {
		t.Fatal(err)
	}
	ponds, err := s.Ponds(nil)
	if err != nil || len(ponds) == 0 {
		t.Fatal(len(ponds), err)
	}
	p := ponds[0]
	box := geometry.EmptyBox()
	area := 0.0
	for _, ring := range p.Pieces {
		area += geometry.SignedArea(ring)
		for _, q := range ring {
			box = box.Grow(q)
		}
	}
	near(t, "area", area, p.Area, 1e-6)
	const n = 200
	sum := 0.0
	for i := range n {
		for j := range n {
			q := geometry.Point{X: box.Min.X + box.Width()*(float64(i)+0.5)/n, Y: box.Min.Y + box.Height()*(float64(j)+0.5)/n}
			if z, ok := s.At(q); ok && inPieces(p.Pieces, q) {
				sum += p.Level - z
			}
		}
	}
	near(t, "volume", sum*box.Width()*box.Height()/(n*n), p.Volume, 5e-3*p.Volume) // 40 000 samples
}

func inPieces(pieces [][]geometry.Point, q geometry.Point) bool {
	for _, ring := range pieces {
		if geometry.BoundsOf(ring).Contains(q) && (geometry.Polygon{Outer: ring}).Contains(q) {
			return true
		}
	}
	return false
}

func TestWithin(t *testing.T) {
	c := loadCases(t)["S2"]
	s := c.surface(t, "design", true)
	patches, err := s.Within(c.boundary)
	if err != nil {
		t.Fatal(err)
	}
	area := 0.0
	for _, p := range patches {
		area += geometry.SignedArea(p.Ring)
		for i, q := range p.Ring {
			if z, ok := s.At(q); ok && math.Abs(z-p.Z[i]) > 1e-9 {
				t.Fatalf("height %g at %v, the surface says %g", p.Z[i], q, z)
			}
		}
	}
	near(t, "area", area, 154, 1e-9)
}
