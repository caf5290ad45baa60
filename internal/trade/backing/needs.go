package backing

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
)

// gateWidths measures at every gate what the tried drives take, and with the driver's margin on both sides what it needs.
func (r *Result) gateWidths(in Input) {
	for _, g := range in.gates() {
		line := geometry.Segment{A: g.Line[0].at(), B: g.Line[1].at()}
		from, to := math.Inf(1), math.Inf(-1)
		for _, poses := range r.trials.Poses {
			if a, b, ok := r.rig.Across(poses, line); ok {
				from, to = min(from, a), max(to, b)
			}
		}
		n := Needed{Name: g.Name, Has: quantity.Length(line.Length()), Line: line}
		if from < to {
			n.Least = quantity.Length(to - from + 2*in.Margin.Value.Metres())
		}
		r.Gates = append(r.Gates, n)
	}
}

// padWidth is how wide the slab must be for the wheels of what is parked, as far off as an ordinary driver ends, with the edge
// distance on both sides.
func (r *Result) padWidth(in Input) {
	box := geometry.MinimumRectangle(in.Outline.Outer)
	r.PadWidth = Needed{Name: "the slab", Has: quantity.Length(box.Width)}
	r.PadWidth.Least = quantity.Length(in.Track.Value.Metres() + 2*r.trials.Aside + 2*in.Edge.Value.Metres())
}

// Shift is what moving the parked place by a foot would buy.
type Shift struct {
	Says         string          `json:"says"`
	By           geometry.Point  `json:"by"`
	Possible     bool            `json:"possible"`
	PullForwards int             `json:"pull_forwards"`
	Room         quantity.Length `json:"room"`
}

// foot is how far the slab is moved to see what it buys; quickLook is how many poses such a look may cost.
var foot = quantity.Feet(1)

const quickLook = 50_000

// wonder looks at the slab moved a foot each way and at narrower gates.
func (r *Result) wonder(in Input) error {
	if !in.WhatIf.Value {
		return nil
	}
	ahead := geometry.Direction(r.Parked.Trailer)
	ways := []struct {
		says string
		by   geometry.Point
	}{
		{"toward the nose", ahead}, {"toward the tail", ahead.Scale(-1)}, {"to its left", ahead.Left()}, {"to its right", ahead.Left().Scale(-1)},
	}
	for _, w := range ways {
		t := r.task(in, roomily.lock, in.Margin.Value.Metres())
		t.Most = quickLook
		by := w.by.Scale(foot.Metres())
		t.From.At = t.From.At.Add(by)
		answer, err := rollout.Search(t)
		if err != nil {
			return fmt.Errorf("backing: slab moved %s: %w", w.says, err)
		}
		s := Shift{Says: w.says, By: by, Possible: answer.Verdict == rollout.Found}
		if s.Possible {
			d := rollout.Smooth(t, answer.Drive)
			s.PullForwards = pullForwards(r.rig.Back(d))
			s.Room = quantity.Length(r.rig.Clearance(d, r.scene.obstacles).Clearance)
		}
		r.Shifts = append(r.Shifts, s)
	}
	return r.leastGates(in)
}

// gateSteps halve the search for the least gate to a few inches.
const gateSteps = 4

// leastGates narrows every gate by posts set into it until no drive is found any more: another drive than the one planned may
// do with less. Where the drive does not keep its margin, the gate wants what is missing on both sides.
func (r *Result) leastGates(in Input) error {
	for i, g := range r.Gates {
		if g.Least == 0 {
			continue
		}
		if short := in.Margin.Value - r.Tightest.Room; short > 0 {
			r.Gates[i].Least = g.Has + 2*short
			continue
		}
		low, high := widest(r.rig)+2*in.Margin.Value.Metres(), min(g.Has, g.Least).Metres()
		for range gateSteps {
			if high-low < 0.04 {
				break
			}
			mid := (low + high) / 2
			ok, err := r.passes(in, g.Line, mid)
			if err != nil {
				return err
			}
			if ok {
				high = mid
			} else {
				low = mid
			}
		}
		r.Gates[i].Least = quantity.Length(high)
	}
	return nil
}

func widest(r rollout.Rig) float64 { return max(r.Tow.Width, r.Trailer.Width) }

// passes says whether a quick look finds a drive with a gate narrowed from both sides.
func (r *Result) passes(in Input, line geometry.Segment, width float64) (bool, error) {
	t := r.task(in, roomily.lock, in.Margin.Value.Metres())
	t.Most = quickLook
	fill := (line.Length() - width) / 2
	u := line.Direction()
	t.Obstacles = append(append([]rollout.Obstacle{}, t.Obstacles...),
		rollout.Obstacle{Name: "narrowed gate", Line: []geometry.Point{line.A, line.A.Add(u.Scale(fill))}},
		rollout.Obstacle{Name: "narrowed gate", Line: []geometry.Point{line.B, line.B.Sub(u.Scale(fill))}})
	answer, err := rollout.Search(t)
	if err != nil {
		return false, fmt.Errorf("backing: narrower gate: %w", err)
	}
	return answer.Verdict == rollout.Found, nil
}
