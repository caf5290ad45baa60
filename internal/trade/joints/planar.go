package joints

import (
	"cmp"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// near is how close two places are the same place on a slab: half a millimetre.
const near = 0.0005

// faces cuts a polygon along chords and returns the pieces: outlines counter-clockwise, straight points dropped. Chords may
// cross, end on edges, corners and holes. A hole no chord touches stays a hole of its piece.
func faces(p geometry.Polygon, chords []geometry.Segment) []geometry.Polygon {
	net := newNet(p, chords)
	var pieces []geometry.Polygon
	var loose [][]geometry.Point // borders of holes no chord touches
	for _, ring := range net.trace() {
		inside := p.Locate(beside(ring)) == geometry.Inside
		switch area := geometry.SignedArea(ring); {
		case area > near*near && inside:
			pieces = append(pieces, geometry.Polygon{Outer: straightened(ring, near)})
		case area < -near*near && inside:
			loose = append(loose, ring)
		}
	}
	for _, hole := range loose {
		for i := range pieces {
			if (geometry.Polygon{Outer: pieces[i].Outer}).Locate(hole[0]) == geometry.Inside {
				pieces[i].Holes = append(pieces[i].Holes, hole)
				break
			}
		}
	}
	return pieces
}

// beside is a point just left of a ring's longest edge.
func beside(ring []geometry.Point) geometry.Point {
	var best geometry.Segment
	for i, a := range ring {
		if s := (geometry.Segment{A: a, B: ring[(i+1)%len(ring)]}); s.Length() > best.Length() {
			best = s
		}
	}
	return best.Midpoint().Add(best.Direction().Left().Scale(4 * near))
}

// straightened drops corners that stand less than off from the line between their neighbours.
func straightened(ring []geometry.Point, off float64) []geometry.Point {
	out := slices.Clone(ring)
	for i := 0; i < len(out) && len(out) > 3; {
		a, b := out[(i+len(out)-1)%len(out)], out[(i+1)%len(out)]
		if (geometry.Segment{A: a, B: b}).Distance(out[i]) < off {
			out = slices.Delete(out, i, i+1)
			i = max(0, i-1)
			continue
		}
		i++
	}
	return out
}

// net is the planar graph of edges and chords.
type net struct {
	nodes []geometry.Point
	next  [][]int // neighbours of each node, by heading
}

func newNet(p geometry.Polygon, chords []geometry.Segment) *net {
	var all []geometry.Segment
	for _, e := range p.Edges() {
		all = append(all, e.Segment)
	}
	all = append(all, chords...)
	n := &net{}
	for i, s := range all {
		on := []int{n.node(s.A), n.node(s.B)}
		for j, o := range all {
			if i == j || !s.Bounds().Expand(near).Overlaps(o.Bounds()) {
				continue
			}
			for _, q := range []geometry.Point{o.A, o.B} {
				if s.Distance(q) < near {
					on = append(on, n.node(q))
				}
			}
			if how, at := s.Meet(o); how == geometry.Crossing {
				on = append(on, n.node(at))
			}
		}
		n.join(s, on)
	}
	for i := range n.next {
		here := n.nodes[i]
		slices.SortFunc(n.next[i], func(a, b int) int {
			return cmp.Compare(n.nodes[a].Sub(here).Heading(), n.nodes[b].Sub(here).Heading())
		})
	}
	return n
}

// node is the number of the place q, a new one if no place is near.
func (n *net) node(q geometry.Point) int {
	for i, other := range n.nodes {
		if math.Abs(other.X-q.X) < 2*near && other.Distance(q) < 2*near {
			return i
		}
	}
	n.nodes, n.next = append(n.nodes, q), append(n.next, nil)
	return len(n.nodes) - 1
}

// join links the places on a segment in order along it.
func (n *net) join(s geometry.Segment, on []int) {
	slices.SortFunc(on, func(a, b int) int {
		x, _ := s.Offset(n.nodes[a])
		y, _ := s.Offset(n.nodes[b])
		return cmp.Compare(x, y)
	})
	on = slices.Compact(on)
	for k := 1; k < len(on); k++ {
		a, b := on[k-1], on[k]
		if a != b && !slices.Contains(n.next[a], b) {
			n.next[a], n.next[b] = append(n.next[a], b), append(n.next[b], a)
		}
	}
}

// trace walks every face with its inside on the left.
func (n *net) trace() [][]geometry.Point {
	type step struct{ from, to int }
	done := map[step]bool{}
	var rings [][]geometry.Point
	for a := range n.nodes {
		for _, b := range n.next[a] {
			var ring []geometry.Point
			for s := (step{a, b}); !done[s]; {
				done[s] = true
				ring = append(ring, n.nodes[s.from])
				back := slices.Index(n.next[s.to], s.from)
				turn := (back + len(n.next[s.to]) - 1) % len(n.next[s.to])
				s = step{s.to, n.next[s.to][turn]}
			}
			if len(ring) > 2 {
				rings = append(rings, ring)
			}
		}
	}
	return rings
}
