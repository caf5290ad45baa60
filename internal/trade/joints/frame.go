package joints

import (
	"cmp"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// frame is the slab seen along its own sides: main axes along x and y, lower left corner near the origin.
type frame struct {
	heading float64
	origin  geometry.Point
	outline geometry.Polygon // true shape in frame axes, box-outs of posts included
	ground  geometry.Polygon // the same without the box-outs of posts
	corners geometry.Polygon // ground without points on straight sides
	square  geometry.Polygon // corners moved so that every side is exactly along an axis; empty if the slab is not rectilinear
	posts   []post
	names   []string // of the box-outs
}

// post is a small thing standing in the slab with its box-out: joints run to it, no panel wraps round it.
type post struct {
	name  string
	hole  int // index of the hole in outline
	at    geometry.Point
	reach float64 // farthest the box-out goes from its centre
	round bool    // round: joints from two opposite sides do; otherwise joints run into all its points
}

// skewLimit is how far the ends of a side may be out of line with the main axes and the side still count as along them:
// what a well-taped outline is out of square.
const skewLimit = 0.025

// newFrame turns the slab so that most of its edge runs along the axes.
func newFrame(outline geometry.Polygon, names []string) frame {
	return frameAlong(outline, names, mainHeading(outline))
}

// frameAlong is the slab seen with its x axis along a heading.
func frameAlong(outline geometry.Polygon, names []string, heading float64) frame {
	f := frame{heading: heading, names: names}
	turned := outline.Rotate(geometry.Point{}, -f.heading)
	f.origin = turned.Bounds().Min
	f.outline = turned.Translate(f.origin.Scale(-1)).Oriented()
	f.ground = geometry.Polygon{Outer: f.outline.Outer}
	for i, hole := range f.outline.Holes {
		if q, ok := newPost(hole, i, names[i]); ok {
			f.posts = append(f.posts, q)
			continue
		}
		f.ground.Holes = append(f.ground.Holes, hole)
	}
	if corners, ok := cornersOf(f.ground); ok {
		f.corners = corners
		f.square, _ = squared(corners)
	}
	return f
}

// cornersOf drops the points on straight sides; ok is false when a dropped point stands off the side that is left: the
// slab is curved there.
func cornersOf(p geometry.Polygon) (geometry.Polygon, bool) {
	var out geometry.Polygon
	for r, ring := range p.Rings() {
		kept := straightened(ring, skewLimit)
		for _, q := range ring {
			if (geometry.Polygon{Outer: kept}).BoundaryDistance(q) > skewLimit {
				return out, false
			}
		}
		if r == 0 {
			out.Outer = kept
		} else {
			out.Holes = append(out.Holes, kept)
		}
	}
	return out, true
}

// site takes a point of the frame back to the site.
func (f frame) site(p geometry.Point) geometry.Point {
	return p.Add(f.origin).Rotate(geometry.Point{}, f.heading)
}

// siteOutline is the outline with its box-outs, as it lies on the site.
func (f frame) siteOutline() geometry.Polygon { return f.outline.Map(f.site) }

// enter takes a point of the site into the frame.
func (f frame) enter(p geometry.Point) geometry.Point {
	return p.Rotate(geometry.Point{}, -f.heading).Sub(f.origin)
}

// mainHeading is the direction, within a quarter turn, of the longest edge among those along and across which the most edge runs: a
// tape lies along a straight side, not along some chord of a bowed one.
func mainHeading(p geometry.Polygon) float64 {
	const close = 2 * math.Pi / 180
	best, most, longest := 0.0, -1.0, 0.0
	for _, e := range p.Edges() {
		if e.Ring > 0 {
			break
		}
		h := quarter(e.Direction().Heading())
		along := 0.0
		for _, o := range p.Edges() {
			if d := quarter(o.Direction().Heading() - h); o.Ring == 0 && math.Abs(d) < close {
				along += o.Length() * math.Cos(d)
			}
		}
		if along > most+near || along > most-near && math.Abs(h) < math.Abs(best)-1e-9 {
			best, most, longest = h, along, e.Length()
		}
	}
	heading := best
	for _, e := range p.Edges() {
		if d := quarter(e.Direction().Heading() - best); e.Ring == 0 && math.Abs(d) < close && e.Length() > longest+near {
			heading, longest = quarter(best+d), e.Length()
		}
	}
	return heading
}

// quarter brings a heading into (−45°, 45°].
func quarter(h float64) float64 {
	h = math.Mod(h, math.Pi/2)
	if h > math.Pi/4+1e-9 {
		h -= math.Pi / 2
	}
	if h <= -math.Pi/4-1e-9 {
		h += math.Pi / 2
	}
	return h
}

// smallBoxOut is the widest box-out that joints run to; anything larger is a corner of the slab like any other.
const smallBoxOut = 1.25 // m, 4 ft

// newPost recognises a small round or diamond box-out.
func newPost(hole []geometry.Point, index int, name string) (post, bool) {
	p := geometry.Polygon{Outer: hole}
	at, box := p.Centroid(), p.Bounds()
	if max(box.Width(), box.Height()) > 2*smallBoxOut {
		return post{}, false
	}
	low, high := math.Inf(1), 0.0
	for _, q := range hole {
		low, high = min(low, q.Distance(at)), max(high, q.Distance(at))
	}
	q := post{name: name, hole: index, at: at, reach: high}
	if len(hole) >= 8 && low > 0.8*high {
		q.round = true
		return q, true
	}
	return q, isDiamond(hole, at)
}

// isDiamond says whether a box-out has its four corners on the main axes through its middle.
func isDiamond(hole []geometry.Point, at geometry.Point) bool {
	if len(hole) != 4 {
		return false
	}
	for _, q := range hole {
		if d := q.Sub(at); min(math.Abs(d.X), math.Abs(d.Y)) > 0.1*d.Length() {
			return false
		}
	}
	return true
}

// squared moves the corners of a nearly rectilinear polygon so that every side is exactly along an axis; ok is false when
// a side is out by more than skewLimit or two sides in a row run the same way. Corners keep their numbers.
func squared(p geometry.Polygon) (geometry.Polygon, bool) {
	var out geometry.Polygon
	for r, ring := range p.Rings() {
		moved := make([]geometry.Point, len(ring))
		copy(moved, ring)
		for i := range ring {
			j := (i + 1) % len(ring)
			d := ring[j].Sub(ring[i])
			before := ring[i].Sub(ring[(i+len(ring)-1)%len(ring)])
			flat, wasFlat := math.Abs(d.Y) < math.Abs(d.X), math.Abs(before.Y) < math.Abs(before.X)
			if min(math.Abs(d.X), math.Abs(d.Y)) > skewLimit || flat == wasFlat {
				return geometry.Polygon{}, false
			}
			if mid := ring[i].Lerp(ring[j], 0.5); flat {
				moved[i].Y, moved[j].Y = mid.Y, mid.Y
			} else {
				moved[i].X, moved[j].X = mid.X, mid.X
			}
		}
		if r == 0 {
			out.Outer = moved
		} else {
			out.Holes = append(out.Holes, moved)
		}
	}
	align(&out)
	for _, ring := range out.Rings() {
		for i, q := range ring {
			ring[i] = geometry.Point{X: math.Round(q.X/grain) * grain, Y: math.Round(q.Y/grain) * grain}
		}
	}
	if len(out.Faults()) > 0 {
		return geometry.Polygon{}, false
	}
	return out, true
}

// grain is what squared corners are rounded to, 0.1 mm, so that a slab turned on the site is searched as the same slab.
const grain = 1e-4

// settled is the slab seen along whichever of its four main directions comes first by its corners: two slabs alike but for
// where they lie are searched alike.
func settled(outline geometry.Polygon, names []string, heading float64) frame {
	var best frame
	for k := range 4 {
		f := frameAlong(outline, names, heading+float64(k)*math.Pi/2)
		if k == 0 || compareCorners(f, best) < 0 {
			best = f
		}
	}
	return best
}

func compareCorners(a, b frame) int {
	return slices.CompareFunc(a.landmarks(), b.landmarks(), func(p, q geometry.Point) int {
		return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y))
	})
}

// landmarks are corners and posts to the millimetre, from left to right.
func (f frame) landmarks() []geometry.Point {
	var out []geometry.Point
	for _, ring := range f.square.Rings() {
		out = append(out, ring...)
	}
	for _, q := range f.posts {
		out = append(out, q.at)
	}
	for i, q := range out {
		out[i] = geometry.Point{X: math.Round(q.X / slack), Y: math.Round(q.Y / slack)}
	}
	slices.SortFunc(out, func(p, q geometry.Point) int { return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y)) })
	return out
}

// align gives sides that are in line to within a pencil line the same coordinate, so that one joint can serve both.
func align(p *geometry.Polygon) {
	var all []*float64
	gather := func(pick func(*geometry.Point) *float64) {
		all = all[:0]
		for _, ring := range p.Rings() {
			for i := range ring {
				all = append(all, pick(&ring[i]))
			}
		}
		slices.SortFunc(all, func(a, b *float64) int { return cmp.Compare(*a, *b) })
		for i := 1; i < len(all); i++ {
			if *all[i]-*all[i-1] < 2*slack {
				*all[i] = *all[i-1]
			}
		}
	}
	gather(func(q *geometry.Point) *float64 { return &q.X })
	gather(func(q *geometry.Point) *float64 { return &q.Y })
}
