package terrain

import (
	"fmt"
	"math"
	"sync"

	"github.com/peterstace/simplefeatures/rtree"

	"slabwright/internal/engines/geometry"
)

// Surface is ground between shots: flat triangles that meet along their edges. It is not changed after it is made and
// may be read by several goroutines.
type Surface struct {
	shots  []Shot
	halves []half     // three per triangle, counter-clockwise; twin is −1 on the hull
	fixed  []bool     // per half: on a breakline
	ties   [][4]int32 // edge and its two apexes, where all four lie on one circle and either diagonal would be Delaunay
	index  *planIndex
}

// planIndex finds triangles by place; built at the first question and shared by surfaces with the same plan.
type planIndex struct {
	once sync.Once
	tree *rtree.RTree
}

// newSurface drops the ghosts and keeps the real triangles in the order they were made.
func newSurface(m *mesh, shots []Shot, ties []int32) *Surface {
	s := &Surface{shots: shots, index: &planIndex{}}
	place := make([]int32, len(m.halves)/3)
	n := int32(0)
	for t := range place {
		place[t] = -1
		if !m.hasGhost(int32(3 * t)) {
			place[t] = n
			n++
		}
	}
	s.halves, s.fixed = make([]half, 0, 3*n), make([]bool, 0, 3*n)
	for h, e := range m.halves {
		if place[h/3] < 0 {
			continue
		}
		twin := int32(-1)
		if o := place[e.twin/3]; o >= 0 {
			twin = 3*o + e.twin%3
		}
		s.halves = append(s.halves, half{e.from, twin})
		s.fixed = append(s.fixed, m.fixed[h])
	}
	for _, h := range ties {
		s.ties = append(s.ties, [4]int32{m.from(h), m.to(h), m.apex(h), m.apex(m.twin(h))})
	}
	return s
}

func (s *Surface) point(v int32) geometry.Point { return s.shots[v].Point() }
func (s *Surface) from(h int32) int32           { return s.halves[h].from }
func (s *Surface) to(h int32) int32             { return s.halves[next(h)].from }
func (s *Surface) twin(h int32) int32           { return s.halves[h].twin }
func (s *Surface) z(v int32) float64            { return s.shots[v].Z }

// Len returns the number of triangles.
func (s *Surface) Len() int { return len(s.halves) / 3 }

// Shots returns the shots as they were given; merged ones are in the list but in no triangle. Do not change it.
func (s *Surface) Shots() []Shot { return s.shots }

// Triangle returns the positions of the three shots of triangle i, counter-clockwise; 0 ≤ i < Len.
func (s *Surface) Triangle(i int) [3]int {
	return [3]int{int(s.halves[3*i].from), int(s.halves[3*i+1].from), int(s.halves[3*i+2].from)}
}

// Neighbour returns the triangle beyond side k of triangle i (the side from corner k to the next), or −1 on the hull.
func (s *Surface) Neighbour(i, k int) int {
	if o := s.halves[3*i+k].twin; o >= 0 {
		return int(o / 3)
	}
	return -1
}

// OnBreakline reports whether side k of triangle i lies on a breakline.
func (s *Surface) OnBreakline(i, k int) bool { return s.fixed[3*i+k] }

// Hull returns the outline of the surface, counter-clockwise: the convex hull of the shots with every shot on it. A surface that
// [Surface.Only] left with holes or pieces gives the ring that holds its first shot.
func (s *Surface) Hull() geometry.Polygon {
	onward := map[int32]int32{}
	start := int32(-1)
	for h := range s.halves {
		if h := int32(h); s.twin(h) < 0 {
			onward[s.from(h)] = s.to(h)
			if start < 0 || s.from(h) < start {
				start = s.from(h)
			}
		}
	}
	var ring []geometry.Point
	for v := start; len(ring) < len(onward); v = onward[v] {
		ring = append(ring, s.point(v))
	}
	return geometry.Polygon{Outer: ring}
}

// facet is a flat piece of ground: a triangle of a surface, or, without corners, a plane that has no end.
type facet struct {
	corners [3]geometry.Point
	endless bool
	origin  geometry.Point
	height  float64        // at origin
	slope   geometry.Point // rise per metre east and north
	low     float64        // least and greatest height: at the corners of a triangle
	high    float64
}

// at returns the height at a point of the facet. It never leaves the range of the corners: in a triangle as thin as the
// rounding of its coordinates the slope alone could say anything.
func (f *facet) at(p geometry.Point) float64 {
	z := f.height + f.slope.X*(p.X-f.origin.X) + f.slope.Y*(p.Y-f.origin.Y)
	return min(max(z, f.low), f.high)
}

// over returns the height at any point of the facet's plane.
func (f *facet) over(p geometry.Point) float64 { return f.height + f.slope.Dot(p.Sub(f.origin)) }

func (s *Surface) facetOf(a, b, c int32) facet {
	f := facet{corners: [3]geometry.Point{s.point(a), s.point(b), s.point(c)}, height: s.z(a)}
	f.low, f.high = min(s.z(a), s.z(b), s.z(c)), max(s.z(a), s.z(b), s.z(c))
	f.origin = f.corners[0]
	u, v := f.corners[1].Sub(f.origin), f.corners[2].Sub(f.origin)
	du, dv := s.z(b)-s.z(a), s.z(c)-s.z(a)
	twice := u.Cross(v)
	f.slope = geometry.Point{X: (du*v.Y - dv*u.Y) / twice, Y: (dv*u.X - du*v.X) / twice}
	return f
}

func (s *Surface) facet(t int32) facet { return s.facetOf(s.from(3*t), s.from(3*t+1), s.from(3*t+2)) }

// Slope returns the rise per metre east and north of triangle i.
func (s *Surface) Slope(i int) geometry.Point { return s.facet(int32(i)).slope }

// tree builds the index of triangles at first use.
func (s *Surface) tree() *rtree.RTree {
	s.index.once.Do(func() {
		items := make([]rtree.BulkItem, s.Len())
		for t := range items {
			f := s.facet(int32(t))
			items[t] = rtree.BulkItem{Box: searchBox(geometry.BoundsOf(f.corners[:])), RecordID: t}
		}
		s.index.tree = rtree.BulkLoad(items)
	})
	return s.index.tree
}

func searchBox(b geometry.Box) rtree.Box {
	return rtree.Box{MinX: b.Min.X, MinY: b.Min.Y, MaxX: b.Max.X, MaxY: b.Max.Y}
}

// search visits the triangles whose boxes meet the box, until visit answers false.
func (s *Surface) search(b geometry.Box, visit func(t int32) bool) {
	mustSearch(s.tree(), searchBox(b), func(t int) bool { return visit(int32(t)) })
}

// Find returns the triangle that holds p, on its border included; ok is false outside the hull. On a shared edge it is
// the same triangle each time.
func (s *Surface) Find(p geometry.Point) (triangle int, ok bool) {
	if !p.IsFinite() {
		return 0, false
	}
	p = settle(p)
	s.search(geometry.Box{Min: p, Max: p}, func(t int32) bool {
		a, b, c := s.point(s.from(3*t)), s.point(s.from(3*t+1)), s.point(s.from(3*t+2))
		ok = geometry.Orient(a, b, p) >= 0 && geometry.Orient(b, c, p) >= 0 && geometry.Orient(c, a, p) >= 0
		triangle = int(t)
		return !ok
	})
	return triangle, ok
}

// At returns the height of the surface at p, linear within each triangle; ok is false outside the hull.
// Checked: SITE-10, SITE-11.
func (s *Surface) At(p geometry.Point) (z float64, ok bool) {
	t, ok := s.Find(p)
	if !ok {
		return 0, false
	}
	f := s.facet(int32(t))
	return f.at(p), true
}

// PlanArea returns the area of the surface seen from above, m². Checked: SITE-10.
func (s *Surface) PlanArea() float64 {
	area := 0.0
	for t := range int32(s.Len()) {
		f := s.facet(t)
		area += geometry.SignedArea(f.corners[:])
	}
	return area
}

// SlopeArea returns the area along the slopes, m²: plan area times √(1 + |slope|²), triangle by triangle.
// Checked: SITE-10.
func (s *Surface) SlopeArea() float64 {
	area := 0.0
	for t := range int32(s.Len()) {
		f := s.facet(t)
		area += geometry.SignedArea(f.corners[:]) * math.Sqrt(1+f.slope.Dot(f.slope))
	}
	return area
}

// Raised returns the surface with every shot raised by dz metres (lowered when negative): the top of base is the top of
// slab lowered by its thickness.
func (s *Surface) Raised(dz float64) *Surface {
	heights := make([]float64, len(s.shots))
	for i, shot := range s.shots {
		heights[i] = shot.Z + dz
	}
	raised, _ := s.Reshaped(heights)
	return raised
}

// Reshaped returns the surface with the same triangles and other heights, one per shot.
func (s *Surface) Reshaped(heights []float64) (*Surface, error) {
	if len(heights) != len(s.shots) {
		return nil, fmt.Errorf("terrain: %d heights for %d shots", len(heights), len(s.shots))
	}
	shaped := *s
	shaped.shots = make([]Shot, len(s.shots))
	for i, shot := range s.shots {
		shot.Z = heights[i]
		shaped.shots[i] = shot
	}
	return &shaped, nil
}

// Only returns the triangles that keep says yes to, as a surface whose border is theirs. Where two kept pieces touch in one shot
// alone, water and walks round that shot see only one of them.
func (s *Surface) Only(keep func(triangle int) bool) *Surface {
	place := make([]int32, s.Len())
	n := int32(0)
	for t := range place {
		place[t] = -1
		if keep(t) {
			place[t] = n
			n++
		}
	}
	out := &Surface{shots: s.shots, index: &planIndex{}, halves: make([]half, 0, 3*n), fixed: make([]bool, 0, 3*n)}
	for h, e := range s.halves {
		if place[h/3] < 0 {
			continue
		}
		twin := int32(-1)
		if e.twin >= 0 && place[e.twin/3] >= 0 {
			twin = 3*place[e.twin/3] + e.twin%3
		}
		out.halves = append(out.halves, half{e.from, twin})
		out.fixed = append(out.fixed, s.fixed[h])
	}
	return out
}

// Plane is endless flat ground: z = Height + Slope·(p − Origin).
type Plane struct {
	Origin geometry.Point
	Height float64        // at Origin, metres
	Slope  geometry.Point // rise per metre east and north
}

// At returns the height of the plane at p.
func (p Plane) At(q geometry.Point) (z float64, ok bool) {
	return p.Height + p.Slope.Dot(q.Sub(p.Origin)), true
}
