package terrain

import (
	"errors"
	"fmt"
	"math"

	"github.com/peterstace/simplefeatures/rtree"

	"slabwright/internal/engines/geometry"
)

// region is a boundary prepared for clipping many triangles: cut into triangles itself, with its edges indexed.
type region struct {
	boundary  geometry.Polygon
	triangles [][3]geometry.Point
	tree      *rtree.RTree // of triangles
	edges     *rtree.RTree
}

func newRegion(boundary geometry.Polygon) (*region, error) {
	if faults := boundary.Faults(); len(faults) > 0 {
		return nil, errors.New("terrain: boundary: " + faults[0].Says)
	}
	if b := boundary.Bounds(); max(-b.Min.X, -b.Min.Y, b.Max.X, b.Max.Y) > farthest {
		return nil, fmt.Errorf("terrain: the boundary reaches from (%g, %g) to (%g, %g): check its unit", b.Min.X, b.Min.Y, b.Max.X, b.Max.Y)
	}
	r := &region{boundary: boundary.Map(settle)}
	if err := r.cut(); err != nil {
		return nil, err
	}
	items := make([]rtree.BulkItem, len(r.triangles))
	for i, t := range r.triangles {
		items[i] = rtree.BulkItem{Box: searchBox(geometry.BoundsOf(t[:])), RecordID: i}
	}
	r.tree = rtree.BulkLoad(items)
	edges := r.boundary.Edges()
	items = make([]rtree.BulkItem, len(edges))
	for i, e := range edges {
		items[i] = rtree.BulkItem{Box: searchBox(e.Bounds()), RecordID: i}
	}
	r.edges = rtree.BulkLoad(items)
	return r, nil
}

// cut triangulates the boundary between its own corners and keeps the triangles inside.
func (r *region) cut() error {
	var corners []geometry.Point
	number := map[geometry.Point]int32{}
	for _, ring := range r.boundary.Rings() {
		for _, p := range ring {
			if _, known := number[p]; !known {
				number[p] = int32(len(corners))
				corners = append(corners, p)
			}
		}
	}
	m, ok := newMesh(corners)
	if !ok {
		return errors.New("terrain: boundary encloses no area")
	}
	m.prepare()
	for _, e := range r.boundary.Edges() {
		if err := m.require(number[e.A], number[e.B]); err != nil {
			return fmt.Errorf("terrain: boundary edge %d: %w", e.Index+1, err)
		}
	}
	for h := int32(0); int(h) < len(m.halves); h += 3 {
		if m.hasGhost(h) {
			continue
		}
		t := [3]geometry.Point{m.at(m.from(h)), m.at(m.from(h + 1)), m.at(m.from(h + 2))}
		middle := t[0].Add(t[1]).Add(t[2]).Scale(1.0 / 3)
		if r.boundary.Locate(middle) == geometry.Inside {
			r.triangles = append(r.triangles, t)
		}
	}
	return nil
}

// pieces visits the parts of a facet inside the boundary, as convex polygons.
func (r *region) pieces(f *facet, visit func(*convex)) {
	if f.endless {
		for i := range r.triangles {
			visit(convexOf(&r.triangles[i]))
		}
		return
	}
	whole := convexOf(&f.corners)
	box := searchBox(geometry.BoundsOf(f.corners[:]))
	if !meets(r.edges, box) {
		middle := f.corners[0].Add(f.corners[1]).Add(f.corners[2]).Scale(1.0 / 3)
		if r.boundary.Contains(middle) {
			visit(whole)
		}
		return
	}
	mustSearch(r.tree, box, func(i int) bool {
		if part := whole.clip(&r.triangles[i]); part.n > 0 {
			visit(&part)
		}
		return true
	})
}

func meets(tree *rtree.RTree, box rtree.Box) (found bool) {
	mustSearch(tree, box, func(int) bool {
		found = true
		return false
	})
	return found
}

// mustSearch visits the records whose boxes meet the box, until visit answers false.
func mustSearch(tree *rtree.RTree, box rtree.Box, visit func(int) bool) {
	done := false
	err := tree.RangeSearch(box, func(i int) error {
		done = done || !visit(i) // the library may call again after Stop
		if done {
			return rtree.Stop
		}
		return nil
	})
	if err != nil {
		panic(fmt.Sprintf("terrain: search: %v", err)) // the callback returns nothing but Stop
	}
}

// mostCorners bounds a triangle cut by two others: 3 corners, and one more for each of 6 sides.
const mostCorners = 9

// convex is a convex polygon, counter-clockwise, in place: the overlay makes millions of them.
type convex struct {
	n int
	p [mostCorners]geometry.Point
}

func convexOf(t *[3]geometry.Point) *convex {
	c := &convex{n: 3}
	copy(c.p[:], t[:])
	return c
}

// clip returns the part of c inside the counter-clockwise triangle t (Sutherland and Hodgman 1974, recalled).
func (c *convex) clip(t *[3]geometry.Point) convex {
	in := *c
	for k := range t {
		a, b := t[k], t[(k+1)%3]
		in = in.leftOf(a, b)
		if in.n < 3 {
			return convex{}
		}
	}
	return in
}

func (c *convex) leftOf(a, b geometry.Point) (out convex) {
	along := b.Sub(a)
	var side [mostCorners]float64
	lowest := math.Inf(1)
	for i := range c.n {
		side[i] = along.Cross(c.p[i].Sub(a))
		lowest = min(lowest, side[i])
	}
	if lowest >= 0 {
		return *c
	}
	for i := range c.n {
		j := i + 1
		if j == c.n {
			j = 0
		}
		if side[i] >= 0 {
			out.add(c.p[i])
		}
		if (side[i] > 0) != (side[j] > 0) && side[i] != 0 && side[j] != 0 {
			out.add(c.p[i].Lerp(c.p[j], side[i]/(side[i]-side[j])))
		}
	}
	return out
}

// add appends a corner. Rounding can make a convex polygon cross a line more than twice; the corners beyond the
// ninth would enclose no area and are dropped.
func (c *convex) add(p geometry.Point) {
	if c.n < mostCorners {
		c.p[c.n] = p
		c.n++
	}
}

func (c *convex) box() geometry.Box { return geometry.BoundsOf(c.p[:c.n]) }

func (c *convex) area() float64 { return geometry.SignedArea(c.p[:c.n]) }
