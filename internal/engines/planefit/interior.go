package planefit

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// row is m·v_at (less m·v_off, where it joins two panels) against level: a sample's ground, or a limit's bound.
type row struct {
	at, off   int // where the panels' variables begin; off −1: none
	m         [3]float64
	level     float64
	weight    float64
	cut, fill float64 // of a sample: cost of ground above and below the plane; one of them may be zero
}

// of is the row's sum at v.
func (r *row) of(v []float64) float64 {
	p := v[r.at : r.at+3]
	sum := r.m[0]*p[0] + r.m[1]*p[1] + r.m[2]*p[2]
	if r.off >= 0 {
		q := v[r.off : r.off+3]
		sum -= r.m[0]*q[0] + r.m[1]*q[1] + r.m[2]*q[2]
	}
	return sum
}

// addTo adds by·m to g.
func (r *row) addTo(g []float64, by float64) {
	for k := range r.m {
		g[r.at+k] += by * r.m[k]
	}
	if r.off >= 0 {
		for k := range r.m {
			g[r.off+k] -= by * r.m[k]
		}
	}
}

// problem is a scaled Problem.
type problem struct {
	panels        int
	samples       []row
	atMost, equal []row
	order         []int    // limit i of the original is atMost[order[i]], or equal[−1−order[i]]
	names         []string // of the limits
	flatten       float64
}

// solution is a point with the multiplier of every limit, in the original order.
type solution struct {
	v          []float64
	multiplier []float64
	rounds     int
}

// maxRounds bounds the interior-point rounds; twenty to thirty are usual.
const maxRounds = 200

// gapGoal is the mean complementarity at which a solution counts as found, relative to costs of order one.
const gapGoal = 1e-11

// Where the planes can lie on the ground to the last bit, the step equations lose their digits before both goals are met: rounds
// then only stir up the misfit. The best iterate serves when it was this good and the rounds have become worse than it.
const (
	goodEnough = 1e-8
	muchWorse  = 100
)

// item is a sample on the way: its epigraph (the cost it stands for), the slacks and multipliers of t ≥ cut·r and t ≥ −fill·r,
// with what a round derives from them.
type item struct {
	t, s1, s2, y1, y2 float64
	i1, i2, sum       float64 // 1/s1, 1/s2, 1/(y1/s1 + y2/s2)
	c1, c2            float64 // complementarity asked for
	dt, d1, d2        float64 // step of t, y1, y2
	ds1, ds2          float64
}

// wallItem is a limit on the way: slack and multiplier, what is asked of their product, and their step.
type wallItem struct{ slack, lambda, c, dslack, dlambda float64 }

// state is one iterate.
type state struct {
	p     problem
	v, nu []float64
	items []item
	walls []wallItem
	grad  []float64
	step  []float64 // of v, then nu
	k     *kkt
}

// solve runs the method until the goal is met, or until enough says that the planes at hand will do.
func solve(ctx context.Context, p problem, enough func(v []float64) bool) (solution, error) {
	x := start(p)
	best, reached := solution{}, goodEnough
	for round := range maxRounds {
		if err := ctx.Err(); err != nil {
			return solution{}, err
		}
		gap, residual := x.gap(), x.residual()
		if gap < gapGoal && residual < 1e-9 || enough(x.v) {
			return x.solution(round), nil
		}
		switch worst := math.Max(gap, residual); {
		case worst < reached:
			best, reached = x.solution(round), worst
		case best.v != nil && !(worst < muchWorse*reached):
			return best, nil
		}
		x.prepare()
		x.ask(0, false)
		x.direct()
		sigma := math.Pow(x.gapAfter(x.longest(1))/gap, 3)
		x.ask(sigma*gap, true)
		x.direct()
		x.move(x.longest(0.995))
	}
	if best.v != nil {
		return best, nil
	}
	if x.gap() < 1e-7 && x.residual() < 1e-7 {
		return x.solution(maxRounds), nil
	}
	return solution{}, fmt.Errorf("planefit: did not settle in %d rounds (gap %.1e, misfit %.1e)", maxRounds, x.gap(), x.residual())
}

func start(p problem) *state {
	free := 3 * p.panels
	x := &state{p: p, v: make([]float64, free), nu: make([]float64, len(p.equal)), items: make([]item, len(p.samples)), walls: make([]wallItem, len(p.atMost)),
		grad: make([]float64, free), k: newKKT(free, len(p.equal))}
	for i := range p.samples {
		q := &p.samples[i]
		x.items[i] = item{t: 1 + math.Max(q.cut*q.level, -q.fill*q.level), y1: q.weight / 2, y2: q.weight / 2}
	}
	for j, l := range p.atMost {
		x.walls[j] = wallItem{slack: math.Max(1, l.level), lambda: 1 / float64(len(p.atMost))}
	}
	x.epigraph()
	return x
}

// epigraph recomputes s1 = t − cut·r and s2 = t + fill·r, which are exact functions of v and t.
func (x *state) epigraph() {
	for i := range x.items {
		q, e := &x.p.samples[i], &x.items[i]
		r := q.level - q.of(x.v)
		e.s1, e.s2 = e.t-q.cut*r, e.t+q.fill*r
	}
}

// gap is the mean of all complementarity products: the cost still to be gained.
func (x *state) gap() float64 {
	g := 0.0
	for i := range x.items {
		e := &x.items[i]
		g += e.s1*e.y1 + e.s2*e.y2
	}
	for _, w := range x.walls {
		g += w.slack * w.lambda
	}
	return g / float64(2*len(x.items)+len(x.walls))
}

func (x *state) gapAfter(a float64) float64 {
	g := 0.0
	for i := range x.items {
		e := &x.items[i]
		g += (e.s1+a*e.ds1)*(e.y1+a*e.d1) + (e.s2+a*e.ds2)*(e.y2+a*e.d2)
	}
	for _, w := range x.walls {
		g += (w.slack + a*w.dslack) * (w.lambda + a*w.dlambda)
	}
	return g / float64(2*len(x.items)+len(x.walls))
}

// residual is the largest misfit of the limits and of the stationarity conditions; it leaves the gradient of the Lagrangian by
// v in grad.
func (x *state) residual() float64 {
	worst := 0.0
	for k := range x.grad {
		x.grad[k] = 0
		if k%3 != 0 {
			x.grad[k] = x.p.flatten * x.v[k]
		}
	}
	for i := range x.items {
		q, e := &x.p.samples[i], &x.items[i]
		q.addTo(x.grad, q.fill*e.y2-q.cut*e.y1)
		worst = math.Max(worst, math.Abs(q.weight-e.y1-e.y2))
	}
	for j := range x.walls {
		l := &x.p.atMost[j]
		l.addTo(x.grad, x.walls[j].lambda)
		worst = math.Max(worst, math.Abs(l.level-l.of(x.v)-x.walls[j].slack))
	}
	for j := range x.nu {
		l := &x.p.equal[j]
		l.addTo(x.grad, x.nu[j])
		worst = math.Max(worst, math.Abs(l.level-l.of(x.v)))
	}
	for _, g := range x.grad {
		worst = math.Max(worst, math.Abs(g))
	}
	return worst
}

// prepare factors the matrix of the round. Each sample's t, y1, y2 are eliminated:
//
//	D1 = y1/s1, D2 = y2/s2:  the sample adds (cut + fill)²·D1·D2/(D1 + D2)·m·mᵀ to the block of its panel.
func (x *state) prepare() {
	x.k.clear()
	for k := range x.v {
		if k%3 != 0 {
			x.k.rows[k][k] += x.p.flatten
		}
	}
	for i := range x.items {
		q, e := &x.p.samples[i], &x.items[i]
		e.i1, e.i2 = 1/e.s1, 1/e.s2
		d1, d2 := e.y1*e.i1, e.y2*e.i2
		e.sum = 1 / (d1 + d2)
		x.k.addOuter(q, (q.cut+q.fill)*(q.cut+q.fill)*d1*d2*e.sum)
	}
	for j := range x.walls {
		x.k.addOuter(&x.p.atMost[j], x.walls[j].lambda/x.walls[j].slack)
	}
	for j := range x.nu {
		x.k.border(j, &x.p.equal[j])
	}
	x.k.factor()
}

// ask sets the complementarity products aimed at: mu, corrected for the second-order products of the step at hand.
func (x *state) ask(mu float64, correct bool) {
	for i := range x.items {
		e := &x.items[i]
		e.c1, e.c2 = mu-e.s1*e.y1, mu-e.s2*e.y2
		if correct {
			e.c1, e.c2 = e.c1-e.ds1*e.d1, e.c2-e.ds2*e.d2
		}
	}
	for j := range x.walls {
		w := &x.walls[j]
		w.c = mu - w.slack*w.lambda
		if correct {
			w.c -= w.dslack * w.dlambda
		}
	}
}

// alpha is a sample's epigraph step when the plane stands still.
func (e *item) alpha(q *row) float64 {
	return (e.c1*e.i1 + e.c2*e.i2 - (q.weight - e.y1 - e.y2)) * e.sum
}

// direct solves for the step of v and the equalities' multipliers and recovers every eliminated part.
func (x *state) direct() {
	for k := range x.grad {
		x.k.right[k] = -x.grad[k]
	}
	for i := range x.items {
		q, e := &x.p.samples[i], &x.items[i]
		e.dt = e.alpha(q)
		q.addTo(x.k.right, q.cut*e.c1*e.i1-q.fill*e.c2*e.i2-(q.cut*e.y1*e.i1-q.fill*e.y2*e.i2)*e.dt)
	}
	for j := range x.walls {
		l, w := &x.p.atMost[j], &x.walls[j]
		misfit := l.level - l.of(x.v) - w.slack
		l.addTo(x.k.right, -(w.c-w.lambda*misfit)/w.slack)
	}
	for j := range x.nu {
		l := &x.p.equal[j]
		x.k.right[len(x.v)+j] = l.level - l.of(x.v)
	}
	x.step = x.k.solve()
	x.expand()
}

func (x *state) expand() {
	for i := range x.items {
		q, e := &x.p.samples[i], &x.items[i]
		dm := q.of(x.step)
		e.dt -= (e.y1*e.i1*q.cut - e.y2*e.i2*q.fill) * e.sum * dm
		e.ds1, e.ds2 = e.dt+q.cut*dm, e.dt-q.fill*dm
		e.d1, e.d2 = (e.c1-e.y1*e.ds1)*e.i1, (e.c2-e.y2*e.ds2)*e.i2
	}
	for j := range x.walls {
		l, w := &x.p.atMost[j], &x.walls[j]
		w.dslack = l.level - l.of(x.v) - w.slack - l.of(x.step)
		w.dlambda = (w.c - w.lambda*w.dslack) / w.slack
	}
}

// longest is how far the step may go, as a share of the way to the nearest wall, at most one.
func (x *state) longest(share float64) float64 {
	a := 1 / share
	for i := range x.items {
		e := &x.items[i]
		a = wall(wall(wall(wall(a, e.s1, e.ds1), e.s2, e.ds2), e.y1, e.d1), e.y2, e.d2)
	}
	for _, w := range x.walls {
		a = wall(wall(a, w.slack, w.dslack), w.lambda, w.dlambda)
	}
	return math.Min(1, share*a)
}

func wall(a, value, change float64) float64 {
	if value+a*change < 0 {
		return -value / change
	}
	return a
}

func (x *state) move(a float64) {
	for k := range x.v {
		x.v[k] += a * x.step[k]
	}
	for j := range x.nu {
		x.nu[j] += a * x.step[len(x.v)+j]
	}
	for i := range x.items {
		e := &x.items[i]
		e.t, e.y1, e.y2 = e.t+a*e.dt, e.y1+a*e.d1, e.y2+a*e.d2
	}
	for j := range x.walls {
		w := &x.walls[j]
		w.slack, w.lambda = w.slack+a*w.dslack, w.lambda+a*w.dlambda
	}
	x.epigraph()
}

func (x *state) solution(rounds int) solution {
	s := solution{v: slices.Clone(x.v), rounds: rounds, multiplier: make([]float64, len(x.p.order))}
	for i, k := range x.p.order {
		if k >= 0 {
			s.multiplier[i] = x.walls[k].lambda
		} else {
			s.multiplier[i] = x.nu[-1-k]
		}
	}
	return s
}
