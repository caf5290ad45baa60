package hold

import (
	"cmp"
	"context"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/plate"
)

// tried is a spot and what it did on the first mesh.
type tried struct {
	spot
	tension [weathers]float64 // greatest in both faces, Pa
	top     float64           // greatest in the top face at dawn, Pa
	rank    float64           // of these, what the case that it was picked for goes by
}

// Weathers are the states in which places are ranked: flat, curled on a hot afternoon, and at dawn.
const (
	level = iota
	hot
	cold
	weathers
)

// found are the worst spots of each case, worst first.
type found struct {
	count     int
	worst     map[string][]tried
	influence []Influence
}

// order is that in which kinds are told.
var order = []string{lane, crossing, astray, jack}

// kept is how many spots of each case are looked at again at most, and curledKept how many with the slab curled, each a search
// for the contact with the ground.
const (
	kept       = 10
	curledKept = 5
)

// search puts the load everywhere on the flat slab, then again around the worst places.
func (m *model) search(ctx context.Context, p *plates) (found, error) {
	if err := p.curl(ctx); err != nil {
		return found{}, err
	}
	all, err := m.try(ctx, p, m.spots())
	if err != nil {
		return found{}, err
	}
	if len(all) == 0 {
		return found{}, nowhere(m.in)
	}
	for _, share := range []float64{0.5, 0.25} {
		var more []spot
		for _, t := range m.pick(all, narrowed).all() {
			more = append(more, m.around(t.spot, share*m.step())...)
		}
		near, err := m.try(ctx, p, more)
		if err != nil {
			return found{}, err
		}
		all = append(all, near...)
	}
	out := m.pick(all, kept)
	out.count = len(all)
	if m.in.InfluencePlaces.Value {
		out.influence = m.influence(all)
	}
	return out, nil
}

// try answers places that differ from one another.
func (m *model) try(ctx context.Context, p *plates, spots []spot) ([]tried, error) {
	loads := make([]plate.Load, len(spots))
	for i, s := range spots {
		on, _ := m.placed(s, m.vehicle(s))
		loads[i] = plate.Load{Patches: on}
	}
	peaks, err := p.flat.Screen(ctx, loads, m.cornerRounds(), p.day, p.dawn)
	if err != nil {
		return nil, err
	}
	out := make([]tried, len(spots))
	for i, each := range peaks {
		out[i] = tried{spot: spots[i], top: each[cold].Top().Value}
		for w, peak := range each {
			out[i].tension[w] = math.Max(peak.Bottom().Value, peak.Top().Value)
		}
	}
	return out, nil
}

// screenError is how much more a place may do than the first mesh says, as a factor: in tests at most 1.06.
const screenError = 1.1

// worst answers the spots of one case to the end, the most promising first, until no other can be worse than the worst so
// far, or most have been answered.
func (p *plates) worst(ctx context.Context, c Case, spots []tried, most int) (worst Case, err error) {
	for i, t := range spots {
		if i == most || t.rank*screenError < float64(worst.Stress) {
			break
		}
		next := c
		next.spot = t.spot
		if _, err := p.look(ctx, &next, plate.Mesh{}); err != nil {
			return Case{}, err
		}
		if i == 0 || next.Stress > worst.Stress {
			worst = next
		}
	}
	return worst, nil
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

// rank is what a case is ranked by, and which spots it takes: minus infinity for none of it.
type rank func(t tried) float64

// ranks are the cases: each kind on the flat slab; wheels that come every time by day; and what stretches the top at dawn.
func ranks() map[string]rank {
	of := func(kind string, weather int) rank {
		return func(t tried) float64 {
			if t.kind != kind {
				return math.Inf(-1)
			}
			return t.tension[weather]
		}
	}
	out := map[string]rank{lane + byDay: of(lane, hot), crossing + byDay: of(crossing, hot), atDawn: func(t tried) float64 {
		if t.posts {
			return math.Inf(-1)
		}
		return t.top
	}}
	for _, kind := range order {
		out[kind] = of(kind, level)
	}
	return out
}

// The names of cases on a curled slab.
const (
	byDay  = " by day"
	atDawn = "top at dawn"
)

// pick takes the worst n of each case, no two within a hand of each other with one heading.
func (m *model) pick(all []tried, n int) found {
	out := found{worst: map[string][]tried{}}
	for name, by := range ranks() {
		sorted := slices.DeleteFunc(slices.Clone(all), func(t tried) bool { return math.IsInf(by(t), -1) })
		slices.SortStableFunc(sorted, func(a, b tried) int { return cmp.Compare(by(b), by(a)) })
		var list []tried
		for _, t := range sorted {
			same := func(o tried) bool { return o.heading == t.heading && o.at.Distance(t.at) < apart }
			if len(list) < n && !slices.ContainsFunc(list, same) {
				t.rank = by(t)
				list = append(list, t)
			}
		}
		out.worst[name] = list
	}
	return out
}

// apart is how far apart two spots must be to be two, m.
const apart = 0.1

// narrowed is how many spots of each case are narrowed down on the first mesh.
const narrowed = 3

// cases are the names of the cases in the order they are told.
func caseNames() []string { return append(slices.Clone(order), lane+byDay, crossing+byDay, atDawn) }

func (f found) all() (out []tried) {
	for _, name := range caseNames() {
		out = append(out, f.worst[name]...)
	}
	return out
}

func (m *model) influence(all []tried) (out []Influence) {
	for _, t := range all {
		on, _ := m.placed(t.spot, m.vehicle(t.spot))
		var middle geometry.Point
		for _, p := range on {
			middle = middle.Add(centre(p).Scale(1 / float64(len(on))))
		}
		_, limit := m.limit(t.kind)
		out = append(out, Influence{At: middle, Heading: t.heading, Case: t.kind, Utilisation: t.tension[level] / limit})
	}
	return out
}
