package sparse

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
)

// Factor is a matrix taken apart. It may be asked from several goroutines at once.
type Factor struct {
	m     *Matrix
	lower [][]float64 // per front: (columns+rows) × columns, row by row
	scale []float64   // 1/√diagonal of every unknown, in the caller's numbering
}

// NotPositiveError names the first unknown at which a matrix stops being positive definite. For a stiffness matrix
// the structure can move there without resistance: something is not held.
type NotPositiveError struct {
	Node, Unknown int
	X, Y          float64 // place of the node
	Pivot         float64 // what was left on the diagonal
	Of            float64 // what was on the diagonal at first
}

func (e *NotPositiveError) Error() string {
	return fmt.Sprintf("sparse: structure not held: node %d at (%g, %g), unknown %d: pivot %.3g of %.3g", e.Node, e.X, e.Y, e.Unknown, e.Pivot, e.Of)
}

// smallestPivot is the part of a diagonal value below which the remainder after elimination is rounding, not stiffness.
// Rounding leaves about 1e-16 times the number of terms summed; sound slabs on very soft soil keep more than 1e-9.
const smallestPivot = 1e-13

// Decompose factors a matrix. It returns a *NotPositiveError if the matrix is not positive definite, or the context's
// error if that ends first. The matrix must not be changed while the factor is in use.
func Decompose(ctx context.Context, m *Matrix) (*Factor, error) {
	f := &Factor{m: m, lower: make([][]float64, len(m.p.fronts)), scale: make([]float64, m.p.Size())}
	return f, f.Again(ctx)
}

// Again factors the matrix anew after its values have changed, in the memory of the old factor.
func (f *Factor) Again(ctx context.Context) error {
	run := &elimination{ctx: ctx, p: f.m.p, m: f.m, lower: f.lower, updates: make([][]float64, len(f.lower))}
	run.spare.Store(int32(runtime.GOMAXPROCS(0)) - 1)
	for _, root := range f.m.p.roots {
		run.subtree(root, make([]int32, len(f.m.p.node)))
	}
	if run.err != nil {
		return run.err
	}
	for place, node := range f.m.p.node {
		for d := range f.m.p.block {
			f.scale[int(node)*f.m.p.block+d] = 1 / math.Sqrt(f.m.diagonal(int32(place), d))
		}
	}
	return nil
}

type elimination struct {
	ctx     context.Context
	p       *Pattern
	m       *Matrix
	lower   [][]float64
	updates [][]float64
	spare   atomic.Int32 // goroutines that may still be started

	failed sync.Mutex
	err    error
	where  int32 // front of err: the earliest front is reported whatever goroutine came first
}

// enough is the number of operations that pays for a goroutine.
const enough = 2e5

// subtree eliminates a front after all fronts below it. local is scratch: place -> index within the current front.
func (e *elimination) subtree(b int32, local []int32) {
	f := &e.p.fronts[b]
	var wait sync.WaitGroup
	for i, child := range f.children {
		last := i == len(f.children)-1
		if !last && e.p.fronts[child].work > enough && e.spare.Add(-1) >= 0 {
			wait.Go(func() {
				defer e.spare.Add(1)
				e.subtree(child, make([]int32, len(local)))
			})
			continue
		} else if !last && e.p.fronts[child].work > enough {
			e.spare.Add(1)
		}
		e.subtree(child, local)
	}
	wait.Wait()
	if e.ctx.Err() != nil {
		e.fail(b, e.ctx.Err())
		return
	}
	e.eliminate(b, local)
}

func (e *elimination) fail(b int32, err error) {
	e.failed.Lock()
	defer e.failed.Unlock()
	if e.err == nil || b < e.where {
		e.err, e.where = err, b
	}
}

func (e *elimination) broken() bool {
	e.failed.Lock()
	defer e.failed.Unlock()
	return e.err != nil
}

// eliminate gathers the front's own entries and its children's updates, factors its columns and leaves its update.
func (e *elimination) eliminate(b int32, local []int32) {
	f := &e.p.fronts[b]
	block := e.p.block
	c, r := f.size(block)
	if len(e.lower[b]) != (c+r)*c {
		e.lower[b] = make([]float64, (c+r)*c)
	}
	l, u := e.lower[b], make([]float64, r*r)
	clear(l)
	for place := f.first; place < f.last; place++ {
		local[place] = int32(int(place-f.first) * block)
	}
	for k, place := range f.rows {
		local[place] = int32(c + k*block)
	}
	e.assemble(f, l, c, local)
	for _, child := range f.children {
		e.extend(child, l, u, c, r, local)
		e.updates[child] = nil
	}
	if e.broken() {
		return
	}
	floor := func(column int) float64 {
		return smallestPivot * abs(e.m.diagonal(f.first+int32(column/block), column%block))
	}
	if column, pivot := cholesky(l, c, c+r, floor); column >= 0 {
		place := f.first + int32(column/block)
		node := int(e.p.node[place])
		e.fail(b, &NotPositiveError{Node: node, Unknown: column % block, X: e.p.x[node], Y: e.p.y[node],
			Pivot: pivot, Of: e.m.diagonal(place, column%block)})
		return
	}
	schur(u, l, c, r)
	e.updates[b] = u
}

// assemble puts the matrix's columns of the front in place.
func (e *elimination) assemble(f *front, l []float64, c int, local []int32) {
	b := e.p.block
	for place := f.first; place < f.last; place++ {
		j := int(local[place])
		for k := int(e.p.start[place]); k < int(e.p.start[place+1]); k++ {
			i := int(local[e.p.row[k]])
			for a := range b {
				copy(l[(i+a)*c+j:(i+a)*c+j+b], e.m.values[(k*b+a)*b:(k*b+a)*b+b])
			}
		}
	}
}

// extend adds a child's update to the front: the part among the front's columns to l, the rest to u.
func (e *elimination) extend(child int32, l, u []float64, c, r int, local []int32) {
	from, b := e.updates[child], e.p.block
	rows := e.p.fronts[child].rows
	width := len(rows) * b
	if len(from) == 0 {
		return
	}
	for s, row := range rows {
		i := int(local[row])
		for a := range b {
			line := from[(s*b+a)*width:]
			for t, col := range rows[:s+1] {
				j := int(local[col])
				var to []float64
				if j < c {
					to = l[(i+a)*c+j : (i+a)*c+j+b]
				} else {
					to = u[(i+a-c)*r+j-c : (i+a-c)*r+j-c+b]
				}
				for q, v := range line[t*b : t*b+b] {
					to[q] += v
				}
			}
		}
	}
}
