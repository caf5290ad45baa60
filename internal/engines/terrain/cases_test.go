package terrain

import (
	"encoding/csv"
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

func TestPublishedVolumes(t *testing.T) {
	for name, c := range loadCases(t) {
		for _, lines := range []bool{true, false} {
			v, err := VolumesBetween(c.surface(t, "existing", lines), c.surface(t, "design", lines), c.boundary)
			t.Logf("%s %v %+v %v", name, lines, v, err)
		}
	}
}
