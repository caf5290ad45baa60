package joints

import (
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Pin is a joint that a person has put where it must be; the rest is laid out round it. It is placed by its running tape,
// as the joint plan prints it, or by a place it runs through.
type Pin struct {
	Side string       `yaml:"side" says:"the side it is taped along, as on the joint plan: first or second"`
	Tape known.Length `yaml:"tape" says:"running distance from the tape corner" unit:"ft|m" usual:"0..400|0..120" show:"side"`
	X    known.Length `yaml:"x" says:"a place it runs through, to the right; instead of the tape" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"side"`
	Y    known.Length `yaml:"y" says:"that place, up the drawing" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"side"`
	Stop bool         `yaml:"stop" says:"yes: a day's placing stops there"`
}

// Place is a point of the site as a person types it.
type Place struct {
	X known.Length `yaml:"x" says:"to the right" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"side"`
	Y known.Length `yaml:"y" says:"up the drawing" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"side"`
}

func (p Place) at() geometry.Point {
	return geometry.Point{X: p.X.Value.Metres(), Y: p.Y.Value.Metres()}
}

func (p Place) typed() bool { return p.X.Given() && p.Y.Given() && p.at().IsFinite() }

// PourStop is a line where a day's placing stops.
type PourStop struct {
	From Place `yaml:"from" says:"one end"`
	To   Place `yaml:"to" says:"the other end"`
}

// The sides a pin is taped along.
const (
	FirstSide  = "first"
	SecondSide = "second"
)

// faults refuses a pin that says no place.
func (p Pin) faults(field string) check.Faults {
	var f check.Faults
	if p.Side != FirstSide && p.Side != SecondSide {
		f = append(f, check.Fault{Field: field + ".side", Given: p.Side, Why: "a joint is taped along the first side or the second, as on the joint plan.", Type: "Type first or second."})
	}
	if !p.Tape.Given() && !(p.X.Given() && p.Y.Given()) {
		f = append(f, check.Fault{Field: field, Why: "a pinned joint needs its place.", Type: "Type tape, or x and y of a place it runs through."})
	}
	if !quantity.Finite(p.Tape.Value.Metres(), p.X.Value.Metres(), p.Y.Value.Metres()) {
		f = append(f, check.Fault{Field: field, Given: p.Tape.Text, Why: "its place is not a number.", Type: "Type a tape like 13 ft 4 in."})
	}
	return f
}

// lines are the joints through a pin, from edge to edge: by its tape every piece of the line that runs in the slab.
func (p Pin) lines(m *improver, in Input, f frame) []geometry.Segment {
	upright := p.Side == FirstSide
	along := geometry.Point{X: 1}
	if upright {
		along = geometry.Point{Y: 1}
	}
	if !p.Tape.Given() {
		at := f.enter(geometry.Point{X: p.X.Value.Metres(), Y: p.Y.Value.Metres()})
		if s, ok := m.through(at, along); ok {
			return []geometry.Segment{s}
		}
		return nil
	}
	at := f.enter(in.Outline.Outer[in.tapeCorner(f)])
	if upright {
		at.X += p.Tape.Value.Metres()
	} else {
		at.Y += p.Tape.Value.Metres()
	}
	var out []geometry.Segment
	for _, s := range m.ground.ClipLine(geometry.Line{Through: at, Along: along}) {
		if s.Length() > 2*slack {
			out = append(out, s)
		}
	}
	return out
}

// title is how people call a pinned joint.
func (p Pin) title(in Input) string {
	if p.Tape.Given() {
		return fmt.Sprintf("The joint pinned at %s along the %s side", show(p.Tape.Value, in.Units), p.Side)
	}
	return fmt.Sprintf("The joint pinned through (%s, %s)", show(p.X.Value, in.Units), show(p.Y.Value, in.Units))
}

// searchGround is what joints are laid out on: the squared slab, or the true one where it has no square corners.
func (f frame) searchGround() geometry.Polygon {
	if f.square.IsEmpty() {
		return f.ground
	}
	return f.square
}

// forced are the joints that other slabs, pour stops and pins ask for, in frame axes from edge to edge.
func (in Input) forced(f frame) []geometry.Segment {
	m := &improver{ground: f.searchGround()}
	var out []geometry.Segment
	add := func(lines ...geometry.Segment) {
		for _, s := range lines {
			if !slices.ContainsFunc(out, func(o geometry.Segment) bool { return same(o, s) }) {
				out = append(out, s)
			}
		}
	}
	through := func(at geometry.Point, upright bool) {
		along := geometry.Point{X: 1}
		if upright {
			along = geometry.Point{Y: 1}
		}
		if s, ok := m.through(at, along); ok {
			add(s)
		}
	}
	for _, pin := range in.Pinned {
		add(pin.lines(m, in, f)...)
	}
	for _, q := range in.Meet {
		if at, edge, ok := m.ground.NearestEdge(f.enter(q.at())); ok {
			through(at, math.Abs(edge.Outward.Y) > math.Abs(edge.Outward.X))
		}
	}
	for _, stop := range in.PourStops {
		a, b := f.enter(stop.From.at()), f.enter(stop.To.at())
		through(a.Lerp(b, 0.5), math.Abs(b.Y-a.Y) > math.Abs(b.X-a.X))
	}
	return out
}

// stops are the lines where a person has said that placing stops.
func (in Input) stops(f frame) []geometry.Segment {
	only := in
	only.Meet, only.Pinned = nil, slices.DeleteFunc(slices.Clone(in.Pinned), func(p Pin) bool { return !p.Stop })
	return only.forced(f)
}

// pinChecks say of every pin whether it could be kept, and what it costs.
func (r *Result) pinChecks(in Input, f frame, rules limits, chosen choice) []check.Check {
	m := &improver{ground: f.searchGround()}
	var out []check.Check
	for i, pin := range in.Pinned {
		c := check.Check{ID: "joints.pin", Level: check.Good, Source: sources.OwnRule, Says: pin.title(in) + " is kept; the rest is laid out round it."}
		switch lines := pin.lines(m, in, f); {
		case len(lines) == 0:
			c.Level, c.Says = check.Stop, pin.title(in)+" does not cross the slab: it is left out."
			c.Then = []string{in.reach(f, pin.Side)}
		case chosen.faults() > 0:
			in.blame(&c, i, f, rules, chosen.faults())
		}
		out = append(out, c)
	}
	return out
}

// reach says between which tapes a pin can be.
func (in Input) reach(f frame, side string) string {
	box, origin := f.ground.Bounds(), f.enter(in.Outline.Outer[in.tapeCorner(f)])
	low, high := box.Min.X-origin.X, box.Max.X-origin.X
	if side == SecondSide {
		low, high = box.Min.Y-origin.Y, box.Max.Y-origin.Y
	}
	return fmt.Sprintf("Type a tape between %s and %s.", show(quantity.Length(max(low, 0)), in.Units), show(quantity.Length(high), in.Units))
}

// blame finds out whether the layout breaks rules because of pin i, and where it would not.
func (in Input) blame(c *check.Check, i int, f frame, rules limits, faults int) {
	trial := in
	trial.FirstLook = true
	try := func(pins []Pin) int {
		trial.Pinned = pins
		choices, _ := trial.layOut(f, rules, trial.forced(f))
		return choices[0].faults()
	}
	without := try(slices.Delete(slices.Clone(in.Pinned), i, i+1))
	if without >= faults {
		return
	}
	pin := in.Pinned[i]
	c.Level = check.Stop
	c.Says = fmt.Sprintf("%s makes the layout break the joint rules %s; without it %s.", pin.title(in), times(faults), broken(without))
	c.Then = []string{"Take the pin out, or move it."}
	if !pin.Tape.Given() {
		return
	}
	step := rules.spacing / 12
	for k := 1; k <= 12; k++ {
		for _, sign := range []float64{-1, 1} {
			moved := slices.Clone(in.Pinned)
			moved[i].Tape.Value += quantity.Length(sign * step * float64(k))
			if moved[i].Tape.Value > 0 && len(moved[i].lines(&improver{ground: f.searchGround()}, in, f)) > 0 && try(moved) <= without {
				c.Then = []string{fmt.Sprintf("Move it to %s, or take the pin out.", show(moved[i].Tape.Value, in.Units))}
				return
			}
		}
	}
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

func broken(n int) string {
	if n == 0 {
		return "none is broken"
	}
	return fmt.Sprintf("they are broken %s", times(n))
}
