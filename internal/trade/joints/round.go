package joints

import (
	"math"

	"slabwright/internal/engines/geometry"
)

// The bends of an outline: below smooth a corner is a point of a curve, from turning on it ends a side of a strip.
const (
	smooth  = 20 * math.Pi / 180
	turning = 45 * math.Pi / 180
)

// bend is how far an outline turns at a corner, positive to the left.
func bend(ring []geometry.Point, i int) float64 {
	n := len(ring)
	a, b := ring[i].Sub(ring[(i+n-1)%n]), ring[(i+1)%n].Sub(ring[i])
	return math.Atan2(a.Cross(b), a.Dot(b))
}

// round lays joints across a curved strip, square to its edges, evenly spaced along the longer one, and along its middle
// where it is wider than the spacing; several counts of them. None if the outline is no strip.
func (f frame) round(rules limits) [][]geometry.Segment {
	outer, inner, ok := f.rails()
	if !ok {
		return nil
	}
	length := geometry.PathLength(outer)
	var out [][]geometry.Segment
	least := parts(length, rules.spacing)
	for n := least; n <= 2*least+6; n++ {
		var across []geometry.Segment
		widest := 0.0
		for k := 0; k <= n; k++ {
			at := along(outer, length*float64(k)/float64(n))
			s := geometry.Segment{A: at, B: nearestOn(inner, at)}
			widest = max(widest, s.Length())
			if k > 0 && k < n {
				across = append(across, s)
			}
		}
		lanes := parts(widest, rules.spacing)
		out = append(out, append(across, lengthwise(outer, inner, lanes)...))
		if lanes == 1 {
			out = append(out, append(append([]geometry.Segment{}, across...), lengthwise(outer, inner, 2)...))
		}
	}
	return out
}

// rails are the two long sides of a strip, from end to end the same way; ok is false where the outline has not four ends
// or no curve.
func (f frame) rails() (outer, inner []geometry.Point, ok bool) {
	ring := f.outline.Outer
	var ends []int
	curved := false
	for i := range ring {
		turn := math.Abs(bend(ring, i))
		if turn > turning {
			ends = append(ends, i)
		} else if turn > smooth/40 {
			curved = true
		}
	}
	if len(ends) != 4 || !curved || len(f.ground.Holes) > 0 || len(f.posts) > 0 {
		return nil, nil, false
	}
	var sides [4][]geometry.Point
	for k, from := range ends {
		for i := from; ; i = (i + 1) % len(ring) {
			sides[k] = append(sides[k], ring[i])
			if i == ends[(k+1)%4] {
				break
			}
		}
	}
	length := func(k int) float64 { return geometry.PathLength(sides[k]) }
	first := 0
	if length(1)+length(3) > length(0)+length(2) {
		first = 1
	}
	outer, inner = sides[first], reversed(sides[first+2])
	if length(first+2) > length(first) {
		outer, inner = inner, outer
	}
	return outer, inner, geometry.PathLength(inner) > 0
}

func reversed(points []geometry.Point) []geometry.Point {
	out := make([]geometry.Point, len(points))
	for i, q := range points {
		out[len(points)-1-i] = q
	}
	return out
}

// along is the place on a path at a distance from its start.
func along(path []geometry.Point, station float64) geometry.Point {
	for i := 1; i < len(path); i++ {
		d := path[i].Distance(path[i-1])
		if station <= d || i == len(path)-1 {
			return path[i-1].Lerp(path[i], min(station/d, 1))
		}
		station -= d
	}
	return path[0]
}

func nearestOn(path []geometry.Point, q geometry.Point) geometry.Point {
	best, least := path[0], math.Inf(1)
	for i := 1; i < len(path); i++ {
		if p, _ := (geometry.Segment{A: path[i-1], B: path[i]}).Nearest(q); p.Distance(q) < least {
			best, least = p, p.Distance(q)
		}
	}
	return best
}

// lengthwise are the joints along a strip that part it into lanes, by chords as fine as its longer edge.
func lengthwise(outer, inner []geometry.Point, lanes int) []geometry.Segment {
	var out []geometry.Segment
	for lane := 1; lane < lanes; lane++ {
		var before geometry.Point
		for i, q := range outer {
			at := q.Lerp(nearestOn(inner, q), float64(lane)/float64(lanes))
			if i > 0 && at.Distance(before) > slack {
				out = append(out, geometry.Segment{A: before, B: at})
			}
			before = at
		}
	}
	return out
}
