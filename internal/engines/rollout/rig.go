// Package rollout is the mathematics of vehicles that roll without slip at walking pace: a tow vehicle alone or with one
// trailer, forwards and backwards, among things that stand in the way.
//
// A rig is a chain: the tow vehicle, steered at its front wheels and rolling on its rear axle, and a trailer that follows
// its hitch on an axle of its own. The state of the chain is a [Pose]. Driven with the steering held still, every pose is
// known in closed form ([Rig.Move]); with the steering changing all the time it is integrated ([Rig.Follow]). On this stand
// the ground a drive sweeps ([Rig.Swept]), its distance to things ([Rig.Clearance]), the search for a drive from one place to
// another ([Search]), its smoothing ([Rig.Smooth]), its replay by an imperfect driver ([Rig.Replay]) and its way over humps
// and gutters ([Undercarriage.Cross]).
//
// Lengths in metres, angles in radians counter-clockwise from +x, curvature in 1/m positive to the left, distance positive
// forwards and negative in reverse.
package rollout

import (
	"errors"
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
)

// Body is the plan rectangle of one vehicle, measured from its axle along its own heading.
type Body struct {
	Ahead  float64 // from the axle to the front end, m
	Behind float64 // from the axle to the back end, m
	Width  float64 // m
	Height float64 // m; zero is as high as it gets: nothing passes over it
}

// Length is the body's whole length, m.
func (b Body) Length() float64 { return b.Ahead + b.Behind }

// Track is the wheels' stance, outside to outside, m: a tenth of the width less than the body.
func (b Body) Track() float64 { return wheelShare * b.Width }

// Rig is a tow vehicle with or without a trailer. An axle stands for the middle of its group.
type Rig struct {
	Wheelbase float64 // L, front axle to rear axle, m
	Lock      float64 // greatest steering angle of the single front wheel that stands for two, rad
	Tow       Body    // about the rear axle
	Hitch     float64 // M, hitch behind the rear axle, m; ahead of it (gooseneck) negative
	Tongue    float64 // L1, hitch to trailer axle, m; zero: no trailer
	Trailer   Body    // about the trailer axle
	Fold      float64 // angle between the two at which they touch, rad
}

// Towing says whether the rig has a trailer.
func (r Rig) Towing() bool { return r.Tongue > 0 }

// Longest, and other limits of what is taken for a road vehicle, m.
const (
	longest  = 60
	shortest = 0.3
)

// Validate says what keeps the numbers from being a vehicle.
func (r Rig) Validate() error {
	within := func(v, low, high float64) bool { return v >= low && v <= high }
	switch {
	case !within(r.Wheelbase, shortest, longest):
		return fmt.Errorf("rollout: wheelbase %g m is not between %g and %d m", r.Wheelbase, shortest, longest)
	case !within(r.Lock, 0.01, 1.5):
		return fmt.Errorf("rollout: steering lock %g rad is not between 0.01 and 1.5", r.Lock)
	case !(r.Tongue == 0 || within(r.Tongue, shortest, longest)):
		return fmt.Errorf("rollout: %g m from hitch to trailer axle is not between %g and %d m", r.Tongue, shortest, longest)
	case r.Towing() && !within(r.Hitch, -r.Wheelbase, longest):
		return fmt.Errorf("rollout: hitch %g m behind the rear axle", r.Hitch)
	case r.Towing() && !within(r.Fold, 0.05, math.Pi/2+0.5):
		return fmt.Errorf("rollout: tow vehicle and trailer touch at %g rad, not between 0.05 and 2", r.Fold)
	}
	if err := r.Tow.validate("tow vehicle"); err != nil {
		return err
	}
	if r.Towing() {
		return r.Trailer.validate("trailer")
	}
	return nil
}

func (b Body) validate(name string) error {
	for _, v := range []float64{b.Ahead, b.Behind, b.Width, b.Height} {
		if math.IsNaN(v) || math.Abs(v) > longest {
			return fmt.Errorf("rollout: body of the %s has a size of %g m", name, v)
		}
	}
	if b.Length() < shortest || b.Width < shortest || b.Height < 0 {
		return fmt.Errorf("rollout: body of the %s is %g m long and %g m wide", name, b.Length(), b.Width)
	}
	return nil
}

// Sharpest is the curvature at full lock, 1/m.
//
//	k = tan δ / L
func (r Rig) Sharpest() float64 { return math.Tan(r.Lock) / r.Wheelbase }

// Curvature is the path curvature of the rear axle at a steering angle, 1/m; left positive.
func (r Rig) Curvature(steer float64) float64 { return math.Tan(steer) / r.Wheelbase }

// Steer is the steering angle that gives a curvature, rad.
func (r Rig) Steer(curvature float64) float64 { return math.Atan(curvature * r.Wheelbase) }

// Pose is where a rig stands: the rear axle of the tow vehicle, and both headings.
type Pose struct {
	At      geometry.Point `json:"at"`
	Heading float64        `json:"heading"` // of the tow vehicle, rad
	Trailer float64        `json:"trailer"` // heading of the trailer, rad; the tow vehicle's own without one
}

// Bend is the angle from trailer to tow vehicle, rad in (−π, π]: positive when the tow vehicle points left of the trailer.
func (p Pose) Bend() float64 { return wrap(p.Heading - p.Trailer) }

// HitchAt is where the hitch is.
func (r Rig) HitchAt(p Pose) geometry.Point {
	return p.At.Sub(geometry.Direction(p.Heading).Scale(r.Hitch))
}

// TrailerAt is where the middle of the trailer's axle is.
func (r Rig) TrailerAt(p Pose) geometry.Point {
	return r.HitchAt(p).Sub(geometry.Direction(p.Trailer).Scale(r.Tongue))
}

// TrailerPose is the pose of a rig whose trailer axle stands at a point with a heading, bent by an angle.
func (r Rig) TrailerPose(axle geometry.Point, heading, bend float64) Pose {
	p := Pose{Heading: heading + bend, Trailer: heading}
	hitch := axle.Add(geometry.Direction(heading).Scale(r.Tongue))
	p.At = hitch.Add(geometry.Direction(p.Heading).Scale(r.Hitch))
	return p
}

// Corners are the corners of a body whose axle stands at a point: right front, left front, left back, right back.
func (b Body) Corners(axle geometry.Point, heading float64) [4]geometry.Point {
	ahead, left := geometry.Direction(heading), geometry.Direction(heading).Left()
	at := func(x, y float64) geometry.Point { return axle.Add(ahead.Scale(x)).Add(left.Scale(y)) }
	return [4]geometry.Point{at(b.Ahead, -b.Width/2), at(b.Ahead, b.Width/2), at(-b.Behind, b.Width/2), at(-b.Behind, -b.Width/2)}
}

// Bodies are the plan rectangles of the rig in a pose, tow vehicle first.
func (r Rig) Bodies(p Pose) []geometry.Polygon {
	tow := r.Tow.Corners(p.At, p.Heading)
	out := []geometry.Polygon{{Outer: tow[:]}}
	if r.Towing() {
		trailer := r.Trailer.Corners(r.TrailerAt(p), p.Trailer)
		out = append(out, geometry.Polygon{Outer: trailer[:]})
	}
	return out
}

// ErrFolds is the answer for a turn in which the trailer never settles: it is longer than the hitch's circle.
var ErrFolds = errors.New("there is no steady circle: the trailer is longer than the hitch's radius and folds")

// Circle is the turn a rig settles on with the steering held.
type Circle struct{ Rear, Hitch, Trailer, Bend float64 }

// Steady is the circle at a steering angle.
//
//	R0 = L/tan δ   Rh = √(R0² + M²)   R1 = √(Rh² − L1²)   γ = atan2(M, R0) + asin(L1/Rh)
//
// R0, Rh, R1 radii of rear axle, hitch and trailer axle, m; γ angle between the two, rad; δ > 0. Source: plane geometry of
// rolling without slip. ErrFolds when L1 > Rh. Checked: SITE-29.
func (r Rig) Steady(steer float64) (Circle, error) {
	if !(steer > 0 && steer < math.Pi/2) || !(r.Wheelbase > 0) || !(r.Tongue >= 0) {
		return Circle{}, errors.New("lengths are above zero and steering between 0° and 90°")
	}
	r0 := r.Wheelbase / math.Tan(steer)
	rh := math.Hypot(r0, r.Hitch)
	if r.Tongue > rh {
		return Circle{}, ErrFolds
	}
	return Circle{r0, rh, math.Sqrt(rh*rh - r.Tongue*r.Tongue), math.Atan2(r.Hitch, r0) + math.Asin(r.Tongue/rh)}, nil
}

// jackknifeReserve is kept between the fold a reversing driver lets happen and the one full lock can no longer open, and
// foldReserve between that and bodies touching: what the eye cannot judge from the seat. restFold is the most anybody
// plans for when the steady turn does not limit it.
const (
	jackknifeReserve = 10 * math.Pi / 180
	foldReserve      = 5 * math.Pi / 180
	restFold         = 60 * math.Pi / 180
)

// GreatestBend is the largest angle between tow vehicle and trailer that a drive may plan for.
//
//	|γ| ≤ min(60°, fold − 5°, γ_eq(lock) − 10°)
//
// γ_eq the steady bend at full lock: beyond it, reversing folds the trailer further whatever the steering does. Source:
// the model's own limit; reserves by common practice.
func (r Rig) GreatestBend() float64 {
	if !r.Towing() {
		return math.Pi
	}
	limit := min(restFold, r.Fold-foldReserve)
	if c, err := r.Steady(r.Lock); err == nil {
		limit = min(limit, c.Bend-jackknifeReserve)
	}
	return max(limit, jackknifeReserve)
}

// wrap brings an angle into (−π, π].
func wrap(a float64) float64 {
	if a > -math.Pi && a <= math.Pi {
		return a
	}
	a = math.Mod(a, 2*math.Pi)
	switch {
	case a > math.Pi:
		return a - 2*math.Pi
	case a <= -math.Pi:
		return a + 2*math.Pi
	}
	return a
}
