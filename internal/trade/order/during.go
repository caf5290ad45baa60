package order

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// showDepths puts what depths from string to base tell on the sheet.
func (d *design) showDepths(inputs map[string][]string) {
	if len(d.in.Depths) == 0 {
		return
	}
	w, b := &d.r.Working, d.r.Base
	names := []string{"thickness", "base_low", "base_level", "base_roughness"}
	for i, depth := range d.in.Depths {
		names = append(names, working.Given(w, fmt.Sprintf("depth_%d", i+1), "", fmt.Sprintf("depth %d from string to base", i+1), depth, quantity.AsDrop))
	}
	for _, s := range []working.Step{
		{Name: "base_seen_low", Says: "how low the base lies, depths weighed in", Formula: "σ'² (m/σ² + x̄/(r²/n + d²))", Value: quantity.Show(b.Low, quantity.AsDrop)},
		{Name: "base_seen_level", Says: "scatter of its level, depths weighed in", Formula: "1/√(1/σ² + 1/(r²/n + d²))", Value: quantity.Show(b.Level, quantity.AsDeflection)},
		{Name: "base_seen_roughness", Says: "scatter from place to place, depths weighed in", Formula: "√((k r² + Σ(x - x̄)²)/(k + n - 1))", Value: quantity.Show(b.Roughness, quantity.AsDeflection)},
	} {
		s.From, s.Source = names, sources.NormalLearning
		w.Show(s)
	}
	inputs["base level"] = append(inputs["base level"], "base_seen_low", "base_seen_level")
	inputs["base roughness"] = append(inputs["base roughness"], "base_seen_roughness")
}

// worth puts what one more depth is worth on the sheet.
func (d *design) worth(now Need) {
	u := d.u
	u.BaseLevel = d.r.Base.OneMore(d.believed())
	after := now
	_, after.SD = Total(d.r.Neat, u.Parts())
	d.r.ShotValue = ShotValue(now, after)
	d.r.Working.Answer(working.Step{Name: "shot_value", Says: "what one more depth from string to base saves on average", Formula: "cost of the best order now - cost with the level known after it",
		Value: quantity.Show(d.r.ShotValue, quantity.AsMoney), From: []string{"spread", "over_cost", "under_cost", "top_up"}, Source: sources.NormalLearning})
}

// during answers while the concrete comes: what to call as balance, and whether each load keeps to the order.
func (d *design) during() {
	if d.in.Placed.Given() && d.in.Done.Given() {
		d.balance()
	}
	d.r.Receipts = d.in.Ordered(d.r).JudgeTickets(d.in.Tickets)
	for _, r := range d.r.Receipts {
		d.r.Check(r.Checks...)
	}
}

func (d *design) balance() {
	in, w := d.in, &d.r.Working
	need := d.u
	if d.r.Pour > 0 {
		need = d.r.Pours[d.r.Pour-1].need
	}
	mean, sd := need.Rest(Progress{in.Placed.Value, float64(in.Done.Value)})
	ordered := d.r.Today()
	if brought := Received(in.Tickets); brought > 0 {
		ordered = max(ordered, brought)
	}
	away := refused(in.Tickets)
	firm := max(ordered-away-in.Placed.Value-in.OnCall.Value, 0)
	fee := func(load quantity.Volume) quantity.Money {
		return ShortLoadFee(load, in.ShortBelow.Value, in.ShortFee.Value, 0)
	}
	costs := Need{Mean: mean, SD: sd, Over: in.Over.Value, Under: in.Under.Value, TopUp: in.TopUp.Value}
	b := BestBalance(costs, firm, d.increment().Value, in.Capacity.Value, float64(in.MostShort.Value), fee)
	d.r.Balance = &b
	from := []string{"neat", "spread", working.Given(w, "placed", "", "placed so far", in.Placed, quantity.AsVolume), working.Given(w, "done", "a", "share of the area placed", in.Done, quantity.AsPercent)}
	w.Answer(working.Step{Name: "rest_need", Says: "the rest will need, on average", Formula: "(1 - a)(V₁ + A m') + waste, m' learned from the part done", Value: quantity.Show(mean, quantity.AsVolume), From: from, Source: sources.NormalLearning})
	w.Answer(working.Step{Name: "rest_spread", Says: "scatter of that", Value: quantity.Show(sd, quantity.AsVolume), From: from, Source: sources.NormalLearning})
	onWay := []string{"yards", "placed"}
	if in.OnCall.Given() {
		onWay = append(onWay, working.Given(w, "on_call", "", "part of the order not loaded yet", in.OnCall, quantity.AsVolume))
	}
	formula := "ordered - placed - on call"
	if away > 0 {
		formula = "ordered - turned away - placed - on call"
		w.Show(working.Step{Name: "turned_away", Says: "loads turned away", Value: quantity.Show(away, quantity.AsVolume), Source: sources.Arithmetic})
		onWay = append(onWay, "turned_away")
	}
	w.Show(working.Step{Name: "firm", Says: "on its way or on site", Formula: formula, Value: quantity.Show(firm, quantity.AsVolume), From: onWay, Source: sources.Arithmetic})
	w.Answer(working.Step{Name: "call_now", Says: "load to phone now", Formula: "least of co·E[left] + cu·E[short] + K·P(short) + fee", Value: quantity.Show(b.Call, quantity.AsVolume),
		From: []string{"rest_need", "rest_spread", "firm", "over_cost", "under_cost", "top_up"}, Source: sources.Newsvendor})
	d.r.Check(d.balanceCheck(b))
}

// Received is what tickets say has come, loads turned away not counted.
func Received(tickets []Ticket) quantity.Volume {
	sum := quantity.Volume(0)
	for _, t := range tickets {
		sum += t.kept()
	}
	return sum
}

// refused is what was turned away: it was ordered and does not come.
func refused(tickets []Ticket) quantity.Volume {
	sum := quantity.Volume(0)
	for _, t := range tickets {
		sum += t.Volume.Value - t.kept()
	}
	return sum
}

func (d *design) balanceCheck(b Balance) check.Check {
	c := check.Check{ID: "order.balance", Level: check.Good, Value: quantity.Show(b.Call, quantity.AsVolume), Source: sources.Newsvendor,
		Says: fmt.Sprintf("The rest needs about %s and %s are firm: %.0f %% chance of running short, call nothing more.", d.volume(b.Rest), d.volume(b.Firm), 100*b.Without.ShortChance)}
	if b.Call > 0 {
		c.Level = check.Care
		c.Says = fmt.Sprintf("The rest needs about %s and %s are firm: %.0f %% chance of running short.", d.volume(b.Rest), d.volume(b.Firm), 100*b.Without.ShortChance)
		c.Then = []string{fmt.Sprintf("Phone %s now: it leaves %.0f %%.", WriteAmount(b.Call, d.in.Units), 100*b.Outlook.ShortChance)}
	}
	return c
}
