// Package stock cuts pieces from bars and boards bought in fixed lengths: which stock to buy and what to cut from each so
// that the bill is smallest, with a lower bound that proves how good the answer is.
//
// Lengths and prices are whole numbers (sixteenths of an inch, tenths of a millimetre, cents): sums are exact and two plans
// are compared without rounding. One piece takes its length and one saw kerf; the last kerf of a bar is free, so a bar of
// length L with kerf k holds pieces while Σ(w + k) ≤ L + k.
//
// Method: the linear relaxation by column generation (Gilmore and Gomory 1961; priced by an exact bounded knapsack), its
// duals turned into a bound by integer arithmetic, then rounding down and an exact search of what is left, widened until
// the bound is met or the effort is spent. Effort is counted in nodes, never in seconds: the same problem always gives the
// same plan.
package stock

import (
	"fmt"
	"slices"
	"strings"
)

// Piece is a length wanted and how many of it.
type Piece struct {
	Length int `json:"length"`
	Count  int `json:"count"`
}

// Stock is a length that can be bought or lies in the yard.
type Stock struct {
	Length int `json:"length"`
	Price  int `json:"price"` // of one; 1 everywhere counts bars, the length everywhere counts total length
	Limit  int `json:"limit"` // how many there are; 0: as many as wanted
}

// Problem is one cutting job.
type Problem struct {
	Pieces []Piece
	Stocks []Stock
	Kerf   int // width lost at each cut
	Effort int // nodes the search may open; 0: the usual 150
}

// Cut is one way of cutting a bar, done Times times.
type Cut struct {
	Stock  int   `json:"stock"`  // index into Problem.Stocks
	Times  int   `json:"times"`  //
	Pieces []int `json:"pieces"` // how many of each of Plan.Sizes
	Left   int   `json:"left"`   // offcut of each bar, kerfs taken off
}

// Plan is the answer. Bound ≤ Cost ≤ FirstFit always holds.
type Plan struct {
	Sizes    []Piece `json:"sizes"` // the lengths asked for, merged, longest first
	Cuts     []Cut   `json:"cuts"`
	Cost     int     `json:"cost"`
	Bars     int     `json:"bars"`
	Material int     `json:"material"`  // bound from length alone: no plan can be cheaper
	LP       float64 `json:"lp"`        // bound of the linear relaxation, proven by integer arithmetic
	Bound    int     `json:"bound"`     // the better bound, raised to a price that can occur
	FirstFit int     `json:"first_fit"` // cost of first-fit decreasing, the way a man at the pile does it
	Proven   bool    `json:"proven"`    // no plan can be cheaper
	Nodes    int     `json:"nodes"`     // search effort spent
}

// Parts writes what one bar is cut into with the names of the sizes: 2 × A + 1 × C.
func (c Cut) Parts(names []string) string {
	var parts []string
	for i, n := range c.Pieces {
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d × %s", n, names[i]))
		}
	}
	return strings.Join(parts, " + ")
}

// Counted lists pieces counted by length.
func Counted(count map[int]int) []Piece {
	var out []Piece
	for length, n := range count {
		out = append(out, Piece{length, n})
	}
	slices.SortFunc(out, func(a, b Piece) int { return b.Length - a.Length })
	return out
}

// The largest problem accepted: beyond it sums could leave the exact range of the bound's arithmetic.
const (
	mostLength = 10_000_000
	mostPrice  = 10_000_000
	mostPieces = 100_000
	mostSizes  = 300
)

const usualEffort = 150

// Solve finds a cheapest cutting plan, or the best found within the effort, with its bound. Every piece must fit into a
// stock that is not limited; the error names the one that does not.
func Solve(p Problem) (Plan, error) {
	c, err := newCore(p)
	if err != nil {
		return Plan{}, err
	}
	plan := Plan{Sizes: c.sizes, Material: c.material(c.demand, c.limit)}
	if len(c.sizes) == 0 {
		plan.Proven = true
		return plan, nil
	}
	first := c.firstFit()
	plan.FirstFit = first.cost(c)
	if plan.FirstFit == plan.Material {
		return plan.filled(p, c, first), nil
	}
	effort := p.Effort
	if effort <= 0 {
		effort = usualEffort
	}
	s := newSearch(c, first, effort)
	s.run()
	plan.LP, plan.Bound = s.rootLP, max(plan.Material, s.rootBound)
	plan.Proven = s.best.cost(c) == plan.Bound || s.complete
	plan.Nodes = s.nodes
	plan.write(p, c, s.best)
	return plan, nil
}

// filled is the plan of a first fit that leaves no more over than any plan must: it is proven without a search.
func (plan Plan) filled(p Problem, c *core, first bars) Plan {
	plan.LP, plan.Bound, plan.Proven = float64(plan.Material), plan.Material, true
	plan.write(p, c, first)
	return plan
}

// write groups the bars into cuts and adds them up.
func (plan *Plan) write(p Problem, c *core, cut bars) {
	plan.Cuts = c.grouped(c.trimmed(cut))
	for _, cut := range plan.Cuts {
		plan.Bars += cut.Times
		plan.Cost += cut.Times * p.Stocks[cut.Stock].Price
	}
}

// FirstFit is the plan a man at the pile cuts: longest piece first, each from the first bar it fits. It is quick, at most a
// bar or two in ten over the best, and enough to compare what different stock lengths would take.
func FirstFit(p Problem) (Plan, error) {
	c, err := newCore(p)
	if err != nil {
		return Plan{}, err
	}
	first := c.firstFit()
	plan := Plan{Sizes: c.sizes, Material: c.material(c.demand, c.limit), FirstFit: first.cost(c)}
	plan.Bound, plan.LP = plan.Material, float64(plan.Material)
	plan.write(p, c, first)
	plan.Proven = plan.Cost == plan.Bound
	return plan, nil
}

// core is the problem with kerfs folded in and equal lengths merged.
type core struct {
	sizes  []Piece // longest first
	w      []int   // length and kerf of each size
	demand []int
	cap    []int // stock length and one kerf
	price  []int
	limit  []int // unlimited: -1
	kerf   int
	grain  int // every cost is a multiple of it
	table  table
}

const unlimited = -1

func newCore(p Problem) (*core, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	c := &core{kerf: p.Kerf}
	for _, s := range p.Stocks {
		c.cap, c.price = append(c.cap, s.Length+p.Kerf), append(c.price, s.Price)
		c.grain = gcd(c.grain, s.Price)
		if s.Limit == 0 {
			c.limit = append(c.limit, unlimited)
		} else {
			c.limit = append(c.limit, s.Limit)
		}
	}
	count := map[int]int{}
	for _, piece := range p.Pieces {
		count[piece.Length] += piece.Count
	}
	for length, n := range count {
		if n > 0 {
			c.sizes = append(c.sizes, Piece{length, n})
		}
	}
	slices.SortFunc(c.sizes, func(a, b Piece) int { return b.Length - a.Length })
	if len(c.sizes) > mostSizes {
		return nil, fmt.Errorf("stock: %d different lengths are more than %d; round them to fewer", len(c.sizes), mostSizes)
	}
	for _, piece := range c.sizes {
		c.w, c.demand = append(c.w, piece.Length+p.Kerf), append(c.demand, piece.Count)
	}
	if len(c.sizes) > 0 {
		return c, c.checkFit()
	}
	return c, nil
}

// checkFit refuses a piece longer than every unlimited stock.
func (c *core) checkFit() error {
	longest := 0
	for s, limit := range c.limit {
		if limit == unlimited {
			longest = max(longest, c.cap[s]-c.kerf)
		}
	}
	if c.sizes[0].Length > longest {
		return fmt.Errorf("stock: piece %d does not fit %d stock: choose longer stock or lap it", c.sizes[0].Length, longest)
	}
	return nil
}

func (p Problem) check() error {
	if p.Kerf < 0 || p.Kerf > mostLength {
		return fmt.Errorf("stock: kerf %d: give a saw kerf from 0 up", p.Kerf)
	}
	for _, s := range p.Stocks {
		if s.Length <= 0 || s.Length > mostLength || s.Price < 0 || s.Price > mostPrice || s.Limit < 0 || s.Limit > mostPieces {
			return fmt.Errorf("stock: length %d, price %d, limit %d cannot be a stock", s.Length, s.Price, s.Limit)
		}
		if s.Price == 0 && s.Limit == 0 {
			return fmt.Errorf("stock: length %d is free and without limit; give it a price", s.Length)
		}
	}
	total := 0
	for _, piece := range p.Pieces {
		if piece.Length <= 0 || piece.Length > mostLength || piece.Count < 0 || piece.Count > mostPieces {
			return fmt.Errorf("stock: %d pieces of length %d cannot be cut", piece.Count, piece.Length)
		}
		total += piece.Count
	}
	if total > mostPieces {
		return fmt.Errorf("stock: %d pieces are more than %d in one job", total, mostPieces)
	}
	return nil
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func ceilDiv(a, b int) int { return (a + b - 1) / b }

// raise returns the smallest cost that can occur and is at least n.
func (c *core) raise(n int) int {
	if n <= 0 || c.grain == 0 {
		return max(n, 0)
	}
	return ceilDiv(n, c.grain) * c.grain
}

// material is the bound from length alone: the wanted length, bought at the cheapest price per length, limited stock only
// as far as it goes.
//
//	min Σ c_s x_s,   Σ (L_s + k) x_s ≥ Σ d_i (w_i + k),   0 ≤ x_s ≤ limit_s, x real
func (c *core) material(demand, limit []int) int {
	need := 0
	for i, n := range demand {
		need += n * c.w[i]
	}
	order := make([]int, len(c.cap))
	for s := range order {
		order[s] = s
	}
	slices.SortStableFunc(order, func(a, b int) int { return c.price[a]*c.cap[b] - c.price[b]*c.cap[a] })
	cost := 0
	for _, s := range order {
		if need <= 0 {
			break
		}
		if limit[s] != unlimited && limit[s]*c.cap[s] < need {
			need -= limit[s] * c.cap[s]
			cost += limit[s] * c.price[s]
			continue
		}
		return c.raise(cost + ceilDiv(need*c.price[s], c.cap[s]))
	}
	return c.raise(cost)
}
