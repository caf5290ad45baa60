package joints

import (
	"cmp"
	"maps"
	"math"
	"math/rand/v2"
	"slices"

	"slabwright/internal/engines/geometry"
)

// sketch is a layout as the search holds it: joint lines in frame axes from edge to edge, and what it thinks of them.
type sketch struct {
	lines []geometry.Segment
	verdict
	cost float64
}

// improver changes one joint line at a time, keeps what is better and, less and less often, what is a little worse
// (simulated annealing, Kirkpatrick, Gelatt and Vecchi 1983). It is seeded and counts its steps: the same slab always gets
// the same layout.
type improver struct {
	ground geometry.Polygon
	ways   []geometry.Point // directions of joints, the main axes first
	judge  assayer
	rules  limits
	least  int
	fixed  []geometry.Segment // pinned: neither moved nor dropped
	knots  []geometry.Point   // inside corners and posts, which joints must meet
	marks  []geometry.Point   // places worth lining up with: every corner of the ground
	random *rand.Rand
	best   map[rank]sketch
}

// rank is what the best layout is kept of: each number of panels, and apart those that keep every rule.
type rank struct {
	panels int
	clean  bool
}

func (s sketch) rank() rank { return rank{len(s.panels), s.broken == 0} }

// compareSketches puts layouts that keep every rule first, then the cheaper.
func compareSketches(a, b sketch) int {
	return cmp.Or(boolCompare(a.broken == 0, b.broken == 0), cmp.Compare(a.cost, b.cost), cmp.Compare(len(a.panels), len(b.panels)))
}

// seed starts every search the same way.
const seed = 20_270_617

func newImprover(ground geometry.Polygon, f frame, judge assayer, rules limits, least int, fixed []geometry.Segment) *improver {
	m := &improver{ground: ground, judge: judge, rules: rules, least: least, fixed: fixed, best: map[rank]sketch{},
		ways: []geometry.Point{{X: 1}, {Y: 1}}, random: rand.New(rand.NewPCG(seed, uint64(least)))}
	for _, c := range ground.ReentrantCorners() {
		if c.Angle > math.Pi+insideCorner {
			m.knots = append(m.knots, c.At)
		}
	}
	for _, q := range f.posts {
		m.knots = append(m.knots, q.at)
	}
	for _, ring := range ground.Rings() {
		m.marks = append(m.marks, ring...)
	}
	return m
}

// through is the joint through a place, from edge to edge.
func (m *improver) through(at, along geometry.Point) (geometry.Segment, bool) {
	for _, piece := range m.ground.ClipLine(geometry.Line{Through: at, Along: along}) {
		if piece.Distance(at) < slack {
			return piece, piece.Length() > 2*slack
		}
	}
	return geometry.Segment{}, false
}

func (m *improver) sketch(lines []geometry.Segment) sketch {
	s := sketch{lines: lines, verdict: m.judge.assay(lines)}
	s.cost = s.energy(m.rules, m.least)
	return s
}

// keep remembers a layout if it is the best of its count.
func (m *improver) keep(s sketch) {
	if old, ok := m.best[s.rank()]; !ok || s.cost < old.cost-1e-9 {
		m.best[s.rank()] = sketch{slices.Clone(s.lines), s.verdict, s.cost}
	}
}

// start serves every knot that no joint serves yet by one through it, the shortest or any.
func (m *improver) start(shortest bool) []geometry.Segment {
	lines := slices.Clone(m.fixed)
	for _, k := range m.random.Perm(len(m.knots)) {
		knot := m.knots[k]
		if slices.ContainsFunc(lines, func(s geometry.Segment) bool { return s.Distance(knot) < near/2 }) {
			continue
		}
		var found []geometry.Segment
		for _, way := range m.ways {
			if s, ok := m.through(knot, way); ok {
				found = append(found, s)
			}
		}
		if len(found) == 0 {
			continue
		}
		if shortest {
			lines = append(lines, slices.MinFunc(found, func(a, b geometry.Segment) int { return cmp.Compare(a.Length(), b.Length()) }))
		} else {
			lines = append(lines, found[m.random.IntN(len(found))])
		}
	}
	return lines
}

// The temperatures of the search, in panels: at first it gladly takes a layout some panels worse, at last none.
const hot, warm, cold = 5.0, 1.5, 0.05

// legs is how many starts a search makes; half as many more go on from the best layout so far.
const legs = 8

// search anneals from the given lines, from starts of its own, and from the best it has found.
func (m *improver) search(lines []geometry.Segment, steps int) {
	each := steps / (legs + legs/2)
	m.anneal(m.sketch(lines), hot, each)
	for range legs - 1 {
		m.anneal(m.sketch(m.start(false)), hot, each)
	}
	for range legs / 2 {
		m.anneal(m.leader(), warm, each)
	}
}

// anneal takes so many steps, cooling down.
func (m *improver) anneal(now sketch, top float64, steps int) {
	m.keep(now)
	for k := range steps {
		heat := top * math.Pow(cold/top, float64(k)/float64(steps))
		changed, ok := m.change(now)
		if !ok {
			continue
		}
		next := m.sketch(changed)
		m.keep(next)
		if next.cost <= now.cost || m.random.Float64() < math.Exp((now.cost-next.cost)/heat) {
			now = next
		}
	}
}

// leader is the best layout so far.
func (m *improver) leader() sketch {
	return slices.MinFunc(slices.Collect(maps.Values(m.best)), compareSketches)
}

// change proposes a neighbour: a joint more, fewer, shifted, or through a knot the other way.
func (m *improver) change(s sketch) ([]geometry.Segment, bool) {
	free := len(s.lines) - len(m.fixed)
	switch r := m.random.Float64(); {
	case r < 0.35 || free == 0:
		return m.added(s)
	case r < 0.55:
		return m.without(s.lines, len(m.fixed)+m.random.IntN(free)), true
	case r < 0.85:
		return m.shifted(s)
	default:
		return m.swapped(s)
	}
}

func (m *improver) without(lines []geometry.Segment, k int) []geometry.Segment {
	return slices.Delete(slices.Clone(lines), k, k+1)
}

// with adds a joint that is not there yet.
func (m *improver) with(lines []geometry.Segment, at, along geometry.Point) ([]geometry.Segment, bool) {
	s, ok := m.through(at, along)
	if !ok || slices.ContainsFunc(lines, func(o geometry.Segment) bool { return same(o, s) }) {
		return nil, false
	}
	return append(slices.Clone(lines), s), true
}

// joined are the lines of both lists, those that run in one another once.
func joined(fixed, lines []geometry.Segment) []geometry.Segment {
	out := slices.Clone(fixed)
	for _, s := range lines {
		if !slices.ContainsFunc(out, func(o geometry.Segment) bool { return same(o, s) }) {
			out = append(out, s)
		}
	}
	return out
}

// same says that two joints run in one another.
func same(a, b geometry.Segment) bool {
	return math.Abs(a.Direction().Cross(b.Direction())) < 0.05 && a.Distance(b.Midpoint()) < 2*slack && b.Distance(a.Midpoint()) < 2*slack
}

// added cuts a panel, one that breaks a rule if there is any, across its longer side as a rule.
func (m *improver) added(s sketch) ([]geometry.Segment, bool) {
	p := s.panels[m.random.IntN(len(s.panels))]
	for range 3 {
		if p.bad {
			break
		}
		p = s.panels[m.random.IntN(len(s.panels))]
	}
	across := p.box.Width() > p.box.Height()
	if m.random.Float64() < 0.2 {
		across = !across
	}
	way := m.ways[0]
	if across {
		way = m.ways[1]
	}
	if len(m.ways) > 2 && m.random.Float64() < 0.3 {
		way = m.ways[2+m.random.IntN(len(m.ways)-2)]
	}
	parts := 2 + m.random.IntN(3)
	one := 0 // all of the cuts that make equal parts, or one of them
	if m.random.Float64() < 0.5 {
		one = 1 + m.random.IntN(parts-1)
	}
	lines, changed := s.lines, false
	for k := 1; k < parts; k++ {
		if one > 0 && k != one {
			continue
		}
		if more, ok := m.with(lines, between(p.box, across, k, parts), way); ok {
			lines, changed = more, true
		}
	}
	return lines, changed
}

// shifted moves a joint sideways: into line with a corner or another joint, to the middle between its neighbours, or a
// little.
func (m *improver) shifted(s sketch) ([]geometry.Segment, bool) {
	k := len(m.fixed) + m.random.IntN(len(s.lines)-len(m.fixed))
	line := s.lines[k]
	along := line.Direction()
	mid := line.Midpoint()
	aside := 0.0
	switch r := m.random.Float64(); {
	case r < 0.4:
		q := m.marks[m.random.IntN(len(m.marks))]
		if m.random.Float64() < 0.5 {
			q = s.lines[m.random.IntN(len(s.lines))].Midpoint()
		}
		aside = q.Sub(mid).Dot(along.Left())
		if math.Abs(aside) > m.rules.spacing {
			return nil, false
		}
	case r < 0.75:
		low, high := m.neighbours(s.lines, k)
		aside = (low + high) / 2
	default:
		aside = (m.random.Float64() - 0.5) * m.rules.spacing / 2
	}
	return m.with(m.without(s.lines, k), mid.Add(along.Left().Scale(aside)), along)
}

// neighbours are how far to the right and left of a joint the next parallel joint or edge lies, signed.
func (m *improver) neighbours(lines []geometry.Segment, k int) (low, high float64) {
	along, mid := lines[k].Direction(), lines[k].Midpoint()
	low, high = -m.rules.spacing, m.rules.spacing
	look := func(o geometry.Segment) {
		if math.Abs(o.Direction().Cross(along)) > 0.05 {
			return
		}
		switch d := o.Midpoint().Sub(mid).Dot(along.Left()); {
		case d > slack:
			high = min(high, d)
		case d < -slack:
			low = max(low, d)
		}
	}
	for i, o := range lines {
		if i != k {
			look(o)
		}
	}
	for _, e := range m.ground.Edges() {
		look(e.Segment)
	}
	return low, high
}

// swapped serves a knot another way.
func (m *improver) swapped(s sketch) ([]geometry.Segment, bool) {
	if len(m.knots) == 0 {
		return m.shifted(s)
	}
	knot := m.knots[m.random.IntN(len(m.knots))]
	lines := slices.Clone(s.lines[:len(m.fixed)])
	for _, o := range s.lines[len(m.fixed):] {
		if o.Distance(knot) > near/2 {
			lines = append(lines, o)
		}
	}
	return m.with(lines, knot, m.ways[m.random.IntN(len(m.ways))])
}

// even moves joints to the middle between their neighbours, to whole fractions, as long as nothing gets worse: what is left
// over from chance.
func (m *improver) even(s sketch) sketch {
	for range 8 {
		moved := false
		for k := len(m.fixed); k < len(s.lines); k++ {
			low, high := m.neighbours(s.lines, k)
			along := s.lines[k].Direction()
			lines, ok := m.with(m.without(s.lines, k), s.lines[k].Midpoint().Add(along.Left().Scale((low+high)/2)), along)
			if !ok {
				continue
			}
			if next := m.sketch(lines); next.cost < s.cost-1e-9 {
				s, moved = next, true
			}
		}
		for k := len(m.fixed); k < len(s.lines); k++ {
			if next := m.sketch(m.without(s.lines, k)); next.cost < s.cost-1e-9 {
				s, moved = next, true
			}
		}
		if !moved {
			return s
		}
	}
	return s
}

// layouts are the best of each count, so many of them, evened out, cheapest first.
func (m *improver) layouts(most int) []sketch {
	var out []sketch
	for _, s := range m.best {
		out = append(out, s)
	}
	order := func(a, b sketch) int {
		return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(len(a.panels), len(b.panels)))
	}
	slices.SortFunc(out, order)
	out = out[:min(len(out), most)]
	for i := range out {
		out[i] = m.even(out[i])
	}
	slices.SortStableFunc(out, order)
	return out
}
