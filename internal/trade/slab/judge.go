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

func (m model) judgeWheels(p winkler.Plate, c *Candidate) {
	day, _ := m.curls(p)
	rare := m.safety.rare
	add := func(cases ...Case) { c.Cases = append(c.Cases, cases...) }

	inside := middle(p, m.wheels)
	add(stressCase("middle", "wheel in the middle of a panel", "middle", "bottom", inside, 0, m.rupture, m.safety.wheels))
	edge, joint := beside(p, m.wheels, 0, m.jointR(p))
	add(stressCase("joint", "wheel at a joint", "joint", "bottom", joint, 0, m.rupture, m.safety.wheels))
	if m.noEdge {
		edge = joint
	} else {
		if m.edgeClearance > 0 {
			edge, _ = beside(p, m.wheels, m.edgeClearance, 0)
		}
		tip := corner(p, m.wheels, m.edgeClearance)
		add(stressCase("edge", "wheel at the free edge", "edge", "bottom", edge, 0, m.rupture, m.safety.wheels),
			stressCase("corner", "wheel at a free corner", "corner", "top", tip, 0, m.rupture, m.safety.wheels))
		if !m.wheelsOnly {
			add(stressCase("edge by day", "wheel at the free edge on a hot afternoon", "edge", "bottom", edge, day.Edge, m.rupture, rare),
				stressCase("corner at dawn", "wheel at a free corner on a winter dawn", "corner", "top", tip, cornerCurl(p, m.alpha, m.dawn, tip.radius), m.rupture, rare))
		}
	}
	if m.wheelsOnly {
		return
	}
	add(stressCase("middle by day", "wheel in the middle on a hot afternoon", "middle", "bottom", inside, day.Interior, m.rupture, rare),
		stressCase("joint by day", "wheel at a joint on a hot afternoon", "joint", "bottom", joint, day.Edge, m.rupture, rare))
	m.judgeFatigue(c, joint, edge, day)
}

// judgeFatigue counts every axle of every pass: the edge's share at the edge, the rest across a joint, the hot hours with
// the day's curling.
func (m model) judgeFatigue(c *Candidate, joint, edge place, day curling) {
	n := m.passes * float64(m.axles)
	blocks := []block{
		{n * m.edgeShare * m.hotShare, (edge.stress + day.Edge) / m.rupture},
		{n * m.edgeShare * (1 - m.hotShare), edge.stress / m.rupture},
		{n * (1 - m.edgeShare) * m.hotShare, (joint.stress + day.Edge) / m.rupture},
		{n * (1 - m.edgeShare) * (1 - m.hotShare), joint.stress / m.rupture},
	}
	c.Damage = minerSum(blocks)
	use := fatigueUse(blocks)
	c.Cases = append(c.Cases, Case{Name: "fatigue", Says: "all passes of the slab's life", Where: "edge", Face: "bottom", Contact: edge.contact,
		Demand: quantity.Plain(c.Damage, quantity.AsRatio), Limit: quantity.Plain(1, quantity.AsRatio), Utilisation: use})
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
		edge, _ := beside(p, m.posts, m.jackClearance, 0)
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
