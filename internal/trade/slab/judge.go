package slab

import (
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/winkler"
)

// judge checks one thickness against every case.
func (m model) judge(nominal float64) Candidate {
	p := m.plate(nominal)
	c := Candidate{Thickness: quantity.Length(nominal), Effective: quantity.Length(p.H), Radius: quantity.Length(p.Radius())}
	if len(m.wheels) > 0 {
		m.judgeWheels(p, &c)
	}
	if !m.wheelsOnly {
		m.judgePosts(p, nominal, &c)
		m.judgeRest(p, &c)
	}
	for i, one := range c.Cases {
		if one.Utilisation > c.Cases[c.Governs].Utilisation {
			c.Governs = i
		}
	}
	c.Utilisation = c.Worst().Utilisation
	c.Holds = c.Utilisation <= 1
	return c
}

// curls are the stresses of the hot afternoon and the winter dawn at this thickness, each positive at its own face.
func (m model) curls(p winkler.Plate) (day, dawn curling) {
	l := p.Radius()
	long, short := bradburySafe(m.panelLong/l), bradburySafe(m.panelShort/l)
	return curlingStress(p, m.alpha, m.day, long, short), curlingStress(p, m.alpha, m.dawn, long, short)
}

// wheelPlaces are the worst wheels at each kind of place.
type wheelPlaces struct {
	under    []place // each wheel in the middle
	middle   place
	joint    place
	entrance place // crossing a free edge squarely
	edge     place // along a free edge at its clearance
	astray   place // along the very edge
	corner   place // on the very corner
}

func (m model) wheelPlaces(p winkler.Plate) wheelPlaces {
	f := wheelPlaces{under: underEach(p, m.wheels)}
	for _, u := range f.under {
		f.middle = worse(f.middle, u)
	}
	at := beside(p, m.wheels, 0, m.jointR(p), everyWay...)
	f.astray, f.entrance = at[alongside].edge, worse(at[frontFirst].edge, at[rearFirst].edge)
	f.joint = worse(at[alongside].joint, worse(at[frontFirst].joint, at[rearFirst].joint))
	f.edge = f.astray
	switch {
	case m.noEdge:
		f.astray, f.entrance, f.edge = f.joint, f.joint, f.joint
	case m.edgeClearance > 0:
		f.edge = beside(p, m.wheels, m.edgeClearance, 0, alongside)[0].edge
	}
	f.corner = corner(p, m.wheels, 0)
	return f
}

// judgeWheels checks the wheels where they come every time with the safety factor of their use, where they come astray with
// that of rare loads, and both in the worst hour of curling.
func (m model) judgeWheels(p winkler.Plate, c *Candidate) {
	day, _ := m.curls(p)
	use, rare := m.safety.wheels, m.safety.rare
	add := func(name, says, where, face string, at place, curl, safety float64) {
		c.Cases = append(c.Cases, stressCase(name, says, where, face, at, curl, m.rupture, safety))
	}
	f := m.wheelPlaces(p)
	add("middle", "wheel in the middle of a panel", "middle", "bottom", f.middle, 0, use)
	add("joint", "wheel at a joint", "joint", "bottom", f.joint, 0, use)
	if !m.noEdge {
		add("edge", "wheel along a free edge, at its distance", "edge", "bottom", f.edge, 0, use)
	}
	if m.green {
		return
	}
	if !m.noEdge {
		add("entrance", "axle crossing a free edge", "edge", "bottom", f.entrance, 0, use)
		add("astray", "wheel astray on the very edge", "edge", "bottom", f.astray, 0, rare)
		add("corner", "wheel astray on a free corner", "corner", "top", f.corner, 0, rare)
	}
	if m.wheelsOnly {
		return
	}
	add("middle by day", "wheel in the middle on a hot afternoon", "middle", "bottom", f.middle, day.Interior, rare)
	add("joint by day", "wheel at a joint on a hot afternoon", "joint", "bottom", f.joint, day.Edge, rare)
	if !m.noEdge {
		add("edge by day", "wheel along a free edge on a hot afternoon", "edge", "bottom", f.edge, day.Edge, rare)
		add("entrance by day", "axle crossing a free edge on a hot afternoon", "edge", "bottom", f.entrance, day.Edge, rare)
		add("corner at dawn", "wheel astray on a free corner on a winter dawn", "corner", "top", f.corner, cornerCurl(p, m.alpha, m.dawn, f.corner.radius), rare)
	}
	m.judgeFatigue(c, f, day)
}

// judgeFatigue counts every axle of every pass at each place where it passes: all of them across a joint and across the edge
// where they drive on; along a long edge a share astray at the very edge and the rest at its distance. The hot hours have
// the day's curling. Each place tires for itself, and the most tired counts.
func (m model) judgeFatigue(c *Candidate, f wheelPlaces, day curling) {
	places := []struct {
		says, where string
		very, rest  place // the share astray, and the others
	}{
		{"all passes of the slab's life, across a joint", "joint", f.joint, f.joint},
		{"all passes of the slab's life, where axles cross a free edge", "edge", f.entrance, f.entrance},
		{"all passes of the slab's life, along a free edge", "edge", f.astray, f.edge},
	}
	shares := axleShares(f.under)
	use, which := 0.0, 0
	for i, at := range places {
		blocks := m.blocks(shares, at.very.stress, at.rest.stress, day.Edge)
		if i == 0 || use > 0 && minerSum(scaled(blocks, 1/use)) > 1 { // more tired than the worst so far
			use, which, c.Damage = fatigueUse(blocks), i, minerSum(blocks)
		}
	}
	at := places[which]
	c.Cases = append(c.Cases, Case{Name: "fatigue", Says: at.says, Where: at.where, Face: "bottom", Contact: at.very.contact,
		Demand: quantity.Plain(c.Damage, quantity.AsRatio), Limit: quantity.Plain(1, quantity.AsRatio), Utilisation: use})
}

// blocks are the passes of each axle at a place: a share of them with the stress astray, the rest with its own, and of both
// a share in the hot hours. A wheel astray is taken no better than one in its place.
func (m model) blocks(shares []float64, astray, own, curl float64) []block {
	var out []block
	astray = math.Max(astray, own)
	add := func(passes, stress float64) {
		out = append(out, block{passes * m.hotShare, (stress + curl) / m.rupture}, block{passes * (1 - m.hotShare), stress / m.rupture})
	}
	for _, share := range shares {
		if astray == own {
			add(m.passes, share*own)
			continue
		}
		add(m.passes*m.edgeShare, share*astray)
		add(m.passes*(1-m.edgeShare), share*own)
	}
	return out
}

// jointR is the stiffness of the joint over that of the bed.
func (m model) jointR(p winkler.Plate) float64 {
	r, err := transferOf(m.joint, m.opening, m.bars, m.k, p.Radius())
	if err != nil {
		return 0 // an unknown joint is refused before; a free edge is the safe side
	}
	return r
}

// judgePosts checks every jack and post: bending in the middle and at its distance from an edge, crushing, punching.
func (m model) judgePosts(p winkler.Plate, nominal float64, c *Candidate) {
	if len(m.posts) == 0 {
		return
	}
	c.Cases = append(c.Cases,
		stressCase("jack", "jack in the middle of a panel", "middle", "bottom", middle(p, m.posts), 0, m.postRupture, m.safety.posts))
	if !m.noEdge {
		var edge place
		for _, at := range beside(p, m.posts, m.jackClearance, 0, everyWay...) {
			edge = worse(edge, at.edge)
		}
		c.Cases = append(c.Cases,
			stressCase("jack by the edge", "jack at its distance from an edge", "edge", "bottom", edge, 0, m.postRupture, m.safety.posts),
			stressCase("jack by the corner", "jack at its distance from a corner", "corner", "top", corner(p, m.posts, m.jackClearance), 0, m.postRupture, m.safety.posts))
	}
	var crush, punch Case
	for _, post := range m.posts {
		side, demand := post.Along.Metres(), loadFactor*float64(post.Force)
		b := forceCase("bearing", "concrete crushed under a pad", post, demand, bearingStrength(m.strength, side))
		s := forceCase("punching", "pad breaking through", post, demand, punchingStrength(m.strength, side, 1, nominal).Reduced)
		if b.Utilisation > crush.Utilisation {
			crush = b
		}
		if s.Utilisation > punch.Utilisation {
			punch = s
		}
	}
	c.Cases = append(c.Cases, crush, punch)
}

// judgeRest checks what needs no wheel: the curled slab at dawn and by day, and goods beside an aisle.
func (m model) judgeRest(p winkler.Plate, c *Candidate) {
	day, dawn := m.curls(p)
	curl, says, face := dawn.Interior, "curled slab at dawn, nothing on it", "top"
	if day.Interior > dawn.Interior {
		curl, says, face = day.Interior, "curled slab by day, nothing on it", "bottom"
	}
	c.Cases = append(c.Cases, stressCase("curling alone", says, "middle", face, place{}, curl, m.rupture, m.safety.rare))
	if m.stored > 0 {
		allowed := aisleLoad(m.rupture/m.safety.wheels, m.k, p.H, m.elasticity)
		c.Cases = append(c.Cases, Case{Name: "aisle", Says: "goods beside an open aisle", Where: "middle", Face: "top",
			Demand: quantity.Plain(m.stored, quantity.AsStress), Limit: quantity.Plain(allowed, quantity.AsStress), Utilisation: math.Min(m.stored/allowed, mostUse)})
	}
}
