package joints

import (
	"cmp"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
)

// alongTolerance is how far a wall may stand from an edge and still touch it: wider than an isolation strip.
const alongTolerance = 0.03

// isolate lists the strips: round every box-out, and along every stretch of edge against something that does not move with
// the slab.
func (r *Result) isolate(in Input, names []string) {
	for i, hole := range r.Outline.Holes {
		r.Isolation = append(r.Isolation, Isolation{Against: names[i], Path: hole, Closed: true, Length: quantity.Length(geometry.RingLength(hole))})
	}
	for _, t := range in.Things {
		if !t.holdsStill() {
			continue
		}
		for i, a := range in.Outline.Outer {
			edge := geometry.Segment{A: a, B: in.Outline.Outer[(i+1)%len(in.Outline.Outer)]}
			for _, s := range t.along(edge) {
				r.Isolation = append(r.Isolation, Isolation{Against: t.title(), Path: []geometry.Point{s.A, s.B}, Length: quantity.Length(s.Length())})
			}
		}
	}
}

// holdsStill says that the thing is a wall, a building or an old slab: long things a slab must not be bonded to.
func (t Thing) holdsStill() bool {
	return t.Kind == "building" || t.Kind == "wall" || t.Kind == "old slab"
}

// along is the stretches of an edge that the thing's sides run along.
func (t Thing) along(edge geometry.Segment) []geometry.Segment {
	type span struct{ from, to float64 }
	var spans []span
	n := len(t.Line)
	closed := n > 2 && t.Kind != "wall"
	for i := range n {
		if i == n-1 && !closed {
			break
		}
		side := geometry.Segment{A: t.Line[i], B: t.Line[(i+1)%n]}
		from, off := edge.Offset(side.A)
		to, off2 := edge.Offset(side.B)
		if from > to {
			from, to, off, off2 = to, from, off2, off
		}
		low, high := max(from, 0), min(to, edge.Length())
		if high-low < alongTolerance {
			continue
		}
		at := func(x float64) float64 { return off + (off2-off)*(x-from)/(to-from) }
		if math.Abs(at(low)) <= alongTolerance && math.Abs(at(high)) <= alongTolerance {
			spans = append(spans, span{low, high})
		}
	}
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	var out []geometry.Segment
	for i := 0; i < len(spans); {
		joined := spans[i]
		for i++; i < len(spans) && spans[i].from <= joined.to+slack; i++ {
			joined.to = max(joined.to, spans[i].to)
		}
		out = append(out, geometry.Segment{A: edge.At(joined.from / edge.Length()), B: edge.At(joined.to / edge.Length())})
	}
	return out
}
