package rollout

import (
	"errors"
	"math"

	"slabwright/internal/engines/geometry"
)

// Driver is how far an ordinary driver and the ground are from the plan: each drive draws its errors evenly from ± these.
type Driver struct {
	Aside  float64 // start off to the side, and short or long, m
	Askew  float64 // start off in heading, rad
	Wheel  float64 // steering is off by a constant, rad
	Slip   float64 // the rig turns less or more than the steering says, as a share: loose or wet ground
	Tongue float64 // share by which the trailer's real axle is off the measured place
	Glance float64 // metres driven between two looks at where the rig is
	Hands  float64 // steering changed per metre driven, rad/m
	Brisk  float64 // how hard errors are steered out: 1/m
}

// UsualDriver: 0.2 m, 2°, 1°, 5 % and 2 %, a look every quarter metre, 30° of steering in a metre, errors halved in about 7 m.
func UsualDriver() Driver {
	deg := math.Pi / 180
	return Driver{Aside: 0.2, Askew: 2 * deg, Wheel: 1 * deg, Slip: 0.05, Tongue: 0.02, Glance: 0.25, Hands: 30 * deg, Brisk: 0.25}
}

// Validate says what is not a driver.
func (d Driver) Validate() error {
	for _, v := range []float64{d.Aside, d.Askew, d.Wheel, d.Slip, d.Tongue} {
		if !(v >= 0 && v < 1) {
			return errors.New("rollout: a driver's errors are zero or more and below 1 (m, rad, share)")
		}
	}
	if !(d.Glance >= 0.02 && d.Glance <= 2 && d.Hands > 0 && d.Brisk > 0 && d.Brisk <= 2) {
		return errors.New("rollout: a driver looks every 0.02 to 2 m, turns the wheel, and corrects by up to 2 per metre")
	}
	return nil
}

// Trials is what came of driving a drive many times over.
type Trials struct {
	Drives   int
	Made     int      // arrived within the tolerance without touching anything or folding
	Touched  int      // ran into something
	Folded   int      // the trailer touched the tow vehicle, or the driver lost it
	Missed   int      // ended too far off
	Least    float64  // least clearance of all drives, m
	Greatest float64  // greatest bend, rad
	Aside    float64  // 95 of 100 ended within this of the place, across the heading, m
	Askew    float64  // and within this of the heading, rad
	Poses    [][]Pose // the way of every drive, as far as it went, at each look
}

// Share is the share of drives that were made.
func (t Trials) Share() float64 {
	if t.Drives == 0 {
		return 0
	}
	return float64(t.Made) / float64(t.Drives)
}

// Tolerance is how near a drive must end.
type Tolerance struct {
	Aside float64 // across the heading of what is parked, m
	Askew float64 // rad
}

// Replay drives a drive many times by feedback, each time with other errors drawn from a seed, and says how often it is made.
//
// The reference is the drive itself. In reverse with a trailer the driver watches the trailer's axle: off to the side by e and
// askew by φ, he wants the bend γ_d = γ_ref + L1(2pφ − p²e), which takes e out as e″ + 2pe′ + p²e = 0, and steers for it by
//
//	κ = κ_ref + [(sin γ − sin γ_ref)/L1 + q(γ − γ_d)] / (1 + (M/L1) cos γ)      q = 3p
//
// so that the error of the bend dies off as e^{−qs} (feedback linearisation). Forwards, or without a trailer, he watches the
// rear axle: κ = κ_ref ∓ (2pφ ± p²e). The wheel is held between two looks and moves no faster than his
// hands; where a piece of the drive starts he stops and sets it. A drive that
// only works with the steering replayed blindly fails here: straight back, a bend grows as e^{s/L1}. Checked: SITE-31, RP rows.
func (r Rig) Replay(d Drive, obstacles []Obstacle, driver Driver, near Tolerance, drives int, seed uint64) (Trials, error) {
	if err := errors.Join(r.Validate(), driver.Validate()); err != nil {
		return Trials{}, err
	}
	if drives < 1 || drives > 100_000 || d.Length() > 2000 {
		return Trials{}, errors.New("rollout: 1 to 100,000 drives of up to 2 km")
	}
	run := rerun{rig: r, ground: r.on(obstacles), driver: driver, legs: r.legs(d, driver.Glance)}
	out := Trials{Drives: drives, Least: clearanceCap}
	dice := dice(seed)
	var aside, askew []float64
	for range drives {
		out.add(run.drive(&dice, d.From), near, &aside, &askew)
	}
	out.Aside, out.Askew = mostOf(aside), mostOf(askew)
	return out, nil
}

// once is one drive.
type once struct {
	poses        []Pose
	clearance    float64
	bend         float64
	folded       bool
	aside, askew float64
}

func (t *Trials) add(o once, near Tolerance, aside, askew *[]float64) {
	t.Least, t.Greatest = min(t.Least, o.clearance), max(t.Greatest, o.bend)
	t.Poses = append(t.Poses, o.poses)
	switch {
	case o.clearance < 0:
		t.Touched++
	case o.folded:
		t.Folded++
	case math.Abs(o.aside) > near.Aside || math.Abs(o.askew) > near.Askew:
		t.Missed++
	default:
		t.Made++
	}
	*aside, *askew = append(*aside, math.Abs(o.aside)), append(*askew, math.Abs(o.askew))
}

// leg is the part of the reference driven in one direction.
type leg struct {
	back     bool
	stations []station
}

type station struct {
	pose      Pose
	axle      geometry.Point // of what is watched
	heading   float64
	curvature float64
	bend      float64
	set       bool // a piece starts here: the driver stops and sets the wheel
}

// legs are the reference at stations closer than two looks.
func (r Rig) legs(d Drive, glance float64) []leg {
	var out []leg
	p := d.From
	for _, span := range d.Legs() {
		l := leg{back: d.Pieces[span[0]].Distance < 0}
		for _, piece := range d.Pieces[span[0]:span[1]] {
			n := max(1, int(math.Ceil(2*math.Abs(piece.Distance)/glance)))
			for i := range n {
				at := r.Move(p, Piece{piece.Curvature, piece.Distance * float64(i) / float64(n)})
				s := r.station(at, piece.Curvature, l.back)
				s.set = i == 0
				l.stations = append(l.stations, s)
			}
			p = r.Move(p, piece)
		}
		l.stations = append(l.stations, r.station(p, d.Pieces[span[1]-1].Curvature, l.back))
		out = append(out, l)
	}
	return out
}

func (r Rig) station(p Pose, k float64, back bool) station {
	s := station{pose: p, curvature: k, bend: p.Bend()}
	s.axle, s.heading = r.watched(p, back)
	return s
}

// watched is the axle that a driver steers by, and its heading.
func (r Rig) watched(p Pose, back bool) (geometry.Point, float64) {
	if back && r.Towing() {
		return r.TrailerAt(p), p.Trailer
	}
	return p.At, p.Heading
}

type rerun struct {
	rig    Rig
	ground *ground
	driver Driver
	legs   []leg
}

// drive drives once with errors of its own.
func (u *rerun) drive(dice *dice, from Pose) once {
	d := u.driver
	real := u.rig
	p := from
	ahead := geometry.Direction(p.Heading)
	p.At = p.At.Add(ahead.Left().Scale(d.Aside * dice.even())).Add(ahead.Scale(d.Aside * dice.even()))
	p.Heading += d.Askew * dice.even()
	p.Trailer += d.Askew * dice.even()
	wheel, slip := d.Wheel*dice.even(), 1+d.Slip*dice.even()
	real.Tongue *= 1 + d.Tongue*dice.even()
	if !real.Towing() {
		p.Trailer = p.Heading
	}
	o := once{clearance: clearanceCap}
	u.look(&o, p)
	for i := range u.legs {
		if p = u.leg(&o, real, p, &u.legs[i], wheel, slip); o.folded {
			break
		}
	}
	last := u.legs[len(u.legs)-1]
	end := last.stations[len(last.stations)-1]
	axle, heading := u.rig.TrailerAt(end.pose), end.pose.Trailer
	if !real.Towing() {
		axle, heading = end.pose.At, end.pose.Heading
	}
	at, points := real.TrailerAt(p), p.Trailer
	if !real.Towing() {
		at, points = p.At, p.Heading
	}
	o.aside = geometry.Direction(heading).Cross(at.Sub(axle))
	o.askew = wrap(points - heading)
	return o
}

// leg drives one leg, look by look, until the watched axle is abreast of the leg's end.
func (u *rerun) leg(o *once, real Rig, p Pose, l *leg, wheel, slip float64) Pose {
	sign := 1.0
	if l.back {
		sign = -1
	}
	steer, at := math.NaN(), 0
	for range 3*len(l.stations) + 40 {
		axle, heading := real.watched(p, l.back)
		for at+1 < len(l.stations) && l.past(at+1, axle, sign) {
			at++
			if l.stations[at].set {
				steer = math.NaN()
			}
		}
		if at+1 == len(l.stations) {
			return p
		}
		s := &l.stations[at]
		want := u.rig.Steer(u.correct(s, p, axle, heading, l.back))
		want = min(max(want, -u.rig.Lock), u.rig.Lock)
		if !math.IsNaN(steer) {
			turn := u.driver.Hands * u.driver.Glance
			want = min(max(want, steer-turn), steer+turn)
		}
		steer = want
		p = real.Move(p, Piece{u.rig.Curvature(steer+wheel) * slip, sign * u.driver.Glance})
		u.look(o, p)
		if real.Towing() && math.Abs(p.Bend()) > u.rig.Fold {
			break
		}
	}
	o.folded = true
	return p
}

// past says whether a point has come abreast of a station.
func (l *leg) past(i int, axle geometry.Point, sign float64) bool {
	s := &l.stations[i]
	sin, cos := math.Sincos(s.heading)
	return sign*((axle.X-s.axle.X)*cos+(axle.Y-s.axle.Y)*sin) >= 0
}

// correct is the curvature that steers the errors out.
func (u *rerun) correct(s *station, p Pose, axle geometry.Point, heading float64, back bool) float64 {
	sin, cos := math.Sincos(s.heading)
	e := (axle.Y-s.axle.Y)*cos - (axle.X-s.axle.X)*sin
	askew, brisk := wrap(heading-s.heading), u.driver.Brisk
	switch {
	case !back:
		return s.curvature - 2*brisk*askew - brisk*brisk*e
	case !u.rig.Towing():
		return s.curvature + 2*brisk*askew - brisk*brisk*e
	}
	l1, bend := u.rig.Tongue, p.Bend()
	limit := u.rig.GreatestBend()
	want := min(max(s.bend+l1*(2*brisk*askew-brisk*brisk*e), -limit), limit)
	return s.curvature + ((math.Sin(bend)-math.Sin(s.bend))/l1+3*brisk*(bend-want))/(1+u.rig.Hitch/l1*math.Cos(bend))
}

func (u *rerun) look(o *once, p Pose) {
	o.poses = append(o.poses, p)
	o.bend = max(o.bend, math.Abs(p.Bend()))
	if c, _, _ := u.ground.exact(p, o.clearance); c < o.clearance {
		o.clearance = c
	}
}

// UsualTolerance: a foot to the side and three degrees, what an owner accepts on a pad.
func UsualTolerance() Tolerance { return Tolerance{Aside: 0.3, Askew: 3 * math.Pi / 180} }
