package regress

// reader reads a shape from a table: between places it is the cubic that keeps value and slope at both ends. Its error is below
// 1e-8 for the Gaussian and below 2e-6 for the others; near zero, where the rough shapes have no second slope, the shape
// itself is worked out.
type reader struct {
	shape Shape
	near  float64 // below it the shape itself is worked out
	far   float64 // beyond it the shape is below 2e-5 and taken as nothing
	table [][2]float64
}

const tableStep = 1.0 / 16 // of the squared distance

var readers = map[Shape]*reader{Gaussian: newReader(Gaussian, 0, 22), Matern52: newReader(Matern52, 0.5, 52), Matern32: newReader(Matern32, 0.5, 66)}

func newReader(s Shape, near, far float64) *reader {
	r := &reader{shape: s, near: near, far: far}
	for q := 0.0; q <= far+2*tableStep; q += tableStep {
		value, slope := s.of(q)
		r.table = append(r.table, [2]float64{value, slope * tableStep})
	}
	return r
}

// at is the shape at squared distance q, from zero to far.
func (r *reader) at(q float64) float64 {
	if q < r.near {
		value, _ := r.shape.of(q)
		return value
	}
	u := q / tableStep
	k := int(u)
	u -= float64(k)
	a, b := r.table[k], r.table[k+1]
	rise := b[0] - a[0]
	return a[0] + u*(a[1]+u*(3*rise-2*a[1]-b[1]+u*(a[1]+b[1]-2*rise)))
}
