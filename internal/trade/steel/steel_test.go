package steel

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/spoken"
)

const ft = 0.3048

func job(thickness quantity.Length, outline geometry.Polygon) Input {
	in := Defaults()
	in.Thickness = known.Say(thickness)
	in.Outline = outline
	return in
}

func feet(coords ...float64) []geometry.Point {
	var out []geometry.Point
	for i := 0; i < len(coords); i += 2 {
		out = append(out, geometry.Point{X: coords[i] * ft, Y: coords[i+1] * ft})
	}
	return out
}

func design(t *testing.T, in Input) Result {
	t.Helper()
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// slabs draws a slab cut into a row of panels, with a round box-out in the middle of some.
func slabs(t *rapid.T) Input {
	w, h := rapid.Float64Range(1.5, 20).Draw(t, "w"), rapid.Float64Range(1.5, 8).Draw(t, "h")
	in := job(quantity.Inches(rapid.Float64Range(4, 9).Draw(t, "thickness")), geometry.Rectangle(w, h))
	if min(w, h) > 3 && rapid.Bool().Draw(t, "post") {
		in.Outline.Holes = [][]geometry.Point{geometry.Disc(geometry.Point{X: w / 3, Y: h / 2}, 0.2, 0.003).Outer}
		in.Outline = in.Outline.Oriented()
	}
	n := rapid.IntRange(1, 4).Draw(t, "panels")
	for k := range n {
		strip := geometry.Box{Min: geometry.Point{X: w * float64(k) / float64(n)}, Max: geometry.Point{X: w * float64(k+1) / float64(n), Y: h}}.Polygon()
		if parts, err := in.Outline.Intersection(strip); err == nil {
			in.Panels = append(in.Panels, parts...)
		}
	}
	in.Through = known.Say(rapid.Bool().Draw(t, "through"))
	in.Units = quantity.System(rapid.IntRange(0, 1).Draw(t, "units"))
	return in
}

func TestBarsLieInsideWithTheirClearance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := slabs(t)
		r, err := Design(in)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range r.Bars {
			for _, s := range []float64{0, 0.25, 0.5, 0.75, 1} {
				q := b.Line.At(s)
				if in.Outline.Locate(q) != geometry.Inside || in.Outline.BoundaryDistance(q) < in.EdgeClear.Value.Metres()-0.002 {
					t.Fatalf("bar %v comes within %.4f m of the edge", b.Line, in.Outline.BoundaryDistance(q))
				}
				if b.Panel > 0 && in.Panels[b.Panel-1].BoundaryDistance(q) < in.JointGap.Value.Metres()-0.002 {
					t.Fatalf("bar %v comes within %.4f m of a joint", b.Line, in.Panels[b.Panel-1].BoundaryDistance(q))
				}
			}
		}
	})
}

func TestCuttingListsMakeEveryBar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := slabs(t)
		r, err := Design(in)
		if err != nil {
			t.Fatal(err)
		}
		made, bought := map[string]int{}, 0.0
		for _, row := range r.Cutting {
			for _, m := range r.Marks {
				made[m.Mark] += row.Times * times(row.Pieces, m.Mark)
			}
			bought += row.Stick.Metres() * float64(row.Times)
		}
		total := 0.0
		for _, m := range r.Marks {
			if made[m.Mark] != m.Count {
				t.Fatalf("%d of bar %s made, %d wanted: %v", made[m.Mark], m.Mark, m.Count, r.Cutting)
			}
			total += m.Length.Metres() * float64(m.Count)
		}
		if math.Abs(total-r.Total.Metres()) > 1e-6 || bought < total-1e-9 {
			t.Fatalf("marks %.4f m, total %.4f m, bought %.4f m", total, r.Total.Metres(), bought)
		}
		runs := 0.0
		for _, b := range r.Bars {
			runs += b.Line.Length()
		}
		if total < runs-0.026*float64(len(r.Bars)) {
			t.Fatalf("runs of %.3f m from pieces of %.3f m", runs, total)
		}
	})
}

// times reads how often a mark is cut from a stick: "2 × A + 1 × C".
func times(pieces, mark string) int {
	n := 0
	for _, part := range splitPlus(pieces) {
		var k int
		var m string
		if _, err := fmt.Sscanf(part, "%d × %s", &k, &m); err == nil && m == mark {
			n += k
		}
	}
	return n
}

func splitPlus(text string) []string {
	var out []string
	start := 0
	for i := 0; i+3 <= len(text); i++ {
		if text[i:i+3] == " + " {
			out = append(out, text[start:i])
			start = i + 3
		}
	}
	return append(out, text[start:])
}

func TestCountsDoNotTurnWithTheSlab(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := slabs(t)
		angle := rapid.Float64Range(-3, 3).Draw(t, "angle")
		turned := in
		turned.Outline, turned.Along, turned.Panels = in.Outline.Rotate(geometry.Point{}, angle), geometry.Direction(angle), nil
		for _, p := range in.Panels {
			turned.Panels = append(turned.Panels, p.Rotate(geometry.Point{}, angle))
		}
		a, errA := Design(in)
		b, errB := Design(turned)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if len(a.Bars) != len(b.Bars) || math.Abs(float64(a.Weight-b.Weight)) > 0.03*float64(len(a.Bars)) {
			t.Fatalf("%d bars %.2f kg, turned %d bars %.2f kg", len(a.Bars), a.Weight, len(b.Bars), b.Weight)
		}
	})
}

func TestLongerDragAsksForMoreSteel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		short := quantity.Length(rapid.Float64Range(0.1, 50).Draw(t, "short"))
		more := quantity.Length(rapid.Float64Range(0, 50).Draw(t, "more"))
		a, errA := DragArea(1.5, short, 5000, quantity.MPa(276))
		b, errB := DragArea(1.5, short+more, 5000, quantity.MPa(276))
		if errA != nil || errB != nil || b < a {
			t.Fatalf("%v then %v", a, b)
		}
	})
}

func TestRunsLongerThanASticksAreLapped(t *testing.T) {
	in := job(quantity.Inches(6), geometry.Rectangle(40*ft, 12*ft))
	in.Through = known.Say(true)
	bar, _ := spoken.BarNamed("#4")
	in.Grid = known.Say(spoken.BarGrid{Size: bar.Size, Diameter: bar.Diameter, Area: bar.Area, LinearMass: bar.LinearMass, Spacing: quantity.Inches(18), BothWays: true})
	r := design(t, in)
	for _, b := range r.Bars {
		want := 1
		if !b.Upper {
			want = 3
		}
		if b.Pieces != want {
			t.Fatalf("%.2f ft in %d pieces", b.Line.Length()/ft, b.Pieces)
		}
	}
	if laps := r.Total.Feet() - (9*39.5 + 28*11.5); math.Abs(laps-9*2*20.0/12) > 0.3 {
		t.Errorf("%.2f ft of laps", laps)
	}
	in.Stock = known.Say(quantity.Feet(40))
	if r := design(t, in); r.Bars[0].Pieces != 1 || !r.Proven {
		t.Errorf("40 ft sticks need no lap: %+v", r.Bars[0])
	}
}

func TestOffcutsInTheYardAreUsedFirst(t *testing.T) {
	in := job(quantity.Inches(6), geometry.Rectangle(12*ft, 12*ft))
	before := design(t, in)
	in.Leftovers = []Leftover{{known.Say(quantity.Feet(12)), known.Say(quantity.Number(5))}}
	after := design(t, in)
	yard := 0
	for _, row := range after.Cutting {
		if row.Yard {
			yard += row.Times
		}
	}
	if yard != 5 || after.Sticks >= before.Sticks {
		t.Errorf("%d from the yard, %d sticks instead of %d", yard, after.Sticks, before.Sticks)
	}
}

func TestAnotherStickLengthIsProposedWhenItSaves(t *testing.T) {
	in := job(quantity.Inches(6), geometry.Rectangle(13.5*ft, 13.5*ft))
	r := design(t, in)
	i := slices.IndexFunc(r.Checks, func(c check.Check) bool { return c.ID == "steel.stock" })
	if i < 0 || r.Checks[i].Level != check.Care || r.Sold[0].Stick != in.Stock.Value {
		t.Fatalf("%+v", r.Sold)
	}
	if r.Sold[2].Bought >= r.Sold[0].Bought {
		t.Errorf("13 ft bars from 40 ft sticks take %v, from 20 ft %v", r.Sold[2].Bought, r.Sold[0].Bought)
	}
}

func TestInsideCornersGetDiagonals(t *testing.T) {
	in := job(quantity.Inches(6), geometry.Polygon{Outer: feet(0, 0, 30, 0, 30, 12, 12, 12, 12, 30, 0, 30)})
	r := design(t, in)
	n := 0
	for _, b := range r.Bars {
		if b.Trim {
			n++
			if math.Abs(math.Abs(b.Line.Direction().Cross(geometry.Direction(math.Pi/4)))-1) > 1e-9 {
				t.Errorf("diagonal runs %v", b.Line.Direction())
			}
		}
	}
	if n != 2 {
		t.Errorf("%d diagonals at one inside corner", n)
	}
}

func TestPourStopsGetDowelsOrTieBars(t *testing.T) {
	for thickness, want := range map[float64]string{6: UseTies, 8: UseDowels} {
		in := job(quantity.Inches(thickness), geometry.Rectangle(8, 4))
		in.PourStops = []geometry.Segment{{A: geometry.Point{X: 4}, B: geometry.Point{X: 4, Y: 4}}}
		r := design(t, in)
		if len(r.Dowels) != 1 || r.Dowels[0].Kind != want || r.Dowels[0].Count < 2 {
			t.Errorf("%.0f in: %+v", thickness, r.Dowels)
		}
	}
}

func TestEveryKindAnswersAndIsCompared(t *testing.T) {
	for _, kind := range []string{KindBars, KindMesh, KindFibre, KindNone} {
		in := job(quantity.Inches(5), geometry.Rectangle(6, 4))
		in.Kind = known.Say(kind)
		r := design(t, in)
		chosen := 0
		for _, o := range r.Options {
			if o.Chosen {
				chosen++
			}
			if o.Does == "" || o.DoesNot == "" {
				t.Errorf("%+v", o)
			}
		}
		if chosen != 1 || (kind == KindNone) != (r.Weight == 0) {
			t.Errorf("%s: %d chosen, %v", kind, chosen, r.Weight)
		}
		for _, p := range Picture(in, r) {
			if p.Title == "" || p.Says == "" || len(p.Table.Rows) == 0 || len(p.Legend) == 0 {
				t.Errorf("%s %s: %q", kind, p.Name, p.Title)
			}
			for _, row := range p.Table.Rows {
				if len(row) != len(p.Table.Header) {
					t.Errorf("%v", row)
				}
			}
		}
	}
}

func TestInputsThatCannotBeAreRefused(t *testing.T) {
	good := job(quantity.Inches(5), geometry.Rectangle(6, 4))
	for name, change := range map[string]func(*Input){
		"no thickness": func(in *Input) { in.Thickness = known.Length{} },
		"no outline":   func(in *Input) { in.Outline = geometry.Polygon{} },
		"nan kerf":     func(in *Input) { in.Kerf.Value = quantity.Length(math.NaN()) },
		"weak mix":     func(in *Input) { in.Strength = known.Say(quantity.PSI(1000)) },
		"odd kind":     func(in *Input) { in.Kind = known.Say("chicken wire") },
		"no spacing": func(in *Input) {
			in.Grid = known.Say(spoken.BarGrid{Size: "#4", Diameter: 0.0127, Area: 1e-4, LinearMass: 1})
		},
		"deep saw": func(in *Input) { in.SawDepth = known.Say(quantity.Inches(4)) },
		"thick bar": func(in *Input) {
			in.Grid = known.Say(spoken.BarGrid{Size: "#8", Diameter: 0.0254, Area: 5e-4, LinearMass: 4, Spacing: 0.3})
			in.Thickness = known.Say(quantity.Inches(2.5))
		},
		"no offcuts": func(in *Input) {
			in.Leftovers = []Leftover{{known.Say(quantity.Feet(3)), known.Say(quantity.Number(0))}}
		},
		"nan along": func(in *Input) { in.Along.X = math.NaN() },
	} {
		in := good
		change(&in)
		_, err := Design(in)
		var faults check.Faults
		if !errors.As(err, &faults) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestThinSlabsAreToldWhatSteelDoes(t *testing.T) {
	r := design(t, job(quantity.Inches(4), geometry.Rectangle(6, 4)))
	i := slices.IndexFunc(r.Checks, func(c check.Check) bool { return c.ID == "steel.purpose" })
	if i < 0 || r.Grid.Size != "#3" {
		t.Errorf("%v, %s", i, r.Grid)
	}
}

func Example() {
	in := Defaults()
	in.Thickness = known.Say(quantity.Inches(6))
	in.Outline = geometry.Rectangle(40*0.3048, 14*0.3048)
	for k := range 3 {
		in.Panels = append(in.Panels, geometry.Rectangle(40*0.3048/3, 14*0.3048).Translate(geometry.Point{X: 40 * 0.3048 / 3 * float64(k)}))
	}
	r, err := Design(in)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.title(in))
	for _, m := range r.Marks {
		fmt.Println("bar", m.Mark, m.Size, side(m.Length, in), "×", m.Count)
	}
	for _, c := range r.Cutting {
		fmt.Println(c.Times, "sticks cut", c.Pieces, "with", size(c.Offcut, in), "left")
	}
	fmt.Println(r.Chairs, "chairs,", r.Ties, "ties, proven:", r.Proven)
	// Output:
	// #4 @ 18 in each way on 3 in chairs: 60 sticks, 530 lb.
	// bar A #4 13'-6" × 30
	// bar B #4 13'-0" × 10
	// bar C #4 12'-11" × 20
	// 30 sticks cut 1 × A with 77 7/8 in left
	// 10 sticks cut 1 × B with 83 7/8 in left
	// 20 sticks cut 1 × C with 84 7/8 in left
	// 79 chairs, 204 ties, proven: true
}
