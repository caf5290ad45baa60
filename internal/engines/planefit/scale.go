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

// problem is p in scaled variables: v' = (a', b, c) of each panel with z − z₀ = size·(a' + b·x' + c·y').
func (s *scale) problem(p Problem) problem {
	out := problem{panels: p.Panels, flatten: p.Flatten}
	if out.flatten == 0 {
		out.flatten = 1e-6
	}
	out.flatten /= s.weight * s.size
	out.samples = make([]row, len(p.Samples))
	for i, q := range p.Samples {
		out.samples[i] = row{at: 3 * q.Panel, off: -1, m: [3]float64{1, (q.X - s.x) / s.size, (q.Y - s.y) / s.size}, level: (q.Level - s.z) / s.size,
			weight: q.Weight / s.weight, cut: p.Cut, fill: p.Fill}
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

// limit rewrites a limit for scaled variables: a = z₀ + size·a' − b·x₀ − c·y₀, and z₀ falls out of a difference; its row is made
// of length one.
func (s *scale) limit(l Limit) (row, float64) {
	r := row{at: 3 * l.Panel, off: -1, m: [3]float64{l.A * s.size, l.B - l.A*s.x, l.C - l.A*s.y}, level: l.Bound - l.A*s.z}
	norm := math.Sqrt(r.m[0]*r.m[0] + r.m[1]*r.m[1] + r.m[2]*r.m[2])
	if l.Joins {
		r.off, r.level, norm = 3*l.Other, l.Bound, math.Sqrt2*norm
	}
	if norm == 0 {
		norm = 1
	}
	for k := range r.m {
		r.m[k] /= norm
	}
	r.level /= norm
	return r, norm
}

// planes turns scaled variables back.
func (s scale) planes(v []float64) []Plane {
	out := make([]Plane, len(v)/3)
	for k := range out {
		a, b, c := v[3*k], v[3*k+1], v[3*k+2]
		out[k] = Plane{A: s.z + s.size*a - b*s.x - c*s.y, B: b, C: c}
	}
	return out
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
