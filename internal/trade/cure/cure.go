// Package cure answers when they may use it: from when to when to saw, when to strip the forms, walk, drive a car, park the
// trailer, let a truck on; how to cure and for how long; whether the young slab may freeze. Every date has a weekday, is the
// late edge of what the temperatures and the spread of such concrete allow, and says what would bring it forward.
//
// Until a slab temperature is measured the concrete is taken as warm as the air on the slow side, and warmer by what sun and
// its own heat usually add on the fast side: a date is never earlier than the evidence.
package cure

import (
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/working"
)

// Input is what the dates are computed from.
type Input struct {
	Units quantity.System `yaml:"units"`

	Zone     string         `yaml:"zone" says:"time zone of the site, like America/Chicago"`
	Poured   time.Time      `yaml:"poured" says:"when the last concrete is placed"`
	Forecast []weather.Hour `yaml:"forecast" says:"hourly forecast from the pour on"`
	Measured []Temperature  `yaml:"slab_temperatures" says:"temperatures read in the slab"`

	Latitude  known.Known[quantity.Angle] `yaml:"latitude" says:"latitude of the site, north positive" unit:"deg|deg" usual:"24..50|24..60" show:"angle"`
	Longitude known.Known[quantity.Angle] `yaml:"longitude" says:"longitude of the site, east positive" unit:"deg|deg" usual:"-125..-66|-125..40" show:"angle"`
	WindShare known.Ratio                 `yaml:"wind_share" says:"wind at the slab as a share of the forecast's wind" usual:"0.3..1|0.3..1"`
	Placed    known.Temp                  `yaml:"placed_temperature" says:"concrete temperature at the chute" unit:"°F|°C" usual:"50..95|10..35"`
	Ground    known.Temp                  `yaml:"ground_temperature" says:"temperature of the base" unit:"°F|°C" usual:"33..95|1..35"`
	Base      known.Length                `yaml:"base" says:"thickness of the compacted stone under it" unit:"in|mm" usual:"0..12|0..300" show:"thickness"`
	Thorough  known.Truth                 `yaml:"thorough" says:"follow edges and corners in section where it may freeze?"`

	Cementitious known.Density `yaml:"cementitious" says:"cement, fly ash and slag together" unit:"lb/yd3|kg/m3" usual:"400..800|240..480" show:"content"`
	WaterCement  known.Ratio   `yaml:"water_cement" says:"water over cementitious" usual:"0.38..0.60|0.38..0.60"`
	FlyAsh       known.Percent `yaml:"fly_ash" says:"fly ash as a share of cementitious" unit:"%|%" usual:"0..40|0..40" show:"percent"`
	FlyAshLime   known.Percent `yaml:"fly_ash_lime" says:"CaO of the fly ash" unit:"%|%" usual:"3..30|3..30" show:"percent"`
	Slag         known.Percent `yaml:"slag" says:"slag as a share of cementitious" unit:"%|%" usual:"0..50|0..50" show:"percent"`

	LaterAir   known.Temp     `yaml:"later_air" says:"mean air temperature after the forecast ends" unit:"°F|°C" usual:"25..90|-5..32"`
	LaterBand  known.TempDiff `yaml:"later_band" measure:"no" says:"how far that mean may be off" unit:"°F|K" usual:"2..20|1..12"`
	LaterSwing known.TempDiff `yaml:"later_swing" says:"how far days and nights swing about the mean" unit:"°F|K" usual:"5..25|2..14"`

	Strength  known.Stress                 `yaml:"strength" says:"strength ordered" unit:"psi|MPa" usual:"2500..6000|17..45" show:"strength"`
	Cylinders []Cylinder                   `yaml:"cylinders" says:"cylinder results of this mix"`
	Ultimate  known.Ratio                  `yaml:"ultimate_share" measure:"no" says:"strength in the end over strength ordered" usual:"1..1.5|1..1.5"`
	Rate      known.Ratio                  `yaml:"gain_per_day" measure:"no" says:"how fast strength begins, per day at 20 °C" usual:"0.1..0.5|0.1..0.5"`
	Begins    known.Time                   `yaml:"strength_begins" measure:"no" says:"equivalent age at which strength begins" unit:"h|h" usual:"2..14|2..14" show:"hours"`
	Energy    known.Known[quantity.Energy] `yaml:"activation_energy" measure:"no" says:"activation energy of the strength clock" unit:"kJ/mol|kJ/mol" usual:"33..50|33..50" show:"activation energy"`
	Spread    known.Percent                `yaml:"spread" measure:"no" says:"how far a mix may lie off its usual curve" unit:"%|%" usual:"5..30|5..30" show:"percent"`
	Cement    known.Text                   `yaml:"cement" says:"cement type: I, I/II, II, III or V"`

	FinalSet  known.Time     `yaml:"final_set" says:"hours from placing to final set" unit:"h|h" usual:"3..16|3..16" show:"hours"`
	Finished  known.Time     `yaml:"finished" says:"hours from placing to the last broom, when curing begins" unit:"h|h" usual:"2..14|2..14" show:"hours"`
	SawAt     known.Stress   `yaml:"saw_at" says:"strength at which a conventional saw does not ravel this stone" unit:"psi|MPa" usual:"300..1000|2..7" show:"strength"`
	EarlyAt   known.Stress   `yaml:"early_saw_at" says:"strength at which an early-entry saw may go on" unit:"psi|MPa" usual:"100..200|0.7..1.4" show:"strength"`
	Restraint known.Ratio    `yaml:"restraint" measure:"no" says:"how much the ground and walls hold the slab" usual:"0.05..0.6|0.05..0.6"`
	Thickness known.Length   `yaml:"thickness" says:"slab thickness" unit:"in|mm" usual:"3..24|75..600" show:"thickness"`
	Subgrade  known.Subgrade `yaml:"subgrade" says:"how stiff the ground is" unit:"pci|MPa/m" usual:"50..400|14..110"`
	Panels    []Panel        `yaml:"panels" says:"panels between joints"`

	StripAt   known.Stress `yaml:"strip_at" says:"strength to strip the side forms" unit:"psi|MPa" usual:"300..1000|2..7" show:"strength"`
	FootAt    known.Stress `yaml:"foot_at" says:"strength to walk on it" unit:"psi|MPa" usual:"300..1000|2..7" show:"strength"`
	CarAt     known.Stress `yaml:"car_at" says:"strength for cars" unit:"psi|MPa" usual:"2000..4000|14..28" show:"strength"`
	Parks     known.Text   `yaml:"parks" says:"the heaviest thing that is parked on it, in the owner's word"`
	TrailerAt known.Stress `yaml:"trailer_at" says:"strength for what is parked on it" unit:"psi|MPa" usual:"2500..4500|17..31" show:"strength"`
	TruckAt   known.Stress `yaml:"truck_at" says:"strength for a truck; empty: the strength ordered, at 28 days" unit:"psi|MPa" usual:"3000..6000|20..42" show:"strength"`

	Covers     known.Truth      `yaml:"covers" says:"are curing blankets on site?"`
	Tent       known.Truth      `yaml:"tent" says:"does a heated tent stand over it for the first three days?"`
	TentAir    known.Temp       `yaml:"tent_air" says:"air kept in a heated tent" unit:"°F|°C" usual:"45..75|7..24"`
	Shade      known.Ratio      `yaml:"shade" says:"share of the sun that trees, walls or a roof keep off the slab" usual:"0..1|0..1"`
	CoverValue known.Insulation `yaml:"cover_value" says:"resistance of one blanket" unit:"R|m2K/W" usual:"0.5..4|0.1..0.7"`
	Salted     known.Truth      `yaml:"salted" says:"will road salt reach the slab in winter?"`
}

// Temperature is one reading in the slab.
type Temperature struct {
	Time time.Time     `yaml:"time" json:"time"`
	Temp quantity.Temp `yaml:"temperature" json:"temperature" unit:"°F|°C"`
}

// Cylinder is one result, with the equivalent age of the cylinder at 20 °C.
type Cylinder struct {
	Age      quantity.Time   `yaml:"age" json:"age" unit:"d|d"`
	Strength quantity.Stress `yaml:"strength" json:"strength" unit:"psi|MPa"`
}

// Result is the answer.
type Result struct {
	Poured     time.Time    `json:"poured,omitzero"`
	Milestones []Milestone  `json:"milestones"` // in the order of use
	Saw        SawWindows   `json:"saw"`
	Days       []Day        `json:"days"` // strength by day, for the picture
	Methods    []Method     `json:"methods"`
	Freeze     []UnderCover `json:"freeze,omitempty"`  // in a cold forecast
	Updates    []Update     `json:"updates,omitempty"` // how readings moved the dates
	Cracks     []PanelCrack `json:"cracks"`
	Index      []IndexPoint `json:"index"`          // crack index by age
	Heat       []HeatRow    `json:"heat,omitempty"` // temperature by depth, when the forecast tells it
	working.Answer
}

// Milestone is something that may begin.
type Milestone struct {
	Name    string          `json:"name"`
	Says    string          `json:"says"`
	Need    quantity.Stress `json:"need"`
	Age     quantity.Time   `json:"age"`               // on the slow side, not rounded
	Soonest quantity.Time   `json:"soonest"`           // on the fast side
	At      time.Time       `json:"at,omitzero"`       // rounded later
	Never   bool            `json:"never,omitempty"`   // this mix does not get there by what is known of it
	By      string          `json:"by"`                // what governs: strength, least age, or the use before it
	Forward []string        `json:"forward,omitempty"` // what would bring it forward
}

// SawWindows are when to saw. Zero times when the pour is not dated.
type SawWindows struct {
	EarlyFrom  quantity.Time `json:"early_from"` // ages
	EarlyUntil quantity.Time `json:"early_until"`
	From       quantity.Time `json:"from"`
	Until      quantity.Time `json:"until"`
	UntilBy    string        `json:"until_by"`
}

// Day is the strength at one age.
type Day struct {
	Age    quantity.Time   `json:"age"`
	Slow   quantity.Stress `json:"slow"`
	Middle quantity.Stress `json:"middle"`
	Fast   quantity.Stress `json:"fast"`
	Cold   bool            `json:"cold"` // the air is at or below 4 °C at some hour
}

// Design computes the dates.
func Design(in Input) (Result, error) {
	j, err := prepare(in)
	if err != nil {
		return Result{}, err
	}
	r := Result{Poured: j.poured}
	j.showInputs(&r.Working)
	j.earlyLife(&r)
	j.saw(&r)
	j.milestones(&r)
	j.days(&r)
	j.curing(&r)
	r.Check(j.dateCheck()...)
	r.Updates, r.Heat = j.updates(), j.heatRows()
	r.Check(j.movedCheck(r.Updates)...)
	r.Check(j.sawChecks(r.Saw)...)
	r.Check(j.placedCheck()...)
	r.Check(j.freezeCheck(), j.coldCheck())
	j.showCovers(&r)
	r.Check(j.useChecks(r.Milestones)...)
	r.Check(j.deicerCheck())
	r.Check(cautions()...)
	return r, nil
}

// Find is the milestone of a name.
func (r Result) Find(name string) (Milestone, bool) {
	for _, m := range r.Milestones {
		if m.Name == name {
			return m, true
		}
	}
	return Milestone{}, false
}

// Verdict is the gravest level of the checks about the slab itself.
func (r Result) Verdict() check.Level {
	var own []check.Check
	for _, c := range r.Checks {
		if !c.Safety {
			own = append(own, c)
		}
	}
	return check.Worst(own)
}
