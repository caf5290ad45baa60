package rollout

import (
	"math"

	"slabwright/internal/engines/geometry"
)

// ground is a rig among obstacles, ready for many questions: one crowd and one distance field for each body's height.
type ground struct {
	rig    Rig
	bodies []bodyOn
	wheels []bodyOn // what the wheels of each body stand in, where something stops wheels only
}

// bodyOn is one body with what stops it and the discs that cover it.
type bodyOn struct {
	body          Body
	crowd         *crowd
	field         *field
	discs         []float64 // centres, from the axle along the heading
	cover, within float64   // radius of the discs that cover the body, and of those inside it
}

func (r Rig) on(obstacles []Obstacle) *ground {
	g := &ground{rig: r}
	tow := gather(obstacles, r.Tow.Height, false)
	g.bodies = append(g.bodies, r.Tow.on(tow, newField(tow)))
	if r.Towing() {
		if r.Trailer.Height == r.Tow.Height || !passable(obstacles) {
			g.bodies = append(g.bodies, r.Trailer.on(tow, g.bodies[0].field))
		} else {
			trailer := gather(obstacles, r.Trailer.Height, false)
			g.bodies = append(g.bodies, r.Trailer.on(trailer, newField(trailer)))
		}
	}
	if low := gather(obstacles, 0, true); len(low.parts) > 0 {
		f := newField(low)
		g.wheels = append(g.wheels, Body{Ahead: r.Wheelbase, Width: r.Tow.Track()}.on(low, f))
		if r.Towing() {
			g.wheels = append(g.wheels, Body{Ahead: axleReach, Behind: axleReach, Width: r.Trailer.Track()}.on(low, f))
		}
	}
	return g
}

// axleReach is how far a trailer's wheels stand ahead of the middle of their group and behind it, m: two axles.
const axleReach = 0.8

// layers is how many things over one axle are held against obstacles: the body, and its wheels where something stops wheels only.
func (g *ground) layers() int {
	if len(g.wheels) == 0 {
		return 1
	}
	return 2
}

// layer is one of them over one axle, the body first.
func (g *ground) layer(i, which int) *bodyOn {
	if which == 0 {
		return &g.bodies[i]
	}
	return &g.wheels[i]
}

// clear says whether what stands over one axle keeps a margin to everything, and about how much room it has.
func (g *ground) clear(i int, x, y, cos, sin, margin float64) (ok bool, room float64) {
	ok, room = g.bodies[i].keeps(x, y, cos, sin, margin)
	if !ok || len(g.wheels) == 0 {
		return ok, room
	}
	ok, has := g.wheels[i].keeps(x, y, cos, sin, margin)
	return ok, min(room, has)
}

func passable(obstacles []Obstacle) bool {
	for _, o := range obstacles {
		if o.Free > 0 {
			return true
		}
	}
	return false
}

func (b Body) on(c *crowd, f *field) bodyOn {
	n := max(1, int(math.Ceil(b.Length()/b.Width)))
	part := b.Length() / float64(n)
	out := bodyOn{body: b, crowd: c, field: f, cover: math.Hypot(part/2, b.Width/2), within: min(b.Width, part) / 2}
	for i := range n {
		out.discs = append(out.discs, -b.Behind+part*(float64(i)+0.5))
	}
	return out
}

// least is a lower bound of the body's clearance from its cover discs, m.
func (b *bodyOn) least(x, y, cos, sin float64) float64 {
	low := math.Inf(1)
	for _, a := range b.discs {
		d, slack := b.field.at(x+a*cos, y+a*sin)
		low = min(low, d-slack)
	}
	return low - b.cover
}

// keeps says whether the body keeps a margin to everything, and about how much room it has.
func (b *bodyOn) keeps(x, y, cos, sin, margin float64) (ok bool, room float64) {
	low := math.Inf(1)
	for _, a := range b.discs {
		d, slack := b.field.at(x+a*cos, y+a*sin)
		if d+slack < b.within+margin {
			return false, 0
		}
		low = min(low, d-slack)
	}
	if low-b.cover >= margin {
		return true, low - b.within
	}
	d, _ := b.crowd.clearance(b.body.box(geometry.Point{X: x, Y: y}, cos, sin), low+margin)
	return d >= margin, d
}

// axles are the reference points of the bodies with cosine and sine of their headings.
func (r Rig) axles(p Pose) (n int, at [2]geometry.Point, cos, sin [2]float64) {
	sin[0], cos[0] = math.Sincos(p.Heading)
	at[0] = p.At
	if !r.Towing() {
		return 1, at, cos, sin
	}
	sin[1], cos[1] = math.Sincos(p.Trailer)
	at[1] = geometry.Point{X: p.At.X - r.Hitch*cos[0] - r.Tongue*cos[1], Y: p.At.Y - r.Hitch*sin[0] - r.Tongue*sin[1]}
	return 2, at, cos, sin
}

// keeps says whether the rig in a pose keeps a margin to everything, and about how much room it has.
func (g *ground) keeps(p Pose, margin float64) (ok bool, room float64) {
	n, at, cos, sin := g.rig.axles(p)
	room = math.Inf(1)
	for i := range n {
		ok, has := g.clear(i, at[i].X, at[i].Y, cos[i], sin[i], margin)
		if !ok {
			return false, 0
		}
		room = min(room, has)
	}
	return true, room
}

// exact is the signed clearance of the rig in a pose, its obstacle and its body, as far as it is below cap.
func (g *ground) exact(p Pose, cap float64) (d float64, owner, body int) {
	n, at, cos, sin := g.rig.axles(p)
	d, owner = cap, -1
	for i := range n {
		for which := range g.layers() {
			b := g.layer(i, which)
			if b.least(at[i].X, at[i].Y, cos[i], sin[i]) >= d {
				continue
			}
			if e, o := b.crowd.clearance(b.body.box(at[i], cos[i], sin[i]), d); e < d {
				d, owner, body = e, o, i
			}
		}
	}
	return d, owner, body
}

// Tight is the place of a drive where the room is least.
type Tight struct {
	Clearance float64 // m; below zero the bodies overlap and it is the least shift that frees them
	Obstacle  int     // index of the nearest obstacle; −1 when none was nearer than the cap
	Trailer   bool    // it is the trailer that is near
	At        Pose
	Station   float64        // m driven until there
	Near      geometry.Point // of the obstacle
}

// clearanceCap is how far clearances are looked for: beyond it nothing is near, m.
const clearanceCap = 25

// stride is how far any corner may move between two poses that are looked at, m; where there is plenty of room the stride is
// as long as the room.
const stride = 0.02

// Clearance is the least room between the rig and the obstacles over a drive. Poses are looked at so closely that between
// two of them no corner moves more than 20 mm beyond what would change the answer. Checked: SITE-33.
func (r Rig) Clearance(d Drive, obstacles []Obstacle) Tight { return r.on(obstacles).clearance(d) }

func (g *ground) clearance(d Drive) Tight {
	best := Tight{Clearance: clearanceCap, Obstacle: -1, At: d.From}
	look := func(p Pose, station float64) float64 {
		c, owner, body := g.exact(p, clearanceCap)
		if c < best.Clearance {
			best.Clearance, best.Obstacle, best.Trailer, best.At, best.Station = c, owner, body == 1, p, station
		}
		return c
	}
	p, station := d.From, 0.0
	room := look(p, 0)
	for _, piece := range d.Pieces {
		total, sign := math.Abs(piece.Distance), math.Copysign(1, piece.Distance)
		swing := g.rig.swing(piece.Curvature)
		for s := 0.0; s < total; {
			s = min(total, s+max(stride, room-best.Clearance)/swing)
			room = look(g.rig.Move(p, Piece{piece.Curvature, sign * s}), station+s)
		}
		p = g.rig.Move(p, piece)
		station += total
	}
	best.Near = g.nearest(best)
	return best
}

// swing bounds how far a corner moves for each metre of the rear axle.
func (r Rig) swing(k float64) float64 {
	far := func(b Body) float64 { return math.Hypot(max(math.Abs(b.Ahead), math.Abs(b.Behind)), b.Width/2) }
	tow := 1 + math.Abs(k)*far(r.Tow)
	if !r.Towing() {
		return tow
	}
	hitch := math.Hypot(1, k*r.Hitch)
	return max(tow, hitch*(1+far(Body{r.Trailer.Ahead + r.Tongue, max(r.Trailer.Behind, r.Trailer.Ahead) + r.Tongue, r.Trailer.Width, 0})/r.Tongue))
}

// nearest is the point of the obstacle that the tight place is about.
func (g *ground) nearest(t Tight) geometry.Point {
	n, at, cos, sin := g.rig.axles(t.At)
	which := 0
	if t.Trailer && n == 2 {
		which = 1
	}
	best, near := math.Inf(1), t.At.At
	for layer := range g.layers() {
		body := g.layer(which, layer)
		b := body.body.box(at[which], cos[which], sin[which])
		for _, k := range body.crowd.parts {
			if k.owner != t.Obstacle {
				continue
			}
			if d := b.toCapsule(k); d < best {
				best, near = d, b.nearestOn(k)
			}
		}
	}
	return near
}

// nearestOn is the point of a capsule's spine nearest to the box, by halving the search along it: the distance to a box is
// convex along a line.
func (b box) nearestOn(k capsule) geometry.Point {
	low, high := 0.0, 1.0
	reach := func(t float64) float64 {
		x, y := b.local(k.a.Lerp(k.b, t))
		return pointToBox(x, y, b.long, b.wide)
	}
	for range 40 {
		m1, m2 := low+(high-low)/3, high-(high-low)/3
		if reach(m1) <= reach(m2) {
			high = m2
		} else {
			low = m1
		}
	}
	return k.a.Lerp(k.b, (low+high)/2)
}
