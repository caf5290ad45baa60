package hold

import "context"

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

// curledKept is how many spots of a case are solved with the slab curled, each a search for the contact with the ground.
const curledKept = 3

// exact answers the worst spots to the end: flat; by day where wheels come every time, and at dawn where the top was in most
// tension, both with the slab's weight and free to lift off.
func (m *model) exact(ctx context.Context, p *plates, f found) (out []Case, err error) {
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
	ranked := make([][]Case, len(asked))
	err = atOnce(len(asked), func(i int) (err error) {
		spots := f.worst[asked[i].Name]
		if asked[i].Difference != 0 {
			spots = spots[:min(curledKept, len(spots))]
		}
		ranked[i], err = m.ranked(ctx, p, asked[i], spots)
		return err
	})
	for _, cases := range ranked {
		if len(cases) > 0 {
			out = append(out, cases[0])
		}
	}
	return out, err
}
