package hold

import (
	"context"
	"slices"
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

// exact answers the worst spots to the end: flat; by day where wheels come every time, and at dawn where the top was in most
// tension, both with the slab's weight and free to lift off.
func (m *model) exact(ctx context.Context, p *plates, f found) ([]Case, error) {
	asked := make([]Case, 0, weathers*len(order))
	for _, kind := range order {
		asked = append(asked, Case{Name: kind, Says: kindSays[kind]})
	}
	if day := float64(m.in.DayWarm.Value); day > 0 {
		for _, kind := range []string{lane, crossing} {
			asked = append(asked, Case{Name: kind + byDay, Says: kindSays[kind] + ", on a hot afternoon", Difference: day})
		}
	}
	if dawn := float64(m.in.DawnCold.Value); dawn > 0 {
		asked = append(asked, Case{Name: atDawn, Says: "wheel where the top is in most tension, on a winter dawn", Difference: -dawn})
	}
	asked = slices.DeleteFunc(asked, func(c Case) bool { return len(f.worst[c.Name]) == 0 })
	return asked, atOnce(len(asked), func(i int) (err error) {
		most := kept
		if asked[i].Difference != 0 {
			most = curledKept
		}
		asked[i], err = p.worst(ctx, asked[i], f.worst[asked[i].Name], most)
		return err
	})
}
