package order

import (
	"fmt"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/fresh"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Ticket is a delivery ticket and what was measured at the chute, typed line by line as it becomes known.
type Ticket struct {
	Number       known.Text                  `yaml:"number" says:"ticket number"`
	Truck        known.Text                  `yaml:"truck" says:"truck number"`
	Volume       known.Volume                `yaml:"volume" says:"concrete on the ticket" unit:"yd3|m3" usual:"0.5..11|0.4..9" show:"volume"`
	Strength     known.Stress                `yaml:"strength" says:"strength on the ticket" unit:"psi|MPa" usual:"2000..6000|15..45" show:"strength"`
	Batched      known.Known[quantity.Clock] `yaml:"batched" says:"time water met cement"`
	Arrived      known.Known[quantity.Clock] `yaml:"arrived" says:"time on site"`
	Emptied      known.Known[quantity.Clock] `yaml:"emptied" says:"time the last of it left the chute"`
	Cementitious known.Mass                  `yaml:"cementitious" says:"cement, fly ash and slag of the load" unit:"lb|kg" show:"mass"`
	Water        known.Volume                `yaml:"water" says:"water batched, moisture of sand and stone in it" unit:"gal|L" show:"water"`
	Added        known.Volume                `yaml:"water_added" says:"water let in on site" unit:"gal|L" show:"water"`
	Refused      known.Truth                 `yaml:"turned_away" says:"was the load turned away"`
	Weight       known.Mass                  `yaml:"weight" says:"all that was batched" unit:"lb|kg" show:"mass"`
	Slump        known.Length                `yaml:"slump" says:"slump measured" unit:"in|mm" usual:"1..8|25..200" show:"slump"`
	Air          known.Percent               `yaml:"air" says:"air measured" unit:"%|%" usual:"1..9|1..9" show:"percent"`
	Temp         known.Temp                  `yaml:"temperature" says:"temperature of the concrete" unit:"°F|°C" usual:"50..95|10..35" show:"temperature"`
	Density      known.Density               `yaml:"unit_weight" says:"weight of fresh concrete in the measure" unit:"lb/ft3|kg/m3" usual:"135..155|2150..2500" show:"density"`
}

// Ordered is what tickets are held against.
type Ordered struct {
	Units       quantity.System
	Volume      quantity.Volume
	Strength    known.Stress
	WaterCement float64 // most allowed; zero: no limit
	Slump       known.Length
	Air         known.Percent
	TimeLimit   quantity.Time
	Section     quantity.Length // least dimension of the pour
}

// Ordered is what this order asks of every load.
func (in Input) Ordered(r Result) Ordered {
	o := Ordered{Units: in.Units, Volume: r.Yards, Strength: in.Strength, WaterCement: float64(in.WaterCement.Value), Slump: in.Slump, Air: in.Air,
		TimeLimit: in.TimeLimit.Value, Section: quantity.Inches(6)}
	if in.Thickness.Given() {
		o.Section = in.Thickness.Value
	}
	return o
}

// Ask is one thing every load must keep to.
type Ask struct{ What, Says string }

// Asks lists what every load must keep to, for the form that is filled in at the chute. What nobody ordered is left out.
func (o Ordered) Asks() []Ask {
	u := o.Units
	thick := func(l quantity.Length) string { return quantity.Show(l, quantity.AsSlump).String(u) }
	warm := func(t quantity.Temp) string { return quantity.Show(t, quantity.AsTemp).Trimmed(u) }
	var out []Ask
	if o.Strength.Given() {
		out = append(out, Ask{"strength on the ticket", o.Strength.Show(quantity.AsStrength).Trimmed(u) + " or more"})
	}
	out = append(out, Ask{"last of it out of the chute", quantity.Show(o.TimeLimit, quantity.AsMinutes).String(u) + " after batching at the latest"})
	if o.WaterCement > 0 {
		out = append(out, Ask{"water to binder", fmt.Sprintf("%.2f at most, with what is let in on site", o.WaterCement)})
	}
	if o.Slump.Given() {
		low, high := fresh.SlumpRange(u, o.Slump.Value, false)
		out = append(out, Ask{"slump", thick(low) + " to " + thick(high)})
	}
	if o.Air.Given() && o.Air.Value > 0 {
		points := 100 * float64(o.Air.Value)
		out = append(out, Ask{"air", fmt.Sprintf("%.3g to %.3g %%", points-100*fresh.AirTolerance, points+100*fresh.AirTolerance)})
	}
	return append(out, Ask{"temperature of the concrete", warm(fresh.LeastTemperature(u, o.Section)) + " to " + warm(fresh.HottestAllowed)})
}

// kept is what of a load stays on the job: nothing of one that was turned away.
func (t Ticket) kept() quantity.Volume {
	if t.Refused.Value {
		return 0
	}
	return t.Volume.Value
}

// Receipt is a ticket judged.
type Receipt struct {
	Load        int             `json:"load"`
	Age         quantity.Time   `json:"age"`          // when it was emptied, else when it arrived; zero: not known
	Left        quantity.Time   `json:"left"`         // of the time limit
	WaterCement float64         `json:"water_cement"` // with what was let in; zero: not known
	MayAdd      quantity.Volume `json:"may_add"`      // water that the limit still allows; zero also where nothing tells
	Yield       float64         `json:"yield"`        // volume made over volume on the ticket; zero: not known
	Total       quantity.Volume `json:"total"`        // received so far, this load in it
	Balance     quantity.Volume `json:"balance"`      // still to come of the order; below zero: more came
	Checks      []check.Check   `json:"checks"`
}

// JudgeTicket holds one load against the order as far as its ticket is typed: what is not typed yet is not judged, save that water
// may not be added without a ticket that shows room for it. before is what the loads before it brought.
func (o Ordered) JudgeTicket(load int, before quantity.Volume, t Ticket) Receipt {
	r := Receipt{Load: load, Total: before + t.kept()}
	r.Balance = o.Volume - r.Total
	for _, judge := range []func(*Receipt, Ticket) *check.Check{o.mixTicket, o.ageTicket, o.waterTicket, o.slumpTicket, o.airTicket, o.warmthTicket, o.yieldTicket, o.totalTicket} {
		if c := judge(&r, t); c != nil {
			c.Where = fmt.Sprintf("load %d", load)
			c.Says = fmt.Sprintf("Load %d: %s%s", load, strings.ToLower(c.Says[:1]), c.Says[1:])
			r.Checks = append(r.Checks, *c)
		}
	}
	return r
}

// JudgeTickets judges loads in the order they came.
func (o Ordered) JudgeTickets(tickets []Ticket) []Receipt {
	var out []Receipt
	before := quantity.Volume(0)
	for i, t := range tickets {
		r := o.JudgeTicket(i+1, before, t)
		before = r.Total
		out = append(out, r)
	}
	return out
}

func (o Ordered) mixTicket(_ *Receipt, t Ticket) *check.Check {
	if !t.Strength.Given() || !o.Strength.Given() {
		return nil
	}
	on, asked := t.Strength.Show(quantity.AsStrength), o.Strength.Show(quantity.AsStrength)
	c := check.AtLeast("order.ticket-mix", on, asked, check.Stop, "The ticket says the strength ordered.",
		fmt.Sprintf("The ticket says %s, %s was ordered: it is another mix.", on.String(o.Units), asked.String(o.Units)), sources.C94Ticket,
		"Do not unload; call the plant.")
	return &c
}

// minutesFrom is the time from one clock to a later one, across midnight if need be.
func minutesFrom(early, late quantity.Clock) quantity.Time {
	const day = 24 * 60
	return quantity.Minutes(float64(((int(late)-int(early))%day + day) % day))
}

func (o Ordered) ageTicket(r *Receipt, t Ticket) *check.Check {
	if !t.Batched.Given() || !t.Arrived.Given() && !t.Emptied.Given() {
		return nil
	}
	says := "on arrival"
	if t.Arrived.Given() {
		r.Age = minutesFrom(t.Batched.Value, t.Arrived.Value)
	}
	if t.Emptied.Given() {
		r.Age, says = minutesFrom(t.Batched.Value, t.Emptied.Value), "at the end of the chute"
	}
	r.Left = o.TimeLimit - r.Age
	age, limit := quantity.Show(r.Age, quantity.AsMinutes), quantity.Show(o.TimeLimit, quantity.AsMinutes)
	good := fmt.Sprintf("%s old %s; %s are left.", age.String(o.Units), says, quantity.Show(r.Left, quantity.AsMinutes).String(o.Units))
	c := check.AtMost("order.ticket-age", age, limit, check.Stop, good,
		fmt.Sprintf("%s old %s, over the %s agreed.", age.String(o.Units), says, limit.String(o.Units)), sources.C94Time,
		"Turn it away, or take it only if it places without water and the buyer waives the limit.")
	return &c
}

// waterTicket works out w/cm with the water let in, and what may still be added.
func (o Ordered) waterTicket(r *Receipt, t Ticket) *check.Check {
	if !t.Cementitious.Given() || !t.Water.Given() || t.Cementitious.Value <= 0 {
		if !t.Added.Given() || t.Added.Value <= 0 {
			return nil
		}
		return &check.Check{ID: "order.ticket-water", Level: check.Stop, Source: sources.C94SiteWater, Value: t.Added.Show(quantity.AsWater),
			Says: fmt.Sprintf("%s were let in and the ticket shows no room for it.", t.Added.Show(quantity.AsWater).String(o.Units)),
			Then: []string{"Add no water; read batched water and cement off the ticket first."}}
	}
	water := fresh.WaterMass(t.Water.Value + max(t.Added.Value, 0))
	r.WaterCement = float64(water) / float64(t.Cementitious.Value)
	c := &check.Check{ID: "order.ticket-water", Level: check.Good, Source: sources.C94SiteWater, Value: quantity.Plain(r.WaterCement, quantity.AsRatio),
		Says: fmt.Sprintf("Water to binder is %.3f.", r.WaterCement)}
	if o.WaterCement <= 0 {
		return c
	}
	room := o.WaterCement*float64(t.Cementitious.Value) - float64(water)
	r.MayAdd = fresh.WaterVolume(quantity.Mass(max(room, 0)))
	c.Limit = quantity.Plain(o.WaterCement, quantity.AsRatio)
	c.Says = fmt.Sprintf("Water to binder is %.3f of %.2f allowed: %s may still be let in, once, before unloading.", r.WaterCement, o.WaterCement, quantity.Show(r.MayAdd, quantity.AsWater).String(o.Units))
	if r.WaterCement > o.WaterCement*(1+1e-9) {
		c.Level, c.Then = check.Stop, []string{"Turn it away, or have the plant confirm its water in writing."}
		c.Says = fmt.Sprintf("Water to binder is %.3f, over the %.2f ordered.", r.WaterCement, o.WaterCement)
	}
	return c
}

func (o Ordered) slumpTicket(_ *Receipt, t Ticket) *check.Check {
	if !t.Slump.Given() || !o.Slump.Given() {
		return nil
	}
	low, high := fresh.SlumpRange(o.Units, o.Slump.Value, false)
	show := func(l quantity.Length) string { return quantity.Show(l, quantity.AsSlump).String(o.Units) }
	c := &check.Check{ID: "order.ticket-slump", Level: check.Good, Source: sources.C94Slump, Value: t.Slump.Show(quantity.AsSlump), Limit: quantity.Show(high, quantity.AsSlump),
		Says: fmt.Sprintf("Slump %s is within %s to %s.", show(t.Slump.Value), show(low), show(high))}
	switch {
	case t.Slump.Value > high+1e-9:
		c.Level, c.Says = check.Stop, fmt.Sprintf("Slump %s is over %s.", show(t.Slump.Value), show(high))
		c.Then = []string{"Test a second sample at once; if it is over again, turn the load away."}
	case t.Slump.Value < low-1e-9:
		c.Level, c.Says = check.Care, fmt.Sprintf("Slump %s is under %s.", show(t.Slump.Value), show(low))
		c.Then = []string{"Water only as far as the ticket shows room, once; then 30 turns of the drum and a new test."}
	}
	return c
}

func (o Ordered) airTicket(_ *Receipt, t Ticket) *check.Check {
	if !t.Air.Given() || !o.Air.Given() || o.Air.Value <= 0 {
		return nil
	}
	got, asked := t.Air.Show(quantity.AsPercent), o.Air.Show(quantity.AsPercent)
	c := &check.Check{ID: "order.ticket-air", Level: check.Good, Source: sources.C94Air, Value: got, Limit: asked, Says: fmt.Sprintf("Air %s suits %s ± 1.5.", got.String(o.Units), asked.String(o.Units))}
	if !fresh.AirAccepted(o.Air.Value, t.Air.Value) {
		c.Level, c.Then = check.Stop, []string{"Test a second sample at once; if it is off again, turn the load away."}
		c.Says = fmt.Sprintf("Air %s is more than 1.5 points from %s.", got.String(o.Units), asked.String(o.Units))
	}
	return c
}

func (o Ordered) warmthTicket(_ *Receipt, t Ticket) *check.Check {
	if !t.Temp.Given() {
		return nil
	}
	least := fresh.LeastTemperature(o.Units, o.Section)
	show := func(v quantity.Temp) string { return quantity.Show(v, quantity.AsTemp).String(o.Units) }
	c := &check.Check{ID: "order.ticket-temperature", Level: check.Good, Source: sources.C94Cold, Value: t.Temp.Show(quantity.AsTemp), Limit: quantity.Show(least, quantity.AsTemp),
		Says: fmt.Sprintf("%s is neither cold nor hot.", show(t.Temp.Value))}
	switch {
	case t.Temp.Value < least-1e-9:
		c.Level, c.Says, c.Then = check.Stop, fmt.Sprintf("%s is colder than the %s a slab needs.", show(t.Temp.Value), show(least)), []string{"Turn it away; ask the plant for hot water."}
	case t.Temp.Value > fresh.HottestAllowed+1e-9:
		c.Level, c.Source, c.Limit = check.Stop, sources.ACI301Hot, quantity.Show(fresh.HottestAllowed, quantity.AsTemp)
		c.Says, c.Then = fmt.Sprintf("%s is hotter than %s.", show(t.Temp.Value), show(fresh.HottestAllowed)), []string{"Turn it away; ask for cool water or ice, or pour at dawn."}
	}
	return c
}

// yieldSlack is how far a load's yield may lie from one. Source: ASTM C138, NRMCA CIP 8.
const yieldSlack = 0.02

func (o Ordered) yieldTicket(r *Receipt, t Ticket) *check.Check {
	if !t.Weight.Given() || !t.Density.Given() || !t.Volume.Given() || t.Density.Value <= 0 || t.Volume.Value <= 0 {
		return nil
	}
	r.Yield = float64(t.Weight.Value) / float64(t.Density.Value) / float64(t.Volume.Value)
	c := &check.Check{ID: "order.ticket-yield", Level: check.Good, Source: sources.ASTMC138, Value: quantity.Plain(r.Yield, quantity.AsRatio),
		Says: fmt.Sprintf("The load yields %.3f of its ticket.", r.Yield)}
	if r.Yield < 1-yieldSlack || r.Yield > 1+yieldSlack {
		c.Level, c.Then = check.Care, []string{"Take unit weights of two more loads; talk to the plant with the three."}
		c.Says = fmt.Sprintf("The load yields %.3f of its ticket: short is also a richer mix, over a leaner one.", r.Yield)
	}
	return c
}

func (o Ordered) totalTicket(r *Receipt, t Ticket) *check.Check {
	if !t.Volume.Given() || t.Refused.Value {
		return nil
	}
	show := func(v quantity.Volume) string { return quantity.Show(v, quantity.AsVolume).String(o.Units) }
	c := &check.Check{ID: "order.ticket-total", Level: check.Good, Source: sources.Arithmetic, Value: quantity.Show(r.Total, quantity.AsVolume), Limit: quantity.Show(o.Volume, quantity.AsVolume),
		Says: fmt.Sprintf("%s received, %s still to come.", show(r.Total), show(max(r.Balance, 0)))}
	if r.Balance < -1e-6 {
		c.Level, c.Then = check.Care, []string{"Check the tickets against the loads that came."}
		c.Says = fmt.Sprintf("%s received, %s more than ordered.", show(r.Total), show(-r.Balance))
	}
	return c
}
