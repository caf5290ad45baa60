package planefit

import "math"

// kkt is the small symmetric system of one step: the normal matrix of (a, b, c) bordered by the equalities.
type kkt struct {
	matrix [][]float64
	right  []float64
}

func newKKT(equalities int) *kkt {
	n := 3 + equalities
	k := &kkt{matrix: make([][]float64, n), right: make([]float64, n)}
	for i := range k.matrix {
		k.matrix[i] = make([]float64, n)
	}
	return k
}

func (k *kkt) addOuter(m [3]float64, by float64) {
	for i := range 3 {
		for j := range 3 {
			k.matrix[i][j] += by * m[i] * m[j]
		}
	}
}

func (k *kkt) addRight(m [3]float64, by float64) {
	for i := range 3 {
		k.right[i] += by * m[i]
	}
}

func (k *kkt) border(j int, m [3]float64, misfit float64) {
	for i := range 3 {
		k.matrix[i][3+j], k.matrix[3+j][i] = m[i], m[i]
	}
	k.right[3+j] = misfit
}

// steady is the share of the largest entry added to the diagonal (taken from it below the border), so that directions that
// nothing holds, and limits that say the same twice, do not make the system singular. The step is then a hair short in such
// a direction; the answer is not touched, for it is judged by its true gradient and misfit.
const steady = 1e-13

// solve is Gauss elimination with row pivoting; the system has at most a handful of rows.
func (k *kkt) solve() []float64 {
	n := len(k.right)
	size := 1e-12
	for i := range 3 {
		size = math.Max(size, math.Abs(k.matrix[i][i]))
	}
	for i := range n {
		if i < 3 {
			k.matrix[i][i] += steady * size
		} else {
			k.matrix[i][i] -= steady
		}
	}
	for c := range n {
		k.pivot(c)
		for i := c + 1; i < n; i++ {
			f := k.matrix[i][c] / k.matrix[c][c]
			for j := c; j < n; j++ {
				k.matrix[i][j] -= f * k.matrix[c][j]
			}
			k.right[i] -= f * k.right[c]
		}
	}
	out := make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		sum := k.right[i]
		for j := i + 1; j < n; j++ {
			sum -= k.matrix[i][j] * out[j]
		}
		out[i] = sum / k.matrix[i][i]
	}
	return out
}

func (k *kkt) pivot(c int) {
	best := c
	for i := c + 1; i < len(k.right); i++ {
		if math.Abs(k.matrix[i][c]) > math.Abs(k.matrix[best][c]) {
			best = i
		}
	}
	k.matrix[c], k.matrix[best] = k.matrix[best], k.matrix[c]
	k.right[c], k.right[best] = k.right[best], k.right[c]
}
