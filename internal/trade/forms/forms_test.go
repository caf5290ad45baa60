package forms

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
)

func job(thickness quantity.Length, outline geometry.Polygon) Input {
	in := Defaults()
	in.Thickness = known.Say(thickness)
	in.Outline = outline
	return in
}

func design(t *testing.T, in Input) Result {
	t.Helper()
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func find(r Result, id check.ID) check.Check {
	for _, c := range r.Checks {
		if c.ID == id {
			return c
		}
	}
	return check.Check{}
}

func TestEveryFootOfEdgeIsFormed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.Float64Range(1, 30).Draw(t, "w"), rapid.Float64Range(1, 30).Draw(t, "h")
		in := job(quantity.Inches(rapid.Float64Range(3, 11).Draw(t, "thickness")), geometry.Rectangle(w, h))
		if w > 2 && h > 2 && rapid.Bool().Draw(t, "L") {
			in.Outline.Outer = []geometry.Point{{}, {X: w}, {X: w, Y: h / 2}, {X: w / 2, Y: h / 2}, {X: w / 2, Y: h}, {Y: h}}
		}
		against := rapid.Float64Range(0, w).Draw(t, "wall")
		in.Against = []Against{{"house", geometry.Point{X: 0}, geometry.Point{X: against}}}
		angle := rapid.Float64Range(-3, 3).Draw(t, "angle")
		in.Outline = in.Outline.Rotate(geometry.Point{}, angle)
		in.Against[0].To = in.Against[0].To.Rotate(geometry.Point{}, angle)
		r, err := Design(in)
		if err != nil {
			t.Fatal(err)
		}
		formed, free := 0.0, 0.0
		for _, run := range r.Runs {
			if run.Kind == NoForm {
				free += run.Length.Metres()
			} else {
				formed += run.Length.Metres()
			}
			for i := 1; i < len(run.Stakes)-2*len(run.Splices); i++ {
				if d := run.Stakes[i].Distance(run.Stakes[i-1]); d > r.Spacing.Metres()+1e-9 {
					t.Fatalf("stakes %.3f m apart", d)
				}
			}
		}
		if math.Abs(formed+free-in.Outline.Perimeter()) > 2*onEdge || against > onEdge && math.Abs(free-against) > onEdge+1e-9 {
			t.Fatalf("%.3f m formed, %.3f m against the house, edge %.3f m", formed, free, in.Outline.Perimeter())
		}
		made, pieces := 0.0, 0.0
		for _, row := range r.Cutting {
			made += float64(row.Times) * row.Stock.Metres()
		}
		for _, p := range r.Pieces {
			pieces += float64(p.Count) * p.Length.Metres()
		}
		if math.Abs(pieces-r.BoardLength.Metres()) > 0.001*float64(len(r.Runs)+20) || made < pieces-1e-9 || formed > pieces+0.01 {
			t.Fatalf("%.3f m bought, %.3f m of pieces, %.3f m formed", made, pieces, formed)
		}
	})
}

func TestMorePushIsNeverGentler(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := quantity.Length(rapid.Float64Range(0.05, 0.25).Draw(t, "low"))
		more := quantity.Length(rapid.Float64Range(0, 0.2).Draw(t, "more"))
		span := quantity.Length(rapid.Float64Range(0.2, 2).Draw(t, "span"))
		a, _, errA := HeadLoad(low, 2400)
		b, _, errB := HeadLoad(low+more, 2400)
		x, errX := Bend(lumber[2], a, span, quantity.PSI(1.4e6))
		y, errY := Bend(lumber[2], b, span*1.1, quantity.PSI(1.4e6))
		if errA != nil || errB != nil || errX != nil || errY != nil || y.Stress < x.Stress || y.Deflection < x.Deflection {
			t.Fatalf("%v %v", x, y)
		}
	})
}

func TestLowBoardsAreNamedWithWhatTheyCost(t *testing.T) {
	in := job(quantity.Inches(4), geometry.Rectangle(6, 4))
	if r := design(t, in); r.Board.Name != "2x6" || find(r, "forms.height").Level != check.Good {
		t.Errorf("%s: %s", r.Board.Name, find(r, "forms.height").Says)
	}
	in.Board = known.Say("2x4")
	c := find(design(t, in), "forms.height")
	if c.Level != check.Care || len(c.Then) != 2 {
		t.Errorf("%v %s", c.Level, c.Says)
	}
}

func TestCurvesGetThinStockAndCloseStakes(t *testing.T) {
	arc := geometry.Arc{Centre: geometry.Point{X: 9, Y: 3}, Radius: 3, Start: -math.Pi / 2, Sweep: math.Pi / 2}.Points(0.003)
	outline := geometry.Polygon{Outer: append(append([]geometry.Point{{}}, arc...), geometry.Point{X: 12, Y: 6}, geometry.Point{Y: 6})}
	r := design(t, job(quantity.Inches(5), outline))
	curves := 0
	for _, run := range r.Runs {
		if run.Kind != Curve {
			continue
		}
		curves++
		if math.Abs(run.Radius.Metres()-3) > 0.01 || math.Abs(run.Length.Metres()-3*math.Pi/2) > 0.02 || run.Bend == "" {
			t.Errorf("%+v", run)
		}
		for i := 1; i < len(run.Stakes); i++ {
			if run.Stakes[i].Distance(run.Stakes[i-1]) > curveMost.Metres()+1e-9 {
				t.Errorf("stakes %.3f m apart round a curve", run.Stakes[i].Distance(run.Stakes[i-1]))
			}
		}
	}
	if curves != 1 || len(r.Runs) != 5 {
		t.Errorf("%d curves in %d runs", curves, len(r.Runs))
	}
}

func TestBoxOutsAndPourStopsAreFormed(t *testing.T) {
	outline := geometry.Rectangle(10, 5)
	outline.Holes = [][]geometry.Point{geometry.Disc(geometry.Point{X: 3, Y: 2}, 0.2, 0.003).Outer,
		{{X: 7, Y: 1.5}, {X: 7.5, Y: 2}, {X: 7, Y: 2.5}, {X: 6.5, Y: 2}}}
	in := job(quantity.Inches(6), outline)
	in.PourStops = []geometry.Segment{{A: geometry.Point{X: 5}, B: geometry.Point{X: 5, Y: 5}}}
	r := design(t, in)
	kinds := map[string]int{}
	for _, run := range r.Runs {
		kinds[run.Kind]++
	}
	if kinds[Round] != 1 || kinds[Bulkhead] != 1 || kinds[Straight] != 5 {
		t.Errorf("%v", kinds)
	}
	p := Picture(in, r)[0]
	for _, row := range p.Table.Rows {
		if len(row) != len(p.Table.Header) {
			t.Errorf("%v", row)
		}
	}
	if p.Title == "" || len(p.Legend) != 4 {
		t.Errorf("%q %v", p.Title, p.Legend)
	}
}

func TestInputsThatCannotBeAreRefused(t *testing.T) {
	good := job(quantity.Inches(5), geometry.Rectangle(6, 4))
	for name, change := range map[string]func(*Input){
		"no thickness": func(in *Input) { in.Thickness = known.Length{} },
		"no outline":   func(in *Input) { in.Outline = geometry.Polygon{} },
		"odd board":    func(in *Input) { in.Board = known.Say("3x5") },
		"nan stakes":   func(in *Input) { in.Stakes = known.Say(quantity.Length(math.NaN())) },
		"no stock":     func(in *Input) { in.Stock = known.Say(quantity.Length(0)) },
		"nan wall":     func(in *Input) { in.Against = []Against{{"x", geometry.Point{X: math.NaN()}, geometry.Point{}}} },
		"flat stop":    func(in *Input) { in.PourStops = []geometry.Segment{{}} },
		"stiff wood":   func(in *Input) { in.Modulus = known.Say(quantity.Stress(math.Inf(1))) },
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

func TestSafetyStandsBesideTheForms(t *testing.T) {
	r := design(t, job(quantity.Inches(6), geometry.Rectangle(6, 4)))
	if !slices.ContainsFunc(r.Checks, func(c check.Check) bool { return c.Safety && c.ID == "forms.truck" }) {
		t.Error("nothing is said of trucks near the form")
	}
}

func Example() {
	in := Defaults()
	in.Thickness = known.Say(quantity.Inches(6))
	in.Outline = geometry.Rectangle(40*0.3048, 14*0.3048)
	in.Against = []Against{{"the house", geometry.Point{Y: 14 * 0.3048}, geometry.Point{X: 40 * 0.3048, Y: 14 * 0.3048}}}
	r, err := Design(in)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, run := range r.Runs {
		fmt.Println(run.Name, run.Kind, quantity.Show(run.Length, quantity.AsSide).String(in.Units), len(run.Stakes), "stakes")
	}
	for _, c := range r.Cutting {
		fmt.Println(c.Times, "×", quantity.Show(c.Stock, quantity.AsSide).String(in.Units), r.Board.Name, "cut", c.Pieces)
	}
	// Output:
	// AB board 40'-0" 19 stakes
	// BC board 14'-0" 6 stakes
	// CD none 40'-0" 0 stakes
	// DA board 14'-0" 6 stakes
	// 2 × 16'-0" 2x8 cut 1 × F1
	// 2 × 16'-0" 2x8 cut 1 × F2
	// 1 × 16'-0" 2x8 cut 1 × F3
}
