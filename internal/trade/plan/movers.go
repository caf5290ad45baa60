package plan

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/working"
)

// Mover is a guess with what it moves: the yards to order, the price, the cost and the day the slab may be driven on, when
// the guess goes to either end of its range; and what it would be worth to find it out.
type Mover struct {
	Guess
	Yards  [2]quantity.Volume // with the guess at its low and high end
	Price  [2]quantity.Money
	Cost   [2]quantity.Money
	Ready  [2]float64 // days after the pour
	Stops  []check.ID // checks that say don't at one of its ends and not as planned
	Spared Spared
	Effort Effort
	Worth  quantity.Money // what finding it out is worth, less the time it takes
	now    outcome
}

// outcome is what a mover moves.
type outcome struct {
	yards quantity.Volume
	price quantity.Money
	cost  quantity.Money // to the shop, with nothing held back for doubt
	ready float64        // days
	stops []check.ID
}

func (p Plan) outcome() outcome {
	figure := func(name string) float64 {
		s, _ := p.Figure(name)
		return s.Value.SI
	}
	o := outcome{yards: quantity.Volume(figure("order.neat")), price: quantity.Money(figure("price.price")),
		cost: quantity.Money(figure("price.direct") + figure("price.overhead")), ready: quantity.Time(figure("cure.trailer_days")).Days()}
	for _, c := range p.Checks() {
		if c.Level == check.Stop {
			o.stops = append(o.stops, c.ID)
		}
	}
	return o
}

// Movers ranks the plan's guesses by what finding each out is worth: what to measure next. Each guess is taken to both ends
// of its range with all else as it is; guesses that move nothing, and those at whose ends a stage could not answer any more, are
// left out, and so are those nobody on a site could measure. First come guesses at whose ends a check says don't; then the others by
// their worth (see Spared), and by how much they move where that is equal. The what-ifs share the processors; each has its own place
// in the ranking, so that the answer does not depend on their number.
func (p Plan) Movers() []Mover {
	movers, _ := p.Rank(context.Background()) // nobody stops it, and it has no other trouble
	return movers
}

// Rank is Movers for a caller who may stop it, and to whom it tells how far it is (working.WithProgress).
func (p Plan) Rank(ctx context.Context) ([]Mover, error) {
	p.ranking.lock.Lock()
	defer p.ranking.lock.Unlock()
	if !p.ranking.done {
		rank := p.rank
		if p.ranking.rank != nil {
			rank = p.ranking.rank
		}
		movers, err := rank(ctx)
		if err != nil {
			return nil, err
		}
		p.ranking.movers, p.ranking.done = movers, true
	}
	return p.ranking.movers, nil
}

// ranking keeps a plan's movers once they are ranked: several sheets ask for them.
type ranking struct {
	lock   sync.Mutex
	done   bool
	rank   func(context.Context) ([]Mover, error) // nil: the plan's own way
	movers []Mover
}

// moved are the stages whose answers a guess may move, and those before them. The day itself is not planned anew for each guess.
func moved() []string {
	return slices.DeleteFunc(behind("order", "price", "cure"), func(name string) bool { return name == "pour" })
}

func (p Plan) rank(ctx context.Context) ([]Mover, error) {
	stages := moved()
	guesses := slices.DeleteFunc(p.Guesses(), func(g Guess) bool { return !g.Ranged || g.Settled || !slices.Contains(stages, g.Stage) })
	all := make([]Mover, len(guesses))
	share := p.asked()
	now, workers := p.outcome(), runtime.GOMAXPROCS(0)
	var wait sync.WaitGroup
	var next, moved atomic.Int64
	for range workers {
		wait.Go(func() {
			planner := share.copied()
			for i := int(next.Add(1)) - 1; i < len(guesses) && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				all[i] = p.move(planner, now, guesses[i], stages)
				working.Tell(ctx, float64(moved.Add(1))/float64(len(guesses)))
			}
		})
	}
	wait.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	out := slices.DeleteFunc(all, func(m Mover) bool { return m.size() <= leastMove })
	p.value(out)
	slices.SortStableFunc(out, func(a, b Mover) int {
		return cmp.Or(cmp.Compare(min(len(b.Stops), 1), min(len(a.Stops), 1)), cmp.Compare(b.Worth, a.Worth), cmp.Compare(b.size(), a.size()))
	})
	return out, nil
}

// leastMove is the relative swing below which a guess moves nothing.
const leastMove = 1e-4

// asked is a planner that has answered the plan's own stages once.
func (p Plan) asked() *Planner {
	var planner Planner
	planner.make(p.Job, behind(moved()...))
	return &planner
}

// move takes one guess to both ends of its range. A what-if that a stage cannot answer moves nothing.
func (p Plan) move(planner *Planner, now outcome, g Guess, stages []string) Mover {
	m := Mover{Guess: g, now: now}
	lacking := len(p.Unanswered())
	for i, end := range []float64{g.Low.SI, g.High.SI} {
		what := planner.suppose(p, stages, whatIf{Stage: g.Stage, Field: g.Field, Value: end})
		if len(what.Unanswered()) > lacking {
			return Mover{Guess: g}
		}
		o := what.outcome()
		m.Yards[i], m.Price[i], m.Cost[i], m.Ready[i] = o.yards, o.price, o.cost, o.ready
		for _, id := range o.stops {
			if !slices.Contains(m.now.stops, id) && !slices.Contains(m.Stops, id) {
				m.Stops = append(m.Stops, id)
			}
		}
	}
	return m
}

// size is the largest relative swing among yards, price and days.
func (m Mover) size() float64 {
	return max(swing(float64(m.Yards[0]), float64(m.Yards[1]), float64(m.now.yards)),
		swing(float64(m.Price[0]), float64(m.Price[1]), float64(m.now.price)),
		swing(m.Ready[0], m.Ready[1], m.now.ready))
}

func swing(low, high, now float64) float64 {
	if now == 0 || !quantity.Finite(low, high) {
		return 0
	}
	return math.Abs(high-low) / math.Abs(now)
}

// Moves says what the guess moves, in words: "yards 10.2 to 11.4 yd³, price $6,100 to $6,800".
func (m Mover) Moves(units quantity.System) string {
	var parts []string
	if swing(float64(m.Yards[0]), float64(m.Yards[1]), float64(m.now.yards)) > leastMove {
		parts = append(parts, "concrete "+between(m.Yards, quantity.AsVolume, units))
	}
	if swing(float64(m.Price[0]), float64(m.Price[1]), float64(m.now.price)) > leastMove {
		parts = append(parts, "price "+between(m.Price, quantity.AsMoney, units))
	}
	if swing(m.Ready[0], m.Ready[1], m.now.ready) > leastMove {
		parts = append(parts, fmt.Sprintf("ready %.0f to %.0f days after the pour", min(m.Ready[0], m.Ready[1]), max(m.Ready[0], m.Ready[1])))
	}
	return strings.Join(parts, ", ")
}

func between[T interface {
	~float64
	quantity.Measured
}](ends [2]T, kind quantity.Kind, units quantity.System) string {
	return quantity.Show(min(ends[0], ends[1]), kind).String(units) + " to " + quantity.Show(max(ends[0], ends[1]), kind).String(units)
}
