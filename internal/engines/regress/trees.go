package regress

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
)

// TreeSettings say how boosted trees are grown.
type TreeSettings struct {
	Trees     int
	Depth     int     // splits from root to leaf, 1 to 12
	Rate      float64 // share of each tree that is kept, above 0 to 1
	Rows      float64 // share of the rows each tree sees, drawn without putting back
	Columns   float64 // share of the columns each tree may split on
	LeastLeaf int     // rows in a leaf, at least
	Shrink    float64 // added to the rows of a leaf when its mean is taken
	Direction []int   // per column: +1 never falls, -1 never rises, 0 free; nil: all free
	Seed      uint64
}

func (s TreeSettings) check(columns int) error {
	switch {
	case s.Trees < 1 || s.Depth < 1 || s.Depth > 12 || s.LeastLeaf < 1:
		return fmt.Errorf("regress: trees need at least one tree, depth 1 to 12 and a row in each leaf")
	case !(s.Rate > 0 && s.Rate <= 1) || !(s.Rows > 0 && s.Rows <= 1) || !(s.Columns > 0 && s.Columns <= 1) || !(s.Shrink >= 0):
		return fmt.Errorf("regress: rate and shares of rows and columns are above 0 and at most 1, shrink is not below 0")
	case s.Direction != nil && len(s.Direction) != columns:
		return fmt.Errorf("regress: %d directions for %d columns", len(s.Direction), columns)
	}
	return nil
}

// Forest is a sum of trees of equal depth, stored level by level: node k has children 2k+1 and 2k+2. A node that was not split has
// column -1 and sends everything left.
type Forest struct {
	Base   float64
	Depth  int
	Column []int16   // of each inner node of each tree
	Cut    []float32 // rows with value ≤ cut go left
	Leaf   []float32 // of each tree
}

// Trees is how many trees the forest has.
func (f *Forest) Trees() int { return len(f.Leaf) >> f.Depth }

// Predict is the forest's value at a row.
func (f *Forest) Predict(row []float64) float64 {
	inner, leaves := 1<<f.Depth-1, 1<<f.Depth
	sum := f.Base
	for t := range f.Trees() {
		columns, cuts := f.Column[t*inner:(t+1)*inner], f.Cut[t*inner:(t+1)*inner]
		node := 0
		for node < inner {
			c := columns[node]
			node = 2*node + 1
			if c >= 0 && float32(row[c]) > cuts[(node-1)/2] {
				node++
			}
		}
		sum += float64(f.Leaf[t*leaves+node-inner])
	}
	return sum
}

// MarshalBinary writes the forest as little-endian numbers: depth, trees, base, then columns, cuts and leaves.
func (f *Forest) MarshalBinary() ([]byte, error) {
	out := binary.LittleEndian.AppendUint32(nil, uint32(f.Depth))
	out = binary.LittleEndian.AppendUint32(out, uint32(f.Trees()))
	out = binary.LittleEndian.AppendUint64(out, math.Float64bits(f.Base))
	for _, part := range []any{f.Column, f.Cut, f.Leaf} {
		var err error
		if out, err = binary.Append(out, binary.LittleEndian, part); err != nil {
			return nil, fmt.Errorf("regress: %w", err)
		}
	}
	return out, nil
}

// UnmarshalBinary reads what MarshalBinary wrote; a text cut short or too long is refused.
func (f *Forest) UnmarshalBinary(text []byte) error {
	const head = 16
	if len(text) < head {
		return fmt.Errorf("regress: a forest of %d bytes has no head", len(text))
	}
	depth, trees := binary.LittleEndian.Uint32(text), binary.LittleEndian.Uint32(text[4:])
	if depth < 1 || depth > 12 || trees < 1 || trees > 1<<20 {
		return fmt.Errorf("regress: a forest of %d trees, depth %d", trees, depth)
	}
	inner := int(trees) * (1<<depth - 1)
	out := Forest{Base: math.Float64frombits(binary.LittleEndian.Uint64(text[8:])), Depth: int(depth),
		Column: make([]int16, inner), Cut: make([]float32, inner), Leaf: make([]float32, int(trees)<<depth)}
	rest := text[head:]
	if want := 6*inner + 4*len(out.Leaf); len(rest) != want {
		return fmt.Errorf("regress: a forest of %d trees, depth %d has %d bytes after its head, not %d", trees, depth, want, len(rest))
	}
	for _, part := range []any{out.Column, out.Cut, out.Leaf} {
		n, err := binary.Decode(rest, binary.LittleEndian, part)
		if err != nil {
			return fmt.Errorf("regress: %w", err)
		}
		rest = rest[n:]
	}
	*f = out
	return nil
}

// FitTrees grows boosted regression trees on squared error. Each tree is fitted to what the ones before left over; leaf values
// are means shrunk toward zero and multiplied by the rate. A direction is kept by refusing splits against it and by bounding
// the values below a split by its middle, so the whole forest is monotone in that column.
// Source: Friedman 2001, Annals of Statistics 29(5), 1189-1232, with row and column sampling.
func FitTrees(x [][]float64, y []float64, s TreeSettings) (*Forest, error) {
	if err := checkRows(x, y); err != nil {
		return nil, err
	}
	if err := s.check(len(x[0])); err != nil {
		return nil, err
	}
	g := newGrower(x, y, s)
	for range s.Trees {
		g.grow()
	}
	return g.f, nil
}

// grower holds what is kept from tree to tree.
type grower struct {
	s     TreeSettings
	x     [][]float32 // by column
	order [][]int32   // rows of each column, lowest value first
	left  []float64   // what is still to explain of each row
	node  []int32     // of each row in the tree being grown; -1: not drawn
	dice  *rand.Rand
	f     *Forest
}

func newGrower(x [][]float64, y []float64, s TreeSettings) *grower {
	n, columns := len(x), len(x[0])
	g := &grower{s: s, node: make([]int32, n), left: make([]float64, n), dice: rand.New(rand.NewPCG(s.Seed, 1)),
		f: &Forest{Base: meanOf(y), Depth: s.Depth}}
	for c := range columns {
		values, order := make([]float32, n), make([]int32, n)
		for i := range n {
			values[i], order[i] = float32(x[i][c]), int32(i)
		}
		sort.SliceStable(order, func(a, b int) bool { return values[order[a]] < values[order[b]] })
		g.x, g.order = append(g.x, values), append(g.order, order)
	}
	for i, v := range y {
		g.left[i] = v - g.f.Base
	}
	return g
}

// branch is a node being grown: its rows' sum and count, the bounds its value must keep, and its best split so far.
type branch struct {
	sum, low, high float64
	count          int
	gain           float64
	column         int
	cut            float32
	leftSum        float64
	leftCount      int
	run            running
}

// running is the scan of one column through one node.
type running struct {
	sum   float64
	count int
	last  float32
}

func (g *grower) grow() {
	inner := 1<<g.s.Depth - 1
	nodes := make([]branch, 2*inner+1)
	for i := range nodes {
		nodes[i].column = -1
	}
	nodes[0].low, nodes[0].high = math.Inf(-1), math.Inf(1)
	for i := range g.node {
		g.node[i] = -1
		if g.dice.Float64() < g.s.Rows {
			g.node[i] = 0
			nodes[0].sum, nodes[0].count = nodes[0].sum+g.left[i], nodes[0].count+1
		}
	}
	columns := g.draw()
	for level := range g.s.Depth {
		first, last := 1<<level-1, 1<<(level+1)-1
		for _, c := range columns {
			g.scan(c, nodes, first, last)
		}
		for k := first; k < last; k++ {
			g.split(nodes, k)
		}
		g.send(nodes)
	}
	g.keep(nodes, inner)
}

// draw picks the columns of a tree, always at least one.
func (g *grower) draw() []int {
	var out []int
	for c := range g.x {
		if g.s.Columns >= 1 || g.dice.Float64() < g.s.Columns {
			out = append(out, c)
		}
	}
	if out == nil {
		out = []int{g.dice.IntN(len(g.x))}
	}
	return out
}

// scan walks a column's rows in order once and tries every cut in every node of a level.
func (g *grower) scan(c int, nodes []branch, first, last int) {
	for k := first; k < last; k++ {
		nodes[k].run = running{}
	}
	direction := 0
	if g.s.Direction != nil {
		direction = g.s.Direction[c]
	}
	values := g.x[c]
	for _, i := range g.order[c] {
		k := g.node[i]
		if int(k) < first {
			continue
		}
		b, v := &nodes[k], values[i]
		if b.run.count > 0 && v > b.run.last {
			g.try(b, c, direction, v)
		}
		b.run.sum, b.run.count, b.run.last = b.run.sum+g.left[i], b.run.count+1, v
	}
}

// try weighs a cut between the last value and v.
func (g *grower) try(b *branch, c, direction int, v float32) {
	nl, nr := b.run.count, b.count-b.run.count
	if nl < g.s.LeastLeaf || nr < g.s.LeastLeaf {
		return
	}
	sl, sr := b.run.sum, b.sum-b.run.sum
	wl, wr := float64(nl)+g.s.Shrink, float64(nr)+g.s.Shrink
	gain := sl*sl/wl + sr*sr/wr - b.sum*b.sum/(float64(b.count)+g.s.Shrink)
	if gain <= b.gain+1e-12 || !b.keeps(sl/wl, sr/wr, direction) {
		return
	}
	cut := b.run.last + (v-b.run.last)/2
	if cut >= v { // neighbouring numbers of the machine have no middle
		cut = b.run.last
	}
	b.gain, b.column, b.cut, b.leftSum, b.leftCount = gain, c, cut, sl, nl
}

// keeps says whether left and right values, held in the node's bounds, go in the direction.
func (b *branch) keeps(left, right float64, direction int) bool {
	if direction == 0 {
		return true
	}
	left, right = min(max(left, b.low), b.high), min(max(right, b.low), b.high)
	return float64(direction)*(right-left) >= 0
}

// split gives a node's children their rows' sums and their bounds.
func (g *grower) split(nodes []branch, k int) {
	b := &nodes[k]
	l, r := &nodes[2*k+1], &nodes[2*k+2]
	*l, *r = branch{sum: b.sum, count: b.count, low: b.low, high: b.high, column: -1}, branch{low: b.low, high: b.high, column: -1}
	if b.column < 0 {
		return
	}
	l.sum, l.count, r.sum, r.count = b.leftSum, b.leftCount, b.sum-b.leftSum, b.count-b.leftCount
	if g.s.Direction == nil || g.s.Direction[b.column] == 0 {
		return
	}
	middle := (g.value(l) + g.value(r)) / 2
	if g.s.Direction[b.column] > 0 {
		l.high, r.low = middle, middle
	} else {
		l.low, r.high = middle, middle
	}
}

// value is a node's shrunk mean within its bounds.
func (g *grower) value(b *branch) float64 {
	return min(max(b.sum/(float64(b.count)+g.s.Shrink), b.low), b.high)
}

// send moves every row one level down.
func (g *grower) send(nodes []branch) {
	for i, k := range g.node {
		if k < 0 {
			continue
		}
		g.node[i] = 2*k + 1
		if c := nodes[k].column; c >= 0 && g.x[c][i] > nodes[k].cut {
			g.node[i]++
		}
	}
}

// keep stores the tree and takes it off what is left of every row, drawn or not.
func (g *grower) keep(nodes []branch, inner int) {
	for k := range inner {
		g.f.Column, g.f.Cut = append(g.f.Column, int16(nodes[k].column)), append(g.f.Cut, nodes[k].cut)
	}
	for k := inner; k <= 2*inner; k++ {
		leaf := 0.0
		if nodes[k].count > 0 {
			leaf = g.s.Rate * g.value(&nodes[k])
		}
		g.f.Leaf = append(g.f.Leaf, float32(leaf))
	}
	leaves := g.f.Leaf[len(g.f.Leaf)-inner-1:]
	for i := range g.left {
		k := 0
		for k < inner {
			c, cut := nodes[k].column, nodes[k].cut
			k = 2*k + 1
			if c >= 0 && g.x[c][i] > cut {
				k++
			}
		}
		g.left[i] -= float64(leaves[k-inner])
	}
}
