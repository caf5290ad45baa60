package geometry

import (
	"errors"
	"math"

	"github.com/peterstace/simplefeatures/geom"
)

// operation is an overlay of two shapes.
type operation func(a, b geom.Geometry) (geom.Geometry, error)

// turns are the ways two shapes are turned before an overlay, in radians. Any angles do that make other roundings.
var turns = []float64{0, 0.3, 0.7, 1.1, 1.9, 2.6, 3.5, 4.4}

// settled is an overlay whose area comes out the same two ways round. The library may lose a whole area, without an error, where edges
// of the two lie within rounding of each other, as a form board along a slab does; turned by some angle, they round otherwise.
func settled(a, b geom.Geometry, op operation) (geom.Geometry, error) {
	within := 1e-9*(a.Area()+b.Area()) + SliverArea
	var tried []geom.Geometry
	var failed error
	for _, angle := range turns {
		turn, back := turning(a, angle)
		g, err := op(a.TransformXY(turn), b.TransformXY(turn))
		if err != nil {
			failed = err
			continue
		}
		for _, before := range tried {
			if math.Abs(before.Area()-g.Area()) <= within {
				return before, nil
			}
		}
		tried = append(tried, g.TransformXY(back))
	}
	if failed == nil {
		failed = errUnsettled
	}
	return geom.Geometry{}, failed
}

// errUnsettled is an overlay that comes out otherwise whichever way it is turned.
var errUnsettled = errors.New("edges of the two lie too close together to tell apart; move one by a hair")

// turning turns coordinates about the middle of a shape, and back.
func turning(about geom.Geometry, angle float64) (turn, back func(geom.XY) geom.XY) {
	if angle == 0 { // to the bit
		same := func(p geom.XY) geom.XY { return p }
		return same, same
	}
	centre, _ := about.Envelope().Center().XY()
	sin, cos := math.Sincos(angle)
	return func(p geom.XY) geom.XY {
			d := p.Sub(centre)
			return geom.XY{X: centre.X + cos*d.X - sin*d.Y, Y: centre.Y + sin*d.X + cos*d.Y}
		}, func(p geom.XY) geom.XY {
			d := p.Sub(centre)
			return geom.XY{X: centre.X + cos*d.X + sin*d.Y, Y: centre.Y - sin*d.X + cos*d.Y}
		}
}
