package plate

import "slabwright/internal/engines/sparse"

// bendingStiffness adds everything that resists but the soil: bending, joints, and what keeps cut elements sound.
func (m *model) bendingStiffness(to *sparse.Matrix) {
	for k := range m.elements {
		e := &m.elements[k]
		to.Add(e.node[:], m.elementBending(e)[:])
	}
	m.smoothness(to)
	m.jointStiffness(to)
}

func (m *model) elementBending(e *element) *matrix {
	x, y := m.sideX[e.i], m.sideY[e.j]
	if e.points == nil {
		return bending(x, y, m.slab.Rigidity(e.thickness), m.slab.Poisson)
	}
	k := new(matrix)
	for _, p := range e.points {
		xi, eta := m.local(e, p.x, p.y)
		c := curvatureAt(xi, eta, x.a, y.a)
		k.addBending(p.weight*m.slab.Rigidity(p.thickness), m.slab.Poisson, &c)
	}
	return k
}

// smooth weighs the jumps of the second and third derivative across the sides of cut elements. Any value from a tenth to
// ten times these changes the stress of a skewed slab by less than the mesh does.
const (
	smoothBend  = 2e-2
	smoothThird = 1e-3
)

// smoothness ties each cut element to its neighbours, so that a sliver with next to no stiffness of its own follows
// them (E. Burman, P. Hansbo and M. G. Larson, "Cut Bogner-Fox-Schmit elements for plates", 2020; recalled): for a side
// between elements of lengths a₁ and a₂ across it, with a their mean, add
//
//	D ∫ 2·10⁻² a [w,nn]² + 10⁻³ a³ [w,nnn]² ds
//
// A smooth surface has no jumps, so the exact solution is untouched, and any cubic passes the patch test.
func (m *model) smoothness(to *sparse.Matrix) {
	for f := range m.faces {
		low, high, along := m.sideX[f.low.i].a, m.sideX[f.high.i].a, m.sideY[f.low.j]
		if !f.upright {
			low, high, along = m.sideY[f.low.j].a, m.sideY[f.high.j].a, m.sideX[f.low.i]
		}
		rigidity := m.slab.Rigidity(min(f.low.thickness, f.high.thickness))
		mean := (low + high) / 2
		var across [6][6]float64
		for k, weight := range [2]float64{smoothBend * mean, smoothThird * mean * mean * mean} {
			order := 2 + k
			before, after := hermite(order, 1, low), hermite(order, 0, high)
			jump := [6]float64{-before[0], -before[1], after[0] - before[2], after[1] - before[3], after[2], after[3]}
			for i := range jump {
				for j := range jump {
					across[i][j] += rigidity * weight * jump[i] * jump[j]
				}
			}
		}
		to.Add(f.nodes(), f.spread(&across, &along.values))
	}
}

// spread makes the matrix of the six nodes from the tables across and along the side.
func (f face) spread(across *[6][6]float64, along *[4]line) []float64 {
	const n = 6 * unknowns
	out := make([]float64, n*n)
	place := func(r int) (c, s int) {
		node, d := r/unknowns, r%unknowns
		dx, dy := d%2, d/2
		if !f.upright {
			dx, dy = dy, dx
		}
		return 2*(node%3) + dx, 2*(node/3) + dy
	}
	for r := range n {
		cr, sr := place(r)
		for q := range n {
			cq, sq := place(q)
			out[r*n+q] = across[cr][cq] * along[sr][sq]
		}
	}
	return out
}

func (m *model) jointStiffness(to *sparse.Matrix) {
	const n = 2 * functions
	for _, l := range m.links {
		a, b := &m.elements[l.left], &m.elements[l.right]
		va, vb := m.at(a, l.at.X, l.at.Y), m.at(b, l.at.X, l.at.Y)
		var jump [n]float64
		for i := range functions {
			jump[i], jump[functions+i] = va[i], -vb[i]
		}
		var k [n * n]float64
		for i, vi := range jump {
			for j, vj := range jump {
				k[i*n+j] = l.shear * vi * vj
			}
		}
		to.Add(append(a.node[:], b.node[:]...), k[:])
	}
}

// soilStiffness adds the soil under the whole slab.
func (m *model) soilStiffness(to *sparse.Matrix) {
	for k := range m.elements {
		e := &m.elements[k]
		table := new(matrix)
		if e.points == nil {
			if e.support == 0 {
				continue
			}
			table.addProduct(e.support, &m.sideX[e.i].values, &m.sideY[e.j].values)
		}
		for _, p := range e.points {
			v := m.at(e, p.x, p.y)
			table.addOuter(p.weight*p.support, &v)
		}
		to.Add(e.node[:], table[:])
	}
}
