package rollout

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
)

// Obstacle is one thing that stands in the way: round, a line, or a solid outline.
type Obstacle struct {
	Name   string
	At     geometry.Point   // centre of a round thing, used when Line is empty
	Radius float64          // of a round thing, or half the thickness of a line, m
	Line   []geometry.Point // points it runs through
	Solid  bool             // the line closes and its inside is full
	Free   float64          // free height under it, m: a vehicle lower than that passes; zero stands on the ground
	Wheels bool             // it stops wheels only, as a curb does: bodies swing over it
}

// Validate says what keeps an obstacle from being one.
func (o Obstacle) Validate() error {
	if !o.At.IsFinite() || !(o.Radius >= 0 && o.Radius < 1e4) || !(o.Free >= 0) {
		return fmt.Errorf("rollout: %s has a place, radius or height that is not a number", o.Name)
	}
	if o.Solid && len(o.Line) < 3 || len(o.Line) == 1 {
		return fmt.Errorf("rollout: %s needs more points", o.Name)
	}
	for _, p := range o.Line {
		if !p.IsFinite() || p.Length() > 1e6 {
			return fmt.Errorf("rollout: %s runs through (%g, %g)", o.Name, p.X, p.Y)
		}
	}
	return nil
}

// stops says whether a body of a height is stopped by the obstacle.
func (o Obstacle) stops(height float64) bool {
	return o.Free == 0 || height == 0 || height > o.Free
}

// capsule is a straight piece of an obstacle with its roundness: what clearances are measured to.
type capsule struct {
	a, b  geometry.Point
	r     float64
	owner int
}

// crowd is every obstacle that stops a body of one height, cut into capsules.
type crowd struct {
	parts  []capsule
	solids []solid
}

type solid struct {
	ring  geometry.Polygon
	box   geometry.Box
	owner int
}

// gather takes the obstacles that stop a body of a height, or those that stop wheels only.
func gather(obstacles []Obstacle, height float64, wheels bool) *crowd {
	c := &crowd{}
	for i, o := range obstacles {
		if o.Wheels != wheels || !o.stops(height) {
			continue
		}
		if len(o.Line) == 0 {
			c.parts = append(c.parts, capsule{o.At, o.At, o.Radius, i})
			continue
		}
		for j := 1; j < len(o.Line); j++ {
			c.parts = append(c.parts, capsule{o.Line[j-1], o.Line[j], o.Radius, i})
		}
		if o.Solid {
			c.parts = append(c.parts, capsule{o.Line[len(o.Line)-1], o.Line[0], o.Radius, i})
			ring := geometry.Polygon{Outer: o.Line}
			c.solids = append(c.solids, solid{ring, ring.Bounds(), i})
		}
	}
	return c
}

// inSolid is the solid obstacle that holds a point, −1 for none.
func (c *crowd) inSolid(p geometry.Point) int {
	for _, s := range c.solids {
		if s.box.Contains(p) && s.ring.Contains(p) {
			return s.owner
		}
	}
	return -1
}

// distance is from a point to the nearest obstacle, negative inside a solid one; owner −1 when there is none.
func (c *crowd) distance(p geometry.Point) (d float64, owner int) {
	d, owner = math.Inf(1), -1
	for i := range c.parts {
		if e := c.parts[i].distance(p); e < d {
			d, owner = e, c.parts[i].owner
		}
	}
	if in := c.inSolid(p); in >= 0 {
		return -math.Abs(d), in
	}
	return d, owner
}

func (c *capsule) distance(p geometry.Point) float64 {
	vx, vy := c.b.X-c.a.X, c.b.Y-c.a.Y
	wx, wy := p.X-c.a.X, p.Y-c.a.Y
	if l2 := vx*vx + vy*vy; l2 > 0 {
		t := min(max((wx*vx+wy*vy)/l2, 0), 1)
		wx, wy = wx-t*vx, wy-t*vy
	}
	return math.Sqrt(wx*wx+wy*wy) - c.r
}

// box is a body in a place: centre, unit heading, half length and half width.
type box struct {
	x, y, c, s, long, wide float64
}

func (b Body) box(axle geometry.Point, cos, sin float64) box {
	mid := (b.Ahead - b.Behind) / 2
	return box{axle.X + mid*cos, axle.Y + mid*sin, cos, sin, b.Length() / 2, b.Width / 2}
}

// local is a point in the box's own frame.
func (b box) local(p geometry.Point) (x, y float64) {
	dx, dy := p.X-b.x, p.Y-b.y
	return dx*b.c + dy*b.s, dy*b.c - dx*b.s
}

// toCapsule is the signed clearance of the box to a capsule: the distance, or when they overlap minus the least shift that
// parts them (over the box's own two directions and the capsule's normal).
func (b box) toCapsule(k capsule) float64 {
	ax, ay := b.local(k.a)
	bx, by := b.local(k.b)
	return segmentToBox(ax, ay, bx, by, b.long, b.wide) - k.r
}

func segmentToBox(ax, ay, bx, by, long, wide float64) float64 {
	sx := max(min(ax, bx)-long, -long-max(ax, bx))
	sy := max(min(ay, by)-wide, -wide-max(ay, by))
	vx, vy := bx-ax, by-ay
	l := math.Hypot(vx, vy)
	sn := math.Inf(-1)
	if l > 0 {
		sn = math.Abs(ax*vy-ay*vx)/l - (long*math.Abs(vy)+wide*math.Abs(vx))/l
	}
	if worst := max(sx, sy, sn); worst <= 0 {
		return worst
	}
	if l == 0 {
		return math.Hypot(max(sx, 0), max(sy, 0))
	}
	d := min(pointToBox(ax, ay, long, wide), pointToBox(bx, by, long, wide))
	for _, corner := range [4][2]float64{{long, wide}, {long, -wide}, {-long, wide}, {-long, -wide}} {
		wx, wy := corner[0]-ax, corner[1]-ay
		t := min(max((wx*vx+wy*vy)/(l*l), 0), 1)
		d = min(d, math.Hypot(wx-t*vx, wy-t*vy))
	}
	return d
}

func pointToBox(x, y, long, wide float64) float64 {
	return math.Hypot(max(math.Abs(x)-long, 0), max(math.Abs(y)-wide, 0))
}

// clearance is the signed clearance of a box and the obstacle that is nearest, as far as it is below cap; otherwise cap.
func (c *crowd) clearance(b box, cap float64) (d float64, owner int) {
	d, owner = cap, -1
	centre := geometry.Point{X: b.x, Y: b.y}
	round := math.Hypot(b.long, b.wide)
	for i := range c.parts {
		if c.parts[i].distance(centre)-round >= d {
			continue
		}
		if e := b.toCapsule(c.parts[i]); e < d {
			d, owner = e, c.parts[i].owner
		}
	}
	if in := c.inSolid(centre); in >= 0 {
		return min(d, -b.wide), in
	}
	return d, owner
}
