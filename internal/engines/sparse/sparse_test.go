package sparse

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"pgregory.net/rapid"
)

// grid is nx × ny square cells with random positive definite element matrices, a stand-in for any stiffness.
type grid struct {
	nx, ny, block int
	seed          uint64
}

func (g grid) nodes() (x, y []float64) {
	for j := range g.ny + 1 {
		for i := range g.nx + 1 {
			x, y = append(x, float64(i)), append(y, float64(j))
		}
	}
	return x, y
}

func (g grid) groups() iter.Seq[[]int] {
	return func(yield func([]int) bool) {
		w := g.nx + 1
		for j := range g.ny {
			for i := range g.nx {
				if !yield([]int{j*w + i, j*w + i + 1, (j+1)*w + i, (j+1)*w + i + 1}) {
					return
				}
			}
		}
	}
}

func (g grid) matrix(t testing.TB) *Matrix {
	x, y := g.nodes()
	p, err := NewPattern(g.block, x, y, g.groups())
	if err != nil {
		t.Fatal(err)
	}
	m := p.Matrix()
	random := rand.New(rand.NewPCG(g.seed, 1))
	n := 4 * g.block
	for group := range g.groups() {
		a := make([]float64, n*n)
		for i := range a {
			a[i] = random.NormFloat64()
		}
		dense := make([]float64, n*n)
		for i := range n {
			dense[i*n+i] = 0.01
			for j := range n {
				for k := range n {
					dense[i*n+j] += a[i*n+k] * a[j*n+k]
				}
			}
		}
		m.Add(group, dense)
	}
	return m
}

// banded is the same matrix for LAPACK's banded Cholesky, in the caller's numbering.
func banded(m *Matrix, band int) blas64.SymmetricBand {
	n, b := m.p.Size(), m.p.block
	s := blas64.SymmetricBand{Uplo: blas.Upper, N: n, K: band, Stride: band + 1, Data: make([]float64, n*(band+1))}
	for j, node := range m.p.node {
		for k := int(m.p.start[j]); k < int(m.p.start[j+1]); k++ {
			for a := range b {
				for c := range b {
					r, q := int(m.p.node[m.p.row[k]])*b+a, int(node)*b+c
					s.Data[min(r, q)*(band+1)+max(r, q)-min(r, q)] = m.values[k*b*b+a*b+c]
				}
			}
		}
	}
	return s
}

func TestAgainstBandedCholesky(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := grid{
			nx: rapid.IntRange(1, 14).Draw(r, "nx"), ny: rapid.IntRange(1, 14).Draw(r, "ny"),
			block: rapid.IntRange(1, 4).Draw(r, "block"), seed: rapid.Uint64().Draw(r, "seed"),
		}
		m := g.matrix(t)
		n := m.p.Size()
		random := rand.New(rand.NewPCG(g.seed, 2))
		load := make([]float64, n)
		for i := range load {
			load[i] = random.NormFloat64()
		}
		band, ok := lapack64.Pbtrf(banded(m, (g.nx+3)*g.block))
		if !ok {
			r.Fatal("the reference found the matrix indefinite")
		}
		want := append([]float64(nil), load...)
		lapack64.Pbtrs(band, blas64.General{Rows: n, Cols: 1, Stride: 1, Data: want})

		f, err := Decompose(context.Background(), m)
		if err != nil {
			r.Fatal(err)
		}
		got := append([]float64(nil), load...)
		report, err := f.Solve(got)
		if err != nil {
			r.Fatal(err)
		}
		if report.Residual > Good {
			r.Fatalf("residual %g", report.Residual)
		}
		scale := 0.0
		for _, v := range want {
			scale = math.Max(scale, math.Abs(v))
		}
		for i := range got {
			// Two backward stable solvers differ by condition × rounding; these matrices have a condition near 1e5.
			if math.Abs(got[i]-want[i]) > 1e-9*scale {
				r.Fatalf("unknown %d: %g, reference %g", i, got[i], want[i])
			}
		}
	})
}

func TestManyRightHandSidesEqualOneByOne(t *testing.T) {
	m := grid{nx: 20, ny: 13, block: 3, seed: 4}.matrix(t)
	f, err := Decompose(context.Background(), m)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(3, 3))
	var many, single [][]float64
	for range 2*together + 3 {
		x := make([]float64, m.p.Size())
		for i := range x {
			x[i] = random.NormFloat64()
		}
		many, single = append(many, append([]float64(nil), x...)), append(single, x)
	}
	if _, err := f.SolveAll(context.Background(), many); err != nil {
		t.Fatal(err)
	}
	for k, x := range single {
		if _, err := f.Solve(x); err != nil {
			t.Fatal(err)
		}
		for i := range x {
			if math.Abs(x[i]-many[k][i]) > 1e-10 {
				t.Fatalf("side %d unknown %d: %g alone, %g together", k, i, x[i], many[k][i])
			}
		}
	}
}

// The tree is walked by as many goroutines as there are cores; the sums must not know.
func TestSameBitsOnOneCore(t *testing.T) {
	m := grid{nx: 40, ny: 40, block: 4, seed: 9}.matrix(t)
	answer := func() []float64 {
		f, err := Decompose(context.Background(), m)
		if err != nil {
			t.Fatal(err)
		}
		x := make([]float64, m.p.Size())
		for i := range x {
			x[i] = float64(i % 17)
		}
		if _, err := f.Solve(x); err != nil {
			t.Fatal(err)
		}
		return x
	}
	many := answer()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	for i, v := range answer() {
		if v != many[i] {
			t.Fatalf("unknown %d: %v on one core, %v on several", i, v, many[i])
		}
	}
}

func TestHeldUnknownsAnswerZero(t *testing.T) {
	m := grid{nx: 6, ny: 5, block: 2, seed: 5}.matrix(t)
	held := make([]bool, m.p.Size())
	held[3], held[40] = true, true
	free := m.Clone()
	m.Hold(held)
	f, err := Decompose(context.Background(), m)
	if err != nil {
		t.Fatal(err)
	}
	x := make([]float64, m.p.Size())
	for i := range x {
		if !held[i] {
			x[i] = 1
		}
	}
	if _, err := f.Solve(x); err != nil {
		t.Fatal(err)
	}
	if x[3] != 0 || x[40] != 0 {
		t.Fatalf("held unknowns moved: %g, %g", x[3], x[40])
	}
	forces := make([]float64, len(x))
	free.Multiply(forces, x)
	for i, v := range forces {
		if !held[i] && math.Abs(v-1) > 1e-9 {
			t.Fatalf("row %d of the free matrix gives %g", i, v)
		}
	}
}

func TestLoosePartIsNamed(t *testing.T) {
	// Two chains of springs; the second is tied to nothing.
	x := []float64{0, 1, 2, 10, 11, 12}
	y := make([]float64, 6)
	pairs := [][]int{{0, 1}, {1, 2}, {3, 4}, {4, 5}}
	p, err := NewPattern(1, x, y, func(yield func([]int) bool) {
		for _, g := range pairs {
			if !yield(g) {
				return
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	m := p.Matrix()
	for _, g := range pairs {
		m.Add(g, []float64{1e6, -1e6, -1e6, 1e6})
	}
	m.Add([]int{0}, []float64{1})
	_, err = Decompose(context.Background(), m)
	var loose *NotPositiveError
	if !errors.As(err, &loose) {
		t.Fatalf("got %v", err)
	}
	if loose.X < 10 {
		t.Errorf("named a node of the held chain: %v", loose)
	}
}

func TestCancelledRunStops(t *testing.T) {
	m := grid{nx: 10, ny: 10, block: 4, seed: 1}.matrix(t)
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Decompose(ctx, m); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

func TestBadInput(t *testing.T) {
	none := func(func([]int) bool) {}
	one := func(yield func([]int) bool) { yield([]int{0, 5}) }
	for name, make := range map[string]func() (*Pattern, error){
		"no nodes":      func() (*Pattern, error) { return NewPattern(1, nil, nil, none) },
		"no unknowns":   func() (*Pattern, error) { return NewPattern(0, []float64{1}, []float64{1}, none) },
		"not a number":  func() (*Pattern, error) { return NewPattern(1, []float64{math.NaN()}, []float64{1}, none) },
		"unknown node":  func() (*Pattern, error) { return NewPattern(1, []float64{0, 1}, []float64{0, 1}, one) },
		"uneven coords": func() (*Pattern, error) { return NewPattern(1, []float64{0, 1}, []float64{0}, none) },
	} {
		if _, err := make(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	m := grid{nx: 2, ny: 2, block: 1, seed: 1}.matrix(t)
	f, err := Decompose(context.Background(), m)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Solve([]float64{1}); err == nil {
		t.Error("a short right-hand side was taken")
	}
	load := make([]float64, m.p.Size())
	load[4] = math.NaN()
	var ill *IllConditionedError
	if _, err := f.Solve(load); !errors.As(err, &ill) {
		t.Errorf("a load that is no number gives %v", err)
	}
}

// Factor entries grow like n log n and operations like n^1.5: counted, so that the claim needs no clock.
func TestGrowth(t *testing.T) {
	count := func(side int) (n, entries, work float64) {
		g := grid{nx: side, ny: side, block: 4}
		x, y := g.nodes()
		p, err := NewPattern(4, x, y, g.groups())
		if err != nil {
			t.Fatal(err)
		}
		return float64(p.Size()), float64(p.FactorEntries()), p.Operations()
	}
	n0, e0, w0 := count(60)
	n1, e1, w1 := count(240)
	entries, work := math.Log(e1/e0)/math.Log(n1/n0), math.Log(w1/w0)/math.Log(n1/n0)
	t.Logf("%.0f to %.0f unknowns: entries grow as n^%.3f, operations as n^%.3f", n0, n1, entries, work)
	if entries > 1.25 {
		t.Errorf("entries grow as n^%.3f", entries)
	}
	if work > 1.55 {
		t.Errorf("operations grow as n^%.3f", work)
	}
}

func BenchmarkDecompose(b *testing.B) {
	for _, side := range []int{26, 42, 86, 136, 273} {
		m := grid{nx: side, ny: side, block: 4, seed: 1}.matrix(b)
		b.Run(fmt.Sprintf("unknowns=%d", m.p.Size()), func(b *testing.B) {
			f, err := Decompose(context.Background(), m)
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				if err := f.Again(context.Background()); err != nil {
					b.Fatal(err)
				}
			}
			seconds := b.Elapsed().Seconds() / float64(b.N)
			b.ReportMetric(2*m.p.Operations()/seconds/1e9, "GFLOP/s")
			b.ReportMetric(1e9*seconds/math.Pow(float64(m.p.Size()), 1.5), "ns/n^1.5")
		})
	}
}

func BenchmarkSolve(b *testing.B) {
	m := grid{nx: 42, ny: 42, block: 4, seed: 1}.matrix(b)
	f, err := Decompose(context.Background(), m)
	if err != nil {
		b.Fatal(err)
	}
	for _, sides := range []int{1, 100} {
		b.Run(fmt.Sprintf("unknowns=%d/sides=%d", m.p.Size(), sides), func(b *testing.B) {
			xs := make([][]float64, sides)
			for i := range xs {
				xs[i] = make([]float64, m.p.Size())
				xs[i][i] = 1
			}
			for b.Loop() {
				if _, err := f.SolveAll(context.Background(), xs); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(b.Elapsed().Seconds()*1e3/float64(b.N*sides), "ms/side")
		})
	}
}
