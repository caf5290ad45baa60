package backing

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// groundRoom is what should stay free under a loaded rig at walking pace; mostStep what a loaded wheel climbs without being
// run at it.
var (
	groundRoom = quantity.Inches(1)
	mostStep   = quantity.Inches(1.5)
)

// crossing says where the rig comes nearest to the ground.
func (r *Result) crossing(in Input) check.Check {
	u := r.Under
	if !u.Found {
		return check.Check{ID: "backing.humps", Level: check.NotComputed, Source: sources.BreakOver,
			Says: "No levels are known along the way in, so humps and the gutter were not looked at.",
			Then: []string{"Shoot the street, the gutter, the apron and the slab edge along the way: backing: {way_levels: [[0, 100.0], [4, 99.7], [10, 100.4]]}, or add the shots to the site's ground levels."}}
	}
	room, where := quantity.Show(u.Room, quantity.AsDrop), quantity.Show(u.After, quantity.AsDistance).String(in.Units)
	level := check.Care
	if u.Room < 0 {
		level = check.Stop
	}
	c := check.AtLeast("backing.humps", room, quantity.Show(groundRoom, quantity.AsDrop), level,
		fmt.Sprintf("Over humps and gutter %s keeps %s, %s along the way: the least under the whole rig.", u.What, room.String(in.Units), where),
		fmt.Sprintf("%s has only %s under it (below zero it drags), %s along the way.", capital(u.What), room.String(in.Units), where),
		sources.BreakOver, "Ease the break: spread it over a longer stretch, fill the gutter with planks, or raise the hitch and lift the jack.")
	if !u.Typed && u.Known < 0.999 {
		c.Says += fmt.Sprintf(" That is on the slab and between the ground shots, %s of the way; the rest was not looked at.", quantity.Show(u.Known, quantity.AsPercent).Trimmed(in.Units))
		c.Then = append(c.Then, "Shoot the gutter and the street too: site: {ground: …}, or backing: {way_levels: …}.")
	}
	return c
}

// edgeCheck says how high the slab's edge stands where wheels cross it; none where the ground beside it is not known.
func (r *Result) edgeCheck(in Input) []check.Check {
	s := r.EdgeStep
	if !s.Found {
		return nil
	}
	high := quantity.Length(math.Abs(s.Height.Metres()))
	shown := quantity.Show(high, quantity.AsDrop)
	stands := "above"
	if s.Height < 0 {
		stands = "below"
	}
	return []check.Check{check.AtMost("backing.edge-step", shown, quantity.Show(mostStep, quantity.AsDrop), check.Care,
		fmt.Sprintf("Where %s crosses the edge of the slab, the slab stands %s %s the ground: it rolls over.", s.Wheel, shown.String(in.Units), stands),
		fmt.Sprintf("Where %s crosses the edge of the slab, the slab stands %s %s the ground as it is.", s.Wheel, shown.String(in.Units), stands),
		sources.CommonPractice, "Fill and compact stone against that edge, flush with the slab, before anything rolls over it: a wheel on a bare edge breaks it.")}
}

// capital starts a sentence with a name.
func capital(text string) string {
	for i, first := range text {
		return string(unicode.ToUpper(first)) + text[i+utf8.RuneLen(first):]
	}
	return text
}

// falls are how much the left wheels stand above the right ones, and the ground under the hitch above that under the axle; false
// where a level is not known. On a plane:
//
//	side = cross fall · track      nose = long fall · tongue
//
// Source: plane geometry. Checked: BK rows.
func falls(level rollout.Levels, axle geometry.Point, heading, track, tongue float64) (side, nose quantity.Length, ok bool) {
	ahead := geometry.Direction(heading)
	left, okLeft := level(axle.Add(ahead.Left().Scale(track / 2)))
	right, okRight := level(axle.Sub(ahead.Left().Scale(track / 2)))
	hitch, okHitch := level(axle.Add(ahead.Scale(tongue)))
	return quantity.Length(left - right), quantity.Length(hitch - (left+right)/2), okLeft && okRight && okHitch
}

// Block is what stands under one wheel, or one side's wheels, so that the vehicle sits level.
type Block struct {
	Under  string          `json:"under"`
	Height quantity.Length `json:"height"`
}

// leastBlock is what a spirit level on the floor does not show over a track, m.
const leastBlock = 0.003

// level finds the blocks under the parked vehicle, and of a trailer how much its tongue comes up from standing as high as its
// axle; nothing where the slab's levels are not known.
func (r *Result) level(in Input) {
	f := in.floor()
	half := in.Track.Value.Metres() / 2
	axle, heading := r.Parked.At, r.Parked.Heading
	if r.rig.Towing() {
		axle, heading = r.rig.TrailerAt(r.Parked), r.Parked.Trailer
	}
	left := geometry.Direction(heading).Left().Scale(half)
	wheels := []track{{"left wheels", []geometry.Point{axle.Add(left)}}, {"right wheels", []geometry.Point{axle.Sub(left)}}}
	if !r.rig.Towing() {
		front := axle.Add(geometry.Direction(heading).Scale(r.rig.Wheelbase))
		wheels[0].wheel, wheels[1].wheel = "left rear wheel", "right rear wheel"
		wheels = append(wheels, track{"left front wheel", []geometry.Point{front.Add(left)}}, track{"right front wheel", []geometry.Point{front.Sub(left)}})
	}
	high := math.Inf(-1)
	var levels []float64
	for _, w := range wheels {
		z, ok := f.level(w.way[0])
		if !ok {
			return
		}
		levels, high = append(levels, z), max(high, z)
	}
	for i, w := range wheels {
		b := Block{w.wheel, quantity.Length(high - levels[i])}
		r.Blocks = append(r.Blocks, b)
		r.Working.Answer(working.Step{Name: "block_" + strings.ReplaceAll(w.wheel, " ", "_"), Says: "block under the " + w.wheel, Formula: "highest wheel's level − its own, on the finished slope",
			Value: quantity.Show(b.Height, quantity.AsDrop), Source: sources.PlaneGeometry})
	}
	if r.rig.Towing() {
		if z, ok := f.level(r.rig.HitchAt(r.Parked)); ok {
			r.Tongue = quantity.Length(high - z)
			r.Working.Answer(working.Step{Name: "tongue_up", Says: "tongue up from its towing height, to stand level on the blocks", Formula: "highest wheel's level − level under the hitch",
				Value: quantity.Show(r.Tongue, quantity.AsDrop), Source: sources.PlaneGeometry})
		}
	}
}

// levelling says how the parked vehicle is brought level.
func (r *Result) levelling(in Input) []check.Check {
	if len(r.Blocks) == 0 {
		return nil
	}
	drop := func(l quantity.Length) string { return quantity.Show(l, quantity.AsDrop).String(in.Units) }
	most := quantity.Length(0)
	var says []string
	for _, b := range r.Blocks {
		most = max(most, b.Height)
		if b.Height > leastBlock {
			says = append(says, fmt.Sprintf("%s under the %s", drop(b.Height), b.Under))
		}
	}
	blocks := "no blocks"
	if len(says) > 0 {
		blocks = strings.Join(says, ", ")
	}
	switch {
	case r.Tongue > leastBlock:
		blocks += fmt.Sprintf("; the tongue comes up %s", drop(r.Tongue))
	case r.Tongue < -leastBlock:
		blocks += fmt.Sprintf("; the tongue goes down %s", drop(-r.Tongue))
	}
	return []check.Check{check.AtMost("backing.level", quantity.Show(most, quantity.AsDrop), quantity.Show(mostBlock, quantity.AsDrop), check.Care,
		fmt.Sprintf("To stand level on the finished slope it wants %s.", blocks),
		fmt.Sprintf("To stand level on the finished slope it wants %s: more than a pair of leveling blocks.", blocks),
		sources.PlaneGeometry, "Let the slab fall along the trailer instead of across it.")}
}

// mostBlock is what one stack of leveling blocks lifts.
var mostBlock = quantity.Inches(4)
