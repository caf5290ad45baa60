package joints

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

const ft = 0.3048

func feet(coords ...float64) []geometry.Point {
	var out []geometry.Point
	for i := 0; i < len(coords); i += 2 {
		out = append(out, geometry.Point{X: coords[i] * ft, Y: coords[i+1] * ft})
	}
	return out
}

func job(thickness quantity.Length, outer []geometry.Point) Input {
	in := Defaults()
	in.Thickness = known.Say(thickness)
	in.Outline.Outer = outer
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

// tile holds that the panels cover the outline: no less, no more.
func tile(r Result) error {
	sum := 0.0
	for _, p := range r.Panels {
		sum += p.Area.SquareMetres()
	}
	if want := r.Outline.Area(); math.Abs(sum-want) > near*r.Outline.Perimeter() {
		return fmt.Errorf("panels add to %.6f m², the slab has %.6f", sum, want)
	}
	return nil
}

// rectilinear draws an outline of square corners in whole feet: strips side by side, of different widths and heights.
func rectilinear(t *rapid.T) []geometry.Point {
	n := rapid.IntRange(1, 3).Draw(t, "strips")
	var top, bottom []geometry.Point
	x, low, high := 0.0, 0.0, 0.0
	for range n {
		w := ft * float64(rapid.IntRange(5, 30).Draw(t, "width"))
		newLow := ft * float64(rapid.IntRange(0, 20).Draw(t, "low"))
		newHigh := newLow + ft*float64(rapid.IntRange(6, 30).Draw(t, "height"))
		if len(top) > 0 && (newHigh < low+1.5 || newLow > high-1.5) {
			newLow, newHigh = low, high+10*ft
		}
		low, high = newLow, newHigh
		top = append(top, geometry.Point{X: x, Y: high}, geometry.Point{X: x + w, Y: high})
		bottom = append(bottom, geometry.Point{X: x, Y: low}, geometry.Point{X: x + w, Y: low})
		x += w
	}
	slices.Reverse(top)
	return slices.Compact(append(bottom, top...))
}

func TestPanelsTileEveryOutlineAndKeepTheSpacing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := job(quantity.Inches(rapid.Float64Range(4, 8).Draw(t, "thickness")), rectilinear(t))
		in.FirstLook = true
		r, err := Design(in)
		if err != nil {
			t.Skip(err.Error())
		}
		if err := tile(r); err != nil {
			t.Fatal(err)
		}
		broken := map[int]bool{}
		for _, b := range r.Breaches {
			broken[b.Panel] = true
		}
		for _, p := range r.Panels {
			if p.Length > r.Spacing+0.06 && !broken[p.Number] {
				t.Fatalf("panel %d is %.3f m long, spacing %.3f, and nothing says so", p.Number, p.Length, r.Spacing)
			}
			if p.Aspect > in.MaxAspect.Value+0.02 && !broken[p.Number] {
				t.Fatalf("panel %d has ratio %.3f and nothing says so", p.Number, p.Aspect)
			}
		}
		if want := len(r.Cuts) + crossings(r.Cuts) + 1; len(r.Panels) != want {
			t.Fatalf("%d panels, by Euler %d", len(r.Panels), want)
		}
	})
}

func TestCountsDoNotTurnWithTheSlab(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := job(quantity.Inches(5), rectilinear(t))
		in.FirstLook = true
		angle := rapid.Float64Range(-3, 3).Draw(t, "angle")
		turned := in
		turned.Outline = in.Outline.Rotate(geometry.Point{X: 3, Y: -2}, angle).Translate(geometry.Point{X: 40, Y: 7})
		a, errA := Design(in)
		b, errB := Design(turned)
		if errA != nil || errB != nil {
			t.Skip("refused")
		}
		if len(a.Panels) != len(b.Panels) || len(a.Breaches) != len(b.Breaches) {
			t.Fatalf("%d panels %d cuts %d breaches, turned by %.2f: %d, %d, %d", len(a.Panels), len(a.Cuts), len(a.Breaches), angle, len(b.Panels), len(b.Cuts), len(b.Breaches))
		}
	})
}

func TestRectanglesReachTheBound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.Float64Range(2, 25).Draw(t, "w"), rapid.Float64Range(2, 25).Draw(t, "h")
		in := job(quantity.Inches(5), geometry.Rectangle(w, h).Outer)
		in.DayArea, in.FirstLook = known.Say(quantity.Area(1000)), true
		r, err := Design(in)
		if err != nil {
			t.Fatal(err)
		}
		nx, ny, ok := rectangleBound(w, h, r.Spacing.Metres(), 1.5)
		if ok && len(r.Breaches) == 0 && len(r.Panels) != nx*ny {
			t.Fatalf("%.3f by %.3f: %d panels, bound %d", w, h, len(r.Panels), nx*ny)
		}
		if ok && min(w/float64(nx), h/float64(ny)) > 0.62 && len(r.Breaches) > 0 {
			t.Fatalf("%.3f by %.3f: %v", w, h, r.Breaches)
		}
	})
}

// star draws a simple outline of any shape: corners at rising headings round a middle.
func star(t *rapid.T) []geometry.Point {
	n := rapid.IntRange(3, 10).Draw(t, "corners")
	var out []geometry.Point
	for k := range n {
		heading := 2 * math.Pi * (float64(k) + rapid.Float64Range(0.1, 0.9).Draw(t, "turn")) / float64(n)
		out = append(out, geometry.Direction(heading).Scale(rapid.Float64Range(1.5, 12).Draw(t, "reach")))
	}
	return out
}

// turnsAt says that two cuts end here in one another: a joint whose last foot is turned square to the edge.
func turnsAt(r Result, q geometry.Point) bool {
	ends := 0
	for _, c := range r.Cuts {
		for _, end := range []geometry.Point{c.Line.A, c.Line.B} {
			if end.Distance(q) < 0.002 {
				ends++
			}
		}
	}
	return ends >= 2
}

func TestOutlinesOfAnyShapeAreTiledAndEveryBreachIsNamed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := job(quantity.Inches(rapid.Float64Range(3.5, 10).Draw(t, "thickness")), star(t))
		in.FirstLook = true
		if len(in.Outline.Faults()) > 0 {
			t.Skip("crosses itself")
		}
		r, err := Design(in)
		if err != nil {
			t.Fatal(err)
		}
		if err := tile(r); err != nil {
			t.Fatal(err)
		}
		for _, p := range r.Panels {
			named := slices.ContainsFunc(r.Breaches, func(b Breach) bool { return b.Panel == p.Number })
			if p.Length > r.Spacing+0.06 && !named {
				t.Fatalf("panel %d: %s", p.Number, p.Why)
			}
			if slices.ContainsFunc(p.Outline.Corners(), func(c geometry.Corner) bool { return c.Angle > math.Pi+0.2 && !turnsAt(r, c.At) }) && !named {
				t.Fatalf("panel %d has an inside corner and nothing says so", p.Number)
			}
		}
		for _, c := range r.Cuts {
			for _, q := range []geometry.Point{c.Line.A, c.Line.B} {
				named := slices.ContainsFunc(r.Breaches, func(b Breach) bool { return b.Rule == "H1" && b.At.Distance(q) < 0.01 })
				if r.Outline.BoundaryDistance(q) > 0.005 && !turnsAt(r, q) && !named {
					t.Fatalf("cut %d ends %.4f m inside the slab and nothing says so", c.Number, r.Outline.BoundaryDistance(q))
				}
			}
		}
		Picture(in, r)
	})
}

func TestTapedOutlinesSlightlyOutOfSquareStillGetFullJoints(t *testing.T) {
	in := job(quantity.Inches(5), feet(0, 0, 30.02, 0.03, 29.98, 12.02, 12.01, 11.97, 12.03, 30.01, -0.02, 29.97))
	r := design(t, in)
	if len(r.Panels) != 5 || len(r.Breaches) > 0 {
		t.Errorf("%d panels, %v", len(r.Panels), r.Breaches)
	}
	if err := tile(r); err != nil {
		t.Error(err)
	}
}

func TestPostsLidsAndPipesAreMetByJoints(t *testing.T) {
	in := job(quantity.Inches(5), feet(0, 0, 24, 0, 24, 24, 0, 24))
	in.Things = []Thing{{Kind: "post", Name: "porch post", Centre: geometry.Point{X: 11.2 * ft, Y: 12.5 * ft}, Radius: 0.1}}
	r := design(t, in)
	if len(r.Breaches) > 0 || len(r.Outline.Holes) != 1 {
		t.Fatalf("%v", r.Breaches)
	}
	if err := tile(r); err != nil {
		t.Error(err)
	}
	touching := 0
	for _, c := range r.Cuts {
		for _, e := range c.Ends {
			if e.On == "porch post" {
				touching++
			}
		}
	}
	if touching < 2 || r.Isolation[0].Against != "porch post" {
		t.Errorf("%d joints end at the post; %v", touching, r.Isolation)
	}
}

func TestIsolationRunsWhereTheSlabMeetsTheHouse(t *testing.T) {
	in := job(quantity.Inches(6), feet(0, 0, 40, 0, 40, 14, 0, 14))
	in.Things = []Thing{{Kind: "building", Name: "house", Line: feet(-10, 14, 22, 14, 22, 40, -10, 40)}}
	r := design(t, in)
	if len(r.Isolation) != 1 || math.Abs(r.Isolation[0].Length.Feet()-22) > 0.01 || r.Isolation[0].Against != "house" {
		t.Errorf("%+v", r.Isolation)
	}
}

func TestSkewedAndCurvedOutlinesAreCutAndJudged(t *testing.T) {
	arc := geometry.Arc{Centre: geometry.Point{X: 9, Y: 3}, Radius: 3, Start: -math.Pi / 2, Sweep: math.Pi / 2}.Points(0.003)
	for name, outline := range map[string][]geometry.Point{
		"skew end":       feet(0, 0, 40, 0, 36, 14, 0, 14),
		"triangle":       feet(0, 0, 30, 0, 30, 10),
		"rounded corner": append(append([]geometry.Point{{}}, arc...), geometry.Point{X: 12, Y: 6}, geometry.Point{X: 0, Y: 6}),
		"skew L":         feet(0, 0, 30, 2, 30, 14, 12, 12, 12, 30, 0, 30),
	} {
		t.Run(name, func(t *testing.T) {
			r := design(t, job(quantity.Inches(5), outline))
			if err := tile(r); err != nil {
				t.Error(err)
			}
			for _, b := range r.Breaches {
				if b.Says == "" || b.Then == "" || !b.At.IsFinite() || b.Rule == "H1" {
					t.Errorf("%+v", b)
				}
			}
			for _, p := range r.Panels {
				if p.Length > r.Spacing+0.06 {
					t.Errorf("panel %d: %s", p.Number, p.Why)
				}
			}
		})
	}
}

func spot(x, y float64) Place {
	return Place{X: known.Say(quantity.Feet(x)), Y: known.Say(quantity.Feet(y))}
}

func TestTiedSlabsLineUpAndPourStopsBecomeJoints(t *testing.T) {
	in := job(quantity.Inches(6), feet(0, 0, 40, 0, 40, 14, 0, 14))
	in.Meet = []Place{spot(11, 14)}
	in.PourStops = []PourStop{{From: spot(26, 0), To: spot(26, 14)}}
	r := design(t, in)
	if len(r.Breaches) > 0 {
		t.Errorf("%v", r.Breaches)
	}
	kinds := map[string]int{}
	for _, c := range r.Cuts {
		kinds[c.Kind]++
	}
	if kinds[Construction] != 1 || !slices.ContainsFunc(r.Cuts, func(c Cut) bool { return math.Abs(c.Tape.Feet()-11) < 1e-6 }) {
		t.Errorf("%v %+v", kinds, r.Cuts)
	}
}

func TestSquarestCostsCutsAndAlternativesAreShown(t *testing.T) {
	in := job(quantity.Inches(4), feet(0, 0, 30, 0, 30, 3, 0, 3))
	r := design(t, in)
	if !slices.ContainsFunc(r.Alternatives, func(a Alternative) bool { return len(a.Panels) == 8 && a.KeepsAll && a.Aspect < 1.26 }) {
		t.Errorf("%+v", r.Alternatives)
	}
	in.Prefer = known.Say(Squarest)
	if r := design(t, in); len(r.Panels) != 8 {
		t.Errorf("%d panels", len(r.Panels))
	}
}

func TestBarsTooHighForTheSawAreSaid(t *testing.T) {
	in := job(quantity.Inches(6), feet(0, 0, 40, 0, 40, 14, 0, 14))
	in.BarCover = known.Say(quantity.Inches(1.25))
	r := design(t, in)
	i := slices.IndexFunc(r.Checks, func(c check.Check) bool { return c.ID == "joints.saw-misses-bars" })
	if i < 0 || r.Checks[i].Level != check.Stop {
		t.Error("a saw 1 1/2 in deep passes bars 1 1/4 in down")
	}
}

func TestInputsThatCannotBeAreRefused(t *testing.T) {
	good := job(quantity.Inches(5), feet(0, 0, 20, 0, 20, 20, 0, 20))
	for name, change := range map[string]func(*Input){
		"no thickness": func(in *Input) { in.Thickness = known.Length{} },
		"no outline":   func(in *Input) { in.Outline = geometry.Polygon{} },
		"crossing":     func(in *Input) { in.Outline.Outer = feet(0, 0, 20, 20, 20, 0, 0, 20) },
		"nan":          func(in *Input) { in.Outline.Outer[0].X = math.NaN() },
		"huge":         func(in *Input) { in.Outline.Outer = feet(0, 0, 1e6, 0, 1e6, 20, 0, 20) },
		"nan factor":   func(in *Input) { in.Factor = known.Say(quantity.Ratio(math.NaN())) },
		"zero cap":     func(in *Input) { in.Cap = known.Say(quantity.Length(0)) },
		"odd saw":      func(in *Input) { in.Saw = known.Say("axe") },
		"nan thing":    func(in *Input) { in.Things = []Thing{{Radius: math.Inf(1)}} },
		"flat stop":    func(in *Input) { in.PourStops = []PourStop{{}} },
	} {
		in := good
		in.Outline.Outer = slices.Clone(good.Outline.Outer)
		change(&in)
		_, err := Design(in)
		var faults check.Faults
		if !errors.As(err, &faults) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestPicturesSayWhatTheyShow(t *testing.T) {
	in := job(quantity.Inches(6), feet(0, 0, 40, 0, 40, 14, 0, 14))
	r := design(t, in)
	p := Picture(in, r)[0]
	if p.Title != "Two cuts make three panels, 1 1/2 in deep." || len(p.Table.Rows) != 5 || len(p.Legend) < 3 {
		t.Errorf("%q, %d rows, %d legend", p.Title, len(p.Table.Rows), len(p.Legend))
	}
	for _, row := range p.Table.Rows {
		if len(row) != len(p.Table.Header) {
			t.Errorf("%v", row)
		}
	}
}

func Example() {
	in := Defaults()
	in.Thickness = known.Say(quantity.Inches(6))
	in.Outline = geometry.Rectangle(40*0.3048, 14*0.3048)
	r, err := Design(in)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range r.Cuts {
		fmt.Printf("%s %d at %s from %s\n", c.Kind, c.Number, show(c.Tape, in.Units), r.From)
	}
	for _, p := range r.Panels {
		fmt.Println("panel", p.Number, p.Why)
	}
	fmt.Println("saw", show(r.SawLength, in.Units), "at", quantity.Show(r.SawDepth, quantity.AsDrop).String(in.Units))
	// Output:
	// SAW 1 at 13'-4" from A
	// SAW 2 at 26'-8" from A
	// panel 1 14'-0" × 13'-4", ratio 1.05, near square: cracks least
	// panel 2 14'-0" × 13'-4", ratio 1.05, near square: cracks least
	// panel 3 14'-0" × 13'-4", ratio 1.05, near square: cracks least
	// saw 28'-0" at 1 1/2 in
}
