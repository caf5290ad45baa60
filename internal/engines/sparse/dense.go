package sparse

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/gonum"
)

var kernel gonum.Implementation

// strip is the number of columns taken in one step of the dense factorisation.
const strip = 48

// cholesky factors the first c columns of a dense lower matrix of f rows, row by row in l with c values each, in
// place. The diagonal is factored as L·sqrt(D), so that every square of a diagonal value is a pivot of LDLᵀ. floor
// gives, for a column, the smallest pivot that counts as positive. It returns the first column that falls below its
// floor with that pivot, or -1.
func cholesky(l []float64, c, f int, floor func(column int) float64) (column int, pivot float64) {
	for k0 := 0; k0 < c; k0 += strip {
		k1 := min(k0+strip, c)
		for j := k0; j < k1; j++ {
			row := l[j*c+k0 : j*c+j]
			d := l[j*c+j] - dot(row, row)
			if !(d > floor(j)) {
				return j, d
			}
			l[j*c+j] = math.Sqrt(d)
			scale := 1 / l[j*c+j]
			for i := j + 1; i < k1; i++ {
				l[i*c+j] = (l[i*c+j] - dot(l[i*c+k0:i*c+j], row)) * scale
			}
		}
		substitute(l, c, k0, k1, f)
		if k1 < c {
			for i0 := k1; i0 < f; i0 += 128 {
				i1 := min(i0+128, f)
				width := min(i1, c) - k1
				kernel.Dgemm(blas.NoTrans, blas.Trans, i1-i0, width, k1-k0, -1, l[i0*c+k0:], c, l[k1*c+k0:], c, 1, l[i0*c+k1:], c)
			}
		}
	}
	return -1, 0
}

// substitute solves the rows below a factored strip against the strip, four rows at a time.
func substitute(l []float64, c, k0, k1, f int) {
	i := k1
	for ; i+4 <= f; i += 4 {
		r0, r1, r2, r3 := l[i*c:i*c+k1], l[(i+1)*c:(i+1)*c+k1], l[(i+2)*c:(i+2)*c+k1], l[(i+3)*c:(i+3)*c+k1]
		for j := k0; j < k1; j++ {
			pivot := l[j*c+k0 : j*c+j]
			n := len(pivot)
			a0, a1, a2, a3 := r0[k0:k0+n], r1[k0:k0+n], r2[k0:k0+n], r3[k0:k0+n]
			var s0, s1, s2, s3 float64
			for k, v := range pivot {
				s0 += a0[k] * v
				s1 += a1[k] * v
				s2 += a2[k] * v
				s3 += a3[k] * v
			}
			scale := 1 / l[j*c+j]
			r0[j], r1[j] = (r0[j]-s0)*scale, (r1[j]-s1)*scale
			r2[j], r3[j] = (r2[j]-s2)*scale, (r3[j]-s3)*scale
		}
	}
	for ; i < f; i++ {
		for j := k0; j < k1; j++ {
			l[i*c+j] = (l[i*c+j] - dot(l[i*c+k0:i*c+j], l[j*c+k0:j*c+j])) / l[j*c+j]
		}
	}
}

// schur subtracts the product of the r rows below the factored columns with themselves from the lower triangle of u.
func schur(u, l []float64, c, r int) {
	below := l[c*c:]
	for i0 := 0; i0 < r; i0 += 128 {
		i1 := min(i0+128, r)
		kernel.Dgemm(blas.NoTrans, blas.Trans, i1-i0, i1, c, -1, below[i0*c:], c, below, c, 1, u[i0*r:], r)
	}
}

func dot(a, b []float64) float64 {
	b = b[:len(a)]
	var s0, s1 float64
	k := 0
	for ; k+2 <= len(a); k += 2 {
		s0 += a[k] * b[k]
		s1 += a[k+1] * b[k+1]
	}
	if k < len(a) {
		s0 += a[k] * b[k]
	}
	return s0 + s1
}
