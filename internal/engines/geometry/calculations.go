package geometry

import (
	_ "embed"
	"fmt"
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is this package's table of check rows.
func Checks() string { return checksCSV }

const planeGeometry = "plane-geometry"

// ringFrom reads corners as a table writes them.
func ringFrom(corners [][]float64) ([]Point, error) {
	ring := make([]Point, len(corners))
	for i, c := range corners {
		if len(c) != 2 {
			return nil, fmt.Errorf("corner %d has %d coordinates, not 2", i+1, len(c))
		}
		ring[i] = Point{c[0], c[1]}
	}
	return ring, nil
}

// outlineFrom reads a valid outline without holes.
func outlineFrom(corners [][]float64) (Polygon, error) {
	ring, err := ringFrom(corners)
	if err != nil {
		return Polygon{}, err
	}
	p := Polygon{Outer: ring}
	if faults := p.Faults(); len(faults) > 0 {
		return Polygon{}, fmt.Errorf("geometry: %s", faults[0].Says)
	}
	return p, nil
}

func areaOf(polygons []Polygon) quantity.Area {
	sum := 0.0
	for _, p := range polygons {
		sum += p.Area()
	}
	return quantity.Area(sum)
}

// Calculations lists the formulas of this package.
func Calculations() []calc.Calculation {
	return append(polygonCalculations(), arcCalculations()...)
}

func polygonCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("geometry.polygon", "area, perimeter, middle and re-entrant corners of an outline", planeGeometry, func(in struct {
			Corners [][]float64 `says:"corners [x, y] in order" unit:"m"`
		}) (out struct {
			Area      quantity.Area
			Perimeter quantity.Length
			CentroidX quantity.Length
			CentroidY quantity.Length
			Reentrant int
		}, err error) {
			p, err := outlineFrom(in.Corners)
			c := p.Centroid()
			out.Area, out.Perimeter = quantity.Area(p.Area()), quantity.Length(p.Perimeter())
			out.CentroidX, out.CentroidY = quantity.Length(c.X), quantity.Length(c.Y)
			out.Reentrant = len(p.ReentrantCorners())
			return out, err
		}),
		calc.New("geometry.offset_area", "area of an outline moved outwards by a distance, corners kept sharp", planeGeometry, func(in struct {
			Corners  [][]float64     `says:"corners [x, y] in order" unit:"m"`
			Distance quantity.Length `says:"outwards; inwards negative"`
		}) (out struct {
			Area   quantity.Area
			Pieces int
		}, err error) {
			p, err := outlineFrom(in.Corners)
			if err != nil {
				return out, err
			}
			moved, err := p.Offset(float64(in.Distance))
			out.Area, out.Pieces = areaOf(moved), len(moved)
			return out, err
		}),
		calc.New("geometry.common_area", "area two outlines share", planeGeometry, func(in struct {
			Corners [][]float64 `says:"corners [x, y] of one" unit:"m"`
			Other   [][]float64 `says:"corners [x, y] of the other" unit:"m"`
		}) (out struct{ Area quantity.Area }, err error) {
			p, err := outlineFrom(in.Corners)
			if err != nil {
				return out, err
			}
			o, err := outlineFrom(in.Other)
			if err != nil {
				return out, err
			}
			common, err := p.Intersection(o)
			out.Area = areaOf(common)
			return out, err
		}),
		calc.New("geometry.left_of_line", "part of an outline to the left of a line", planeGeometry, func(in struct {
			Corners [][]float64 `says:"corners [x, y] in order" unit:"m"`
			Line    [][]float64 `says:"two points [x, y] of the line" unit:"m"`
		}) (out struct {
			Area   quantity.Area
			Pieces int
			Length quantity.Length `says:"of the line inside the outline"`
		}, err error) {
			p, err := outlineFrom(in.Corners)
			if err != nil {
				return out, err
			}
			ends, err := ringFrom(in.Line)
			if err != nil || len(ends) != 2 {
				return out, fmt.Errorf("geometry: a line takes two points, %d given", len(ends))
			}
			l := LineThrough(ends[0], ends[1])
			pieces := p.ClipHalfPlane(l)
			out.Area, out.Pieces = areaOf(pieces), len(pieces)
			for _, s := range p.ClipLine(l) {
				out.Length += quantity.Length(s.Length())
			}
			return out, nil
		}),
		calc.New("geometry.minimum_rectangle", "rectangle of least area round an outline", planeGeometry, func(in struct {
			Corners [][]float64 `says:"corners [x, y]" unit:"m"`
		}) (out struct {
			Length quantity.Length
			Width  quantity.Length
			Area   quantity.Area
		}, err error) {
			ring, err := ringFrom(in.Corners)
			b := MinimumRectangle(ring)
			out.Length, out.Width, out.Area = quantity.Length(b.Length), quantity.Length(b.Width), quantity.Area(b.Length*b.Width)
			return out, err
		}),
		calc.New("geometry.distance", "distance from a point to an outline", planeGeometry, func(in struct {
			Corners [][]float64     `says:"corners [x, y] in order" unit:"m"`
			X       quantity.Length `says:"east of the point"`
			Y       quantity.Length `says:"north of the point"`
		}) (out struct {
			Distance quantity.Length `says:"zero inside"`
			Edge     quantity.Length `says:"to the nearest edge, inside or outside"`
			Inside   bool
		}, err error) {
			p, err := outlineFrom(in.Corners)
			if err != nil {
				return out, err
			}
			q := Point{float64(in.X), float64(in.Y)}
			out.Distance, out.Edge = quantity.Length(p.Distance(q)), quantity.Length(p.BoundaryDistance(q))
			out.Inside = p.Contains(q)
			return out, nil
		}),
	}
}

func arcCalculations() []calc.Calculation {
	type chordOnCurve = struct {
		Radius quantity.Length `says:"R"`
		Chord  quantity.Length `says:"C"`
	}
	return []calc.Calculation{
		calc.New("geometry.mid_ordinate", "rise of a curve above the middle of its chord", planeGeometry,
			func(in chordOnCurve) (out struct{ MidOrdinate quantity.Length }, err error) {
				m, err := MidOrdinate(float64(in.Radius), float64(in.Chord))
				out.MidOrdinate = quantity.Length(m)
				return out, err
			}),
		calc.New("geometry.chord_offset", "rise of a curve above its chord at a distance from the middle", planeGeometry, func(in struct {
			Radius quantity.Length `says:"R"`
			Chord  quantity.Length `says:"C"`
			X      quantity.Length `says:"from the middle of the chord"`
		}) (out struct{ Offset quantity.Length }, err error) {
			y, err := ChordOffset(float64(in.Radius), float64(in.Chord), float64(in.X))
			out.Offset = quantity.Length(y)
			return out, err
		}),
		calc.New("geometry.tangent_offset", "distance of a curve from its tangent", planeGeometry, func(in struct {
			Radius quantity.Length `says:"R"`
			X      quantity.Length `says:"along the tangent"`
		}) (out struct{ Offset quantity.Length }, err error) {
			y, err := TangentOffset(float64(in.Radius), float64(in.X))
			out.Offset = quantity.Length(y)
			return out, err
		}),
		calc.New("geometry.radius_from_mid_ordinate", "radius of a curve from a chord and the rise at its middle", planeGeometry, func(in struct {
			Chord       quantity.Length `says:"C"`
			MidOrdinate quantity.Length `says:"m"`
		}) (out struct{ Radius quantity.Length }, err error) {
			r, err := RadiusFromMidOrdinate(float64(in.Chord), float64(in.MidOrdinate))
			out.Radius = quantity.Length(r)
			return out, err
		}),
		calc.New("geometry.longest_chord", "longest straight piece that stays within a distance of a curve", planeGeometry, func(in struct {
			Radius      quantity.Length `says:"R"`
			MidOrdinate quantity.Length `says:"largest distance allowed"`
		}) (out struct{ Chord quantity.Length }, err error) {
			c, err := LongestChord(float64(in.Radius), float64(in.MidOrdinate))
			out.Chord = quantity.Length(c)
			return out, err
		}),
		calc.New("geometry.segment_share", "share of a disc cut off by a straight edge", planeGeometry, func(in struct {
			Radius quantity.Length `says:"r"`
			Edge   quantity.Length `says:"distance of the edge from the centre"`
		}) (out struct {
			Share quantity.Percent
			Area  quantity.Area `says:"of the whole disc"`
		}, err error) {
			share, err := SegmentShare(float64(in.Radius), float64(in.Edge))
			out.Share = quantity.Percent(share)
			out.Area = quantity.Area(math.Pi * float64(in.Radius*in.Radius))
			return out, err
		}),
	}
}
