package joints

import (
	"cmp"
	"math"
	"slices"
	"strconv"

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

// chordOf is the joint line along a segment that runs with an axis.
func chordOf(s geometry.Segment) chord {
	if upright(s) {
		return chord{true, s.A.X, min(s.A.Y, s.B.Y), max(s.A.Y, s.B.Y)}
	}
	return chord{false, s.A.Y, min(s.A.X, s.B.X), max(s.A.X, s.B.X)}
}

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

// search is best-first branch and bound over the joints of a rectilinear slab: first every re-entrant corner and post gets
// its joints, then a panel that needs cutting is cut into equal parts one way or the other, each joint running on to the
// next edge. The layout with the lowest bound on its panels is opened first. Effort is counted in panels cut.
type search struct {
	f     frame
	rules limits
	least int // ⌈area / S²⌉
	best  map[int]plan
	work  int // panels cut so far, the measure of effort
	// complete: everything within reach of the best was opened; a layout with fewer panels of this kind does not exist.
	complete bool
	seen     map[string]bool
	queue    queue
}

// mostWork bounds the search: enough for outlines of eight or ten corners, a tenth of a second.
const mostWork = 400_000

// mostStarts bounds the ways of serving corners that are tried.
const mostStarts = 800

// brokenWorth is how many panels more a layout may have to break one rule less. Our rule: past that many extra cuts a
// panel that breaks a rule is the smaller evil.
const brokenWorth = 4

// layouts returns the best layout of each panel count found, the chosen one at the front, and whether the search ran to
// its end.
func layouts(f frame, rules limits, forced []chord) (out []plan, complete bool) {
	s := search{f: f, rules: rules, best: map[int]plan{}, seen: map[string]bool{}, complete: true}
	s.least = max(1, int(math.Ceil(f.square.Area()/(rules.spacing*rules.spacing)-1e-6)))
	starts := s.starts(forced)
	slices.SortStableFunc(starts, func(a, b plan) int { return cmp.Compare(s.cost(a), s.cost(b)) })
	fewest := math.MaxInt
	for _, start := range starts {
		fewest = min(fewest, s.bound(start))
	}
	if len(starts) > 0 {
		s.least = max(s.least, fewest)
	}
	for i, start := range starts {
		if i == 0 || s.work < mostWork/3 { // the rest is for the search proper
			s.dive(start, runaway*s.cost(start)+spare)
		}
	}
	for _, start := range starts {
		s.push(start)
	}
	s.run()
	if len(s.best) == 0 { // no end within the effort: the least bad there is, its breaches named
		for _, start := range starts[:min(3, len(starts))] {
			s.dive(start, math.MaxInt)
		}
	}
	for _, p := range s.best {
		out = append(out, p)
	}
	slices.SortFunc(out, s.compare)
	return out, s.complete
}

// compare puts layouts that keep the rules first, then fewer panels (or the better score), then the other; among layouts
// that all break some, each breach weighs brokenWorth panels.
func (s *search) compare(a, b plan) int {
	count := cmp.Compare(len(a.panels)+brokenWorth*a.broken, len(b.panels)+brokenWorth*b.broken)
	score := cmp.Compare(a.score, b.score)
	if s.rules.squarest {
		count, score = score, count
	}
	return cmp.Or(cmp.Compare(min(a.broken, 1), min(b.broken, 1)), count, score)
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

// starts lists the ways of serving every re-entrant corner and every round post by one joint or two, a diamond by two.
func (s *search) starts(forced []chord) []plan {
	var out []plan
	tried := map[string]bool{}
	places := s.places()
	var serve func(i int, chords []chord)
	serve = func(i int, chords []chord) {
		k := strconv.Itoa(i) + key(chords)
		if tried[k] {
			return
		}
		if len(out) >= mostStarts || len(tried) >= 20*mostStarts {
			s.complete = false
			return
		}
		tried[k] = true
		if i == len(places) {
			out = append(out, plan{chords: chords, panels: s.rectangles(chords)})
			return
		}
		across, okX := s.chordAt(places[i].at, false)
		up, okY := s.chordAt(places[i].at, true)
		if okX && !places[i].both {
			serve(i+1, with(chords, across))
		}
		if okY && !places[i].both {
			serve(i+1, with(chords, up))
		}
		if okX && okY {
			serve(i+1, with(chords, across, up))
		}
	}
	serve(0, forced)
	return out
}

// place is a corner or post that joints must meet; both says that it needs joints both ways.
type place struct {
	at   geometry.Point
	both bool
}

func (s *search) places() []place {
	var out []place
	for _, corner := range s.f.square.ReentrantCorners() {
		out = append(out, place{corner.At, false})
	}
	for _, q := range s.f.posts {
		out = append(out, place{q.at, !q.round})
	}
	return out
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
	text := make([]byte, 0, 16*len(chords))
	for _, c := range chords {
		text = strconv.AppendBool(text, c.upright)
		text = strconv.AppendInt(text, int64(math.Round(c.at/slack)), 36)
		text = strconv.AppendInt(append(text, ' '), int64(math.Round(c.from/slack)), 36)
	}
	return string(text)
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

// needs is how many panels a box must become at least; fails says that it cannot stay as it is.
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
