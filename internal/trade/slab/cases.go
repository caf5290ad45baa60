package slab

import (
	"cmp"
	"math"
	"slices"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/winkler"
)

// place is the worst stress found at one kind of place.
type place struct {
	stress, deflection float64
	contact            string
	radius             float64 // of the loads that count, m
}

// worse is the place with more stress, the first of two that are equal but for rounding.
func worse(a, b place) place {
	if b.stress > a.stress*(1+1e-9) {
		return b
	}
	return a
}

// middle is the worst wheel or pad far from edges: its own stress by the special theory, and of every other contact what
// it adds by the exact infinite plate.
//
// A neighbour counts by its largest principal moment, and only when that is tension at the bottom: where it would relieve,
// its place is too much of a guess to lean on. So the sum is never low, and more load is never less stress.
func middle(p winkler.Plate, contacts []Contact) place {
	var worst place
	for _, under := range underEach(p, contacts) {
		worst = worse(worst, under)
	}
	return worst
}

// underEach is what middle says of each contact.
func underEach(p winkler.Plate, contacts []Contact) []place {
	out := make([]place, len(contacts))
	for i, c := range contacts {
		own := place{stress: interiorSpecial(p, c), deflection: interiorDeflection(p, float64(c.Force), c.radius()), contact: c.Name, radius: c.radius()}
		for j, n := range contacts {
			if j == i {
				continue
			}
			f := p.PointLoad(float64(n.Force), c.At.X-n.At.X, c.At.Y-n.At.Y)
			own.stress += p.Stress(math.Max(f.Largest(), 0))
			own.deflection += math.Max(f.W, 0)
		}
		out[i] = own
	}
	return out
}

// axleShares are the stresses under each axle in the middle of a panel as shares of the largest: a light front axle tires
// the slab less than a heavy rear one, wherever it runs (our rule).
func axleShares(under []place) []float64 {
	var names []string
	var worst []float64
	largest := 0.0
	for _, u := range under {
		at := slices.Index(names, u.contact)
		if at < 0 {
			at, names, worst = len(names), append(names, u.contact), append(worst, 0)
		}
		worst[at] = math.Max(worst[at], u.stress)
		largest = math.Max(largest, u.stress)
	}
	for i := range worst {
		worst[i] /= largest
	}
	return worst
}

func interiorSpecial(p winkler.Plate, c Contact) float64 {
	first, second := interiorStress(p, float64(c.Force), equivalentRadius(c.radius(), p.H))
	return first + second
}

// lined is a contact beside a straight edge: along it, and from it.
type lined struct {
	Contact
	along, away float64
}

// view is a way in which a vehicle meets an edge: along it, or squarely across it with its front or its rear first.
type view int

const (
	alongside view = iota
	frontFirst
	rearFirst
)

// everyWay is how a vehicle may meet an edge.
var everyWay = []view{alongside, frontFirst, rearFirst}

func (v view) of(c Contact) (along, away float64) {
	switch v {
	case frontFirst:
		return c.At.Y, c.At.X
	case rearFirst:
		return c.At.Y, -c.At.X
	}
	return c.At.X, c.At.Y
}

// against sets the contacts against an edge. The nearest print stands clearance from the edge, and comes first.
func (v view) against(contacts []Contact, clearance float64) []lined {
	row := make([]lined, len(contacts))
	nearest := math.Inf(1)
	for i, c := range contacts {
		along, away := v.of(c)
		row[i] = lined{c, along, away}
		nearest = math.Min(nearest, away-c.radius())
	}
	for i := range row {
		row[i].away += clearance - nearest
	}
	slices.SortStableFunc(row, func(a, b lined) int { return cmp.Compare(a.away-a.radius(), b.away-b.radius()) })
	return row
}

// outerLine is how much farther from the edge than the nearest print one may stand and still be taken at the edge, m.
const outerLine = 0.05

// met is the worst contact where a vehicle meets a free edge, and where it meets a joint.
type met struct{ edge, joint place }

// beside is the worst contact at a free edge, and at a joint of stiffness r over k l, for each of the views.
//
// Its own stress at the edge is Westergaard's disc (1947), times what the exact half-plate makes of the clearance and of
// the joint; neighbours are the exact half-plate's. A joint is two half-plates on common springs: half the free edge and
// half an edge on springs of 2r. Where the contact stands in from the edge, what it does under itself, with what the edge
// throws back, may be more, and the larger counts.
func beside(p winkler.Plate, contacts []Contact, clearance, r float64, views ...view) []met {
	var asks []winkler.Ask
	rows := make([][]lined, len(views))
	l := p.Radius()
	for v, view := range views {
		rows[v] = view.against(contacts, clearance)
		for i := range nearest(rows[v], clearance) {
			asks = append(asks, asksOf(rows[v], i, l)...)
		}
	}
	free, crossed := freeEdge.AtJoint(asks, r)
	var thrown []winkler.Field
	if clearance > 0 {
		thrown = freeEdge.Reflections(asks)
	}
	out := make([]met, len(views))
	for v, row := range rows {
		n, at := 1+len(row), &out[v]
		for i := range nearest(row, clearance) {
			at.edge = worse(at.edge, atEdge(p, row, i, free[:n], free[0]))
			at.joint = worse(at.joint, atEdge(p, row, i, crossed[:n], free[0]))
			if clearance > 0 {
				at.edge = worse(at.edge, insideEdge(p, row, i, thrown[:n]))
				thrown = thrown[n:]
			}
			free, crossed = free[n:], crossed[n:]
		}
	}
	return out
}

// freeEdge is the half-plate of concrete with a free edge. All thicknesses share it.
var freeEdge = winkler.NewEdge(poisson, 0)

// nearest is how many prints of a row are taken at the edge: they come first.
func nearest(row []lined, clearance float64) int {
	n := 0
	for n < len(row) && row[n].away-row[n].radius() <= clearance+outerLine {
		n++
	}
	return n
}

// asksOf are the questions about the place of one contact: what it would do there if it touched the edge, then what each
// contact of the row does there. Prints are squares of equal area.
func asksOf(row []lined, i int, l float64) []winkler.Ask {
	at := row[i]
	asks := []winkler.Ask{{Patch: patchOf(at, at.along, at.radius(), l), X: at.along / l, Y: at.away / l}}
	for _, c := range row {
		asks = append(asks, winkler.Ask{Patch: patchOf(c, c.along, c.away, l), X: at.along / l, Y: at.away / l})
	}
	return asks
}

// atEdge is the stress at the edge beside one contact of a row. The answers are as in asksOf; touching is that of the contact
// at a free edge.
func atEdge(p winkler.Plate, row []lined, i int, answers []winkler.Answer, touching winkler.Answer) place {
	l, c, at := p.Radius(), row[i].Contact, answers[1:]
	own := edgeCircle(p, float64(c.Force), c.radius())
	found := place{contact: c.Name, radius: c.radius(),
		stress:     own.Stress * at[i].M / touching.M,
		deflection: own.Deflection * at[i].W / touching.W}
	for j, n := range row {
		if j != i {
			found.stress += p.Stress(math.Max(at[j].M*float64(n.Force), 0))
			found.deflection += math.Max(at[j].W*float64(n.Force)/(p.K*l*l), 0)
		}
	}
	return found
}

// insideEdge is the stress under a contact that stands in from a free edge: the middle's, and what the edge throws back of
// every contact, in the order of asksOf.
func insideEdge(p winkler.Plate, row []lined, i int, thrown []winkler.Field) place {
	l, c := p.Radius(), row[i]
	found := place{stress: interiorSpecial(p, c.Contact), contact: c.Name, radius: c.radius(),
		deflection: interiorDeflection(p, float64(c.Force), c.radius())}
	for j, n := range row {
		f := thrown[1+j]
		add := f.Largest() * float64(n.Force)
		sink := f.W * float64(n.Force) / (p.K * l * l)
		if j != i {
			open := p.PointLoad(float64(n.Force), c.along-n.along, c.away-n.away)
			add, sink = add+open.Largest(), sink+open.W
		}
		found.stress += p.Stress(math.Max(add, 0))
		found.deflection += math.Max(sink, 0)
	}
	return found
}

func patchOf(c lined, along, away, l float64) winkler.Patch {
	side := math.Sqrt(c.Area.SquareMetres())
	return winkler.Patch{X: along / l, Y: math.Max(away, side/2) / l, Along: side / l, Across: side / l}
}

// corner is the worst tension at the top of a free corner.
//
// Every contact nearer along the diagonal than the section that cracks, 2√(a₁l), counts whole, as one load on all their
// area, and less and less up to half as far again; the larger of Westergaard's and Ioannides' formula rules. What is not
// counted adds twice the hogging that it makes at the section in the infinite plate (our rule: an edge about doubles a
// moment).
func corner(p winkler.Plate, contacts []Contact, clearance float64) place {
	var worst place
	for _, flip := range []float64{1, -1} {
		worst = worse(worst, oneCorner(p, contacts, clearance, flip))
	}
	return worst
}

func oneCorner(p winkler.Plate, contacts []Contact, clearance, flip float64) place {
	if len(contacts) == 0 {
		return place{}
	}
	fromCorner := slices.Clone(contacts)
	minX, minY := math.Inf(1), math.Inf(1)
	for i := range fromCorner {
		fromCorner[i].At.X *= flip
		minX = math.Min(minX, fromCorner[i].At.X-fromCorner[i].radius())
		minY = math.Min(minY, fromCorner[i].At.Y-fromCorner[i].radius())
	}
	for i := range fromCorner {
		fromCorner[i].At.X += clearance - minX
		fromCorner[i].At.Y += clearance - minY
	}
	diagonal := func(c Contact) float64 { return (c.At.X + c.At.Y) / math.Sqrt2 }
	slices.SortStableFunc(fromCorner, func(a, b Contact) int { return cmp.Compare(diagonal(a), diagonal(b)) })

	section := cornerSection(p, fromCorner[0].radius())
	force, area := 0.0, 0.0
	found := place{contact: fromCorner[0].Name}
	for i, c := range fromCorner {
		counted := math.Min(math.Max(3-2*diagonal(c)/section, 0), 1)
		if i == 0 {
			counted = 1
		}
		force += counted * float64(c.Force)
		area += counted * c.Area.SquareMetres()
		if counted < 1 {
			at := section / math.Sqrt2
			hogging := p.PointLoad(float64(c.Force), at-c.At.X, at-c.At.Y).Along(math.Sqrt2/2, math.Sqrt2/2)
			found.stress += 2 * (1 - counted) * p.Stress(math.Max(-hogging, 0))
		}
	}
	found.radius = math.Sqrt(area / math.Pi)
	disc := corner1926(p, force, found.radius+clearance)
	square := cornerSquare(p, force, math.Sqrt(area)+2*clearance)
	found.stress += math.Max(math.Max(disc.Stress, square.Stress), 0)
	found.deflection = math.Max(math.Max(disc.Deflection, square.Deflection), 0)
	return found
}

// stressCase makes a case of a place, its curling and what is allowed.
func stressCase(name, says, where, face string, at place, curl, rupture, safety float64) Case {
	total, allowed := at.stress+curl, rupture/safety
	return Case{Name: name, Says: says, Where: where, Face: face, Contact: at.contact,
		Wheel: quantity.Stress(at.stress), Curl: quantity.Stress(curl),
		Demand: quantity.Plain(total, quantity.AsStress), Limit: quantity.Plain(allowed, quantity.AsStress),
		Utilisation: total / allowed, Deflection: quantity.Length(at.deflection)}
}

// forceCase makes a case of a force against a strength.
func forceCase(name, says string, c Contact, demand, strength float64) Case {
	return Case{Name: name, Says: says, Where: "pad", Face: "bottom", Contact: c.Name,
		Demand: quantity.Plain(demand, quantity.AsForce), Limit: quantity.Plain(strength, quantity.AsForce),
		Utilisation: math.Min(demand/strength, mostUse)}
}

// mostUse stands for a slab with no strength at all, so that the figure stays a number.
const mostUse = 1000
