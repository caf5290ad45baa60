package joints

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// chord is a straight joint line in frame axes from edge to edge of the ground.
type chord struct {
	upright  bool    // along y at x = at; otherwise along x at y = at
	at       float64 //
	from, to float64 // along the line
}

func (c chord) segment() geometry.Segment {
	if c.upright {
		return geometry.Segment{A: geometry.Point{X: c.at, Y: c.from}, B: geometry.Point{X: c.at, Y: c.to}}
	}
	return geometry.Segment{A: geometry.Point{X: c.from, Y: c.at}, B: geometry.Point{X: c.to, Y: c.at}}
}

// through says whether the chord passes or ends at p.
func (c chord) through(p geometry.Point) bool { return c.segment().Distance(p) < 2*slack }

// limits are the rules of the search as numbers, metres.
type limits struct {
	spacing, aspect, bestAspect float64
	narrowest                   float64 // least panel width; zero for walks
	leastArea                   float64
	loads                       []geometry.Point
	squarest                    bool
}

// plan is one layout.
type plan struct {
	chords []chord
	panels []geometry.Box
	broken int     // panels that break a hard rule of size
	score  float64 // section by section: count, joint length, aspect, spread, slivers, loads
}

func (p plan) sawn() float64 {
	sum := 0.0
	for _, c := range p.chords {
		sum += c.to - c.from
	}
	return sum
}

// search is branch and bound over the joints of a rectilinear slab: first every re-entrant corner and post gets its
// joints, then the panel that needs cutting most is cut into equal parts one way or the other, each joint running on to
// the next edge. A lower bound on the panels of every face prunes it. Effort is counted in nodes.
type search struct {
	f     frame
	rules limits
	least int // ⌈area / S²⌉
	best  map[int]plan
	nodes int
	seen  map[string]bool
}

// mostNodes bounds the search: enough for outlines of a dozen corners, a fraction of a second.
const mostNodes = 6000

// mostStarts bounds the ways of serving corners that are tried; the first ones run joints on from the longest sides.
const mostStarts = 300

// layouts returns the best layout of each panel count found, fewest first, the chosen one at the front.
func layouts(f frame, rules limits, forced []chord) []plan {
	s := search{f: f, rules: rules, best: map[int]plan{}, seen: map[string]bool{}}
	s.least = max(1, int(math.Ceil(f.square.Area()/(rules.spacing*rules.spacing)-1e-6)))
	starts := s.starts(forced)
	slices.SortStableFunc(starts, func(a, b plan) int { return cmp.Compare(s.bound(a), s.bound(b)) })
	for i, start := range starts {
		s.descend(start, min(mostNodes, (i+1)*mostNodes/min(len(starts), 20)))
	}
	var out []plan
	for _, p := range s.best {
		out = append(out, p)
	}
	slices.SortFunc(out, s.compare)
	return out
}

// compare puts layouts that keep the rules first, then fewer panels (or the better score), then the other.
func (s *search) compare(a, b plan) int {
	count, score := cmp.Compare(len(a.panels), len(b.panels)), cmp.Compare(a.score, b.score)
	if s.rules.squarest {
		count, score = score, count
	}
	return cmp.Or(cmp.Compare(a.broken, b.broken), count, score)
}

// chordAt is the joint through p along x or y, from edge to edge; ok is false where there is no ground.
func (s *search) chordAt(p geometry.Point, upright bool) (chord, bool) {
	along := geometry.Point{X: 1}
	if upright {
		along = geometry.Point{Y: 1}
	}
	for _, piece := range s.f.square.ClipLine(geometry.Line{Through: p, Along: along}) {
		if piece.Distance(p) < slack {
			if upright {
				return chord{true, p.X, piece.A.Y, piece.B.Y}, true
			}
			return chord{false, p.Y, piece.A.X, piece.B.X}, true
		}
	}
	return chord{}, false
}

// starts lists the ways of serving every re-entrant corner and every post.
func (s *search) starts(forced []chord) []plan {
	var out []plan
	var serve func(chords []chord)
	corners := s.f.square.ReentrantCorners()
	tried := map[string]bool{}
	serve = func(chords []chord) {
		k := key(chords)
		if tried[k] || len(tried) >= 20*mostStarts || len(out) >= mostStarts {
			return
		}
		tried[k] = true
		at, both, ok := s.unserved(corners, chords)
		if !ok {
			out = append(out, plan{chords: chords, panels: s.rectangles(chords)})
			return
		}
		across, okX := s.chordAt(at, false)
		up, okY := s.chordAt(at, true)
		if !okX && !okY {
			return
		}
		if okX && !both {
			serve(with(chords, across))
		}
		if okY && !both {
			serve(with(chords, up))
		}
		if okX && okY {
			serve(with(chords, across, up))
		}
	}
	serve(forced)
	return out
}

// unserved finds a corner or post that no joint meets yet; both says that it needs joints both ways.
func (s *search) unserved(corners []geometry.Corner, chords []chord) (at geometry.Point, both, ok bool) {
	for _, corner := range corners {
		if !slices.ContainsFunc(chords, func(c chord) bool { return c.through(corner.At) }) {
			return corner.At, false, true
		}
	}
	for _, q := range s.f.posts {
		up := slices.ContainsFunc(chords, func(c chord) bool { return c.upright && c.through(q.at) })
		across := slices.ContainsFunc(chords, func(c chord) bool { return !c.upright && c.through(q.at) })
		if !up && !across || !q.round && !(up && across) {
			return q.at, !q.round, true
		}
	}
	return geometry.Point{}, false, false
}

// with adds joints that are not there yet, in a fixed order.
func with(chords []chord, more ...chord) []chord {
	out := slices.Clone(chords)
	for _, c := range more {
		if !slices.ContainsFunc(out, func(o chord) bool {
			return o.upright == c.upright && math.Abs(o.at-c.at) < 2*slack && math.Abs(o.from-c.from) < 2*slack
		}) {
			out = append(out, c)
		}
	}
	slices.SortFunc(out, func(a, b chord) int {
		return cmp.Or(boolCompare(a.upright, b.upright), cmp.Compare(a.at, b.at), cmp.Compare(a.from, b.from))
	})
	return out
}

func boolCompare(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

func key(chords []chord) string {
	text := ""
	for _, c := range chords {
		text += fmt.Sprintf("%v %.0f %.0f;", c.upright, c.at/slack, c.from/slack)
	}
	return text
}

// rectangles are the faces of the squared ground cut by joints that serve every re-entrant corner.
func (s *search) rectangles(chords []chord) []geometry.Box {
	var lines []geometry.Segment
	for _, c := range chords {
		lines = append(lines, c.segment())
	}
	var out []geometry.Box
	for _, face := range faces(s.f.square, lines) {
		out = append(out, face.Bounds())
	}
	return out
}

// cutting says how a panel fails: needs is the panels it must become at least.
func (s *search) needs(b geometry.Box) (n int, fails bool) {
	nx, ny, ok := rectangleBound(b.Width(), b.Height(), s.rules.spacing, s.rules.aspect)
	if !ok {
		return 1, true
	}
	return nx * ny, nx*ny > 1
}

func (s *search) bound(p plan) int {
	sum := 0
	for _, b := range p.panels {
		n, _ := s.needs(b)
		sum += n
	}
	return sum
}

// descend cuts the panel that needs it most in every sensible way.
func (s *search) descend(p plan, effort int) {
	if s.nodes >= effort || s.seen[key(p.chords)] {
		return
	}
	s.seen[key(p.chords)] = true
	s.nodes++
	if s.hopeless(p) {
		return
	}
	worst, need := -1, 1
	for i, b := range p.panels {
		if n, fails := s.needs(b); fails && (worst < 0 || n > need) {
			worst, need = i, n
		}
	}
	if worst < 0 {
		s.keep(p)
		return
	}
	children := s.children(p, p.panels[worst])
	if len(children) == 0 {
		s.keep(p)
		return
	}
	for _, child := range children {
		s.descend(child, effort)
	}
}

// spare is how many panels more than the fewest are still worth knowing, as an alternative to show.
const spare = 2

// hopeless says that nothing below p can be better than what is known or worth showing beside it.
func (s *search) hopeless(p plan) bool {
	fewest := math.MaxInt
	for n, known := range s.best {
		if known.broken == 0 {
			fewest = min(fewest, n)
		}
	}
	return fewest < math.MaxInt && s.bound(p) > fewest+max(spare, fewest/6)
}

// keep scores a finished layout and remembers the best of its count.
func (s *search) keep(p plan) {
	s.grade(&p)
	if old, ok := s.best[len(p.panels)]; !ok || s.compare(p, old) < 0 {
		s.best[len(p.panels)] = p
	}
}

// children cut box into equal parts across and along, the ways with the fewest panels to come first.
func (s *search) children(p plan, box geometry.Box) []plan {
	var out []plan
	for _, upright := range []bool{true, false} {
		length, other := box.Width(), box.Height()
		if !upright {
			length, other = other, length
		}
		n0 := parts(length, s.rules.spacing)
		for n := max(2, n0); n <= max(n0+3, int(math.Ceil(length/other))+1) && n <= n0+40; n++ {
			if child, ok := s.split(p, box, upright, n); ok {
				out = append(out, child)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b plan) int { return cmp.Compare(s.bound(a), s.bound(b)) })
	return out
}

// split cuts box into n equal parts; every joint runs on to the next edges and cuts what it meets.
func (s *search) split(p plan, box geometry.Box, upright bool, n int) (plan, bool) {
	child := plan{chords: p.chords, panels: p.panels}
	for k := 1; k < n; k++ {
		t := float64(k) / float64(n)
		at := geometry.Point{X: box.Min.X + t*box.Width(), Y: box.Min.Y + t*box.Height()}
		if upright {
			at.Y = box.Centre().Y
		} else {
			at.X = box.Centre().X
		}
		c, ok := s.chordAt(at, upright)
		if !ok || s.meetsPost(c) {
			return plan{}, false
		}
		child.chords, child.panels = with(child.chords, c), cutBoxes(child.panels, c)
	}
	for _, b := range child.panels {
		if min(b.Width(), b.Height()) < s.rules.narrowest-slack && !slices.Contains(p.panels, b) {
			return plan{}, false
		}
	}
	return child, true
}

// meetsPost says that a joint runs into a box-out off its middle.
func (s *search) meetsPost(c chord) bool {
	for _, q := range s.f.posts {
		along, across := q.at.X, q.at.Y
		if c.upright {
			along, across = across, along
		}
		if d := math.Abs(across - c.at); d > 2*slack && d < q.reach+slack && along > c.from && along < c.to {
			return true
		}
	}
	return false
}

func cutBoxes(panels []geometry.Box, c chord) []geometry.Box {
	var out []geometry.Box
	for _, b := range panels {
		first, second := b, b
		if c.upright {
			first.Max.X, second.Min.X = c.at, c.at
		} else {
			first.Max.Y, second.Min.Y = c.at, c.at
		}
		mid := b.Centre()
		along := mid.X
		if c.upright {
			along = mid.Y
		}
		inside := min(first.Width(), first.Height(), second.Width(), second.Height()) > slack
		if !inside || along < c.from || along > c.to {
			out = append(out, b)
			continue
		}
		out = append(out, first, second)
	}
	return out
}

// The weights of the score: panels above the least, joint length, panels longer than the best aspect, uneven areas,
// slivers, joints at loads. Our rule; a panel of aspect 1.5 costs an eighth of what an extra panel in eight costs.
const (
	weightCount  = 1.0
	weightLength = 0.2
	weightAspect = 2.0
	weightSpread = 0.5
	weightSliver = 5.0
	weightLoads  = 1.0
)

// grade counts the panels that break a size rule and scores the layout.
//
//	J = w1 (n/n_min − 1) + w2 L/√(A n) + w3 Σ max(0, aspect − best)² + w4 Var(A_i)/mean² + w5 slivers + w6 loads at joints
func (s *search) grade(p *plan) {
	n, area, square, aspect := float64(len(p.panels)), 0.0, 0.0, 0.0
	slivers := 0
	p.broken = 0
	for _, b := range p.panels {
		a := b.Width() * b.Height()
		long := max(b.Width(), b.Height()) / min(b.Width(), b.Height())
		area, square = area+a, square+a*a
		aspect += math.Pow(max(0, long-s.rules.bestAspect), 2)
		small := min(b.Width(), b.Height()) < s.rules.narrowest-slack || a < s.rules.leastArea
		if small {
			slivers++
		}
		if _, fails := s.needs(b); fails || small {
			p.broken++
		}
	}
	mean := area / n
	p.score = weightCount*(n/float64(s.least)-1) + weightLength*p.sawn()/math.Sqrt(area*n) + weightAspect*aspect +
		weightSpread*(square/n-mean*mean)/(mean*mean) + weightSliver*float64(slivers) + weightLoads*float64(s.loaded(*p))
}

// loadRoom is how far joints are kept from wheels and jacks: 1 ft. Source: common practice.
const loadRoom = 0.3

func (s *search) loaded(p plan) int {
	n := 0
	for _, load := range s.rules.loads {
		if slices.ContainsFunc(p.chords, func(c chord) bool { return c.segment().Distance(load) < loadRoom }) {
			n++
		}
	}
	return n
}
