package plate

import (
	"fmt"
	"math"
	"slices"
)

// join lays the points of integration along the joints and finds the elements on both sides.
func (m *model) join() error {
	for k, j := range m.slab.Joints {
		if j.Shear == 0 {
			continue
		}
		line := edge{j.From, j.To}
		if m.window != nil {
			t0, t1, ok := line.clip(*m.window)
			if !ok {
				continue
			}
			line = edge{line.point(t0), line.point(t1)}
		}
		breaks := m.jointBreaks(line)
		joined := 0.0
		for i := 1; i < len(breaks); i++ {
			ok, err := m.joinPiece(k, line, breaks[i-1], breaks[i])
			if err != nil {
				return err
			}
			if ok {
				joined += breaks[i] - breaks[i-1]
			}
		}
		if joined < 1-1e-6 {
			return fmt.Errorf("plate: joint %d from %v to %v has panels on both sides over %.0f %% of its length only: end it where the panels end",
				k+1, j.From, j.To, 100*joined)
		}
	}
	return nil
}

// jointBreaks are the shares of a joint's length at which it passes a mesh line or a corner of a panel.
func (m *model) jointBreaks(line edge) []float64 {
	breaks := []float64{0, 1}
	add := func(t float64) {
		if t > 0 && t < 1 {
			breaks = append(breaks, t)
		}
	}
	dx, dy := line.b.X-line.a.X, line.b.Y-line.a.Y
	for _, x := range m.xs {
		if dx != 0 {
			add((x - line.a.X) / dx)
		}
	}
	for _, y := range m.ys {
		if dy != 0 {
			add((y - line.a.Y) / dy)
		}
	}
	for _, r := range m.regions {
		for _, e := range r.edges {
			if line.distance(e.a) < 1e-6*line.length() {
				add(((e.a.X-line.a.X)*dx + (e.a.Y-line.a.Y)*dy) / (dx*dx + dy*dy))
			}
		}
	}
	slices.Sort(breaks)
	return slices.CompactFunc(breaks, func(a, b float64) bool { return math.Abs(b-a) < 1e-9 })
}

// joinPiece adds the points of one piece if it lies between two panels.
func (m *model) joinPiece(joint int, line edge, t0, t1 float64) (bool, error) {
	shear, length := m.slab.Joints[joint].Shear, line.length()
	// To either side by a ten-thousandth of the joint, a tolerance for outlines that were rounded to it.
	off := 1e-4 * length
	nx, ny := -(line.b.Y-line.a.Y)/length*off, (line.b.X-line.a.X)/length*off
	middle := line.point((t0 + t1) / 2)
	left, right := m.panelAt(Point{middle.X + nx, middle.Y + ny}), m.panelAt(Point{middle.X - nx, middle.Y - ny})
	if left < 0 || right < 0 || left == right {
		return false, nil
	}
	a, b := m.elementNear(left, Point{middle.X + nx, middle.Y + ny}, middle), m.elementNear(right, Point{middle.X - nx, middle.Y - ny}, middle)
	if a < 0 || b < 0 {
		return false, fmt.Errorf("plate: no element beside the joint at %v", middle)
	}
	for g, t := range gauss7 {
		m.links = append(m.links, link{joint: joint, left: a, right: b, at: line.point(t0 + (t1-t0)*t), shear: shear * weight7[g] * (t1 - t0) * length})
	}
	return true, nil
}

// panelAt is the panel that holds a point, or -1.
func (m *model) panelAt(p Point) int {
	return slices.IndexFunc(m.regions, func(r *region) bool { return r.contains(p) })
}

// elementNear finds the panel's element for a piece of its edge: the cell of the piece's middle on the panel's side. Next
// to a sliver that was left out it is the nearest element.
func (m *model) elementNear(panel int, inside, on Point) int {
	// A sliver of a cell may be thinner than the step inside: the cell of a point close to the edge comes first.
	for _, share := range []float64{1e-5, 1} {
		p := Point{on.X + share*(inside.X-on.X), on.Y + share*(inside.Y-on.Y)}
		if e, ok := m.cells[panel][m.cell(cellOf(m.xs, p.X), cellOf(m.ys, p.Y))]; ok {
			return e
		}
	}
	best, least := -1, math.Inf(1)
	for k := range m.elements {
		if e := &m.elements[k]; e.panel == panel {
			c := m.box(e).centre()
			if d := math.Hypot(c.X-on.X, c.Y-on.Y); d < least {
				best, least = k, d
			}
		}
	}
	return best
}

// cellOf is the index of the cell that holds v, the nearest one for v outside.
func cellOf(lines []float64, v float64) int {
	i, found := slices.BinarySearch(lines, v)
	if !found {
		i--
	}
	return min(max(i, 0), len(lines)-2)
}

// hold marks the unknowns that are held at zero.
func (m *model) hold() error {
	if len(m.slab.Holds) == 0 {
		return nil
	}
	m.held = make([]bool, unknowns*len(m.nodes))
	near := 1e-9 * m.slab.bounds().size()
	for k, h := range m.slab.Holds {
		on := edge{h.From, h.To}
		alongX, alongY := h.From.Y == h.To.Y, h.From.X == h.To.X
		any := false
		for n, nd := range m.nodes {
			if on.distance(Point{m.xs[nd.i], m.ys[nd.j]}) > near {
				continue
			}
			any = true
			fix := m.held[n*unknowns : (n+1)*unknowns]
			fix[0] = true
			point := alongX && alongY
			fix[1] = fix[1] || (point && h.Clamped) || (!point && (alongX || h.Clamped))
			fix[2] = fix[2] || (point && h.Clamped) || (!point && (alongY || h.Clamped))
			fix[3] = fix[3] || (!point && h.Clamped)
		}
		if !any && m.window == nil {
			return fmt.Errorf("plate: hold %d from %v to %v touches no part of the slab", k+1, h.From, h.To)
		}
	}
	return nil
}
