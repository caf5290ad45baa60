package geometry

import "math"

// epsilon is half the distance from 1 to the next float64: the largest relative rounding error of one operation.
const epsilon = 0x1p-53

// Filter constants of Shewchuk, "Adaptive precision floating-point arithmetic and fast robust geometric
// predicates" (1997), error bounds A for orient2d and incircle (recalled).
const (
	orientFilter   = (3 + 16*epsilon) * epsilon
	inCircleFilter = (10 + 96*epsilon) * epsilon
)

// Orient returns +1 when a, b, c turn counter-clockwise, −1 when clockwise, 0 when they lie on one line.
//
//	sign of (ax − cx)(by − cy) − (ay − cy)(bx − cx)
//
// Exact for finite coordinates whose products neither overflow nor underflow (1e-70 … 1e70 in magnitude): a rounding
// filter answers the ordinary case, floating-point expansions the rest. Source: Shewchuk (1997), recalled.
func Orient(a, b, c Point) int {
	left := float64((a.X - c.X) * (b.Y - c.Y))
	right := float64((a.Y - c.Y) * (b.X - c.X))
	det := left - right
	if bound := orientFilter * (math.Abs(left) + math.Abs(right)); det > bound || -det > bound {
		return sign(det)
	}
	return orientExact(a, b, c)
}

func orientExact(a, b, c Point) int {
	acx, acy := difference(a.X, c.X), difference(a.Y, c.Y)
	bcx, bcy := difference(b.X, c.X), difference(b.Y, c.Y)
	var left, right, det [16]float64
	l := acx.terms().times(left[:0], bcy.terms())
	r := acy.terms().times(right[:0], bcx.terms())
	return l.plus(det[:0], r.negate()).sign()
}

// InCircle returns +1 when d lies inside the circle through a, b, c (counter-clockwise), −1 outside, 0 on it.
// For clockwise a, b, c the sign turns. Exact within the range of [Orient]. Source: Shewchuk (1997), recalled.
func InCircle(a, b, c, d Point) int {
	adx, ady := a.X-d.X, a.Y-d.Y
	bdx, bdy := b.X-d.X, b.Y-d.Y
	cdx, cdy := c.X-d.X, c.Y-d.Y
	bc, cb := float64(bdx*cdy), float64(cdx*bdy)
	ca, ac := float64(cdx*ady), float64(adx*cdy)
	ab, ba := float64(adx*bdy), float64(bdx*ady)
	al := float64(adx*adx) + float64(ady*ady)
	bl := float64(bdx*bdx) + float64(bdy*bdy)
	cl := float64(cdx*cdx) + float64(cdy*cdy)
	det := float64(al*(bc-cb)) + float64(bl*(ca-ac)) + float64(cl*(ab-ba))
	size := (math.Abs(bc)+math.Abs(cb))*al + (math.Abs(ca)+math.Abs(ac))*bl + (math.Abs(ab)+math.Abs(ba))*cl
	if bound := inCircleFilter * size; det > bound || -det > bound {
		return sign(det)
	}
	return inCircleExact(a, b, c, d)
}

// onRectangle reports whether four points sit at the crossings of two upright and two level lines: exactly on one circle.
// Grids of shots are full of such fours, and this answers them without long arithmetic.
func onRectangle(a, b, c, d Point) bool {
	return a.X == b.X && c.X == d.X && (a.Y == c.Y && b.Y == d.Y || a.Y == d.Y && b.Y == c.Y) ||
		a.X == c.X && b.X == d.X && (a.Y == b.Y && c.Y == d.Y || a.Y == d.Y && b.Y == c.Y) ||
		a.X == d.X && b.X == c.X && (a.Y == b.Y && c.Y == d.Y || a.Y == c.Y && b.Y == d.Y)
}

func inCircleExact(a, b, c, d Point) int {
	if onRectangle(a, b, c, d) {
		return 0
	}
	adx, ady := difference(a.X, d.X), difference(a.Y, d.Y)
	bdx, bdy := difference(b.X, d.X), difference(b.Y, d.Y)
	cdx, cdy := difference(c.X, d.X), difference(c.Y, d.Y)
	var ra, rb, rc, rab, rabc [96]float64
	da := cofactor(ra[:0], adx, ady, bdx, bdy, cdx, cdy)
	db := cofactor(rb[:0], bdx, bdy, cdx, cdy, adx, ady)
	dc := cofactor(rc[:0], cdx, cdy, adx, ady, bdx, bdy)
	return da.plus(rab[:0], db).plus(rabc[:0], dc).sign()
}

// cofactor returns (x² + y²)(px·qy − qx·py), one of the three terms of the in-circle determinant.
func cofactor(dst expansion, x, y, px, py, qx, qy pair) expansion {
	var b1, b2, b3, b4, lift, minor [16]float64
	l := x.terms().times(b1[:0], x.terms()).plus(lift[:0], y.terms().times(b2[:0], y.terms()))
	m := px.terms().times(b3[:0], qy.terms()).plus(minor[:0], qx.terms().times(b4[:0], py.terms()).negate())
	return l.times(dst, m)
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// expansion is an exact number: the sum of its terms, which do not overlap and grow in magnitude. No term is zero.
// The operations append to a destination, normally a small array on the caller's stack.
type expansion []float64

// pair is the exact difference of two float64: its rounded value and what rounding lost.
type pair struct {
	term [2]float64
	from int
}

// difference is a − b without rounding.
func difference(a, b float64) pair {
	hi := a - b
	virtual := a - hi
	lo := (a - (hi + virtual)) + (virtual - b)
	p := pair{term: [2]float64{lo, hi}}
	if lo == 0 {
		p.from = 1
	}
	if hi == 0 {
		p.from = 2
	}
	return p
}

func (p *pair) terms() expansion { return p.term[p.from:] }

// twoSum returns a + b as rounded sum and its error.
func twoSum(a, b float64) (sum, err float64) {
	sum = a + b
	virtual := sum - a
	return sum, (a - (sum - virtual)) + (b - virtual)
}

// plus appends e + f to dst: both are merged by magnitude, carrying the rounding error along (Shewchuk's fast expansion
// sum with zero elimination).
func (e expansion) plus(dst, f expansion) expansion {
	q, i, j := 0.0, 0, 0
	for i < len(e) || j < len(f) {
		var term, err float64
		if j == len(f) || i < len(e) && math.Abs(e[i]) < math.Abs(f[j]) {
			term, i = e[i], i+1
		} else {
			term, j = f[j], j+1
		}
		if q, err = twoSum(q, term); err != 0 {
			dst = append(dst, err)
		}
	}
	if q != 0 {
		dst = append(dst, q)
	}
	return dst
}

// negate turns the sign of e in place.
func (e expansion) negate() expansion {
	for i := range e {
		e[i] = -e[i]
	}
	return e
}

// scaled appends b·e to dst (Shewchuk's scale expansion with zero elimination).
func (e expansion) scaled(dst expansion, b float64) expansion {
	q := 0.0
	for _, x := range e {
		hi := float64(x * b)
		lo := math.FMA(x, b, -hi)
		sum, err := twoSum(q, lo)
		if err != 0 {
			dst = append(dst, err)
		}
		if q, err = twoSum(hi, sum); err != 0 {
			dst = append(dst, err)
		}
	}
	if q != 0 {
		dst = append(dst, q)
	}
	return dst
}

// times appends e·f to dst.
func (e expansion) times(dst, f expansion) expansion {
	var one, two, three [64]float64
	product, spare := expansion(one[:0]), expansion(two[:0])
	for _, y := range f {
		row := e.scaled(three[:0], y)
		product, spare = product.plus(spare[:0], row), product
	}
	return append(dst, product...)
}

func (e expansion) sign() int {
	if len(e) == 0 {
		return 0
	}
	return sign(e[len(e)-1])
}
