package order

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// usualShort is the chance of running short that a foreman lives with when he set none. Source: our rule; half a yard left is
// normal, half a yard short in a visible panel is not.
const usualShort = 0.10

// judge says what a careful foreman would say about the order.
func (d *design) judge() {
	d.r.Check(d.shortCheck(), d.ruleCheck(), d.ageCheck(), d.limitCheck(), d.weightCheck())
	for _, c := range []*check.Check{d.allowanceCheck(), d.shortLoadCheck(), d.gapCheck(), d.hotCheck(), d.driveCheck(), d.truckCheck(), d.callCheck(), d.partCheck()} {
		if c != nil {
			d.r.Check(*c)
		}
	}
	d.r.Check(d.cautions()...)
}

func (d *design) volume(v quantity.Volume) string {
	return quantity.Show(v, quantity.AsVolume).String(d.in.Units)
}

func (d *design) minutes(t quantity.Time) string {
	return quantity.Show(t, quantity.AsMinutes).String(d.in.Units)
}

func (d *design) shortCheck() check.Check {
	limit := usualShort
	if d.in.MostShort.Given() {
		limit = float64(d.in.MostShort.Value)
	}
	p := d.r.Outlook.ShortChance
	says := fmt.Sprintf("%s leaves a %.0f %% chance of running short and about %s over", WriteAmount(d.r.Yards, d.in.Units), 100*p, d.volume(d.r.Outlook.LeftOver))
	return check.AtMost("order.short", quantity.Plain(p, quantity.AsPercent), quantity.Plain(limit, quantity.AsPercent), check.Care,
		says+": have a place for it.", fmt.Sprintf("%s: could need %s.", says, WriteAmount(d.r.CouldNeed, d.in.Units)), sources.Newsvendor,
		"Take depths from string to base at six or more places.", "Keep the last load on call and phone the balance.",
		"Order "+WriteAmount(d.r.CouldNeed, d.in.Units)+".")
}

// ruleCheck shows the other way of ordering beside the one that governs.
func (d *design) ruleCheck() check.Check {
	own, other, name := d.r.ByAllowance, d.r.ByCost, "the cheapest balance of short against over"
	if d.r.Rule == ByCost {
		own, other, name = other, own, fmt.Sprintf("neat and %s", d.in.Allowance.Show(quantity.AsPercent).String(d.in.Units))
	}
	c := check.Check{ID: "order.other-rule", Level: check.Good, Value: quantity.Show(own.Quantity, quantity.AsVolume),
		Limit: quantity.Show(other.Quantity, quantity.AsVolume), Source: sources.Newsvendor,
		Says: fmt.Sprintf("By %s it would be %s.", name, WriteAmount(other.Quantity, d.in.Units))}
	if other.Quantity > own.Quantity+d.increment().Value*3/2 {
		c.Level = check.Care
		c.Then = []string{"Think about " + WriteAmount(other.Quantity, d.in.Units) + "."}
	}
	return c
}

func (d *design) allowanceCheck() *check.Check {
	if d.r.Rule != ByAllowance {
		return nil
	}
	a := d.in.Allowance.Show(quantity.AsPercent)
	c := check.Check{ID: "order.allowance", Level: check.Good, Value: a, Source: sources.NRMCAYield, Says: a.String(d.in.Units) + " on top is usual."}
	switch {
	case a.SI < 0.04-1e-9:
		c.Level, c.Says = check.Care, a.String(d.in.Units)+" on top is little: 4 to 10 % is usual."
	case a.SI > 0.10+1e-9:
		c.Level, c.Says = check.Care, a.String(d.in.Units)+" on top is much: 4 to 10 % is usual."
	}
	if c.Level == check.Care {
		c.Then = []string{"Measure the base, then order by it."}
	}
	return &c
}

func (d *design) shortLoadCheck() *check.Check {
	if d.r.Fees <= 0 {
		return nil
	}
	return &check.Check{ID: "order.short-load", Level: check.Care, Value: quantity.Show(d.r.Fees, quantity.AsMoney), Source: sources.CommonPractice,
		Says: fmt.Sprintf("A load under %s costs a fee, %s here.", d.volume(d.in.ShortBelow.Value), quantity.Show(d.r.Fees, quantity.AsMoney).String(d.in.Units)),
		Then: []string{"Pour something else with it: pads, blocks, a step."}}
}

func (d *design) ageCheck() check.Check {
	old := d.oldest()
	age, limit := quantity.Show(old.Age, quantity.AsMinutes), quantity.Show(d.in.TimeLimit.Value, quantity.AsMinutes)
	u := d.in.Units
	return check.AtMost("order.age", age, limit, check.Stop,
		fmt.Sprintf("The oldest concrete is %s at the chute, limit %s.", age.String(u), limit.String(u)),
		fmt.Sprintf("Load %d is %s old at the end of the chute, over the %s agreed.", old.Number, age.String(u), limit.String(u)),
		sources.C94Time, "Smaller loads, more hands to place, a nearer plant, or a longer limit with a retarder agreed with the plant.")
}

// The editions of ASTM C94 that differ in the time limit: until 2019 discharge was to end 90 min after batching, since 2021 the
// buyer or else the producer states a limit. Source: ASTM C94/C94M-17a, 12.7 (recalled); notice on C94/C94M-21, 12.9.
const (
	oldDelivery = "C94-17"
	newDelivery = "C94-21"
)

// oldLimit is the limit of the older editions.
const oldLimit quantity.Time = 90 * 60

// timeAgreed says whether a limit stands: stated by somebody, or by the edition agreed.
func (in Input) timeAgreed() bool {
	return in.TimeLimit.Origin != known.Assumed || in.Edition.Value == oldDelivery
}

// limitCheck reminds that a limit must be agreed, and holds the one stated against the edition agreed.
func (d *design) limitCheck() check.Check {
	c := check.Check{ID: "order.time-agreed", Level: check.Good, Value: quantity.Show(d.in.TimeLimit.Value, quantity.AsMinutes), Source: sources.C94Time,
		Says: "The discharge time is agreed."}
	old := d.in.Edition.Value == oldDelivery
	switch {
	case old && d.in.TimeLimit.Value > oldLimit+1:
		c.Level, c.Limit, c.Source = check.Care, quantity.Show(oldLimit, quantity.AsMinutes), sources.C94OldTime
		c.Says = fmt.Sprintf("%s is longer than the %s of %s.", d.minutes(d.in.TimeLimit.Value), d.minutes(oldLimit), oldDelivery)
		c.Then = []string{"The buyer may waive it where the concrete places without water; have that on the ticket."}
	case old:
		c.Source, c.Says = sources.C94OldTime, fmt.Sprintf("%s is agreed: all out of the chute %s after batching.", oldDelivery, d.minutes(d.in.TimeLimit.Value))
	case !d.in.timeAgreed():
		c.Level = check.Care
		c.Says = fmt.Sprintf("Nobody has agreed a discharge time; %s is the older rule, the standard has had none since 2021.", d.minutes(d.in.TimeLimit.Value))
		c.Then = []string{"Agree one with the plant; it stands on the ticket."}
	}
	return c
}

func (d *design) gapCheck() *check.Check {
	if len(d.r.Loads) < 2 {
		return nil
	}
	wide := d.widest()
	c := check.AtMost("order.gap", quantity.Show(wide.Gap, quantity.AsMinutes), quantity.Show(d.gapLimit(), quantity.AsMinutes), check.Care,
		fmt.Sprintf("The crew waits %s at most between loads; played with late trucks, a wait over %s comes in %.0f %% of days.", d.minutes(wide.Gap), d.minutes(d.gapLimit()), 100*d.r.Chances.Gap),
		fmt.Sprintf("The crew waits %s before load %d: the edge sets and shows as a cold joint.", d.minutes(wide.Gap), wide.Number),
		sources.CommonPractice, "Ask for one more truck.", "Keep the edge live, or plan a joint there.")
	c.Where = fmt.Sprintf("load %d", wide.Number)
	if c.Level == check.Good && d.r.Chances.Gap > 0.2 {
		c.Level, c.Then = check.Care, []string{"Ask for a spacing some minutes shorter.", "Keep the edge live, or plan a joint there."}
	}
	return &c
}

// hotLimit is the age to watch in hot air. Source: our rule, after the older limit.
const hotLimit quantity.Time = 60 * 60

func (d *design) hotCheck() *check.Check {
	if !d.in.AirTemp.Given() || d.in.AirTemp.Value <= hotAir {
		return nil
	}
	old := d.oldest()
	c := check.AtMost("order.hot", quantity.Show(old.Age, quantity.AsMinutes), quantity.Show(hotLimit, quantity.AsMinutes), check.Care,
		"Hot day: the concrete is placed within the hour.",
		fmt.Sprintf("%s in the air: concrete of %s stiffens at the chute. At most 95 °F (35 °C) in the concrete at discharge.",
			d.in.AirTemp.Show(quantity.AsTemp).String(d.in.Units), d.minutes(old.Age)),
		sources.ACI301Hot, "Start at dawn, order cool concrete or a retarder, send smaller loads.")
	return &c
}

func (d *design) truckCheck() *check.Check {
	if !d.in.Trucks.Given() || len(d.r.Loads) < 2 {
		return nil
	}
	needed := d.run().TrucksFor(d.r.Loads[0].Volume, d.r.Spacing, len(d.r.Loads))
	c := check.AtLeast("order.trucks", quantity.Counted(int(d.in.Trucks.Value)), quantity.Counted(needed), check.Care,
		fmt.Sprintf("%d trucks keep the spacing.", needed),
		fmt.Sprintf("%d trucks cannot keep %s between loads; it takes %d.", d.in.Trucks.Value, d.minutes(d.r.Spacing), needed),
		sources.CommonPractice, "Ask for more trucks or place slower.")
	return &c
}

func (d *design) callCheck() *check.Check {
	blanks := len(Blanks(d.r.Call))
	if blanks == 0 {
		return nil
	}
	return &check.Check{ID: "order.call", Level: check.Care, Value: quantity.Counted(blanks), Source: sources.NRMCAOrdering,
		Says: fmt.Sprintf("%d boxes of the call sheet are still empty.", blanks), Then: []string{"Fill them before you phone."}}
}

// cautions stand beside the order because the trucks come with it.
func (d *design) cautions() []check.Check {
	off := "10 ft"
	if d.in.Units == quantity.Metric {
		off = "3 m"
	}
	list := []check.Check{
		check.BackingTruck.In("order"),
		check.Caution("order.chute", "Keep hands off the chute joints and feet from under it: they pinch.", sources.CommonPractice),
		check.Caution("order.overhead", "Keep chute, drum and boom "+off+" or more from overhead lines, more above 50 kV; ask the utility.", sources.OverheadLines),
		check.WashOut.In("order"),
		check.WetCement.In("order"),
	}
	if pumped(d.in.Method.Value) {
		list = append(list, check.Caution("order.pump", "Never stand under a boom or at the end of a blocked hose; outriggers on firm pads.", sources.CommonPractice))
	}
	return list
}
