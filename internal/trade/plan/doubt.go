package plan

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"slabwright/internal/engines/doubt"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/working"
)

// Spared is how much less must be held back for the chosen share of jobs (`price: {business: {covered: …}}`) once a guess is
// known: of money in the price, of concrete in the talk with the plant, of days in the promise to the owner.
//
// Each guess follows the PERT form on its range and moves the outcome as it does on its own; guesses are independent. What must be held
// back is the outcome's quantile over its mean, and once the guess is known, that of the sum without it.
// Source: Howard 1966 for the value of information, three-point estimates for the form.
type Spared struct {
	Money quantity.Money
	Yards quantity.Volume
	Days  float64
}

// valueDraws is how often the outcome is drawn to value what knowing a guess spares: 2,000 stratified draws put its deviation within
// a hundredth.
const valueDraws = 2000

// valueSeed draws the same for every plan, so that a change in the ranking is a change in the job.
const valueSeed = 1

// value sets what each mover's finding out spares and is worth: the money and the days it spares, less the foreman's time at the
// crew's wage.
func (p Plan) value(movers []Mover) {
	if len(movers) == 0 {
		return
	}
	price := p.Results.PriceInput
	share := float64(price.Business.Covered.Value)
	now := movers[0].now
	spared := func(likely float64, at func(Mover) [2]float64) []float64 {
		out := make([]float64, len(movers))
		spread, err := doubt.Draw(likely, uncertain(movers, likely, at), valueDraws, valueSeed)
		if err != nil {
			return out
		}
		for i := range movers {
			out[i] = spread.Spared(i, share)
		}
		return out
	}
	var money, yards, days []float64
	var wait sync.WaitGroup
	wait.Go(func() { money = spared(float64(now.cost), Mover.costs) })
	wait.Go(func() {
		yards = spared(float64(now.yards), func(m Mover) [2]float64 { return [2]float64{float64(m.Yards[0]), float64(m.Yards[1])} })
	})
	wait.Go(func() { days = spared(now.ready, func(m Mover) [2]float64 { return m.Ready }) })
	wait.Wait()
	for i := range movers {
		m := &movers[i]
		m.Spared = Spared{quantity.Money(money[i]), quantity.Volume(yards[i]), days[i]}
		m.Effort = effortOf(m.Guess)
		m.Worth = m.Spared.Money + price.Business.Day.Value*quantity.Money(days[i]) - quantity.Money(float64(price.Labour.Wage.Value)*float64(m.Effort.Time))
	}
}

func (m Mover) costs() [2]float64 { return [2]float64{float64(m.Cost[0]), float64(m.Cost[1])} }

// uncertain are the movers as uncertain numbers of one outcome. An end where the outcome is unknown moves nothing.
func uncertain(movers []Mover, likely float64, at func(Mover) [2]float64) []doubt.Number {
	out := make([]doubt.Number, len(movers))
	for i, m := range movers {
		low, high := min(m.Low.SI, m.Value.SI), max(m.High.SI, m.Value.SI)
		ends := at(m)
		if !quantity.Finite(ends[0], ends[1]) {
			ends = [2]float64{likely, likely}
		}
		out[i] = doubt.Number{Low: low, Likely: m.Value.SI, High: high, Outcome: [3]float64{ends[0], likely, ends[1]}}
	}
	return out
}

// Risk is what the guesses of a plan may do to its cost.
type Risk struct {
	Draws       int
	Seed        uint64
	Likely      quantity.Money   // cost with every guess as planned and nothing held back
	Low         quantity.Money   // one job in ten costs less
	Middle      quantity.Money   // half of the jobs cost less
	High        quantity.Money   // one job in ten costs more
	Covers      quantity.Percent // the share of jobs the shop wants its price to cover
	Covered     quantity.Money   // cost that many jobs stay under
	Contingency quantity.Money   // Covered over Likely: what must be held back; never below zero
	Quote       quantity.Money   // price that covers it and keeps the margin
	Price       quantity.Money   // as planned
	Loss        quantity.Percent // chance that the cost passes that price
	Tried       int              // whole plans made with every guess drawn, to see what the sum of single moves misses
	Missed      quantity.Money   // root mean square of what it missed there
	Worst       []Swing          // what the cost swings by most, largest first
}

// Swing is what one guess moves the cost by, from the tenth to the ninetieth of a hundred draws.
type Swing struct {
	Mover
	From, To quantity.Money
}

// How a price's risk is drawn where nobody asks for more.
const (
	CostDraws = 10000
	CostTried = 8
	CostSeed  = 1
)

// PriceRisk draws the plan's cost many times. Each guess moves the cost as it did on its own at the ends of its range; what the shop
// or the owner decides stays as planned. Whole plans with all guesses drawn at once measure what that misses (Tried, Missed). The same plan, draws and seed give the same. A plan
// without a price is an error.
func (p Plan) PriceRisk(draws, tried int, seed uint64) (Risk, error) {
	return p.PriceRiskWithin(context.Background(), draws, tried, seed)
}

// rankedShare is how much of the whole work is done when the guesses are ranked.
const rankedShare = 0.7

// PriceRiskWithin is PriceRisk for a caller who may stop it, and to whom it tells how far it is (working.WithProgress).
func (p Plan) PriceRiskWithin(ctx context.Context, draws, tried int, seed uint64) (Risk, error) {
	if p.unpriced {
		return Risk{}, errors.New("prices are not shown here")
	}
	if r, ok := p.Of("price"); !ok || !r.Answered() {
		return Risk{}, fmt.Errorf("the job has no price yet, so nothing can be said of its risk: %s", p.lack(r))
	}
	ranked, err := p.Rank(working.WithProgress(ctx, func(share float64) { working.Tell(ctx, rankedShare*share) }))
	if err != nil {
		return Risk{}, err
	}
	movers := slices.DeleteFunc(slices.Clone(ranked), func(m Mover) bool { return m.Effort.Decided })
	now, business := p.outcome(), p.Results.PriceInput.Business
	all := uncertain(movers, float64(now.cost), Mover.costs)
	spread, err := doubt.Draw(float64(now.cost), all, draws, seed)
	if err != nil {
		return Risk{}, err
	}
	k := Risk{Draws: draws, Seed: seed, Likely: now.cost, Price: now.price, Covers: business.Covered.Value}
	k.Low, k.Middle, k.High = quantity.Money(spread.Quantile(0.1)), quantity.Money(spread.Quantile(0.5)), quantity.Money(spread.Quantile(0.9))
	k.Covered = quantity.Money(spread.Quantile(float64(k.Covers)))
	k.Contingency = max(0, k.Covered-k.Likely)
	k.Quote = business.Price(k.Covered)
	k.Loss = quantity.Percent(spread.Above(float64(k.Price)))
	k.Worst = swings(movers, spread)
	k.Tried = tried
	k.Missed, err = p.missed(ctx, movers, all, spread, tried)
	return k, err
}

func swings(movers []Mover, spread doubt.Spread) []Swing {
	var out []Swing
	for i, m := range movers {
		from, to := spread.Swing(i)
		if to-from > leastMove*float64(m.now.cost) {
			out = append(out, Swing{m, quantity.Money(from), quantity.Money(to)})
		}
	}
	slices.SortStableFunc(out, func(a, b Swing) int { return cmp.Compare(b.To-b.From, a.To-a.From) })
	return out
}

// missed makes whole plans at draws spread over the run and compares their cost with the sum of single moves. A draw at which a
// stage cannot answer is passed over.
func (p Plan) missed(ctx context.Context, movers []Mover, all []doubt.Number, spread doubt.Spread, tried int) (quantity.Money, error) {
	planner := p.asked()
	lacking := len(p.Unanswered())
	sum, n := 0.0, 0
	for k := range tried {
		if err := ctx.Err(); err != nil {
			return 0, err
		}
		working.Tell(ctx, rankedShare+(1-rankedShare)*float64(k)/float64(tried))
		var what []whatIf
		for i, m := range movers {
			what = append(what, whatIf{m.Stage, m.Field, spread.At(i, k)})
		}
		whole := planner.suppose(p, moved(), what...)
		if len(whole.Unanswered()) > lacking {
			continue
		}
		d := float64(whole.outcome().cost) - spread.Total(k)
		sum, n = sum+d*d, n+1
	}
	if n == 0 {
		return 0, nil
	}
	return quantity.Money(math.Sqrt(sum / float64(n))), nil
}
