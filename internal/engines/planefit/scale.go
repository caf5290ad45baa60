package planefit

import "math"

// scale moves the samples to their middle and to unit size, so that level and slopes are numbers of one order: a lot at
// elevation 1000 m, 40 m long, would otherwise lose eight digits in the step equations.
type scale struct {
	x, y, z float64 // origin
	size    float64 // metres per unit, in plan and in level
	weight  float64 // total
	limits  []float64
}

func newScale(p Problem) scale {
	s := scale{}
	for _, q := range p.Samples {
		s.weight += q.Weight
		s.x, s.y, s.z = s.x+q.Weight*q.X, s.y+q.Weight*q.Y, s.z+q.Weight*q.Level
	}
	s.x, s.y, s.z = s.x/s.weight, s.y/s.weight, s.z/s.weight
	for _, q := range p.Samples {
		s.size = math.Max(s.size, math.Max(math.Abs(q.X-s.x), math.Max(math.Abs(q.Y-s.y), math.Abs(q.Level-s.z))))
	}
	if s.size == 0 {
		s.size = 1
	}
	return s
}

// problem is p in scaled variables: v' = (a', b, c) with z − z₀ = size·(a' + b·x' + c·y').
func (s *scale) problem(p Problem) problem {
	out := problem{flatten: p.Flatten}
	if out.flatten == 0 {
		out.flatten = 1e-6
	}
	out.flatten /= s.weight * s.size
	for _, q := range p.Samples {
		out.samples = append(out.samples, row{m: [3]float64{1, (q.X - s.x) / s.size, (q.Y - s.y) / s.size}, level: (q.Level - s.z) / s.size, weight: q.Weight / s.weight, cut: p.Cut, fill: p.Fill})
	}
	for _, l := range p.Limits {
		r, norm := s.limit(l)
		s.limits = append(s.limits, norm)
		out.names = append(out.names, l.Name)
		if l.Equal {
			out.equal = append(out.equal, r)
			out.order = append(out.order, -len(out.equal))
		} else {
			out.order = append(out.order, len(out.atMost))
			out.atMost = append(out.atMost, r)
		}
	}
	return out
}

// limit rewrites a limit for scaled variables: a = z₀ + size·a' − b·x₀ − c·y₀; its row is made of length one.
func (s *scale) limit(l Limit) (row, float64) {
	m := [3]float64{l.A * s.size, l.B - l.A*s.x, l.C - l.A*s.y}
	bound := l.Bound - l.A*s.z
	norm := math.Sqrt(m[0]*m[0] + m[1]*m[1] + m[2]*m[2])
	if norm == 0 {
		norm = 1
	}
	return row{m: [3]float64{m[0] / norm, m[1] / norm, m[2] / norm}, level: bound / norm}, norm
}

// plane turns scaled variables back.
func (s scale) plane(v [3]float64) Plane {
	return Plane{A: s.z + s.size*v[0] - v[1]*s.x - v[2]*s.y, B: v[1], C: v[2]}
}

// saves is the cost saved per unit of limit i's bound, from the multiplier of its scaled row.
func (s scale) saves(i int, sol solution) float64 {
	return sol.multiplier[i] * s.weight * s.size / s.limits[i]
}

// original maps conflicting rows back to the limits they came from.
func (s scale) original(p Problem, rows []int) []Limit {
	var out []Limit
	for _, i := range rows {
		out = append(out, p.Limits[i])
	}
	return out
}
