package geometry

import (
	"cmp"
	"math"
	"slices"
)

// Line is an infinite straight line through Through with direction Along (any length but zero).
type Line struct {
	Through Point
	Along   Point
}

// LineThrough returns the line through a and b.
func LineThrough(a, b Point) Line { return Line{a, b.Sub(a)} }

// Offset returns the distance of p to the left of the line, metres (negative to the right).
func (l Line) Offset(p Point) float64 { return l.Along.Unit().Cross(p.Sub(l.Through)) }

// Station returns how far along the line p lies from Through, metres.
func (l Line) Station(p Point) float64 { return l.Along.Unit().Dot(p.Sub(l.Through)) }

// At returns the point of the line at the given station, metres from Through.
func (l Line) At(station float64) Point { return l.Through.Add(l.Along.Unit().Scale(station)) }

// Reversed is the same line seen the other way: left becomes right.
func (l Line) Reversed() Line { return Line{l.Through, l.Along.Scale(-1)} }

// ClipLine returns the pieces of the line that run through the inside of the polygon, in order along the line.
// A stretch along an edge is not inside. The polygon must be valid ([Polygon.Faults] empty); without area, or with a
// line without direction, there are no pieces.
func (p Polygon) ClipLine(l Line) []Segment {
	if l.Along.Unit() == (Point{}) {
		return nil
	}
	left, right := p.stations(l, false), p.stations(l, true)
	var out []Segment
	for i, j := 0, 0; i+1 < len(left) && j+1 < len(right); {
		from, to := max(left[i], right[j]), min(left[i+1], right[j+1])
		if to > from {
			out = append(out, Segment{l.At(from), l.At(to)})
		}
		if left[i+1] < right[j+1] {
			i += 2
		} else {
			j += 2
		}
	}
	return out
}

// stations returns where the border crosses the line, sorted; corners on the line count as right of it, or, with
// cornersLeft, as left of it. Either way the line is one that passes through no corner, so the count is even.
func (p Polygon) stations(l Line, cornersLeft bool) []float64 {
	isLeft := func(d float64) bool { return d > 0 || d == 0 && cornersLeft }
	var out []float64
	for _, ring := range p.Rings() {
		offset := l.offsets(ring)
		for i := range ring {
			if j := (i + 1) % len(ring); isLeft(offset[i]) != isLeft(offset[j]) {
				out = append(out, l.Station(crossingOf(ring[i], ring[j], offset[i], offset[j])))
			}
		}
	}
	slices.Sort(out)
	return out
}

// onLine is how close to a line a corner counts as on it, as a share of the coordinates: the rounding of Offset.
const onLine = 1e-13

// offsets returns the distance of every corner to the left of the line, those within rounding of it as zero.
func (l Line) offsets(ring []Point) []float64 {
	out := make([]float64, len(ring))
	u := l.Along.Unit()
	for i, q := range ring {
		d := q.Sub(l.Through)
		out[i] = u.Cross(d)
		if math.Abs(out[i]) <= onLine*(math.Abs(d.X)+math.Abs(d.Y)+math.Abs(q.X)+math.Abs(q.Y)) {
			out[i] = 0
		}
	}
	return out
}

// crossingOf is the point between a and b where the offset from a line, da at a and db at b, is zero.
func crossingOf(a, b Point, da, db float64) Point {
	if db == 0 {
		return b
	}
	return a.Lerp(b, da/(da-db))
}

// ClipHalfPlane returns the part of the polygon on the left of the line, as polygons that share no area: outlines
// counter-clockwise, holes clockwise. Works for any valid polygon, with or without holes, and cuts at the exact
// float64 crossing points, so the two halves' areas add up to rounding. Nothing on the left gives none.
func (p Polygon) ClipHalfPlane(l Line) []Polygon {
	if l.Along.Unit() == (Point{}) || p.IsEmpty() {
		return nil
	}
	cut := halfPlaneCut{line: l}
	for _, ring := range p.Oriented().Rings() {
		cut.addRing(ring)
	}
	rings, ok := cut.close()
	if !ok { // crossings too close to order by float64
		return p.clipByOverlay(l)
	}
	return assemble(append(rings, cut.whole...))
}

// halfPlaneCut collects the chains of the border left of a line. Every chain starts where the border comes over the
// line and ends where it goes back; along the line, leaving and entering points alternate.
type halfPlaneCut struct {
	line   Line
	chains [][]Point
	ends   []chainEnd
	whole  [][]Point // rings wholly on the left
}

type chainEnd struct {
	station, lean float64 // lean orders crossings at one corner: drift along the line per metre left of it
	chain         int
	leaving       bool // the border leaves the left side here
}

func (c *halfPlaneCut) addRing(ring []Point) {
	n := len(ring)
	offset := c.line.offsets(ring)
	start := -1
	for i := range ring {
		if offset[i] <= 0 && offset[(i+1)%n] > 0 {
			start = i
			break
		}
	}
	if start < 0 {
		if n > 0 && offset[0] > 0 {
			c.whole = append(c.whole, slices.Clone(ring))
		}
		return
	}
	var chain []Point
	for k := range n {
		i, j := (start+k)%n, (start+k+1)%n
		if crosses := (offset[i] > 0) != (offset[j] > 0); crosses {
			at := crossingOf(ring[i], ring[j], offset[i], offset[j])
			chain = append(chain, at)
			c.addEnd(at, ring[i], ring[j], offset[i] > 0)
			if offset[i] > 0 {
				c.chains = append(c.chains, chain)
				chain = nil
			}
		}
		if offset[j] > 0 {
			chain = append(chain, ring[j])
		}
	}
}

func (c *halfPlaneCut) addEnd(at, a, b Point, leaving bool) {
	d := b.Sub(a)
	u := c.line.Along.Unit()
	c.ends = append(c.ends, chainEnd{c.line.Station(at), u.Dot(d) / u.Cross(d), len(c.chains), leaving})
}

// close joins the chains along the line: material lies between each odd crossing and the next even one.
func (c *halfPlaneCut) close() ([][]Point, bool) {
	slices.SortStableFunc(c.ends, func(a, b chainEnd) int {
		return cmp.Or(cmp.Compare(a.station, b.station), cmp.Compare(a.lean, b.lean))
	})
	next := make([]int, len(c.chains))
	for i := 0; i+1 < len(c.ends); i += 2 {
		a, b := c.ends[i], c.ends[i+1]
		if a.leaving == b.leaving {
			return nil, false
		}
		if b.leaving {
			a, b = b, a
		}
		next[a.chain] = b.chain
	}
	var rings [][]Point
	done := make([]bool, len(c.chains))
	for first := range c.chains {
		var ring []Point
		for i := first; !done[i]; i = next[i] {
			done[i] = true
			ring = append(ring, c.chains[i]...)
		}
		if ring = withoutRepeats(ring); len(ring) >= 3 {
			rings = append(rings, ring)
		}
	}
	return rings, true
}

// withoutRepeats drops corners equal to the one before them, also across the seam.
func withoutRepeats(ring []Point) []Point {
	out := slices.Compact(ring)
	for len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out
}

// assemble gives every clockwise ring as a hole to the smallest counter-clockwise ring around it.
func assemble(rings [][]Point) []Polygon {
	var out []Polygon
	var holes [][]Point
	for _, ring := range rings {
		switch area := SignedArea(ring); {
		case area > 0:
			out = append(out, Polygon{Outer: ring})
		case area < 0:
			holes = append(holes, ring)
		}
	}
	slices.SortStableFunc(out, func(a, b Polygon) int { return cmp.Compare(SignedArea(a.Outer), SignedArea(b.Outer)) })
	for _, hole := range holes {
		for i := range out {
			if ringHolds(out[i].Outer, hole) {
				out[i].Holes = append(out[i].Holes, hole)
				break
			}
		}
	}
	return out
}

// ringHolds reports whether hole lies in the ring, judged by its first corner that is not on the ring itself.
func ringHolds(ring, hole []Point) bool {
	for _, q := range hole {
		if place := locateInRing(ring, q); place != OnBoundary {
			return place == Inside
		}
	}
	return true
}
