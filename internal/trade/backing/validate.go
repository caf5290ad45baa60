package backing

import (
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
)

// farthest is how far from the origin a lot may reach, m: as far as corners may be typed.
const farthest = 2000

// Validate finds every fault of the input at once. Without a street nothing is needed.
func (in Input) Validate() check.Faults {
	if !in.hasStreet() {
		return nil
	}
	var faults check.Faults
	add := func(field, given, why, remedy string) {
		faults = append(faults, check.Fault{Field: "backing." + field, Given: given, Why: why, Type: remedy})
	}
	if _, ok := vehicleOf(in.Vehicle.Value); in.Vehicle.Given() && !ok {
		add("vehicle", string(in.Vehicle.Value), "is not a vehicle known here.", "Type one of: travel trailer, fifth wheel, boat trailer, motor home, truck, mixer, pickup, car.")
	}
	if bad := in.Outline.Faults(); in.Outline.IsEmpty() || len(bad) > 0 || !placed(in.Outline.Outer...) {
		add("outline", "", "is no slab anything could stand on.", "Give the corners: outline: {outer: [[0, 0], [12, 0], [12, 4], [0, 4]]} in metres.")
	}
	for i := 1; i < len(in.Street.Line); i++ {
		if a, b := in.Street.Line[i-1].at(), in.Street.Line[i].at(); !placed(a, b) || a.Distance(b) < 1 {
			add("street.line", "", "runs nowhere: two of its points are the same or are no numbers.", "Give two or more points along the middle of the street, at least a few feet apart.")
			break
		}
	}
	if n := len(in.Street.Throat); n != 0 && n != 2 {
		add("street.throat", "", "the throat is the gap in the curb.", "Type its two ends: street: {throat: [[10, -12], [26, -12]]}.")
	}
	for _, g := range in.gates() {
		if len(g.Line) != 2 || !placed(g.Line[0].at(), g.Line[1].at()) || g.Line[0].at().Distance(g.Line[1].at()) < 0.5 {
			add("gates", g.Name, "a gate is the gap between two posts.", "Type its two posts: gates: [{name: back gate, line: [[10, 20], [22, 20]]}].")
		}
	}
	for _, t := range in.Things {
		if standing[t.Kind] && (!placed(append([]geometry.Point{t.Centre}, t.Line...)...) || !(t.Radius >= 0 && t.Radius < 100) || len(t.Line) == 1 || !(t.Height >= 0)) {
			add("things", t.Name, "has a place or a size that is not a number.", "Give its centre and radius, or two points of its line.")
		}
	}
	if in.Vehicle.Given() || len(in.Stands) > 0 {
		in.validateNumbers(add)
		return faults
	}
	return nil
}

func placed(points ...geometry.Point) bool {
	for _, p := range points {
		if !p.IsFinite() || math.Abs(p.X) > farthest || math.Abs(p.Y) > farthest {
			return false
		}
	}
	return true
}

func (in Input) validateNumbers(add func(field, given, why, remedy string)) {
	for _, n := range []struct {
		name      string
		value     float64
		low, high float64
		text      string
	}{
		{"street.width", in.Street.Width.Value.Metres(), 2.5, 60, in.Street.Width.Text},
		{"margin", in.Margin.Value.Metres(), 0.02, 2, in.Margin.Text},
		{"room", in.Room.Value.Metres(), 0.02, 5, in.Room.Text},
		{"edge_distance", in.Edge.Value.Metres(), 0, 3, in.Edge.Text},
		{"wheel_track", in.Track.Value.Metres(), 0.5, 4, in.Track.Text},
		{"mixer_weight", float64(in.Weight.Value), 1000, 60_000, in.Weight.Text},
		{"chute_reach", in.Reach.Value.Metres(), 1, 12, in.Reach.Text},
		{"drives", float64(in.Drives.Value), 1, 10_000, in.Drives.Text},
	} {
		if !(n.value >= n.low && n.value <= n.high) {
			add(n.name, n.text, "cannot be that size.", "Measure it again or leave the line out.")
		}
	}
	if p := in.Parked; !quantity.Finite(p.X.Value.Metres(), p.Y.Value.Metres(), float64(p.Heading.Value)) || !placed(geometry.Point{X: p.X.Value.Metres(), Y: p.Y.Value.Metres()}) {
		add("parked", p.X.Text, "is nowhere on the lot.", "Give the middle of the trailer: parked: {x: 20 ft, y: 30 ft}.")
	}
	for i, l := range in.Profile {
		if !quantity.Finite(l.Along.Value.Metres(), l.Level.Value.Metres()) || i > 0 && l.Along.Value <= in.Profile[i-1].Along.Value || l.Along.Value.Metres() > 500 {
			add("way_levels", l.Along.Text, "the distances along the way rise from point to point, up to 1,600 ft.", "Type them in order from the street: way_levels: [[0, 100.0], [4, 99.7]].")
			break
		}
	}
	for _, s := range in.Shots {
		if !placed(s.At) || !quantity.Finite(s.Level) {
			add("shots", "", "a ground level lies nowhere or is no number.", "Shoot it again: level: 99.4 ft.")
			break
		}
	}
	for _, line := range in.Breaks {
		if slices.ContainsFunc(line, func(at int) bool { return at < 0 || at >= len(in.Shots) }) {
			add("breaklines", "", "a breakline runs through a shot that is not there.", "Name its shots by their positions, the first is 0.")
			break
		}
	}
	for _, s := range in.Stands {
		if !placed(geometry.Point{X: s.X.Value.Metres(), Y: s.Y.Value.Metres()}) {
			add("stands", s.X.Text, "is nowhere on the lot.", "Give x and y of the place.")
		}
	}
}
