package geometry

import (
	"errors"
	"fmt"
	"math"

	"github.com/peterstace/simplefeatures/geom"
)

// SliverArea is the smallest area kept in the result of an overlay or offset, m²: below it a piece is rounding, not ground.
const SliverArea = 1e-6

// mitreLimit is how far a mitred corner may stand out, as a multiple of the offset, before it is bevelled: 5 keeps
// every corner down to 23° sharp.
const mitreLimit = 5

// Union returns the area covered by any of the polygons. Each must be valid; the error says which is not and why.
func Union(polygons ...Polygon) ([]Polygon, error) {
	var sum geom.Geometry
	for i, p := range polygons {
		g, err := p.shape()
		if err != nil {
			return nil, fmt.Errorf("geometry: union, polygon %d: %w", i+1, err)
		}
		if i == 0 {
			sum = g
			continue
		}
		if sum, err = settled(sum, g, geom.Union); err != nil {
			return nil, fmt.Errorf("geometry: union: %w", err)
		}
	}
	return polygonsOf(sum), nil
}

// Intersection returns the area common to p and o, as polygons that share no area; none when they only touch.
func (p Polygon) Intersection(o Polygon) ([]Polygon, error) {
	return p.overlay(o, "intersection", geom.Intersection)
}

// Difference returns the area of p outside every one of the others.
func (p Polygon) Difference(others ...Polygon) ([]Polygon, error) {
	rest := []Polygon{p}
	for _, o := range others {
		var left []Polygon
		for _, piece := range rest {
			cut, err := piece.overlay(o, "difference", geom.Difference)
			if err != nil {
				return nil, err
			}
			left = append(left, cut...)
		}
		rest = left
	}
	return rest, nil
}

func (p Polygon) overlay(o Polygon, name string, op operation) ([]Polygon, error) {
	a, errA := p.shape()
	b, errB := o.shape()
	if err := errors.Join(errA, errB); err != nil {
		return nil, fmt.Errorf("geometry: %s: %w", name, err)
	}
	g, err := settled(a, b, op)
	if err != nil {
		return nil, fmt.Errorf("geometry: %s: %w", name, err)
	}
	return polygonsOf(g), nil
}

// Offset moves every edge outwards by distance metres (inwards when negative) with mitred corners, bevelled where a
// mitre would stand out more than five times the distance. An inset may fall apart into several polygons or vanish.
func (p Polygon) Offset(distance float64) ([]Polygon, error) {
	return p.buffer(distance, geom.BufferJoinStyleMitre(mitreLimit))
}

// OffsetRound is [Polygon.Offset] with rounded outward corners: every place within distance metres of the polygon,
// arcs drawn as chords that stay within chordError metres of them.
func (p Polygon) OffsetRound(distance, chordError float64) ([]Polygon, error) {
	quarter := max(1, (chordsFor(math.Abs(distance), 2*math.Pi, chordError)+3)/4)
	return p.buffer(distance, geom.BufferQuadSegments(quarter))
}

func (p Polygon) buffer(distance float64, style geom.BufferOption) ([]Polygon, error) {
	if math.IsNaN(distance) || math.IsInf(distance, 0) {
		return nil, fmt.Errorf("geometry: offset by %g: give a length in metres", distance)
	}
	g, err := p.shape()
	if err != nil {
		return nil, fmt.Errorf("geometry: offset: %w", err)
	}
	if distance == 0 {
		return polygonsOf(g), nil
	}
	if g, err = geom.Buffer(g, distance, style); err != nil {
		return nil, fmt.Errorf("geometry: offset by %g m: %w", distance, err)
	}
	return polygonsOf(g), nil
}

// ConvexHull returns the convex hull of the points, counter-clockwise; empty when they do not span an area.
func ConvexHull(points []Point) Polygon {
	coords := make([]float64, 0, 2*len(points))
	for _, q := range points {
		if q.IsFinite() {
			coords = append(coords, q.X, q.Y)
		}
	}
	seq := geom.NewSequence(coords, geom.DimXY)
	hull := geom.NewMultiPoint(pointsOf(seq)).ConvexHull()
	if all := polygonsAbove(hull, 0); len(all) == 1 {
		return all[0]
	}
	return Polygon{}
}

func pointsOf(seq geom.Sequence) []geom.Point {
	out := make([]geom.Point, seq.Length())
	for i := range out {
		out[i] = geom.NewPoint(seq.Get(i))
	}
	return out
}

// clipByOverlay is the half-plane clip by the overlay library: slower and rounded, for crossings that float64 cannot order.
func (p Polygon) clipByOverlay(l Line) []Polygon {
	b := p.Bounds()
	reach := 2*(b.Width()+b.Height()) + 1
	u := l.Along.Unit()
	foot := l.At(l.Station(b.Centre()))
	left := u.Left()
	if l.Offset(b.Centre()) > reach {
		left = left.Scale(2 * l.Offset(b.Centre()) / reach)
	}
	a, c := foot.Sub(u.Scale(reach)), foot.Add(u.Scale(reach))
	out, err := p.Intersection(Polygon{Outer: []Point{a, c, c.Add(left.Scale(reach)), a.Add(left.Scale(reach))}})
	if err != nil {
		return nil
	}
	return out
}

// shape hands the polygon to the overlay library; an invalid one becomes an error that names the fault and its place.
func (p Polygon) shape() (geom.Geometry, error) {
	rings := make([]geom.LineString, 0, 1+len(p.Holes))
	for _, ring := range p.Rings() {
		if len(ring) == 0 {
			continue
		}
		coords := make([]float64, 0, 2*len(ring)+2)
		for _, q := range ring {
			coords = append(coords, q.X, q.Y)
		}
		coords = append(coords, ring[0].X, ring[0].Y)
		rings = append(rings, geom.NewLineString(geom.NewSequence(coords, geom.DimXY)))
	}
	polygon := geom.NewPolygon(rings)
	if err := polygon.Validate(); err != nil {
		if faults := p.Faults(); len(faults) > 0 {
			return geom.Geometry{}, errors.New(faults[0].Says)
		}
		return geom.Geometry{}, err
	}
	return polygon.AsGeometry(), nil
}

func polygonsOf(g geom.Geometry) []Polygon { return polygonsAbove(g, SliverArea) }

// polygonsAbove collects the areas in g larger than least, outlines counter-clockwise, holes clockwise.
func polygonsAbove(g geom.Geometry, least float64) []Polygon {
	var out []Polygon
	for _, part := range g.Dump() {
		polygon, ok := part.AsPolygon()
		if !ok || polygon.IsEmpty() {
			continue
		}
		p := Polygon{Outer: ringOf(polygon.ExteriorRing())}
		for i := range polygon.NumInteriorRings() {
			p.Holes = append(p.Holes, ringOf(polygon.InteriorRingN(i)))
		}
		if p.Area() > least {
			out = append(out, p.Oriented())
		}
	}
	return out
}

func ringOf(line geom.LineString) []Point {
	seq := line.Coordinates()
	ring := make([]Point, 0, seq.Length())
	for i := range seq.Length() - 1 {
		xy := seq.GetXY(i)
		ring = append(ring, Point{xy.X, xy.Y})
	}
	return ring
}
