package joints

import (
	"cmp"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// joint is one joint line in frame axes, box-outs cut out of it.
type joint struct {
	geometry.Segment
	construction bool
	foot         bool // the last foot of a joint, turned square to the edge
}

// choice is a layout as it would be built: joints, the true panels between them, and the rules it breaks.
type choice struct {
	joints   []joint
	panels   []geometry.Polygon
	breaches []breach
	pours    []part
	score    float64
	missed   int  // rules broken as the search counts them, to the millimetre
	torn     bool // the panels do not cover the slab: a joint runs too close along an edge
}

// weighed is how many layouts are parted into days, and shown how many a person sees: the best and two more.
const weighed, shown = 8, 3

// dayWorth is how many panels more a layout may have to be placed in one day less. Our rule.
const dayWorth = 4

// layOut returns the layouts worth showing, best first, and whether all even cuttings were looked at. On ground of square
// corners every even cutting is searched first, within an effort; then, everywhere, joints are changed one by one.
func (in Input) layOut(f frame, rules limits, fixed []geometry.Segment) (out []choice, complete bool) {
	if f.square.IsEmpty() {
		return in.skewed(f, rules, fixed), false
	}
	g := settled(f.siteOutline(), f.names, f.heading)
	if g.square.IsEmpty() {
		g = f
	}
	across := func(q geometry.Point, from, to frame) geometry.Point { return to.enter(from.site(q)) }
	turned := make([]geometry.Segment, len(fixed))
	for i, s := range fixed {
		turned[i] = geometry.Segment{A: across(s.A, f, g), B: across(s.B, f, g)}
	}
	rules.loads = in.loadsIn(g)
	sketches, complete := g.searched(turned, rules, in.FirstLook)
	rules.loads = in.loadsIn(f)
	for _, s := range sketches {
		lines := make([]geometry.Segment, len(s.lines))
		for i, line := range s.lines {
			lines[i] = geometry.Segment{A: across(line.A, g, f), B: across(line.B, g, f)}
		}
		c := in.drawn(f, lines, rules, s.score)
		c.missed = s.broken
		out = append(out, c)
	}
	slices.SortStableFunc(out, func(a, b choice) int { return compareChoices(a, b, rules) })
	return out, complete
}

// searched are the best layouts on ground of square corners, in its frame, and whether every even cutting was looked at.
func (f frame) searched(fixed []geometry.Segment, rules limits, firstLook bool) (out []sketch, complete bool) {
	var plans []plan
	if knots := len(f.square.ReentrantCorners()) + len(f.posts); knots <= mostKnots {
		var forced []chord
		for _, s := range fixed {
			forced = with(forced, chordOf(s))
		}
		plans, complete = layouts(f, rules, forced)
	}
	least := leastPanels(f, rules, plans, complete)
	m := newImprover(f.square, f, newGrid(f, rules, least), rules, least, fixed)
	for _, p := range plans {
		var lines []geometry.Segment
		for _, c := range p.chords {
			lines = append(lines, c.segment())
		}
		m.keep(m.sketch(joined(fixed, lines)))
	}
	box := f.square.Bounds()
	nx, ny := parts(box.Width(), rules.spacing), parts(box.Height(), rules.spacing)
	for i := nx; i <= nx+2; i++ {
		for j := ny; j <= ny+2; j++ {
			m.keep(m.sketch(joined(fixed, f.grid(i, j))))
		}
	}
	m.search(m.start(true), steps(len(m.knots)+least/8, firstLook))
	return m.layouts(weighed), complete
}

// mostKnots is the number of inside corners and posts up to which every even cutting is searched: each can be served in
// three ways.
const mostKnots = 6

// leastPanels is what n_min in the score counts from.
func leastPanels(f frame, rules limits, plans []plan, complete bool) int {
	least := max(1, int(math.Ceil(f.ground.Area()/(rules.spacing*rules.spacing)-1e-6)))
	if complete && len(plans) > 0 && plans[0].broken == 0 {
		least = max(least, len(plans[0].panels))
	}
	return least
}

// The steps of the search: more for every inside corner and post, and for every eight panels, up to a limit; and on slanting or curved ground, where
// one look takes a hundred times as long. A tenth for a first look.
const (
	knotSteps = 5_000
	fullSteps = 36_000
	slowSteps = 700
)

func steps(size int, firstLook bool) int {
	n := min(fullSteps, knotSteps*(1+size))
	if firstLook {
		return n / 10
	}
	return n
}

// drawn carries lines of the squared ground over to the true one and takes the box-outs of posts out of them.
func (in Input) drawn(f frame, lines []geometry.Segment, rules limits, score float64) choice {
	var joints []joint
	for _, line := range lines {
		real := line
		if !f.square.IsEmpty() {
			real = f.real(line)
		}
		for _, s := range f.aroundPosts(real) {
			joints = append(joints, joint{Segment: s})
		}
	}
	return f.built(joints, in.met(), rules, score)
}

// faults counts the breaches a better layout could mend, a panel that is far too long as often as it lacks joints.
func (c choice) faults() int {
	n := 0
	for _, b := range c.breaches {
		if !b.outline {
			n += max(1, b.lacks)
		}
	}
	return max(n, c.missed)
}

// built cuts the true outline along the joints and holds the panels against the rules.
func (f frame) built(lines []joint, meet []geometry.Point, rules limits, score float64) choice {
	if f.square.IsEmpty() {
		lines = f.turned(lines)
	}
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

// real carries a joint of the squared ground over to the true one: an end at a corner goes to the true corner, any other
// end to where the line meets the true edge.
func (f frame) real(s geometry.Segment) geometry.Segment {
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

// alternative is a layout beside the chosen one, placed on the site like it.
func (c choice) alternative(in Input, f frame, name string) Alternative {
	var r Result
	r.place(in, f, c)
	a := Alternative{Name: name, Panels: r.Panels, Cuts: r.Cuts, Pours: len(r.Pours), SawLength: r.SawLength, Score: c.score, KeepsAll: c.faults() == 0}
	for _, p := range r.Panels {
		a.Longest, a.Aspect = max(a.Longest, p.Length), max(a.Aspect, p.Aspect)
	}
	return a
}

// skewed lays out ground with slanting or curved sides: strips round a bend by joints square to their edges, anything else
// from the best of several grids on, joint by joint.
func (in Input) skewed(f frame, rules limits, fixed []geometry.Segment) []choice {
	least := leastPanels(f, rules, nil, false)
	m := newImprover(f.ground, f, site{in, f, rules, least}, rules, least, fixed)
	m.ways = append(m.ways, f.leanings()...)
	var best sketch
	for _, lines := range f.firsts(rules, in.FirstLook) {
		s := m.sketch(joined(fixed, lines))
		m.keep(s)
		if best.lines == nil || s.cost < best.cost {
			best = s
		}
	}
	steps := slowSteps
	if in.FirstLook {
		steps /= 10
	}
	if best.broken > 0 || len(fixed) > 0 {
		m.anneal(best, warm, steps)
	}
	var out []choice
	for _, s := range m.layouts(shown) {
		out = append(out, in.drawn(f, s.lines, rules, s.score))
	}
	slices.SortStableFunc(out, func(a, b choice) int { return compareChoices(a, b, rules) })
	return out
}

// site judges lines on any ground by building the panels and holding them against the rules.
type site struct {
	in    Input
	f     frame
	rules limits
	least int
}

func (g site) assay(lines []geometry.Segment) verdict {
	c := g.in.drawn(g.f, lines, g.rules, 0)
	var v verdict
	for _, p := range c.panels {
		v.panels = append(v.panels, patch{box: p.Bounds()})
	}
	for _, b := range c.breaches {
		if b.panel >= 0 {
			v.panels[b.panel].bad = true
		}
		if b.outline {
			continue
		}
		v.broken += max(1, b.lacks)
		v.depth += b.depth(g.rules)
	}
	if c.torn {
		v.broken += 10
	}
	v.score = c.grade(g.rules, g.least)
	return v
}

// depth is by how much a rule is broken, from 0 to 3.
func (b breach) depth(rules limits) float64 {
	switch b.rule {
	case "H2":
		return min(3, b.found/rules.spacing-1)
	case "H3":
		return min(3, b.found-rules.aspect)
	case "H5", "H6":
		return max(0, 1-b.found/sharpest)
	case "H8":
		return 1 - b.found/max(rules.narrowest, b.found)
	}
	return 1
}

// firsts are the layouts that the search on slanting or curved ground starts from.
func (f frame) firsts(rules limits, firstLook bool) [][]geometry.Segment {
	out := f.round(rules)
	box := f.ground.Bounds()
	nx, ny := parts(box.Width(), rules.spacing), parts(box.Height(), rules.spacing)
	more := 3
	if firstLook {
		more = 1
	}
	for i := nx; i <= nx+more; i++ {
		for j := ny; j <= ny+more; j++ {
			out = append(out, f.grid(i, j))
		}
	}
	return out
}

// leanings are the directions of slanting sides and square to them: joints may leave a corner along either.
func (f frame) leanings() []geometry.Point {
	const apart, most = 8 * math.Pi / 180, 6
	var out []geometry.Point
	for _, e := range f.corners.Edges() {
		for _, way := range []geometry.Point{e.Direction(), e.Direction().Left()} {
			near := func(o geometry.Point) bool { return math.Abs(o.Cross(way)) < math.Sin(apart) }
			if len(out) < most && !near(geometry.Point{X: 1}) && !near(geometry.Point{Y: 1}) && !slices.ContainsFunc(out, near) {
				out = append(out, way)
			}
		}
	}
	return out
}

func compareChoices(a, b choice, rules limits) int {
	count, score := cmp.Compare(a.worth(), b.worth()), cmp.Compare(a.score, b.score)
	if rules.squarest {
		count, score = score, count
	}
	return cmp.Or(boolCompare(b.torn, a.torn), cmp.Compare(min(a.faults(), 1), min(b.faults(), 1)), count, score)
}

// worth is the panels of a layout, and what broken rules and days come to in panels.
func (c choice) worth() int { return len(c.panels) + brokenWorth*c.faults() + dayWorth*len(c.pours) }

// grade is the score of a layout of any panels, on the smallest rectangle of each.
func (c choice) grade(rules limits, least int) float64 {
	var areas, aspects []float64
	var lines []geometry.Segment
	sawn, slivers := 0.0, 0
	for _, j := range c.joints {
		lines, sawn = append(lines, j.Segment), sawn+j.Length()
	}
	for _, q := range c.panels {
		box := geometry.MinimumRectangle(q.Outer)
		areas, aspects = append(areas, q.Area()), append(aspects, box.Length/box.Width)
		if box.Width < rules.narrowest-slack || q.Area() < rules.leastArea {
			slivers++
		}
	}
	return score(areas, aspects, sawn, loadsOn(lines, rules.loads), slivers, rules, least)
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
