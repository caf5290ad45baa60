package hold

import (
	"cmp"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/plate"
)

// poisson is the Poisson's ratio of concrete.
const poisson = 0.15

// concreteWeight is that of plain concrete, N/m³ (STR chapter's 24 kN/m³).
const concreteWeight = 24e3

// model is the slab as the plate engine takes it, with the load taken apart. SI numbers.
type model struct {
	in     Input
	slab   plate.Slab
	free   []geometry.Segment // edges without a joint, the slab on their left
	sides  []geometry.Segment // those of them that a driver keeps away from
	joints []geometry.Segment
	loads  [2]vehicle // wheels, posts
	onCuts bool       // jacks may stand by joints: they find no place where all keep away
	convex []bool     // panels without inward corners or holes
	bounds []geometry.Box
	pitch  float64 // of the search mesh, m; kept when the slab is changed, so that its error stays the same
}

// vehicle are prints that move together, x ahead.
type vehicle struct {
	patches []plate.Patch
	axles   []float64 // x of each row across, heaviest first, light ones left out
	post    bool
}

func newModel(in Input) *model {
	in.Panels = linedUp(in.Panels)
	m := &model{in: in}
	m.slab = plate.Slab{
		Thickness: checked(in), Modulus: float64(in.Elasticity.Value), Poisson: poisson,
		Support: float64(in.SubgradeModulus.Value), Expansion: float64(in.Expansion.Value) * 1e-6,
	}
	for _, p := range in.Panels {
		m.slab.Panels = append(m.slab.Panels, plate.Panel{Outline: polygon(p.Outline.Outer), Holes: polygons(p.Outline.Holes)})
		m.convex = append(m.convex, len(p.Outline.Holes) == 0 && len(p.Outline.ReentrantCorners()) == 0)
		m.bounds = append(m.bounds, p.Outline.Bounds())
	}
	m.pitch = m.slab.Radius() / searchMesh
	m.joints, m.free = edges(in.Panels)
	for _, e := range m.free {
		if e.Length() >= leastSide {
			m.sides = append(m.sides, e)
		}
	}
	m.setJoints(float64(in.JointStiffness.Value))
	m.loads[0], m.loads[1] = vehicleOf(in.Prints, false), vehicleOf(in.Prints, true)
	return m
}

// leastSide is the shortest free edge that wheels and jacks keep away from, m: they pass over lids and drains as they come.
const leastSide = 1.2

// checked is the thickness that is checked, m: the nominal less the tolerance, but never under a quarter of it.
func checked(in Input) float64 {
	h := in.Thickness.Value.Metres()
	return math.Max(h-in.Tolerance.Value.Metres(), h/4)
}

func (m *model) setJoints(stiffness float64) {
	m.slab.Joints = nil
	shear := m.slab.JointShear(stiffness)
	for _, j := range m.joints {
		m.slab.Joints = append(m.slab.Joints, plate.Joint{From: point(j.A), To: point(j.B), Shear: shear})
	}
}

func point(p geometry.Point) plate.Point { return plate.Point{X: p.X, Y: p.Y} }

func polygon(ring []geometry.Point) plate.Polygon {
	out := make(plate.Polygon, len(ring))
	for i, p := range ring {
		out[i] = point(p)
	}
	return out
}

func polygons(rings [][]geometry.Point) (out []plate.Polygon) {
	for _, r := range rings {
		out = append(out, polygon(r))
	}
	return out
}

// touching is how far apart two edges may lie that are one joint, m; leastJoint the shortest that counts; endTrim what is left
// off its ends, so that edges which differ by a hair have the joint between them over its whole length.
const touching, leastJoint, endTrim = 2e-3, 0.05, 3e-3

// edges finds the joints, where two panels share an edge, and the free edges, which no other panel shares.
func edges(panels []Panel) (joints, free []geometry.Segment) {
	var all [][]geometry.Edge
	for _, p := range panels {
		all = append(all, p.Outline.Oriented().Edges())
	}
	for i, own := range all {
		for _, e := range own {
			var shared [][2]float64
			for j, others := range all {
				if j == i {
					continue
				}
				for _, o := range others {
					if from, to, ok := overlap(e.Segment, o.Segment); ok {
						shared = append(shared, [2]float64{from, to})
						if trim := endTrim / e.Length(); i < j {
							joints = append(joints, piece(e.Segment, from+trim, to-trim))
						}
					}
				}
			}
			free = append(free, rest(e.Segment, shared)...)
		}
	}
	return joints, free
}

func piece(s geometry.Segment, from, to float64) geometry.Segment {
	return geometry.Segment{A: s.At(from), B: s.At(to)}
}

// overlap is the part of a that lies on b, in shares of a.
func overlap(a, b geometry.Segment) (from, to float64, ok bool) {
	length := a.Length()
	sa, oa := a.Offset(b.A)
	sb, ob := a.Offset(b.B)
	if math.Abs(oa) > touching || math.Abs(ob) > touching {
		return 0, 0, false
	}
	from, to = math.Max(math.Min(sa, sb), 0), math.Min(math.Max(sa, sb), length)
	return from / length, to / length, to-from > leastJoint
}

// rest are the parts of an edge that are not shared.
func rest(e geometry.Segment, shared [][2]float64) (out []geometry.Segment) {
	slices.SortFunc(shared, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	at := 0.0
	for _, s := range append(shared, [2]float64{1, 1}) {
		if (s[0]-at)*e.Length() > leastJoint {
			out = append(out, piece(e, at, s[0]))
		}
		at = math.Max(at, s[1])
	}
	return out
}

// lightAxle is the share of the heaviest axle under which an axle is not put on edges by itself.
const lightAxle = 0.6

func vehicleOf(prints []Print, post bool) vehicle {
	v := vehicle{post: post}
	rows := map[float64]float64{}
	most := 0.0
	for _, p := range prints {
		if p.Post != post {
			continue
		}
		v.patches = append(v.patches, plate.Rectangle(plate.Point{X: -p.At.X, Y: p.At.Y}, p.Along.Metres(), p.Wide.Metres(), float64(p.Force)))
		rows[-p.At.X] += float64(p.Force)
		most = math.Max(most, rows[-p.At.X])
	}
	for x, force := range rows {
		if force >= lightAxle*most {
			v.axles = append(v.axles, x)
		}
	}
	slices.SortFunc(v.axles, func(a, b float64) int { return cmp.Or(cmp.Compare(rows[b], rows[a]), cmp.Compare(b, a)) })
	return v
}

// inward lists the corners that turn into a panel without a joint.
func (m *model) inward() (out []Inward) {
	for _, c := range m.slab.InwardCorners() {
		out = append(out, Inward{m.in.Panels[c.Panel].Number, geometry.Point{X: c.At.X, Y: c.At.Y}})
	}
	return out
}

// cornerRounds are left out where stress is looked for, half a thickness around each inward corner: in the corner itself
// theory has no bound, and concrete cracks over a length, not in a point (our rule).
func (m *model) cornerRounds() (out []plate.Round) {
	for _, c := range m.slab.InwardCorners() {
		out = append(out, plate.Round{At: c.At, Radius: m.slab.Thickness / 2})
	}
	return out
}

// extremes are the greatest tensions at the bottom and at the top, clear of inward corners.
func (m *model) extremes(r *plate.Result) (bottom, top plate.Extreme) {
	rounds := m.cornerRounds()
	near := func(p plate.Point) bool {
		return slices.ContainsFunc(rounds, func(r plate.Round) bool { return r.Holds(p) })
	}
	bottom, top = r.Bottom, r.Top
	if !near(bottom.At) && !near(top.At) {
		return bottom, top
	}
	bottom.Value, top.Value = math.Inf(-1), math.Inf(-1)
	for _, p := range r.Field() {
		if near(p.At) {
			continue
		}
		if v, _, d := p.Bottom.Principal(); v > bottom.Value {
			bottom = plate.Extreme{Value: v, Panel: p.Panel, At: p.At, Direction: d}
		}
		if v, _, d := p.Top.Principal(); v > top.Value {
			top = plate.Extreme{Value: v, Panel: p.Panel, At: p.At, Direction: d}
		}
	}
	return bottom, top
}
