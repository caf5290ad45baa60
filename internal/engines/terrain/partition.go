package terrain

import (
	"cmp"
	"fmt"
	"slices"

	"slabwright/internal/engines/geometry"
)

// Partition is an outline parted by straight cuts: folds of a slab, or where one day's work ends.
type Partition struct {
	Points []geometry.Point   // corners of the outline, then where cuts end, meet and cross
	Ring   []int              // positions of the points that lie on the outline, in its order
	Side   []int              // for each place of Ring, the side of the outline that leads on from it
	Parts  []geometry.Polygon // in the order in which the outline meets them, those inside last
	Cuts   []CutPiece         // in the order of the cuts, each from its start to its end
	flat   *Surface
}

// CutPiece is a cut between two points that follow one another on it.
type CutPiece struct {
	Cut         int
	From, To    int // positions of points
	Left, Right int // positions of parts; −1 outside the outline
}

// SnapLength is how near a cut's end must be to a corner, to the outline or to another cut to count as on it, metres: finer than
// a stake is driven.
const SnapLength = 0.005

// Part parts an outline (its holes are not looked at) by cuts. A cut may end inside, cross others and leave the outline; what
// lies outside parts nothing. Error: an outline or cuts that no triangles can be laid between.
func Part(outline geometry.Polygon, cuts []geometry.Segment) (Partition, error) {
	p := Partition{Points: slices.Clone(outline.Outer)}
	sides := outerSides(outline)
	ends := make([][2]int, len(cuts))
	for i, c := range cuts {
		for k, q := range []geometry.Point{c.A, c.B} {
			ends[i][k] = p.enter(snapped(q, sides, cuts, i))
		}
	}
	for i, c := range cuts {
		for _, other := range append(slices.Clone(cuts[:i]), sides...) {
			if how, at := other.Meet(c); how == geometry.Crossing {
				p.enter(at)
			}
		}
	}
	p.walk(outline, sides)
	chains := [][]int{append(slices.Clone(p.Ring), p.Ring[0])}
	for i := range cuts {
		chain := p.along(ends[i][0], ends[i][1])
		for k := 1; k < len(chain); k++ {
			piece := CutPiece{Cut: i, From: chain[k-1], To: chain[k], Left: -1, Right: -1}
			p.Cuts = append(p.Cuts, piece)
			if outline.Contains(p.Points[piece.From].Lerp(p.Points[piece.To], 0.5)) {
				chains = append(chains, chain[k-1:k+1])
			}
		}
	}
	shots := make([]Shot, len(p.Points))
	for i, q := range p.Points {
		shots[i] = Shot{X: q.X, Y: q.Y}
	}
	flat, err := Triangulate(shots, chains)
	if err != nil {
		return Partition{}, fmt.Errorf("terrain: parting the outline: %w", err)
	}
	p.flat = flat
	p.flood()
	return p, nil
}

func outerSides(outline geometry.Polygon) []geometry.Segment {
	var out []geometry.Segment
	for i, a := range outline.Outer {
		out = append(out, geometry.Segment{A: a, B: outline.Outer[(i+1)%len(outline.Outer)]})
	}
	return out
}

// snapped is the end of cut own, moved onto a side or another cut where it is as good as on it.
func snapped(q geometry.Point, sides, cuts []geometry.Segment, own int) geometry.Point {
	lines := append([]geometry.Segment{}, sides...)
	for i, c := range cuts {
		if i != own {
			lines = append(lines, c)
		}
	}
	for _, l := range lines {
		if on, t := l.Nearest(q); t > 0 && t < 1 && on.Distance(q) < SnapLength && on.Distance(l.A) >= SnapLength && on.Distance(l.B) >= SnapLength {
			return on
		}
	}
	return q
}

// enter finds or adds a point.
func (p *Partition) enter(q geometry.Point) int {
	for i, known := range p.Points {
		if known.Distance(q) < SnapLength {
			return i
		}
	}
	p.Points = append(p.Points, q)
	return len(p.Points) - 1
}

// onLine is how far from a side a point may lie and still be on it: rounding of a projection.
const onLine = 1e-9

// walk goes round the outline and picks up the points on it.
func (p *Partition) walk(outline geometry.Polygon, sides []geometry.Segment) {
	corners := len(outline.Outer)
	for i, s := range sides {
		on := []int{i}
		for v := corners; v < len(p.Points); v++ {
			if s.Distance(p.Points[v]) < onLine {
				on = append(on, v)
			}
		}
		p.sortAlong(on[1:], s.A)
		for _, v := range on {
			p.Ring, p.Side = append(p.Ring, v), append(p.Side, i)
		}
	}
}

func (p *Partition) sortAlong(points []int, from geometry.Point) {
	slices.SortStableFunc(points, func(a, b int) int {
		return cmp.Compare(p.Points[a].Distance(from), p.Points[b].Distance(from))
	})
}

// along is the chain of points on the way from one to another.
func (p *Partition) along(from, to int) []int {
	s := geometry.Segment{A: p.Points[from], B: p.Points[to]}
	var between []int
	for v, q := range p.Points {
		if v != from && v != to && s.Distance(q) < SnapLength {
			between = append(between, v)
		}
	}
	p.sortAlong(between, s.A)
	return append(append([]int{from}, between...), to)
}

// flood gathers the triangles that no chain parts.
func (p *Partition) flood() {
	ring := make([]geometry.Point, len(p.Ring))
	for i, v := range p.Ring {
		ring[i] = p.Points[v]
	}
	inside := geometry.Polygon{Outer: ring}
	part := make([]int, p.flat.Len())
	sides := map[[2]int]int{} // triangle at each directed edge
	for t := range part {
		v := p.flat.Triangle(t)
		part[t] = -1
		middle := p.Points[v[0]].Add(p.Points[v[1]]).Add(p.Points[v[2]]).Scale(1.0 / 3)
		if inside.Locate(middle) == geometry.Inside {
			part[t] = -2
		}
		for k := range 3 {
			sides[[2]int{v[k], v[(k+1)%3]}] = t
		}
	}
	for i, a := range p.Ring {
		b := p.Ring[(i+1)%len(p.Ring)]
		for _, e := range [][2]int{{a, b}, {b, a}} {
			if t, ok := sides[e]; ok {
				p.spread(part, t)
			}
		}
	}
	for t := range part {
		p.spread(part, t)
	}
	at := func(a, b int) int {
		if t, ok := sides[[2]int{a, b}]; ok {
			return max(part[t], -1)
		}
		return -1
	}
	for i, c := range p.Cuts {
		p.Cuts[i].Left, p.Cuts[i].Right = at(c.From, c.To), at(c.To, c.From)
	}
}

// spread makes a new part of all that hangs together with an unclaimed triangle inside.
func (p *Partition) spread(part []int, from int) {
	if part[from] != -2 {
		return
	}
	number, todo := len(p.Parts), []int{from}
	part[from] = number
	border := map[int][]int{}
	for len(todo) > 0 {
		t := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		v := p.flat.Triangle(t)
		for k := range 3 {
			n := p.flat.Neighbour(t, k)
			if n < 0 || p.flat.OnBreakline(t, k) || part[n] == -1 {
				border[v[k]] = append(border[v[k]], v[(k+1)%3])
			} else if part[n] == -2 {
				part[n] = number
				todo = append(todo, n)
			}
		}
	}
	p.Parts = append(p.Parts, p.trace(border))
}

// trace links border edges into rings: the largest is the part's edge, the others its holes.
func (p *Partition) trace(border map[int][]int) geometry.Polygon {
	var rings [][]geometry.Point
	for v := range p.Points {
		for len(border[v]) > 0 {
			var ring []geometry.Point
			for at := v; len(border[at]) > 0; {
				ring = append(ring, p.Points[at])
				next := border[at][0]
				border[at] = border[at][1:]
				at = next
			}
			rings = append(rings, ring)
		}
	}
	slices.SortStableFunc(rings, func(a, b []geometry.Point) int {
		return cmp.Compare(geometry.SignedArea(b), geometry.SignedArea(a))
	})
	return geometry.Polygon{Outer: rings[0], Holes: rings[1:]}
}
