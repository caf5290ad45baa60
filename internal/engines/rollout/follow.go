package rollout

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
)

// Steering gives the curvature of the rear axle's path at a distance driven and a pose.
type Steering func(s float64, p Pose) float64

// Follow drives a distance with a steering that may change all the time, by the embedded pair of order five and four of
// Dormand and Prince with the error per step held below tolerance (m and rad), and returns the pose at the end.
//
//	dx/ds = u cos θ0   dy/ds = u sin θ0   dθ0/ds = uκ   dθ1/ds = (u/L1)(sin γ − M κ cos γ)
//
// s distance driven, u = ±1 its direction. It knows nothing of the closed form of [Rig.Move] and is its cross-check.
// Error when the steering is so rough that the step falls below a micrometre. Source: J. R. Dormand and P. J. Prince, 1980.
func (r Rig) Follow(p Pose, distance float64, steering Steering, tolerance float64) (Pose, error) {
	u, length := 1.0, math.Abs(distance)
	if distance < 0 {
		u = -1
	}
	y := state{p.At.X, p.At.Y, p.Heading, p.Trailer}
	rate := func(s float64, y state) state { return r.rate(y, u, steering(s, y.pose())) }
	h := min(0.25, length)
	for s := 0.0; s < length; {
		h = min(h, length-s)
		next, miss := dormandPrince(rate, s, y, h)
		if miss <= tolerance {
			s, y = s+h, next
		} else if h < 1e-6 {
			return y.pose(), fmt.Errorf("rollout: steering is too rough to follow at %g m", s)
		}
		h *= min(4, max(0.2, 0.9*math.Pow(tolerance/max(miss, 1e-300), 0.2)))
	}
	if !r.Towing() {
		y[3] = y[2]
	}
	return y.pose(), nil
}

// state is x, y, θ0, θ1.
type state [4]float64

func (y state) pose() Pose {
	return Pose{At: geometry.Point{X: y[0], Y: y[1]}, Heading: y[2], Trailer: y[3]}
}

func (r Rig) rate(y state, u, k float64) state {
	s, c := math.Sincos(y[2])
	out := state{u * c, u * s, u * k, 0}
	if r.Towing() {
		sg, cg := math.Sincos(y[2] - y[3])
		out[3] = u * (sg - r.Hitch*k*cg) / r.Tongue
	}
	return out
}

// pair is the Dormand–Prince tableau: nodes, stage weights, weights of order five, and their difference to order four.
var pair = struct {
	c [7]float64
	a [7][6]float64
	e [7]float64
}{
	c: [7]float64{0, 1. / 5, 3. / 10, 4. / 5, 8. / 9, 1, 1},
	a: [7][6]float64{
		{},
		{1. / 5},
		{3. / 40, 9. / 40},
		{44. / 45, -56. / 15, 32. / 9},
		{19372. / 6561, -25360. / 2187, 64448. / 6561, -212. / 729},
		{9017. / 3168, -355. / 33, 46732. / 5247, 49. / 176, -5103. / 18656},
		{35. / 384, 0, 500. / 1113, 125. / 192, -2187. / 6784, 11. / 84},
	},
	e: [7]float64{71. / 57600, 0, -71. / 16695, 71. / 1920, -17253. / 339200, 22. / 525, -1. / 40},
}

// dormandPrince makes one step and estimates its error.
func dormandPrince(rate func(float64, state) state, s float64, y state, h float64) (next state, miss float64) {
	var k [7]state
	for i := range k {
		next = y
		for j := range i {
			for n := range next {
				next[n] += h * pair.a[i][j] * k[j][n]
			}
		}
		k[i] = rate(s+pair.c[i]*h, next)
	}
	for n := range next {
		e := 0.0
		for i := range k {
			e += pair.e[i] * k[i][n]
		}
		miss = max(miss, math.Abs(h*e))
	}
	return next, miss
}
