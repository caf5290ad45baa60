package planefit

import (
	"context"
	"fmt"
	"math"
)

// row is m·v against level: a sample's ground, or a limit's bound.
type row struct {
	m         [3]float64
	level     float64
	weight    float64
	cut, fill float64 // of a sample: cost of ground above and below the plane; one of them may be zero
}

// problem is a scaled Problem.
type problem struct {
	samples       []row
	atMost, equal []row
	order         []int    // limit i of the original is atMost[order[i]], or equal[−1−order[i]]
	names         []string // of the limits
	flatten       float64
}

// solution is a point with the multiplier of every limit, in the original order.
type solution struct {
	v          [3]float64
	multiplier []float64
	rounds     int
}

// maxRounds bounds the interior-point rounds; twenty to thirty are usual.
const maxRounds = 200

// gapGoal is the mean complementarity at which a solution counts as found, relative to costs of order one.
const gapGoal = 1e-11

// spentGap is a gap so small that another round divides nothing by nothing; the misfit, then a few units of rounding above its
// goal, has to do.
const spentGap = 1e-15

// state is one iterate: plane, epigraph slacks and multipliers of the samples, slacks and multipliers of the limits.
type state struct {
	p      problem
	v      [3]float64
	t      []float64 // epigraph: cost of each sample
	y1, y2 []float64 // multipliers of t ≥ cut·r and t ≥ −fill·r
	slack  []float64 // of the inequalities
	lambda []float64
	nu     []float64 // of the equalities
	s1, s2 []float64
}

// step is a Newton direction.
type step struct {
	v             [3]float64
	t, y1, y2     []float64
	slack, lambda []float64
	nu            []float64
}

// solve runs the method until the goal is met, or until enough says that the plane at hand will do.
func solve(ctx context.Context, p problem, enough func(v [3]float64) bool) (solution, error) {
	x := start(p)
	for round := range maxRounds {
		if err := ctx.Err(); err != nil {
			return solution{}, err
		}
		gap, residual := x.gap(), x.residual()
		if gap < gapGoal && (residual < 1e-9 || gap < spentGap && residual < 1e-7) {
			return x.solution(round), nil
		}
		if enough(x.v) {
			return x.solution(round), nil
		}
		affine := x.direction(0, step{}, false)
		after := x.gapAfter(affine, x.longest(affine, 1))
		sigma := math.Pow(after/gap, 3)
		d := x.direction(sigma*gap, affine, true)
		x.move(d, x.longest(d, 0.995))
	}
	if x.gap() < 1e-7 && x.residual() < 1e-7 {
		return x.solution(maxRounds), nil
	}
	return solution{}, fmt.Errorf("planefit: did not settle in %d rounds (gap %.1e, misfit %.1e)", maxRounds, x.gap(), x.residual())
}

func start(p problem) *state {
	n := len(p.samples)
	x := &state{p: p, t: make([]float64, n), y1: make([]float64, n), y2: make([]float64, n), s1: make([]float64, n), s2: make([]float64, n),
		slack: make([]float64, len(p.atMost)), lambda: make([]float64, len(p.atMost)), nu: make([]float64, len(p.equal))}
	for i, q := range p.samples {
		r := q.level
		x.t[i] = 1 + math.Max(q.cut*r, -q.fill*r)
		x.y1[i], x.y2[i] = q.weight/2, q.weight/2
	}
	for j, l := range p.atMost {
		x.slack[j] = math.Max(1, l.level)
		x.lambda[j] = 1 / float64(len(p.atMost))
	}
	x.epigraph()
	return x
}

// epigraph recomputes s1 = t − cut·r and s2 = t + fill·r, which are exact functions of v and t.
func (x *state) epigraph() {
	for i, q := range x.p.samples {
		r := q.level - dot(q.m, x.v)
		x.s1[i], x.s2[i] = x.t[i]-q.cut*r, x.t[i]+q.fill*r
	}
}

// gap is the sum of all complementarity products: the cost still to be gained.
func (x *state) gap() float64 {
	g := 0.0
	for i := range x.t {
		g += x.s1[i]*x.y1[i] + x.s2[i]*x.y2[i]
	}
	for j := range x.slack {
		g += x.slack[j] * x.lambda[j]
	}
	return g / float64(2*len(x.t)+len(x.slack))
}

func (x *state) gapAfter(d step, a float64) float64 {
	g := 0.0
	for i, q := range x.p.samples {
		ds1, ds2 := x.epigraphStep(q, d, i)
		g += (x.s1[i]+a*ds1)*(x.y1[i]+a*d.y1[i]) + (x.s2[i]+a*ds2)*(x.y2[i]+a*d.y2[i])
	}
	for j := range x.slack {
		g += (x.slack[j] + a*d.slack[j]) * (x.lambda[j] + a*d.lambda[j])
	}
	return g / float64(2*len(x.t)+len(x.slack))
}

func (x *state) epigraphStep(q row, d step, i int) (ds1, ds2 float64) {
	dr := -dot(q.m, d.v)
	return d.t[i] - q.cut*dr, d.t[i] + q.fill*dr
}

// residual is the largest misfit of the limits and of the stationarity conditions.
func (x *state) residual() float64 {
	worst := 0.0
	grad := x.gradient()
	for k := range grad {
		worst = math.Max(worst, math.Abs(grad[k]))
	}
	for i, q := range x.p.samples {
		worst = math.Max(worst, math.Abs(q.weight-x.y1[i]-x.y2[i]))
	}
	for j, l := range x.p.atMost {
		worst = math.Max(worst, math.Abs(l.level-dot(l.m, x.v)-x.slack[j]))
	}
	for _, l := range x.p.equal {
		worst = math.Max(worst, math.Abs(l.level-dot(l.m, x.v)))
	}
	return worst
}

// gradient is the derivative of the Lagrangian by v.
func (x *state) gradient() [3]float64 {
	g := [3]float64{0, x.p.flatten * x.v[1], x.p.flatten * x.v[2]}
	for i, q := range x.p.samples {
		add(&g, q.m, q.fill*x.y2[i]-q.cut*x.y1[i])
	}
	for j, l := range x.p.atMost {
		add(&g, l.m, x.lambda[j])
	}
	for j, l := range x.p.equal {
		add(&g, l.m, x.nu[j])
	}
	return g
}

// direction is the Newton step towards complementarity products of mu; with a predictor step, its second-order products are
// corrected for. Each sample's t, y1, y2 are eliminated:
//
//	D1 = y1/s1, D2 = y2/s2:  the sample adds (cut + fill)²·D1·D2/(D1 + D2)·m·mᵀ to the normal matrix.
func (x *state) direction(mu float64, before step, correct bool) step {
	n := len(x.p.samples)
	c1, c2, cl := make([]float64, n), make([]float64, n), make([]float64, len(x.slack))
	for i, q := range x.p.samples {
		c1[i], c2[i] = mu-x.s1[i]*x.y1[i], mu-x.s2[i]*x.y2[i]
		if correct {
			ds1, ds2 := x.epigraphStep(q, before, i)
			c1[i], c2[i] = c1[i]-ds1*before.y1[i], c2[i]-ds2*before.y2[i]
		}
	}
	for j := range cl {
		cl[j] = mu - x.slack[j]*x.lambda[j]
		if correct {
			cl[j] -= before.slack[j] * before.lambda[j]
		}
	}
	k := newKKT(len(x.p.equal))
	x.assemble(k, c1, c2, cl)
	return x.expand(k.solve(), c1, c2, cl)
}

// assemble writes the step equations for v and the equalities' multipliers.
func (x *state) assemble(k *kkt, c1, c2, cl []float64) {
	grad := x.gradient()
	for i := range 3 {
		k.right[i] = -grad[i]
	}
	k.matrix[1][1] += x.p.flatten
	k.matrix[2][2] += x.p.flatten
	for i, q := range x.p.samples {
		d1, d2 := x.y1[i]/x.s1[i], x.y2[i]/x.s2[i]
		alpha := x.alpha(i, c1[i], c2[i])
		k.addOuter(q.m, (q.cut+q.fill)*(q.cut+q.fill)*d1*d2/(d1+d2))
		k.addRight(q.m, q.cut*c1[i]/x.s1[i]-q.fill*c2[i]/x.s2[i]-(q.cut*d1-q.fill*d2)*alpha)
	}
	for j, l := range x.p.atMost {
		weight := x.lambda[j] / x.slack[j]
		misfit := l.level - dot(l.m, x.v) - x.slack[j]
		k.addOuter(l.m, weight)
		k.addRight(l.m, -(cl[j]-x.lambda[j]*misfit)/x.slack[j])
	}
	for j, l := range x.p.equal {
		k.border(j, l.m, l.level-dot(l.m, x.v))
	}
}

// alpha is a sample's epigraph step when the plane stands still.
func (x *state) alpha(i int, c1, c2 float64) float64 {
	short := x.p.samples[i].weight - x.y1[i] - x.y2[i]
	return (c1/x.s1[i] + c2/x.s2[i] - short) / (x.y1[i]/x.s1[i] + x.y2[i]/x.s2[i])
}

// expand recovers every eliminated part of the step.
func (x *state) expand(sol []float64, c1, c2, cl []float64) step {
	n := len(x.p.samples)
	d := step{v: [3]float64(sol[:3]), nu: sol[3:], t: make([]float64, n), y1: make([]float64, n), y2: make([]float64, n),
		slack: make([]float64, len(cl)), lambda: make([]float64, len(cl))}
	for i, q := range x.p.samples {
		d1, d2 := x.y1[i]/x.s1[i], x.y2[i]/x.s2[i]
		d.t[i] = x.alpha(i, c1[i], c2[i]) - (d1*q.cut-d2*q.fill)/(d1+d2)*dot(q.m, d.v)
		ds1, ds2 := x.epigraphStep(q, d, i)
		d.y1[i], d.y2[i] = c1[i]/x.s1[i]-d1*ds1, c2[i]/x.s2[i]-d2*ds2
	}
	for j, l := range x.p.atMost {
		d.slack[j] = l.level - dot(l.m, x.v) - x.slack[j] - dot(l.m, d.v)
		d.lambda[j] = (cl[j] - x.lambda[j]*d.slack[j]) / x.slack[j]
	}
	return d
}

// longest is how far the step may go, as a share of the way to the nearest wall, at most one.
func (x *state) longest(d step, share float64) float64 {
	a := 1 / share
	for i, q := range x.p.samples {
		ds1, ds2 := x.epigraphStep(q, d, i)
		a = wall(wall(wall(wall(a, x.s1[i], ds1), x.s2[i], ds2), x.y1[i], d.y1[i]), x.y2[i], d.y2[i])
	}
	for j := range x.slack {
		a = wall(wall(a, x.slack[j], d.slack[j]), x.lambda[j], d.lambda[j])
	}
	return math.Min(1, share*a)
}

func wall(a, value, change float64) float64 {
	if change < 0 {
		return math.Min(a, -value/change)
	}
	return a
}

func (x *state) move(d step, a float64) {
	for k := range x.v {
		x.v[k] += a * d.v[k]
	}
	for i := range x.t {
		x.t[i], x.y1[i], x.y2[i] = x.t[i]+a*d.t[i], x.y1[i]+a*d.y1[i], x.y2[i]+a*d.y2[i]
	}
	for j := range x.slack {
		x.slack[j], x.lambda[j] = x.slack[j]+a*d.slack[j], x.lambda[j]+a*d.lambda[j]
	}
	for j := range x.nu {
		x.nu[j] += a * d.nu[j]
	}
	x.epigraph()
}

func (x *state) solution(rounds int) solution {
	s := solution{v: x.v, rounds: rounds}
	for _, k := range x.p.order {
		if k >= 0 {
			s.multiplier = append(s.multiplier, x.lambda[k])
		} else {
			s.multiplier = append(s.multiplier, x.nu[-1-k])
		}
	}
	return s
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func add(into *[3]float64, m [3]float64, by float64) {
	for k := range into {
		into[k] += by * m[k]
	}
}
