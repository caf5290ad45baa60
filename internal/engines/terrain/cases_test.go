package terrain

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"slabwright/internal/engines/geometry"
)

// surveyCase is one of the published surface cases in testdata/surfaces.csv.
type surveyCase struct {
	shots      map[string][]Shot
	breaklines map[string][][]int
	boundary   geometry.Polygon
}

func loadCases(t testing.TB) map[string]*surveyCase {
	t.Helper()
	f, err := os.Open("testdata/surfaces.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	cases := map[string]*surveyCase{}
	for _, r := range rows[1:] {
		c := cases[r[0]]
		if c == nil {
			c = &surveyCase{shots: map[string][]Shot{}, breaklines: map[string][][]int{}}
			cases[r[0]] = c
		}
		switch surface := r[1]; r[2] {
		case "point":
			c.shots[surface] = append(c.shots[surface], Shot{X: number(r[4]), Y: number(r[5]), Z: number(r[6])})
		case "breakline":
			c.breaklines[surface] = append(c.breaklines[surface], []int{int(number(r[7])), int(number(r[8]))})
		case "vertex":
			c.boundary.Outer = append(c.boundary.Outer, geometry.Point{X: number(r[4]), Y: number(r[5])})
		}
	}
	return cases
}

func (c *surveyCase) surface(t testing.TB, name string, breaklines bool) *Surface {
	t.Helper()
	lines := c.breaklines[name]
	if !breaklines {
		lines = nil
	}
	s, err := Triangulate(c.shots[name], lines)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func near(t interface {
	Helper()
	Errorf(string, ...any)
}, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tol)
	}
}

// TestPublishedVolumes holds SITE-10, SITE-11 and SITE-12; the tolerance is half the last digit the rows give.
func TestPublishedVolumes(t *testing.T) {
	cases := loadCases(t)
	for _, want := range []struct {
		name                     string
		breaklines               bool
		cut, fill, cutArea, area float64
	}{
		{"S1", true, 32.4430, 0.5301, 96.3875, 108.24},
		{"S1", false, 37.1058, 0.0513, math.NaN(), 108.24},
		{"S2", true, 27.0349, 0, 154, 154},
		{"S2", false, 26.9738, 0, 154, 154},
		{"S3", true, 0.0087, 132.5508, math.NaN(), 1031},
		{"S3", false, 0.0087, 131.2726, math.NaN(), 1031},
	} {
		c := cases[want.name]
		existing, design := c.surface(t, "existing", want.breaklines), c.surface(t, "design", want.breaklines)
		v, err := VolumesBetween(existing, design, c.boundary)
		if err != nil {
			t.Fatal(err)
		}
		near(t, want.name+" cut", v.Cut, want.cut, 5e-5)
		near(t, want.name+" fill", v.Fill, want.fill, 5e-5)
		near(t, want.name+" area", v.Area, want.area, 1e-9)
		if !math.IsNaN(want.cutArea) {
			near(t, want.name+" cut area", v.CutArea, want.cutArea, 5e-5)
		}
		for _, k := range existing.Warnings() {
			if k.Kind == AmbiguousDiagonal {
				t.Errorf("%s: every tie of the published cases is coplanar: %s", want.name, k.Says)
			}
		}
	}
}

func TestPublishedHeights(t *testing.T) {
	cases := loadCases(t)
	for _, want := range []struct {
		name, surface string
		x, y, z, tol  float64
	}{
		{"S1", "existing", 7.5, 6.3, 10.0899, 5e-5},
		{"S1", "existing", 12.34, 9.1, 10.46255, 5e-6},
		{"S2", "existing", 9.333, 6, 99.78630, 5e-6},
		{"S2", "design", 14, 9, 99.87819, 5e-6},
	} {
		z, ok := cases[want.name].surface(t, want.surface, true).At(geometry.Point{X: want.x, Y: want.y})
		if !ok {
			t.Errorf("%s: no ground at (%g, %g)", want.name, want.x, want.y)
		}
		near(t, want.name+" "+want.surface, z, want.z, want.tol)
	}
	s1 := cases["S1"].surface(t, "existing", true)
	near(t, "plan area", s1.PlanArea(), 272.115, 5e-4)
	near(t, "slope area", s1.SlopeArea(), 286.384, 5e-4)
	near(t, "contour 10.20", s1.Contour(10.20).Length(), 32.720, 1e-3)
	grid, err := FourPointVolumes(s1, cases["S1"].surface(t, "design", true), cases["S1"].boundary.Bounds(), 6, 4)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "grid cut (SITE-13)", grid.Cut, 31.408, 1e-3)
	near(t, "grid fill (SITE-13)", grid.Fill, 0.231, 1e-3)
}
