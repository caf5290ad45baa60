package order

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// neat settles the volume of the forms, from the grade or from area and thickness.
func (d *design) neat() {
	in, w := d.in, &d.r.Working
	step := working.Step{Name: "neat", Says: "concrete to fill the forms", Symbol: "V₀", Source: sources.Arithmetic}
	if in.Area.Given() {
		working.Given(w, "area", "A", "area of the slab", in.Area, quantity.AsArea)
	}
	if in.Thickness.Given() {
		working.Given(w, "thickness", "t", "slab thickness", in.Thickness, quantity.AsThickness)
	}
	if in.Net.Given() {
		d.r.Neat = in.Net.Value
		step.From = []string{working.Given(w, "net", "V₀", "concrete to fill the forms", in.Net, quantity.AsVolume)}
		if in.Edges.Given() && in.Net.Origin == known.Computed { // what a person says fills the forms fills the edges too
			d.r.Neat += in.Edges.Value
			step.Formula, step.From = "net + edges", append(step.From, working.Given(w, "edges", "", "what thick edges add", in.Edges, quantity.AsVolume))
		}
	} else {
		d.r.Neat = SlabVolume(in.Area.Value, in.Thickness.Value, in.Edges.Value)
		step.Formula, step.From = "A · t", []string{"area", "thickness"}
		if in.Edges.Given() {
			step.Formula, step.From = "A · t + edges", append(step.From, working.Given(w, "edges", "", "what thick edges add", in.Edges, quantity.AsVolume))
		}
	}
	step.Value = quantity.Show(d.r.Neat, quantity.AsVolume)
	w.Answer(step)
}

// surveyed is how many depths make a grid survey of the base; with them its level is known twice as well.
const surveyed = 6

// uncertainty splits what is not known about the volume.
func (d *design) uncertainty() {
	in, w := d.in, &d.r.Working
	area, thickness := d.extent()
	d.r.Base = d.base()
	d.u = Uncertain{Net: d.r.Neat, Area: area, Depth: thickness, Perimeter: in.Perimeter.Value,
		BaseMean: d.r.Base.Low, BaseLevel: d.r.Base.Level, Roughness: d.r.Base.Roughness, Cell: roughCell,
		Bow: in.Bow.Value, Yield: float64(in.Yield.Value), Waste: in.Waste.Value, WasteSD: in.WasteSpread.Value}
	if !in.Perimeter.Given() {
		d.u.Perimeter = quantity.Length(4 * math.Sqrt(float64(area)))
		w.Show(working.Step{Name: "perimeter", Says: "form edge, as of a square of that area", Formula: "4 √A", Value: quantity.Show(d.u.Perimeter, quantity.AsDistance),
			From: []string{"neat"}, Source: sources.Arithmetic})
	} else {
		working.Given(w, "perimeter", "", "form edge around the slab", in.Perimeter, quantity.AsDistance)
	}
	if in.OpenStone.Value {
		d.u.Penetration, d.u.PenSD = quantity.Inches(0.375), quantity.Inches(0.25)
	}
	d.u.Waste += d.prime()
	d.r.Parts = d.u.Parts()
	d.r.Mean, d.r.SD = Total(d.r.Neat, d.r.Parts)
	d.showParts()
	d.r.CouldNeed = RoundUp(d.r.Mean+quantity.Volume(oneInTwenty)*d.r.SD, d.increment().Value)
	w.Answer(working.Step{Name: "could_need", Says: "could need, one day in twenty more", Formula: "μ + 1.645 σ, up to the plant's step",
		Value: quantity.Show(d.r.CouldNeed, quantity.AsVolume), From: []string{"mean_need", "spread", "increment"}, Source: sources.Newsvendor})
}

// oneInTwenty is the normal deviate that is passed one time in twenty.
const oneInTwenty = 1.6448536269514722

// roughCell is the area over which a base's roughness is one and the same: 25 ft². Source: common practice.
var roughCell = quantity.Of[quantity.Area](25, "ft2")

// extent is area and thickness, one of them worked back from the net volume where it was not given.
func (d *design) extent() (quantity.Area, quantity.Length) {
	area, thickness := d.in.Area.Value, d.in.Thickness.Value
	if !d.in.Thickness.Given() && area > 0 {
		thickness = quantity.Length(float64(d.r.Neat) / float64(area))
	}
	if !d.in.Thickness.Given() && !(area > 0) {
		thickness = quantity.Inches(5)
	}
	if !(area > 0) {
		area = Coverage(d.r.Neat, thickness)
	}
	return area, thickness
}

// believed is the base before any depth.
func (d *design) believed() Base {
	return Base{Low: d.in.BaseMean.Value, Level: d.in.BaseLevel.Value, Roughness: d.in.Roughness.Value}
}

// base is what is believed of the base: depths typed are weighed in; a count of depths alone halves the scatter of its level, and so
// does a base that the net volume already follows, whose mean is then nothing.
func (d *design) base() Base {
	in, b := d.in, d.believed()
	if len(in.Depths) > 0 {
		over := make([]quantity.Length, len(in.Depths))
		for i, depth := range in.Depths {
			over[i] = depth.Value - in.Thickness.Value
		}
		return b.Seen(over)
	}
	b.Shots = int(in.Shots.Value)
	if in.BaseInNet.Value {
		b.Low = 0
	}
	if b.Shots >= surveyed && in.BaseLevel.Origin == known.Assumed {
		b.Level /= 2
	}
	return b
}

// prime is what stays in a pump line, added where the way to the form is a pump and nobody said the waste.
// Source: common practice, 0.25 to 0.5 yd³.
func (d *design) prime() quantity.Volume {
	if d.in.Waste.Origin == known.Assumed && pumped(d.in.Method.Value) {
		return quantity.CubicYards(0.375)
	}
	return 0
}

func pumped(method string) bool { return method == "line pump" || method == "boom pump" }

func (d *design) showParts() {
	in, w := d.in, &d.r.Working
	inputs := map[string][]string{
		"base level": {working.Given(w, "base_low", "", "how low bases lie on average", in.BaseMean, quantity.AsDrop),
			working.Given(w, "base_level", "", "scatter of the base level", in.BaseLevel, quantity.AsDrop)},
		"base roughness":    {working.Given(w, "base_roughness", "", "scatter of the base from place to place", in.Roughness, quantity.AsDrop)},
		"form bow":          {working.Given(w, "form_bow", "", "how far forms bow out", in.Bow, quantity.AsDrop), "perimeter"},
		"yield of the load": {working.Given(w, "yield", "", "scatter of a load's yield", in.Yield, quantity.AsPercent), "neat"},
		"waste and drum": {working.Given(w, "waste", "", "waste and what stays in the drum", in.Waste, quantity.AsVolume),
			working.Given(w, "waste_spread", "", "scatter of the waste", in.WasteSpread, quantity.AsVolume)},
	}
	if in.Shots.Given() {
		inputs["base level"] = append(inputs["base level"], working.Given(w, "base_shots", "", "depths taken from string to base", in.Shots, ""))
	}
	if in.BaseInNet.Given() {
		inputs["base level"] = append(inputs["base level"], working.Given(w, "base_in_net", "", "net volume goes down to the base as shot", in.BaseInNet, ""))
	}
	d.showDepths(inputs)
	names := []string{"neat"}
	spreads := []string{}
	for i, p := range d.r.Parts {
		if p.Mean == 0 && p.SD == 0 {
			continue
		}
		name := fmt.Sprintf("part_%d", i+1)
		from := append([]string{"neat"}, inputs[p.Name]...)
		w.Show(working.Step{Name: name + "_mean", Says: p.Name + ", more than drawn", Value: quantity.Show(p.Mean, quantity.AsVolume), From: from, Source: sources.CommonPractice})
		w.Show(working.Step{Name: name + "_sd", Says: p.Name + ", scatter", Value: quantity.Show(p.SD, quantity.AsVolume), From: from, Source: sources.CommonPractice})
		names, spreads = append(names, name+"_mean"), append(spreads, name+"_sd")
	}
	w.Answer(working.Step{Name: "mean_need", Says: "will be needed on average", Symbol: "μ", Formula: "V₀ + Σ means", Value: quantity.Show(d.r.Mean, quantity.AsVolume), From: names, Source: sources.Arithmetic})
	w.Answer(working.Step{Name: "spread", Says: "scatter of the need", Symbol: "σ", Formula: "√Σ sd²", Value: quantity.Show(d.r.SD, quantity.AsVolume), From: spreads, Source: sources.Arithmetic})
	working.Given(w, "increment", "", "the plant's step", d.increment(), quantity.AsVolume)
}

func (d *design) increment() known.Volume {
	step := quarter(d.in.Units)
	return d.in.Increment.Or(known.Assume(step, step, 2*step, "plants batch and bill in quarters", sources.CommonPractice))
}

// decide orders by the trade's allowance as long as only the size is known. Once base depths, costs or an accepted chance of
// running short are said, the cheapest balance governs. The other is always shown beside.
func (d *design) decide() {
	in, w, inc := d.in, &d.r.Working, d.increment().Value
	need := Need{Mean: d.r.Mean, SD: d.r.SD, Over: in.Over.Value, Under: in.Under.Value, TopUp: in.TopUp.Value}
	_, order := AllowanceOrder(d.r.Neat, float64(in.Allowance.Value), inc)
	d.r.ByAllowance = need.Outlook(order)
	d.r.ByCost = need.BestOnGrid(inc, RoundUp(d.r.Neat, inc), float64(in.MostShort.Value))
	w.Show(working.Step{Name: "by_allowance", Says: "order by the allowance", Formula: "V₀ (1 + allowance), up to the plant's step", Value: quantity.Show(order, quantity.AsVolume),
		From: []string{"neat", working.Given(w, "allowance", "", "added to the neat volume", in.Allowance, quantity.AsPercent), "increment"}, Source: sources.CommonPractice})
	from := []string{"mean_need", "spread", "increment",
		working.Given(w, "over_cost", "co", "cost of concrete left over", in.Over, quantity.AsMoneyVolume),
		working.Given(w, "under_cost", "cu", "extra cost of concrete brought later", in.Under, quantity.AsMoneyVolume),
		working.Given(w, "top_up", "K", "fixed cost of any top-up", in.TopUp, quantity.AsMoney)}
	if in.MostShort.Given() {
		from = append(from, working.Given(w, "most_short", "", "largest chance of running short accepted", in.MostShort, quantity.AsPercent))
	}
	w.Show(working.Step{Name: "by_cost", Says: "order that costs least on average", Formula: "least of co·E[left] + cu·E[short] + K·P(short) on the plant's steps, not below neat",
		Value: quantity.Show(d.r.ByCost.Quantity, quantity.AsVolume), From: from, Source: sources.Newsvendor})
	why := d.choose()
	w.Show(working.Step{Name: "rule", Says: "which rule governs", Formula: why, Value: quantity.Words("by " + string(d.r.Rule)), From: []string{"by_allowance", "by_cost"}, Source: sources.OwnRule})
	step := working.Step{Name: "yards", Says: "to order", Symbol: "q", Formula: "by " + string(d.r.Rule), From: []string{"rule", "by_" + string(d.r.Rule)}, Source: sources.OwnRule}
	if d.part(); d.r.Pour > 0 {
		step.Formula, step.From = "Σ pours", d.partSteps()
		d.r.Outlook = need.Outlook(d.r.Yards)
	}
	step.Value = quantity.Show(d.r.Yards, quantity.AsVolume)
	w.Answer(step)
	d.showOutlook()
	d.worth(need)
}

// choose picks the rule and says why.
func (d *design) choose() string {
	in := d.in
	reason := ""
	switch {
	case in.MostShort.Given():
		reason = "a chance of running short was set"
	case d.r.Base.Shots >= surveyed:
		reason = fmt.Sprintf("the base was measured at %d places", d.r.Base.Shots)
	case in.Over.Origin.Firm() || in.Under.Origin.Firm() || in.TopUp.Origin.Firm():
		reason = "what short and over cost was said"
	}
	if reason == "" {
		d.r.Rule, d.r.Outlook, d.r.Yards = ByAllowance, d.r.ByAllowance, d.r.ByAllowance.Quantity
		return "neither base depths nor costs were said, so the trade's allowance stands"
	}
	d.r.Rule, d.r.Outlook, d.r.Yards = ByCost, d.r.ByCost, d.r.ByCost.Quantity
	return reason + ", so the cheapest balance stands"
}

func (d *design) showOutlook() {
	w, o := &d.r.Working, d.r.Outlook
	from := []string{"yards", "mean_need", "spread"}
	w.Answer(working.Step{Name: "short_chance", Says: "chance that it is not enough", Symbol: "P", Formula: "1 - Φ((q - μ)/σ)", Value: quantity.Plain(o.ShortChance, quantity.AsPercent), From: from, Source: sources.Newsvendor})
	w.Answer(working.Step{Name: "left_over", Says: "left over on average", Formula: "q - μ + σ L(z)", Value: quantity.Show(o.LeftOver, quantity.AsVolume), From: from, Source: sources.Newsvendor})
	w.Answer(working.Step{Name: "wrong_cost", Says: "what being wrong costs on average", Formula: "co·E[left] + cu·E[short] + K·P(short)", Value: quantity.Show(o.Cost, quantity.AsMoney),
		From: append(from, "over_cost", "under_cost", "top_up"), Source: sources.Newsvendor})
}

// fiveMinutes is how finely a truck spacing is said.
const fiveMinutes quantity.Time = 300

// run is how this job's trucks go.
func (d *design) run() Delivery {
	in := d.in
	return Delivery{Rate: in.pace(), Batch: in.Batch.Value, Haul: in.Haul.Value, SetUp: in.SetUp.Value, Wash: in.Wash.Value}
}

// pace is what is placed an hour: what the crew places, or less where barrows or buggies that carry a share s of it bring less,
// 1/((1 - s)/rate + s/carried).
func (in Input) pace() quantity.VolumeRate {
	rate, carried := float64(in.Rate.Value), float64(in.CarryRate.Value)
	s := float64(in.Carried.Value)
	if !in.CarryRate.Given() || s <= 0 || carried >= rate {
		return in.Rate.Value
	}
	return quantity.VolumeRate(1 / ((1-s)/rate + s/carried))
}

// showPace puts the pace on the sheet and names its step.
func (d *design) showPace() string {
	in, w := d.in, &d.r.Working
	d.r.Pace = in.pace()
	rate := working.Given(w, "placing_rate", "", "what the crew places", in.Rate, quantity.AsVolumeRate)
	if d.r.Pace == in.Rate.Value {
		return rate
	}
	w.Answer(working.Step{Name: "pace", Says: "placed an hour, part of it carried", Formula: "1 / ((1 − s)/rate + s/carried)", Value: quantity.Show(d.r.Pace, quantity.AsVolumeRate), Source: sources.Arithmetic,
		From: []string{rate, working.Given(w, "carried", "s", "share that barrows or buggies carry", in.Carried, quantity.AsPercent), working.Given(w, "carry_rate", "", "what they bring", in.CarryRate, quantity.AsVolumeRate)}})
	return "pace"
}

// split shares the day's order over loads.
func (d *design) split() []quantity.Volume {
	fewest := Split(d.r.Today(), d.in.Capacity.Value, d.increment().Value)
	return d.run().Younger(fewest, d.increment().Value, d.in.TimeLimit.Value, func(split []quantity.Volume) bool {
		return d.fees(split) <= d.fees(fewest)+d.in.ShortFee.Value // one more fee is the cheaper fault than a load turned away
	})
}

// trucks shares the order over trucks and runs their day.
func (d *design) trucks() {
	in, w, run := d.in, &d.r.Working, d.run()
	fewest, loads := Split(d.r.Today(), in.Capacity.Value, d.increment().Value), d.split()
	capacity := working.Given(w, "truck_holds", "", "what a truck brings", in.Capacity, quantity.AsVolume)
	formula := "order / what a truck brings, up"
	if len(loads) > len(fewest) {
		formula += fmt.Sprintf(", and %d more so that none is too old at the chute", len(loads)-len(fewest))
	}
	says, of := "loads, shared evenly", "yards"
	if d.r.Pour > 0 {
		says, of = says+", "+d.r.Day(), fmt.Sprintf("pour_%d", d.r.Pour)
	}
	w.Answer(working.Step{Name: "loads", Says: says, Formula: formula, Value: quantity.Counted(len(loads)),
		From: []string{of, capacity, "increment"}, Source: sources.Arithmetic})
	largest := loads[0]
	w.Answer(working.Step{Name: "largest_load", Says: "largest load", Value: quantity.Show(largest, quantity.AsVolume), From: []string{"loads"}, Source: sources.Arithmetic})
	rate := d.showPace()
	if len(loads) > 1 {
		d.r.Spacing = spacingOf(run.discharge(largest), len(loads))
		w.Answer(working.Step{Name: "spacing", Says: "between trucks", Formula: "load / placing rate, down to 5 min, or to 1 min where many loads would queue", Value: quantity.Show(d.r.Spacing, quantity.AsMinutes),
			From: []string{"largest_load", rate}, Source: sources.CommonPractice})
	}
	d.r.Cycle = run.Cycle(largest)
	times := []string{
		working.Given(w, "batching", "", "loading at the plant", in.Batch, quantity.AsMinutes), working.Given(w, "haul", "", "drive from the plant", in.Haul, quantity.AsMinutes),
		working.Given(w, "set_up", "", "set-up on site", in.SetUp, quantity.AsMinutes), working.Given(w, "wash", "", "wash-down on site", in.Wash, quantity.AsMinutes)}
	w.Show(working.Step{Name: "cycle", Says: "one truck's round", Formula: "batch + haul + set up + unload + wash + haul", Value: quantity.Show(d.r.Cycle, quantity.AsMinutes),
		From: append(times, "largest_load", rate), Source: sources.Arithmetic})
	needed := run.TrucksFor(largest, d.r.Spacing, len(loads))
	d.r.Trucks = needed
	step := working.Step{Name: "trucks", Says: "trucks", Formula: "cycle / spacing, up, not more than loads", From: []string{"cycle", "loads"}, Source: sources.CommonPractice}
	if in.Trucks.Given() {
		d.r.Trucks = min(needed, int(in.Trucks.Value))
		step.From = append(step.From, working.Given(w, "trucks_offered", "", "trucks the plant can send", in.Trucks, ""))
	}
	step.Value = quantity.Counted(d.r.Trucks)
	w.Answer(step)
	d.r.Loads = run.Timeline(loads, d.r.Spacing, d.r.Trucks)
	d.delivery(run, rate)
}

// spacingOf rounds the time a load takes down to five minutes, so that a truck waits a little rather than the crew; over many loads
// these waits add up, so where the last truck would wait more than mostQueued it is rounded down to a minute.
func spacingOf(discharge quantity.Time, loads int) quantity.Time {
	down := func(step quantity.Time) quantity.Time {
		return quantity.Time(math.Floor(float64(discharge/step)+1e-9)) * step
	}
	spacing := down(fiveMinutes)
	if quantity.Time(loads-1)*(discharge-spacing) > mostQueued {
		spacing = down(oneMinute)
	}
	if spacing <= 0 {
		return discharge
	}
	return spacing
}

// fees are the short-load fees of loads.
func (d *design) fees(loads []quantity.Volume) (sum quantity.Money) {
	for _, l := range loads {
		sum += ShortLoadFee(l, d.in.ShortBelow.Value, d.in.ShortFee.Value, 0)
	}
	return sum
}

func loadsOf(plan []Load) []quantity.Volume {
	out := make([]quantity.Volume, len(plan))
	for i, l := range plan {
		out[i] = l.Volume
	}
	return out
}

// mostQueued is how long the last truck of the day may wait for spacings that are easy to say. Source: our rule.
const (
	mostQueued quantity.Time = 10 * 60
	oneMinute  quantity.Time = 60
)

// delivery puts the day's figures on the sheet: the end, the oldest concrete, gaps, fees and chances.
func (d *design) delivery(run Delivery, pace string) {
	in, w := d.in, &d.r.Working
	last := d.r.Loads[len(d.r.Loads)-1]
	limit := working.Given(w, "time_limit", "", "discharge time agreed, from batching", in.TimeLimit, quantity.AsMinutes)
	w.Answer(working.Step{Name: "placing_time", Says: "from the first truck to the last of the concrete", Value: quantity.Show(last.Ends, quantity.AsMinutes), From: d.spaced("largest_load", pace, "trucks"), Source: sources.Arithmetic})
	w.Answer(working.Step{Name: "oldest", Says: "oldest concrete at the chute", Formula: "end of discharge - start of batching", Value: quantity.Show(d.oldest().Age, quantity.AsMinutes), From: []string{"placing_time", "batching", "haul"}, Source: sources.Arithmetic})
	w.Answer(working.Step{Name: "longest_gap", Says: "longest the crew waits between loads", Value: quantity.Show(d.widest().Gap, quantity.AsMinutes), From: d.spaced("trucks"), Source: sources.Arithmetic})
	d.r.Fees = d.fees(loadsOf(d.r.Loads))
	w.Answer(working.Step{Name: "short_load_fees", Says: "short-load fees", Value: quantity.Show(d.r.Fees, quantity.AsMoney), Source: sources.CommonPractice,
		From: []string{"loads", working.Given(w, "short_load_below", "", "loads below this cost a fee", in.ShortBelow, quantity.AsVolume), working.Given(w, "short_load_fee", "", "the plant's short-load fee", in.ShortFee, quantity.AsMoney)}})
	limits := Limits{Gap: d.gapLimit(), Age: in.TimeLimit.Value, FreeTime: in.FreeTime.Value, WaitRate: in.WaitPrice.Value}
	d.r.Chances = run.Chances(d.r.Loads, limits, uint64(in.Seed))
	from := d.spaced("haul", "trucks")
	w.Show(working.Step{Name: "late_chance", Says: "chance that some truck comes late by more than the edge can wait", Formula: fmt.Sprintf("share of %d played days, seed %d", daysTried, in.Seed), Value: quantity.Plain(d.r.Chances.Late, quantity.AsPercent), From: from, Source: sources.LognormalHauling})
	w.Show(working.Step{Name: "gap_chance", Says: "chance that the crew waits too long for a truck", Formula: fmt.Sprintf("share of %d played days, seed %d", daysTried, in.Seed), Value: quantity.Plain(d.r.Chances.Gap, quantity.AsPercent), From: from, Source: sources.LognormalHauling})
	w.Show(working.Step{Name: "old_chance", Says: "chance that a load passes the time limit", Formula: fmt.Sprintf("share of %d played days, seed %d", daysTried, in.Seed), Value: quantity.Plain(d.r.Chances.Old, quantity.AsPercent), From: append(from, limit), Source: sources.LognormalHauling})
	w.Show(working.Step{Name: "wait_charge", Says: "charge for waiting trucks, on average", Formula: "time over the free time · price", Value: quantity.Show(d.r.Chances.Charge, quantity.AsMoney), Source: sources.LognormalHauling,
		From: append(from, working.Given(w, "free_time", "", "unloading time free of charge", in.FreeTime, quantity.AsMinutes), working.Given(w, "wait_price", "", "price of truck time after that", in.WaitPrice, quantity.AsMoneyHour))})
}

func (d *design) oldest() Load { return most(d.r.Loads, func(l Load) quantity.Time { return l.Age }) }
func (d *design) widest() Load { return most(d.r.Loads, func(l Load) quantity.Time { return l.Gap }) }

func most(loads []Load, of func(Load) quantity.Time) Load {
	best := loads[0]
	for _, l := range loads[1:] {
		if of(l) > of(best) {
			best = l
		}
	}
	return best
}

// Gap limits: the edge of placed concrete must stay live. Source: common practice.
const (
	gapLimitCool quantity.Time = 30 * 60
	gapLimitWarm quantity.Time = 15 * 60
)

var (
	warmAir = quantity.Fahrenheit(80)
	hotAir  = quantity.Fahrenheit(85)
)

func (d *design) gapLimit() quantity.Time {
	if d.in.AirTemp.Given() && d.in.AirTemp.Value > warmAir {
		return gapLimitWarm
	}
	return gapLimitCool
}

// spaced is the steps a time on site comes from; the spacing is among them only when there are two loads to space.
func (d *design) spaced(steps ...string) []string {
	if len(d.r.Loads) < 2 {
		return steps
	}
	return append([]string{"spacing"}, steps...)
}
