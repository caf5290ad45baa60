package geometry

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// tight is the relative error allowed where only a handful of roundings separate two ways of computing a number.
const tight = 1e-9

func near(t interface {
	Helper()
	Errorf(string, ...any)
}, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tol)
	}
}

func totalArea(ps []Polygon) float64 {
	sum := 0.0
	for _, p := range ps {
		sum += p.Area()
	}
	return sum
}

// star draws a polygon that is star-shaped about a centre, so it is simple, with any number of dents.
func star(t *rapid.T, centre Point, reach float64) Polygon {
	n := rapid.IntRange(3, 24).Draw(t, "corners")
	ring := make([]Point, n)
	for i := range ring {
		r := reach * rapid.Float64Range(0.2, 1).Draw(t, "r")
		ring[i] = centre.Add(Direction(2 * math.Pi * float64(i) / float64(n)).Scale(r))
	}
	if rapid.Bool().Draw(t, "clockwise") {
		reverse(ring)
	}
	return Polygon{Outer: ring}
}

// holed is a star with a small square hole at its middle.
func holed(t *rapid.T) Polygon {
	p := star(t, Point{3, -2}, 10)
	if rapid.Bool().Draw(t, "hole") {
		p.Holes = [][]Point{{{2.5, -2.5}, {2.5, -1.5}, {3.5, -1.5}, {3.5, -2.5}}}
		if len(p.Outer) < 4 { // a triangle may come closer to its middle than the hole does
			p.Holes[0] = []Point{{2.95, -2.05}, {2.95, -1.95}, {3.05, -1.95}, {3.05, -2.05}}
		}
	}
	return p
}

func gridPoint(t *rapid.T, label string) Point {
	g := rapid.IntRange(-4, 4)
	return Point{float64(g.Draw(t, label+"x")), float64(g.Draw(t, label+"y"))}
}

func TestOrientAgreesWithRationals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.SampledFrom([]float64{1, 0.1, 1e-9}).Draw(t, "step")
		at := func(l string) Point { return gridPoint(t, l).Scale(step).Add(Point{0.5, 12}) }
		a, b, c, d := at("a"), at("b"), at("c"), at("d")
		if got, want := Orient(a, b, c), orientRational(a, b, c); got != want {
			t.Fatalf("Orient = %d, rationals say %d", got, want)
		}
		if got, want := InCircle(a, b, c, d), inCircleRational(a, b, c, d); got != want {
			t.Fatalf("InCircle = %d, rationals say %d", got, want)
		}
	})
}

func rat(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }

func orientRational(a, b, c Point) int {
	sub := func(x, y float64) *big.Rat { return new(big.Rat).Sub(rat(x), rat(y)) }
	l := new(big.Rat).Mul(sub(a.X, c.X), sub(b.Y, c.Y))
	return l.Cmp(new(big.Rat).Mul(sub(a.Y, c.Y), sub(b.X, c.X)))
}

func inCircleRational(a, b, c, d Point) int {
	row := func(p Point) [3]*big.Rat {
		x, y := new(big.Rat).Sub(rat(p.X), rat(d.X)), new(big.Rat).Sub(rat(p.Y), rat(d.Y))
		l := new(big.Rat).Add(new(big.Rat).Mul(x, x), new(big.Rat).Mul(y, y))
		return [3]*big.Rat{x, y, l}
	}
	m := [3][3]*big.Rat{row(a), row(b), row(c)}
	det := new(big.Rat)
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		minor := new(big.Rat).Sub(new(big.Rat).Mul(m[j][0], m[k][1]), new(big.Rat).Mul(m[j][1], m[k][0]))
		det.Add(det, minor.Mul(minor, m[i][2]))
	}
	return det.Sign()
}

func TestEllArea(t *testing.T) {
	ell := Polygon{Outer: []Point{{0, 0}, {18, 0}, {18, 13}, {10, 13}, {10, 5}, {0, 5}}}
	near(t, "area", ell.Area(), 154, 0)
	near(t, "perimeter", ell.Perimeter(), 62, 0)
	bends := ell.ReentrantCorners()
	if len(bends) != 1 || bends[0].At != (Point{10, 5}) {
		t.Fatalf("re-entrant corners %v, want only (10, 5)", bends)
	}
	near(t, "angle", bends[0].Angle, 1.5*math.Pi, tight)
	ell.Holes = [][]Point{{{1, 1}, {2, 1}, {2, 2}, {1, 2}}}
	if got := len(ell.ReentrantCorners()); got != 5 {
		t.Errorf("a square hole adds 4 re-entrant corners, got %d in all", got)
	}
	c := Rectangle(4, 2).Centroid()
	near(t, "centroid x", c.X, 2, tight)
	near(t, "centroid y", c.Y, 1, tight)
}

func TestPolygonLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := holed(t)
		if f := p.Faults(); len(f) > 0 {
			t.Skip("the hole pokes out of a narrow star")
		}
		turned := p.Rotate(Point{1, 2}, rapid.Float64Range(-7, 7).Draw(t, "angle")).Translate(Point{100, -40})
		near(t, "turned area", turned.Area(), p.Area(), tight*p.Area())
		near(t, "turned perimeter", turned.Perimeter(), p.Perimeter(), tight*p.Perimeter())
		sum := 0.0
		for _, a := range p.InteriorAngles() {
			sum += a
		}
		near(t, "angle sum", sum, math.Pi*float64(len(p.Outer)-2), tight)
		for _, e := range p.Edges() {
			if p.Contains(e.Midpoint().Add(e.Outward.Scale(1e-7))) {
				t.Fatalf("edge %d of ring %d: its outward side is inside", e.Index, e.Ring)
			}
		}
		box := MinimumRectangle(p.Outer)
		if hull := ConvexHull(p.Outer); box.Length*box.Width < hull.Area()*(1-tight) {
			t.Fatalf("rectangle %v smaller than the hull", box)
		}
		for _, q := range p.Outer {
			if d := corners(box).Distance(q); d > 1e-9 {
				t.Fatalf("corner %v is %g m outside its rectangle", q, d)
			}
		}
	})
}

func TestHalvesMakeTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := holed(t)
		if len(p.Faults()) > 0 {
			t.Skip("the hole pokes out of a narrow star")
		}
		l := LineThrough(gridPoint(t, "a"), gridPoint(t, "b"))
		if rapid.Bool().Draw(t, "through corners") {
			i := rapid.IntRange(0, len(p.Outer)-1).Draw(t, "i")
			j := rapid.IntRange(0, len(p.Outer)-1).Draw(t, "j")
			l = LineThrough(p.Outer[i], p.Outer[j])
		}
		if l.Along == (Point{}) {
			if p.ClipLine(l) != nil || p.ClipHalfPlane(l) != nil {
				t.Fatal("a line without direction cuts")
			}
			return
		}
		left, right := p.ClipHalfPlane(l), p.ClipHalfPlane(l.Reversed())
		near(t, "halves", totalArea(left)+totalArea(right), p.Area(), tight*100)
		for _, piece := range left {
			for _, q := range piece.Outer {
				if d := l.Offset(q); d < -tight {
					t.Fatalf("%v is %g m on the wrong side", q, d)
				}
			}
		}
		near(t, "overlay agrees", totalArea(p.clipByOverlay(l)), totalArea(left), 1e-5) // the overlay drops slivers
		for _, s := range p.ClipLine(l) {
			if p.Locate(s.Midpoint()) == Outside {
				t.Fatalf("piece %v is outside", s)
			}
		}
	})
}

// TestOverlayAlongAnEdge: the library alone loses the whole kite here, whose side lies along a side of the box.
func TestOverlayAlongAnEdge(t *testing.T) {
	var kite Polygon
	for i, r := range []float64{5.15625, 10, 2.5, 10} {
		kite.Outer = append(kite.Outer, Point{3, -2}.Add(Direction(math.Pi*float64(i)/2).Scale(r)))
	}
	for name, p := range map[string]Polygon{"left": kite, "right": {Outer: []Point{kite.Outer[3], kite.Outer[2], kite.Outer[1], kite.Outer[0]}}} {
		l := LineThrough(p.Outer[1], p.Outer[0])
		near(t, name, totalArea(p.clipByOverlay(l)), totalArea(p.ClipHalfPlane(l)), 1e-5)
	}
}

func TestHalfPlaneThroughCorners(t *testing.T) {
	comb := Polygon{Outer: []Point{{0, 0}, {6, 0}, {6, 2}, {5, 1}, {4, 2}, {3, 1}, {2, 2}, {1, 1}, {0, 2}}}
	for _, c := range []struct {
		y        float64
		up, down int
		area     float64
	}{{1, 4, 1, 3}, {1.5, 4, 1, 0.75}, {2, 0, 1, 0}, {0, 1, 0, 9}} {
		l := Line{Point{0, c.y}, Point{1, 0}}
		up, down := comb.ClipHalfPlane(l), comb.ClipHalfPlane(l.Reversed())
		near(t, fmt.Sprint("area above ", c.y), totalArea(up), c.area, tight)
		near(t, fmt.Sprint("area below ", c.y), totalArea(down), 9-c.area, tight)
		if len(up) != c.up || len(down) != c.down {
			t.Errorf("y = %g: %d pieces above, %d below; want %d, %d", c.y, len(up), len(down), c.up, c.down)
		}
	}
}

func TestClipLine(t *testing.T) {
	frame := Polygon{Outer: Rectangle(10, 6).Outer, Holes: [][]Point{{{4, 2}, {6, 2}, {6, 4}, {4, 4}}}}
	got := frame.ClipLine(Line{Point{-3, 3}, Point{2, 0}})
	want := []Segment{{Point{0, 3}, Point{4, 3}}, {Point{6, 3}, Point{10, 3}}}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if got := frame.ClipLine(Line{Point{0, 0}, Point{1, 0}}); len(got) != 0 {
		t.Errorf("a line along an edge has no inside: %v", got)
	}
	along := frame.ClipLine(Line{Point{0, 2}, Point{1, 0}})
	near(t, "along the hole's edge", PathLength([]Point{along[0].A, along[len(along)-1].B}), 10, tight)
}

func TestOverlayLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := star(t, Point{0, 0}, 5), star(t, Point{3, 1}, 4)
		union, err := Union(a, b)
		if err != nil {
			t.Fatal(err)
		}
		both, err := a.Intersection(b)
		if err != nil {
			t.Fatal(err)
		}
		rest, err := a.Difference(b)
		if err != nil {
			t.Fatal(err)
		}
		// Each result may drop pieces below SliverArea; 24 corners leave at most a few.
		near(t, "union + intersection", totalArea(union)+totalArea(both), a.Area()+b.Area(), 20*SliverArea)
		near(t, "difference + intersection", totalArea(rest)+totalArea(both), a.Area(), 20*SliverArea)
	})
}

func TestOffset(t *testing.T) {
	ell := Polygon{Outer: []Point{{0, 0}, {6, 0}, {6, 3}, {3, 3}, {3, 6}, {0, 6}}}
	for _, c := range []struct{ d, area float64 }{{0.1, 27 + 2.4 + 0.04}, {-0.1, 27 - 2.4 + 0.04}, {0, 27}} {
		out, err := ell.Offset(c.d)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("area at %+g", c.d), totalArea(out), c.area, 1e-9)
	}
	if out, err := ell.Offset(-4); err != nil || len(out) != 0 {
		t.Errorf("an inset past the middle leaves %v, %v", out, err)
	}
	round, err := Rectangle(2, 2).OffsetRound(1, 0.001)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "round", totalArea(round), 12+math.Pi, 0.01) // 6.3 m of arc at most 1 mm inside the circle
	if _, err := ell.Offset(math.NaN()); err == nil {
		t.Error("an offset that is not a number passes")
	}
}

func TestFaults(t *testing.T) {
	square := Rectangle(4, 4).Outer
	for _, c := range []struct {
		name string
		p    Polygon
		kind FaultKind
		says string
	}{
		{"bow tie", Polygon{Outer: []Point{{0, 0}, {4, 4}, {4, 0}, {0, 4}}}, CrossesItself, "Edge 1–2 crosses edge 3–4 of the outline at (2.000, 2.000)"},
		{"line", Polygon{Outer: []Point{{0, 0}, {1, 1}, {2, 2}}}, CrossesItself, "runs along"},
		{"two corners", Polygon{Outer: square[:2]}, TooFewCorners, "2 given"},
		{"nothing", Polygon{}, TooFewCorners, "0 given"},
		{"repeat", Polygon{Outer: append([]Point{{0, 0}}, square...)}, RepeatedCorner, "Corners 1 and 2"},
		{"not a number", Polygon{Outer: []Point{{0, 0}, {math.NaN(), 1}, {1, 1}}}, NotANumber, "Corner 2"},
		{"hole outside", Polygon{Outer: square, Holes: [][]Point{{{3, 3}, {5, 3}, {5, 5}}}}, HoleOutside, "Hole 1"},
		{"hole far off", Polygon{Outer: square, Holes: [][]Point{{{8, 8}, {9, 8}, {9, 9}}}}, HoleOutside, "Hole 1"},
		{"nested holes", Polygon{Outer: square, Holes: [][]Point{{{1, 1}, {3, 1}, {3, 3}, {1, 3}}, {{1.5, 1.5}, {2, 1.5}, {2, 2}}}}, HolesOverlap, "Holes 1 and 2"},
		{"touches itself", Polygon{Outer: []Point{{0, 0}, {4, 0}, {4, 4}, {2, 0}, {0, 4}}}, CrossesItself, "touches"},
	} {
		f := c.p.Faults()
		if len(f) == 0 || f[0].Kind != c.kind || !strings.Contains(f[0].Says, c.says) {
			t.Errorf("%s: got %+v, want %s …%s…", c.name, f, c.kind, c.says)
			continue
		}
		harmless := c.kind == RepeatedCorner || c.p.IsEmpty() // the overlay gives the answer anybody would expect
		if _, err := c.p.Intersection(Rectangle(1, 1)); err == nil && !harmless {
			t.Errorf("%s: the overlay takes it", c.name)
		}
	}
	if f := (Polygon{Outer: square, Holes: [][]Point{{{1, 1}, {2, 1}, {2, 2}}}}).Faults(); len(f) != 0 {
		t.Errorf("a good polygon: %v", f)
	}
}

func TestAnyPointsNeverPanic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 8).Draw(t, "n")
		var p Polygon
		for range n {
			p.Outer = append(p.Outer, gridPoint(t, "p"))
		}
		p.Faults()
		p.Corners()
		p.ReentrantCorners()
		l := LineThrough(gridPoint(t, "a"), gridPoint(t, "b"))
		p.ClipHalfPlane(l)
		p.ClipLine(l)
		p.Offset(0.5)
		if c := p.Centroid(); !c.IsFinite() {
			t.Fatalf("centroid %v", c)
		}
		box := MinimumRectangle(p.Outer)
		if !box.Corner.IsFinite() || math.IsNaN(box.Length*box.Width) {
			t.Fatalf("rectangle %v", box)
		}
	})
}

func TestArcs(t *testing.T) {
	for _, c := range []struct{ r, chord, m, quarter float64 }{{25, 10, 0.5051, 0.3798}, {7.5, 3, 0.15153, 0}} { // SITE-26
		m, err := MidOrdinate(c.r, c.chord)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "mid-ordinate", m, c.m, 5e-5) // the row gives four decimals
		if q, _ := ChordOffset(c.r, c.chord, c.chord/4); c.quarter > 0 {
			near(t, "quarter-point", q, c.quarter, 5e-5)
		}
		r, _ := RadiusFromMidOrdinate(c.chord, m)
		near(t, "radius back", r, c.r, tight*c.r)
		back, _ := LongestChord(c.r, m)
		near(t, "chord back", back, c.chord, tight)
	}
	share, _ := SegmentShare(4.272, 3) // SITE-27
	near(t, "encroachment", share, 0.0930, 1e-4)
	arc, ok := ArcThrough(Point{1, 0}, Point{0, 1}, Point{-1, 0})
	if !ok || math.Abs(arc.Sweep-math.Pi) > tight || arc.Centre.Length() > tight {
		t.Errorf("half circle: %+v", arc)
	}
	disc := Disc(Point{2, 3}, 1, 0.0005)
	for _, e := range disc.Edges() {
		if sag := 1 - e.Midpoint().Distance(Point{2, 3}); sag > 0.0005 || sag < 0.0002 {
			t.Fatalf("chord stands %g m off the circle", sag)
		}
	}
	if _, err := MidOrdinate(1, 3); err == nil {
		t.Error("a chord longer than the diameter passes")
	}
}

// corners is a turned box as a polygon, counter-clockwise from its corner.
func corners(b TurnedBox) Polygon {
	u := Direction(b.Heading)
	along, across := u.Scale(b.Length), u.Left().Scale(b.Width)
	return Polygon{Outer: []Point{b.Corner, b.Corner.Add(along), b.Corner.Add(along).Add(across), b.Corner.Add(across)}}
}

func ExamplePolygon_ClipHalfPlane() {
	// An L-shaped slab cut by a joint line running north through the inner corner: keep the west part.
	slab := Polygon{Outer: []Point{{0, 0}, {6, 0}, {6, 3}, {3, 3}, {3, 5}, {0, 5}}}
	for _, p := range slab.ClipHalfPlane(Line{Point{3, 0}, Point{0, 1}}) {
		fmt.Println(p.Area(), p.Outer)
	}
	// Output: 15 [{3 5} {0 5} {0 0} {3 0}]
}
