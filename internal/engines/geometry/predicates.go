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
	return acx.times(bcy).minus(acy.times(bcx)).sign()
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

func inCircleExact(a, b, c, d Point) int {
	adx, ady := difference(a.X, d.X), difference(a.Y, d.Y)
	bdx, bdy := difference(b.X, d.X), difference(b.Y, d.Y)
	cdx, cdy := difference(c.X, d.X), difference(c.Y, d.Y)
	lift := func(x, y expansion) expansion { return x.times(x).plus(y.times(y)) }
	minor := func(px, py, qx, qy expansion) expansion { return px.times(qy).minus(py.times(qx)) }
	det := lift(adx, ady).times(minor(bdx, bdy, cdx, cdy))
	det = det.plus(lift(bdx, bdy).times(minor(cdx, cdy, adx, ady)))
	return det.plus(lift(cdx, cdy).times(minor(adx, ady, bdx, bdy))).sign()
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
type expansion []float64

// difference is a − b without rounding.
func difference(a, b float64) expansion {
	hi := a - b
	virtual := a - hi
	lo := (a - (hi + virtual)) + (virtual - b)
	return pair(lo, hi)
}

func pair(lo, hi float64) expansion {
	switch {
	case lo != 0:
		return expansion{lo, hi}
	case hi != 0:
		return expansion{hi}
	}
	return nil
}

// twoSum returns a + b as rounded sum and its error.
func twoSum(a, b float64) (sum, err float64) {
	sum = a + b
	virtual := sum - a
	return sum, (a - (sum - virtual)) + (b - virtual)
}

// grow adds one term to e in place (Shewchuk's grow-expansion with zero elimination).
func (e expansion) grow(b float64) expansion {
	q, n := b, 0
	for _, term := range e {
		var low float64
		if q, low = twoSum(q, term); low != 0 {
			e[n] = low
			n++
		}
	}
	e = e[:n]
	if q != 0 {
		e = append(e, q)
	}
	return e
}

func (e expansion) plus(f expansion) expansion {
	sum := make(expansion, len(e), len(e)+len(f))
	copy(sum, e)
	for _, term := range f {
		sum = sum.grow(term)
	}
	return sum
}

func (e expansion) minus(f expansion) expansion {
	negated := make(expansion, len(f))
	for i, term := range f {
		negated[i] = -term
	}
	return e.plus(negated)
}

func (e expansion) times(f expansion) expansion {
	product := make(expansion, 0, 2*len(e)*len(f))
	for _, x := range e {
		for _, y := range f {
			hi := float64(x * y)
			if lo := math.FMA(x, y, -hi); lo != 0 {
				product = product.grow(lo)
			}
			product = product.grow(hi)
		}
	}
	return product
}

func (e expansion) sign() int {
	if len(e) == 0 {
		return 0
	}
	return sign(e[len(e)-1])
}
