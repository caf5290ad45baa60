//go:build reference

package terrain

import (
	"bytes"
	"cmp"
	"encoding/json"
	"math/rand/v2"
	"os"
	"os/exec"
	"slices"
	"testing"

	"slabwright/internal/engines/geometry"
)

// These tests compare with other people's code: Qhull by SciPy, GEOS by Shapely. Run them with
// go test -tags reference; PYTHON names an interpreter that has both (default python3).

type referenceAnswer struct {
	Triangles [][3]int
	Volumes   [2]float64
	Seconds   float64
}

func askReference(t testing.TB, request map[string]any) (answer referenceAnswer) {
	t.Helper()
	text, err := json.Marshal(request)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(cmp.Or(os.Getenv("PYTHON"), "python3"), "testdata/reference.py")
	cmd.Stdin = bytes.NewReader(text)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(out, &answer); err != nil {
		t.Fatal(err)
	}
	return answer
}

func TestSameTrianglesAsQhull(t *testing.T) {
	for _, n := range []int{10, 1000, 50_000} {
		shots := waves(n, uint64(n))
		s, err := Triangulate(shots, nil)
		if err != nil {
			t.Fatal(err)
		}
		points := make([][2]float64, len(shots))
		for i, shot := range shots {
			points[i] = [2]float64{shot.X, shot.Y}
		}
		got := make([][3]int, s.Len())
		for i := range got {
			got[i] = s.Triangle(i)
			slices.Sort(got[i][:])
		}
		slices.SortFunc(got, func(a, b [3]int) int { return slices.Compare(a[:], b[:]) })
		if want := askReference(t, map[string]any{"points": points}).Triangles; !slices.Equal(got, want) {
			t.Errorf("%d shots: %d triangles here, %d there, not the same", n, len(got), len(want))
		}
	}
}

func trianglesOf(s *Surface) (out [][3][3]float64) {
	for i := range s.Len() {
		var t [3][3]float64
		for k, v := range s.Triangle(i) {
			t[k] = [3]float64{s.shots[v].X, s.shots[v].Y, s.shots[v].Z}
		}
		out = append(out, t)
	}
	return out
}

func pairs(ring []geometry.Point) (out [][2]float64) {
	for _, p := range ring {
		out = append(out, [2]float64{p.X, p.Y})
	}
	return out
}

func TestSameVolumesAsGEOS(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	ground := func() *Surface {
		var shots []Shot
		for _, c := range [4][2]float64{{-10, -10.5}, {10.25, -10}, {10, 10.125}, {-10.5, 10}} {
			shots = append(shots, Shot{X: c[0], Y: c[1], Z: r.Float64()})
		}
		for range 25 {
			shots = append(shots, Shot{X: 19*r.Float64() - 9.5, Y: 19*r.Float64() - 9.5, Z: r.Float64()})
		}
		s, err := Triangulate(shots, [][]int{{4, 5}})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	boundary := geometry.Polygon{
		Outer: []geometry.Point{{X: -8, Y: -8}, {X: 8, Y: -7}, {X: 7, Y: 2}, {X: 1, Y: 1}, {X: 2, Y: 8}, {X: -7, Y: 7}},
		Holes: [][]geometry.Point{{{X: -4, Y: -4}, {X: -2, Y: -4.5}, {X: -2, Y: -2}}},
	}
	for range 3 {
		one, two := ground(), ground()
		v, err := VolumesBetween(one, two, boundary)
		if err != nil {
			t.Fatal(err)
		}
		want := askReference(t, map[string]any{"one": trianglesOf(one), "two": trianglesOf(two),
			"boundary": pairs(boundary.Outer), "holes": [][][2]float64{pairs(boundary.Holes[0])}}).Volumes
		near(t, "cut", v.Cut, want[0], 1e-9) // both are exact but for rounding
		near(t, "fill", v.Fill, want[1], 1e-9)
	}
	for name, c := range loadCases(t) {
		one, two := c.surface(t, "existing", true), c.surface(t, "design", true)
		v, err := VolumesBetween(one, two, c.boundary)
		if err != nil {
			t.Fatal(err)
		}
		want := askReference(t, map[string]any{"one": trianglesOf(one), "two": trianglesOf(two), "boundary": pairs(c.boundary.Outer)}).Volumes
		near(t, name+" cut", v.Cut, want[0], 1e-9)
		near(t, name+" fill", v.Fill, want[1], 1e-9)
	}
}

// BenchmarkAgainstQhull triangulates a million shots here, with ten thousand breakline edges, and there, without any, in one run.
func BenchmarkAgainstQhull(b *testing.B) {
	shots, lines := withBreaklines(waves(1_000_000, 1), 10_000)
	points := make([][2]float64, len(shots))
	for i, s := range shots {
		points[i] = [2]float64{s.X, s.Y}
	}
	there := askReference(b, map[string]any{"race": points}).Seconds
	for b.Loop() {
		if _, err := Triangulate(shots, lines); err != nil {
			b.Fatal(err)
		}
	}
	here := b.Elapsed().Seconds() / float64(b.N)
	b.ReportMetric(there, "qhull-s")
	b.ReportMetric(there/here, "times-faster")
}
