package pour

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Team is who places and finishes, with what, how fast, and off which trucks; and what has happened so far.
type Team struct {
	Hands   known.Number `yaml:"hands" says:"everybody on site who works"`
	Placers known.Number `yaml:"placers" says:"of them at chute and screed until all is placed"`
	Strips  known.Number `yaml:"strips" says:"strips the slab is placed in; 0: by its area"`
	Edge    known.Length `yaml:"edge" says:"edge to round" unit:"ft|m" usual:"10..1000|3..300" show:"distance"`
	Grooves known.Length `yaml:"grooves" says:"joints grooved by hand" unit:"ft|m" usual:"0..500|0..150" show:"distance"`
	Saw     known.Length `yaml:"saw" says:"joints cut with an early-entry saw" unit:"ft|m" usual:"0..500|0..150" show:"distance"`

	Load     known.Volume `yaml:"load" says:"what a truck brings" unit:"yd3|m3" usual:"2..11|1.5..9" show:"volume"`
	Spacing  known.Time   `yaml:"truck_spacing" says:"between trucks; 0: a load over the placing rate" unit:"min|min" usual:"10..90|10..90" show:"minutes"`
	Made     known.Time   `yaml:"age_on_site" says:"age of a load when it comes" unit:"min|min" usual:"15..60|15..60" show:"minutes"`
	AgeLimit known.Time   `yaml:"age_limit" says:"age by which a load must be empty" unit:"min|min" usual:"60..150|60..150" show:"minutes"`
	FreeTime known.Time   `yaml:"free_time" says:"time on site free of charge, each load" unit:"min|min" usual:"20..90|20..90" show:"minutes"`
	Swap     known.Time   `yaml:"truck_swap" says:"from one truck's last to the next one's first, when it waits" unit:"min|min" usual:"2..10|2..10" show:"minutes"`

	BullFloatRate known.AreaRate   `yaml:"bull_float_rate" says:"one hand, bull float" unit:"ft2/h|m2/h" usual:"500..1200|45..110"`
	EdgeRate      known.LengthRate `yaml:"edge_rate" says:"one hand, edger" unit:"ft/h|m/h" usual:"60..140|18..43"`
	GrooveRate    known.LengthRate `yaml:"groove_rate" says:"one hand, groover" unit:"ft/h|m/h" usual:"40..90|12..27"`
	FloatRate     known.AreaRate   `yaml:"float_rate" says:"one hand, hand or magnesium float" unit:"ft2/h|m2/h" usual:"100..300|9..28"`
	BroomRate     known.AreaRate   `yaml:"broom_rate" says:"one hand, broom" unit:"ft2/h|m2/h" usual:"300..900|28..84"`
	SprayRate     known.AreaRate   `yaml:"spray_rate" says:"one hand, curing spray" unit:"ft2/h|m2/h" usual:"800..2500|75..230"`
	SawRate       known.LengthRate `yaml:"saw_rate" says:"one hand, early-entry saw" unit:"ft/h|m/h" usual:"150..300|45..90"`
	BullFloats    known.Number     `yaml:"bull_floats" says:"bull floats on site"`
	Groovers      known.Number     `yaml:"groovers" says:"groovers on site"`
	Brooms        known.Number     `yaml:"brooms" says:"brooms on site"`
	BullWithin    known.Time       `yaml:"bull_float_within" says:"from strike-off to the first bleed water, at 20 °C" unit:"min|min" usual:"15..60|15..60" show:"minutes"`

	SpacingScatter known.Percent `yaml:"spacing_scatter" says:"how unevenly trucks come" unit:"%|%" usual:"5..60|5..60" show:"percent"`
	LateTrucks     known.Percent `yaml:"late_trucks" says:"trucks that come late besides" unit:"%|%" usual:"0..30|0..30" show:"percent"`
	LateBy         known.Time    `yaml:"late_by" says:"how late those are on average" unit:"min|min" usual:"5..60|5..60" show:"minutes"`
	PlacingScatter known.Percent `yaml:"placing_scatter" says:"how unevenly loads are placed" unit:"%|%" usual:"5..40|5..40" show:"percent"`
	WindowScatter  known.Percent `yaml:"window_scatter" says:"how far a day's set may lie off the clock" unit:"%|%" usual:"5..30|5..30" show:"percent"`
	WorkScatter    known.Percent `yaml:"work_scatter" says:"how unevenly hands work" unit:"%|%" usual:"5..40|5..40" show:"percent"`

	Risk known.Percent `yaml:"risk" says:"days in a hundred on which something may come too late" unit:"%|%" usual:"1..30|1..30" show:"percent"`
	Days known.Number  `yaml:"days" says:"days played"`
	Seed known.Number  `yaml:"seed" says:"where chance begins; the same gives the same days"`
	Taps []Tap         `yaml:"taps" says:"what has happened so far"`
}

// Tap is one thing that happened on the day, stamped as it did.
type Tap struct {
	At    time.Time `yaml:"at" json:"at" says:"when"`
	What  string    `yaml:"what" json:"what" says:"truck here, struck off, sheen gone, bull floated, edged, grooved, floated, broomed, cured or sawn"`
	Strip int       `yaml:"strip" json:"strip,omitempty" says:"number of the strip, first placed is 1; left out: the next"`
}

// The words of taps.
const (
	TruckHere = "truck here"
	StruckOff = "struck off"
	SheenGone = "sheen gone"
)

// step is one operation of finishing: how it is called, and how when it is done.
type step struct{ name, done string }

// steps in the order of the work. Float is the last chance to close the surface, broom the finish.
var steps = []step{{"bull float", "bull floated"}, {"edge", "edged"}, {"groove", "grooved"}, {"float", "floated"}, {"broom", "broomed"}, {"cure", "cured"}, {"saw", "sawn"}}

const (
	bullStep = iota
	edgeStep
	grooveStep
	floatStep
	broomStep
	cureStep
	sawStep
)

// Tools by their place in the day's list; the last two, sprayer and saw, are as many as there are.
const (
	bullTool = iota
	grooveTool
	broomTool
	sprayTool
	sawTool
)

// handTools are those that a truck can bring more of.
var handTools = []int{bullTool, grooveTool, broomTool}

// TapWords lists what may be tapped.
func TapWords() []string {
	words := []string{TruckHere, StruckOff, SheenGone}
	for _, s := range steps {
		words = append(words, s.done)
	}
	return words
}

const minute = 60.0

// feetAnHour and squareFeetAnHour in SI.
const (
	feetAnHour       = 0.3048 / 3600
	squareFeetAnHour = 0.09290304 / 3600
)

func defaultTeam() Team {
	area := func(low, value, high float64) known.AreaRate {
		return known.Assume(quantity.AreaRate(value*squareFeetAnHour), quantity.AreaRate(low*squareFeetAnHour), quantity.AreaRate(high*squareFeetAnHour), "usual rate", sources.CommonPractice)
	}
	length := func(low, value, high float64) known.LengthRate {
		return known.Assume(quantity.LengthRate(value*feetAnHour), quantity.LengthRate(low*feetAnHour), quantity.LengthRate(high*feetAnHour), "usual rate", sources.CommonPractice)
	}
	minutes := func(low, value, high float64, why string) known.Time {
		return known.Assume(quantity.Minutes(value), quantity.Minutes(low), quantity.Minutes(high), why, sources.CommonPractice)
	}
	share := func(low, value, high float64, why string) known.Percent {
		return known.Assume(quantity.Percent(value), quantity.Percent(low), quantity.Percent(high), why, sources.CommonPractice)
	}
	number := func(low, value, high quantity.Number, why string) known.Number {
		return known.Assume(value, low, high, why, sources.CommonPractice)
	}
	return Team{
		Placers: number(2, 2, 4, "two at chute and screed while two finish"),
		Strips:  known.Guess[quantity.Number](0, "as many as the area makes", sources.OwnRule),
		Load:    known.Assume(quantity.Of[quantity.Volume](9, "yd3"), quantity.Of[quantity.Volume](8, "yd3"), quantity.Of[quantity.Volume](10, "yd3"), "trucks hold 9 to 11", sources.CommonPractice),
		Spacing: minutes(0, 0, 60, "a load over the placing rate"),
		Made:    minutes(20, 35, 50, "loading and a drive of half an hour"), AgeLimit: minutes(60, 90, 120, "the older rule of 90 min"),
		FreeTime: minutes(30, 45, 60, "five minutes a yard"), Swap: minutes(2, 4, 8, "chute off, chute on"),
		BullFloatRate: area(500, 800, 1200), EdgeRate: length(60, 90, 140), GrooveRate: length(40, 60, 90), FloatRate: area(100, 180, 300),
		BroomRate: area(300, 500, 900), SprayRate: area(800, 1200, 2500), SawRate: length(150, 200, 300),
		BullFloats: number(1, 1, 2, "one on site"), Groovers: number(1, 1, 2, "one on site"), Brooms: number(1, 1, 2, "one on site"),
		BullWithin:     minutes(15, 40, 60, "before bleed water shows"),
		SpacingScatter: share(0.1, 0.25, 0.4, "trucks come a quarter off their spacing"), LateTrucks: share(0, 0, 0.1, "no truck late besides"),
		LateBy: minutes(10, 20, 40, "a late truck is twenty minutes late"), PlacingScatter: share(0.1, 0.15, 0.25, "loads differ"),
		WindowScatter: share(0.08, 0.12, 0.2, "cement and weather differ from the forecast"), WorkScatter: share(0.1, 0.2, 0.3, "people and strips differ"),
		Risk: share(0.05, 0.10, 0.2, "one day in ten"), Days: number(500, 2000, 10000, "a share of one in ten is then good to 1.3 in a hundred"),
		Seed: known.Guess[quantity.Number](1, "any number will do", sources.OwnRule),
	}
}

func (t Team) limits(l *bounds.List) {
	const hour = 3600.0
	count := func(field string, k known.Number, low, high quantity.Number) {
		if k.Given() && (k.Value < low || k.Value > high) {
			l.Add("team."+field, k.Show("").String(l.Units), "cannot be.", fmt.Sprintf("Type %d to %d.", low, high))
		}
	}
	count("hands", t.Hands, 1, 60)
	count("placers", t.Placers, 1, 30)
	count("strips", t.Strips, 0, 60)
	count("bull_floats", t.BullFloats, 1, 20)
	count("groovers", t.Groovers, 1, 20)
	count("brooms", t.Brooms, 1, 20)
	count("days", t.Days, 1, 100_000)
	count("seed", t.Seed, 0, 1_000_000_000)
	bounds.Between(l, "team.edge", t.Edge, 0, 5000, quantity.AsDistance)
	bounds.Between(l, "team.grooves", t.Grooves, 0, 5000, quantity.AsDistance)
	bounds.Between(l, "team.saw", t.Saw, 0, 5000, quantity.AsDistance)
	bounds.Needed(l, "team.load", t.Load, 0.1, 15, quantity.AsVolume)
	for _, v := range []struct {
		field     string
		k         known.Time
		low, high float64
	}{{"truck_spacing", t.Spacing, 0, 6 * hour}, {"age_on_site", t.Made, 0, 3 * hour}, {"age_limit", t.AgeLimit, 0.25 * hour, 8 * hour}, {"free_time", t.FreeTime, 0, 4 * hour},
		{"truck_swap", t.Swap, 0, hour}, {"bull_float_within", t.BullWithin, 5 * minute, 4 * hour}, {"late_by", t.LateBy, 0, 4 * hour}} {
		bounds.Needed(l, "team."+v.field, v.k, quantity.Time(v.low), quantity.Time(v.high), quantity.AsMinutes)
	}
	for _, v := range []struct {
		field string
		k     known.AreaRate
	}{{"bull_float_rate", t.BullFloatRate}, {"float_rate", t.FloatRate}, {"broom_rate", t.BroomRate}, {"spray_rate", t.SprayRate}} {
		bounds.Needed(l, "team."+v.field, v.k, 1/hour, 2000/hour, quantity.AsAreaRate)
	}
	for _, v := range []struct {
		field string
		k     known.LengthRate
	}{{"edge_rate", t.EdgeRate}, {"groove_rate", t.GrooveRate}, {"saw_rate", t.SawRate}} {
		bounds.Needed(l, "team."+v.field, v.k, 1/hour, 1000/hour, quantity.AsLengthRate)
	}
	for _, v := range []struct {
		field string
		k     known.Percent
		low   quantity.Percent
	}{{"spacing_scatter", t.SpacingScatter, 0}, {"late_trucks", t.LateTrucks, 0}, {"placing_scatter", t.PlacingScatter, 0}, {"window_scatter", t.WindowScatter, 0},
		{"work_scatter", t.WorkScatter, 0}, {"risk", t.Risk, 0.001}} {
		bounds.Needed(l, "team."+v.field, v.k, v.low, 1, quantity.AsPercent)
	}
}

// tapFaults says what is wrong with what was tapped.
func (t Team) tapFaults() check.Faults {
	var faults check.Faults
	for i, tap := range t.Taps {
		field := fmt.Sprintf("team.taps[%d]", i+1)
		if !slices.Contains(TapWords(), strings.ToLower(strings.TrimSpace(tap.What))) {
			faults = append(faults, check.Fault{Field: field + ".what", Given: tap.What, Why: "is not something that is tapped.", Type: "Type one of: " + strings.Join(TapWords(), ", ") + "."})
		}
		if tap.At.IsZero() || i > 0 && tap.At.Before(t.Taps[i-1].At) {
			faults = append(faults, check.Fault{Field: field + ".at", Given: tap.At.Format(time.RFC3339), Why: "taps go by rising time.", Type: "Sort them, and give each its time."})
		}
		if tap.Strip < 0 || tap.Strip > 60 {
			faults = append(faults, check.Fault{Field: field + ".strip", Given: fmt.Sprint(tap.Strip), Why: "there is no such strip.", Type: "The first strip placed is 1."})
		}
	}
	return faults
}
