package geometry

import "math"

// TurnedBox is a rectangle at any heading.
type TurnedBox struct {
	Corner  Point   // one corner, metres
	Heading float64 // direction of the long side from Corner, radians in (−π, π]
	Length  float64 // long side, metres
	Width   float64 // short side, to the left of the long one, metres
}

// MinimumRectangle returns the rectangle of least area around the points. One of its sides lies along an edge of the
// convex hull, so every edge is tried. Points that span no area give a box without width.
func MinimumRectangle(points []Point) TurnedBox {
	hull := ConvexHull(points).Outer
	if len(hull) == 0 {
		return flatBox(points)
	}
	best, least := TurnedBox{}, math.Inf(1)
	for i, a := range hull {
		box := boxAlong(hull, hull[(i+1)%len(hull)].Sub(a).Unit())
		if area := box.Length * box.Width; area < least {
			best, least = box, area
		}
	}
	return best
}

func flatBox(points []Point) TurnedBox {
	if len(points) == 0 {
		return TurnedBox{}
	}
	far := points[0]
	for _, q := range points {
		if q.Distance(points[0]) > far.Distance(points[0]) {
			far = q
		}
	}
	return boxAlong(points, far.Sub(points[0]).Unit())
}

// boxAlong bounds the points by sides along u and across it, long side first.
func boxAlong(points []Point, u Point) TurnedBox {
	turned := EmptyBox()
	for _, q := range points {
		turned = turned.Grow(Point{u.Dot(q), u.Cross(q)})
	}
	place := func(station, offset float64) Point { return u.Scale(station).Add(u.Left().Scale(offset)) }
	if turned.Width() >= turned.Height() {
		return TurnedBox{place(turned.Min.X, turned.Min.Y), u.Heading(), turned.Width(), turned.Height()}
	}
	return TurnedBox{place(turned.Max.X, turned.Min.Y), u.Left().Heading(), turned.Height(), turned.Width()}
}
