// Package access answers: can the concrete get there? It lays the chute's reach from every place the truck may stand over
// the slab, and says how the rest is carried, how long that takes, and what the truck must stay away from.
package access

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Input is the slab, where a truck may stand, and what carries concrete beyond the chute.
type Input struct {
	Units quantity.System `yaml:"units" says:"us or metric"`

	Outline geometry.Polygon `yaml:"outline" says:"the slab"`
	Against []string         `yaml:"against" says:"for each side, the wall it runs along; empty where it is free"`
	Stands  []Stand          `yaml:"stands" says:"where the end of the truck can stand"`
	Wires   []Wire           `yaml:"wires" says:"overhead lines"`
	Volume  known.Volume     `yaml:"volume" says:"concrete to place" unit:"yd3|m3"`

	Reach    known.Length `yaml:"chute_reach" says:"reach of the chute with what the truck carries" unit:"ft|m" usual:"8..24|2.5..7.5" show:"distance"`
	Short    known.Length `yaml:"chute_margin" says:"reach that is lost to the fall of the chute and the form" unit:"ft|m" show:"distance"`
	Standoff known.Length `yaml:"standoff" says:"wheels to the form, so that the edge is not pushed in" unit:"ft|m" show:"distance"`
	Gate     known.Length `yaml:"gate" says:"narrowest gap on the way in" unit:"ft|m" usual:"6..60|2..20" show:"distance"`
	Drive    known.Truth  `yaml:"over_drive" says:"must the truck cross a drive, a walk, a septic or a culvert"`

	Walls []Wall `yaml:"walls" says:"what barrows and buggies must go round"`
	Weak  []Weak `yaml:"weak" says:"what must not carry a truck"`

	Barrows    known.Number     `yaml:"barrows" says:"wheelbarrows with people"`
	BarrowRate known.VolumeRate `yaml:"barrow_rate" says:"what one barrow carries" unit:"yd3/h|m3/h"`
	BarrowLoad known.Volume     `yaml:"barrow_load" says:"a barrow load" unit:"ft3|l" show:"volume"`
	BarrowRun  known.Length     `yaml:"barrow_run" says:"longest run for barrows" unit:"ft|m" show:"distance"`
	BarrowTime known.Time       `yaml:"barrow_time" says:"longest time spent on barrows before a pump is better" unit:"min"`
	Buggies    known.Number     `yaml:"buggies" says:"power buggies on hand"`
	BuggyRate  known.VolumeRate `yaml:"buggy_rate" says:"what one buggy carries" unit:"yd3/h|m3/h"`
	BuggyLoad  known.Volume     `yaml:"buggy_load" says:"a buggy load" unit:"yd3|m3" show:"volume"`
	BuggyRun   known.Length     `yaml:"buggy_run" says:"longest run for buggies" unit:"ft|m" show:"distance"`
}

// Stand is a place where the discharge end of the truck may stand.
type Stand struct {
	X    known.Length `yaml:"x" says:"to the right" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"distance"`
	Y    known.Length `yaml:"y" says:"up the drawing" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"distance"`
	Name string       `yaml:"name" says:"what people call it"`
}

// Wire is an overhead line with the distance it asks for.
type Wire struct {
	Name      string           `yaml:"name"`
	Line      []geometry.Point `yaml:"line"`
	Clearance float64          `yaml:"clearance"` // m
}

// Wall is what nobody wheels through: a building, a fence.
type Wall struct {
	Name string           `yaml:"name"`
	Line []geometry.Point `yaml:"line"`
}

// Weak is what a truck must keep off: a tank lid, a buried pipe, a culvert, soft ground. Line is its place, one point for a round
// thing, or its outline.
type Weak struct {
	Name string           `yaml:"name"`
	Line []geometry.Point `yaml:"line"`
}

// Method is how the concrete gets from the truck to its place.
type Method string

// The methods, simplest first.
const (
	Chute  Method = "chute"
	Barrow Method = "chute and wheelbarrows"
	Buggy  Method = "chute and power buggy"
	Pump   Method = "pump"
)

// Result is how the pour is reached.
type Result struct {
	Stands     []geometry.Point    `json:"stands"`
	Reached    []geometry.Polygon  `json:"reached"`
	Beyond     []geometry.Polygon  `json:"beyond"` // parts of the slab no chute reaches
	Useful     quantity.Length     `json:"useful_reach"`
	ReachShare quantity.Percent    `json:"reach_share"`
	Ways       []Way               `json:"ways,omitempty"`    // for barrows or buggies, one for each part beyond reach
	Farthest   quantity.Length     `json:"farthest"`          // along the longest of them; infinite ways are none
	Blocked    bool                `json:"blocked,omitempty"` // to some part there is no way on foot
	Method     Method              `json:"method"`
	BarrowTime quantity.Time       `json:"barrow_time"`
	BuggyTime  quantity.Time       `json:"buggy_time"`      // with the buggies on hand, or with one
	Trips      int                 `json:"trips,omitempty"` // of barrow or buggy, where the method is one
	CarryTime  quantity.Time       `json:"carry_time"`      // that takes
	CarryRate  quantity.VolumeRate `json:"carry_rate"`      // all barrows or buggies together
	working.Answer
}

// Defaults are the starting guesses.
func Defaults() Input {
	yd := func(v float64) quantity.VolumeRate { return quantity.Of[quantity.VolumeRate](v, "yd3/h") }
	return Input{
		Reach:      known.Assume(quantity.Feet(14), quantity.Feet(12), quantity.Feet(16), "rear chute with its usual sections", sources.CommonPractice),
		Short:      known.Assume(quantity.Feet(2), quantity.Feet(1), quantity.Feet(3), "chute slope of one in three and the form edge", sources.CommonPractice),
		Standoff:   known.Assume(quantity.Feet(4), quantity.Feet(3.5), quantity.Feet(6), "form height plus 3 ft, so that wheels do not push the form in", sources.CommonPractice),
		Gate:       known.Assume(quantity.Feet(12), quantity.Feet(10), quantity.Feet(16), "nobody measured the way in", sources.CommonPractice),
		Drive:      known.Guess(true, "nobody said the truck stays on the street", sources.OwnRule),
		Barrows:    known.Assume(quantity.Number(2), 1, 3, "two barrows keep one chute busy", sources.CommonPractice),
		BarrowRate: known.Assume(yd(1.25), yd(1), yd(1.5), "1 to 1.5 yd³ an hour for each barrow", sources.BarrowRates),
		BarrowRun:  known.Assume(quantity.Feet(200), quantity.Feet(100), quantity.Feet(200), "past that a buggy or a pump", sources.BarrowRates),
		BarrowTime: known.Assume(quantity.Minutes(60), quantity.Minutes(30), quantity.Minutes(90), "a truck's free time and a wheelbarrow crew's breath", sources.OwnRule),
		BarrowLoad: known.Assume(cubicFeet(3), cubicFeet(2), cubicFeet(4), "what one person wheels over planks", sources.CommonPractice),
		Buggies:    known.Assume(quantity.Number(0), 0, 2, "nobody said the crew has a buggy", sources.OwnRule),
		BuggyRate:  known.Assume(yd(15), yd(10), yd(20), "15 to 20 yd³ an hour for each buggy; the low end, a crew strikes off no faster", sources.BarrowRates),
		BuggyLoad:  known.Assume(quantity.CubicYards(0.5), quantity.CubicYards(0.4), quantity.CubicYards(0.8), "0.4 to 0.8 yd³ a load", sources.BarrowRates),
		BuggyRun:   known.Assume(quantity.Feet(1000), quantity.Feet(500), quantity.Feet(1000), "past that a pump", sources.BarrowRates),
	}
}

// Validate finds every fault of the input at once.
func (in Input) Validate() check.Faults {
	var faults check.Faults
	if bad := in.Outline.Faults(); in.Outline.IsEmpty() || len(bad) > 0 {
		faults = append(faults, check.Fault{Field: "access.outline", Why: "is no slab the truck could serve.", Type: "Give the corners: outline: {outer: [[0, 0], [12, 0], [12, 4], [0, 4]]} in metres."})
	}
	if b := in.Outline.Bounds(); len(faults) == 0 && max(b.Max.X-b.Min.X, b.Max.Y-b.Min.Y) > widestSlab.Metres() {
		faults = append(faults, check.Fault{Field: "access.outline", Given: quantity.Show(quantity.Length(max(b.Max.X-b.Min.X, b.Max.Y-b.Min.Y)), quantity.AsDistance).String(in.Units), Why: "is no slab a crew pours.", Type: "Give the corners in metres, a kilometre across at most."})
	}
	if !in.Volume.Given() || !(in.Volume.Value > 0) {
		faults = append(faults, check.Fault{Field: "access.volume", Given: in.Volume.Text, Why: "the concrete to place is not known.", Type: "Type it like 10.4 yd3."})
	}
	for _, n := range []struct {
		name  string
		value float64
		text  string
	}{{"chute_reach", float64(in.Reach.Value - in.Short.Value), in.Reach.Text}, {"barrow_rate", float64(in.BarrowRate.Value), in.BarrowRate.Text}, {"barrows", float64(in.Barrows.Value), in.Barrows.Text}, {"barrow_load", float64(in.BarrowLoad.Value), in.BarrowLoad.Text}, {"buggy_rate", float64(in.BuggyRate.Value), in.BuggyRate.Text}, {"buggy_load", float64(in.BuggyLoad.Value), in.BuggyLoad.Text}, {"gate", in.Gate.Value.Metres(), in.Gate.Text}} {
		if !(n.value > 0) || !quantity.Finite(n.value) {
			faults = append(faults, check.Fault{Field: "access." + n.name, Given: n.text, Why: "must be more than zero (the reach after its margin too).", Type: "Measure it or leave the line out."})
		}
	}
	return faults
}

func cubicFeet(v float64) quantity.Volume { return quantity.Of[quantity.Volume](v, "ft3") }

// widestSlab is what one plan serves, across.
const widestSlab quantity.Length = 1000

// Design lays the chute over the slab and chooses how the rest is carried.
func Design(in Input) (Result, error) {
	if err := in.Validate().Err(); err != nil {
		return Result{}, err
	}
	var r Result
	r.stand(in)
	if err := r.reach(in); err != nil {
		return Result{}, err
	}
	r.carry(in)
	r.Check(r.cautions(in)...)
	return r, nil
}

// stand takes the stands as given, or assumes that the truck can come along every free side.
func (r *Result) stand(in Input) {
	for _, s := range in.Stands {
		r.Stands = append(r.Stands, geometry.Point{X: s.X.Value.Metres(), Y: s.Y.Value.Metres()})
	}
	says, source := "as given", sources.Definition
	if len(r.Stands) == 0 {
		r.Stands = alongFreeSides(in)
		says, source = "assumed: along every free side", sources.OwnRule
	}
	r.Working.Show(working.Step{Name: "stands", Says: "places the truck can stand", Formula: says, Value: quantity.Counted(len(r.Stands)), Source: source})
}

// alongFreeSides puts stands outside every side without a wall, at least one every half reach; the middle of the slab where
// all sides are walled in.
func alongFreeSides(in Input) []geometry.Point {
	var out []geometry.Point
	for _, e := range in.Outline.Oriented().Edges() {
		walled := e.Index < len(in.Against) && in.Against[e.Index] != ""
		if e.Ring != 0 || walled || e.Length() < in.Short.Value.Metres() {
			continue
		}
		n := int(math.Ceil(2 * e.Length() / in.Reach.Value.Metres()))
		for i := range n {
			p := e.A.Lerp(e.B, (float64(i)+0.5)/float64(n))
			out = append(out, p.Add(e.Outward.Scale(in.Standoff.Value.Metres())))
		}
	}
	if len(out) == 0 {
		return []geometry.Point{in.Outline.Centroid()}
	}
	return out
}

// reach cuts the slab into what some chute covers and what none does. The chute swings about the truck's end; its fan is the
// disc of its useful reach, for a truck that backs toward the slab.
func (r *Result) reach(in Input) error {
	useful := in.Reach.Value - in.Short.Value
	r.Useful = useful
	var fans []geometry.Polygon
	for _, s := range r.Stands {
		fans = append(fans, geometry.Disc(s, useful.Metres(), 0.01))
	}
	all, err := geometry.Union(fans...)
	if err != nil {
		return fmt.Errorf("access: chute fans: %w", err)
	}
	covered := 0.0
	for _, fan := range all {
		parts, err := in.Outline.Intersection(fan)
		if err != nil {
			return fmt.Errorf("access: chute over slab: %w", err)
		}
		r.Reached = append(r.Reached, parts...)
	}
	for _, p := range r.Reached {
		covered += p.Area()
	}
	if r.Beyond, err = in.Outline.Difference(all...); err != nil {
		return fmt.Errorf("access: slab beyond the chute: %w", err)
	}
	r.ReachShare = quantity.Percent(min(1, covered/in.Outline.Area()))
	r.ways(in)
	r.showReach(in, useful)
	return nil
}

func (r *Result) showReach(in Input, useful quantity.Length) {
	reach := working.Given(&r.Working, "chute_reach", "R", "reach of the chute", in.Reach, quantity.AsDistance)
	margin := working.Given(&r.Working, "chute_margin", "m", "reach lost to fall and form", in.Short, quantity.AsDistance)
	r.Working.Show(working.Step{Name: "useful_reach", Symbol: "r", Says: "useful reach", Formula: "R − m", Value: quantity.Show(useful, quantity.AsDistance), From: []string{reach, margin}, Source: sources.Arithmetic})
	r.Working.Answer(working.Step{Name: "reach_share", Says: "share of the slab the chute reaches", Formula: "area of slab within r of a stand / area of slab",
		Value: quantity.Show(r.ReachShare, quantity.AsPercent), From: []string{"stands", "useful_reach"}, Source: sources.PlaneGeometry})
}
