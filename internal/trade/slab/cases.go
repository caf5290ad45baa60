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

func worse(a, b place) place {
	if b.stress > a.stress {
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
		worst = worse(worst, own)
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

// orientations sets the contacts against an edge in every way a vehicle meets one: along it, and across it with either end
// first. The nearest print stands clearance from the edge.
func orientations(contacts []Contact, clearance float64) [][]lined {
	views := []func(Contact) (along, away float64){
		func(c Contact) (float64, float64) { return c.At.X, c.At.Y },
		func(c Contact) (float64, float64) { return c.At.Y, c.At.X },
		func(c Contact) (float64, float64) { return c.At.Y, -c.At.X },
	}
	var out [][]lined
	for _, view := range views {
		row := make([]lined, len(contacts))
		nearest := math.Inf(1)
		for i, c := range contacts {
			along, away := view(c)
			row[i] = lined{c, along, away}
			nearest = math.Min(nearest, away-c.radius())
		}
		for i := range row {
			row[i].away += clearance - nearest
		}
		out = append(out, row)
	}
	return out
}

// outerLine is how much farther from the edge than the nearest print one may stand and still be taken at the edge, m.
const outerLine = 0.05

// beside is the worst contact at a free edge, and at a joint of stiffness r over k l.
//
// Its own stress at the edge is Westergaard's disc (1947), times what the exact half-plate makes of the clearance and of
// the joint; neighbours are the exact half-plate's. A joint is two half-plates on common springs: half the free edge and
// half an edge on springs of 2r. Where the contact stands in from the edge, what it does under itself, with what the edge
// throws back, may be more, and the larger counts.
func (m model) beside(p winkler.Plate, contacts []Contact, clearance, r float64) (edge, joint place) {
	held := winkler.NewEdge(poisson, 2*r)
	for _, row := range orientations(contacts, clearance) {
		a, b := m.alongEdge(p, row, clearance, held)
		edge, joint = worse(edge, a), worse(joint, b)
	}
	return edge, joint
}

// bed is what the exact half-plate says of a row: deflection and moment at each place of each contact.
type bed struct{ w, m [][]float64 }

func bedOf(e winkler.Edge, patches []winkler.Patch, xs []float64) bed {
	w, m := e.AtEdge(patches, xs)
	return bed{w, m}
}

func (m model) alongEdge(p winkler.Plate, row []lined, clearance float64, held winkler.Edge) (edge, joint place) {
	l := p.Radius()
	slices.SortStableFunc(row, func(a, b lined) int { return cmp.Compare(a.away-a.radius(), b.away-b.radius()) })
	patches, xs := edgePatches(row, clearance, l)
	free := bedOf(m.free, patches, xs)
	crossed := bedOf(held, patches, xs)
	average(crossed.w, free.w)
	average(crossed.m, free.m)
	touching := bedOf(m.free, touchingPatches(row[:len(xs)], l), xs)
	for i := range xs {
		edge = worse(edge, atEdge(p, row, i, free, touching))
		joint = worse(joint, atEdge(p, row, i, crossed, touching))
		if clearance > 0 {
			edge = worse(edge, m.insideEdge(p, row, i))
		}
	}
	return edge, joint
}

// atEdge is the stress at the edge beside one contact of a row.
func atEdge(p winkler.Plate, row []lined, i int, at, touching bed) place {
	l, c := p.Radius(), row[i].Contact
	own := edgeCircle(p, float64(c.Force), c.radius())
	found := place{contact: c.Name, radius: c.radius(),
		stress:     own.Stress * at.m[i][i] / touching.m[i][i],
		deflection: own.Deflection * at.w[i][i] / touching.w[i][i]}
	for j, n := range row {
		if j != i {
			found.stress += p.Stress(math.Max(at.m[i][j]*float64(n.Force), 0))
			found.deflection += math.Max(at.w[i][j]*float64(n.Force)/(p.K*l*l), 0)
		}
	}
	return found
}

// insideEdge is the stress under a contact that stands in from a free edge: the middle's, and what the edge throws back of
// every contact.
func (m model) insideEdge(p winkler.Plate, row []lined, i int) place {
	l, c := p.Radius(), row[i]
	found := place{stress: interiorSpecial(p, c.Contact), contact: c.Name, radius: c.radius(),
		deflection: interiorDeflection(p, float64(c.Force), c.radius())}
	for j, n := range row {
		f := m.free.Reflection(patchOf(n, n.along, n.away, l), c.along/l, c.away/l)
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

func average(into, with [][]float64) {
	for i := range into {
		for j := range into[i] {
			into[i][j] = (into[i][j] + with[i][j]) / 2
		}
	}
}

// edgePatches are the contacts of a row as squares of equal area, and the places of those nearest the edge, in radii of
// relative stiffness. The row comes sorted, nearest first.
func edgePatches(row []lined, clearance, l float64) (patches []winkler.Patch, xs []float64) {
	for _, c := range row {
		patches = append(patches, patchOf(c, c.along, c.away, l))
		if c.away-c.radius() <= clearance+outerLine {
			xs = append(xs, c.along/l)
		}
	}
	return patches, xs
}

func touchingPatches(row []lined, l float64) []winkler.Patch {
	patches := make([]winkler.Patch, len(row))
	for i, c := range row {
		patches[i] = patchOf(c, c.along, c.radius(), l)
	}
	return patches
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
