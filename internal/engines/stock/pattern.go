package stock

import (
	"cmp"
	"slices"
)

// pattern is one way of cutting one bar.
type pattern struct {
	stock int
	n     []int // of each size
}

func (c *core) use(n []int) int {
	sum := 0
	for i, k := range n {
		sum += k * c.w[i]
	}
	return sum
}

// bars is a plan in the making: every bar by itself.
type bars []pattern

func (b bars) cost(c *core) int {
	sum := 0
	for _, p := range b {
		sum += c.price[p.stock]
	}
	return sum
}

// firstFit cuts longest pieces first, each from the first bar with room, opening bars of one unlimited stock; then takes
// every bar as cheap as its pieces allow. The cheapest over all stocks that hold the longest piece.
func (c *core) firstFit() bars {
	var best bars
	for s, limit := range c.limit {
		if limit != unlimited || c.cap[s] < c.w[0] {
			continue
		}
		if b := c.cheapened(c.firstFitFrom(s)); best == nil || b.cost(c) < best.cost(c) {
			best = b
		}
	}
	return best
}

func (c *core) firstFitFrom(s int) bars {
	var out bars
	var room []int
	for i, count := range c.demand {
		from := 0 // equal pieces never fit into a bar that was full for the one before
		for range count {
			for from < len(room) && room[from] < c.w[i] {
				from++
			}
			if from == len(room) {
				out = append(out, pattern{s, make([]int, len(c.w))})
				room = append(room, c.cap[s])
			}
			out[from].n[i]++
			room[from] -= c.w[i]
		}
	}
	return out
}

// cheapened gives each bar the cheapest stock that holds its pieces; limited stock as far as it goes, fullest bars first.
func (c *core) cheapened(b bars) bars {
	left := slices.Clone(c.limit)
	slices.SortStableFunc(b, func(x, y pattern) int { return c.use(y.n) - c.use(x.n) })
	for k := range b {
		use := c.use(b[k].n)
		best := b[k].stock
		for s := range c.cap {
			if left[s] != 0 && c.cap[s] >= use && c.price[s] < c.price[best] {
				best = s
			}
		}
		if left[best] > 0 {
			left[best]--
		}
		b[k].stock = best
	}
	return b
}

// trimmed drops what is cut beyond the demand, from the fullest bars first.
func (c *core) trimmed(b bars) bars {
	out := make(bars, len(b))
	over := make([]int, len(c.w))
	for i, d := range c.demand {
		over[i] = -d
	}
	for k, p := range b {
		out[k] = pattern{p.stock, slices.Clone(p.n)}
		for i, n := range p.n {
			over[i] += n
		}
	}
	for i := range over {
		for k := 0; over[i] > 0 && k < len(out); k++ {
			drop := min(over[i], out[k].n[i])
			out[k].n[i] -= drop
			over[i] -= drop
		}
	}
	return slices.DeleteFunc(out, func(p pattern) bool { return c.use(p.n) == 0 })
}

// grouped counts equal bars and sorts them: dearest stock first, then longest pieces first.
func (c *core) grouped(b bars) []Cut {
	order := func(x, y Cut) int {
		return cmp.Or(cmp.Compare(c.cap[y.Stock], c.cap[x.Stock]), cmp.Compare(x.Stock, y.Stock), slices.Compare(y.Pieces, x.Pieces))
	}
	cuts := make([]Cut, len(b))
	for k, p := range b {
		cuts[k] = Cut{Stock: p.stock, Times: 1, Pieces: p.n, Left: max(0, c.cap[p.stock]-c.kerf-c.use(p.n))}
		if exact := c.cap[p.stock] - c.use(p.n); exact == 0 {
			cuts[k].Left = 0
		}
	}
	slices.SortFunc(cuts, order)
	var out []Cut
	for _, cut := range cuts {
		if n := len(out); n > 0 && order(out[n-1], cut) == 0 {
			out[n-1].Times++
			continue
		}
		out = append(out, cut)
	}
	return out
}
