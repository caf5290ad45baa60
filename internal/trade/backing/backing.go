// Package backing answers: can they get in and out? It looks for a drive from the street to the place the trailer shall stand,
// and out again, with the pull-forwards a driver needs among the trees, fences and posts of the lot; drives it many times over
// as an ordinary driver would; and says how hard it is, where it is tight, where the spotter stands and what would make it
// easier. The mixer gets the same look at every place it shall stand.
package backing

import (
	"context"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Input is the lot, the vehicle, where it comes from and where it shall stand. Without a vehicle or a street nothing is looked
// for.
type Input struct {
	Units quantity.System `yaml:"units" says:"us or metric"`

	Outline geometry.Polygon `yaml:"outline" says:"the slab"`
	Things  []Thing          `yaml:"things" says:"what stands, hangs and lies on the lot"`
	Stands  []Stand          `yaml:"stands" says:"where the end of the mixer shall stand"`
	Flats   []Flat           `yaml:"flats" says:"the flat pieces of the finished slab"`
	Shots   []Shot           `yaml:"shots" says:"levels of the ground as it is"`
	Breaks  [][]int          `yaml:"breaklines" says:"lines the ground bends along, as positions in shots, the first is 0"`

	Vehicle  known.Known[Kind] `yaml:"vehicle" says:"what shall get in"`
	Measured Measured          `yaml:"measured" says:"what was taped on the real vehicle"`
	Street   Street            `yaml:"street" says:"where it comes from"`
	Parked   Parked            `yaml:"parked" says:"how it shall stand"`
	Gates    []Gate            `yaml:"gates" says:"gates and gaps it must pass"`
	Profile  []Level           `yaml:"way_levels" says:"levels along the way in, from the street"`

	Margin known.Length `yaml:"margin" says:"least room an ordinary driver keeps" unit:"in|mm" usual:"2..36|50..900" show:"drop"`
	Room   known.Length `yaml:"room" says:"room wanted on each side" unit:"in|mm" usual:"6..72|150..1800" show:"drop"`
	Edge   known.Length `yaml:"edge_distance" says:"wheels to the edge of the slab" unit:"in|mm" usual:"0..36|0..900" show:"drop"`
	Track  known.Length `yaml:"wheel_track" says:"outside to outside of the wheels that stand on the slab" unit:"ft|m" usual:"4..9|1.2..2.8" show:"side"`
	Drives known.Number `yaml:"drives" says:"how many times the drive is tried with an ordinary driver's errors" usual:"20..2000|20..2000"`
	WhatIf known.Truth  `yaml:"what_ifs" says:"also look for the least gate and what moving the slab would buy"`
	Enters known.Truth  `yaml:"mixer_enters" says:"does the mixer leave the street"`
	Weight known.Mass   `yaml:"mixer_weight" says:"mixer with its load" unit:"lb|kg" usual:"30000..80000|14000..40000"`
	Reach  known.Length `yaml:"chute_reach" says:"useful reach of the chute" unit:"ft|m" usual:"6..24|2..7.5" show:"distance"`
}

// Thing is an obstacle as the site has it.
type Thing struct {
	Kind   string           `yaml:"kind"`
	Name   string           `yaml:"name"`
	Centre geometry.Point   `yaml:"centre"`
	Radius float64          `yaml:"radius"` // m
	Line   []geometry.Point `yaml:"line"`
	Height float64          `yaml:"height"` // m, of what hangs: free under it; zero: not known
	Depth  float64          `yaml:"depth"`  // m, of what is buried: cover over it; zero: not known
	Zone   float64          `yaml:"zone"`   // m, that an overhead line asks of equipment
}

// Stand is a place for the mixer's end.
type Stand struct {
	X    known.Length `yaml:"x" says:"to the right" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"distance"`
	Y    known.Length `yaml:"y" says:"up the drawing" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"distance"`
	Name string       `yaml:"name" says:"what people call it"`
}

// Spot is a point of a line.
type Spot struct {
	X known.Length `yaml:"x" says:"to the right" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"distance"`
	Y known.Length `yaml:"y" says:"up the drawing" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"distance"`
}

// Street is the road the vehicle comes from.
type Street struct {
	Line   []Spot       `yaml:"line" says:"points along its middle"`
	Width  known.Length `yaml:"width" says:"between the curbs, parked cars taken off" unit:"ft|m" usual:"8..80|2.5..25" show:"distance"`
	Throat []Spot       `yaml:"throat" says:"where the curb is cut, from its one end to the other; without it wheels may cross the curb anywhere"`
}

// Nose says which way the vehicle faces when parked.
type Nose string

// The ways to face.
const (
	ToStreet   Nose = "to the street"
	FromStreet Nose = "away from the street"
)

// Choices are the words a file may use.
func (Nose) Choices() []string { return []string{string(ToStreet), string(FromStreet)} }

// Parked is how it shall stand: the middle of what stays on the slab, the trailer or the vehicle without one.
type Parked struct {
	X       known.Length                `yaml:"x" says:"middle of the body, to the right" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"distance"`
	Y       known.Length                `yaml:"y" says:"middle of the body, up the drawing" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"distance"`
	Nose    known.Known[Nose]           `yaml:"nose" says:"which way the front faces"`
	Heading known.Known[quantity.Angle] `yaml:"heading" says:"where the front points, turning left from straight right, instead" unit:"deg" usual:"-360..360|-360..360"`
}

// Gate is a gap between two posts.
type Gate struct {
	Name string `yaml:"name" says:"what people call it"`
	Line []Spot `yaml:"line" says:"its two posts"`
}

// Level is one level along the way in.
type Level struct {
	Along known.Length `yaml:"along" says:"how far in, from the first" unit:"ft|m" usual:"0..500|0..150" show:"distance"`
	Level known.Length `yaml:"level" says:"its level" unit:"ft|m" show:"elevation"`
}

// Result is the way in and out.
type Result struct {
	Asked    bool   `json:"asked"`
	Possible bool   `json:"possible"`
	Leaves   bool   `json:"leaves"`  // a way out was found too
	Verdict  string `json:"verdict"` // how hard, in words

	In      rollout.Drive `json:"way_in"`
	Out     rollout.Drive `json:"way_out"`
	Parked  rollout.Pose  `json:"parked"`
	Starts  rollout.Pose  `json:"starts"` // where on the street it begins
	Moves   []Move        `json:"moves"`
	MovesBy []Move        `json:"moves_out"`

	PullForwards int              `json:"pull_forwards"`
	Reverse      quantity.Length  `json:"reverse_length"`
	Tightest     Tight            `json:"tightest"`
	Bend         quantity.Angle   `json:"greatest_bend"`
	BendLimit    quantity.Angle   `json:"bend_limit"`
	Made         quantity.Percent `json:"made"` // of the tried drives
	WorstRoom    quantity.Length  `json:"worst_room"`
	Spotter      geometry.Point   `json:"spotter"`
	SpotterSays  string           `json:"spotter_says"`

	Gates    []Needed `json:"gates"`
	PadWidth Needed   `json:"pad_width"`
	Shifts   []Shift  `json:"shifts"`
	Blocker  Blocker  `json:"blocker"`
	Looked   int      `json:"poses_looked_at"`

	Under    Beneath         `json:"under"`
	EdgeStep Step            `json:"edge_step"`
	Blocks   []Block         `json:"blocks"`
	Tongue   quantity.Length `json:"tongue_up"` // beyond its towing height, to stand level on the blocks; negative: down

	Stands []Visit `json:"stands"`

	trials  rollout.Trials
	rig     rollout.Rig
	vehicle vehicle
	scene   scene
	asker   context.Context // while it is worked out
	working.Answer
}

// Tight is the tightest spot.
type Tight struct {
	Room  quantity.Length `json:"room"`
	Thing string          `json:"thing"`
	At    geometry.Point  `json:"at"`
	Who   string          `json:"who"` // the truck or the trailer
	After quantity.Length `json:"after"`
}

// Needed is a width something has and the least it should have for an ordinary driver.
type Needed struct {
	Name  string           `json:"name"`
	Has   quantity.Length  `json:"has"`
	Least quantity.Length  `json:"least"`
	Line  geometry.Segment `json:"line"`
}

// Defaults are the starting guesses.
func Defaults() Input {
	return Input{
		Street: Street{Width: known.Assume(quantity.Feet(24), quantity.Feet(18), quantity.Feet(36), "a residential street, no parked cars", sources.CommonPractice)},
		Parked: Parked{Nose: known.Guess(ToStreet, "backed in, ready to leave", sources.CommonPractice)},
		Margin: known.Assume(quantity.Millimetres(300), quantity.Millimetres(150), quantity.Millimetres(450), "a foot: what a driver can judge in a mirror", sources.CommonPractice),
		Room:   known.Assume(quantity.Millimetres(900), quantity.Millimetres(500), quantity.Millimetres(1200), "a yard each side drives easily", sources.CommonPractice),
		Edge:   known.Assume(quantity.Millimetres(300), quantity.Millimetres(150), quantity.Millimetres(600), "a wheel at the edge loads the slab most", sources.CommonPractice),
		Track:  known.Assume(quantity.Metres(2.3), quantity.Metres(2.1), quantity.Metres(2.5), "the wheels of a road-wide trailer", sources.CommonPractice),
		Drives: known.Guess(quantity.Number(200), "one in two hundred still shows", sources.OwnRule),
		WhatIf: known.Guess(true, "an easier place is worth knowing before the forms are set", sources.OwnRule),
		Enters: known.Guess(true, "nobody said the mixer stays on the street", sources.OwnRule),
		Weight: known.Assume(quantity.Of[quantity.Mass](70_000, "lb"), quantity.Of[quantity.Mass](66_000, "lb"), quantity.Of[quantity.Mass](73_000, "lb"), "9 to 11 yd³ in a usual mixer", sources.TruckWeights),
		Reach:  known.Assume(quantity.Feet(12), quantity.Feet(10), quantity.Feet(14), "a chute of 14 ft less its fall and the form", sources.CommonPractice),
	}
}

// Design looks for the way in and out, and the mixer's way to its stands. Without a street it says what to type, and nothing else;
// without a vehicle only the mixer is looked at.
func Design(in Input) (Result, error) { return DesignWithin(context.Background(), in) }

// DesignWithin is Design for a caller who may stop it, and is told how far it is.
func DesignWithin(ctx context.Context, in Input) (Result, error) {
	r, err := design(ctx, in)
	if stopped := ctx.Err(); stopped != nil {
		return Result{}, stopped
	}
	r.asker = nil
	return r, err
}

func design(ctx context.Context, in Input) (Result, error) {
	if err := in.Validate().Err(); err != nil {
		return Result{}, err
	}
	r := Result{asker: ctx}
	r.Asked = in.hasStreet() && in.Vehicle.Given()
	if !r.Asked {
		r.Check(notAsked())
	}
	if !r.looks(in) {
		return r, nil
	}
	in = in.orMixer()
	if err := r.setUp(in); err != nil {
		return Result{}, err
	}
	working.Tell(ctx, seen)
	if r.Asked {
		if err := r.park(in); err != nil {
			return Result{}, err
		}
	}
	working.Tell(ctx, parked)
	if err := r.visitStands(in); err != nil {
		return Result{}, err
	}
	r.reportStands(in)
	r.Check(r.judge(in)...)
	return r, nil
}

// Shares of the whole work that are done when the lot is read, when a way in is found, and when all is known of the vehicle.
const (
	seen   = 0.02
	driven = 0.4
	parked = 0.8
)

// looks says whether anything is looked at: a vehicle, or at least the mixer.
func (r *Result) looks(in Input) bool { return r.Asked || in.hasStreet() && len(in.Stands) > 0 }

// orMixer is the input with its vehicle, or the mixer's where only that is looked at.
func (in Input) orMixer() Input {
	in.Vehicle = in.Vehicle.Or(known.Guess(Mixer, "only the mixer is looked at", sources.OwnRule))
	return in
}

// Again gives a result that was written and read back what it is drawn with: the rig and the lot, which follow from its input.
func Again(in Input, r *Result) error {
	if !r.looks(in) {
		return nil
	}
	if err := r.setUp(in.orMixer()); err != nil {
		return err
	}
	mixer, _ := vehicleOf(Mixer)
	for i := range r.Stands {
		r.Stands[i].rig = mixer.rig()
	}
	return nil
}

func (in Input) hasStreet() bool { return len(in.Street.Line) >= 2 }

// park finds the way in and what would make it easier, or what keeps the vehicle out.
func (r *Result) park(in Input) error {
	if err := r.lookForWay(in); err != nil {
		return err
	}
	working.Tell(r.asker, driven)
	if !r.Possible {
		if err := r.explain(in); err != nil {
			return err
		}
	} else {
		r.measure(in)
		if err := r.wonder(in); err != nil {
			return err
		}
	}
	r.report(in)
	r.level(in)
	return r.rollOver(in)
}

func notAsked() check.Check {
	return check.Check{ID: "backing.way-in", Level: check.NotComputed, Source: sources.OwnRule,
		Says: "Nobody said what shall get in and where it comes from, so the way in was not looked at.",
		Then: []string{"Type the vehicle and two points of the street: backing: {vehicle: travel trailer, street: {line: [[0, -10], [80, -10]]}}."}}
}
