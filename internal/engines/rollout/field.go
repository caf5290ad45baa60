package rollout

import (
	"math"

	"slabwright/internal/engines/geometry"
)

// field remembers distances to the nearest obstacle on a square mesh, worked out as they are asked for: the distance at any
// point differs from that at its mesh point by no more than the way between them.
type field struct {
	crowd    *crowd
	low      geometry.Point
	across   int
	up       int
	distance []float32
}

// mesh is the side of the field's squares, m: a quarter of the room an ordinary driver keeps on both sides. fieldMargin is how
// far past the obstacles it reaches; mostCells bounds its memory.
const (
	mesh        = 0.25
	fieldMargin = 12
	mostCells   = 1 << 20
)

func newField(c *crowd) *field {
	box := geometry.EmptyBox()
	for _, k := range c.parts {
		box = box.Grow(k.a).Grow(k.b)
	}
	f := &field{crowd: c}
	if box.IsEmpty() {
		return f
	}
	box = box.Expand(fieldMargin)
	across, up := math.Ceil(box.Width()/mesh)+1, math.Ceil(box.Height()/mesh)+1
	if across*up > mostCells {
		return f
	}
	f.low, f.across, f.up = box.Min, int(across), int(up)
	f.distance = make([]float32, f.across*f.up)
	return f
}

// unasked marks a mesh point nobody asked about yet; a distance that is exactly zero is kept as a nanometre.
const unasked = 0

// at is a distance to the nearest obstacle and how far off it may be.
func (f *field) at(x, y float64) (d, slack float64) {
	fx, fy := (x-f.low.X)/mesh, (y-f.low.Y)/mesh
	if !(fx >= 0 && fy >= 0 && fx < float64(f.across-1) && fy < float64(f.up-1)) {
		d, _ := f.crowd.distance(geometry.Point{X: x, Y: y})
		return d, 0
	}
	i, j := int(fx+0.5), int(fy+0.5)
	kept := &f.distance[j*f.across+i]
	px, py := f.low.X+float64(i)*mesh, f.low.Y+float64(j)*mesh
	if *kept == unasked {
		d, _ := f.crowd.distance(geometry.Point{X: px, Y: py})
		if d == unasked {
			d = 1e-9
		}
		*kept = float32(d)
	}
	dx, dy := x-px, y-py
	return float64(*kept), math.Sqrt(dx*dx+dy*dy) + float32Slack
}

// float32Slack covers the rounding of a kept distance, m.
const float32Slack = 1e-4
