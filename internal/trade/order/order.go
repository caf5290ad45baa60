// Package order answers: how many yards, how many trucks, how far apart, and what to say on the phone.
//
// It takes the net volume, splits what is not known about it, and orders either by the trade's allowance or, once base
// depths or costs are known, by the cheapest balance of short against over. It shares the order over trucks, runs their day, and
// writes the call sheet in the order the dispatcher asks.
package order

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/working"
)

// Input is what an order depends on.
type Input struct {
	Units  quantity.System `yaml:"units"`
	Locale string          `yaml:"locale"` // decides how clocks and days are written

	// How much the forms hold: the net volume, or area and thickness.
	Net       known.Volume `yaml:"net" says:"concrete to fill the forms" unit:"yd3|m3" usual:"0.5..200|0.4..150" show:"volume"`
	Area      known.Area   `yaml:"area" says:"area of the slab" unit:"ft2|m2" usual:"10..20000|1..2000" show:"area"`
	Thickness known.Length `yaml:"thickness" says:"slab thickness" unit:"in|mm" usual:"2..24|50..600" show:"thickness"`
	Edges     known.Volume `yaml:"edges" says:"what thick edges add" unit:"yd3|m3" show:"volume"`
	Perimeter known.Length `yaml:"perimeter" says:"form edge around the slab" unit:"ft|m" show:"distance"`
	Pours     []Part       `yaml:"pours" says:"the pours a large slab is parted into, a day each, in the order of placing; from the joints if left out"`
	Which     known.Number `yaml:"pour" says:"which of them this order is for; the first if left out"`

	// What may make it more.
	Shots       known.Number   `yaml:"base_shots" says:"depths taken from string to base"`
	Depths      []known.Length `yaml:"depths" says:"depths from string to base, one a place" unit:"in|mm" usual:"2..24|50..600" show:"drop"`
	BaseInNet   known.Truth    `yaml:"base_in_net" says:"the net volume is reckoned down to the base as shot"`
	BaseMean    known.Length   `yaml:"base_low" says:"how low bases lie on average" unit:"in|mm" usual:"0..1|0..25" show:"drop"`
	BaseLevel   known.Length   `yaml:"base_level" says:"scatter of the base level over the whole pour" unit:"in|mm" usual:"0..1|0..25" show:"drop"`
	Roughness   known.Length   `yaml:"base_roughness" says:"scatter of the base from place to place" unit:"in|mm" usual:"0..1|0..25" show:"drop"`
	OpenStone   known.Truth    `yaml:"open_stone" says:"open stone without choke or sheet below"`
	Bow         known.Length   `yaml:"form_bow" says:"how far forms bow out" unit:"in|mm" usual:"0..1|0..25" show:"drop"`
	Yield       known.Percent  `yaml:"yield" says:"scatter of a load's yield" unit:"%|%" usual:"0..3|0..3" show:"percent"`
	Waste       known.Volume   `yaml:"waste" says:"waste and what stays in the drum" unit:"yd3|m3" usual:"0..1|0..1" show:"volume"`
	WasteSpread known.Volume   `yaml:"waste_spread" says:"scatter of the waste" unit:"yd3|m3" usual:"0..1|0..1" show:"volume"`

	// How to decide.
	Allowance known.Percent     `yaml:"allowance" says:"added to the neat volume" unit:"%|%" usual:"0..15|0..15" show:"percent"`
	Over      known.MoneyVolume `yaml:"over_cost" says:"cost of concrete left over" unit:"$/yd3|$/m3" show:"money per volume"`
	Under     known.MoneyVolume `yaml:"under_cost" says:"extra cost of concrete brought later" unit:"$/yd3|$/m3" show:"money per volume"`
	TopUp     known.Money       `yaml:"top_up" says:"fixed cost of any top-up: fee, trip, crew waiting, cold joint" unit:"$|$" show:"money"`
	MostShort known.Percent     `yaml:"most_short" says:"largest chance of running short you accept" unit:"%|%" usual:"1..30|1..30" show:"percent"`
	Increment known.Volume      `yaml:"increment" says:"the plant's step" unit:"yd3|m3" usual:"0.25..1|0.1..1" show:"volume"`

	// While it is poured.
	Placed  known.Volume  `yaml:"placed" says:"concrete placed so far" unit:"yd3|m3" show:"volume"`
	Done    known.Percent `yaml:"done" says:"share of the area placed so far" unit:"%|%" usual:"10..95|10..95" show:"percent"`
	OnCall  known.Volume  `yaml:"on_call" says:"part of the order not loaded yet: the last load on call" unit:"yd3|m3" show:"volume"`
	Tickets []Ticket      `yaml:"tickets" says:"delivery tickets, load by load"`

	// Trucks.
	Plant         known.Text       `yaml:"plant" says:"the plant it comes from, as the shop calls it"`
	Capacity      known.Volume     `yaml:"truck_holds" says:"what a truck brings" unit:"yd3|m3" usual:"3..11|2..9" show:"volume"`
	TruckEmpty    known.Mass       `yaml:"truck_empty" says:"what an empty truck weighs" unit:"lb|kg" usual:"20000..40000|9000..18000" show:"mass"`
	Density       known.Density    `yaml:"density" says:"weight of the fresh concrete" unit:"lb/ft3|kg/m3" usual:"130..155|2100..2500" show:"density"`
	WayLimit      known.Mass       `yaml:"way_limit" says:"most that the drive, a culvert or a bridge on the way in may carry" unit:"lb|kg" show:"mass"`
	OverDrive     known.Truth      `yaml:"over_drive" says:"the truck crosses a drive"`
	DriveThick    known.Length     `yaml:"drive_thickness" says:"thickness of the concrete drive it crosses" unit:"in|mm" usual:"3..10|75..250" show:"thickness"`
	DriveStrength known.Stress     `yaml:"drive_strength" says:"strength of that drive's concrete" unit:"psi|MPa" usual:"2500..5000|17..35" show:"strength"`
	DriveSupport  known.Subgrade   `yaml:"drive_support" says:"what lies under that drive" unit:"pci|MPa/m" usual:"50..300|14..80" show:"subgrade"`
	Carried       known.Percent    `yaml:"carried" says:"share of the concrete that barrows or buggies carry" unit:"%|%" show:"percent"`
	CarryRate     known.VolumeRate `yaml:"carry_rate" says:"what they bring, all together" unit:"yd3/h|m3/h" show:"volume rate"`
	Rate          known.VolumeRate `yaml:"placing_rate" says:"what the crew places" unit:"yd3/h|m3/h" usual:"3..40|2..30" show:"volume rate"`
	Trucks        known.Number     `yaml:"trucks" says:"trucks the plant can send"`
	Batch         known.Time       `yaml:"batching" says:"loading at the plant" unit:"min" show:"minutes"`
	Haul          known.Time       `yaml:"haul" says:"drive from the plant" unit:"min" usual:"5..90|5..90" show:"minutes"`
	SetUp         known.Time       `yaml:"set_up" says:"set-up on site" unit:"min" show:"minutes"`
	Wash          known.Time       `yaml:"wash" says:"wash-down on site" unit:"min" show:"minutes"`
	Edition       known.Text       `yaml:"delivery_rule" says:"edition of the delivery standard agreed: C94-17 or C94-21"`
	TimeLimit     known.Time       `yaml:"time_limit" says:"discharge time agreed, from batching" unit:"min" usual:"45..150|45..150" show:"minutes"`
	AirTemp       known.Temp       `yaml:"air_temp" says:"warmest air during the pour" unit:"°F|°C" show:"temperature"`
	FreeTime      known.Time       `yaml:"free_time" says:"unloading time free of charge, each load" unit:"min" show:"minutes"`
	WaitPrice     known.MoneyRate  `yaml:"wait_price" says:"price of truck time after that" unit:"$/min" show:"money per hour"`
	ShortBelow    known.Volume     `yaml:"short_load_below" says:"loads below this cost a fee" unit:"yd3|m3" show:"volume"`
	ShortFee      known.Money      `yaml:"short_load_fee" says:"the plant's short-load fee" unit:"$|$" show:"money"`
	Seed          int              `yaml:"seed"` // of the played delivery days

	// What the mix stage says.
	Strength    known.Stress  `yaml:"strength" says:"strength to order" unit:"psi|MPa" show:"strength"`
	WaterCement known.Ratio   `yaml:"water_cement" says:"most water to binder"`
	Stone       known.Length  `yaml:"stone" says:"largest stone" unit:"in|mm" show:"nominal"`
	Slump       known.Length  `yaml:"slump" says:"slump at the chute" unit:"in|mm" show:"slump"`
	Air         known.Percent `yaml:"air" says:"air; 0 for none" unit:"%|%" show:"percent"`
	Added       known.Text    `yaml:"added" says:"anything added: retarder, reducer, hot water"`
	Fibre       known.Text    `yaml:"fibre" says:"fibre, kind and dose, or none"`

	// What only the call needs.
	Account  known.Text                  `yaml:"account" says:"account at the plant"`
	CallBack known.Text                  `yaml:"call_back" says:"call-back number"`
	Day      known.Known[quantity.Date]  `yaml:"day" says:"day of the pour"`
	Start    known.Known[quantity.Clock] `yaml:"start" says:"first truck on site"`
	Address  known.Text                  `yaml:"address" says:"address, cross street, which side, gate"`
	Method   known.Text                  `yaml:"method" says:"chute, buggy, barrow, line pump or boom pump"`
	Reach    known.Length                `yaml:"reach" says:"how far the chute or pump must reach" unit:"ft|m" show:"distance"`
	Drive    known.Text                  `yaml:"drive" says:"driveway and its weight limit"`
	Wires    known.Text                  `yaml:"wires" says:"wires overhead"`
	WashOut  known.Text                  `yaml:"wash_out" says:"wash-out place"`
	Accepts  known.Text                  `yaml:"accepts" says:"who on site accepts or turns away a load"`
	WaterBy  known.Text                  `yaml:"water_by" says:"who on site may allow water"`
}

// locale is how clocks and days are written; a metric job that names none has 24 hours and the day before the month.
func (in Input) locale() string {
	if in.Locale == "" && in.Units == quantity.Metric {
		return "en-GB"
	}
	return in.Locale
}

// Rule is how the order was decided.
type Rule string

// The rules.
const (
	ByAllowance Rule = "allowance" // the trade's: neat and a share on top
	ByCost      Rule = "cost"      // the cheapest balance of short against over
)

// Result is the order.
type Result struct {
	Yards       quantity.Volume     `json:"yards"`           // to order, of all pours together
	Pours       []PourOrder         `json:"pours,omitempty"` // what each takes, where there are several
	Pour        int                 `json:"pour,omitempty"`  // the one this order is for, from 1; 0: the slab is one pour
	Neat        quantity.Volume     `json:"neat"`
	Rule        Rule                `json:"rule"`         // which rule governs
	ByAllowance Outlook             `json:"by_allowance"` // what the allowance would order
	ByCost      Outlook             `json:"by_cost"`      // what the cheapest balance would order
	Base        Base                `json:"base"`         // believed, depths read in it
	ShotValue   quantity.Money      `json:"shot_value"`   // of one more depth from string to base
	Parts       []Spread            `json:"parts"`        // of the uncertainty
	Mean        quantity.Volume     `json:"mean"`         // what will be needed on average
	SD          quantity.Volume     `json:"sd"`
	CouldNeed   quantity.Volume     `json:"could_need"` // one day in twenty needs more
	Outlook     Outlook             `json:"outlook"`    // of the order that governs
	Loads       []Load              `json:"loads"`      // of this pour
	Trucks      int                 `json:"trucks"`
	Spacing     quantity.Time       `json:"spacing"` // zero with one load
	Cycle       quantity.Time       `json:"cycle"`
	Fees        quantity.Money      `json:"fees"` // short-load fees
	Chances     Chances             `json:"chances"`
	TruckWeight quantity.Mass       `json:"truck_weight"`         // of the heaviest, loaded
	RearPair    quantity.Mass       `json:"rear_pair"`            // its rear axles, the extra ones lifted
	DriveUsed   quantity.Ratio      `json:"drive_used,omitempty"` // of what a concrete drive bears at its edge; zero: none is crossed
	Pace        quantity.VolumeRate `json:"pace"`                 // the concrete is placed at, carrying counted
	Call        []Line              `json:"call"`                 // the call sheet
	Balance     *Balance            `json:"balance,omitempty"`    // nil: the pour has not begun
	Receipts    []Receipt           `json:"receipts,omitempty"`   // of the tickets typed
	working.Answer
}

// Design works out the order. It refuses input with faults.
func Design(in Input) (Result, error) {
	if err := in.Validate().Err(); err != nil {
		return Result{}, err
	}
	d := design{in: in}
	d.neat()
	d.uncertainty()
	d.decide()
	d.trucks()
	d.weight()
	d.drive()
	d.during()
	d.r.Call = callSheet(d.in, d.r)
	d.callSteps()
	d.judge()
	return d.r, nil
}

// design is one run: the input and the result as it grows.
type design struct {
	in Input
	u  Uncertain
	r  Result
}
