package geometry

import (
	"cmp"
	"fmt"
	"slices"
)

// FaultKind says what is wrong with a polygon.
type FaultKind string

// The faults a polygon can have.
const (
	TooFewCorners  FaultKind = "too few corners"
	NotANumber     FaultKind = "not a number"
	RepeatedCorner FaultKind = "repeated corner"
	CrossesItself  FaultKind = "crosses itself"
	NoArea         FaultKind = "no area"
	HoleOutside    FaultKind = "hole outside"
	HolesOverlap   FaultKind = "holes overlap"
)

// Fault is one thing that keeps a polygon from being a shape of ground, with the place to mend.
type Fault struct {
	Kind  FaultKind
	Says  string // a sentence; corners and edges are counted from 1 as people count
	At    Point  // where, metres
	Ring  int    // 0 is the outline, 1 the first hole
	Edges [2]int // positions in the ring (from 0) of the edges or corners at fault
}

// Faults returns everything that is wrong with the polygon, in the order outline, holes; none means it is valid.
// A hole may touch the outline or another hole in single points; the edges of one ring may meet only at their shared corner.
func (p Polygon) Faults() []Fault {
	var faults []Fault
	for r, ring := range p.Rings() {
		faults = append(faults, ringFaults(ring, r)...)
	}
	if len(faults) > 0 {
		return faults
	}
	for i, hole := range p.Holes {
		faults = append(faults, holeFaults(p, hole, i+1)...)
	}
	return faults
}

func ringName(r int) string {
	if r == 0 {
		return "the outline"
	}
	return fmt.Sprintf("hole %d", r)
}

func ringFaults(ring []Point, r int) []Fault {
	name := ringName(r)
	for i, q := range ring {
		if !q.IsFinite() {
			return []Fault{{NotANumber, fmt.Sprintf("Corner %d of %s has no usable coordinates.", i+1, name), Point{}, r, [2]int{i, i}}}
		}
	}
	if len(ring) < 3 {
		return []Fault{{TooFewCorners, fmt.Sprintf("Need at least 3 corners for %s; %d given.", name, len(ring)), mean(ring), r, [2]int{}}}
	}
	var faults []Fault
	for i, q := range ring {
		if j := (i + 1) % len(ring); q == ring[j] {
			faults = append(faults, Fault{RepeatedCorner, fmt.Sprintf("Corners %d and %d of %s are the same point (%.3f, %.3f); drop one.",
				i+1, j+1, name, q.X, q.Y), q, r, [2]int{i, j}})
		}
	}
	if len(faults) > 0 {
		return faults
	}
	faults = crossingFaults(ring, r)
	if len(faults) == 0 && SignedArea(ring) == 0 {
		faults = append(faults, Fault{NoArea, fmt.Sprintf("The corners of %s lie on one line; it encloses no ground.", name), ring[0], r, [2]int{}})
	}
	return faults
}

// crossingFaults looks for edges that meet other than as neighbours, sweeping over x so that only edges whose boxes
// overlap are compared.
func crossingFaults(ring []Point, r int) []Fault {
	n := len(ring)
	var faults []Fault
	sweep(edgesOf(ring), func(i, j int) {
		s, o := Segment{ring[i], ring[(i+1)%n]}, Segment{ring[j], ring[(j+1)%n]}
		how, at := s.Meet(o)
		neighbours := (i+1)%n == j || (j+1)%n == i
		if how == Apart || neighbours && how == Touching {
			return
		}
		if i > j {
			i, j = j, i
		}
		verb := map[Meeting]string{Crossing: "crosses", Touching: "touches", Overlapping: "runs along"}[how]
		says := fmt.Sprintf("Edge %d–%d %s edge %d–%d of %s at (%.3f, %.3f); check the order of the corners.",
			i+1, (i+1)%n+1, verb, j+1, (j+1)%n+1, ringName(r), at.X, at.Y)
		faults = append(faults, Fault{CrossesItself, says, at, r, [2]int{i, j}})
	})
	slices.SortFunc(faults, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Edges[0], b.Edges[0]), cmp.Compare(a.Edges[1], b.Edges[1]))
	})
	return faults
}

func edgesOf(ring []Point) []Segment {
	edges := make([]Segment, len(ring))
	for i, a := range ring {
		edges[i] = Segment{a, ring[(i+1)%len(ring)]}
	}
	return edges
}

// sweep calls visit once for every pair of segments whose boxes overlap.
func sweep(segments []Segment, visit func(i, j int)) {
	order := make([]int, len(segments))
	boxes := make([]Box, len(segments))
	for i, s := range segments {
		order[i], boxes[i] = i, s.Bounds()
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(boxes[a].Min.X, boxes[b].Min.X) })
	for a, i := range order {
		for _, j := range order[a+1:] {
			if boxes[j].Min.X > boxes[i].Max.X {
				break
			}
			if boxes[i].Overlaps(boxes[j]) {
				visit(i, j)
			}
		}
	}
}

// holeFaults checks hole number r (counted from 1) against the outline and the holes before it.
func holeFaults(p Polygon, hole []Point, r int) []Fault {
	if at, ok := properMeeting(p.Outer, hole); ok || !ringHolds(p.Outer, hole) {
		if !ok {
			at = hole[0]
		}
		return []Fault{{HoleOutside, fmt.Sprintf("Hole %d is not inside the outline (see (%.3f, %.3f)).", r, at.X, at.Y), at, r, [2]int{}}}
	}
	for i, other := range p.Holes[:r-1] {
		at, ok := properMeeting(other, hole)
		if !ok && (ringHolds(other, hole) || ringHolds(hole, other)) {
			at, ok = hole[0], true
		}
		if ok {
			return []Fault{{HolesOverlap, fmt.Sprintf("Holes %d and %d overlap at (%.3f, %.3f); join them into one.", i+1, r, at.X, at.Y), at, r, [2]int{}}}
		}
	}
	return nil
}

// properMeeting finds a place where the borders of two rings cross or share a piece.
func properMeeting(a, b []Point) (at Point, ok bool) {
	n := len(a)
	sweep(append(edgesOf(a), edgesOf(b)...), func(i, j int) {
		if ok || (i < n) == (j < n) {
			return
		}
		all := func(k int) Segment {
			if k < n {
				return Segment{a[k], a[(k+1)%n]}
			}
			return Segment{b[k-n], b[(k-n+1)%len(b)]}
		}
		if how, place := all(i).Meet(all(j)); how == Crossing || how == Overlapping {
			at, ok = place, true
		}
	})
	return at, ok
}
