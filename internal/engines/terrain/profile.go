package terrain

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// ProfilePoint is a bend of the ground along a line.
type ProfilePoint struct {
	Station float64 // metres from the start of the line
	Z       float64 // metres
}

// Profile returns the ground under a straight line: one point wherever it bends, in runs that break where the line
// leaves the surface. Error for a line without length.
func (s *Surface) Profile(line geometry.Segment) ([][]ProfilePoint, error) {
	length := line.Length()
	if !(length > 0) || math.IsInf(length, 0) {
		return nil, fmt.Errorf("terrain: a profile needs two different ends; got %v and %v", line.A, line.B)
	}
	var spans [][2]ProfilePoint
	s.search(line.Bounds(), func(t int32) bool {
		f := s.facet(t)
		if from, to, ok := clipSegment(line, &f.corners); ok {
			spans = append(spans, [2]ProfilePoint{
				{from * length, f.at(line.At(from))}, {to * length, f.at(line.At(to))}})
		}
		return true
	})
	slices.SortFunc(spans, func(a, b [2]ProfilePoint) int {
		return cmp.Or(cmp.Compare(a[0].Station, b[0].Station), cmp.Compare(a[1].Station, b[1].Station))
	})
	return joinSpans(spans, sameStation*length), nil
}

// sameStation is the share of a profile's length within which two bends are one: the rounding of two neighbouring
// triangles that cut the line at the same edge.
const sameStation = 1e-9

// joinSpans strings the pieces over single triangles together; pieces that repeat what is drawn (a line along an edge
// lies in both its triangles) are dropped.
func joinSpans(spans [][2]ProfilePoint, tolerance float64) [][]ProfilePoint {
	var runs [][]ProfilePoint
	reached := math.Inf(-1)
	for _, span := range spans {
		switch {
		case span[1].Station <= reached+tolerance:
			continue
		case len(runs) == 0 || span[0].Station > reached+tolerance:
			runs = append(runs, []ProfilePoint{span[0], span[1]})
		default:
			last := &runs[len(runs)-1]
			*last = append(*last, span[1])
		}
		reached = span[1].Station
	}
	return runs
}

// clipSegment returns the fractions between which the segment runs inside the triangle; ok is false when it does not, or
// only touches it.
func clipSegment(line geometry.Segment, t *[3]geometry.Point) (from, to float64, ok bool) {
	from, to = 0, 1
	for k, a := range t {
		along := t[(k+1)%3].Sub(a)
		da, db := along.Cross(line.A.Sub(a)), along.Cross(line.B.Sub(a))
		switch {
		case da < 0 && db <= 0, da <= 0 && db < 0:
			return 0, 0, false
		case da < 0:
			from = max(from, da/(da-db))
		case db < 0:
			to = min(to, da/(da-db))
		}
	}
	return from, to, from < to
}
