package stock

import "slices"

// load is a set of pieces worth carrying: no lighter set is worth as much.
type load struct {
	weight int
	value  int64
	item   int // last addition: size and count
	count  int
	from   *load
}

func (l *load) pieces(sizes int) []int {
	n := make([]int, sizes)
	for ; l != nil && l.from != nil; l = l.from {
		n[l.item] += l.count
	}
	return n
}

// knapsack lists the sets of pieces of weight at most room that no other set beats, lightest first: the last one within a
// capacity is the most valuable pattern for it. Exact: the lists of undominated sets of Nemhauser and Ullmann (1969),
// counts up to most[i] in powers of two.
func (c *core) knapsack(value []int64, most []int, room int) []*load {
	front := []*load{{item: -1}}
	for i, v := range value {
		if v <= 0 {
			continue
		}
		left := min(most[i], room/c.w[i])
		for part := 1; left > 0; part *= 2 {
			part = min(part, left)
			left -= part
			front = extend(front, i, part, part*c.w[i], int64(part)*v, room)
		}
	}
	return front
}

// extend merges the front with itself plus one more lot of pieces, dropping what is heavier and not worth more.
func extend(front []*load, item, count, weight int, value int64, room int) []*load {
	out := make([]*load, 0, 2*len(front))
	add := func(l *load) {
		if n := len(out); n == 0 || l.value > out[n-1].value {
			if n > 0 && out[n-1].weight == l.weight {
				out[n-1] = l
				return
			}
			out = append(out, l)
		}
	}
	j := 0
	for _, l := range front {
		for ; j < len(front) && front[j].weight+weight < l.weight; j++ {
			add(&load{front[j].weight + weight, front[j].value + value, item, count, front[j]})
		}
		add(l)
	}
	for ; j < len(front) && front[j].weight+weight <= room; j++ {
		add(&load{front[j].weight + weight, front[j].value + value, item, count, front[j]})
	}
	return out
}

// within returns the most valuable load of weight at most room.
func within(front []*load, room int) *load {
	i, _ := slices.BinarySearchFunc(front, room+1, func(l *load, w int) int { return l.weight - w })
	return front[i-1]
}
