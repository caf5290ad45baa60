package site

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/calc/calctest"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

func TestCheckRows(t *testing.T) { calctest.Rows(t, Calculations(), Checks()) }

func feet(v float64) known.Length { return known.Say(quantity.Feet(v)) }

func corners(points ...[2]float64) []Corner {
	var out []Corner
	for _, p := range points {
		out = append(out, Corner{X: feet(p[0]), Y: feet(p[1])})
	}
	return out
}

func sized(length, width float64) Input {
	in := Defaults()
	in.Length, in.Width = feet(length), feet(width)
	return in
}

func mustDesign(t interface{ Fatal(...any) }, in Input) Result {
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestThreeNumbersMakeASquareOutline(t *testing.T) {
	r := mustDesign(t, sized(40, 14))
	if a := r.Area.SquareFeet(); a < 559.999 || a > 560.001 || len(r.Sides) != 4 || !r.DoNotDig {
		t.Errorf("area %v, %d sides, do not dig %v", a, len(r.Sides), r.DoNotDig)
	}
	if d, ok := r.Working.Find("diagonal_AC"); !ok || d.Value.String(quantity.US) != `42'-4 1/2"` {
		t.Errorf("diagonal reads %v", d.Value)
	}
}

func TestClockwiseCornersKeepTheirNames(t *testing.T) {
	in := Defaults()
	in.Corners = []Corner{{X: feet(0), Y: feet(0), Name: "P"}, {X: feet(0), Y: feet(10), Name: "Q"}, {X: feet(20), Y: feet(10), Name: "R"}, {X: feet(20), Y: feet(0), Name: "S"}}
	r := mustDesign(t, in)
	if r.Corners[0].Name != "P" || r.Corners[1].Name != "S" || r.Outline.Outer[1] != r.Corners[1].At {
		t.Errorf("corners came out as %+v", r.Corners)
	}
}

func TestSidesAsTapedAreHeldAgainstTheCorners(t *testing.T) {
	in := Defaults()
	in.Corners = corners([2]float64{0, 0}, [2]float64{40, 0}, [2]float64{40, 14}, [2]float64{0, 14})
	in.Corners[0].Side = feet(40)
	if c := find(mustDesign(t, in).Checks, "site.typed-sides"); c.Level != check.Good {
		t.Errorf("a side as drawn: %v", c)
	}
	in.Corners[3].Side = feet(13.9)
	if c := find(mustDesign(t, in).Checks, "site.typed-sides"); c.Level != check.Care || !strings.Contains(c.Says, "DA") || !strings.Contains(c.Says, "1 1/4 in") {
		t.Errorf("a side 1.2 in off: %v", c)
	}
	in.Corners[1], in.Corners[3] = in.Corners[3], in.Corners[1] // clockwise: names stay with their corners
	in.Corners[1].Name, in.Corners[3].Name = "D", "B"
	in.Corners[1].Side, in.Corners[0].Side = known.Length{}, feet(14)
	if c := find(mustDesign(t, in).Checks, "site.typed-sides"); c.Level != check.Good {
		t.Errorf("clockwise: %v", c)
	}
}

func TestALidInTheSlabIsBoxedOut(t *testing.T) {
	in := sized(40, 14)
	in.Obstacles = []Obstacle{{Kind: Lid, Name: "septic lid", X: feet(10), Y: feet(7), Across: known.Say(quantity.Inches(24))}}
	r := mustDesign(t, in)
	if len(r.Outline.Holes) != 1 || r.Area.SquareFeet() > 557 || r.Area.SquareFeet() < 556 || !r.Things[0].Touches {
		t.Errorf("%d holes, area %v, touches %v", len(r.Outline.Holes), r.Area.SquareFeet(), r.Things[0].Touches)
	}
}

func TestASideAlongAWallIsFound(t *testing.T) {
	in := sized(40, 14)
	in.Obstacles = []Obstacle{{Kind: Wall, Name: "shop wall", Line: corners([2]float64{-2, 14}, [2]float64{45, 14})}}
	r := mustDesign(t, in)
	if r.Sides[2].Against != "shop wall" || r.Sides[0].Against != "" || !r.Things[0].Touches {
		t.Errorf("sides %+v", r.Sides)
	}
}

func TestBuriedLineUnderTheDigStopsTheMachine(t *testing.T) {
	in := sized(40, 14)
	in.Obstacles = []Obstacle{{Kind: Gas, Name: "gas to the grill", Line: corners([2]float64{-5, 5}, [2]float64{45, 6})}}
	r := mustDesign(t, in)
	if c := find(r.Checks, "site.buried-line"); c.Level != check.Stop || !c.Safety {
		t.Errorf("check came out as %+v", c)
	}
	in.Obstacles[0].Line = corners([2]float64{-5, -9}, [2]float64{45, -9})
	if c := find(mustDesign(t, in).Checks, "site.buried-line"); c.Level != check.Good {
		t.Errorf("a line 8 ft off still gives %+v", c)
	}
}

func find(checks []check.Check, id check.ID) check.Check {
	for _, c := range checks {
		if c.ID == id {
			return c
		}
	}
	return check.Check{}
}

func TestAMisreadRodIsNamed(t *testing.T) {
	in := sized(40, 14)
	for i, s := range []struct{ x, y, z float64 }{{0, 0, 100}, {40, 0, 99.85}, {40, 14, 99.4}, {0, 14, 99.62}, {20, 7, 97.61}} {
		in.Shots = append(in.Shots, Shot{X: feet(s.x), Y: feet(s.y), Elevation: feet(s.z), Name: string(rune('1' + i))})
	}
	if c := find(mustDesign(t, in).Checks, "site.shot-off"); c.Where != "5" {
		t.Errorf("blamed %q", c.Where)
	}
}

func TestFaultsAreAllFoundAndSayWhatToType(t *testing.T) {
	in := Defaults()
	in.Shots = []Shot{{Rod: feet(3), At: "K"}, {X: feet(1), Y: feet(1), Rod: feet(3)}}
	in.Obstacles = []Obstacle{{Kind: Tree, X: feet(1), Y: feet(1)}, {Kind: Fence}}
	_, err := Design(in)
	faults, ok := err.(check.Faults)
	if !ok || len(faults) != 6 {
		t.Fatalf("%d faults: %v", len(faults), err)
	}
	for _, f := range faults {
		if f.Why == "" || f.Type == "" {
			t.Errorf("fault says too little: %+v", f)
		}
	}
}

func TestTurningTheLotChangesNoSize(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, w := rapid.Float64Range(4, 120).Draw(t, "length"), rapid.Float64Range(3, 60).Draw(t, "width")
		turn := rapid.Float64Range(0, 6.28).Draw(t, "turn")
		in := Defaults()
		for _, p := range geometry.Rectangle(l, w).Rotate(geometry.Point{}, turn).Outer {
			in.Corners = append(in.Corners, Corner{X: feet(p.X), Y: feet(p.Y)})
		}
		r := mustDesign(t, in)
		// 1e-9: coordinates near 100 ft carry 1e-14 relative rounding, the shoelace sum a few hundred of it.
		if a := r.Area.SquareFeet(); a < l*w*(1-1e-9) || a > l*w*(1+1e-9) {
			t.Fatalf("area %v, not %v", a, l*w)
		}
	})
}

func tapes(list map[string]float64, order ...string) []Tape {
	var out []Tape
	for _, name := range order {
		out = append(out, Tape{From: name[:1], To: name[1:], Length: feet(list[name])})
	}
	return out
}

// TestTapesAloneMakeTheOutline uses SITE-03: a quadrilateral with both diagonals, in feet.
func TestTapesAloneMakeTheOutline(t *testing.T) {
	in := Defaults()
	in.TapeError = known.Say(quantity.Feet(0.02))
	in.Tapes = tapes(map[string]float64{"AB": 40, "BC": 12.02, "CD": 39.98, "DA": 12, "AC": 41.74, "BD": 41.78}, "AB", "BC", "CD", "DA", "AC", "BD")
	r := mustDesign(t, in)
	if a := r.Area.SquareFeet(); a < 480.341 || a > 480.343 {
		t.Errorf("area %v", a)
	}
	if s, _ := r.Working.Find("tape_misfit"); s.Value.SI < 0.2732 || s.Value.SI > 0.2752 {
		t.Errorf("misfit %v", s.Value.SI)
	}
}

func TestAWrongTapeIsCaughtAndItsCauseGuessed(t *testing.T) {
	in := Defaults()
	in.TapeError = known.Say(quantity.Millimetres(5))
	in.Corners = []Corner{{X: feet(0), Y: feet(0), Name: "A"}, {X: feet(40), Y: feet(0), Name: "B"}, {X: feet(40), Y: feet(14), Name: "C"}, {X: feet(0), Y: feet(14), Name: "D"}, {X: feet(-6), Y: feet(7), Name: "E"}}
	d := func(ax, ay, bx, by float64) float64 {
		return geometry.Point{X: ax, Y: ay}.Distance(geometry.Point{X: bx, Y: by})
	}
	in.Tapes = tapes(map[string]float64{"AB": 40, "BC": 15, "CD": 40, "DA": 14, "AC": d(0, 0, 40, 14), "BD": d(40, 0, 0, 14),
		"EA": d(-6, 7, 0, 0), "ED": d(-6, 7, 0, 14), "EB": d(-6, 7, 40, 0), "EC": d(-6, 7, 40, 14)}, "AB", "BC", "CD", "DA", "AC", "BD", "EA", "ED", "EB", "EC")
	c := find(mustDesign(t, in).Checks, "site.tapes-agree")
	if c.Level != check.Care || c.Where != "BC" || !strings.Contains(c.Says, "foot") {
		t.Errorf("got %+v", c)
	}
}

func TestTapesThatLeaveACornerLooseAreRefused(t *testing.T) {
	in := Defaults()
	in.Corners = []Corner{{X: feet(0), Y: feet(0), Name: "A"}, {X: feet(40), Y: feet(0), Name: "B"}, {X: feet(40), Y: feet(14), Name: "C"}, {X: feet(0), Y: feet(14), Name: "D"}}
	in.Tapes = tapes(map[string]float64{"AB": 40, "BC": 14, "CD": 40, "DA": 14}, "AB", "BC", "CD", "DA")
	_, err := Design(in)
	if faults, ok := err.(check.Faults); !ok || !strings.Contains(faults[0].Type, "Tape one more") {
		t.Errorf("got %v", err)
	}
}
