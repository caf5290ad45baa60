package geometry

import "math"

// Corner is a corner of a polygon seen from inside the material.
type Corner struct {
	At    Point
	Ring  int     // 0 is the outline, 1 the first hole
	Index int     // position in its ring
	Angle float64 // interior angle, radians in [0, 2π): above π the corner is re-entrant
}

// reentrantFloor keeps corners that are straight to within half a degree from counting as re-entrant: an outline typed
// from tapes has such bends on its straight sides.
const reentrantFloor = 0.5 * math.Pi / 180

// Corners returns the interior angle at every corner, outline first, in stored order. At a hole the material is outside
// the ring, so an ordinary corner of the hole has an angle of about 3π/2.
func (p Polygon) Corners() []Corner {
	var corners []Corner
	for r, ring := range p.Rings() {
		materialLeft := IsCounterClockwise(ring) == (r == 0)
		n := len(ring)
		for i, at := range ring {
			back, ahead := ring[(i+n-1)%n].Sub(at), ring[(i+1)%n].Sub(at)
			if !materialLeft {
				back, ahead = ahead, back
			}
			angle := math.Atan2(ahead.Cross(back), ahead.Dot(back))
			if angle < 0 {
				angle += 2 * math.Pi
			}
			corners = append(corners, Corner{at, r, i, angle})
		}
	}
	return corners
}

// InteriorAngles returns the interior angles of the outline in stored order, radians. For a simple ring of n corners
// they sum to (n − 2)π.
func (p Polygon) InteriorAngles() []float64 {
	var angles []float64
	for _, c := range p.Corners() {
		if c.Ring == 0 {
			angles = append(angles, c.Angle)
		}
	}
	return angles
}

// ReentrantCorners returns the corners that point into the material, of the outline and of holes: where a slab cracks
// first. Bends of less than half a degree are straight.
func (p Polygon) ReentrantCorners() []Corner {
	var out []Corner
	for _, c := range p.Corners() {
		if c.Angle > math.Pi+reentrantFloor {
			out = append(out, c)
		}
	}
	return out
}
