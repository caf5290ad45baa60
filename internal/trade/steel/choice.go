package steel

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/stock"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// StockChoice is what the bars would take from sticks of one length.
type StockChoice struct {
	Stick  quantity.Length  `json:"stick"`
	Sticks int              `json:"sticks"`
	Bought quantity.Length  `json:"bought"`
	Waste  quantity.Percent `json:"waste"` // of what is bought
}

// usualSticks are the lengths bar is sold in. Source: common practice.
var usualSticks = map[quantity.System][]quantity.Length{
	quantity.US:     {quantity.Feet(20), quantity.Feet(30), quantity.Feet(40), quantity.Feet(60)},
	quantity.Metric: {quantity.Metres(6), quantity.Metres(12)},
}

// weigh works out what each usual stick length would take, the chosen one first; leftovers in the yard are not counted.
func (r *Result) weigh(in Input) {
	in.Stock2, in.Leftovers = known.Length{}, nil
	for i, length := range append([]quantity.Length{in.Stock.Value}, usualSticks[in.Units]...) {
		if i > 0 && math.Abs((length-in.Stock.Value).Metres()) < 0.01 {
			continue
		}
		other := in
		other.Stock.Value = length
		if c, ok := other.bought(*r); ok {
			r.Sold = append(r.Sold, c)
		}
	}
}

// bought is the stock that the bars of the grid's size take, cut first fit: a few per cent of a stick do not change the
// advice.
func (in Input) bought(r Result) (StockChoice, bool) {
	count := map[int]int{}
	used := 0
	for _, b := range r.Bars {
		if r.sizeOf(b) != r.Grid.Size {
			continue
		}
		list, err := in.pieces(b, r.Lap)
		if err != nil {
			return StockChoice{}, false
		}
		for _, length := range list {
			count[length]++
			used += length
		}
	}
	plan, err := stock.FirstFit(in.problem(count, true))
	if err != nil || plan.Cost == 0 {
		return StockChoice{}, false
	}
	return StockChoice{Stick: in.Stock.Value, Sticks: plan.Bars, Bought: quantity.Length(float64(plan.Cost) * in.Units.CutStep()),
		Waste: quantity.Percent(1 - float64(used)/float64(plan.Cost))}, true
}

// worthSaying is the saving of bar from which another stick length is proposed.
const worthSaying = 0.05

// stockCheck proposes the stick length that takes the least bar, if that is worth a word.
func (r *Result) stockCheck(in Input) check.Check {
	here := r.Sold[0]
	best := here
	for _, c := range r.Sold[1:] {
		if c.Bought < best.Bought {
			best = c
		}
	}
	shown := func(l quantity.Length, kind quantity.Kind) string { return quantity.Show(l, kind).String(in.Units) }
	c := check.Check{ID: "steel.stock", Level: check.Good, Source: sources.CommonPractice, Value: quantity.Show(here.Bought, quantity.AsDistance), Limit: quantity.Show(best.Bought, quantity.AsDistance),
		Says: fmt.Sprintf("Sticks of %s suit these bars.", shown(here.Stick, quantity.AsSide))}
	if float64(here.Bought-best.Bought) < worthSaying*float64(here.Bought) {
		return c
	}
	c.Level = check.Care
	c.Says = fmt.Sprintf("Sticks of %s take %s of bar; %d of %s would take %s.", shown(here.Stick, quantity.AsSide), shown(here.Bought, quantity.AsDistance),
		best.Sticks, shown(best.Stick, quantity.AsSide), shown(best.Bought, quantity.AsDistance))
	c.Then = []string{"Ask the supplier for that length, or to cut to the list."}
	return c
}
