package plate

import (
	_ "embed"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"
)

//go:embed testdata/solid.csv
var solidRecord string

// solidCase is one row of the record of a three-dimensional solution by a general-purpose program.
type solidCase struct {
	where               string
	thickness, support  float64
	load, at            Point
	deflection          float64 // of the bottom face
	thinBelow, thinOver float64 // share by which the thin plate is expected below the solid
}

func solidCases(t testing.TB) []solidCase {
	rows, err := csv.NewReader(strings.NewReader(solidRecord)).ReadAll()
	must(t, err)
	var out []solidCase
	for _, row := range rows[1:] {
		n := make([]float64, len(row))
		for k := range row[1:] {
			n[k+1], err = strconv.ParseFloat(row[k+1], 64)
			must(t, err)
		}
		out = append(out, solidCase{row[0], n[1], n[2], Point{n[3], n[4]}, Point{n[5], n[6]}, n[7], n[8], n[9]})
	}
	return out
}

func (c solidCase) slab() Slab {
	s := slabA()
	s.Thickness, s.Support = c.thickness, c.support
	return s
}

func (c solidCase) thinPlate(t testing.TB) float64 {
	r := solve(t, c.slab(), Load{Patches: []Patch{Rectangle(c.load, 0.2, 0.2, 20e3)}}, Mesh{})
	return state(t, r, 0, c.at.X, c.at.Y).Deflection
}

// STR-28: the same slab as a three-dimensional solid deflects a little more, by shear and by the squeezing of its depth.
// The thin plate must be below it by the recorded share: for a slab a quarter as thick as l, 2.6 to 3.4 %; for one a
// twelfth as thick on soil that keeps l, next to nothing.
func TestSolidRecord(t *testing.T) {
	for _, c := range solidCases(t) {
		thin := c.thinPlate(t)
		below := 1 - thin/c.deflection
		t.Logf("%s, h %g: thin %.6f mm, solid %.6f mm: %.2f %% below", c.where, c.thickness, thin*1e3, c.deflection*1e3, 100*below)
		if math.IsNaN(below) || below < c.thinBelow || below > c.thinOver {
			t.Errorf("%s, h %g: the thin plate is %.2f %% below the solid, expected %.2f to %.2f %%", c.where, c.thickness, 100*below, 100*c.thinBelow, 100*c.thinOver)
		}
	}
}
