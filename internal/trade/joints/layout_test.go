package joints

import (
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

// twentyCorners is a slab of twenty corners with a manhole, a canopy post and a pump house standing in it.
func twentyCorners() Input {
	in := job(quantity.Inches(5), feet(0, 0, 18, 0, 18, 6, 30, 6, 30, 0, 52, 0, 52, 14, 60, 14, 60, 30, 48, 30, 48, 44, 34, 44, 34, 38, 22, 38, 22, 46, 8, 46, 8, 34, -6, 34, -6, 16, 0, 16))
	in.Things = []Thing{{Kind: "lid", Centre: geometry.Point{X: 26 * ft, Y: 20 * ft}, Radius: 0.38}, {Kind: "post", Centre: geometry.Point{X: 44 * ft, Y: 20 * ft}, Radius: 0.1}}
	in.Outline.Holes = [][]geometry.Point{feet(8, 20, 8, 26, 14, 26, 14, 20)}
	return in
}

// quarterBend is the chapter's annular sector: radius 20 to 32 ft, a quarter turn, drawn by chords.
func quarterBend() Input {
	var ring []geometry.Point
	for k := range 33 {
		ring = append(ring, geometry.Direction(math.Pi/2*float64(k)/32).Scale(32*ft))
	}
	for k := range 33 {
		ring = append(ring, geometry.Direction(math.Pi/2*float64(32-k)/32).Scale(20*ft))
	}
	return job(quantity.Inches(5), ring)
}

// P10 of the chapter: radial joints, five panels, outer arc 10.05 ft, ratio of a panel under 1.5.
func TestABendIsCutSquareToItsEdges(t *testing.T) {
	r := design(t, quarterBend())
	if len(r.Panels) != 5 || len(r.Breaches) > 0 {
		t.Fatalf("%d panels, %v", len(r.Panels), r.Breaches)
	}
	for _, c := range r.Cuts {
		if lean := math.Abs(c.Line.A.Cross(c.Line.B)) / c.Line.A.Length() / c.Line.B.Length(); lean > 0.01 {
			t.Errorf("cut %d is not radial: %.4f", c.Number, lean)
		}
		if c.Ends[0].From == "" || c.Ends[0].At <= 0 {
			t.Errorf("cut %d: no mark on the curved board: %+v", c.Number, c.Ends)
		}
	}
	if err := tile(r); err != nil {
		t.Error(err)
	}
}

func TestAWideBendIsAlsoCutAlongItsMiddle(t *testing.T) {
	in := quarterBend()
	for i, q := range in.Outline.Outer {
		if q.Length() < 25*ft {
			in.Outline.Outer[i] = q.Unit().Scale(12 * ft)
		}
	}
	r := design(t, in)
	if len(r.Breaches) > 0 || len(r.Panels) < 8 {
		t.Errorf("%d panels, %v", len(r.Panels), r.Breaches)
	}
}

func TestSlantingEdgesAreMetSquarely(t *testing.T) {
	r := design(t, job(quantity.Inches(5), feet(0, 0, 40, 0, 28, 14, 0, 14)))
	feet := 0
	for _, c := range r.Cuts {
		if c.Length < 0.31 {
			feet++
		}
	}
	if slices.ContainsFunc(r.Breaches, func(b Breach) bool { return b.Rule == "H6" }) {
		t.Errorf("a joint meets an edge at a slant: %v (%d feet)", r.Breaches, feet)
	}
}

// TestFewestPanelsByTryingEverything compares with every set of up to five joints a whole foot apart, counted by flooding
// cells of a foot: nothing of the search is used. The search may do better, between whole feet, never worse.
func TestFewestPanelsByTryingEverything(t *testing.T) {
	for name, ring := range map[string][]float64{
		"rectangle": {0, 0, 14, 0, 14, 9, 0, 9},
		"L":         {0, 0, 15, 0, 15, 6, 6, 6, 6, 15, 0, 15},
		"thin L":    {0, 0, 12, 0, 12, 4, 4, 4, 4, 9, 0, 9},
		"T":         {6, 0, 12, 0, 12, 8, 18, 8, 18, 14, 0, 14, 0, 8, 6, 8},
		"Z":         {0, 0, 10, 0, 10, 6, 15, 6, 15, 12, 5, 12, 5, 6, 0, 6},
		"step":      {0, 0, 12, 0, 12, 7, 7, 7, 7, 12, 0, 12},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			in := job(quantity.Inches(4), feet(ring...))
			in.Factor, in.Cap = known.Say(quantity.Ratio(21)), known.Say(quantity.Feet(7))
			r := design(t, in)
			fewest := tryEverything(ring, 7, 1.5, 2, 5)
			if fewest == 0 || len(r.Breaches) > 0 || len(r.Panels) > fewest {
				t.Errorf("%d panels, %v; trying everything %d", len(r.Panels), r.Breaches, fewest)
			}
		})
	}
}

// tryEverything is the fewest panels of an outline in whole feet cut by up to most joints at whole feet; 0 if no set of them
// keeps the rules.
func tryEverything(ring []float64, spacing, aspect, narrowest float64, most int) int {
	const size = 20
	var ground [size][size]bool
	for i := range size {
		for j := range size {
			x, y := float64(i)+0.5, float64(j)+0.5
			for k := 0; k < len(ring); k += 2 {
				x1, y1, x2, y2 := ring[k], ring[k+1], ring[(k+2)%len(ring)], ring[(k+3)%len(ring)]
				if (y1 > y) != (y2 > y) && x < x1+(y-y1)*(x2-x1)/(y2-y1) {
					ground[i][j] = !ground[i][j]
				}
			}
		}
	}
	type cut struct {
		upright      bool
		at, from, to int
	}
	var cuts []cut
	for at := 1; at < size; at++ {
		for _, up := range []bool{true, false} {
			slab := func(j int) bool {
				if up {
					return ground[at-1][j] && ground[at][j]
				}
				return ground[j][at-1] && ground[j][at]
			}
			for j := 0; j < size; j++ {
				from := j
				for j < size && slab(j) {
					j++
				}
				if j > from {
					cuts = append(cuts, cut{up, at, from, j})
				}
			}
		}
	}
	best := 0
	var chosen []cut
	panels := func() int {
		var seen [size][size]bool
		apart := func(i, j, i2, j2 int) bool {
			for _, c := range chosen {
				if c.upright && i != i2 && c.at == max(i, i2) && j >= c.from && j < c.to || !c.upright && j != j2 && c.at == max(j, j2) && i >= c.from && i < c.to {
					return true
				}
			}
			return false
		}
		n := 0
		for i := range size {
			for j := range size {
				if !ground[i][j] || seen[i][j] {
					continue
				}
				n++
				left, right, low, high, cells := i, i, j, j, 0
				stack := [][2]int{{i, j}}
				seen[i][j] = true
				for len(stack) > 0 {
					a, b := stack[len(stack)-1][0], stack[len(stack)-1][1]
					stack = stack[:len(stack)-1]
					left, right, low, high, cells = min(left, a), max(right, a), min(low, b), max(high, b), cells+1
					for _, d := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
						p, q := a+d[0], b+d[1]
						if p >= 0 && q >= 0 && p < size && q < size && ground[p][q] && !seen[p][q] && !apart(a, b, p, q) {
							seen[p][q] = true
							stack = append(stack, [2]int{p, q})
						}
					}
				}
				w, h := float64(right-left+1), float64(high-low+1)
				if cells != int(w*h) || max(w, h) > spacing || max(w, h) > aspect*min(w, h)+1e-9 || min(w, h) < narrowest || w*h < 4 {
					return 0
				}
			}
		}
		return n
	}
	var choose func(from int)
	choose = func(from int) {
		if n := panels(); n > 0 && (best == 0 || n < best) {
			best = n
		}
		if len(chosen) == most {
			return
		}
		for k := from; k < len(cuts); k++ {
			chosen = append(chosen, cuts[k])
			choose(k + 1)
			chosen = chosen[:len(chosen)-1]
		}
	}
	choose(0)
	return best
}

// TestLayoutsUnderACheckerOfTheirOwn holds layouts of any outline against rules written here once more: what is broken is
// said, and what is said is broken. It shares no code with the search: plain lists of numbers.
func TestLayoutsUnderACheckerOfTheirOwn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outline := rectilinear(t)
		if rapid.Bool().Draw(t, "any shape") {
			outline = star(t)
		}
		in := job(quantity.Inches(rapid.Float64Range(4, 7).Draw(t, "thickness")), outline)
		if len(in.Outline.Faults()) > 0 {
			t.Skip("crosses itself")
		}
		in.FirstLook = true
		r, err := Design(in)
		if err != nil {
			t.Skip(err.Error())
		}
		var rings [][][2]float64
		for _, p := range r.Panels {
			rings = append(rings, plain(p.Outline.Outer))
		}
		for k := range 60 { // every place of the slab lies in one panel and no other
			x, y := rapid.Float64Range(-13, 40).Draw(t, "x"), rapid.Float64Range(-13, 40).Draw(t, "y")
			if !holds(plain(in.Outline.Outer), x, y) || edgeOf(plain(in.Outline.Outer), x, y) < 0.01 {
				continue
			}
			in, at := 0, 1.0
			for _, ring := range rings {
				at = min(at, edgeOf(ring, x, y))
				if holds(ring, x, y) {
					in++
				}
			}
			if in != 1 && at > 0.01 {
				t.Fatalf("place %d (%.3f, %.3f) lies in %d panels", k, x, y, in)
			}
		}
		for i, ring := range rings {
			long, wide := girth(ring)
			found := map[string]bool{"H2": long > r.Spacing.Metres()+0.055, "H3": long > 1.52*wide && covered(ring) > 0.55*long*wide, "H8": r.Outline.Area() > 20 && wide < 0.60 && covered(ring) > 0.55*long*wide}
			for rule, is := range found {
				said := slices.ContainsFunc(r.Breaches, func(b Breach) bool { return b.Rule == rule && b.Panel == i+1 })
				if is && !said && !(rule == "H8" && in.limits(newFrame(in.Outline, nil), r.Spacing).narrowest == 0) {
					t.Fatalf("panel %d, %.3f by %.3f m, breaks %s and nothing says so", i+1, long, wide, rule)
				}
			}
		}
	})
}

func plain(ring []geometry.Point) (out [][2]float64) {
	for _, q := range ring {
		out = append(out, [2]float64{q.X, q.Y})
	}
	return out
}

func holds(ring [][2]float64, x, y float64) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a[1] > y) != (b[1] > y) && x < a[0]+(y-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
			in = !in
		}
	}
	return in
}

func covered(ring [][2]float64) float64 {
	sum := 0.0
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		sum += a[0]*b[1] - a[1]*b[0]
	}
	return math.Abs(sum) / 2
}

func edgeOf(ring [][2]float64, x, y float64) float64 {
	least := math.Inf(1)
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		dx, dy := b[0]-a[0], b[1]-a[1]
		s := ((x-a[0])*dx + (y-a[1])*dy) / (dx*dx + dy*dy)
		s = math.Max(0, math.Min(1, s))
		least = math.Min(least, math.Hypot(x-a[0]-s*dx, y-a[1]-s*dy))
	}
	return least
}

// girth is length and width of the smallest rectangle round a ring, by turning to every pair of its corners.
func girth(ring [][2]float64) (long, wide float64) {
	least := math.Inf(1)
	for i, a := range ring {
		for _, b := range ring[i+1:] {
			l := math.Hypot(b[0]-a[0], b[1]-a[1])
			c, s := (b[0]-a[0])/l, (b[1]-a[1])/l
			lowU, highU, lowV, highV := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
			for _, q := range ring {
				u, v := q[0]*c+q[1]*s, -q[0]*s+q[1]*c
				lowU, highU, lowV, highV = math.Min(lowU, u), math.Max(highU, u), math.Min(lowV, v), math.Max(highV, v)
			}
			// of rectangles of one area, as round a triangle, the squarest counts
			area, longer := (highU-lowU)*(highV-lowV), math.Max(highU-lowU, highV-lowV)
			if area < least*0.999 || area < least*1.001 && longer < long {
				least, long, wide = math.Min(area, least), longer, math.Min(highU-lowU, highV-lowV)
			}
		}
	}
	return long, wide
}

func TestPinnedJointsStayAndTheRestFollows(t *testing.T) {
	in := job(quantity.Inches(6), feet(0, 0, 40, 0, 40, 14, 0, 14))
	in.Pinned = []Pin{{Side: FirstSide, Tape: known.Say(quantity.Feet(10))}}
	r := design(t, in)
	if !slices.ContainsFunc(r.Cuts, func(c Cut) bool { return math.Abs(c.Tape.Feet()-10) < 1e-6 }) || len(r.Breaches) > 0 || len(r.Panels) != 3 {
		t.Errorf("%d panels, %v, %+v", len(r.Panels), r.Breaches, r.Cuts)
	}
	in.Pinned = []Pin{{Side: FirstSide, X: known.Say(quantity.Feet(26)), Y: known.Say(quantity.Feet(3)), Stop: true}}
	r = design(t, in)
	if i := slices.IndexFunc(r.Cuts, func(c Cut) bool { return c.Kind == Construction }); i < 0 || math.Abs(r.Cuts[i].Tape.Feet()-26) > 1e-6 || len(r.Pours) != 2 {
		t.Errorf("%+v %+v", r.Cuts, r.Pours)
	}
}

func TestPinsThatCannotBeAreExplained(t *testing.T) {
	in := job(quantity.Inches(6), feet(0, 0, 40, 0, 40, 14, 0, 14))
	pinCheck := func(p Pin) check.Check {
		in.Pinned = []Pin{p}
		r := design(t, in)
		i := slices.IndexFunc(r.Checks, func(c check.Check) bool { return c.ID == "joints.pin" })
		if i < 0 {
			t.Fatal("nothing said")
		}
		return r.Checks[i]
	}
	if c := pinCheck(Pin{Side: FirstSide, Tape: known.Say(quantity.Feet(44))}); c.Level != check.Stop || c.Then[0] != "Type a tape between 0'-0\" and 40'-0\"." {
		t.Errorf("%+v", c)
	}
	if c := pinCheck(Pin{Side: FirstSide, Tape: known.Say(quantity.Feet(1))}); c.Level != check.Stop || len(c.Then) == 0 {
		t.Errorf("a pin a foot from the edge: %+v", c)
	}
	in.Pinned = []Pin{{Side: "third", Tape: known.Say(quantity.Feet(1))}, {Side: FirstSide}}
	if _, err := Design(in); err == nil {
		t.Error("a third side, and a pin without a place, were taken")
	}
}

func TestSlabsTooLargeForADayAreSplitAtJoints(t *testing.T) {
	in := job(quantity.Inches(6), feet(0, 0, 120, 0, 120, 60, 0, 60))
	in.Stands = feet(0, -10)
	r := design(t, in)
	day := in.dayArea()
	if len(r.Pours) != 6 {
		t.Errorf("%d pours of 7200 ft² by four hands, 1200 ft² a day", len(r.Pours))
	}
	seen := map[int]int{}
	volume := 0.0
	for _, p := range r.Pours {
		if p.Area.SquareMetres() > day*1.01 || p.Loads != int(math.Ceil(p.Volume.CubicMetres()/in.TruckHolds.Value.CubicMetres())) {
			t.Errorf("%+v", p)
		}
		volume += p.Volume.CubicMetres()
		for _, n := range p.Panels {
			seen[n]++
		}
	}
	if len(seen) != len(r.Panels) || math.Abs(volume-r.Outline.Area()*in.Thickness.Value.Metres()) > 1e-6 {
		t.Errorf("%d of %d panels are poured, %.3f m³", len(seen), len(r.Panels), volume)
	}
	first, last := r.Panels[r.Pours[0].Panels[0]-1].Outline.Centroid(), r.Panels[r.Pours[5].Panels[0]-1].Outline.Centroid()
	if first.Distance(in.Stands[0]) < last.Distance(in.Stands[0]) {
		t.Error("the pour at the truck comes before the far one")
	}
	for _, c := range r.Cuts { // a construction joint has two pours beside it, a sawn one only one
		a, b := pourAt(r, c.Line, 0.05), pourAt(r, c.Line, -0.05)
		if (c.Kind == Construction) != (a != b) {
			t.Errorf("cut %d is %s between pours %d and %d", c.Number, c.Kind, a, b)
		}
	}
}

func pourAt(r Result, line geometry.Segment, aside float64) int {
	at := line.Midpoint().Add(line.Direction().Left().Scale(aside))
	for _, p := range r.Panels {
		if p.Outline.Contains(at) {
			return r.pourOf(p.Number)
		}
	}
	return 0
}

func TestTheSecondLayoutIsTakenWhenAsked(t *testing.T) {
	in := job(quantity.Inches(5), feet(0, 0, 30, 0, 30, 12, 12, 12, 12, 30, 0, 30))
	best := design(t, in)
	if len(best.Alternatives) != 2 || best.Layout != Best || len(Picture(in, best)) != 3 {
		t.Fatalf("%d alternatives", len(best.Alternatives))
	}
	in.Layout = known.Say(Second)
	r := design(t, in)
	if len(r.Panels) != len(best.Alternatives[0].Panels) || r.Score != best.Alternatives[0].Score || r.Alternatives[0].Name != Best {
		t.Errorf("%d panels, cost %v; shown were %d, %v", len(r.Panels), r.Score, len(best.Alternatives[0].Panels), best.Alternatives[0].Score)
	}
}

func TestEachPanelHasItsScore(t *testing.T) {
	r := design(t, job(quantity.Inches(4), feet(0, 0, 20, 0, 20, 20, 0, 20)))
	for _, p := range r.Panels {
		if p.Score > 1e-9 {
			t.Errorf("a square panel of mean size scores %v", p.Score)
		}
	}
}

// BenchmarkTwentyCorners prints the time to a first good layout and to the settled one.
func BenchmarkTwentyCorners(b *testing.B) {
	for _, first := range []bool{true, false} {
		name := "settled"
		if first {
			name = "first look"
		}
		b.Run(name, func(b *testing.B) {
			in := twentyCorners()
			in.FirstLook = first
			panels, broken := 0, 0
			for b.Loop() {
				r, err := Design(in)
				if err != nil {
					b.Fatal(err)
				}
				panels, broken = len(r.Panels), len(r.Breaches)
			}
			b.ReportMetric(float64(panels), "panels")
			b.ReportMetric(float64(broken), "broken")
		})
	}
}

func ExampleDesign_pinned() {
	in := job(quantity.Inches(6), feet(0, 0, 40, 0, 40, 14, 0, 14))
	in.Pinned = []Pin{{Side: FirstSide, Tape: known.Say(quantity.Feet(12))}}
	r, _ := Design(in)
	for _, c := range r.Cuts {
		fmt.Println(c.Kind, show(c.Tape, in.Units))
	}
	// Output:
	// SAW 12'-0"
	// SAW 26'-0"
}

// A bowed side beside a straight one does not turn the tapes off the straight one.
func TestTapesLieAlongTheStraightSide(t *testing.T) {
	outline := geometry.Polygon{Outer: []geometry.Point{{}, {X: 12}}}
	for k := range 21 {
		x := 12 - 12*float64(k)/20
		outline.Outer = append(outline.Outer, geometry.Point{X: x, Y: 7.5 - 0.6*4*(x/12)*(1-x/12)})
	}
	if h := mainHeading(outline); math.Abs(h) > 1e-9 {
		t.Errorf("heading %.3f degrees off the straight side", h*180/math.Pi)
	}
}
