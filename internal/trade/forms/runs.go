package forms

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
)

// smooth is the largest bend at a point of a curve drawn by chords; anything sharper is a corner. straight is the bend
// below which two edges are one run.
const (
	smooth   = 20 * math.Pi / 180
	straight = 0.5 * math.Pi / 180
)

// onEdge is how far a stretch against a wall may be off the edge it lies on.
const onEdge = 0.03

// runs are the stretches of form: the outline from corner to corner less what stands against it, then box-outs, then
// bulkheads.
func (in Input) runs(b Board) []Run {
	var out []Run
	for _, path := range split(in.Outline.Oriented().Outer) {
		run := Run{Name: in.names(path), Path: path.points, Closed: path.closed, Kind: Straight}
		if len(path.points) > 3 || path.closed {
			if radius, ok := radiusOf(path.points); ok {
				run.Kind, run.Radius = Curve, quantity.Length(radius)
				run.Bend = bendStock(run.Radius, in.Units)
			}
		}
		if run.Kind == Curve {
			run.Length = quantity.Length(length(path))
			out = append(out, run)
			continue
		}
		if path.outside {
			run.extra = b.Thick.Metres()
		}
		out = append(out, in.around(run)...)
	}
	for i, hole := range in.Outline.Holes {
		run := Run{Name: fmt.Sprintf("box-out %d", i+1), Path: hole, Closed: true, Kind: Straight, Length: quantity.Length(geometry.RingLength(hole))}
		if len(hole) >= 8 {
			run.Kind = Round
		}
		out = append(out, run)
	}
	for i, stop := range in.PourStops {
		out = append(out, Run{Name: fmt.Sprintf("pour stop %d", i+1), Path: []geometry.Point{stop.A, stop.B}, Kind: Bulkhead, Length: quantity.Length(stop.Length())})
	}
	return out
}

// path is part of a ring between two corners.
type path struct {
	points  []geometry.Point
	closed  bool
	outside bool // it ends at an outward corner, where one board runs past the other
	chords  bool
}

func length(p path) float64 {
	if p.closed {
		return geometry.RingLength(p.points)
	}
	return geometry.PathLength(p.points)
}

// split cuts a counter-clockwise ring at its corners, and where straight edges pass into curves.
func split(ring []geometry.Point) []path {
	n := len(ring)
	bends := make([]float64, n)
	for i := range ring {
		a, b := ring[i].Sub(ring[(i+n-1)%n]), ring[(i+1)%n].Sub(ring[i])
		bends[i] = math.Atan2(a.Cross(b), a.Dot(b))
	}
	curved := make([]bool, n) // edge i is a chord of a curve: both its ends bend gently the same way
	for i := range ring {
		p, q := bends[i], bends[(i+1)%n]
		gentle := func(x float64) bool { return math.Abs(x) > straight && math.Abs(x) < smooth }
		curved[i] = gentle(p) && gentle(q) && p*q > 0
	}
	for i := range ring { // the first and last chord of a curve touch it with one end only
		before, after := curved[(i+n-1)%n], curved[(i+1)%n]
		short := ring[i].Distance(ring[(i+1)%n])
		switch {
		case curved[i]:
		case before && short < 1.5*ring[(i+n-1)%n].Distance(ring[i]), after && short < 1.5*ring[(i+1)%n].Distance(ring[(i+2)%n]):
			curved[i] = true
		}
	}
	first := slices.IndexFunc(intsTo(n), func(i int) bool {
		return math.Abs(bends[i]) >= smooth || curved[(i+n-1)%n] != curved[i]
	})
	if first < 0 {
		return []path{{points: ring, closed: true, chords: curved[0]}}
	}
	var out []path
	var now []geometry.Point
	for k := 0; k <= n; k++ {
		i := (first + k) % n
		breaks := math.Abs(bends[i]) >= smooth || curved[(i+n-1)%n] != curved[i]
		now = append(now, ring[i])
		if k > 0 && breaks {
			out = append(out, path{points: now, outside: bends[i] > smooth, chords: curved[(i+n-1)%n]})
			now = []geometry.Point{ring[i]}
		}
	}
	for i := range out {
		if !out[i].chords {
			out[i].points = []geometry.Point{out[i].points[0], out[i].points[len(out[i].points)-1]}
		}
	}
	return out
}

func intsTo(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// radiusOf is the radius of the circle through the first, middle and last point of a curve.
func radiusOf(points []geometry.Point) (float64, bool) {
	arc, ok := geometry.ArcThrough(points[0], points[len(points)/2], points[len(points)-1])
	return arc.Radius, ok && arc.Radius < 1000
}

// bendStock is the thickest plywood that bends to the radius, face grain across; tighter curves want laminated 1/8 in
// hardboard or kerfs.
func bendStock(radius quantity.Length, units quantity.System) string {
	best := ""
	for _, row := range plywood {
		if quantity.Feet(row.across) <= radius {
			best = fmt.Sprintf("%s plywood, face grain upright", quantity.Show(quantity.Inches(row.inches), quantity.AsDrop).String(units))
		}
	}
	if best == "" {
		return fmt.Sprintf("two layers of %s hardboard, wetted", quantity.Show(quantity.Inches(0.125), quantity.AsDrop).String(units))
	}
	return best
}

// names is the run by its corners: AB.
func (in Input) names(p path) string {
	return in.corner(p.points[0]) + in.corner(p.points[len(p.points)-1])
}

func (in Input) corner(at geometry.Point) string {
	i := slices.Index(in.Outline.Outer, at)
	if i >= 0 && i < len(in.CornerNames) && in.CornerNames[i] != "" {
		return in.CornerNames[i]
	}
	letter := string(rune('A' + max(i, 0)%26))
	if i < 26 {
		return letter
	}
	return fmt.Sprintf("%s%d", letter, i/26)
}

// around leaves out of a straight run what stands against it, and says by what.
func (in Input) around(run Run) []Run {
	edge := geometry.Segment{A: run.Path[0], B: run.Path[len(run.Path)-1]}
	whole := edge.Length()
	type span struct {
		from, to float64
		name     string
	}
	var spans []span
	for _, a := range in.Against {
		from, off := edge.Offset(a.From)
		to, off2 := edge.Offset(a.To)
		if from > to {
			from, to = to, from
		}
		if max(math.Abs(off), math.Abs(off2)) <= onEdge && min(to, whole)-max(from, 0) > onEdge {
			spans = append(spans, span{max(from, 0), min(to, whole), a.Name})
		}
	}
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	var out []Run
	piece := func(from, to float64, kind, against string) {
		if to-from <= onEdge {
			return
		}
		part := run
		part.Path = []geometry.Point{edge.At(from / whole), edge.At(to / whole)}
		part.Length, part.Kind, part.Against = quantity.Length(to-from), kind, against
		if to < whole-onEdge || kind == NoForm {
			part.extra = 0
		}
		out = append(out, part)
	}
	at := 0.0
	for _, s := range spans {
		piece(at, s.from, Straight, "")
		piece(max(at, s.from), s.to, NoForm, s.name)
		at = max(at, s.to)
	}
	piece(at, whole, Straight, "")
	return out
}

// splicePlate is how far each side of a butt joint a stake stands. Source: common practice.
const splicePlate = 0.075

// kickerForm and kickerSpacing: braces every 4 ft once a form is 8 in high. Source: common practice.
var kickerForm, kickerSpacing = quantity.Inches(8), quantity.Feet(4)

// curveStakes are the least and most stakes apart round a curve. Source: common practice.
var curveLeast, curveMost = quantity.Feet(1), quantity.Feet(2)

// stake sets the stakes of a run: no farther apart than the spacing, at both ends, and both sides of every splice.
func (in Input) stake(run *Run, r *Result) {
	spacing := r.Spacing.Metres()
	switch run.Kind {
	case NoForm, Round:
		return
	case Curve:
		c, err := CurveStakes(run.Radius, in.CurveError.Value)
		if err == nil {
			spacing = min(max(c, curveLeast).Metres(), curveMost.Metres(), spacing)
		}
		run.Stakes = along(run.Path, run.Closed, spacing)
	case Straight, Bulkhead:
		if run.Closed {
			for i, a := range run.Path {
				run.Pieces = append(run.Pieces, quantity.Length(a.Distance(run.Path[(i+1)%len(run.Path)])))
			}
			run.Stakes = along(run.Path, true, spacing)
			break
		}
		run.Stakes = along(run.Path, false, spacing)
		in.splice(run)
	}
	if r.Board.Height >= kickerForm && run.Kind != Curve {
		run.Kickers = int(math.Ceil(run.Length.Metres()/kickerSpacing.Metres() - 1e-9))
	}
}

// splice divides a straight run into boards and stands a stake each side of every joint.
func (in Input) splice(run *Run) {
	need, stick := run.Length.Metres()+run.extra, in.longest().Metres()
	n := max(1, int(math.Ceil(need/stick-1e-9)))
	edge := geometry.Segment{A: run.Path[0], B: run.Path[1]}
	for k := 1; k < n; k++ {
		run.Pieces = append(run.Pieces, quantity.Length(stick))
		at := float64(k) * stick / edge.Length()
		off := splicePlate / edge.Length()
		run.Splices = append(run.Splices, edge.At(min(at, 1)))
		run.Stakes = append(run.Stakes, edge.At(min(at-off, 1)), edge.At(min(at+off, 1)))
	}
	run.Pieces = append(run.Pieces, quantity.Length(need-float64(n-1)*stick))
}

func (in Input) longest() quantity.Length {
	if in.Stock2.Given() {
		return max(in.Stock.Value, in.Stock2.Value)
	}
	return in.Stock.Value
}

// along are points on a path no farther apart than spacing, both ends included.
func along(points []geometry.Point, closed bool, spacing float64) []geometry.Point {
	if closed {
		points = append(slices.Clone(points), points[0])
	}
	total := geometry.PathLength(points)
	n := max(1, int(math.Ceil(total/spacing-1e-9)))
	last := n
	if closed {
		last = n - 1
	}
	var out []geometry.Point
	for k := 0; k <= last; k++ {
		out = append(out, pointAt(points, total*float64(k)/float64(n)))
	}
	return out
}

func pointAt(points []geometry.Point, station float64) geometry.Point {
	for i := 1; i < len(points); i++ {
		d := points[i].Distance(points[i-1])
		if station <= d || i == len(points)-1 {
			return points[i-1].Lerp(points[i], min(station/d, 1))
		}
		station -= d
	}
	return points[0]
}
