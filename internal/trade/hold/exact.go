package hold

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/plate"
	"slabwright/internal/engines/quantity"
)

// kindSays are the cases in words.
var kindSays = map[string]string{
	lane:     "wheels on their way, in the open and at joints",
	crossing: "axle crossing a free edge",
	astray:   "wheel astray on an edge or corner",
	jack:     "jacks at their distance from edges",
}

// limit is the tension that a kind of case may reach, and the strength it comes from, Pa.
func (m *model) limit(kind string) (strength, allowed float64) {
	switch kind {
	case jack:
		strength = float64(m.in.PostFlexural.Value)
		return strength, strength / float64(m.in.SafetyPosts.Value)
	case lane, crossing:
		strength = float64(m.in.Flexural.Value)
		return strength, strength / float64(m.in.SafetyWheels.Value)
	}
	strength = float64(m.in.Flexural.Value)
	return strength, strength / float64(m.in.SafetyRare.Value)
}

// solvedAgain is how many spots of each kind are solved to the end.
const solvedAgain = 2

// exact solves the worst spots on meshes made for them, first coarse ones: flat; by day where wheels come every time, and at
// dawn where the top was in most tension, both with the slab's weight and free to lift off.
func (m *model) exact(ctx context.Context, f found) ([]Case, error) {
	var out []Case
	try := func(name, says string, spots []tried, difference float64) error {
		ranked := make([]Case, len(spots))
		for i, t := range spots {
			ranked[i] = Case{Name: name, Says: says, spot: t.spot}
			if err := m.solve(ctx, &ranked[i], plate.Coarse); err != nil {
				return err
			}
		}
		slices.SortStableFunc(ranked, func(a, b Case) int { return cmp.Compare(b.Stress, a.Stress) })
		var worst Case
		for _, c := range ranked[:min(len(ranked), solvedAgain)] {
			c.Difference = difference
			if err := m.solve(ctx, &c, plate.Mesh{}); err != nil {
				return err
			}
			if worst.Name == "" || c.Stress > worst.Stress {
				worst = c
			}
		}
		if worst.Name != "" {
			out = append(out, worst)
		}
		return nil
	}
	for _, kind := range order {
		if err := try(kind, kindSays[kind], f.kinds[kind], 0); err != nil {
			return nil, err
		}
	}
	day, dawn := float64(m.in.DayWarm.Value), -float64(m.in.DawnCold.Value)
	for _, kind := range []string{lane, crossing} {
		if day <= 0 {
			break
		}
		if err := try(kind+" by day", kindSays[kind]+", on a hot afternoon", f.kinds[kind], day); err != nil {
			return nil, err
		}
	}
	if dawn < 0 {
		if err := try("top at dawn", "wheel where the top is in most tension, on a winter dawn", f.top, dawn); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// caseLoad is the slab and the load of a case.
func (m *model) caseLoad(c Case) (plate.Slab, plate.Load) {
	s := m.slab
	on, _ := m.placed(c.spot, m.vehicle(c.spot))
	load := plate.Load{Patches: on}
	if c.Difference != 0 {
		s.Weight, s.LiftOff = concreteWeight, true
		load.Temperature = plate.Gradient(c.Difference)
	}
	return s, load
}

// solve fills a case with what the plate says.
func (m *model) solve(ctx context.Context, c *Case, mesh plate.Mesh) error {
	s, load := m.caseLoad(*c)
	r, err := plate.Solve(ctx, s, load, mesh)
	if err != nil {
		return fmt.Errorf("hold: %s: %w", c.Says, err)
	}
	worst, top := m.extremes(r)
	face := "bottom"
	if top.Value > worst.Value {
		worst, face = top, "top"
	}
	_, limit := m.limit(c.spot.kind)
	if c.Difference != 0 {
		limit = float64(m.in.Flexural.Value) / float64(m.in.SafetyRare.Value)
	}
	c.Panel, c.At, c.Face = m.in.Panels[worst.Panel].Number, geometry.Point{X: worst.At.X, Y: worst.At.Y}, face
	c.Vehicle, c.Heading, c.Prints = c.spot.at, c.spot.heading, nil
	for _, p := range load.Patches {
		c.Prints = append(c.Prints, centre(p))
	}
	c.Stress, c.Limit = quantity.Stress(math.Max(worst.Value, 0)), quantity.Stress(limit)
	c.Utilisation = float64(c.Stress) / limit
	c.Deflection, c.Contact = quantity.Length(r.Down.Value), r.Contact
	for _, closed := range m.in.ClosedForms {
		if closed.Name == c.Name {
			c.Closed = closed.Stress
		}
	}
	return nil
}
