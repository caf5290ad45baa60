package hold

import (
	"cmp"
	"context"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/plate"
)

// tried is a spot and the tension it made on the first mesh.
type tried struct {
	spot
	bottom, top float64
}

func (t tried) tension() float64 { return math.Max(t.bottom, t.top) }

// found are the worst spots of each kind, worst first, and those with the worst tension in the top.
type found struct {
	count     int
	kinds     map[string][]tried
	top       []tried
	influence []Influence
}

// order is that in which kinds are told.
var order = []string{lane, crossing, astray, jack}

// kept is how many spots of each kind are looked at again: the first mesh has no lines on the prints and errs by a tenth.
const kept = 8

// search puts the load everywhere on the flat slab, then again around the worst places.
func (m *model) search(ctx context.Context, p *plates) (found, error) {
	all, err := m.try(ctx, p.flat, m.spots())
	if err != nil {
		return found{}, err
	}
	if len(all) == 0 {
		return found{}, nowhere(m.in)
	}
	for _, share := range []float64{0.5, 0.25} {
		var more []spot
		for _, t := range m.pick(all).first(narrowed) {
			more = append(more, m.around(t.spot, share*m.step())...)
		}
		near, err := m.try(ctx, p.flat, more)
		if err != nil {
			return found{}, err
		}
		all = append(all, near...)
	}
	out := m.pick(all)
	out.count = len(all)
	if m.in.InfluencePlaces.Value {
		out.influence = m.influence(all)
	}
	return out, nil
}

// try answers places that differ from one another.
func (m *model) try(ctx context.Context, f *plate.Factored, spots []spot) ([]tried, error) {
	loads := make([]plate.Load, len(spots))
	for i, s := range spots {
		on, _ := m.placed(s, m.vehicle(s))
		loads[i] = plate.Load{Patches: on}
	}
	peaks, err := f.Screen(ctx, loads, m.cornerRounds())
	if err != nil {
		return nil, err
	}
	out := make([]tried, len(spots))
	for i, p := range peaks {
		out[i] = tried{spots[i], p.Bottom().Value, p.Top().Value}
	}
	return out, nil
}

// ranked answers spots of one case to the end. A spot whose first answer lies well under the worst cannot be it.
func (m *model) ranked(ctx context.Context, p *plates, c Case, spots []tried) ([]Case, error) {
	if len(spots) > 0 {
		spots = slices.DeleteFunc(slices.Clone(spots), func(t tried) bool { return t.tension() < rival*spots[0].tension() })
	}
	out := make([]Case, len(spots))
	err := atOnce(len(spots), func(i int) error {
		out[i] = c
		out[i].spot = spots[i].spot
		_, err := p.look(ctx, &out[i], plate.Mesh{})
		return err
	})
	slices.SortStableFunc(out, func(a, b Case) int { return cmp.Compare(b.Stress, a.Stress) })
	return out, err
}

func spotsOf(cases []Case) (out []tried) {
	for _, c := range cases {
		out = append(out, tried{spot: c.spot, bottom: float64(c.Stress)})
	}
	return out
}

func (m *model) vehicle(s spot) vehicle {
	if s.posts {
		return m.loads[1]
	}
	return m.loads[0]
}

// around are the neighbours of a spot: along the edge it was moved along, or on all sides in the open.
func (m *model) around(s spot, step float64) (out []spot) {
	ways := []geometry.Point{s.slide, s.slide.Scale(-1)}
	if s.slide == (geometry.Point{}) {
		ways = []geometry.Point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}}
	}
	for _, way := range ways {
		next := s
		next.at = s.at.Add(way.Scale(step))
		if next.kind = m.kindOf(next, m.vehicle(s)); next.kind != "" {
			out = append(out, next)
		}
	}
	return out
}

// pick takes the worst of each kind, no two within a hand of each other with one heading.
func (m *model) pick(all []tried) found {
	out := found{kinds: map[string][]tried{}}
	take := func(list []tried, more tried) []tried {
		same := func(o tried) bool { return o.heading == more.heading && o.at.Distance(more.at) < apart }
		if len(list) == kept || slices.ContainsFunc(list, same) {
			return list
		}
		return append(list, more)
	}
	byTension := slices.Clone(all)
	slices.SortStableFunc(byTension, func(a, b tried) int { return cmp.Compare(b.tension(), a.tension()) })
	for _, t := range byTension {
		out.kinds[t.kind] = take(out.kinds[t.kind], t)
	}
	slices.SortStableFunc(byTension, func(a, b tried) int { return cmp.Compare(b.top, a.top) })
	for _, t := range byTension {
		if !t.posts {
			out.top = take(out.top, t)
		}
	}
	return out
}

// apart is how far apart two spots must be to be two, m.
const apart = 0.1

// narrowed is how many spots of each kind are narrowed down on the first mesh.
const narrowed = 3

func (f found) first(n int) (out []tried) {
	for _, kind := range order {
		out = append(out, f.kinds[kind][:min(n, len(f.kinds[kind]))]...)
	}
	return append(out, f.top[:min(n, len(f.top))]...)
}

func (m *model) influence(all []tried) (out []Influence) {
	for _, t := range all {
		on, _ := m.placed(t.spot, m.vehicle(t.spot))
		var middle geometry.Point
		for _, p := range on {
			middle = middle.Add(centre(p).Scale(1 / float64(len(on))))
		}
		_, limit := m.limit(t.kind)
		out = append(out, Influence{At: middle, Heading: t.heading, Case: t.kind, Utilisation: t.tension() / limit})
	}
	return out
}
