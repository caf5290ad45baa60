// Package price answers: what does it cost, what do we charge?
//
// It writes the bill of quantities from the other stages' amounts, adds the hours from production rates, and turns direct
// cost into a price: contingency, overhead, then profit as a margin on the price, rounded up with the rounding shown. Prices
// are the shop's own; the starting ones are invented and marked.
package price

import (
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/doubt"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Line is one line of the bill of quantities.
type Line struct {
	Name   string         `json:"name"`
	Says   string         `json:"says"`
	Group  string         `json:"group"` // materials, equipment, labour
	Amount quantity.Any   `json:"amount"`
	Waste  float64        `json:"waste,omitempty"` // share bought over the amount
	Price  quantity.Any   `json:"price"`           // per unit
	Total  quantity.Money `json:"total"`
	Low    quantity.Money `json:"low"` // with the price at the ends of its range
	High   quantity.Money `json:"high"`
}

// Task is one line of labour hours.
type Task struct {
	Name  string        `json:"name"`
	Says  string        `json:"says"`
	Hours quantity.Time `json:"hours"` // of one person
}

// Result is the bill and the price.
type Result struct {
	Lines       []Line         `json:"lines"`
	Tasks       []Task         `json:"tasks"`
	Hours       quantity.Time  `json:"hours"`
	Direct      quantity.Money `json:"direct"`
	Contingency quantity.Money `json:"contingency"`
	Overhead    quantity.Money `json:"overhead"`
	Cost        quantity.Money `json:"cost"`
	Profit      quantity.Money `json:"profit"`
	Rounding    quantity.Money `json:"rounding"`
	Price       quantity.Money `json:"price"`
	Tax         quantity.Money `json:"tax"`   // on the owner's bill, beyond the price
	Total       quantity.Money `json:"total"` // price and tax
	Payments    []Due          `json:"payments"`
	Safer       quantity.Money `json:"eight_in_ten"` // price for eight jobs of ten, with the amounts as planned
	working.Answer
}

// Due is a payment with its time; all of a result's make up its total to the cent.
type Due struct {
	When  string         `json:"when"`
	Money quantity.Money `json:"money"`
}

// Design prices the job.
func Design(in Input) (Result, error) {
	if err := in.Validate().Err(); err != nil {
		return Result{}, err
	}
	var r Result
	r.labour(in)
	r.bill(in)
	r.build(in)
	r.pay(in)
	r.doubt(in)
	r.judge(in)
	return r, nil
}

// build turns direct cost into the price: contingency and overhead on direct cost, profit as margin on the price.
func (r *Result) build(in Input) {
	b := in.Business
	for _, l := range r.Lines {
		r.Direct += l.Total
	}
	r.answer("direct", "direct cost", "Σ lines", r.Direct, lineNames(r.Lines), sources.Arithmetic)
	r.Contingency = quantity.Money(float64(r.Direct) * float64(b.Contingency.Value))
	r.Overhead = quantity.Money(float64(r.Direct) * float64(b.Overhead.Value))
	r.Cost = r.Direct + r.Contingency + r.Overhead
	r.Working.Show(working.Step{Name: "contingency", Says: "contingency", Formula: "direct · share", Value: money2(r.Contingency), From: []string{"direct", given(r, "contingency_share", "contingency", b.Contingency)}, Source: sources.CommonPractice})
	r.Working.Show(working.Step{Name: "overhead", Says: "overhead", Formula: "direct · share", Value: money2(r.Overhead), From: []string{"direct", given(r, "overhead_share", "overhead", b.Overhead)}, Source: sources.CommonPractice})
	r.answer("cost", "cost to the shop", "direct + contingency + overhead", r.Cost, []string{"direct", "contingency", "overhead"}, sources.Arithmetic)
	exact := priceByMargin(r.Cost, b.Margin.Value)
	r.Price = b.Price(r.Cost)
	r.Rounding, r.Profit = r.Price-exact, exact-r.Cost
	margin := given(r, "margin_share", "margin", b.Margin)
	r.answer("profit", "profit", "price before rounding − cost", r.Profit, []string{"cost", margin}, sources.MarginText)
	r.Working.Show(working.Step{Name: "rounding", Says: "rounding up", Formula: "up to the next step", Value: money2(r.Rounding), From: []string{"cost", "profit"}, Source: sources.CommonPractice})
	r.answer("price", "price to quote", "cost / (1 − margin), rounded up", r.Price, []string{"cost", "profit", "rounding"}, sources.MarginText)
	r.Working.Answer(working.Step{Name: "margin", Says: "margin, profit over price", Formula: "(price − cost) / price", Value: quantity.Plain(float64(r.Price-r.Cost)/float64(r.Price), quantity.AsPercent), From: []string{"price", "cost"}, Source: sources.MarginText})
	r.Working.Answer(working.Step{Name: "per_area", Says: "price for each unit of slab", Formula: "price / area", Value: quantity.Plain(float64(r.Price)/float64(in.Work.Area.Value), quantity.AsMoneyArea), From: []string{"price"}, Source: sources.Arithmetic})
}

// pay adds the tax and shares the total among the payments: each in whole money, the last with what rounding leaves.
func (r *Result) pay(in Input) {
	b := in.Business
	r.Tax = cents(r.Price * quantity.Money(b.Tax.Value))
	r.Total = r.Price + r.Tax
	if r.Tax > 0 {
		r.answer("tax", "sales tax on the owner's bill", "price · rate", r.Tax, []string{"price", given(r, "tax_rate", "tax", b.Tax)}, sources.CommonPractice)
		r.answer("total", "price with tax", "price + tax", r.Total, []string{"price", "tax"}, sources.Arithmetic)
	}
	left := r.Total
	payments := b.schedule()
	for i, p := range payments {
		due := quantity.Money(math.Round(float64(r.Total) * float64(p.Share.Value)))
		if i == len(payments)-1 {
			due = left
		}
		left -= due
		r.Payments = append(r.Payments, Due{p.When.Value, due})
	}
}

// schedule is the payments as the shop says, or its deposit and the rest.
func (b Business) schedule() []Payment {
	if len(b.Payments) > 0 {
		return b.Payments
	}
	rest := Payment{When: known.Say("When it is done"), Share: known.Say(1 - b.Deposit.Value)}
	if b.Deposit.Value > 0 {
		return []Payment{{When: known.Say("When you say yes"), Share: b.Deposit}, rest}
	}
	return []Payment{rest}
}

func given(r *Result, name, says string, k known.Percent) string {
	return working.Given(&r.Working, name, "", says, k, quantity.AsPercent)
}

func lineNames(lines []Line) []string {
	names := make([]string, len(lines))
	for i, l := range lines {
		names[i] = l.Name
	}
	return names
}

func (r *Result) answer(name, says, formula string, v quantity.Money, from []string, source sources.Key) {
	r.Working.Answer(working.Step{Name: name, Says: says, Formula: formula, Value: money2(v), From: from, Source: source})
}

func money2(v quantity.Money) quantity.Any { return quantity.Show(v, quantity.AsMoney) }

// priceByMargin is the price that leaves margin g of itself as profit: C/(1 − g). A mark-up m on cost gives C·(1 + m); the two
// are never the same number: g = m/(1 + m).
//
// Source: contractor finance texts. Valid for 0 ≤ g < 1. Checked: BLD-35, BLD-36.
func priceByMargin(cost quantity.Money, g quantity.Percent) quantity.Money {
	return quantity.Money(float64(cost) / (1 - float64(g)))
}

// Price is what the shop quotes for a job that costs it this much: its margin kept, rounded up its way.
func (b Business) Price(cost quantity.Money) quantity.Money {
	return roundUp(priceByMargin(cost, b.Margin.Value), b.Round.Value)
}

// roundUp is v rounded up to the next multiple of step; a tenth of a cent of rounding error does not lift it a whole step.
func roundUp(v, step quantity.Money) quantity.Money {
	if step <= 0 {
		return v
	}
	return quantity.Money(math.Ceil(float64(v)/float64(step)-1e-3/float64(step))) * step
}

// doubt adds the ranges of the lines: each a three-point estimate with mean (a + 4m + b)/6 and variance ((b − a)/6)², taken
// as independent; the price for eight jobs of ten, with the amounts as planned, is μ + 0.8416·σ of direct cost carried through the same shares.
func (r *Result) doubt(in Input) {
	mean, variance := 0.0, 0.0
	for _, l := range r.Lines {
		m, v := threePoint(float64(l.Low), float64(l.Total), float64(l.High))
		mean, variance = mean+m, variance+v
	}
	p80 := mean + doubt.EightInTen*math.Sqrt(variance)
	b := in.Business
	cost := quantity.Money(p80 * (1 + float64(b.Overhead.Value)))
	r.Safer = b.Price(cost)
	r.answer("eight_in_ten", "price for eight jobs in ten, amounts as planned", "(μ + 0.8416·σ)·(1 + overhead) / (1 − margin)", r.Safer, append(lineNames(r.Lines), "margin_share", "overhead_share"), sources.ThreePoint)
}

// threePoint is mean and variance of a three-point (PERT) estimate a ≤ m ≤ b. Source: network-planning texts. Checked: BLD-37.
func threePoint(a, m, b float64) (mean, variance float64) {
	return (a + 4*m + b) / 6, (b - a) * (b - a) / 36
}

func (r *Result) judge(in Input) {
	invented := 0
	for _, e := range known.Entries(&in) {
		if e.Origin == known.Assumed && e.Source == sources.PlaceholderFee {
			invented++
		}
	}
	c := check.Check{ID: "price.own-prices", Level: check.Good, Says: "All prices are the shop's own.", Value: quantity.Counted(invented), Limit: quantity.Counted(0), Source: sources.OwnRule}
	if invented > 0 {
		c.Level, c.Says = check.Care, fmt.Sprintf("%d prices are invented starting values: do not quote from them.", invented)
		c.Then = []string{"Type the shop's own prices under `price:`."}
	}
	if n := len(in.Old); n > 0 {
		r.Check(check.Check{ID: "price.old-prices", Level: check.Care, Value: quantity.Counted(n), Limit: quantity.Counted(0), Source: sources.OwnRule,
			Says: "Old prices of the shop's list: " + strings.Join(in.Old, ", ") + ".", Then: []string{"Ask for today's, and set them on the shop's list."}})
	}
	r.Check(c, check.AtLeast("price.covers-doubt", money2(r.Price), money2(r.Safer), check.Care,
		"With the amounts as planned, the price covers eight jobs of ten.",
		fmt.Sprintf("With the amounts as planned, it takes %s to cover eight jobs of ten; the price is %s.", money2(r.Safer).String(in.Units), money2(r.Price).String(in.Units)),
		sources.ThreePoint, "Firm up the widest prices or raise contingency."))
	if n := in.Work.Days; n.Given() && n.Value > 1 {
		r.Check(check.Check{ID: "price.pour-days", Level: check.Care, Source: sources.CommonPractice, Value: n.Show(quantity.AsCount), Limit: quantity.Counted(1),
			Says: fmt.Sprintf("%.0f days of pouring: waiting and a pump are counted for each, moving in once.", float64(n.Value)),
			Then: []string{"If the crew leaves the site between pours, raise `set_up` under `rates`."}})
	}
	if in.Business.Deposit.Value > 0 {
		r.Check(check.Check{ID: "price.deposit", Level: check.Care, Source: sources.CommonPractice, Value: in.Business.Deposit.Show(quantity.AsPercent),
			Says: fmt.Sprintf("A deposit of %s is set; some states cap what may be taken before work starts.", in.Business.Deposit.Show(quantity.AsPercent).String(in.Units)),
			Then: []string{"Check the local limit before you ask for it."}})
	}
}

// Validate finds every fault of the input at once.
func (in Input) Validate() check.Faults {
	var faults check.Faults
	for _, e := range known.Entries(&in) {
		v := e.Value.SI
		switch {
		case e.Value.Kind != quantity.AsText && (!quantity.Finite(v) || v < 0 || v > 1e12):
			faults = append(faults, check.Fault{Field: "price." + e.Field, Given: e.Text, Why: "cannot be less than zero or beyond all measure.", Type: "Type a price or amount from zero up."})
		case e.Field == "business.margin" && v >= 0.95:
			faults = append(faults, check.Fault{Field: "price." + e.Field, Given: e.Text, Why: "leaves nothing for cost: margin is profit over price.", Type: "Type a share like 10 %. A mark-up of 20 % on cost is a margin of 16.7 %."})
		case rated(e.Field) && !(v > 0):
			faults = append(faults, check.Fault{Field: "price." + e.Field, Given: e.Text, Why: "would never finish.", Type: "Type what one person gets done in an hour."})
		}
	}
	faults = append(faults, in.paymentFaults()...)
	if !(in.Work.Area.Value > 0) {
		faults = append(faults, check.Fault{Field: "price.work.area", Given: in.Work.Area.Text, Why: "is not known.", Type: "Type the slab's area, like 560 ft2."})
	}
	return faults
}

// paymentFaults finds payments that do not make the whole, and a deposit said twice.
func (in Input) paymentFaults() check.Faults {
	sum := quantity.Percent(0)
	for _, p := range in.Business.Payments {
		sum += p.Share.Value
	}
	switch n := len(in.Business.Payments); {
	case in.Business.Deposit.Value > 1:
		return check.Faults{{Field: "price.business.deposit", Given: in.Business.Deposit.Text, Why: "is more than the whole bill.", Type: "Type a share like 10 %."}}
	case n > 0 && math.Abs(float64(sum)-1) > 1e-6:
		return check.Faults{{Field: "price.business.payments", Given: quantity.Plain(float64(sum), quantity.AsPercent).String(in.Units), Why: "is what the shares add up to, not the whole bill.", Type: "Type shares that add up to 100 %."}}
	}
	return nil
}

func rated(field string) bool {
	return field == "materials.board_uses" || (len(field) > 6 && field[:6] == "rates." && field != "rates.set_up")
}
