package terrain

import (
	"slabwright/internal/engines/geometry"
)

// half is a directed side of a triangle. Triangle t owns halves 3t, 3t+1, 3t+2, counter-clockwise.
type half struct {
	from int32 // vertex it starts at
	twin int32 // the same side seen from the neighbour
}

// mesh is a triangulation under construction. Beyond every hull edge lies a ghost triangle with the ghost vertex
// (number len(points)), so every half has a twin and no edge is special.
type mesh struct {
	points []geometry.Point
	halves []half
	fixed  []bool  // per half, nil until breaklines are entered: the edge must stay
	out    []int32 // per vertex a half that starts there, nil until breaklines are entered
	ghost  int32
	last   int32      // a half of a real triangle near the last insertion
	same   [][2]int32 // vertices left out because they coincide with another: {left out, kept}
	stack  []int32
}

func next(h int32) int32 {
	if h%3 == 2 {
		return h - 2
	}
	return h + 1
}

func prev(h int32) int32 {
	if h%3 == 0 {
		return h + 2
	}
	return h - 1
}

func (m *mesh) from(h int32) int32        { return m.halves[h].from }
func (m *mesh) to(h int32) int32          { return m.halves[next(h)].from }
func (m *mesh) apex(h int32) int32        { return m.halves[prev(h)].from }
func (m *mesh) twin(h int32) int32        { return m.halves[h].twin }
func (m *mesh) at(v int32) geometry.Point { return m.points[v] }
func (m *mesh) orient(a, b, c int32) int {
	return geometry.Orient(m.points[a], m.points[b], m.points[c])
}
func (m *mesh) hasGhost(h int32) bool {
	g := m.ghost
	return m.from(h) == g || m.to(h) == g || m.apex(h) == g
}
func (m *mesh) link(a, b int32)              { m.halves[a].twin, m.halves[b].twin = b, a }
func (m *mesh) setFixed(h int32, fixed bool) { m.fixed[h], m.fixed[m.twin(h)] = fixed, fixed }
func (m *mesh) addTriangle(a, b, c int32) int32 {
	h := int32(len(m.halves))
	m.halves = append(m.halves, half{a, -1}, half{b, -1}, half{c, -1})
	return h
}

// newMesh triangulates the points; of coincident ones the first to come in is kept (see same). ok is false when they do
// not span an area.
func newMesh(points []geometry.Point) (m *mesh, ok bool) {
	m = &mesh{points: points, ghost: int32(len(points))}
	m.halves = make([]half, 0, 6*len(points)+12)
	order := insertionOrder(points)
	third, ok := m.start(order)
	if !ok {
		return nil, false
	}
	for i, v := range order {
		if i > 1 && i != third {
			m.insert(v)
		}
	}
	return m, true
}

// start makes the first triangle and its three ghosts from order[0], order[1] and the first point off their line, and
// returns that point's place in the order.
func (m *mesh) start(order []int32) (third int, ok bool) {
	for second := 1; second < len(order); second++ {
		if m.points[order[second]] != m.points[order[0]] {
			order[1], order[second] = order[second], order[1]
			break
		}
	}
	for third = 2; third < len(order); third++ {
		a, b, c := order[0], order[1], order[third]
		side := m.orient(a, b, c)
		if side == 0 {
			continue
		}
		if side < 0 {
			a, b = b, a
		}
		t := m.addTriangle(a, b, c)
		var ghosts [3]int32
		for k := range int32(3) {
			ghosts[k] = m.addTriangle(m.to(t+k), m.from(t+k), m.ghost)
			m.link(t+k, ghosts[k])
		}
		for k := range 3 {
			m.link(ghosts[k]+1, ghosts[(k+2)%3]+2)
		}
		m.last = t
		return third, true
	}
	return 0, false
}

// insert adds vertex v: the triangle it falls into is split in three, then edges are flipped until the circle through
// every triangle around v is empty. A vertex on an edge starts with one flat triangle, which the first flip removes.
func (m *mesh) insert(v int32) {
	h := m.locate(m.at(v), m.last)
	t := h - h%3
	a, b, c := m.from(t), m.from(t+1), m.from(t+2)
	for _, known := range [3]int32{a, b, c} {
		if known != m.ghost && m.points[known] == m.points[v] {
			m.same = append(m.same, [2]int32{v, known})
			return
		}
	}
	ab, bc, ca := t, m.twin(t+1), m.twin(t+2)
	m.halves[t+2].from = v
	u := m.addTriangle(b, c, v)
	w := m.addTriangle(c, a, v)
	m.link(u, bc)
	m.link(w, ca)
	m.link(t+1, u+2)
	m.link(u+1, w+2)
	m.link(w+1, t+2)
	m.stack = append(m.stack[:0], w, u, ab)
	m.settle(v)
	m.last = m.realBeside(t, u, w)
}

// realBeside returns a half of a triangle that is not a ghost: one of the three, or across a ghost's hull edge.
func (m *mesh) realBeside(candidates ...int32) int32 {
	for _, h := range candidates {
		if !m.hasGhost(h) {
			return h
		}
	}
	h := candidates[0]
	for m.apex(h) != m.ghost {
		h = next(h)
	}
	return m.twin(h)
}

// settle flips the edges on the stack, each facing the new vertex v, until all are legal.
func (m *mesh) settle(v int32) {
	for len(m.stack) > 0 {
		h := m.stack[len(m.stack)-1]
		m.stack = m.stack[:len(m.stack)-1]
		if m.mustFlip(h, v) {
			o := m.twin(h)
			m.flip(h)
			m.stack = append(m.stack, next(o), h)
		}
	}
}

// mustFlip reports whether the vertex beyond h lies in the circle of the triangle h–v. The circle of a ghost triangle
// is the open half plane beyond its hull edge, so ghosts follow the same rule.
func (m *mesh) mustFlip(h, v int32) bool {
	a, b, d := m.from(h), m.to(h), m.apex(m.twin(h))
	switch m.ghost {
	case d:
		return m.orient(a, b, v) == 0
	case a:
		return m.orient(d, b, v) > 0
	case b:
		return m.orient(v, a, d) > 0
	}
	return geometry.InCircle(m.points[a], m.points[b], m.points[v], m.points[d]) > 0
}

// flip turns the diagonal of the two triangles beside h. Before: h runs r→l, with apex p on its side and q beyond.
// After: the triangle of h is (q, l, p) with h running q→l, the other is (p, r, q).
func (m *mesh) flip(h int32) {
	o := m.twin(h)
	hp, op := prev(h), prev(o)
	p, q := m.from(hp), m.from(op)
	m.halves[h].from, m.halves[o].from = q, p
	beyondH, beyondO := m.twin(op), m.twin(hp)
	m.link(h, beyondH)
	m.link(o, beyondO)
	m.link(hp, op)
	if m.fixed != nil {
		m.fixed[h], m.fixed[o] = m.fixed[beyondH], m.fixed[beyondO]
		m.fixed[hp], m.fixed[op] = false, false
		m.out[p], m.out[q], m.out[m.from(next(h))], m.out[m.from(next(o))] = hp, op, next(h), next(o)
	}
}

// locate walks from the triangle of h towards p and returns a half of the triangle that holds p, inside or on its border;
// when p is outside the hull, of the ghost triangle beyond the hull edge it is seen from.
func (m *mesh) locate(p geometry.Point, h int32) int32 {
	came := int32(-1)
	t := h - h%3
walk:
	for {
		for k := range int32(3) {
			e := t + k
			if e == came {
				continue
			}
			if geometry.Orient(m.points[m.from(e)], m.points[m.to(e)], p) < 0 {
				came = m.twin(e)
				t = came - came%3
				if m.hasGhost(t) {
					return t
				}
				continue walk
			}
		}
		return t
	}
}
