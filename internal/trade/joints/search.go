package joints

import (
	"cmp"
	"container/heap"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// open is a layout in the making: what it will cost at least, and how much is still to cut.
type open struct {
	plan
	cost, slivers, failing, seq int
}

type queue []open

func (q queue) Len() int      { return len(q) }
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(open)) }
func (q queue) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(q[i].cost, q[j].cost), cmp.Compare(q[i].failing, q[j].failing), cmp.Compare(q[i].seq, q[j].seq)) < 0
}
func (q *queue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}

// runaway is how far a dive may go over the bound it started from before it is given up: joints that cut one another's
// panels finer and finer lead nowhere.
const runaway = 2

// dive finishes a layout by the child with the lowest bound each time: a layout to beat. Given up past most, it leaves none.
func (s *search) dive(p plan, most int) {
	for s.cost(p) <= most {
		children := s.children(p)
		if len(children) == 0 {
			s.keep(p)
			return
		}
		p = slices.MinFunc(children, func(a, b plan) int {
			return cmp.Or(cmp.Compare(s.cost(a), s.cost(b)), cmp.Compare(s.failing(a), s.failing(b)))
		})
	}
}

// cost is the least that a layout can come to.
func (s *search) cost(p plan) int { return s.bound(p) + brokenWorth*s.slivers(p) }

// failing counts the panels still to cut.
func (s *search) failing(p plan) int {
	n := 0
	for _, b := range p.panels {
		if _, fails := s.needs(b); fails {
			n++
		}
	}
	return n
}

// push queues a layout unless it has been seen or cannot beat what is known.
func (s *search) push(p plan) {
	k := key(p.chords)
	slivers := s.slivers(p)
	cost := s.bound(p) + brokenWorth*slivers
	if s.seen[k] || s.hopeless(cost, slivers) {
		return
	}
	s.seen[k] = true
	heap.Push(&s.queue, open{p, cost, slivers, s.failing(p), len(s.seen)})
}

// run opens the layout with the lowest bound first; the first finished one has the fewest panels, those after it are
// alternatives.
func (s *search) run() {
	for s.queue.Len() > 0 && s.work < mostWork {
		p := heap.Pop(&s.queue).(open)
		if s.hopeless(p.cost, p.slivers) {
			continue
		}
		children := s.children(p.plan)
		if len(children) == 0 {
			s.keep(p.plan)
		}
		for _, child := range children {
			s.push(child)
		}
	}
	s.complete = s.complete && s.queue.Len() == 0
}

// spare is how many panels more than the fewest are still worth knowing, as an alternative to show.
const spare = 2

// hopeless says that a layout of this cost is neither better than what is known nor worth showing beside it. One that may
// still keep every rule is held only against those that do.
func (s *search) hopeless(cost, slivers int) bool {
	fewest := math.MaxInt
	for n, known := range s.best {
		if known.broken == 0 || slivers > 0 {
			fewest = min(fewest, n+brokenWorth*known.broken)
		}
	}
	return fewest < math.MaxInt && cost > fewest+spare
}

// slivers counts the panels too small already: no further cut mends them.
func (s *search) slivers(p plan) int {
	n := 0
	for _, b := range p.panels {
		if s.small(b) {
			n++
		}
	}
	return n
}

func (s *search) small(b geometry.Box) bool {
	return min(b.Width(), b.Height()) < s.rules.narrowest-slack || b.Width()*b.Height() < s.rules.leastArea
}

// keep scores a finished layout and remembers the best of its count.
func (s *search) keep(p plan) {
	s.grade(&p)
	if old, ok := s.best[len(p.panels)]; !ok || s.compare(p, old) < 0 {
		s.best[len(p.panels)] = p
	}
}

// cutting is one way of cutting on: the first joint and how many parts; panels in one row share it.
type cutting struct {
	first chord
	parts int
}

// children cut every panel that fails into equal parts across or along, each distinct way once.
func (s *search) children(p plan) []plan {
	var out []plan
	tried := map[cutting]bool{}
	for _, box := range p.panels {
		if _, fails := s.needs(box); !fails {
			continue
		}
		for _, upright := range []bool{true, false} {
			length, other := box.Width(), box.Height()
			if !upright {
				length, other = other, length
			}
			n0 := parts(length, s.rules.spacing)
			for n := max(2, n0); n <= max(n0+3, int(math.Ceil(length/other))+1) && n <= n0+40; n++ {
				first, ok := s.chordAt(between(box, upright, 1, n), upright)
				if way := (cutting{first, n}); ok && !tried[way] {
					tried[way] = true
					if child, ok := s.split(p, box, upright, n); ok {
						out = append(out, child)
					}
				}
			}
		}
	}
	return out
}

// between is the point k n-ths of the way across a box.
func between(box geometry.Box, upright bool, k, n int) geometry.Point {
	t, at := float64(k)/float64(n), box.Centre()
	if upright {
		at.X = box.Min.X + t*box.Width()
	} else {
		at.Y = box.Min.Y + t*box.Height()
	}
	return at
}

// split cuts box into n equal parts; every joint runs on to the next edges and cuts what it meets.
func (s *search) split(p plan, box geometry.Box, upright bool, n int) (plan, bool) {
	child := plan{chords: p.chords, panels: p.panels}
	for k := 1; k < n; k++ {
		c, ok := s.chordAt(between(box, upright, k, n), upright)
		if !ok || s.meetsPost(c) {
			return plan{}, false
		}
		child.chords, child.panels = with(child.chords, c), cutBoxes(child.panels, c)
		s.work += len(child.panels)
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

// grade counts the panels that break a size rule and scores the layout.
func (s *search) grade(p *plan) {
	areas, aspects := make([]float64, len(p.panels)), make([]float64, len(p.panels))
	var lines []geometry.Segment
	slivers := 0
	p.broken = 0
	for i, b := range p.panels {
		areas[i], aspects[i] = b.Width()*b.Height(), max(b.Width(), b.Height())/min(b.Width(), b.Height())
		if s.small(b) {
			slivers++
		}
		if _, fails := s.needs(b); fails || s.small(b) {
			p.broken++
		}
	}
	for _, c := range p.chords {
		lines = append(lines, c.segment())
	}
	p.score = score(areas, aspects, p.sawn(), loadsOn(lines, s.rules.loads), slivers, s.rules, s.least)
}
