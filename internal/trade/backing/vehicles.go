package backing

import (
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Kind is a vehicle by the name people give it.
type Kind string

// The vehicles.
const (
	Car           Kind = "car"
	Pickup        Kind = "pickup"
	TravelTrailer Kind = "travel trailer" // behind a long pickup, on a bumper hitch
	FifthWheel    Kind = "fifth wheel"    // a gooseneck over the pickup's rear axle
	BoatTrailer   Kind = "boat trailer"
	CarTrailer    Kind = "car and trailer"
	MotorHome     Kind = "motor home"
	MotorHomeCar  Kind = "motor home with towed car"
	Truck         Kind = "truck"
	Mixer         Kind = "mixer"
)

// Choices are the words a file may use.
func (Kind) Choices() []string {
	var out []string
	for _, v := range vehicles {
		out = append(out, string(v.kind))
	}
	return out
}

// vehicle is one row of the table; metres, degrees.
type vehicle struct {
	kind                                                  Kind
	width, front, wheelbase, back, height, lock           float64 // tow vehicle: overhangs past its axles
	hitch, tongue, trailerFront, tail, wide, tall, fold   float64 // trailer: hitch to axle, body ahead of the axle and behind it
	belly, tailHeight, coupler, trailerBelly, trailerTail float64
	forwardOnly                                           bool
	source                                                sources.Key
}

// vehicles are the design vehicles, and the pickups and trailers a driveway really sees. Steering locks of design vehicles follow
// from the table's radius of the middle of the front axle: δ = asin(WB / CTR). Heights and undersides are common practice.
var vehicles = []vehicle{
	{kind: Car, width: 2.1, front: 0.9, wheelbase: 3.4, back: 1.5, height: 1.6, lock: 31.6, belly: 0.15, tailHeight: 0.25, source: sources.DesignVehicles},
	{kind: Pickup, width: 2.0, front: 1.0, wheelbase: 3.9, back: 1.25, height: 2.0, lock: 30, belly: 0.22, tailHeight: 0.40, source: sources.CommonPractice},
	{kind: TravelTrailer, width: 2.0, front: 1.0, wheelbase: 3.9, back: 1.25, height: 2.0, lock: 30, belly: 0.22, tailHeight: 0.40,
		hitch: 1.35, tongue: 5.5, trailerFront: 4.6, tail: 2.9, wide: 2.44, tall: 3.3, fold: 78, coupler: 0.50, trailerBelly: 0.35, trailerTail: 0.35, source: sources.CommonPractice},
	{kind: FifthWheel, width: 2.0, front: 1.0, wheelbase: 3.9, back: 1.25, height: 2.0, lock: 30, belly: 0.22, tailHeight: 0.40,
		hitch: -0.05, tongue: 7.0, trailerFront: 5.2, tail: 3.2, wide: 2.44, tall: 3.9, fold: 85, coupler: 1.20, trailerBelly: 0.40, trailerTail: 0.40, source: sources.CommonPractice},
	{kind: BoatTrailer, width: 2.1, front: 0.9, wheelbase: 3.4, back: 1.5, height: 1.6, lock: 31.6, belly: 0.15, tailHeight: 0.25,
		hitch: 1.5, tongue: 4.6, trailerFront: 3.9, tail: 2.4, wide: 2.4, tall: 2.6, fold: 78, coupler: 0.45, trailerBelly: 0.30, trailerTail: 0.40, source: sources.DesignVehicles},
	{kind: CarTrailer, width: 2.1, front: 0.9, wheelbase: 3.4, back: 1.5, height: 1.6, lock: 31.6, belly: 0.15, tailHeight: 0.25,
		hitch: 1.5, tongue: 5.4, trailerFront: 4.5, tail: 3.1, wide: 2.4, tall: 2.9, fold: 78, coupler: 0.45, trailerBelly: 0.30, trailerTail: 0.35, source: sources.DesignVehicles},
	{kind: MotorHome, width: 2.4, front: 1.2, wheelbase: 6.1, back: 1.8, height: 3.7, lock: 33.7, belly: 0.25, tailHeight: 0.35, source: sources.DesignVehicles},
	{kind: MotorHomeCar, width: 2.4, front: 1.2, wheelbase: 6.1, back: 1.8, height: 3.7, lock: 33.7, belly: 0.25, tailHeight: 0.35,
		hitch: 1.8, tongue: 4.9, trailerFront: 3.6, tail: 1.0, wide: 1.8, tall: 1.5, fold: 60, coupler: 0.45, trailerBelly: 0.15, trailerTail: 0.25, forwardOnly: true, source: sources.CommonPractice},
	{kind: Truck, width: 2.4, front: 1.2, wheelbase: 6.1, back: 1.8, height: 4.1, lock: 31.8, belly: 0.25, tailHeight: 0.45, source: sources.DesignVehicles},
	{kind: Mixer, width: 2.6, front: 1.2, wheelbase: 6.1, back: 1.8, height: 4.1, lock: 31.8, belly: 0.25, tailHeight: 0.45, source: sources.DesignVehicles},
}

func vehicleOf(k Kind) (vehicle, bool) {
	for _, v := range vehicles {
		if v.kind == k {
			return v, true
		}
	}
	return vehicle{}, false
}

// Measured is what the shop taped on the real vehicle; what is left out is taken from the vehicle named.
type Measured struct {
	Width     known.Length                `yaml:"width" says:"tow vehicle, mirrors folded" unit:"ft|m" usual:"4..11|1.2..3.2" show:"side"`
	Wheelbase known.Length                `yaml:"wheelbase" says:"front axle to rear axle" unit:"ft|m" usual:"5..30|1.5..9" show:"side"`
	Front     known.Length                `yaml:"front_overhang" says:"front axle to the front bumper" unit:"ft|m" usual:"0..8|0..2.5" show:"side"`
	Back      known.Length                `yaml:"rear_overhang" says:"rear axle to the rear bumper" unit:"ft|m" usual:"0..12|0..3.6" show:"side"`
	Height    known.Length                `yaml:"height" says:"tow vehicle, highest point" unit:"ft|m" usual:"4..15|1.2..4.6" show:"side"`
	Lock      known.Known[quantity.Angle] `yaml:"steering_lock" says:"greatest angle of the front wheels, mean of both" unit:"deg" usual:"15..50|15..50"`
	Hitch     known.Length                `yaml:"hitch" says:"rear axle back to the hitch; ahead of the axle negative" unit:"ft|m" usual:"-3..9|-1..3" show:"side"`
	Tongue    known.Length                `yaml:"tongue" says:"hitch to the middle of the trailer's axles" unit:"ft|m" usual:"4..40|1.2..12" show:"side"`
	Nose      known.Length                `yaml:"trailer_front" says:"middle of the trailer's axles to the front of its body" unit:"ft|m" usual:"1..40|0.3..12" show:"side"`
	Tail      known.Length                `yaml:"trailer_tail" says:"middle of the trailer's axles to its back" unit:"ft|m" usual:"1..25|0.3..8" show:"side"`
	Wide      known.Length                `yaml:"trailer_width" says:"trailer, awning and steps folded" unit:"ft|m" usual:"4..9|1.2..2.8" show:"side"`
	Tall      known.Length                `yaml:"trailer_height" says:"trailer with what is on its roof" unit:"ft|m" usual:"2..14|0.6..4.3" show:"side"`
	Belly     known.Length                `yaml:"ground_clearance" says:"tow vehicle, midway between the axles" unit:"in|mm" usual:"3..20|75..500" show:"drop"`
	TailLow   known.Length                `yaml:"trailer_tail_height" says:"lowest point of the trailer's tail" unit:"in|mm" usual:"4..40|100..1000" show:"drop"`
	Coupler   known.Length                `yaml:"coupler_height" says:"height of the hitch" unit:"in|mm" usual:"10..60|250..1500" show:"drop"`
}

func metresOr(k known.Length, other float64) float64 {
	if k.Given() {
		return k.Value.Metres()
	}
	return other
}

// with is the vehicle with what was measured.
func (v vehicle) with(m Measured) vehicle {
	v.width, v.wheelbase, v.front, v.back, v.height = metresOr(m.Width, v.width), metresOr(m.Wheelbase, v.wheelbase), metresOr(m.Front, v.front), metresOr(m.Back, v.back), metresOr(m.Height, v.height)
	if m.Lock.Given() {
		v.lock = float64(m.Lock.Value) * 180 / math.Pi
	}
	v.belly, v.coupler = metresOr(m.Belly, v.belly), metresOr(m.Coupler, v.coupler)
	if v.tongue > 0 || m.Tongue.Given() {
		v.hitch, v.tongue = metresOr(m.Hitch, v.hitch), metresOr(m.Tongue, v.tongue)
		v.trailerFront, v.tail, v.wide, v.tall = metresOr(m.Nose, v.trailerFront), metresOr(m.Tail, v.tail), metresOr(m.Wide, v.wide), metresOr(m.Tall, v.tall)
		v.trailerTail = metresOr(m.TailLow, v.trailerTail)
	}
	return v
}

// Standing is how long and how wide what stays on the slab is: the trailer, or the vehicle without one. Zero for a vehicle the table
// does not have.
func (in Input) Standing() (length, width quantity.Length) {
	v, _ := vehicleOf(in.Vehicle.Value)
	rig := v.with(in.Measured).rig()
	body := rig.Tow
	if rig.Tongue > 0 {
		body = rig.Trailer
	}
	return quantity.Length(body.Ahead + body.Behind), quantity.Length(body.Width)
}

// rig is the vehicle as a chain of bodies.
func (v vehicle) rig() rollout.Rig {
	r := rollout.Rig{Wheelbase: v.wheelbase, Lock: v.lock * math.Pi / 180,
		Tow: rollout.Body{Ahead: v.wheelbase + v.front, Behind: v.back, Width: v.width, Height: v.height}}
	if v.tongue > 0 {
		r.Hitch, r.Tongue, r.Fold = v.hitch, v.tongue, v.fold*math.Pi/180
		r.Trailer = rollout.Body{Ahead: v.trailerFront, Behind: v.tail, Width: v.wide, Height: v.tall}
	}
	return r
}

// sag is how much lower a loaded rig hangs than the tape said, m; jack is how far the tongue jack hangs below the coupler.
const (
	sag  = 0.05
	jack = 0.30
)

// under is what hangs low, loaded.
func (v vehicle) under() rollout.Undercarriage {
	u := rollout.Undercarriage{Rig: v.rig(), Coupler: max(0.05, v.coupler-sag)}
	low := func(name string, ahead, height float64) rollout.Low {
		return rollout.Low{Name: name, Ahead: ahead, Height: max(0.02, height-sag)}
	}
	u.Tow = []rollout.Low{low("the front bumper", v.wheelbase+v.front, v.belly+0.05), low("the belly", v.wheelbase, v.belly), low("the belly", 0, v.belly),
		low("the rear bumper", -v.back, v.tailHeight)}
	if v.tongue > 0 {
		u.Trailer = []rollout.Low{low("the tongue jack", v.tongue-0.4, v.coupler-jack), low("the trailer's belly", v.trailerFront-0.5, v.trailerBelly),
			low("the trailer's belly", 0, v.trailerBelly), low("the trailer's tail", -v.tail, v.trailerTail)}
	}
	return u
}
