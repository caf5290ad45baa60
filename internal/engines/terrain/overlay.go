package terrain

import (
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// Ground is a height for every place: a [Surface] between its shots, or an endless [Plane].
type Ground interface {
	// At returns the height at p; ok is false where the ground is not known.
	At(p geometry.Point) (z float64, ok bool)
	// facets visits the flat pieces whose boxes meet the box.
	facets(box geometry.Box, visit func(*facet))
	// bends returns the fractions along the segment where the ground bends.
	bends(line geometry.Segment) []float64
}

func (s *Surface) facets(box geometry.Box, visit func(*facet)) {
	s.search(box, func(t int32) bool {
		f := s.facet(t)
		visit(&f)
		return true
	})
}

func (p Plane) facets(_ geometry.Box, visit func(*facet)) {
	visit(&facet{endless: true, origin: p.Origin, height: p.Height, slope: p.Slope, low: math.Inf(-1), high: math.Inf(1)})
}

// Volumes is what lies between two grounds.
type Volumes struct {
	Cut, Fill         float64 // m³: existing above design, existing below design
	CutArea, FillArea float64 // m² in plan
	Area              float64 // m² in plan, of the whole boundary; what is neither cut nor fill is level
}

// Net returns cut minus fill, m³.
func (v Volumes) Net() float64 { return v.Cut - v.Fill }

// Plus returns the sum of two volumes over areas that do not overlap.
func (v Volumes) Plus(o Volumes) Volumes {
	return Volumes{v.Cut + o.Cut, v.Fill + o.Fill, v.CutArea + o.CutArea, v.FillArea + o.FillArea, v.Area + o.Area}
}

// Uncovered is the error of a boundary that reaches beyond the shots.
type Uncovered struct {
	Existing, Design float64 // m² of the boundary without existing ground, and of the rest without design
}

// Error says how much area is missing and what to do.
func (u *Uncovered) Error() string {
	return fmt.Sprintf("%.3g m² of the area has no existing ground and %.3g m² no design height: take shots beyond the outline, or shrink it",
		u.Existing, u.Design)
}

// coverTolerance is the share of the boundary that rounding in the clipping may lose.
const coverTolerance = 1e-9

// VolumesBetween integrates the depth between two grounds exactly over the boundary.
//
//	cut = ∫ max(d, 0) dA,   fill = ∫ max(−d, 0) dA,   d = z_existing − z_design
//
// Both triangulations and the boundary are overlaid; on each convex piece d is linear and is integrated in closed form
// (see [TrianglePrism]). Accurate to about 1e-12 of area times depth. Where a surface does not cover the boundary the
// error is [*Uncovered]: nothing is extrapolated. Source: plane and solid geometry. Checked: SITE-10, SITE-11, SITE-12.
func VolumesBetween(existing, design Ground, boundary geometry.Polygon) (Volumes, error) {
	var sum Volumes
	err := Overlay(existing, design, boundary, func(ring []geometry.Point, depth []float64) {
		for i := 2; i < len(ring); i++ {
			corners := [3]geometry.Point{ring[0], ring[i-1], ring[i]}
			sum.add(geometry.SignedArea(corners[:]), depth[0], depth[i-1], depth[i])
		}
	})
	sum.Area = boundary.Area()
	return sum, err
}

func (v *Volumes) add(area, d1, d2, d3 float64) {
	p := TrianglePrism(area, d1, d2, d3)
	v.Cut += p.Cut
	v.Fill += p.Fill
	v.CutArea += p.CutArea
	v.FillArea += p.FillArea
}

// TrianglePrism returns cut and fill over one triangle whose depth is linear between its corners.
//
//	one sign:            V = A (d1 + d2 + d3)/3
//	d1, d2 ≥ 0 > d3:     fill = A |d3|³ / (3 (d1 + |d3|)(d2 + |d3|)),   cut = A (d1 + d2 + d3)/3 + fill
//	                     fill area = A d3² / ((d1 + |d3|)(d2 + |d3|))
//
// and the mirror of it for one corner above. A plan area, m²; d depths, existing minus design, m.
// Source: solid geometry: the corner piece is a pyramid over a similar triangle.
func TrianglePrism(area, d1, d2, d3 float64) Volumes {
	v := Volumes{Area: area}
	total := area * (d1 + d2 + d3) / 3
	lone, a, b, ok := loneCorner(d1, d2, d3)
	switch {
	case ok && lone < 0:
		v.Fill, v.FillArea = cornerPiece(area, -lone, a, b)
		v.Cut, v.CutArea = total+v.Fill, area-v.FillArea
	case ok:
		v.Cut, v.CutArea = cornerPiece(area, lone, -a, -b)
		v.Fill, v.FillArea = v.Cut-total, area-v.CutArea
	case d1 > 0 || d2 > 0 || d3 > 0:
		v.Cut, v.CutArea = total, area
	case d1 < 0 || d2 < 0 || d3 < 0:
		v.Fill, v.FillArea = -total, area
	}
	return v
}

// loneCorner returns the depth that has the other sign from both others, and those two; ok is false without such.
func loneCorner(d1, d2, d3 float64) (lone, a, b float64, ok bool) {
	for range 3 {
		if d1 < 0 && d2 >= 0 && d3 >= 0 && d2+d3 > 0 || d1 > 0 && d2 <= 0 && d3 <= 0 && d2+d3 < 0 {
			return d1, d2, d3, true
		}
		d1, d2, d3 = d2, d3, d1
	}
	return 0, 0, 0, false
}

// cornerPiece returns volume and area beyond the zero line round a corner of height h; a and b ≥ 0 are the heights of
// the other two on the far side of it.
func cornerPiece(area, h, a, b float64) (volume, share float64) {
	share = area * (h / (a + h)) * (h / (b + h))
	return share * h / 3, share
}

// Overlay visits every piece of the boundary on which both grounds are flat: its corners, counter-clockwise, and the depth
// (existing minus design, metres) at each. The slices are only good during the visit. Pieces share no area and cover
// the boundary; where they do not, the error is [*Uncovered] and the visits must be forgotten.
func Overlay(existing, design Ground, boundary geometry.Polygon, visit func(ring []geometry.Point, depth []float64)) error {
	within, err := newRegion(boundary)
	if err != nil {
		return err
	}
	sign, first, second := 1.0, existing, design
	if _, endless := first.(Plane); endless { // cut the boundary by the ground that has triangles first
		sign, first, second = -1, design, existing
	}
	var onFirst, onBoth float64
	var depth [mostCorners]float64
	first.facets(boundary.Bounds(), func(f *facet) {
		within.pieces(f, func(piece *convex) {
			onFirst += piece.area()
			second.facets(piece.box(), func(g *facet) {
				part := *piece
				if !g.endless {
					if part = piece.clip(&g.corners); part.n < 3 {
						return
					}
				}
				onBoth += part.area()
				for i, p := range part.p[:part.n] {
					depth[i] = sign * (f.at(p) - g.at(p))
				}
				visit(part.p[:part.n], depth[:part.n])
			})
		})
	})
	return uncovered(boundary.Area(), onFirst, onBoth, sign)
}

func uncovered(area, onFirst, onBoth, sign float64) error {
	if area-onBoth <= coverTolerance*area {
		return nil
	}
	u := &Uncovered{Existing: max(0, area-onFirst), Design: max(0, onFirst-onBoth)}
	if sign < 0 {
		u.Existing, u.Design = u.Design, u.Existing
	}
	return u
}

// Patch is a flat piece of a surface inside a boundary.
type Patch struct {
	Ring []geometry.Point // convex, counter-clockwise
	Z    []float64        // height at each corner, metres
}

// Within returns the surface cut off at the boundary, as flat pieces. Where it does not reach the boundary the error is
// [*Uncovered], beside the pieces there are.
func (s *Surface) Within(boundary geometry.Polygon) ([]Patch, error) {
	var patches []Patch
	err := Overlay(s, Plane{}, boundary, func(ring []geometry.Point, heights []float64) {
		patches = append(patches, Patch{slices.Clone(ring), slices.Clone(heights)})
	})
	return patches, err
}
