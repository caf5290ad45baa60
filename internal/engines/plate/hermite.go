package plate

// The element is a product of cubic Hermite polynomials, one along x and one along y (F. K. Bogner, R. L. Fox and L. A.
// Schmit, "The generation of interelement-compatible stiffness and mass matrices by the use of interpolation
// formulas", 1965). Along a side of length a with ξ = 0..1 the four functions are, in the order value and slope at the
// start, value and slope at the end:
//
//	1 − 3ξ² + 2ξ³,   a(ξ − 2ξ² + ξ³),   3ξ² − 2ξ³,   a(ξ³ − ξ²)
type line [4]float64

// hermite evaluates the four functions (order 0) or their derivatives by length (orders 1 to 3) at ξ on a side of length a.
func hermite(order int, xi, a float64) line {
	switch order {
	case 0:
		return line{1 - xi*xi*(3-2*xi), a * xi * (1 - xi) * (1 - xi), xi * xi * (3 - 2*xi), a * xi * xi * (xi - 1)}
	case 1:
		return line{6 * xi * (xi - 1) / a, 1 - xi*(4-3*xi), 6 * xi * (1 - xi) / a, xi * (3*xi - 2)}
	case 2:
		return line{(12*xi - 6) / (a * a), (6*xi - 4) / a, (6 - 12*xi) / (a * a), (6*xi - 2) / a}
	default:
		return line{12 / (a * a * a), 6 / (a * a), -12 / (a * a * a), 6 / (a * a)}
	}
}

// overlap is the table ∫ Hi⁽ᵖ⁾ Hj⁽ᑫ⁾ dx over a side of length a. Four Gauss points are exact for the products of cubics.
func overlap(p, q int, a float64) (m [4]line) {
	for g, xi := range gauss4 {
		l, r := hermite(p, xi, a), hermite(q, xi, a)
		for i := range 4 {
			for j := range 4 {
				m[i][j] += weight4[g] * a * l[i] * r[j]
			}
		}
	}
	return m
}

// whole is ∫ Hi⁽ᵖ⁾ dx over a part ξ0..ξ1 of a side of length a.
func whole(p int, xi0, xi1, a float64) (v line) {
	for g, t := range gauss4 {
		h := hermite(p, xi0+(xi1-xi0)*t, a)
		for i := range 4 {
			v[i] += weight4[g] * (xi1 - xi0) * a * h[i]
		}
	}
	return v
}

// Each node carries deflection, slope along x, slope along y and twist: w, ∂w/∂x, ∂w/∂y, ∂²w/∂x∂y. Unknown d = dx + 2dy of
// corner c = cx + 2cy goes with function 2cx+dx along x and 2cy+dy along y.
const (
	unknowns  = 4
	corners   = 4
	functions = unknowns * corners
)

// alongX and alongY give, for each of the 16 functions of an element, its factor along x and along y.
var alongX, alongY = func() (x, y [functions]int) {
	for c := range corners {
		for d := range unknowns {
			x[c*unknowns+d], y[c*unknowns+d] = 2*(c%2)+d%2, 2*(c/2)+d/2
		}
	}
	return x, y
}()

// vector holds one value for each function of an element; matrix one for each pair, row by row.
type (
	vector [functions]float64
	matrix [functions * functions]float64
)

// function is the number of the function with given factors along x and along y.
var function = func() (n [4][4]int) {
	for i := range functions {
		n[alongX[i]][alongY[i]] = i
	}
	return n
}()

// along sums an element's unknowns with a line along x: what is left is a line along y.
func (v *vector) along(x *line) (left line) {
	for j := range left {
		left[j] = x[0]*v[function[0][j]] + x[1]*v[function[1][j]] + x[2]*v[function[2][j]] + x[3]*v[function[3][j]]
	}
	return left
}

func (l *line) dot(m *line) float64 { return l[0]*m[0] + l[1]*m[1] + l[2]*m[2] + l[3]*m[3] }

// nine holds deflection and curvatures of an element at its corners, the middles of its sides and its middle, by thirds along
// x and y.
type nine [3][3]struct {
	w float64
	curvatures
}

func (v *vector) nine(x, y *side, step int) (out nine) {
	for i := 0; i < 3; i += step {
		values, slopes, bends := v.along(&x.thirds[i][0]), v.along(&x.thirds[i][1]), v.along(&x.thirds[i][2])
		for j := 0; j < 3; j += step {
			at := &y.thirds[j]
			out[i][j].w = values.dot(&at[0])
			out[i][j].curvatures = curvatures{xx: bends.dot(&at[0]), yy: values.dot(&at[2]), xy: slopes.dot(&at[1])}
		}
	}
	return out
}

func product(x, y line) (v vector) {
	for i := range v {
		v[i] = x[alongX[i]] * y[alongY[i]]
	}
	return v
}

// addProduct adds f times the product of two tables of overlaps.
func (m *matrix) addProduct(f float64, x, y *[4]line) {
	for i := range functions {
		rx, ry := &x[alongX[i]], &y[alongY[i]]
		row := m[i*functions : (i+1)*functions]
		for j := range row {
			row[j] += f * rx[alongX[j]] * ry[alongY[j]]
		}
	}
}

// addOuter adds f·v·vᵀ.
func (m *matrix) addOuter(f float64, v *vector) {
	for i, vi := range v {
		row := m[i*functions : (i+1)*functions]
		for j := range row {
			row[j] += f * vi * v[j]
		}
	}
}

// side holds the tables of overlaps of one side length, which all elements of a row or column share.
type side struct {
	a                                       float64
	values, slopes, bends, crossed, flipped [4]line

	gauss  [4]line    // values at the Gauss points
	thirds [3][3]line // values, slopes and second derivatives (second index) at the start, the middle and the end
}

func newSide(a float64) *side {
	s := &side{a: a, values: overlap(0, 0, a), slopes: overlap(1, 1, a), bends: overlap(2, 2, a), crossed: overlap(2, 0, a)}
	for i := range 4 {
		for j := range 4 {
			s.flipped[i][j] = s.crossed[j][i]
		}
	}
	for g, xi := range gauss4 {
		s.gauss[g] = hermite(0, xi, a)
	}
	for at := range 3 {
		for order := range 3 {
			s.thirds[at][order] = hermite(order, float64(at)/2, a)
		}
	}
	return s
}

// bending is the stiffness of a whole element of rigidity D:
//
//	D ∫∫ w,xx² + w,yy² + 2ν w,xx w,yy + 2(1−ν) w,xy² dx dy
func bending(x, y *side, rigidity, poisson float64) *matrix {
	m := new(matrix)
	m.addProduct(rigidity, &x.bends, &y.values)
	m.addProduct(rigidity, &x.values, &y.bends)
	m.addProduct(rigidity*poisson, &x.crossed, &y.flipped)
	m.addProduct(rigidity*poisson, &x.flipped, &y.crossed)
	m.addProduct(2*rigidity*(1-poisson), &x.slopes, &y.slopes)
	return m
}

// curvature holds the second derivatives of the 16 functions at one place.
type curvature struct{ xx, yy, xy vector }

func curvatureAt(xi, eta, a, b float64) curvature {
	x0, y0 := hermite(0, xi, a), hermite(0, eta, b)
	return curvature{
		xx: product(hermite(2, xi, a), y0),
		yy: product(x0, hermite(2, eta, b)),
		xy: product(hermite(1, xi, a), hermite(1, eta, b)),
	}
}

// addBending adds the stiffness at one point of integration.
func (m *matrix) addBending(f, poisson float64, c *curvature) {
	for i := range functions {
		px, py, pt := f*(c.xx[i]+poisson*c.yy[i]), f*(c.yy[i]+poisson*c.xx[i]), f*2*(1-poisson)*c.xy[i]
		row := m[i*functions : (i+1)*functions]
		for j := range row {
			row[j] += px*c.xx[j] + py*c.yy[j] + pt*c.xy[j]
		}
	}
}
