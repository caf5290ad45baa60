package winkler

import "math"

// Field is what a load does at one place of the plate.
type Field struct {
	W          float64 // deflection, m, down
	Mx, My, Mt float64 // moments per unit width about the plate's axes and the twisting moment, N
}

// Plus is the sum of two fields: the plate is linear.
func (f Field) Plus(g Field) Field {
	return Field{f.W + g.W, f.Mx + g.Mx, f.My + g.My, f.Mt + g.Mt}
}

// Largest and Smallest are the principal moments, N.
func (f Field) Largest() float64  { return (f.Mx+f.My)/2 + math.Hypot((f.Mx-f.My)/2, f.Mt) }
func (f Field) Smallest() float64 { return (f.Mx+f.My)/2 - math.Hypot((f.Mx-f.My)/2, f.Mt) }

// Along is the moment that bends the plate in the direction of the unit vector (cx, cy), N.
func (f Field) Along(cx, cy float64) float64 {
	return f.Mx*cx*cx + f.My*cy*cy + 2*f.Mt*cx*cy
}

// PointLoad is the field of a point load of force newtons at the distance (dx, dy) from it, in the infinite plate.
//
//	w   = −F l²/(2πD) · kei(x)                    x = r/l; at r = 0: F l²/(8D)
//	M_r = F/(2π) · [ker x − (1−ν) kei′x / x]
//	M_t = F/(2π) · [ν ker x + (1−ν) kei′x / x]
//
// At the load itself the moments have no limit; they are given as zero there and the caller uses a disc. A disc of
// radius a outside itself differs from its point load by less than (a/l)²/8. Checked: STR-15.
func (p Plate) PointLoad(force, dx, dy float64) Field {
	l, d := p.Radius(), p.Rigidity()
	r := math.Hypot(dx, dy)
	if r == 0 {
		return Field{W: force * l * l / (8 * d)}
	}
	x := r / l
	ker, kei, _, keiPrime := Kelvin(x)
	radial := force / (2 * math.Pi) * (ker - (1-p.Nu)*keiPrime/x)
	tangential := force / (2 * math.Pi) * (p.Nu*ker + (1-p.Nu)*keiPrime/x)
	c, s := dx/r, dy/r
	return Field{
		W:  -force * l * l / (2 * math.Pi * d) * kei,
		Mx: radial*c*c + tangential*s*s,
		My: radial*s*s + tangential*c*c,
		Mt: (radial - tangential) * c * s,
	}
}

// Disc is the deflection (m) and moment per unit width (N) at the centre of a uniform disc of radius a carrying force, in
// the infinite plate.
//
//	w(0) = (p/k) [1 + x ker′x],   M(0) = (1+ν)/2 · p a l kei′x        x = a/l, p = F/(πa²)
//
// Checked: STR-14.
func (p Plate) Disc(force, a float64) (w, m float64) {
	l := p.Radius()
	pressure := force / (math.Pi * a * a)
	x := a / l
	_, _, kerPrime, keiPrime := Kelvin(x)
	return pressure / p.K * (1 + x*kerPrime), (1 + p.Nu) / 2 * pressure * a * l * keiPrime
}
