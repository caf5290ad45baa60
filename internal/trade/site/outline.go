package site

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// fromSize says whether the outline is the plain rectangle of length and width.
func (in Input) fromSize() bool { return len(in.Corners) == 0 && len(in.Tapes) == 0 }

// outline finds the outer edge: corners as given, a rectangle, or corners adjusted to the tapes. Corners run
// counter-clockwise whichever way they were typed; the first stays first.
func (r *Result) outline(in Input) ([]geometry.Point, check.Faults) {
	switch {
	case in.fromSize():
		r.rectangle(in)
	case len(in.Tapes) > 0:
		if faults := r.adjust(in); len(faults) > 0 {
			return nil, faults
		}
	default:
		r.cornersAsGiven(in)
	}
	if !geometry.IsCounterClockwise(r.ring()) {
		slices.Reverse(r.Corners[1:])
	}
	if faults := r.bow(in); len(faults) > 0 {
		return nil, faults
	}
	ring := r.ring()
	if bad := (geometry.Polygon{Outer: ring}).Faults(); len(bad) > 0 {
		return nil, check.Faults{{Field: "site.corners", Why: "the outline cannot be built: " + strings.TrimSuffix(bad[0].Says, ".") + ".",
			Type: "Give the corners one after another round the edge, each once."}}
	}
	return ring, nil
}

func (r *Result) ring() []geometry.Point {
	ring := make([]geometry.Point, len(r.Corners))
	for i, c := range r.Corners {
		ring[i] = c.At
	}
	return ring
}

func (r *Result) rectangle(in Input) {
	l, w := in.Length.Value.Metres(), in.Width.Value.Metres()
	working.Given(&r.Working, "length", "L", "length", in.Length, quantity.AsSide)
	working.Given(&r.Working, "width", "W", "width", in.Width, quantity.AsSide)
	for i, p := range geometry.Rectangle(l, w).Outer {
		r.Corners = append(r.Corners, Place{Name: letter(i), At: p})
	}
}

func (r *Result) cornersAsGiven(in Input) {
	for i, c := range in.Corners {
		r.Corners = append(r.Corners, Place{Name: c.title(i), At: point(c.X, c.Y)})
	}
	r.Working.Show(working.Step{Name: "corners", Says: "corners as given", Value: quantity.Words(r.cornerList(in.Units)), Source: sources.Definition})
}

// typedSides holds the sides as drawn by the corners against what the tape said along them.
func typedSides(in Input, r Result) []check.Check {
	if len(in.Tapes) > 0 {
		return nil
	}
	at := map[string]geometry.Point{}
	for _, c := range r.Corners {
		at[c.Name] = c.At
	}
	worst, name, n := quantity.Length(0), "", 0
	for i, c := range in.Corners {
		if !c.Side.Given() {
			continue
		}
		next := in.Corners[(i+1)%len(in.Corners)].title((i + 1) % len(in.Corners))
		off := quantity.Length(math.Abs(float64(c.Side.Value) - at[c.title(i)].Distance(at[next])))
		if n++; off >= worst {
			worst, name = off, c.title(i)+next
		}
	}
	if n == 0 {
		return nil
	}
	gap := quantity.Show(worst, quantity.AsDrop)
	return []check.Check{check.AtMost("site.typed-sides", gap, quantity.Show(quantity.Inches(0.125), quantity.AsDrop), check.Care,
		fmt.Sprintf("The outline keeps the sides as taped (%d of %d).", n, len(in.Corners)),
		fmt.Sprintf("Side %s is drawn %s off what the tape said.", name, gap.String(in.Units)),
		sources.CommonPractice, "Tape it again, or move a corner; with every side and the diagonals as tapes the outline is fitted to them all.")}
}

func (r *Result) cornerList(units quantity.System) string {
	var parts []string
	for _, c := range r.Corners {
		parts = append(parts, fmt.Sprintf("%s (%s, %s)", c.Name, side(c.At.X, units), side(c.At.Y, units)))
	}
	return strings.Join(parts, ", ")
}

func side(v float64, units quantity.System) string {
	return quantity.Plain(v, quantity.AsSide).String(units)
}

// title is a corner's name: as given, or its letter.
func (c Corner) title(i int) string {
	if c.Name != "" {
		return c.Name
	}
	return letter(i)
}

// letter counts corners A to Z, then A1, B1 …
func letter(i int) string {
	name := string(rune('A' + i%26))
	if i >= 26 {
		name += fmt.Sprint(i / 26)
	}
	return name
}

// Validate finds every fault of the input at once.
func (in Input) Validate() check.Faults {
	var faults check.Faults
	add := func(field, given, why, instead string) {
		faults = append(faults, check.Fault{Field: "site." + field, Given: given, Why: why, Type: instead})
	}
	if in.fromSize() {
		for _, s := range []struct {
			name   string
			given  bool
			metres float64
			text   string
		}{{"length", in.Length.Given(), in.Length.Value.Metres(), in.Length.Text}, {"width", in.Width.Given(), in.Width.Value.Metres(), in.Width.Text}} {
			if !s.given {
				add(s.name, "", "is missing; the outline needs it.", "Type a length like 40 ft, or give corners.")
			} else if !(s.metres > 0) || s.metres > 500 {
				add(s.name, s.text, "cannot be the side of a slab.", "Type a length between 1 ft and 400 ft.")
			}
		}
	}
	if n := len(in.Corners); n > 0 && n < 3 {
		add("corners", "", fmt.Sprintf("has %d; a slab has at least three.", n), "Give them one after another round the edge: [0, 0], [40 ft, 0] …")
	}
	names := in.cornerNames()
	faults = append(faults, duplicateNames(names)...)
	for i, s := range in.Shots {
		if f, bad := in.shotFault(i, s, names); bad {
			faults = append(faults, f)
		}
	}
	for i, o := range in.Obstacles {
		if f, bad := obstacleFault(i, o); bad {
			faults = append(faults, f)
		}
	}
	faults = append(faults, in.bookFaults(names)...)
	faults = append(faults, in.breakFaults()...)
	faults = append(faults, in.curveFaults(names)...)
	return append(faults, in.tapeFaults(names)...)
}

func (in Input) cornerNames() []string {
	var names []string
	for i, c := range in.Corners {
		names = append(names, c.title(i))
	}
	if in.fromSize() {
		names = []string{"A", "B", "C", "D"}
	}
	return names
}

func duplicateNames(names []string) check.Faults {
	for i, n := range names {
		if slices.Contains(names[:i], n) {
			return check.Faults{{Field: "site.corners", Given: n, Why: "names two corners.", Type: "Give each corner its own letter."}}
		}
	}
	return nil
}

func (in Input) shotFault(i int, s Shot, names []string) (check.Fault, bool) {
	f := check.Fault{Field: fmt.Sprintf("site.shots[%d]", i+1)}
	switch {
	case s.At == "" && (!s.X.Given() || !s.Y.Given()):
		f.Why, f.Type = "does not say where it was read.", "Give x and y, or `at` with a corner's letter."
	case s.At != "" && len(names) > 0 && !slices.Contains(names, s.At):
		f.Given, f.Why, f.Type = s.At, "is not a corner of this slab.", "The corners are "+strings.Join(names, ", ")+"."
	case !s.Elevation.Given() && !s.Rod.Given():
		f.Why, f.Type = "has no reading.", "Give `rod` (with a bench mark) or `elevation`."
	case !s.Elevation.Given() && len(in.Book) > 0:
		f.Why, f.Type = "is a rod reading beside a level book: from which set-up?", "Book it as an intermediate sight, or give its `elevation`."
	case !s.Elevation.Given() && !(in.Bench.Elevation.Given() && in.Bench.Backsight.Given()):
		f.Why, f.Type = "is a rod reading, but there is no bench mark to count from.", "Give bench_mark: {elevation: 100.00, backsight: 4.62}."
	default:
		return f, false
	}
	return f, true
}

func obstacleFault(i int, o Obstacle) (check.Fault, bool) {
	f := check.Fault{Field: fmt.Sprintf("site.obstacles[%d]", i+1), Given: o.Name}
	placed := o.X.Given() && o.Y.Given()
	switch {
	case o.Kind == "":
		f.Why, f.Type = "does not say what it is.", "Give `kind`: "+strings.Join(o.Kind.Choices(), ", ")+"."
	case !placed && len(o.Line) < 2:
		f.Why, f.Type = "does not say where it is.", "Give x and y of its centre with `across`, or a `line` of at least two points."
	case placed && len(o.Line) == 0 && !(o.Across.Value > 0) && !(o.Kind == Tree && len(o.Stems) > 0):
		f.Why, f.Type = "has a centre but no size.", "Give `across`, like 14 in for a trunk or 24 in for a lid."
	case slices.ContainsFunc(o.Stems, func(s quantity.Length) bool { return !(s > 0) || s > 10 }):
		f.Why, f.Type = "has a stem that cannot be.", "Give each stem's diameter, like 6 in."
	default:
		return f, false
	}
	return f, true
}

// outliers names shots that stand far off the plane through the others: a wrong foot on the rod, a wrong corner.
func outliers(in Input, ground []Spot) []check.Check {
	var out []check.Check
	for i, s := range ground {
		gap, ok := offPlane(ground, i)
		if limit := quantity.Feet(1); ok && math.Abs(gap) > limit.Metres() {
			out = append(out, check.Check{ID: "site.shot-off", Level: check.Care, Where: spotName(i, s), Source: sources.OwnRule,
				Says: fmt.Sprintf("Shot %s stands %s from the plane through the others.", spotName(i, s), quantity.Plain(math.Abs(gap), quantity.AsElevation).String(in.Units)),
				Then: []string{"Read it again: a foot misread on the rod looks just like this."}})
		}
	}
	return out
}

// offPlane is how far shot i stands above the least-squares plane through all other shots; false with fewer than four
// others or when they lie on one line. A single blunder bends that plane least for the blunder itself, so only the worst
// shot is told of: those nearer than the largest gap are left alone.
func offPlane(ground []Spot, i int) (float64, bool) {
	if len(ground) < 5 {
		return 0, false
	}
	own, ok := residual(ground, i)
	if !ok {
		return 0, false
	}
	for j := range ground {
		if other, ok := residual(ground, j); ok && math.Abs(other) > math.Abs(own) {
			return 0, false
		}
	}
	return own, true
}

func residual(ground []Spot, i int) (float64, bool) {
	var c geometry.Point
	mean, n := 0.0, float64(len(ground)-1)
	for j, s := range ground {
		if j != i {
			c, mean = c.Add(s.At.Scale(1/n)), mean+float64(s.Elevation)/n
		}
	}
	var sxx, sxy, syy, sxz, syz float64
	for j, s := range ground {
		if j == i {
			continue
		}
		d, z := s.At.Sub(c), float64(s.Elevation)-mean
		sxx, sxy, syy = sxx+d.X*d.X, sxy+d.X*d.Y, syy+d.Y*d.Y
		sxz, syz = sxz+d.X*z, syz+d.Y*z
	}
	det := sxx*syy - sxy*sxy
	if det < 1e-6*sxx*syy || det <= 0 {
		return 0, false
	}
	b, k := (sxz*syy-syz*sxy)/det, (syz*sxx-sxz*sxy)/det
	d := ground[i].At.Sub(c)
	return float64(ground[i].Elevation) - (mean + b*d.X + k*d.Y), true
}
