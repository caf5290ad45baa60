package layout

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
)

// What it costs a label to cover things, per millimetre of line covered; a moved label costs by the millimetre too. Only
// their order matters: lettering over lettering is worst, then signs, thick lines, thin lines, then moving.
const (
	labelWeight = 60.0
	signWeight  = 4.0
	thickWeight = 3.0
	thinWeight  = 1.0
	moveWeight  = 0.25
	slideWeight = 0.03 // along what the label names
)

func weightOf(width float64) float64 {
	if width >= 0.5 {
		return thickWeight
	}
	return thinWeight
}

// label is lettering that still looks for its place.
type label struct {
	ink    page.Ink
	at     page.Point
	says   []string
	cap    float64
	anchor drawing.Anchor
	angle  float64
	bold   bool
	boxed  bool
	tied   bool
	struck bool
	beside page.Point   // the direction of a shaft the label stands beside; zero for none
	on     []page.Point // other places on what a boxed label names
}

// obstacle is a line that lettering should not cover.
type obstacle struct {
	geometry.Segment
	weight float64
}

// quad is a turned rectangle: its middle, its reading direction, half its width and half its height.
type quad struct {
	middle, along page.Point
	half, rise    float64
}

const (
	leading    = 1.6 // of the cap height, from line to line
	pointGap   = 0.9 // between a point and the lettering over or under it
	groundEdge = 0.6 // of white around lettering
)

func (s *sheet) text(m drawing.Text) {
	l := label{ink: inkOf(m.Layer, m.Ref), at: s.view.On(m.At), says: strings.Split(m.Says, "\n"), cap: m.Height,
		anchor: m.Anchor, angle: m.Angle, bold: m.Bold, boxed: m.Boxed, tied: m.Tied, struck: m.Struck}
	if l.cap <= 0 {
		l.cap = labelCap
	}
	if strings.TrimSpace(m.Says) != "" {
		s.labels = append(s.labels, l)
	}
}

func (l label) width() float64 {
	width := 0.0
	for _, line := range l.says {
		width = max(width, lettering.Width(line, l.cap, l.bold))
	}
	return width
}

// height is from the foot of the last line to the caps of the first.
func (l label) height() float64 { return l.cap * (1 + leading*float64(len(l.says)-1)) }

func (l label) quadAt(middle page.Point) quad {
	edge := groundEdge
	if l.boxed {
		edge = 1.2
	}
	return quad{middle, geometry.Direction(l.angle), l.width()/2 + edge, l.height()/2 + edge}
}

// lies remembers a line that lettering should keep off.
func (s *sheet) lies(l page.Line, weight float64) {
	for _, p := range segmentsOf(l) {
		s.lying = append(s.lying, obstacle{p, weight})
	}
}

// crowding is the cost of a label at a place: what it would cover of the obstacles. Once that reaches enough it is not
// counted further.
func (s *sheet) crowding(l label, middle page.Point, lying []obstacle, enough float64) float64 {
	q, cost := l.quadAt(middle), 0.0
	for _, o := range s.taken {
		if q.overlaps(o) {
			cost += labelWeight
		}
	}
	x := q.half*math.Abs(q.along.X) + q.rise*math.Abs(q.along.Y)
	y := q.half*math.Abs(q.along.Y) + q.rise*math.Abs(q.along.X)
	for _, o := range lying {
		if cost >= enough {
			break
		}
		if max(o.A.X, o.B.X) < middle.X-x || min(o.A.X, o.B.X) > middle.X+x || max(o.A.Y, o.B.Y) < middle.Y-y || min(o.A.Y, o.B.Y) > middle.Y+y {
			continue
		}
		if bother := s.bother(l, o.weight); bother > 0 {
			cost += bother * q.covers(o.Segment)
		}
	}
	return cost
}

// around lists the obstacles that a label at any of the places could cover.
func (s *sheet) around(l label, places []place) []obstacle {
	box, reach := geometry.EmptyBox(), l.quadAt(l.at)
	for _, p := range places {
		box = box.Grow(p.middle)
	}
	box = box.Expand(reach.half + reach.rise)
	var out []obstacle
	for _, o := range s.lying {
		if o.Bounds().Overlaps(box) {
			out = append(out, o)
		}
	}
	return out
}

// bother is what covering a line costs: boxed lettering is meant to stand on lines, and on a chart whoever drew it placed
// lettering among the lines.
func (s *sheet) bother(l label, weight float64) float64 {
	switch {
	case weight == signWeight:
		return weight
	case s.chart:
		return 0
	case l.boxed:
		return 0.015 * weight
	}
	return weight
}

// near and far are how far a label may move, millimetres: a little without a word, farther only on a leader.
var (
	near = []float64{1.2, 2.4, 3.6, 5, 7, 9}
	far  = []float64{6, 8, 10, 12, 15, 19, 24, 30}
)

// mostLeaders is how many labels of one picture may stand on leaders. A drawing with more reads worse than one with gaps: then
// those that find no room are left to the picture's table.
const mostLeaders = 12

func (s *sheet) placeLabels() {
	slices.SortStableFunc(s.labels, func(a, b label) int {
		return cmp.Or(cmp.Compare(b.rank(), a.rank()))
	})
	var strays []label
	for _, l := range s.labels {
		if l.boxed {
			l.on = s.shapes[l.ink.Ref].spots()
		}
		if best, cost := s.bestOf(l, l.places(l.steps())); cost < labelWeight {
			s.put(l, best)
		} else {
			strays = append(strays, l)
		}
	}
	if len(strays) > mostLeaders {
		return
	}
	for _, l := range strays {
		best, _ := s.bestOf(l, l.places(far))
		s.lead(l, best)
		s.put(l, best)
	}
}

// spots are places on a line, evenly spaced, or the middle of a closed shape: a label there says what the shape is.
func (s shape) spots() []page.Point {
	const most = 12
	if s.closed {
		return []page.Point{geometry.Polygon{Outer: s.points}.Centroid()}
	}
	whole := 0.0
	for i := 1; i < len(s.points); i++ {
		whole += s.points[i].Distance(s.points[i-1])
	}
	var out []page.Point
	step, next, along := whole/most, whole/most/2, 0.0
	for i := 1; i < len(s.points) && step > 0; i++ {
		run := geometry.Segment{A: s.points[i-1], B: s.points[i]}
		for ; next <= along+run.Length() && len(out) < most; next += step {
			out = append(out, run.At((next-along)/run.Length()))
		}
		along += run.Length()
	}
	return out
}

// steps are how far the label may move without a leader: one that is tied to its point and a box that marks a place hardly at all,
// one beside a shaft along it.
func (l label) steps() []float64 {
	if (l.boxed || l.tied) && l.beside == (page.Point{}) {
		return near[:2]
	}
	return near
}

// bestOf is the cheapest of some places and its cost.
func (s *sheet) bestOf(l label, places []place) (best page.Point, least float64) {
	best, least = l.at, math.Inf(1)
	lying := s.around(l, places)
	for _, p := range places {
		if p.cost >= least {
			continue
		}
		if cost := s.crowding(l, p.middle, lying, least-p.cost) + p.cost; cost < least {
			best, least = p.middle, cost
		}
	}
	return best, least
}

// lead draws a thin line from a dot at the label's place to the label.
func (s *sheet) lead(l label, middle page.Point) {
	q := l.quadAt(middle)
	toward := l.at.Sub(middle)
	up := q.along.Left()
	k := math.Max(math.Abs(toward.Dot(q.along))/q.half, math.Abs(toward.Dot(up))/q.rise)
	if k <= 1 {
		return
	}
	ink := page.Ink{Layer: l.ink.Layer, Ref: l.ink.Ref}
	line := page.Line{Points: []page.Point{l.at, middle.Add(toward.Scale(1 / k))}}
	s.signs = append(s.signs, page.Stroke{Ink: ink, Width: hatchWidth, Lines: []page.Line{line}},
		page.Area{Ink: ink, Rings: [][]page.Point{geometry.Disc(l.at, 0.5, chordError).Outer}})
	s.lies(line, thinWeight)
}

// rank puts the lettering that matters first.
func (l label) rank() float64 {
	rank := l.cap
	if l.bold {
		rank++
	}
	if l.boxed {
		rank += 2
	}
	return rank
}

type place struct {
	middle page.Point
	cost   float64
}

// places lists where the label might go: where it was put, the other sides of its point, and moved from there.
func (l label) places(distances []float64) []place {
	along, up := geometry.Direction(l.angle), geometry.Direction(l.angle).Left()
	var bases []place
	for i, base := range l.bases(along, up) {
		bases = append(bases, place{base, float64(i) * 0.5})
	}
	out := slices.Clone(bases)
	for _, at := range l.on {
		out = append(out, place{at, slideWeight * at.Distance(l.at)})
	}
	for _, d := range distances {
		for i := range 8 {
			move := geometry.Direction(float64(i) * math.Pi / 4)
			shift := along.Scale(move.X * d).Add(up.Scale(move.Y * d))
			for _, b := range bases {
				out = append(out, place{b.middle.Add(shift), b.cost + d*moveWeight})
			}
		}
	}
	return out
}

// bases are the middles of the label as anchored, then on the other sides of its point.
func (l label) bases(along, up page.Point) []page.Point {
	right, rise := along.Scale(l.width()/2), up.Scale(l.height()/2)
	gap, side := up.Scale(pointGap), along.Scale(1.2)
	above, below := l.at.Add(rise).Add(gap), l.at.Sub(rise).Sub(gap)
	if l.beside != (page.Point{}) {
		n := l.beside.Left()
		clear := math.Abs(n.X)*l.width()/2 + math.Abs(n.Y)*l.height()/2 + 1.2
		return []page.Point{l.at.Add(n.Scale(clear)), l.at.Sub(n.Scale(clear))}
	}
	switch l.anchor {
	case drawing.Left:
		return []page.Point{l.at.Add(right), l.at.Sub(right).Sub(side), above, below}
	case drawing.Right:
		return []page.Point{l.at.Sub(right), l.at.Add(right).Add(side), above, below}
	case drawing.Above:
		return []page.Point{above, below, l.at.Add(right).Add(side), l.at.Sub(right).Sub(side)}
	case drawing.Below:
		return []page.Point{below, above, l.at.Add(right).Add(side), l.at.Sub(right).Sub(side)}
	}
	return []page.Point{l.at}
}

// put letters the label with its middle at a place, on white ground where something lies under it.
func (s *sheet) put(l label, middle page.Point) {
	q := l.quadAt(middle)
	if corners := q.corners(); l.boxed || s.covered(q) {
		s.words = append(s.words, page.Area{Ink: page.Ink{Layer: l.ink.Layer, Ref: l.ink.Ref, Colour: page.White},
			Rings: [][]page.Point{corners}})
		if l.boxed {
			s.words = append(s.words, page.Stroke{Ink: l.ink, Width: thinPen, Lines: []page.Line{{Points: corners, Closed: true}}})
		}
	}
	up := q.along.Left()
	foot := middle.Add(up.Scale(l.height()/2 - l.cap))
	for i, line := range l.says {
		w := page.Words{Ink: l.ink, At: foot.Sub(up.Scale(float64(i) * leading * l.cap)), Says: line,
			Cap: l.cap, Bold: l.bold, Align: page.Centre, Angle: l.angle}
		s.words = append(s.words, w)
		if l.struck {
			s.words = append(s.words, w.Strike())
		}
	}
	s.taken = append(s.taken, q)
}

func (s *sheet) covered(q quad) bool {
	for _, o := range s.lying {
		if q.covers(o.Segment) > 0 {
			return true
		}
	}
	for _, g := range s.hatched {
		if g.Contains(q.middle) || slices.ContainsFunc(q.corners(), g.Contains) {
			return true
		}
	}
	return false
}

func (q quad) corners() []page.Point {
	right, rise := q.along.Scale(q.half), q.along.Left().Scale(q.rise)
	return []page.Point{q.middle.Sub(right).Sub(rise), q.middle.Add(right).Sub(rise),
		q.middle.Add(right).Add(rise), q.middle.Sub(right).Add(rise)}
}

// overlaps reports whether two turned rectangles share more than an edge: no side of either separates them.
func (q quad) overlaps(o quad) bool {
	between := o.middle.Sub(q.middle)
	if between.Length() > q.half+q.rise+o.half+o.rise {
		return false
	}
	for _, axis := range []page.Point{q.along, q.along.Left(), o.along, o.along.Left()} {
		reach := q.reach(axis) + o.reach(axis)
		if math.Abs(axis.Dot(between)) >= reach-1e-9 {
			return false
		}
	}
	return true
}

func (q quad) reach(axis page.Point) float64 {
	return q.half*math.Abs(axis.Dot(q.along)) + q.rise*math.Abs(axis.Dot(q.along.Left()))
}

// covers is the length of a segment within the rectangle.
func (q quad) covers(s geometry.Segment) float64 {
	a, b := s.A.Sub(q.middle), s.B.Sub(q.middle)
	up := q.along.Left()
	from, to := clipped(0, 1, q.along.Dot(a), q.along.Dot(b), q.half)
	from, to = clipped(from, to, up.Dot(a), up.Dot(b), q.rise)
	if to <= from {
		return 0
	}
	return (to - from) * s.Length()
}

// clipped narrows a stretch from…to of a segment, whose coordinate runs from a to b, to where |coordinate| < r.
func clipped(from, to, a, b, r float64) (float64, float64) {
	if a == b {
		if math.Abs(a) >= r {
			return 0, 0
		}
		return from, to
	}
	enter, leave := (-r-a)/(b-a), (r-a)/(b-a)
	return max(from, min(enter, leave)), min(to, max(enter, leave))
}
