package stock

import (
	"math"
	"math/rand/v2"
	"slices"
)

// corrector fills bars one after the other, each with the pieces worth most, and makes pieces dearer that left waste: a few
// passes mostly meet the bound where rounding did not (sequential value correction, Mukhacheva et al. 2000; Belov and
// Scheithauer 2006). Seeded: the same job gets the same passes.
type corrector struct {
	c      *core
	value  []float64
	random *rand.Rand
}

// correctPasses are tried on what a rounding leaves.
const correctPasses = 30

// steep favours long pieces a little: short ones fit in later.
const steep = 1.02

func newCorrector(c *core) *corrector {
	r := &corrector{c: c, random: rand.New(rand.NewPCG(uint64(len(c.sizes)), uint64(c.cap[0])))}
	for _, w := range c.w {
		r.value = append(r.value, math.Pow(float64(w), steep))
	}
	return r
}

// correct tries to finish a plan at the goal or below, and keeps what beats the best.
func (s *search) correct(r *corrector, kept bars, demand, limit []int, goal int) {
	if slices.Max(s.c.cap) > longestTable {
		return
	}
	for range correctPasses {
		plan := r.pass(kept, slices.Clone(demand), slices.Clone(limit), s.best.cost(s.c))
		if plan != nil && plan.cost(s.c) < s.best.cost(s.c) {
			s.best = plan
		}
		if s.best.cost(s.c) <= goal {
			return
		}
	}
}

// pass fills bars until nothing is left; nil if it cannot beat a cost.
func (r *corrector) pass(kept bars, demand, limit []int, beat int) bars {
	plan := slices.Clone(kept)
	cost := plan.cost(r.c)
	for slices.ContainsFunc(demand, func(d int) bool { return d > 0 }) {
		p, ok := r.fill(demand, limit)
		if !ok {
			return nil
		}
		if cost += r.c.price[p.stock]; cost >= beat {
			r.learn(p, demand)
			return nil
		}
		r.learn(p, demand)
		take(p, demand, limit)
		plan = append(plan, p)
	}
	return plan
}

// fill is the pattern of greatest value for its price.
func (r *corrector) fill(demand, limit []int) (best pattern, ok bool) {
	value := make([]int64, len(r.value))
	for i, v := range r.value {
		value[i] = int64(v * 1000)
	}
	loads := r.c.fill(value, demand, slices.Max(r.c.cap))
	worth := -1.0
	for s, room := range r.c.cap {
		if limit[s] == 0 || loads.worth(room) == 0 {
			continue
		}
		if v := float64(loads.worth(room)) / math.Max(float64(r.c.price[s]), 1e-9); v > worth {
			worth, best, ok = v, pattern{stock: s}, true
		}
	}
	if ok {
		best.n = loads.pieces(r.c.cap[best.stock], len(r.c.w))
	}
	return best, ok
}

// learn makes the pieces of a pattern dearer by the waste it leaves, and shakes them a little.
func (r *corrector) learn(p pattern, demand []int) {
	used := r.c.use(p.n)
	full := float64(r.c.cap[p.stock]) / float64(max(used, 1))
	for i, n := range p.n {
		if n == 0 {
			continue
		}
		share := float64(n) / float64(n+demand[i])
		fair := math.Pow(float64(r.c.w[i]), steep) * full * (0.95 + 0.1*r.random.Float64())
		r.value[i] += share * (fair - r.value[i])
	}
}
