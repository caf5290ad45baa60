package backing

import (
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Flat is a flat piece of the finished slab: level = a + b·x + c·y, metres.
type Flat struct {
	Outline geometry.Polygon `yaml:"outline"`
	A       float64          `yaml:"a"`
	B       float64          `yaml:"b"`
	C       float64          `yaml:"c"`
}

func (f Flat) at(p geometry.Point) float64 { return f.A + f.B*p.X + f.C*p.Y }

// Shot is a level of the ground as it is, metres.
type Shot struct {
	At    geometry.Point `yaml:"at"`
	Level float64        `yaml:"level"`
}

// floor is what is known of the levels: the finished slab, and the ground between the shots.
type floor struct {
	flats  []Flat
	ground *terrain.Surface
}

func (in Input) floor() floor {
	f := floor{flats: in.Flats}
	var shots []terrain.Shot
	seen := map[geometry.Point]int{} // a place that was shot twice counts once
	for _, s := range in.Shots {
		if _, again := seen[s.At]; !again {
			seen[s.At] = len(shots)
			shots = append(shots, terrain.Shot{X: s.At.X, Y: s.At.Y, Z: s.Level})
		}
	}
	breaks := make([][]int, len(in.Breaks))
	for i, line := range in.Breaks {
		for _, at := range line {
			breaks[i] = append(breaks[i], seen[in.Shots[at].At])
		}
	}
	if s, err := terrain.Triangulate(shots, breaks); err == nil { // fewer than three or all on one line: no ground between them
		f.ground = s
	}
	return f
}

// slab is the level of the finished slab; false beside it.
func (f floor) slab(p geometry.Point) (float64, bool) {
	for _, flat := range f.flats {
		if flat.Outline.Contains(p) {
			return flat.at(p), true
		}
	}
	return 0, false
}

// under is the level of the ground as it is; false where no shots surround the place.
func (f floor) under(p geometry.Point) (float64, bool) {
	if f.ground == nil {
		return 0, false
	}
	return f.ground.At(p)
}

// level is what a wheel stands on there.
func (f floor) level(p geometry.Point) (float64, bool) {
	if z, ok := f.slab(p); ok {
		return z, true
	}
	return f.under(p)
}

// Beneath is where the rig comes nearest to the ground on its way.
type Beneath struct {
	Found bool             `json:"found"`
	Typed bool             `json:"typed"` // the levels were typed, not taken from slab and shots
	Known quantity.Percent `json:"known"` // of the way, whose levels are known
	Room  quantity.Length  `json:"room"`  // below zero it drags
	What  string           `json:"what,omitempty"`
	After quantity.Length  `json:"after"` // along the way
	At    geometry.Point   `json:"at,omitzero"`
}

// Step is the highest edge of the slab that a wheel climbs or leaves.
type Step struct {
	Found  bool            `json:"found"`
	Height quantity.Length `json:"height"` // of the slab above the ground beside it
	At     geometry.Point  `json:"at,omitzero"`
	Wheel  string          `json:"wheel,omitempty"`
}

// rollStep is how far apart the poses are that roll over the ground, m.
const rollStep = 0.1

// rollOver rolls the rig over the levels along its way: those that were typed, or those of the slab and the shots.
func (r *Result) rollOver(in Input) error {
	if len(in.Profile) >= 2 {
		return r.rollTyped(in)
	}
	if !r.Possible {
		return nil
	}
	f := in.floor()
	poses := r.rig.Along(r.In, rollStep)
	s, rolled := r.vehicle.under().Over(poses, f.level)
	r.Under.Known = quantity.Percent(float64(rolled) / float64(len(poses)))
	if rolled > 0 && s.What != "" {
		r.Under = Beneath{Found: true, Known: r.Under.Known, Room: quantity.Length(s.Room), What: s.What, After: quantity.Length(s.Station), At: s.Near}
	}
	r.EdgeStep = edgeStep(f, r.tracks(poses))
	r.Working.Show(working.Step{Name: "levels_known", Says: "share of the way whose levels are known", Formula: "finished slab, and triangles between the ground shots beside it",
		Value: quantity.Show(r.Under.Known, quantity.AsPercent), From: []string{"poses"}, Source: sources.TriangleSurface})
	return nil
}

// rollTyped rolls the rig, in the side view, over the levels that were typed. They run from the street: what is backed in rolls
// over them as it would roll out, nose toward the street.
func (r *Result) rollTyped(in Input) error {
	var ground rollout.Profile
	for _, l := range in.Profile {
		ground = append(ground, geometry.Point{X: l.Along.Value.Metres(), Y: l.Level.Value.Metres()})
	}
	first, last := ground[0].X, ground[len(ground)-1].X
	backs := r.backedIn(in)
	if backs {
		turned := make(rollout.Profile, len(ground))
		for i, p := range ground {
			turned[len(ground)-1-i] = geometry.Point{X: first + last - p.X, Y: p.Y}
		}
		ground = turned
	}
	s, err := r.vehicle.under().Cross(ground, 0.05)
	if err != nil {
		return err
	}
	if backs {
		s.Station = first + last - s.Station
	}
	r.Under = Beneath{Found: true, Typed: true, Known: 1, Room: quantity.Length(s.Room), What: s.What, After: quantity.Length(s.Station - first)}
	return nil
}

// backedIn says whether the rig comes to its place in reverse.
func (r *Result) backedIn(in Input) bool {
	if n := len(r.In.Pieces); n > 0 {
		return r.In.Pieces[n-1].Distance < 0
	}
	return in.Parked.Nose.Value == ToStreet && !r.vehicle.forwardOnly
}

// track is the way of one wheel.
type track struct {
	wheel string
	way   []geometry.Point
}

// tracks are the ways of the wheels over poses: those of the tow vehicle's axles and the trailer's.
func (r *Result) tracks(poses []rollout.Pose) []track {
	out := []track{{wheel: "a left front wheel"}, {wheel: "a right front wheel"}, {wheel: "a left rear wheel"}, {wheel: "a right rear wheel"}}
	if r.rig.Towing() {
		out = append(out, track{wheel: "a left trailer wheel"}, track{wheel: "a right trailer wheel"})
	}
	for _, p := range poses {
		ahead := geometry.Direction(p.Heading)
		aside := ahead.Left().Scale(r.rig.Tow.Track() / 2)
		front := p.At.Add(ahead.Scale(r.rig.Wheelbase))
		at := []geometry.Point{front.Add(aside), front.Sub(aside), p.At.Add(aside), p.At.Sub(aside)}
		if r.rig.Towing() {
			axle, aside := r.rig.TrailerAt(p), geometry.Direction(p.Trailer).Left().Scale(r.rig.Trailer.Track()/2)
			at = append(at, axle.Add(aside), axle.Sub(aside))
		}
		for i := range out {
			out[i].way = append(out[i].way, at[i])
		}
	}
	return out
}

// besideEdge is how far off the slab its edge's ground is taken, m; edgeHalvings find where a wheel crosses the edge to a
// millimetre.
const (
	besideEdge   = 0.15
	edgeHalvings = 8
)

// edgeStep is the highest edge that the wheels cross where the ground beside it is known.
func edgeStep(f floor, tracks []track) Step {
	var worst Step
	for _, t := range tracks {
		for i := 1; i < len(t.way); i++ {
			in, out := t.way[i], t.way[i-1]
			_, inside := f.slab(in)
			if _, before := f.slab(out); before == inside {
				continue
			} else if before {
				in, out = out, in
			}
			u := out.Sub(in).Unit()
			for range edgeHalvings {
				mid := in.Lerp(out, 0.5)
				if _, on := f.slab(mid); on {
					in = mid
				} else {
					out = mid
				}
			}
			top, _ := f.slab(in)
			ground, ok := f.under(out.Add(u.Scale(besideEdge)))
			if h := top - ground; ok && (!worst.Found || math.Abs(h) > math.Abs(worst.Height.Metres())) {
				worst = Step{Found: true, Height: quantity.Length(h), At: in, Wheel: t.wheel}
			}
		}
	}
	return worst
}
