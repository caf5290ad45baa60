package plate

import (
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Stress comes from second derivatives, in which the elements are least good: within a side their error is of second
// order. But deflections and slopes at the nodes are of fourth order, so curvature is taken from those: through values
// and slopes of three neighbouring nodes on a mesh line runs one polynomial of degree five, and its second derivative at
// the node is wanted. Equally spaced, that is the known compact formula
//
//	w″ᵢ = 2 (wᵢ₊₁ − 2wᵢ + wᵢ₋₁)/a² − (w′ᵢ₊₁ − w′ᵢ₋₁)/(2a)
//
// At an edge, and at a step in thickness where curvature jumps, the three nodes lie on one side. The twist ∂²w/∂x∂y is an
// unknown of the node itself. Inside an element the recovered nodes correct the element's own curvature: what it lacks
// is the Legendre polynomial 1 − 6ξ + 6ξ² along the side, scaled to agree at the nodes.

// stencil gives a curvature as a sum over a few unknowns.
type stencil struct {
	unknown [6]int32
	weight  [6]float64
}

func (s *stencil) of(u []float64) float64 {
	sum := 0.0
	for k, w := range s.weight {
		sum += w * u[s.unknown[k]]
	}
	return sum
}

// recovery holds the stencils of every node, once for each thickness that meets there.
type recovery struct {
	thickness []float64 // of each zone
	zone      []int32   // element -> zone
	xx, yy    [][]stencil
	has       [][]bool // [zone][node]
}

type tripleKey struct {
	upright    bool
	first, own int
	count      int
}

func newRecovery(m *model) *recovery {
	r := &recovery{zone: make([]int32, len(m.elements))}
	for k := range m.elements {
		t := m.elements[k].thickness
		z := slices.Index(r.thickness, t)
		if z < 0 {
			z = len(r.thickness)
			r.thickness = append(r.thickness, t)
			r.xx, r.yy = append(r.xx, make([]stencil, len(m.nodes))), append(r.yy, make([]stencil, len(m.nodes)))
			r.has = append(r.has, make([]bool, len(m.nodes)))
		}
		r.zone[k] = int32(z)
	}
	weights := map[tripleKey][]float64{}
	for k := range m.elements {
		z := r.zone[k]
		for _, n := range m.elements[k].node {
			if !r.has[z][n] {
				r.has[z][n] = true
				r.xx[z][n] = r.stencil(m, n, z, false, weights)
				r.yy[z][n] = r.stencil(m, n, z, true, weights)
			}
		}
	}
	return r
}

// joined tells whether the panel has an element of the zone beside the mesh edge that begins at grid point (i, j).
func (r *recovery) joined(m *model, panel int, zone int32, i, j int, upright bool) bool {
	beside := [2][2]int{{i, j - 1}, {i, j}}
	if upright {
		beside[0] = [2]int{i - 1, j}
	}
	for _, c := range beside {
		if c[0] < 0 || c[1] < 0 || c[0] >= len(m.sideX) || c[1] >= len(m.sideY) {
			continue
		}
		if e, ok := m.cells[panel][m.cell(c[0], c[1])]; ok && r.zone[e] == zone {
			return true
		}
	}
	return false
}

// stencil chooses the nodes on the mesh line through node n: one to each side, else two on one side, else only one.
func (r *recovery) stencil(m *model, n int, zone int32, upright bool, weights map[tripleKey][]float64) stencil {
	nd := m.nodes[n]
	step := func(d int) bool { // whether the mesh edge from place d to d+1 along the line belongs to the zone
		if upright {
			return r.joined(m, nd.panel, zone, nd.i, nd.j+d, true)
		}
		return r.joined(m, nd.panel, zone, nd.i+d, nd.j, false)
	}
	first, count := 0, 2
	switch before, after := step(-1), step(0); {
	case before && after:
		first, count = -1, 3
	case after && step(1):
		first, count = 0, 3
	case before && step(-2):
		first, count = -2, 3
	case before:
		first = -1
	}
	lines, own, slope := m.xs, nd.i, 1
	if upright {
		lines, own, slope = m.ys, nd.j, 2
	}
	key := tripleKey{upright, own + first, own, count}
	w, ok := weights[key]
	if !ok {
		w = secondDerivative(lines[own+first:own+first+count], lines[own])
		weights[key] = w
	}
	var s stencil
	for k := range count {
		i, j := nd.i, nd.j
		if upright {
			j += first + k
		} else {
			i += first + k
		}
		node := m.nodeAt[nd.panel][j*len(m.xs)+i]
		s.unknown[2*k], s.unknown[2*k+1] = int32(node*unknowns), int32(node*unknowns+slope)
		s.weight[2*k], s.weight[2*k+1] = w[2*k], w[2*k+1]
	}
	return s
}

// secondDerivative returns the weights of values and slopes at some places (two or three) that give the second
// derivative at x, exact for polynomials of as many terms as there are weights.
func secondDerivative(places []float64, x float64) []float64 {
	n := 2 * len(places)
	scale := places[len(places)-1] - places[0]
	a := mat.NewDense(n, n, nil)
	b := mat.NewVecDense(n, nil)
	b.SetVec(2, 2)
	for k, p := range places {
		t := (p - x) / scale
		power := 1.0
		for d := range n {
			a.Set(d, 2*k, power)
			if d+1 < n {
				a.Set(d+1, 2*k+1, float64(d+1)*power)
			}
			power *= t
		}
	}
	var w mat.VecDense
	if err := w.SolveVec(a, b); err != nil {
		panic("plate: mesh lines coincide: " + err.Error())
	}
	out := make([]float64, n)
	for k := range out {
		out[k] = w.AtVec(k) / (scale * scale)
		if k%2 == 1 {
			out[k] *= scale
		}
	}
	return out
}

// curvatures are w,xx, w,yy and w,xy.
type curvatures struct{ xx, yy, xy float64 }

// raw is the element's own curvature.
func (m *model) raw(e *element, v *vector, xi, eta float64) curvatures {
	c := curvatureAt(xi, eta, m.sideX[e.i].a, m.sideY[e.j].a)
	return curvatures{c.xx.dot(v), c.yy.dot(v), c.xy.dot(v)}
}

// bent is the curvature in one element: its own unknowns and what its own curvature lacks at its corners.
type bent struct {
	m            *model
	e            *element
	v            vector
	lackX, lackY [corners]float64
	own          nine // the element's own, at its corners
}

func (r *recovery) in(m *model, k int, u []float64) *bent { return r.within(m, k, u, 2) }

// within takes the element's own curvature at every step-th of the nine places: 2 for the corners, 1 for all.
func (r *recovery) within(m *model, k int, u []float64, step int) *bent {
	e := &m.elements[k]
	b := &bent{m: m, e: e, v: e.of(u)}
	b.own = b.v.nine(m.sideX[e.i], m.sideY[e.j], step)
	z := r.zone[k]
	for q, n := range e.node {
		own := &b.own[2*(q%2)][2*(q/2)]
		b.lackX[q] = r.xx[z][n].of(u) - own.xx
		b.lackY[q] = r.yy[z][n].of(u) - own.yy
	}
	return b
}

// at is the corrected curvature at a place in the element.
func (b *bent) at(xi, eta float64) curvatures {
	return b.corrected(b.m.raw(b.e, &b.v, xi, eta), xi, eta)
}

// corrected adds what the element's own curvature lacks at a place.
func (b *bent) corrected(c curvatures, xi, eta float64) curvatures {
	share := [corners]float64{(1 - xi) * (1 - eta), xi * (1 - eta), (1 - xi) * eta, xi * eta}
	legendreX, legendreY := 1-6*xi+6*xi*xi, 1-6*eta+6*eta*eta
	for q, s := range share {
		c.xx += s * b.lackX[q] * legendreX
		c.yy += s * b.lackY[q] * legendreY
	}
	return c
}

// seen are deflection, the element's own and its corrected curvature at a place: read off where it is one of the nine.
func (b *bent) seen(p Point) (w float64, own, corrected curvatures) {
	i, j := int(2*p.X), int(2*p.Y)
	if 2*p.X == float64(i) && 2*p.Y == float64(j) && i >= 0 && i <= 2 && j >= 0 && j <= 2 {
		at := &b.own[i][j]
		w, own = at.w, at.curvatures
	} else {
		w, own = b.m.functions(b.e, p.X, p.Y).dot(&b.v), b.m.raw(b.e, &b.v, p.X, p.Y)
	}
	return w, own, b.corrected(own, p.X, p.Y)
}
