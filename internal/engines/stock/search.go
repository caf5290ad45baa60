package stock

import (
	"cmp"
	"fmt"
	"math"
	"math/big"
	"slices"
)

// search looks for a plan cheaper than the best so far among the plans that keep a part of the rounded relaxation.
type search struct {
	c         *core
	best      bars
	rootBound int
	rootLP    float64
	nodes     int
	effort    int
	cutShort  bool // some branch was left unexplored
	complete  bool // the whole problem was searched: best is cheapest
	seen      map[string]int
}

func newSearch(c *core, first bars, effort int) *search {
	return &search{c: c, best: first, effort: effort}
}

// run rounds the relaxation down and searches the rest; then keeps less and less of it, until the bound is met, the whole
// problem has been searched, or the effort is spent.
func (s *search) run() {
	root := s.c.relax(s.c.demand, s.c.limit)
	s.rootBound = s.c.raise(root.least(0))
	s.rootLP, _ = new(big.Rat).SetFrac(root.bound, big.NewInt(root.scale)).Float64()
	bound := max(s.rootBound, s.c.material(s.c.demand, s.c.limit))
	values := newCorrector(s.c)
	for give := 0; s.best.cost(s.c) > bound && s.nodes < s.effort; give = max(1, 2*give) {
		kept, demand, limit := s.keep(root, give)
		if s.correct(values, kept, demand, limit, bound); s.best.cost(s.c) <= bound {
			return
		}
		s.cutShort, s.seen = false, map[string]int{}
		s.descend(demand, limit, kept, bound)
		if len(kept) == 0 {
			s.complete = !s.cutShort
			return
		}
	}
}

// keep takes every pattern of the relaxation as often as its value rounded down, less give.
func (s *search) keep(root relaxation, give int) (kept bars, demand, limit []int) {
	demand, limit = slices.Clone(s.c.demand), slices.Clone(s.c.limit)
	for k, p := range root.patterns {
		for range int(math.Floor(root.x[k]+gain)) - give {
			if limit[p.stock] == 0 {
				break
			}
			kept = append(kept, p)
			take(p, demand, limit)
		}
	}
	return kept, demand, limit
}

// take cuts one bar: the demand falls, not below zero, and so does a limit.
func take(p pattern, demand, limit []int) {
	for i, n := range p.n {
		demand[i] = max(0, demand[i]-n)
	}
	if limit[p.stock] > 0 {
		limit[p.stock]--
	}
}

// descend cuts the longest piece left in every way that could still beat the best plan. Complete: that piece must come
// from some bar, and a bar with room for another wanted piece may as well hold it. It stops once goal is met.
func (s *search) descend(demand, limit []int, done bars, goal int) {
	c := s.c
	cost := done.cost(c)
	item := slices.IndexFunc(demand, func(d int) bool { return d > 0 })
	if item < 0 {
		if cost < s.best.cost(c) {
			s.best = slices.Clone(done)
		}
		return
	}
	if cost+c.material(demand, limit) >= s.best.cost(c) || !s.fresh(demand, limit, cost) {
		return
	}
	if s.nodes++; s.nodes > s.effort {
		s.cutShort = true
		return
	}
	lp := c.relax(demand, limit)
	for _, p := range s.choices(demand, limit, item, lp) {
		if c.raise(cost+lp.least(lp.surplus(c, p))) >= s.best.cost(c) {
			continue
		}
		d, l := slices.Clone(demand), slices.Clone(limit)
		take(p, d, l)
		s.descend(d, l, append(slices.Clone(done), p), goal)
		if s.best.cost(c) <= goal || s.nodes > s.effort {
			s.cutShort = s.cutShort || s.nodes > s.effort
			return
		}
	}
}

// fresh says whether this rest has not been reached before as cheaply.
func (s *search) fresh(demand, limit []int, cost int) bool {
	key := fmt.Sprint(demand, limit)
	if before, ok := s.seen[key]; ok && before <= cost {
		return false
	}
	s.seen[key] = cost
	return true
}

// mostChoices bounds the patterns tried at one node; when it bites, the search is no longer complete and says so.
const mostChoices = 2000

// choices lists the maximal patterns that hold the item: those of the relaxation first, then the rest by dual surplus.
func (s *search) choices(demand, limit []int, item int, lp relaxation) []pattern {
	weight := func(p pattern) float64 {
		for k, q := range lp.patterns {
			if q.stock == p.stock && slices.Equal(q.n, p.n) {
				return lp.x[k]
			}
		}
		return 0
	}
	var out []pattern
	for stock := range s.c.cap {
		if limit[stock] != 0 && s.c.cap[stock] >= s.c.w[item] {
			out = s.fill(out, stock, demand, item)
		}
	}
	type ranked struct {
		p       pattern
		weight  float64
		surplus int64
	}
	list := make([]ranked, len(out))
	for k, p := range out {
		list[k] = ranked{p, weight(p), lp.surplus(s.c, p)}
	}
	slices.SortStableFunc(list, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(b.weight, a.weight), cmp.Compare(a.surplus, b.surplus))
	})
	for k := range list {
		out[k] = list[k].p
	}
	return out
}

// fill appends the maximal patterns of a stock that hold the item, longest pieces first.
func (s *search) fill(out []pattern, stock int, demand []int, item int) []pattern {
	n := make([]int, len(demand))
	n[item] = 1
	var next func(i, room int)
	next = func(i, room int) {
		if len(out) >= mostChoices {
			s.cutShort = true
			return
		}
		if i == len(demand) {
			for k, w := range s.c.w {
				if n[k] < demand[k] && w <= room {
					return // room for one more: not maximal
				}
			}
			out = append(out, pattern{stock, slices.Clone(n)})
			return
		}
		had := n[i]
		for k := min(demand[i]-had, room/s.c.w[i]); k >= 0; k-- {
			n[i] = had + k
			next(i+1, room-k*s.c.w[i])
		}
		n[i] = had
	}
	next(item, s.c.cap[stock]-s.c.w[item])
	return out
}
