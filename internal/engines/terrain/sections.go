package terrain

import (
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// AverageEndArea returns the volume between two sections.
//
//	V = L (A1 + A2)/2
//
// L distance between the sections, m; A areas, m²; all ≥ 0. It overstates ends that run out to a point by up to half.
// Source: common earthwork practice. Checked: SITE-14.
func AverageEndArea(length, area1, area2 float64) (float64, error) {
	if err := notNegative(length, area1, area2); err != nil {
		return 0, err
	}
	return length * (area1 + area2) / 2, nil
}

// Prismoidal returns the volume between two sections whose dimensions change linearly.
//
//	V = L (A1 + 4 A_m + A2)/6
//
// L distance between the sections, m; A_m the area halfway, from averaged dimensions (not averaged areas), m²; all ≥ 0.
// Source: Simpson's rule, exact for a prismoid. Checked: SITE-14.
func Prismoidal(length, area1, middle, area2 float64) (float64, error) {
	if err := notNegative(length, area1, middle, area2); err != nil {
		return 0, err
	}
	return length * (area1 + 4*middle + area2) / 6, nil
}

func notNegative(values ...float64) error {
	for _, v := range values {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fmt.Errorf("terrain: %g is no length or area of a section: give zero or more", v)
		}
	}
	return nil
}

// SectionVolumes is the volume between two grounds taken from cross-sections.
type SectionVolumes struct {
	AverageEnd Volumes // by [AverageEndArea] between neighbouring sections
	Prismoidal Volumes // by [Prismoidal], with a section halfway between neighbours
}

// VolumesBySections cuts both grounds across an axis into the given number of equal intervals over the boundary and
// adds up the section areas. Each section area is exact; what lies between sections is the method's guess: compare
// [VolumesBetween] and show the difference. Areas of cut and fill in plan are averaged the same way. Errors: no axis,
// fewer than one or more than ten thousand intervals, ground missing at a section.
// Source: common earthwork practice.
func VolumesBySections(existing, design Ground, boundary geometry.Polygon, axis geometry.Line, intervals int) (SectionVolumes, error) {
	if axis.Along.Unit() == (geometry.Point{}) || intervals < 1 || intervals > mostSections {
		return SectionVolumes{}, fmt.Errorf("terrain: %d intervals along an axis of direction %v: give a direction and 1 to %d intervals",
			intervals, axis.Along, mostSections)
	}
	from, to := math.Inf(1), math.Inf(-1)
	for _, p := range boundary.Outer {
		from, to = min(from, axis.Station(p)), max(to, axis.Station(p))
	}
	length := (to - from) / float64(intervals)
	sections := make([]section, 2*intervals+1)
	for i := range sections {
		// The first and last section stand a little inside, where an end nearly square to the axis still has its full width.
		station := min(max(from+length*float64(i)/2, from+insideEnd*length), to-insideEnd*length)
		var err error
		if sections[i], err = sectionAt(existing, design, boundary, axis, station); err != nil {
			return SectionVolumes{}, err
		}
	}
	var out SectionVolumes
	for i := 0; i+2 < len(sections); i += 2 {
		a, m, b := sections[i], sections[i+1], sections[i+2]
		out.AverageEnd = out.AverageEnd.Plus(a.plus(b, 1).over(length / 2))
		out.Prismoidal = out.Prismoidal.Plus(a.plus(m, 4).plus(b, 1).over(length / 6))
	}
	return out, nil
}

// insideEnd is how far inside the ends the first and last section stand, as a share of the interval: a slab staked to the tape is
// out of square by less.
const insideEnd = 0.01

// mostSections bounds the number of intervals; finer is a case for the exact volume.
const mostSections = 10_000

// section is the areas of cut and fill across the axis, m², and the widths they and all of it take, m.
type section struct{ cut, fill, cutWidth, fillWidth, width float64 }

func (s section) plus(o section, weight float64) section {
	return section{s.cut + weight*o.cut, s.fill + weight*o.fill, s.cutWidth + weight*o.cutWidth,
		s.fillWidth + weight*o.fillWidth, s.width + weight*o.width}
}

func (s section) over(length float64) Volumes {
	return Volumes{s.cut * length, s.fill * length, s.cutWidth * length, s.fillWidth * length, s.width * length}
}

func sectionAt(existing, design Ground, boundary geometry.Polygon, axis geometry.Line, station float64) (section, error) {
	var sum section
	across := geometry.Line{Through: axis.At(station), Along: axis.Along.Left()}
	for _, s := range boundary.ClipLine(across) {
		bends := []float64{0, 1}
		bends = append(append(bends, existing.bends(s)...), design.bends(s)...)
		slices.Sort(bends)
		for i := 1; i < len(bends); i++ {
			// Depth is linear between bends; read inside the stretch, clear of the seams between triangles.
			d1, ok1 := depthAt(existing, design, s.At(bends[i-1]+(bends[i]-bends[i-1])/4))
			d3, ok3 := depthAt(existing, design, s.At(bends[i]-(bends[i]-bends[i-1])/4))
			if !ok1 || !ok3 {
				p := s.At(bends[i])
				return sum, fmt.Errorf("terrain: the section at station %.3f has no ground near (%.3f, %.3f): take shots beyond the outline", station, p.X, p.Y)
			}
			sum = sum.plus(stretch((bends[i]-bends[i-1])*s.Length(), (3*d1-d3)/2, (3*d3-d1)/2), 1)
		}
	}
	return sum, nil
}

func depthAt(existing, design Ground, p geometry.Point) (float64, bool) {
	top, okTop := existing.At(p)
	low, okLow := design.At(p)
	return top - low, okTop && okLow
}

// stretch is a piece of a section of the given width whose depth runs from a to b.
func stretch(width, a, b float64) section {
	s := section{width: width}
	up, down := max(a, 0)+max(b, 0), max(-a, 0)+max(-b, 0)
	if all := up + down; all > 0 {
		s.cutWidth, s.fillWidth = width*up/all, width*down/all
		s.cut, s.fill = s.cutWidth*up/2, s.fillWidth*down/2
	}
	return s
}

// bends returns the fractions along the segment where the surface bends.
func (s *Surface) bends(line geometry.Segment) (at []float64) {
	s.search(line.Bounds(), func(t int32) bool {
		f := s.facet(t)
		if from, to, ok := clipSegment(line, &f.corners); ok {
			at = append(at, from, to)
		}
		return true
	})
	return at
}

func (p Plane) bends(geometry.Segment) []float64 { return nil }
