package backing

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
)

// attempt is one way of planning: the share of the steering lock the plan uses, so that the rest is left for corrections; the
// share of the driver's margin it keeps; how many poses it may look at; and over which lattice.
type attempt struct {
	lock, margin float64
	most         int
	lattice      rollout.Lattice
}

// The attempts: what drives easily, with a fifth of the lock kept for corrections, then with less kept; and whether it goes at
// all, with little room, searched to the end over a coarser lattice so that no drive found is a proof to its fineness.
var (
	easily  = attempt{0.8, 1, 80_000, rollout.UsualLattice()}
	firmly  = attempt{0.88, 1, 160_000, rollout.UsualLattice()}
	roomily = attempt{0.95, 1, 300_000, rollout.UsualLattice()}
	atAll   = attempt{0.95, 0.35, mostPoses, rollout.CoarseLattice()}
)

// enough is the share of tried drives that must be made for a way to count as one for an ordinary driver; leastMade is the share
// below which it only works on paper.
const (
	enough    = 0.95
	leastMade = 0.5
)

// candidate is a drive outwards with what came of trying it inwards.
type candidate struct {
	out    rollout.Drive
	trials rollout.Trials
	pulls  int
}

func (c candidate) holds() bool { return c.trials.Share() >= enough }

// better says whether c is the way to take: one that holds before one that does not, then fewer pull-forwards, then more made.
func (c candidate) better(than candidate) bool {
	if c.holds() != than.holds() {
		return c.holds()
	}
	if c.holds() && c.pulls != than.pulls {
		return c.pulls < than.pulls
	}
	return c.trials.Share() > than.trials.Share()
}

// lookForWay takes the first drive that an ordinary driver makes without pull-forwards; failing that the best of those found. Where
// the easy look finds nothing, whether it goes at all is asked next: what cannot be at all is not looked for more.
func (r *Result) lookForWay(in Input) error {
	best, found, err := r.try(in, easily)
	if err != nil {
		return err
	}
	rest := []attempt{firmly, roomily, atAll}
	if !found {
		if best, found, err = r.try(in, atAll); err != nil || !found {
			return err
		}
		rest = rest[:2]
	}
	for _, a := range rest {
		if best.holds() && (best.pulls == 0 || a == atAll) {
			break
		}
		c, ok, err := r.try(in, a)
		if err != nil {
			return err
		}
		if ok && c.better(best) {
			best = c
		}
	}
	if r.Possible = best.trials.Share() >= leastMade; !r.Possible {
		return nil
	}
	r.accept(best)
	return r.lookForOut(in)
}

// try searches, smooths and replays one attempt.
func (r *Result) try(in Input, a attempt) (c candidate, found bool, err error) {
	t := r.task(in, a.lock, a.margin*in.Margin.Value.Metres())
	t.Most, t.Lattice = a.most, a.lattice
	answer, err := rollout.Search(t)
	if err != nil {
		return c, false, fmt.Errorf("backing: %w", err)
	}
	r.Looked += answer.Looked
	if answer.Verdict != rollout.Found {
		r.keepStoppers(answer)
		return c, false, nil
	}
	c.out = rollout.Smooth(t, answer.Drive)
	way := r.rig.Back(c.out)
	c.pulls = pullForwards(way)
	c.trials, err = r.rig.Replay(way, r.scene.obstacles, rollout.UsualDriver(), rollout.UsualTolerance(), int(in.Drives.Value), 1)
	if err != nil {
		return c, false, fmt.Errorf("backing: %w", err)
	}
	return c, true, nil
}

func (r *Result) keepStoppers(a rollout.Answer) {
	if len(a.Stoppers) > 0 {
		r.Blocker.candidates = a.Stoppers
	}
	r.Blocker.Proven = a.Verdict != rollout.OutOfReach
	r.Blocker.verdict = a.Verdict
}

// accept makes a candidate the way in.
func (r *Result) accept(c candidate) {
	r.Out, r.In = c.out, r.rig.Back(c.out)
	r.Starts = r.In.From
	r.Made, r.WorstRoom = quantity.Percent(c.trials.Share()), quantity.Length(c.trials.Least)
	r.trials = c.trials
}

// lookForOut finds the way out: the way in driven back when that needs no change of direction and the vehicle can be backed,
// otherwise one of its own.
func (r *Result) lookForOut(in Input) error {
	r.Leaves = r.Out.Turns() == 0 && !r.vehicle.forwardOnly
	if r.Leaves {
		return nil
	}
	t := r.task(in, roomily.lock, in.Margin.Value.Metres())
	t.Costs, t.Most = rollout.UsualCosts(), easily.most
	t.OneWay = -t.OneWay
	answer, err := rollout.Search(t)
	if err != nil {
		return fmt.Errorf("backing: way out: %w", err)
	}
	switch {
	case answer.Verdict == rollout.Found:
		r.Out, r.Leaves = rollout.Smooth(t, answer.Drive), true
	case r.vehicle.forwardOnly:
		r.Out = rollout.Drive{From: r.Parked}
	default:
		r.Leaves = true // on the tracks it came by
	}
	return nil
}

// pullForwards counts how often a drive goes forwards after it has gone in reverse.
func pullForwards(d rollout.Drive) int {
	n, reversed := 0, false
	for _, leg := range d.Legs() {
		back := d.Pieces[leg[0]].Distance < 0
		if reversed && !back {
			n++
		}
		reversed = reversed || back
	}
	return n
}

// measure reads off the way what people ask.
func (r *Result) measure(in Input) {
	r.PullForwards = pullForwards(r.In)
	r.Reverse = quantity.Length(r.In.ReverseLength())
	r.Bend, r.BendLimit = quantity.Angle(r.rig.SharpestBend(r.In)), quantity.Angle(r.rig.GreatestBend())
	tight := r.rig.Clearance(r.In, r.scene.obstacles)
	r.Tightest = Tight{Room: quantity.Length(tight.Clearance), At: tight.Near, Who: r.who(tight.Trailer), After: quantity.Length(tight.Station)}
	if tight.Obstacle >= 0 {
		r.Tightest.Thing = r.scene.obstacles[tight.Obstacle].Name
	}
	r.Moves, r.MovesBy = moves(in, r.rig, r.In), moves(in, r.rig, r.Out)
	r.placeSpotter(tight)
	r.Verdict = r.hardness()
	r.gateWidths(in)
	r.padWidth(in)
	r.trials.Poses = nil // hundreds of drives: measured, not kept
}

func (r *Result) who(trailer bool) string {
	if trailer {
		return "the trailer"
	}
	if r.rig.Towing() {
		return "the tow vehicle"
	}
	return "the " + string(r.vehicle.kind)
}

// grades are how hard a way is: up to so many pull-forwards, with at least so much room and so large a share of drives made.
var grades = []struct {
	says  string
	pulls int
	room  float64
	made  float64
}{
	{"easy", 0, 0.75, 0.99},
	{"takes care", 1, 0.45, 0.97},
	{"hard", 2, 0.25, 0.95},
	{"for a very good driver with a spotter", 4, 0.05, leastMade},
}

func (r *Result) hardness() string {
	for _, g := range grades {
		if r.PullForwards <= g.pulls && r.Tightest.Room.Metres() >= g.room && float64(r.Made) >= g.made {
			return g.says
		}
	}
	return "not for an ordinary driver"
}

// Where a spotter may stand: this far from what is tight, and this far from everything that moves.
var spotterRings = []float64{2, 2.5, 3, 4, 5}

const (
	spotterRoom    = 1.2
	spotterBearing = 24
)

// placeSpotter looks for the place near the tight spot that stays clear of the whole drive and of every thing, on the driver's
// side and behind him, where his mirror shows it.
func (r *Result) placeSpotter(tight rollout.Tight) {
	poses := r.rig.Along(r.In, 0.5)
	best, found := math.Inf(-1), false
	for _, ring := range spotterRings {
		for i := range spotterBearing {
			p := tight.Near.Add(geometry.Direction(2 * math.Pi * float64(i) / spotterBearing).Scale(ring))
			if !r.safe(p, poses) {
				continue
			}
			if s := r.seen(p, tight.At) - 0.3*ring; s > best {
				best, found, r.Spotter = s, true, p
			}
		}
	}
	if !found {
		r.SpotterSays = "no place near the tight spot is safe to stand: look at it before, get out and look again"
		return
	}
	side := "driver's"
	if r.seen(r.Spotter, tight.At) < 0 {
		side = "other"
	}
	r.SpotterSays = fmt.Sprintf("on the %s side, clear of everything that moves", side)
}

// safe says whether a person stands clear of the drive and of the things.
func (r *Result) safe(p geometry.Point, poses []rollout.Pose) bool {
	for _, o := range r.scene.obstacles {
		if o.Free == 0 && !o.Wheels && distanceTo(o, p) < 0.4 {
			return false
		}
	}
	return !r.comesNear(poses, p, spotterRoom)
}

func distanceTo(o rollout.Obstacle, p geometry.Point) float64 {
	if o.Solid {
		return geometry.Polygon{Outer: o.Line}.Distance(p)
	}
	if len(o.Line) == 0 {
		return o.At.Distance(p) - o.Radius
	}
	least := math.Inf(1)
	for i := 1; i < len(o.Line); i++ {
		least = min(least, geometry.Segment{A: o.Line[i-1], B: o.Line[i]}.Distance(p))
	}
	return least - o.Radius
}

// seen is how well the driver sees a place in his own mirror: above zero on his side and behind him. He sits on the left.
func (r *Result) seen(p geometry.Point, pose rollout.Pose) float64 {
	d := p.Sub(pose.At.Add(geometry.Direction(pose.Heading).Scale(r.rig.Wheelbase / 2))).Unit()
	ahead := geometry.Direction(pose.Heading)
	return ahead.Cross(d) - max(0, ahead.Dot(d))
}
