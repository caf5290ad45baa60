package backing

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/rollout"
	"slabwright/internal/trade/check"
)

// scene is the lot as the search sees it.
type scene struct {
	obstacles []rollout.Obstacle
	kinds     []string
	street    []geometry.Point
	half      float64 // half the street's width, m
	parked    rollout.Pose
	within    geometry.Box
}

// standing are the kinds of thing that stop a vehicle, and of those hanging stop only what is taller and low only wheels; what lies
// flush or buried stops nothing.
var (
	standing = map[string]bool{"tree": true, "building": true, "wall": true, "fence": true, "post": true, "overhead line": true, "eave": true, "low branch": true,
		"curb": true, "drop": true, "soft ground": true}
	hanging = map[string]bool{"overhead line": true, "eave": true, "low branch": true}
	low     = map[string]bool{"curb": true, "drop": true, "soft ground": true}
)

// fenceHalf is half the thickness of what is drawn as a line, m.
const fenceHalf = 0.05

// setUp reads the vehicle, puts the obstacles in place and finds the pose it shall stand in.
func (r *Result) setUp(in Input) error {
	v, _ := vehicleOf(in.Vehicle.Value)
	r.vehicle = v.with(in.Measured)
	r.rig = r.vehicle.rig()
	if err := r.rig.Validate(); err != nil {
		return check.Faults{{Field: "backing.measured", Why: "these sizes make no vehicle (" + err.Error() + ").", Type: "Tape them again; lengths are from axle to axle."}}
	}
	s := scene{half: in.Street.Width.Value.Metres() / 2}
	for _, p := range in.Street.Line {
		s.street = append(s.street, p.at())
	}
	for i, t := range in.Things {
		if o, ok := t.obstacle(i); ok {
			s.obstacles, s.kinds = append(s.obstacles, o), append(s.kinds, t.Kind)
		}
	}
	s.parked = in.parkedPose(r.rig, s.street)
	s.addFarCurb()
	s.addNearCurb(in.Street.Throat)
	s.within = s.ground(in, r.rig)
	r.scene, r.Parked = s, s.parked
	return nil
}

// gates are the gaps it must pass, the throat of the drive among them.
func (in Input) gates() []Gate {
	if len(in.Street.Throat) != 2 {
		return in.Gates
	}
	return append(append([]Gate{}, in.Gates...), Gate{"the throat of the drive", in.Street.Throat})
}

func (p Spot) at() geometry.Point {
	return geometry.Point{X: p.X.Value.Metres(), Y: p.Y.Value.Metres()}
}

// obstacle is the thing as it stops a body; false for what does not stand up. An overhead line whose height nobody gave stops
// nothing: it is a caution.
func (t Thing) obstacle(i int) (rollout.Obstacle, bool) {
	hangs := hanging[t.Kind]
	if !standing[t.Kind] || hangs && t.Height <= 0 {
		return rollout.Obstacle{}, false
	}
	o := rollout.Obstacle{Name: t.Name, At: t.Centre, Radius: t.Radius, Line: t.Line, Wheels: low[t.Kind],
		Solid: (t.Kind == "building" || t.Kind == "soft ground") && len(t.Line) > 2}
	if o.Name == "" {
		o.Name = fmt.Sprintf("%s %d", t.Kind, i+1)
	}
	if hangs {
		o.Free = t.Height
	}
	if len(t.Line) > 0 {
		o.Radius = 0
		if !o.Solid && !hangs {
			o.Radius = fenceHalf
		}
	}
	return o, true
}

// parkedPose is the rig straight, with the middle of what is parked on the point given, or on the middle of the slab along its
// longer axis.
func (in Input) parkedPose(r rollout.Rig, street []geometry.Point) rollout.Pose {
	box := geometry.MinimumRectangle(in.Outline.Outer)
	middle, heading := in.Outline.Centroid(), box.Heading
	if in.Parked.X.Given() || in.Parked.Y.Given() {
		middle = geometry.Point{X: in.Parked.X.Value.Metres(), Y: in.Parked.Y.Value.Metres()}
	}
	near, _ := nearestOn(street, middle)
	toStreet := near.Sub(middle).Dot(geometry.Direction(heading)) >= 0
	if toStreet != (in.Parked.Nose.Value == ToStreet) {
		heading += math.Pi
	}
	if in.Parked.Heading.Given() {
		heading = float64(in.Parked.Heading.Value)
	}
	body := r.Tow
	if r.Towing() {
		body = r.Trailer
	}
	axle := middle.Sub(geometry.Direction(heading).Scale((body.Ahead - body.Behind) / 2))
	if r.Towing() {
		return r.TrailerPose(axle, heading, 0)
	}
	return rollout.Pose{At: axle, Heading: heading, Trailer: heading}
}

// nearestOn is the point of a line nearest to p and the piece it lies on.
func nearestOn(line []geometry.Point, p geometry.Point) (geometry.Point, geometry.Segment) {
	best, piece, least := line[0], geometry.Segment{A: line[0], B: line[len(line)-1]}, math.Inf(1)
	for i := 1; i < len(line); i++ {
		s := geometry.Segment{A: line[i-1], B: line[i]}
		if q, _ := s.Nearest(p); q.Distance(p) < least {
			best, piece, least = q, s, q.Distance(p)
		}
	}
	return best, piece
}

// curb is the street's edge on the parked vehicle's side (1) or across the street (−1).
func (s *scene) curb(side float64) []geometry.Point {
	var out []geometry.Point
	for i := range s.street {
		a, b := s.street[max(0, i-1)], s.street[min(len(s.street)-1, i+1)]
		left := b.Sub(a).Unit().Left()
		if left.Dot(s.parked.At.Sub(s.street[i])) < 0 {
			left = left.Scale(-1)
		}
		out = append(out, s.street[i].Add(left.Scale(side*s.half)))
	}
	return out
}

// addFarCurb keeps the rig out of the lots across the street.
func (s *scene) addFarCurb() {
	s.add("curb", rollout.Obstacle{Name: "the far curb", Line: s.curb(-1)})
}

func (s *scene) add(kind string, o rollout.Obstacle) {
	s.obstacles, s.kinds = append(s.obstacles, o), append(s.kinds, kind)
}

// addNearCurb keeps wheels off the near curb but for the throat, where it is cut.
func (s *scene) addNearCurb(throat []Spot) {
	if len(throat) != 2 {
		return
	}
	curb := rollout.Obstacle{Name: "the curb", Line: s.curb(1), Wheels: true}
	from, to := alongOf(curb.Line, throat[0].at()), alongOf(curb.Line, throat[1].at())
	for _, piece := range without(curb, min(from, to), max(from, to)) {
		s.add("curb", piece)
	}
}

// alongOf is how far along a line its point nearest to p lies.
func alongOf(line []geometry.Point, p geometry.Point) float64 {
	best, at, way := math.Inf(1), 0.0, 0.0
	for i := 1; i < len(line); i++ {
		s := geometry.Segment{A: line[i-1], B: line[i]}
		if q, _ := s.Nearest(p); q.Distance(p) < best {
			best, at = q.Distance(p), way+q.Distance(s.A)
		}
		way += s.Length()
	}
	return at
}

// How far along the street and past everything else the search looks, in lengths of the rig.
const (
	alongStreet = 1.6
	pastAll     = 0.5
)

// ground is the box the search stays in: the parked place, the gates, and the street where it passes them.
func (s *scene) ground(in Input, r rollout.Rig) geometry.Box {
	length := r.Tow.Length() + max(0, r.Tongue+r.Trailer.Behind)
	foot, piece := nearestOn(s.street, s.parked.At)
	along := piece.Direction().Scale(alongStreet * length)
	box := geometry.EmptyBox().Grow(s.parked.At).Grow(foot.Add(along)).Grow(foot.Sub(along))
	for _, g := range in.gates() {
		for _, p := range g.Line {
			box = box.Grow(p.at())
		}
	}
	return box.Expand(pastAll * length)
}

// berths are the street's pieces, to be driven either way.
func (s *scene) berths() []rollout.Berth {
	var out []rollout.Berth
	for i := 1; i < len(s.street); i++ {
		line := geometry.Segment{A: s.street[i-1], B: s.street[i]}
		out = append(out, rollout.Berth{Line: line, Heading: line.B.Sub(line.A).Heading(), Either: true})
	}
	return out
}

// task is the search from the parked place to the street.
func (r *Result) task(in Input, lock, margin float64) rollout.Task {
	rig := r.rig
	rig.Lock *= lock
	t := rollout.Task{Rig: rig, Obstacles: r.scene.obstacles, From: r.scene.parked, To: r.scene.berths(), Within: r.scene.within,
		Side: max(0.5, r.scene.half-rig.Tow.Width/2-0.3), Turn: streetTurn, Bend: streetBend, Margin: margin,
		Room: max(in.Room.Value.Metres(), margin+0.05), Costs: rollout.UsualCosts(), Lattice: rollout.UsualLattice(), Greed: greed, Most: mostPoses, Stop: r.asker.Done()}
	// The search runs outwards: what it drives forwards is driven in reverse on the way in.
	t.Costs.Forward, t.Costs.Reverse = t.Costs.Reverse, t.Costs.Forward
	if r.vehicle.forwardOnly {
		t.OneWay = -1
	}
	return t
}

// How straight the rig stands on the street before it starts; how greedy the search is, and when it gives up.
const (
	streetTurn = 8 * math.Pi / 180
	streetBend = 8 * math.Pi / 180
	greed      = 1.5
	mostPoses  = 1_500_000
)
