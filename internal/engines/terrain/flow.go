package terrain

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
)

// FlowEnd says how a flow path ends.
type FlowEnd string

// The ways water's path can end.
const (
	RanOff FlowEnd = "ran off"        // over the edge of the surface
	Stands FlowEnd = "stands"         // in a hollow, or on level ground
	Lost   FlowEnd = "did not settle" // gave up; the path so far is right
)

// FlowPath is the way a drop of water takes.
type FlowPath struct {
	Points []Shot // from the start, downhill; names empty
	End    FlowEnd
}

// Length returns the length of the path in plan, metres.
func (f FlowPath) Length() float64 {
	sum := 0.0
	for i := 1; i < len(f.Points); i++ {
		sum += f.Points[i].Point().Distance(f.Points[i-1].Point())
	}
	return sum
}

// Flow follows the steepest way down from a point: straight down the slope across triangles, along an edge where both
// sides lean to it, and from a shot along whichever edge or slope is steepest. Error when the point is off the surface.
func (s *Surface) Flow(from geometry.Point) (FlowPath, error) {
	t, ok := s.Find(from)
	if !ok {
		return FlowPath{}, fmt.Errorf("terrain: no ground at (%.3f, %.3f): the flow must start on the surface", from.X, from.Y)
	}
	d := drop{s: s, around: s.vertexHalves(func(int32) {})}
	d.start(int32(t), from)
	for range 4*s.Len() + 16 { // every edge and corner is met at most once going down; this is room enough
		if d.end != "" {
			return FlowPath{d.path, d.end}, nil
		}
		d.step()
	}
	return FlowPath{d.path, Lost}, nil
}

// drop is a point on its way down: at a vertex, on an edge, or (at the start only) inside a triangle.
type drop struct {
	s      *Surface
	around []int32
	path   []Shot
	end    FlowEnd
	vertex int32 // −1: on an edge
	edge   int32 // half whose interior the drop is on
}

func (d *drop) here() geometry.Point { return d.path[len(d.path)-1].Point() }

func (d *drop) moveTo(p geometry.Point, z float64) {
	d.path = append(d.path, Shot{X: p.X, Y: p.Y, Z: z})
}

func (d *drop) moveToVertex(v int32) {
	d.vertex, d.edge = v, -1
	d.moveTo(d.s.point(v), d.s.z(v))
}

func (d *drop) start(t int32, p geometry.Point) {
	f := d.s.facet(t)
	for k, c := range f.corners {
		if c == p {
			d.moveToVertex(d.s.from(3*t + int32(k)))
			return
		}
	}
	d.moveTo(p, f.at(p))
	d.vertex = -1
	for h := 3 * t; h < 3*t+3; h++ {
		if geometry.Orient(d.s.point(d.s.from(h)), d.s.point(d.s.to(h)), p) == 0 {
			d.edge = h
			return
		}
	}
	d.cross(t, -1)
}

func (d *drop) step() {
	if d.vertex >= 0 {
		d.fromVertex()
	} else {
		d.fromEdge()
	}
}

// cross goes down the slope of triangle t to the side where it leaves. entry is the half it came over, −1 for none.
func (d *drop) cross(t, entry int32) {
	f := d.s.facet(t)
	down := f.slope.Scale(-1)
	if down == (geometry.Point{}) {
		d.end = Stands
		return
	}
	p := d.here()
	best, out := math.Inf(1), int32(-1)
	for h := 3 * t; h < 3*t+3; h++ {
		a := d.s.point(d.s.from(h))
		side := d.s.point(d.s.to(h)).Sub(a)
		closing := -side.Cross(down) // speed towards the side
		if h == entry || closing <= 0 {
			continue
		}
		if reach := max(0, side.Cross(p.Sub(a))/closing); reach < best {
			best, out = reach, h
		}
	}
	if out < 0 {
		d.end = Stands
		return
	}
	d.landOn(out, p.Add(down.Scale(best)))
}

// nearCorner is the share of an edge within which a drop counts as at its end: rounding must not send it past a corner.
const nearCorner = 1e-12

// landOn puts the drop on a half, or on its end when it is as good as there.
func (d *drop) landOn(h int32, p geometry.Point) {
	edge := geometry.Segment{A: d.s.point(d.s.from(h)), B: d.s.point(d.s.to(h))}
	on, t := edge.Nearest(p)
	switch {
	case t <= nearCorner:
		d.moveToVertex(d.s.from(h))
	case t >= 1-nearCorner:
		d.moveToVertex(d.s.to(h))
	default:
		d.vertex, d.edge = -1, h
		d.moveTo(on, d.s.z(d.s.from(h))*(1-t)+d.s.z(d.s.to(h))*t)
	}
}

// leansAway returns the fall of the triangle of h where it leads away from h into that triangle, else 0.
func (d *drop) leansAway(h int32) float64 {
	f := d.s.facet(h / 3)
	along := d.s.point(d.s.to(h)).Sub(d.s.point(d.s.from(h)))
	if along.Cross(f.slope.Scale(-1)) > 0 {
		return f.slope.Length()
	}
	return 0
}

// fromEdge takes the steepest of three ways: into either triangle or along the edge.
func (d *drop) fromEdge() {
	h, twin := d.edge, d.s.twin(d.edge)
	into := h
	steepest := d.leansAway(h)
	if twin >= 0 {
		if fall := d.leansAway(twin); fall > steepest {
			into, steepest = twin, fall
		}
	}
	low, high := d.s.from(h), d.s.to(h)
	if d.s.z(low) > d.s.z(high) {
		low, high = high, low
	}
	length := d.s.point(low).Distance(d.s.point(high))
	along := (d.s.z(high) - d.s.z(low)) / length
	switch {
	case steepest > 0 && steepest >= along:
		d.cross(into/3, into)
	case twin < 0 && d.runsOver(h):
		d.end = RanOff
	case along > 0:
		d.moveToVertex(low)
	default:
		d.end = Stands
	}
}

// runsOver reports whether the triangle of a hull half falls outwards across it.
func (d *drop) runsOver(h int32) bool {
	f := d.s.facet(h / 3)
	return d.s.point(d.s.to(h)).Sub(d.s.point(d.s.from(h))).Cross(f.slope.Scale(-1)) < 0
}

// fromVertex takes the steepest of all edges and slopes round the vertex.
func (d *drop) fromVertex() {
	v := d.vertex
	steepest, edgeTo, across := 0.0, int32(-1), int32(-1)
	onHull, over := false, false
	try := func(u int32) {
		if fall := (d.s.z(v) - d.s.z(u)) / d.s.point(v).Distance(d.s.point(u)); fall > steepest {
			steepest, edgeTo, across = fall, u, -1
		}
	}
	d.s.eachHalf(d.around, v, func(h int32) {
		try(d.s.to(h))
		back := prev(h)
		if d.s.twin(back) < 0 {
			try(d.s.from(back))
			onHull = true
			over = over || d.runsOver(back)
		}
		if d.s.twin(h) < 0 {
			onHull = true
			over = over || d.runsOver(h)
		}
		f := d.s.facet(h / 3)
		down := f.slope.Scale(-1)
		right := d.s.point(d.s.to(h)).Sub(d.s.point(v))
		left := d.s.point(d.s.from(back)).Sub(d.s.point(v))
		if right.Cross(down) > 0 && down.Cross(left) > 0 && f.slope.Length() > steepest {
			steepest, edgeTo, across = f.slope.Length(), -1, h
		}
	})
	switch {
	case across >= 0:
		f := d.s.facet(across / 3)
		d.landAcross(across, f.slope.Scale(-1))
	case edgeTo >= 0 && !(onHull && over && d.onHullEdge(v, edgeTo)):
		d.moveToVertex(edgeTo)
	case over:
		d.end = RanOff
	default:
		d.end = Stands
	}
}

// landAcross goes from the corner where half h starts down to the opposite side of its triangle.
func (d *drop) landAcross(h int32, down geometry.Point) {
	far := next(h)
	line := geometry.Segment{A: d.here(), B: d.here().Add(down)}
	p, ok := geometry.LineCrossing(line, geometry.Segment{A: d.s.point(d.s.from(far)), B: d.s.point(d.s.to(far))})
	if !ok {
		d.end = Stands
		return
	}
	d.landOn(far, p)
}

// onHullEdge reports whether the edge from v to u is on the hull with ground that falls over it.
func (d *drop) onHullEdge(v, u int32) (found bool) {
	d.s.eachHalf(d.around, v, func(h int32) {
		if d.s.to(h) == u && d.s.twin(h) < 0 && d.runsOver(h) {
			found = true
		}
		if back := prev(h); d.s.from(back) == u && d.s.twin(back) < 0 && d.runsOver(back) {
			found = true
		}
	})
	return found
}
