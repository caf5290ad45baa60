// Package sparse solves large symmetric positive definite systems whose unknowns sit on nodes in a plane:
// stiffness matrices of plates, heat, membranes.
//
// The work is split where it can be kept. A [Pattern] is made once from which nodes touch which: it orders the
// unknowns and knows where every number of the factor will be. A [Matrix] is a pattern with numbers. A [Factor]
// is the matrix taken apart into LDLᵀ, from which any number of right-hand sides are answered:
//
//	p, err := sparse.NewPattern(4, xs, ys, groups)
//	m := p.Matrix()
//	m.Add(nodes, elementMatrix) // for every element
//	f, err := sparse.Decompose(ctx, m)
//	report, err := f.Solve(loads)
//
// The order is nested dissection by coordinates (A. George, "Nested dissection of a regular finite element mesh",
// SIAM J. Numer. Anal. 10, 1973): halve the nodes by a line, number the nodes on the line last, repeat. For n
// unknowns in a plane the factor then holds O(n log n) numbers and costs O(n^1.5) operations. The factorisation is
// multifrontal (I. S. Duff and J. K. Reid, ACM Trans. Math. Softw. 9, 1983): every separator is one dense block,
// so the arithmetic is matrix products, and the two halves of a cut can be worked on at once. Which goroutine does
// what never changes a sum, so the same matrix gives the same bits on one core or many.
package sparse

import (
	"fmt"
	"iter"
	"math"
	"slices"
)

// Pattern says which nodes are coupled, in which order they are eliminated, and where the factor's numbers lie.
// It holds no matrix values and may be shared by any number of matrices and goroutines.
type Pattern struct {
	block int       // unknowns on each node
	x, y  []float64 // node coordinates
	pos   []int32   // node -> place in the order of elimination
	node  []int32   // place -> node

	// Lower triangle by columns, in places: column j holds rows row[start[j]:start[j+1]], the first being j.
	start []int32
	row   []int32

	fronts []front
	roots  []int32
}

// front is one dense step of the elimination: the nodes at places first..last are removed together, and leave
// their mark on the nodes in rows.
type front struct {
	first, last int32
	rows        []int32 // places after last, ascending
	children    []int32
	work        float64 // operations in this front and all below it
}

// NewPattern orders the unknowns of a structure. Every node carries the same number of unknowns (1 or more) and has
// a place (x, y) in the plane, which only guides the order: nodes that share a place are allowed. Each group lists
// nodes that are coupled with each other, like the corners of one element; a node may appear in any number of groups.
func NewPattern(unknowns int, x, y []float64, groups iter.Seq[[]int]) (*Pattern, error) {
	n := len(x)
	if unknowns < 1 || n == 0 || len(y) != n {
		return nil, fmt.Errorf("sparse: %d unknowns on nodes with %d x and %d y: need at least one of each, in pairs", unknowns, n, len(y))
	}
	for i := range x {
		if bad(x[i]) || bad(y[i]) {
			return nil, fmt.Errorf("sparse: node %d is at (%g, %g), which is no place", i, x[i], y[i])
		}
	}
	neighbours, err := adjacency(n, groups)
	if err != nil {
		return nil, err
	}
	p := &Pattern{block: unknowns, x: slices.Clone(x), y: slices.Clone(y)}
	blocks := p.dissect(neighbours)
	p.columns(neighbours)
	p.symbolic(blocks)
	return p, nil
}

// Size is the number of unknowns.
func (p *Pattern) Size() int { return p.block * len(p.x) }

// FactorEntries is the number of values in the factor, a measure of memory.
func (p *Pattern) FactorEntries() int {
	total := 0
	for i := range p.fronts {
		c, r := p.fronts[i].size(p.block)
		total += c*(c+1)/2 + c*r
	}
	return total
}

// Operations is the number of multiplications with additions that one factorisation takes.
func (p *Pattern) Operations() float64 {
	total := 0.0
	for _, r := range p.roots {
		total += p.fronts[r].work
	}
	return total
}

func (f *front) size(block int) (columns, rows int) {
	return int(f.last-f.first) * block, len(f.rows) * block
}

func bad(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }

// graph is a set of neighbour lists without the node itself, in one slice.
type graph struct {
	start []int32
	to    []int32
}

func (g graph) of(i int32) []int32 { return g.to[g.start[i]:g.start[i+1]] }

func adjacency(n int, groups iter.Seq[[]int]) (graph, error) {
	count := make([]int32, n+1)
	for g := range groups {
		for _, i := range g {
			if i < 0 || i >= n {
				return graph{}, fmt.Errorf("sparse: a group names node %d of %d", i, n)
			}
			count[i+1] += int32(len(g) - 1)
		}
	}
	for i := range n {
		count[i+1] += count[i]
	}
	next := slices.Clone(count[:n])
	all := make([]int32, count[n])
	for g := range groups {
		for _, i := range g {
			for _, j := range g {
				if i != j {
					all[next[i]] = int32(j)
					next[i]++
				}
			}
		}
	}
	out := graph{start: make([]int32, n+1)}
	for i := range n {
		list := all[count[i]:next[i]]
		slices.Sort(list)
		out.to = append(out.to, slices.Compact(list)...)
		out.start[i+1] = int32(len(out.to))
	}
	return out, nil
}

// columns lays out the lower triangle in the order of elimination.
func (p *Pattern) columns(g graph) {
	n := len(p.node)
	p.start = make([]int32, n+1)
	p.row = make([]int32, 0, len(g.to)/2+n)
	for j := range n {
		from := len(p.row)
		p.row = append(p.row, int32(j))
		for _, k := range g.of(p.node[j]) {
			if p.pos[k] > int32(j) {
				p.row = append(p.row, p.pos[k])
			}
		}
		slices.Sort(p.row[from:])
		p.start[j+1] = int32(len(p.row))
	}
}
