package terrain

import (
	"errors"

	"slabwright/internal/engines/geometry"
)

// crossing is the error of two breaklines that cross between their ends: vertices of both edges.
type crossing struct{ a, b, c, d int32 }

func (crossing) Error() string { return "breaklines cross" }

// errUnsettled cannot happen for a valid triangulation; it stands where an endless loop would.
var errUnsettled = errors.New("terrain: a breakline could not be made an edge by flipping")

// prepare opens the mesh for breaklines: a flag per half and a half per vertex.
func (m *mesh) prepare() {
	m.fixed = make([]bool, len(m.halves))
	m.out = make([]int32, len(m.points)+1)
	for h := range m.halves {
		m.out[m.halves[h].from] = int32(h)
	}
}

// require makes the straight line from vertex s to vertex t a chain of fixed edges: one edge, or several where other
// vertices lie on it.
func (m *mesh) require(s, t int32) error {
	for s != t {
		mid, err := m.requirePart(s, t)
		if err != nil {
			return err
		}
		s = mid
	}
	return nil
}

// requirePart fixes the first edge of the line from s to t and returns the vertex where it ends.
func (m *mesh) requirePart(s, t int32) (int32, error) {
	cross, end := m.leave(s, t)
	if cross < 0 {
		return end, nil
	}
	var crossed [][2]int32
	for end < 0 {
		if m.fixed[cross] {
			return 0, crossing{s, t, m.from(cross), m.to(cross)}
		}
		crossed = append(crossed, [2]int32{m.from(cross), m.to(cross)})
		o := m.twin(cross)
		q := m.apex(o)
		switch side := m.orient(s, t, q); {
		case q == t || side == 0:
			end = q
		case side > 0:
			cross = next(o)
		default:
			cross = prev(o)
		}
	}
	made, err := m.clear(s, end, crossed)
	if err != nil {
		return 0, err
	}
	m.setFixed(m.find(s, end), true)
	m.restore(made)
	return end, nil
}

// leave looks round s in the direction of t. Either a vertex lies that way along an edge: the edge is fixed and its end
// returned; or the line leaves through the far side of a triangle, returned as a half running from right to left of it.
func (m *mesh) leave(s, t int32) (cross, end int32) {
	first := m.out[s]
	for h := first; ; {
		b, c := m.to(h), m.apex(h)
		if b != m.ghost {
			side := m.orient(s, t, b)
			if side == 0 && m.at(b).Sub(m.at(s)).Dot(m.at(t).Sub(m.at(s))) > 0 {
				m.setFixed(h, true)
				return -1, b
			}
			if side < 0 && c != m.ghost && m.orient(s, t, c) > 0 {
				return next(h), -1
			}
		}
		if h = m.twin(prev(h)); h == first {
			return -1, t // not reached: some triangle round s faces t
		}
	}
}

// find returns the half from a to b.
func (m *mesh) find(a, b int32) int32 {
	first := m.out[a]
	for h := first; ; {
		if m.to(h) == b {
			return h
		}
		if h = m.twin(prev(h)); h == first {
			return -1
		}
	}
}

// clear flips the crossed edges until none crosses the line s–t, and returns the edges it made beside the line.
// An edge whose two triangles do not form a strictly convex quadrilateral waits its turn.
// Source: Sloan, "A fast algorithm for generating constrained Delaunay triangulations" (1993), recalled.
func (m *mesh) clear(s, t int32, crossed [][2]int32) (made [][2]int32, err error) {
	rounds := 16 + len(crossed)*(len(crossed)+1)
	for ; len(crossed) > 0; rounds-- {
		if rounds == 0 {
			return nil, errUnsettled
		}
		edge := crossed[0]
		crossed = crossed[1:]
		h := m.find(edge[0], edge[1])
		p, q := m.apex(h), m.apex(m.twin(h))
		if m.orient(p, q, edge[0])*m.orient(p, q, edge[1]) >= 0 {
			crossed = append(crossed, edge)
			continue
		}
		m.flip(h)
		still := p != s && p != t && q != s && q != t && m.orient(s, t, p)*m.orient(s, t, q) < 0
		if still {
			crossed = append(crossed, [2]int32{p, q})
		} else {
			made = append(made, [2]int32{p, q})
		}
	}
	return made, nil
}

// restore flips the given edges and, where that changes a neighbour, the edges round them until each is locally Delaunay
// or fixed.
func (m *mesh) restore(edges [][2]int32) {
	for len(edges) > 0 {
		edge := edges[len(edges)-1]
		edges = edges[:len(edges)-1]
		h := m.find(edge[0], edge[1])
		if h < 0 || !m.illegal(h) {
			continue
		}
		p, q := m.apex(h), m.apex(m.twin(h))
		m.flip(h)
		for _, end := range edge {
			edges = append(edges, [2]int32{p, end}, [2]int32{q, end})
		}
	}
}

// illegal reports whether the edge h may be flipped and should be: the far vertex lies in the circle, or on it while
// the lowest-numbered of the four vertices is not on the edge. The second half makes the triangulation of vertices on
// one circle the same whatever order they came in.
func (m *mesh) illegal(h int32) bool {
	if m.fixed[h] || m.hasGhost(h) || m.hasGhost(m.twin(h)) {
		return false
	}
	a, b, c, d := m.from(h), m.to(h), m.apex(h), m.apex(m.twin(h))
	switch geometry.InCircle(m.points[a], m.points[b], m.points[c], m.points[d]) {
	case 1:
		return true
	case 0:
		return min(c, d) < min(a, b)
	}
	return false
}

// breakTies applies the fixed rule to every tie in the mesh and returns the edges left whose four vertices lie on one
// circle.
func (m *mesh) breakTies() []int32 {
	var ties []int32
	var loose [][2]int32
	for h := range m.halves {
		h := int32(h)
		if h > m.twin(h) || !m.isTie(h) {
			continue
		}
		ties = append(ties, h)
		if m.illegal(h) {
			loose = append(loose, [2]int32{m.from(h), m.to(h)})
		}
	}
	if len(loose) == 0 {
		return ties
	}
	m.restore(loose)
	ties = ties[:0]
	for h := range m.halves {
		if h := int32(h); h < m.twin(h) && m.isTie(h) {
			ties = append(ties, h)
		}
	}
	return ties
}

func (m *mesh) isTie(h int32) bool {
	if m.fixed[h] || m.hasGhost(h) || m.hasGhost(m.twin(h)) {
		return false
	}
	a, b, c, d := m.from(h), m.to(h), m.apex(h), m.apex(m.twin(h))
	return geometry.InCircle(m.points[a], m.points[b], m.points[c], m.points[d]) == 0
}
