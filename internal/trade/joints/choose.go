package joints

import (
	"cmp"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
)

// joint is one joint line in frame axes, box-outs cut out of it.
type joint struct {
	geometry.Segment
	construction bool
}

// choice is a layout as it would be built: joints, the true panels between them, and the rules it breaks.
type choice struct {
	joints   []joint
	panels   []geometry.Polygon
	breaches []breach
	score    float64
	torn     bool // the panels do not cover the slab: a joint runs too close along an edge
}

// layOut returns the layouts worth showing, best first, and whether all of their kind were looked at.
func (in Input) layOut(f frame, rules limits) (out []choice, complete bool) {
	if f.square.IsEmpty() {
		return in.skewed(f, rules), false
	}
	forced, stops := in.forced(f)
	plans, complete := layouts(f, rules, forced)
	for _, p := range plans {
		var lines []joint
		for _, c := range p.chords {
			stop := slices.ContainsFunc(stops, func(o chord) bool { return o == c })
			for _, s := range f.aroundPosts(f.real(c)) {
				lines = append(lines, joint{s, stop})
			}
		}
		out = append(out, f.built(lines, in.Meet, rules, p.score))
	}
	slices.SortStableFunc(out, func(a, b choice) int { return cmp.Compare(a.cost(), b.cost()) })
	return out, complete
}

// cost puts layouts that keep all rules first, as they are sorted already; each breach of the others weighs as in the search.
func (c choice) cost() int {
	if n := c.faults(); n > 0 {
		return len(c.panels) + brokenWorth*n
	}
	return 0
}

// faults counts the breaches a better layout could mend.
func (c choice) faults() int {
	n := 0
	for _, b := range c.breaches {
		if !b.outline {
			n++
		}
	}
	return n
}

// built cuts the true outline along the joints and holds the panels against the rules.
func (f frame) built(lines []joint, meet []geometry.Point, rules limits, score float64) choice {
	segments := make([]geometry.Segment, len(lines))
	for i, j := range lines {
		segments[i] = j.Segment
	}
	c := choice{joints: lines, panels: faces(f.outline, segments), score: score}
	slices.SortStableFunc(c.panels, func(a, b geometry.Polygon) int {
		p, q := a.Bounds(), b.Bounds()
		const row = 0.1 // panels that start within 0.1 m of one another stand in one row
		return cmp.Or(cmp.Compare(math.Round(p.Min.Y/row), math.Round(q.Min.Y/row)), cmp.Compare(p.Min.X, q.Min.X))
	})
	c.breaches = f.breaches(c, meet, rules)
	covered := 0.0
	for _, p := range c.panels {
		covered += p.Area()
	}
	c.torn = math.Abs(covered-f.outline.Area()) > near*f.outline.Perimeter()
	return c
}

// forced are the joints that other slabs and pour stops ask for; stops are the latter.
func (in Input) forced(f frame) (all, stops []chord) {
	s := search{f: f}
	for _, q := range in.Meet {
		at, edge, ok := f.square.NearestEdge(f.enter(q))
		if !ok {
			continue
		}
		upright := math.Abs(edge.Outward.Y) > math.Abs(edge.Outward.X)
		if c, ok := s.chordAt(at, upright); ok {
			all = with(all, c)
		}
	}
	for _, stop := range in.PourStops {
		a, b := f.enter(stop.A), f.enter(stop.B)
		if c, ok := s.chordAt(a.Lerp(b, 0.5), math.Abs(b.Y-a.Y) > math.Abs(b.X-a.X)); ok {
			all, stops = with(all, c), append(stops, c)
		}
	}
	return all, stops
}

// real carries a joint of the squared ground over to the true one: an end at a corner goes to the true corner, any other
// end to where the line meets the true edge.
func (f frame) real(c chord) geometry.Segment {
	s := c.segment()
	a, atA := f.trueCorner(s.A)
	b, atB := f.trueCorner(s.B)
	switch {
	case atA && atB:
		return geometry.Segment{A: a, B: b}
	case atB:
		through := f.clipped(b, s)
		return geometry.Segment{A: through.A, B: b}
	case atA:
		through := f.clipped(a, s)
		return geometry.Segment{A: a, B: through.B}
	}
	return f.clipped(s.Midpoint(), s)
}

func (f frame) trueCorner(p geometry.Point) (geometry.Point, bool) {
	actual := f.corners.Rings()
	for r, ring := range f.square.Rings() {
		for i, q := range ring {
			if q.Distance(p) < slack/2 {
				return actual[r][i], true
			}
		}
	}
	return geometry.Point{}, false
}

// clipped is the piece of the line through p, along s, that lies where s does.
func (f frame) clipped(p geometry.Point, s geometry.Segment) geometry.Segment {
	for _, piece := range f.ground.ClipLine(geometry.Line{Through: p, Along: s.B.Sub(s.A)}) {
		if piece.Distance(s.Midpoint()) < 2*skewLimit {
			return piece
		}
	}
	return s
}

// aroundPosts takes the box-outs of posts out of a line.
func (f frame) aroundPosts(s geometry.Segment) []geometry.Segment {
	pieces := []geometry.Segment{s}
	for _, q := range f.posts {
		var next []geometry.Segment
		for _, piece := range pieces {
			next = append(next, without(piece, f.outline.Holes[q.hole])...)
		}
		pieces = next
	}
	return pieces
}

func without(s geometry.Segment, ring []geometry.Point) []geometry.Segment {
	low, high := math.Inf(1), math.Inf(-1)
	for _, hit := range (geometry.Polygon{Outer: ring}).ClipLine(geometry.LineThrough(s.A, s.B)) {
		for _, q := range []geometry.Point{hit.A, hit.B} {
			t, _ := s.Offset(q)
			low, high = min(low, t), max(high, t)
		}
	}
	length := s.Length()
	if !(high > 0 && low < length) {
		return []geometry.Segment{s}
	}
	var out []geometry.Segment
	if low > slack {
		out = append(out, geometry.Segment{A: s.A, B: s.At(low / length)})
	}
	if high < length-slack {
		out = append(out, geometry.Segment{A: s.At(high / length), B: s.B})
	}
	return out
}

func (c choice) alternative() Alternative {
	a := Alternative{Panels: len(c.panels), Cuts: len(c.joints), Score: c.score, KeepsAll: c.faults() == 0}
	for _, j := range c.joints {
		a.SawLength += quantity.Length(j.Length())
	}
	for _, p := range c.panels {
		box := geometry.MinimumRectangle(p.Outer)
		a.Longest, a.Aspect = max(a.Longest, quantity.Length(box.Length)), max(a.Aspect, quantity.Ratio(box.Length/box.Width))
	}
	return a
}

// skewed cuts an outline with slanting or curved sides along its main axes at even spacings, with joints from every
// inside corner and to every post; of the grids tried the one that breaks the fewest rules, then the one with fewest
// panels, comes first.
func (in Input) skewed(f frame, rules limits) []choice {
	box := f.ground.Bounds()
	nx, ny := parts(box.Width(), rules.spacing), parts(box.Height(), rules.spacing)
	byCount := map[int]choice{}
	for i := nx; i <= nx+3; i++ {
		for j := ny; j <= ny+3; j++ {
			var lines []joint
			for _, s := range f.grid(i, j) {
				for _, piece := range f.aroundPosts(s) {
					lines = append(lines, joint{Segment: piece})
				}
			}
			c := f.built(lines, in.Meet, rules, 0)
			c.score = c.grade(rules)
			if old, ok := byCount[len(c.panels)]; !ok || compareChoices(c, old) < 0 {
				byCount[len(c.panels)] = c
			}
		}
	}
	var out []choice
	for _, c := range byCount {
		out = append(out, c)
	}
	slices.SortFunc(out, compareChoices)
	return out
}

func compareChoices(a, b choice) int {
	return cmp.Or(boolCompare(b.torn, a.torn), cmp.Compare(a.cost(), b.cost()), cmp.Compare(len(a.panels), len(b.panels)), cmp.Compare(a.score, b.score))
}

// grade is the score of a layout of any panels: the same sum as for rectangles, on the smallest rectangle of each.
func (c choice) grade(rules limits) float64 {
	p := plan{}
	for _, j := range c.joints {
		p.chords = append(p.chords, chord{to: j.Length()})
	}
	area := 0.0
	for _, q := range c.panels {
		box := geometry.MinimumRectangle(q.Outer)
		p.panels = append(p.panels, geometry.Box{Max: geometry.Point{X: box.Length, Y: box.Width}})
		area += q.Area()
	}
	s := search{rules: rules, least: max(1, int(math.Ceil(area/(rules.spacing*rules.spacing))))}
	s.rules.loads = nil
	s.grade(&p)
	return p.score
}

// grid is i columns by j rows over the ground, a line near a post moved through it, and a joint from every inside corner
// that no line meets.
func (f frame) grid(i, j int) []geometry.Segment {
	box := f.ground.Bounds()
	var out []geometry.Segment
	add := func(at geometry.Point, upright bool) {
		for k := range f.posts {
			q := f.posts[k].at
			if upright && math.Abs(q.X-at.X) < box.Width()/float64(2*i) {
				at.X = q.X
			}
			if !upright && math.Abs(q.Y-at.Y) < box.Height()/float64(2*j) {
				at.Y = q.Y
			}
		}
		at = f.toCorner(at, upright)
		along := geometry.Point{X: 1}
		if upright {
			along = geometry.Point{Y: 1}
		}
		out = append(out, f.ground.ClipLine(geometry.Line{Through: at, Along: along})...)
	}
	for k := 1; k < i; k++ {
		add(geometry.Point{X: box.Min.X + box.Width()*float64(k)/float64(i), Y: box.Centre().Y}, true)
	}
	for k := 1; k < j; k++ {
		add(geometry.Point{X: box.Centre().X, Y: box.Min.Y + box.Height()*float64(k)/float64(j)}, false)
	}
	for _, corner := range f.ground.ReentrantCorners() {
		if corner.Angle > math.Pi+insideCorner && !slices.ContainsFunc(out, func(s geometry.Segment) bool { return s.Distance(corner.At) < slack }) {
			out = append(out, f.fromCorner(corner)...)
		}
	}
	return out
}

// toCorner moves a line that passes a corner closely into it, so that none runs a hand's breadth beside an edge.
func (f frame) toCorner(at geometry.Point, upright bool) geometry.Point {
	const hand = 0.1
	moved, best := at, hand
	for _, ring := range f.ground.Rings() {
		for _, q := range ring {
			if d := math.Abs(q.X - at.X); upright && d < best {
				moved.X, best = q.X, d
			}
			if d := math.Abs(q.Y - at.Y); !upright && d < best {
				moved.Y, best = q.Y, d
			}
		}
	}
	return moved
}

// fromCorner is the joint leaving an inside corner along the axis that cuts it most evenly.
func (f frame) fromCorner(corner geometry.Corner) []geometry.Segment {
	ring := f.ground.Rings()[corner.Ring]
	n := len(ring)
	middle := ring[(corner.Index+1)%n].Sub(corner.At).Unit().Add(ring[(corner.Index+n-1)%n].Sub(corner.At).Unit()).Scale(-1)
	along := geometry.Point{X: 1}
	if math.Abs(middle.Y) > math.Abs(middle.X) {
		along = geometry.Point{Y: 1}
	}
	var out []geometry.Segment
	for _, piece := range f.ground.ClipLine(geometry.Line{Through: corner.At, Along: along}) {
		if piece.Distance(corner.At) < slack {
			out = append(out, piece)
		}
	}
	return out
}
