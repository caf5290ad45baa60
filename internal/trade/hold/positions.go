package hold

import (
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/plate"
)

// The ways in which a load meets the slab: each has its own limit.
const (
	lane     = "lane"     // inside, and across joints
	crossing = "entrance" // an axle squarely across a free edge
	astray   = "astray"   // anywhere else: along the very edge, in a corner
	jack     = "jack"     // pads at their distance from edges
)

// spot is one place of a vehicle: where its origin is and where its nose points.
type spot struct {
	at      geometry.Point
	heading float64
	slide   geometry.Point // the direction in which it was moved along an edge; zero in the open
	kind    string
	posts   bool
}

// leastEdge is the shortest edge that a vehicle is put against: not the chords of a round corner or lid, m.
const leastEdge = 0.6

// spots lists where the load is put first. Where jacks find no place at their distance from joints, they stand by joints.
func (m *model) spots() []spot {
	out := m.spotsAsTold()
	if len(m.loads[1].patches) > 0 && !slices.ContainsFunc(out, func(s spot) bool { return s.posts }) {
		m.onCuts = true
		out = m.spotsAsTold()
	}
	return out
}

func (m *model) spotsAsTold() []spot {
	var out []spot
	seen := map[string]bool{}
	step := m.step()
	for which, v := range m.loads {
		if len(v.patches) == 0 {
			continue
		}
		gap, posts := 0.0, which == 1
		if posts {
			gap = m.in.JackClearance.Value.Metres()
		}
		add := func(s spot) {
			s.posts = posts
			if s.kind = m.kindOf(s, v); s.kind == "" {
				return
			}
			// A vehicle that is the same from both ends, or has lost axles over an edge, stands in one place in many ways.
			if key := m.prints(s, v); !seen[key] {
				seen[key] = true
				out = append(out, s)
			}
		}
		for _, e := range m.free {
			m.against(e, v, gap, step, add)
			if !posts && gap < m.in.WheelClearance.Value.Metres() {
				m.along(e, v, m.in.WheelClearance.Value.Metres(), step, add)
			}
		}
		for _, j := range m.joints {
			m.against(j, v, gap, step, add)
			m.against(j.Reversed(), v, gap, step, add)
		}
		m.open(v, 2*step, add)
	}
	return out
}

// step is the distance between places along an edge, m: the radius of relative stiffness, in which stresses change little, but
// no more than fortyPlaces along the slab.
func (m *model) step() float64 {
	b := geometry.EmptyBox()
	for _, p := range m.in.Panels {
		bounds := p.Outline.Bounds()
		b = b.Grow(bounds.Min).Grow(bounds.Max)
	}
	return math.Max(m.slab.Radius(), math.Max(b.Width(), b.Height())/fortyPlaces)
}

const fortyPlaces = 40

// against puts each heavy axle squarely against an edge, both ways, and the vehicle along it.
func (m *model) against(e geometry.Segment, v vehicle, gap, step float64, add func(spot)) {
	if e.Length() < leastEdge {
		return
	}
	inward := e.Direction().Left()
	for _, nose := range []geometry.Point{inward, inward.Scale(-1)} {
		for _, axle := range v.axles {
			m.slideAlong(e, v, nose, axle, gap, step, add)
		}
	}
	m.along(e, v, gap, step, add)
}

// along puts the vehicle along an edge, both ways, its nearest print at the gap; its heavy axles also at both ends of the edge.
func (m *model) along(e geometry.Segment, v vehicle, gap, step float64, add func(spot)) {
	if e.Length() < leastEdge {
		return
	}
	for _, nose := range []geometry.Point{e.Direction(), e.Direction().Scale(-1)} {
		m.slideAlong(e, v, nose, math.NaN(), gap, step, add)
	}
}

// slideAlong moves a vehicle along an edge, with its nearest print, or that of an axle, at a gap from it.
func (m *model) slideAlong(e geometry.Segment, v vehicle, nose geometry.Point, axle, gap, step float64, add func(spot)) {
	heading, inward := nose.Heading(), e.Direction().Left()
	least, low, high := math.Inf(1), math.Inf(1), math.Inf(-1) // reach over the edge, and along it
	for _, p := range v.patches {
		if !math.IsNaN(axle) && math.Abs(centre(p).X-axle) > touching {
			continue
		}
		for _, q := range p.Place(plate.Point{}, heading).Area {
			at := geometry.Point{X: q.X, Y: q.Y}
			least = math.Min(least, inward.Dot(at))
			low, high = math.Min(low, e.Direction().Dot(at)), math.Max(high, e.Direction().Dot(at))
		}
	}
	put := func(along float64) {
		at := e.A.Add(e.Direction().Scale(along)).Add(inward.Scale(gap - least))
		add(spot{at: at, heading: heading, slide: e.Direction()})
	}
	from, to := gap-low, e.Length()-gap-high // first and last place at which it is all within the edge's ends
	n := math.Max(math.Ceil(math.Abs(to-from)/step), 1)
	for i := 0.0; i <= n; i++ {
		put(from + (to-from)*i/n)
	}
	// Between the sides at both ends it may have little room: its lane's limits and its middle.
	if clear := m.in.WheelClearance.Value.Metres(); clear > gap && !v.post {
		from, to = clear-low, e.Length()-clear-high
		for _, share := range []float64{0, 0.5, 1} {
			put(from + (to-from)*share)
		}
	}
}

// open is an even raster over the slab, along and across its longest edge.
func (m *model) open(v vehicle, step float64, add func(spot)) {
	longest := m.free[0]
	b := geometry.EmptyBox()
	for _, e := range m.free {
		if e.Length() > longest.Length() {
			longest = e
		}
		b = b.Grow(e.A).Grow(e.B)
	}
	main := longest.Direction().Heading()
	nx, ny := math.Ceil(b.Width()/step), math.Ceil(b.Height()/step)
	for _, heading := range []float64{main, main + math.Pi/2} {
		for _, axle := range v.axles[:1] {
			back := geometry.Direction(heading).Scale(-axle)
			for j := 0.5; j < ny; j++ {
				for i := 0.5; i < nx; i++ {
					at := geometry.Point{X: b.Min.X + i/nx*b.Width(), Y: b.Min.Y + j/ny*b.Height()}
					add(spot{at: at.Add(back), heading: heading})
				}
			}
		}
	}
}

// placed are the prints that are on the slab, and whether none lies partly on it.
func (m *model) placed(s spot, v vehicle) (on []plate.Patch, whole bool) {
	for _, p := range v.patches {
		p = p.Place(point(s.at), s.heading)
		switch share := m.covered(p); {
		case share == 1:
			on = append(on, p)
		case share > 0:
			return nil, false
		}
	}
	return on, len(on) > 0
}

// prints writes down what lies where, to the millimetre, in what kind of place.
func (m *model) prints(s spot, v vehicle) string {
	on, _ := m.placed(s, v)
	marks := make([]string, len(on))
	for i, p := range on {
		c := centre(p)
		marks[i] = fmt.Sprintf("%.0f,%.0f:%.0f", c.X*1e3, c.Y*1e3, p.Force)
	}
	slices.Sort(marks)
	return fmt.Sprintf("%s %.3f %v", s.kind, math.Mod(s.heading+2*math.Pi, math.Pi), marks)
}

// covered is the share of a print that lies on the slab, by a raster of points a hair inside it.
func (m *model) covered(p plate.Patch) float64 {
	const places = 5
	a, b, d := p.Area[0], p.Area[1], p.Area[3]
	at := func(i, j int) geometry.Point {
		u, w := inset(i, places), inset(j, places)
		return geometry.Point{X: a.X + u*(b.X-a.X) + w*(d.X-a.X), Y: a.Y + u*(b.Y-a.Y) + w*(d.Y-a.Y)}
	}
	last := places - 1
	if m.convexHolds(at(0, 0), at(last, 0), at(last, last), at(0, last)) {
		return 1
	}
	in := 0
	for i := range places {
		for j := range places {
			if slices.ContainsFunc(m.in.Panels, func(panel Panel) bool { return panel.Outline.Contains(at(i, j)) }) {
				in++
			}
		}
	}
	return float64(in) / (places * places)
}

// convexHolds says that one panel without inward corners or holes has all the points, and so all between them.
func (m *model) convexHolds(points ...geometry.Point) bool {
	for k, panel := range m.in.Panels {
		if m.convex[k] && m.bounds[k].Contains(points[0]) &&
			!slices.ContainsFunc(points, func(p geometry.Point) bool { return !panel.Outline.Contains(p) }) {
			return true
		}
	}
	return false
}

// inset is the i-th of n even shares from just over 0 to just under 1.
func inset(i, n int) float64 { return 1e-7 + (1-2e-7)*float64(i)/float64(n-1) }

func centre(p plate.Patch) geometry.Point {
	var c geometry.Point
	for _, q := range p.Area {
		c = c.Add(geometry.Point{X: q.X, Y: q.Y})
	}
	return c.Scale(1 / float64(len(p.Area)))
}

// How near to its distance a print may be and still keep it, m; how far from square an axle may cross an edge.
const keeping, square = 5e-3, 20 * math.Pi / 180

// kindOf says in which way the load meets the slab, or "" if it cannot stand there.
func (m *model) kindOf(s spot, v vehicle) string {
	on, whole := m.placed(s, v)
	if !whole {
		return ""
	}
	clearance := m.in.WheelClearance.Value.Metres()
	if v.post {
		clearance = m.in.JackClearance.Value.Metres()
	}
	kind := lane
	if !v.post && m.halfOff(s, v) {
		return astray
	}
	for _, p := range on {
		near := 0
		for _, e := range m.sides {
			if distance(p, e) > clearance-keeping {
				continue
			}
			if v.post {
				return ""
			}
			near++
			across := math.Abs(geometry.Direction(s.heading).Dot(e.Direction()))
			if across > math.Sin(square) {
				return astray
			}
			kind = crossing
		}
		if near > 1 {
			return astray
		}
	}
	if v.post && !m.onCuts && slices.ContainsFunc(on, func(p plate.Patch) bool {
		return slices.ContainsFunc(m.joints, func(j geometry.Segment) bool { return distance(p, j) < clearance-keeping })
	}) {
		return ""
	}
	if v.post {
		return jack
	}
	return kind
}

// halfOff says that an axle has some wheels on the slab and some off it.
func (m *model) halfOff(s spot, v vehicle) bool {
	for i, p := range v.patches {
		for _, q := range v.patches[:i] {
			if math.Abs(centre(p).X-centre(q).X) < touching &&
				m.covered(p.Place(point(s.at), s.heading)) != m.covered(q.Place(point(s.at), s.heading)) {
				return true
			}
		}
	}
	return false
}

// distance is that of a print from an edge; 0 where it lies across it.
func distance(p plate.Patch, e geometry.Segment) float64 {
	least := math.Inf(1)
	for i, q := range p.Area {
		n := p.Area[(i+1)%len(p.Area)]
		least = math.Min(least, e.DistanceTo(geometry.Segment{A: geometry.Point{X: q.X, Y: q.Y}, B: geometry.Point{X: n.X, Y: n.Y}}))
	}
	return least
}
