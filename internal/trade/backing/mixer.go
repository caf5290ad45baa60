package backing

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
	"slabwright/internal/trade/known"
)

// Visit is whether the mixer gets to a place and away again.
type Visit struct {
	Name     string          `json:"name"`
	At       geometry.Point  `json:"at"`
	Assumed  bool            `json:"assumed"` // nobody named the place: it lies along a free side
	Reached  bool            `json:"reached"`
	Turns    int             `json:"turns"` // changes of direction on the way in
	BacksIn  quantity.Length `json:"backs_in"`
	BacksOut quantity.Length `json:"backs_out"`
	Room     quantity.Length `json:"room"`
	Near     string          `json:"near"`
	Stopped  string          `json:"stopped_by,omitempty"`
	Over     []Crossed       `json:"over,omitempty"`  // what lies under its way
	Below    []Passed        `json:"below,omitempty"` // what hangs over its way
	Way      rollout.Drive   `json:"way_in"`
	Moves    []Move          `json:"moves"`

	rig rollout.Rig
}

// Crossed is a thing that a loaded mixer rolls over.
type Crossed struct {
	Name  string          `json:"name"`
	Kind  string          `json:"kind"`
	Cover quantity.Length `json:"cover"`    // over what is buried; zero: not known
	Press quantity.Stress `json:"pressure"` // of a rear wheel pair at that depth; zero where the cover is not known
}

// Passed is a line, eave or branch that the mixer passes beneath.
type Passed struct {
	Name   string          `json:"name"`
	Height quantity.Length `json:"height"` // free under it; zero: nobody measured it
	Gap    quantity.Length `json:"gap"`    // between it and the truck
	Wants  quantity.Length `json:"wants"`  // what it asks of equipment
}

// mostStands bounds the places looked at; headings are the ways the mixer may stand there, from nose away from the slab.
const mostStands = 8

var headings = []float64{0, math.Pi / 4, -math.Pi / 4, math.Pi / 2, -math.Pi / 2, 3 * math.Pi / 4, -3 * math.Pi / 4, math.Pi}

// visitStands looks at every place the mixer's end shall stand: it keeps off the slab, whose forms are set by then.
func (r *Result) visitStands(in Input) error {
	if !in.Enters.Value {
		return nil
	}
	v, _ := vehicleOf(Mixer)
	for i, s := range in.Stands[:min(mostStands, len(in.Stands))] {
		at := geometry.Point{X: s.X.Value.Metres(), Y: s.Y.Value.Metres()}
		visit := Visit{Name: s.Name, At: at, Assumed: s.X.Origin == known.Computed, rig: v.rig()}
		if visit.Name == "" {
			visit.Name = fmt.Sprintf("stand %d", i+1)
		}
		if err := r.visit(in, &visit); err != nil {
			return err
		}
		r.Stands = append(r.Stands, visit)
	}
	return nil
}

// mixerLook is how many poses a look at one way of standing may cost: a truck without a trailer has few.
const mixerLook = 20_000

func (r *Result) visit(in Input, v *Visit) error {
	near, _, ok := in.Outline.NearestEdge(v.At)
	away := v.At.Sub(near).Heading()
	if !ok || v.At.Distance(near) < 0.01 {
		away = v.At.Sub(in.Outline.Centroid()).Heading()
	}
	obstacles := append(append([]rollout.Obstacle{}, r.scene.obstacles...), rollout.Obstacle{Name: "the slab", Line: in.Outline.Outer, Solid: true})
	for _, turn := range headings {
		heading := away + turn
		t := r.task(in, 1, mixerMargin)
		t.Rig, t.Obstacles, t.OneWay, t.Most = v.rig, obstacles, 0, mixerLook
		t.Rig.Lock *= easily.lock
		t.Side = max(0.5, r.scene.half-v.rig.Tow.Width/2-0.3)
		t.From = rollout.Pose{At: v.At.Add(geometry.Direction(heading).Scale(v.rig.Tow.Behind)), Heading: heading, Trailer: heading}
		t.Within = r.scene.within.Grow(t.From.At)
		answer, err := rollout.Search(t)
		if err != nil {
			return fmt.Errorf("backing: mixer to %s: %w", v.Name, err)
		}
		if answer.Verdict != rollout.Found {
			if v.Stopped == "" && len(answer.Stoppers) > 0 && answer.Stoppers[0] >= 0 {
				v.Stopped = obstacles[answer.Stoppers[0]].Name
			}
			continue
		}
		out := rollout.Smooth(t, answer.Drive)
		v.describe(in, out, obstacles)
		return nil
	}
	return nil
}

// mixerMargin is the room a mixer driver keeps to what he must not touch, mirrors counted, m: mirrors stand out a foot on each side.
const mixerMargin = 0.3

func (v *Visit) describe(in Input, out rollout.Drive, obstacles []rollout.Obstacle) {
	way := v.rig.Back(out)
	v.Reached, v.Stopped, v.Way, v.Turns = true, "", way, way.Turns()
	v.Moves = moves(in, v.rig, way)
	v.BacksIn, v.BacksOut = quantity.Length(way.ReverseLength()), quantity.Length(out.ReverseLength())
	tight := v.rig.Clearance(way, obstacles)
	v.Room = quantity.Length(tight.Clearance)
	if tight.Obstacle >= 0 {
		v.Near = obstacles[tight.Obstacle].Name
	}
	v.cross(in)
}

// lying are the kinds of thing that a loaded truck must not roll over unasked.
var lying = map[string]bool{"lid": true, "pipe": true, "power": true, "gas": true, "communication": true, "water": true, "sewer": true, "old slab": true, "culvert": true}

// cross notes what lies under the mixer's way and what hangs over it.
func (v *Visit) cross(in Input) {
	poses := v.rig.Along(v.Way, 0.3)
	for _, t := range in.Things {
		switch {
		case lying[t.Kind] && t.under(v.rig, poses):
			c := Crossed{Name: t.Name, Kind: t.Kind, Cover: quantity.Length(t.Depth)}
			if t.Depth > 0 {
				c.Press = pressureAt(in.Weight.Value, c.Cover)
			}
			v.Over = append(v.Over, c)
		case hanging[t.Kind] && t.under(v.rig, poses):
			p := Passed{Name: t.Name, Height: quantity.Length(t.Height), Wants: quantity.Length(t.Zone)}
			if t.Height > 0 {
				p.Gap = p.Height - quantity.Length(v.rig.Tow.Height)
			}
			v.Below = append(v.Below, p)
		}
	}
}

// A mixer's rear tandem carries rearShare of it on four pairs of wheels; a pair stands on a print of ten by twenty inches.
const (
	rearShare = 0.7
	pairs     = 4
)

var printAlong, printWide = quantity.Inches(10), quantity.Inches(20)

// pressureAt is what a pair of a loaded mixer's rear wheels presses at a depth, Pa.
//
//	p = 0.7 W g / 4 / ((a + d)(b + d))      a, b print of the pair, d depth
//
// The load spreads one to two on every side. Source: common practice.
func pressureAt(weight quantity.Mass, depth quantity.Length) quantity.Stress {
	load := rearShare * float64(weight) * standardGravity / pairs
	return quantity.Stress(load / (float64(printAlong+depth) * float64(printWide+depth)))
}

// standardGravity, m/s².
const standardGravity = 9.80665

func (t Thing) under(rig rollout.Rig, poses []rollout.Pose) bool {
	for i := 1; i < len(t.Line); i++ {
		if _, _, ok := rig.Across(poses, geometry.Segment{A: t.Line[i-1], B: t.Line[i]}); ok {
			return true
		}
	}
	if len(t.Line) > 0 {
		return false
	}
	for _, p := range poses {
		for _, b := range rig.Bodies(p) {
			if b.Distance(t.Centre) <= t.Radius {
				return true
			}
		}
	}
	return false
}
