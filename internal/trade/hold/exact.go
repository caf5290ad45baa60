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

// bent is how many spots of each kind are solved with the slab curled: those worst on the flat slab.
const bent = 2

// exact answers the worst spots to the end: flat; by day where wheels come every time, and at dawn where the top was in most
// tension, both with the slab's weight and free to lift off.
func (m *model) exact(ctx context.Context, p *plates, f found) ([]Case, error) {
	flat := make([]Case, 0, len(order))
	for _, kind := range order {
		ranked, err := m.ranked(ctx, p, Case{Name: kind, Says: kindSays[kind]}, f.kinds[kind])
		if err != nil {
			return nil, err
		}
		if len(ranked) > 0 {
			flat = append(flat, worstOf(ranked))
		}
		f.kinds[kind] = spotsOf(ranked)
	}
	curled, err := m.curled(ctx, p, f)
	return append(flat, curled...), err
}

// curled are the cases on a slab bent by heat or cold.
func (m *model) curled(ctx context.Context, p *plates, f found) (out []Case, err error) {
	try := func(c Case, spots []tried) {
		if err != nil || len(spots) == 0 || c.Difference == 0 {
			return
		}
		var ranked []Case
		ranked, err = m.ranked(ctx, p, c, spots[:min(bent, len(spots))])
		if err == nil {
			out = append(out, worstOf(ranked))
		}
	}
	for _, kind := range []string{lane, crossing} {
		try(Case{Name: kind + " by day", Says: kindSays[kind] + ", on a hot afternoon", Difference: float64(m.in.DayWarm.Value)}, f.kinds[kind])
	}
	try(Case{Name: "top at dawn", Says: "wheel where the top is in most tension, on a winter dawn", Difference: -float64(m.in.DawnCold.Value)}, f.top)
	return out, err
}
