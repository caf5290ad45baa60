package backing

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
)

// Visit is whether the mixer gets to a place and away again.
type Visit struct {
	Name     string          `json:"name"`
	At       geometry.Point  `json:"at"`
	Reached  bool            `json:"reached"`
	Turns    int             `json:"turns"` // changes of direction on the way in
	BacksIn  quantity.Length `json:"backs_in"`
	BacksOut quantity.Length `json:"backs_out"`
	Room     quantity.Length `json:"room"`
	Near     string          `json:"near"`
	Stopped  string          `json:"stopped_by,omitempty"`
	Over     []string        `json:"over,omitempty"` // what lies under its way
	Way      rollout.Drive   `json:"way_in"`
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
		visit := Visit{Name: s.Name, At: at}
		if visit.Name == "" {
			visit.Name = fmt.Sprintf("stand %d", i+1)
		}
		if err := r.visit(in, v.rig(), &visit); err != nil {
			return err
		}
		r.Stands = append(r.Stands, visit)
	}
	return nil
}

func (r *Result) visit(in Input, rig rollout.Rig, v *Visit) error {
	near, _, ok := in.Outline.NearestEdge(v.At)
	away := v.At.Sub(near).Heading()
	if !ok || v.At.Distance(near) < 0.01 {
		away = v.At.Sub(in.Outline.Centroid()).Heading()
	}
	obstacles := append(append([]rollout.Obstacle{}, r.scene.obstacles...), rollout.Obstacle{Name: "the slab", Line: in.Outline.Outer, Solid: true})
	for _, turn := range headings {
		heading := away + turn
		t := r.task(in, 1, mixerMargin)
		t.Rig, t.Obstacles, t.OneWay, t.Most = rig, obstacles, 0, quickLook
		t.Rig.Lock *= easily.lock
		t.Side = max(0.5, r.scene.half-rig.Tow.Width/2-0.3)
		t.From = rollout.Pose{At: v.At.Add(geometry.Direction(heading).Scale(rig.Tow.Behind)), Heading: heading, Trailer: heading}
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
		v.describe(rig, out, obstacles)
		v.Over = crossed(in.Things, rig, out)
		return nil
	}
	return nil
}

// mixerMargin is the room a mixer driver keeps to what he must not touch, mirrors counted, m: mirrors stand out a foot on each side.
const mixerMargin = 0.3

func (v *Visit) describe(rig rollout.Rig, out rollout.Drive, obstacles []rollout.Obstacle) {
	way := rig.Back(out)
	v.Reached, v.Stopped, v.Way, v.Turns = true, "", way, way.Turns()
	v.BacksIn, v.BacksOut = quantity.Length(way.ReverseLength()), quantity.Length(out.ReverseLength())
	tight := rig.Clearance(way, obstacles)
	v.Room = quantity.Length(tight.Clearance)
	if tight.Obstacle >= 0 {
		v.Near = obstacles[tight.Obstacle].Name
	}
}

// lying are the kinds of thing that a loaded truck must not roll over unasked.
var lying = map[string]bool{"lid": true, "pipe": true, "power": true, "gas": true, "communication": true, "water": true, "sewer": true, "old slab": true}

// crossed are the things that lie under a drive.
func crossed(things []Thing, rig rollout.Rig, d rollout.Drive) []string {
	poses := rig.Along(d, 0.3)
	var out []string
	for _, t := range things {
		if lying[t.Kind] && t.under(rig, poses) {
			out = append(out, t.Name)
		}
	}
	return out
}

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
