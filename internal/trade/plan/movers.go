package plan

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"

	"slabwright/internal/engines/quantity"
)

// Mover is a guess with what it moves: the yards to order, the price and the day the slab may be driven on, when the
// guess goes to either end of its range.
type Mover struct {
	Guess
	Yards [2]quantity.Volume // with the guess at its low and high end
	Price [2]quantity.Money
	Ready [2]float64 // days after the pour
	now   outcome
}

// outcome is what a mover moves.
type outcome struct {
	yards quantity.Volume
	price quantity.Money
	ready float64
}

func (p Plan) outcome() outcome {
	var o outcome
	if s, ok := p.Figure("order.neat"); ok {
		o.yards = quantity.Volume(s.Value.SI)
	}
	if s, ok := p.Figure("price.price"); ok {
		o.price = quantity.Money(s.Value.SI)
	}
	if s, ok := p.Figure("cure.trailer_days"); ok {
		o.ready = s.Value.SI / 86400
	}
	return o
}

// Movers ranks the plan's guesses by how much they move its outcome, largest first: what to measure next. Each guess is
// taken to both ends of its range with all else as it is; guesses that move nothing, and those at whose ends a stage could not
// answer any more, are left out, and so are those nobody on a site could measure. The what-ifs share the processors; each has its own place in the ranking, so that the answer
// does not depend on their number.
func (p Plan) Movers() []Mover {
	p.ranking.once.Do(func() { p.ranking.movers = p.rank() })
	return p.ranking.movers
}

// ranking keeps a plan's movers once they are ranked: several sheets ask for them.
type ranking struct {
	once   sync.Once
	movers []Mover
}

func (p Plan) rank() []Mover {
	moved := behind("order", "price", "cure")
	guesses := slices.DeleteFunc(p.Guesses(), func(g Guess) bool { return !g.Ranged || g.Settled || !slices.Contains(moved, g.Stage) })
	all := make([]Mover, len(guesses))
	share := p.asked(moved)
	workers := runtime.GOMAXPROCS(0)
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			planner := Planner{memory: maps.Clone(share.memory)}
			for i := w; i < len(guesses); i += workers {
				all[i] = p.move(&planner, guesses[i], moved)
			}
		})
	}
	wait.Wait()
	out := slices.DeleteFunc(all, func(m Mover) bool { return m.size() <= leastMove })
	slices.SortStableFunc(out, func(a, b Mover) int { return cmp.Compare(b.size(), a.size()) })
	return out
}

// leastMove is the relative swing below which a guess moves nothing.
const leastMove = 1e-4

// asked is a planner that has answered the plan's own stages once.
func (p Plan) asked(stages []string) *Planner {
	var planner Planner
	planner.make(p.Job, whatIf{}, stages)
	return &planner
}

// move takes one guess to both ends of its range. A what-if that a stage cannot answer moves nothing.
func (p Plan) move(planner *Planner, g Guess, stages []string) Mover {
	m := Mover{Guess: g, now: p.outcome()}
	lacking := len(p.Unanswered())
	for i, end := range []float64{g.Low.SI, g.High.SI} {
		what := planner.make(p.Job, whatIf{Stage: g.Stage, Field: g.Field, Value: end}, stages)
		if len(what.Unanswered()) > lacking {
			return Mover{Guess: g}
		}
		o := what.outcome()
		m.Yards[i], m.Price[i], m.Ready[i] = o.yards, o.price, o.ready
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
