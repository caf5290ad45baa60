package backing

import (
	"fmt"
	"math"
	"unicode"
	"unicode/utf8"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
)

// groundRoom is what should stay free under a loaded rig at walking pace.
var groundRoom = quantity.Inches(1)

// crossing rolls the rig over the levels along the way in and says where it comes nearest to the ground; none without levels.
func (r *Result) crossing(in Input) []check.Check {
	if len(in.Profile) < 2 {
		return []check.Check{{ID: "backing.humps", Level: check.NotComputed, Source: sources.BreakOver,
			Says: "Nobody gave levels along the way in, so humps and the gutter were not looked at.",
			Then: []string{"Shoot the street, the gutter, the apron and the slab edge along the way: backing: {way_levels: [[0, 100.0], [4, 99.7], [10, 100.4]]}."}}}
	}
	var ground rollout.Profile
	for _, l := range in.Profile {
		ground = append(ground, geometry.Point{X: l.Along.Value.Metres(), Y: l.Level.Value.Metres()})
	}
	s, err := r.vehicle.under().Cross(ground, 0.05)
	if err != nil {
		return nil
	}
	room := quantity.Plain(s.Room, quantity.AsDrop)
	where := quantity.Plain(s.Station-ground[0].X, quantity.AsDistance).String(in.Units)
	level := check.Care
	if s.Room < 0 {
		level = check.Stop
	}
	return []check.Check{check.AtLeast("backing.humps", room, quantity.Show(groundRoom, quantity.AsDrop), level,
		fmt.Sprintf("Over humps and gutter %s keeps %s, %s along the way: the least under the whole rig.", s.What, room.String(in.Units), where),
		fmt.Sprintf("%s has only %s under it (below zero it drags), %s along the way.", capital(s.What), room.String(in.Units), where),
		sources.BreakOver, "Ease the break: spread it over several feet, fill the gutter with planks, or raise the hitch and lift the jack.")}
}

// capital starts a sentence with a name.
func capital(text string) string {
	for i, first := range text {
		return string(unicode.ToUpper(first)) + text[i+utf8.RuneLen(first):]
	}
	return text
}

// blocks is how much stands under which wheel so that the trailer sits level on the finished slope.
//
//	side block = cross fall · track      nose to axle = long fall · tongue
//
// Falls are of the finished plane, across and along the trailer's heading. Source: plane geometry.
func (in Input) blocks(heading, track, tongue float64) (side, nose quantity.Length) {
	along, left := geometry.Direction(heading), geometry.Direction(heading).Left()
	rise := geometry.Point{X: in.Finish.B, Y: in.Finish.C}
	return quantity.Length(rise.Dot(left) * track), quantity.Length(rise.Dot(along) * tongue)
}

// levelling says how the parked trailer is brought level.
func (r *Result) levelling(in Input) []check.Check {
	if in.Finish == (Finish{}) {
		return nil
	}
	reach := r.rig.Tongue
	if !r.rig.Towing() {
		reach = r.rig.Wheelbase
	}
	side, nose := in.blocks(r.Parked.Trailer, in.Track.Value.Metres(), reach)
	low := "left"
	if side > 0 {
		low = "right"
	}
	ends := "lower"
	if nose < 0 {
		ends = "higher"
	}
	size := quantity.Length(math.Abs(float64(side)))
	return []check.Check{check.AtMost("backing.level", quantity.Show(size, quantity.AsDrop), quantity.Show(mostBlock, quantity.AsDrop), check.Care,
		fmt.Sprintf("To stand level it wants %s under the %s wheels, and the front %s than the axle's height by %s.", quantity.Show(size, quantity.AsDrop).String(in.Units), low, ends, quantity.Plain(math.Abs(float64(nose)), quantity.AsDrop).String(in.Units)),
		fmt.Sprintf("To stand level it wants %s under the %s wheels: more than a pair of leveling blocks.", quantity.Show(size, quantity.AsDrop).String(in.Units), low),
		sources.PlaneGeometry, "Let the slab fall along the trailer instead of across it.")}
}

// mostBlock is what one stack of leveling blocks lifts.
var mostBlock = quantity.Inches(4)
