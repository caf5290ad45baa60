package joints

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
)

// boxOutChord is how far the chords of a round box-out may leave its circle.
const boxOutChord = 0.003

// proposal is a box-out that was turned, or should be.
type proposal struct {
	name  string
	at    geometry.Point
	half  float64 // centre to point of the diamond, metres
	taken bool    // the layout uses the diamond
}

// boxedOut is the outline with a box-out round everything that stands in the slab: those given as holes, those made for
// round things without one, and square ones turned to diamonds (or proposed to be).
func (in Input) boxedOut() (outline geometry.Polygon, names []string, proposals []proposal) {
	outline = in.Outline.Oriented()
	for i, hole := range outline.Holes {
		names = append(names, in.holeName(hole, i))
	}
	for _, t := range in.Things {
		if t.Radius > 0 && outline.Locate(t.Centre) == geometry.Inside {
			ring := geometry.Disc(t.Centre, t.Radius+in.Strip.Value.Metres(), boxOutChord)
			grown := outline
			grown.Holes = append(append([][]geometry.Point{}, outline.Holes...), ring.Outer)
			if grown = grown.Oriented(); len(grown.Faults()) == 0 {
				outline, names = grown, append(names, t.title())
			}
		}
	}
	heading := mainHeading(outline)
	for i, hole := range outline.Holes {
		diamond, half, ok := diamondFor(hole, heading)
		if !ok {
			continue
		}
		p := proposal{name: names[i], at: geometry.Polygon{Outer: hole}.Centroid(), half: half}
		turned := outline
		turned.Holes = append([][]geometry.Point{}, outline.Holes...)
		turned.Holes[i] = diamond
		if turned = turned.Oriented(); in.Diamond.Value && len(turned.Faults()) == 0 {
			outline, p.taken = turned, true
		}
		proposals = append(proposals, p)
	}
	return outline, names, proposals
}

func (t Thing) title() string {
	if t.Name != "" {
		return t.Name
	}
	return "the " + t.Kind
}

// holeName is the thing that stands in the hole.
func (in Input) holeName(hole []geometry.Point, i int) string {
	ring := geometry.Polygon{Outer: hole}
	for _, t := range in.Things {
		at := t.Centre
		if len(t.Line) > 0 {
			at = geometry.Polygon{Outer: t.Line}.Centroid()
		}
		if (t.Radius > 0 || len(t.Line) > 0) && ring.Contains(at) {
			return t.title()
		}
	}
	return fmt.Sprintf("box-out %d", i+1)
}

// diamondFor turns a small rectangle along the main axes into the diamond round it: points on the axes through its
// middle, the old corners on its sides.
//
//	half diagonal = half length + half width
func diamondFor(hole []geometry.Point, heading float64) (diamond []geometry.Point, half float64, ok bool) {
	if len(hole) != 4 {
		return nil, 0, false
	}
	box := geometry.MinimumRectangle(hole)
	const along = 10 * math.Pi / 180
	if box.Length > smallBoxOut || box.Width*box.Length > 1.02*math.Abs(geometry.SignedArea(hole)) || math.Abs(quarter(box.Heading-heading)) > along {
		return nil, 0, false
	}
	at := geometry.Polygon{Outer: hole}.Centroid()
	half = (box.Length + box.Width) / 2
	for k := range 4 {
		diamond = append(diamond, at.Add(geometry.Direction(heading+float64(k)*math.Pi/2).Scale(half)))
	}
	return diamond, half, true
}
