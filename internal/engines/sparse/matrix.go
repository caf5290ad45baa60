package sparse

import "slices"

// Matrix is a symmetric matrix on a pattern. Numbering is the caller's: unknown d of node i is i*unknowns+d.
type Matrix struct {
	p      *Pattern
	values []float64 // one block² per entry of p.row, [row unknown][column unknown]
}

// Matrix returns a matrix of zeros.
func (p *Pattern) Matrix() *Matrix {
	return &Matrix{p: p, values: make([]float64, len(p.row)*p.block*p.block)}
}

// Clone returns a matrix with the same pattern and its own copy of the values.
func (m *Matrix) Clone() *Matrix { return &Matrix{p: m.p, values: slices.Clone(m.values)} }

// Copy takes over the values of a matrix on the same pattern.
func (m *Matrix) Copy(from *Matrix) { copy(m.values, from.values) }

// Pattern returns the pattern that the matrix was made from.
func (m *Matrix) Pattern() *Pattern { return m.p }

// Add adds a dense symmetric matrix, row by row, that couples the unknowns of the nodes. The nodes must have been in
// one group of the pattern together.
func (m *Matrix) Add(nodes []int, dense []float64) {
	b := m.p.block
	width := b * len(nodes)
	for s, col := range nodes {
		j := m.p.pos[col]
		for r, row := range nodes {
			i := m.p.pos[row]
			if i < j || (i == j && r != s) {
				continue
			}
			at := m.p.slot(i, j) * b * b
			for a := range b {
				from := dense[(r*b+a)*width+s*b:]
				to := m.values[at+a*b : at+a*b+b]
				for c := range to {
					to[c] += from[c]
				}
			}
		}
	}
}

// slot finds the entry of row i in column j.
func (p *Pattern) slot(i, j int32) int {
	from, to := p.start[j], p.start[j+1]
	k, found := slices.BinarySearch(p.row[from:to], i)
	if !found {
		panic("sparse: the two nodes were never in one group")
	}
	return int(from) + k
}

// Hold removes unknowns from the system: their rows and columns become zero with a one on the diagonal, so that a
// zero on the right-hand side answers zero. held has one entry per unknown.
func (m *Matrix) Hold(held []bool) {
	b := m.p.block
	for j := range m.p.node {
		col := held[int(m.p.node[j])*b:]
		for k := m.p.start[j]; k < m.p.start[j+1]; k++ {
			i := m.p.row[k]
			row := held[int(m.p.node[i])*b:]
			block := m.values[int(k)*b*b : (int(k)+1)*b*b]
			for a := range b {
				for c := range b {
					if row[a] || col[c] {
						block[a*b+c] = 0
						if int(i) == j && a == c {
							block[a*b+c] = 1
						}
					}
				}
			}
		}
	}
}

// Multiply sets dst = M·x.
func (m *Matrix) Multiply(dst, x []float64) {
	clear(dst)
	b := m.p.block
	for j := range m.p.node {
		cj := int(m.p.node[j]) * b
		xj, dj := x[cj:cj+b], dst[cj:cj+b]
		for k := int(m.p.start[j]); k < int(m.p.start[j+1]); k++ {
			i := int(m.p.row[k])
			ci := int(m.p.node[i]) * b
			multiplyBlock(m.values[k*b*b:(k+1)*b*b], dst[ci:ci+b], xj)
			if i != j {
				multiplyTransposed(m.values[k*b*b:(k+1)*b*b], dj, x[ci:ci+b])
			}
		}
	}
}

func multiplyBlock(block, to, from []float64) {
	for a := range to {
		sum := 0.0
		for c, v := range block[a*len(from) : (a+1)*len(from)] {
			sum += v * from[c]
		}
		to[a] += sum
	}
}

func multiplyTransposed(block, to, from []float64) {
	for a, w := range from {
		for c, v := range block[a*len(to) : (a+1)*len(to)] {
			to[c] += v * w
		}
	}
}

// diagonal is the value on the diagonal of unknown d of the node at a place.
func (m *Matrix) diagonal(place int32, d int) float64 {
	b := m.p.block
	return m.values[int(m.p.start[place])*b*b+d*b+d]
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}
