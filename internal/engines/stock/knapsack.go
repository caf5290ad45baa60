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

// filled answers what the most valuable load of weight at most room is worth, and what it holds.
type filled interface {
	worth(room int) int64
	pieces(room, sizes int) []int
}

// frontier is the answer as a list of loads, lightest first.
type frontier []*load

func (f frontier) within(room int) *load {
	i, _ := slices.BinarySearchFunc(f, room+1, func(l *load, w int) int { return l.weight - w })
	return f[i-1]
}

func (f frontier) worth(room int) int64 { return f.within(room).value }

func (f frontier) pieces(room, sizes int) []int { return f.within(room).pieces(sizes) }

// longestTable is the longest bar answered room by room; for longer ones a list of loads is shorter than the table.
const longestTable = 20_000

// table is the answer for every room up to a bar's length: the usual dynamic programme. One is kept and used again; an
// answer holds until the next question.
type table struct {
	most  []int64
	taken [][]bool
	lots  []lot
	w     []int // in steps of unit, what all weights are whole multiples of
	unit  int
}

// lot is some pieces of one size taken together, so that counts are made of powers of two.
type lot struct{ size, count int }

// fill answers for pieces worth value, up to most of each, and every room.
func (c *core) fill(value []int64, most []int, room int) filled {
	if room > longestTable {
		return frontier(c.knapsack(value, most, room))
	}
	t := &c.table
	if t.unit == 0 {
		for _, w := range c.w {
			t.unit = gcd(t.unit, w)
		}
		for _, w := range c.w {
			t.w = append(t.w, w/t.unit)
		}
	}
	room /= t.unit
	if len(t.most) <= room {
		t.most, t.taken = make([]int64, room+1), nil
	}
	t.lots = t.lots[:0]
	clear(t.most)
	for i, v := range value {
		left := min(most[i], room/t.w[i])
		for part := 1; left > 0 && v > 0; part *= 2 {
			n := min(part, left)
			left -= n
			t.add(lot{i, n}, n*t.w[i], int64(n)*v)
		}
	}
	return t
}

func (t *table) add(l lot, w int, v int64) {
	k := len(t.lots)
	t.lots = append(t.lots, l)
	if len(t.taken) == k {
		t.taken = append(t.taken, make([]bool, len(t.most)))
	}
	clear(t.taken[k])
	from := t.most[:len(t.most)-w]
	to, taken := t.most[w:][:len(from)], t.taken[k][w:][:len(from)]
	for i := len(from) - 1; i >= 0; i-- {
		if more := from[i] + v; more > to[i] {
			to[i], taken[i] = more, true
		}
	}
}

func (t *table) worth(room int) int64 { return t.most[room/t.unit] }

func (t *table) pieces(room, sizes int) []int {
	n := make([]int, sizes)
	room /= t.unit
	for k := len(t.lots) - 1; k >= 0; k-- {
		if l := t.lots[k]; t.taken[k][room] {
			n[l.size] += l.count
			room -= l.count * t.w[l.size]
		}
	}
	return n
}
