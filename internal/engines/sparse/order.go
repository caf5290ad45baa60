package sparse

import (
	"cmp"
	"slices"
)

// leaf is the number of nodes below which a part is eliminated as one dense block. Between 4 and 12 the time is flat.
const leaf = 6

// span is a run of places eliminated together.
type span struct{ first, last int32 }

// dissect fills pos and node and returns the blocks in the order of elimination.
func (p *Pattern) dissect(g graph) []span {
	n := len(p.x)
	d := &dissection{p: p, g: g, side: make([]int32, n), order: make([]int32, 0, n)}
	all := make([]int32, n)
	for i := range all {
		all[i] = int32(i)
	}
	d.cut(all)
	p.node = d.order
	p.pos = make([]int32, n)
	for place, node := range p.node {
		p.pos[node] = int32(place)
	}
	return d.blocks
}

type dissection struct {
	p      *Pattern
	g      graph
	side   []int32 // the latest half that a node was put in
	mark   int32
	order  []int32
	blocks []span
}

// cut numbers a set of nodes: both halves first, the separator last. The set is reordered in place.
func (d *dissection) cut(set []int32) {
	if len(set) <= leaf {
		d.number(set)
		return
	}
	low, high, separator := d.halve(set)
	if len(low) == 0 || len(high) == 0 {
		d.number(set)
		return
	}
	d.cut(low)
	d.cut(high)
	d.number(separator)
}

func (d *dissection) number(set []int32) {
	if len(set) == 0 {
		return
	}
	first := int32(len(d.order))
	d.order = append(d.order, set...)
	d.blocks = append(d.blocks, span{first, int32(len(d.order))})
}

// halve splits a set by a line across its longer side. The separator is the high nodes that touch a low node.
func (d *dissection) halve(set []int32) (low, high, separator []int32) {
	along, across := d.p.x, d.p.y
	if extent(along, set) < extent(across, set) {
		along, across = across, along
	}
	slices.SortFunc(set, func(a, b int32) int {
		return cmp.Or(cmp.Compare(along[a], along[b]), cmp.Compare(across[a], across[b]), cmp.Compare(a, b))
	})
	m := lineNearMiddle(along, set)
	d.mark++
	for _, i := range set[:m] {
		d.side[i] = d.mark
	}
	low = set[:m]
	rest := make([]int32, 0, len(set)-m)
	for _, i := range set[m:] {
		if slices.ContainsFunc(d.g.of(i), func(k int32) bool { return d.side[k] == d.mark }) {
			separator = append(separator, i)
		} else {
			rest = append(rest, i)
		}
	}
	return low, rest, separator
}

// lineNearMiddle is the first index, near the middle of a sorted set, where a new line of nodes begins. With no such
// place the set lies on one line and is split by count.
func lineNearMiddle(along []float64, set []int32) int {
	middle := (len(set) - 1) / 2
	tolerance := 1e-9 * (along[set[len(set)-1]] - along[set[0]])
	for k := range middle {
		for _, m := range [2]int{middle - k, middle + k + 1} {
			if m > 0 && m < len(set) && along[set[m]]-along[set[m-1]] > tolerance {
				return m
			}
		}
	}
	return middle
}

func extent(v []float64, set []int32) float64 {
	low, high := v[set[0]], v[set[0]]
	for _, i := range set {
		low, high = min(low, v[i]), max(high, v[i])
	}
	return high - low
}

// symbolic finds, for each block, the later nodes that it reaches, and hangs the blocks into a tree.
func (p *Pattern) symbolic(blocks []span) {
	owner := make([]int32, len(p.node))
	for b, s := range blocks {
		for place := s.first; place < s.last; place++ {
			owner[place] = int32(b)
		}
	}
	seen := make([]int32, len(p.node))
	p.fronts = make([]front, len(blocks))
	for b := range blocks {
		f := &p.fronts[b]
		f.first, f.last = blocks[b].first, blocks[b].last
		add := func(rows []int32) {
			for _, r := range rows {
				if r >= f.last && seen[r] != int32(b)+1 {
					seen[r] = int32(b) + 1
					f.rows = append(f.rows, r)
				}
			}
		}
		for place := f.first; place < f.last; place++ {
			add(p.row[p.start[place]:p.start[place+1]])
		}
		for _, c := range f.children {
			add(p.fronts[c].rows)
			f.work += p.fronts[c].work
		}
		slices.Sort(f.rows)
		c, r := f.size(p.block)
		f.work += float64(c)*float64(c)*float64(c)/6 + float64(c)*float64(c)*float64(r)/2 + float64(c)*float64(r)*float64(r)/2
		if len(f.rows) == 0 {
			p.roots = append(p.roots, int32(b))
			continue
		}
		up := &p.fronts[owner[f.rows[0]]]
		up.children = append(up.children, int32(b))
	}
}
