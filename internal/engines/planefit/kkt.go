package planefit

import "math"

// kkt is the small symmetric system of one round: the normal matrix of the planes bordered by the equalities. It is factored
// once and solved for the predictor and for the corrector.
type kkt struct {
	free  int // rows of the planes; the border follows
	rows  [][]float64
	swaps []int
	right []float64
}

func newKKT(free, equalities int) *kkt {
	n := free + equalities
	k := &kkt{free: free, rows: make([][]float64, n), swaps: make([]int, n), right: make([]float64, n)}
	for i := range k.rows {
		k.rows[i] = make([]float64, n)
	}
	return k
}

func (k *kkt) clear() {
	for i := range k.rows {
		clear(k.rows[i])
	}
}

// addOuter adds by·m·mᵀ for the row's whole span: one block, or four where it joins two panels.
func (k *kkt) addOuter(r *row, by float64) {
	k.addBlock(r.at, r.at, r.m, by)
	if r.off >= 0 {
		k.addBlock(r.off, r.off, r.m, by)
		k.addBlock(r.at, r.off, r.m, -by)
		k.addBlock(r.off, r.at, r.m, -by)
	}
}

func (k *kkt) addBlock(top, left int, m [3]float64, by float64) {
	for i := range 3 {
		into, f := k.rows[top+i][left:left+3], by*m[i]
		for j := range 3 {
			into[j] += f * m[j]
		}
	}
}

// border enters equality j.
func (k *kkt) border(j int, r *row) {
	for i := range 3 {
		k.rows[r.at+i][k.free+j], k.rows[k.free+j][r.at+i] = r.m[i], r.m[i]
		if r.off >= 0 {
			k.rows[r.off+i][k.free+j], k.rows[k.free+j][r.off+i] = -r.m[i], -r.m[i]
		}
	}
}

// steady is the share of the largest entry added to the diagonal (taken from it below the border), so that directions that
// nothing holds, and limits that say the same twice, do not make the system singular. The step is then a hair short in such
// a direction; the answer is not touched, for it is judged by its true gradient and misfit.
const steady = 1e-13

// factor is Gauss elimination with row pivoting, the factors kept in place.
func (k *kkt) factor() {
	n := len(k.rows)
	size := 1e-12
	for i := range k.free {
		size = math.Max(size, math.Abs(k.rows[i][i]))
	}
	for i := range n {
		if i < k.free {
			k.rows[i][i] += steady * size
		} else {
			k.rows[i][i] -= steady
		}
	}
	for c := range n {
		best := c
		for i := c + 1; i < n; i++ {
			if math.Abs(k.rows[i][c]) > math.Abs(k.rows[best][c]) {
				best = i
			}
		}
		k.swaps[c] = best
		k.rows[c], k.rows[best] = k.rows[best], k.rows[c]
		pivot := k.rows[c]
		for i := c + 1; i < n; i++ {
			line := k.rows[i]
			if line[c] == 0 {
				continue
			}
			f := line[c] / pivot[c]
			line[c] = f
			for j := c + 1; j < n; j++ {
				line[j] -= f * pivot[j]
			}
		}
	}
}

// solve turns the right side into the step of the planes and the multipliers of the equalities.
func (k *kkt) solve() []float64 {
	n, x := len(k.rows), k.right
	for c := range n {
		x[c], x[k.swaps[c]] = x[k.swaps[c]], x[c]
	}
	for i := range n {
		for j := range i {
			x[i] -= k.rows[i][j] * x[j]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			x[i] -= k.rows[i][j] * x[j]
		}
		x[i] /= k.rows[i][i]
	}
	return x
}
