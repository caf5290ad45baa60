package grade

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
)

func TestBoardsStandClearAndStringsCrossAtTheCorners(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := lot(t)
		r := mustDesign(t, in)
		for _, b := range r.Boards {
			for _, d := range r.Dig {
				// 1e-6 m: rounding of the offset; the board is parallel to the dig at square corners, these have only such.
				if gap := d.Distance(b.Nail); gap < in.Clear.Value.Metres()-1e-6 {
					t.Fatalf("board %s stands %v from the dig", b.Name, gap)
				}
			}
		}
		for i, s := range r.Strings {
			a, b := in.Outline.Outer[i], in.Outline.Outer[(i+1)%len(in.Outline.Outer)]
			if s.Line.Distance(a) > 1e-9 || s.Line.Distance(b) > 1e-9 {
				t.Fatalf("string %s misses its corners", s.Name)
			}
		}
	})
}

func TestStringsEndAtWallsAndInnerCorners(t *testing.T) {
	r := mustDesign(t, apron())
	if s := r.Strings[1]; s.Ends[0] != "board at B" || s.Ends[1] != "nail in shop wall" {
		t.Errorf("string BC ends at %v", s.Ends)
	}
	in := pad()
	in.Outline = geometry.Polygon{Outer: []geometry.Point{{}, {X: 10}, {X: 10, Y: 4}, {X: 4, Y: 4}, {X: 4, Y: 8}, {Y: 8}}}
	if s := mustDesign(t, in).Strings[2]; s.Ends[1] != "stake at D" {
		t.Errorf("string CD runs over the slab to %v", s.Ends)
	}
	if d := mustDesign(t, pad()).Diagonals; len(d) != 2 || math.Abs(d[0].Length.Feet()-math.Hypot(40, 14)) > 1e-9 {
		t.Errorf("diagonals %v", d)
	}
}

func TestRailsJointsAndCurvesAreStaked(t *testing.T) {
	in := court()
	in.JointEnds = []geometry.Segment{{A: geometry.Point{X: 4}, B: geometry.Point{X: 4, Y: 9}}}
	arc, _ := geometry.ArcThrough(geometry.Point{}, geometry.Point{X: quantity.Feet(20).Metres(), Y: quantity.Feet(-3).Metres()}, geometry.Point{X: quantity.Feet(40).Metres()})
	round := arc.Points(quantity.Inches(4.5).Metres()) // eight chords
	in.Outline.Outer = append(round, in.Outline.Outer[2:]...)
	in.Curves = []Curve{{Side: "AB", First: 0, Last: len(round) - 1, Rise: feet(3)}}
	r := mustDesign(t, in)
	count := map[string]int{}
	for _, s := range r.Stakes {
		word, _, _ := strings.Cut(s.Name, " ")
		count[word]++
		if s.Top <= 0 || s.Base <= s.Top || s.Subgrade <= s.Base {
			t.Errorf("stake %s drops %v, %v, %v", s.Name, s.Top, s.Base, s.Subgrade)
		}
	}
	if count["rail"] != 10 || count["joint"] != 2 { // two rails over 40 ft with stakes every 10 ft
		t.Errorf("staked %v", count)
	}
	// R = 40²/24 + 1.5 = 68.1667 ft; each offset lies on that arc, the middle one 3 ft out.
	for _, o := range r.Offsets {
		x := o.Along.Feet() - 20
		if want := math.Sqrt(68.1666667*68.1666667-x*x) - 65.1666667; math.Abs(o.Off.Feet()-want) > 1e-6 {
			t.Errorf("%v ft along it stands %v ft off, not %v", o.Along.Feet(), o.Off.Feet(), want)
		}
	}
	if n := len(round) - 2; len(r.Offsets) != n || len(r.Strings) != 4 || len(r.Diagonals) != 2 {
		t.Errorf("%d offsets for %d, %d strings, %d diagonals", len(r.Offsets), n, len(r.Strings), len(r.Diagonals))
	}
	if p := Picture(in, r)[2]; p.Name != "strings-and-boards" || len(p.Table.Rows) < 4+len(r.Boards)+2+len(r.Offsets) || len(r.Boards) == 0 {
		t.Errorf("%s has %d rows", p.Name, len(p.Table.Rows))
	}
	in.Curves[0].Last = 99
	if _, err := Design(in); !isFault(err, "grade.bows[1]") {
		t.Error(err)
	}
}
