package hold

import (
	"slices"

	"slabwright/internal/engines/geometry"
)

// setTo is how near two corners' eastings or northings may lie to be one line, m: a quarter inch, finer than forms are set to.
// Tapes put the corners of a square slab millimetres off square; a mesh that follows every millimetre has slivers, and panels
// whose edges miss one another by a hair have no joint between them.
const setTo = 0.006

// linedUp moves the panels' corners onto common lines, east and north apart: corners that lie within setTo of one another get
// their mean. Nothing moves farther than setTo.
func linedUp(panels []Panel) []Panel {
	var xs, ys []float64
	for _, p := range panels {
		for _, ring := range p.Outline.Rings() {
			for _, q := range ring {
				xs, ys = append(xs, q.X), append(ys, q.Y)
			}
		}
	}
	east, north := lines(xs), lines(ys)
	out := make([]Panel, len(panels))
	for i, p := range panels {
		moved := p.Outline.Map(func(q geometry.Point) geometry.Point { return geometry.Point{X: east[q.X], Y: north[q.Y]} })
		moved.Outer = slices.Compact(moved.Outer)
		for k := range moved.Holes {
			moved.Holes[k] = slices.Compact(moved.Holes[k])
		}
		out[i] = Panel{p.Number, moved}
	}
	return out
}

// lines gives every value the mean of its group: values in order, a new group where the next lies more than setTo from the
// first of the group.
func lines(values []float64) map[float64]float64 {
	sorted := slices.Compact(slices.Sorted(slices.Values(values)))
	line := make(map[float64]float64, len(sorted))
	for start := 0; start < len(sorted); {
		end, sum := start, 0.0
		for end < len(sorted) && sorted[end]-sorted[start] <= setTo {
			sum += sorted[end]
			end++
		}
		for _, v := range sorted[start:end] {
			line[v] = sum / float64(end-start)
		}
		start = end
	}
	return line
}
