package stock

import (
	"fmt"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"
)

func pieces(lengthsAndCounts ...int) []Piece {
	var out []Piece
	for i := 0; i < len(lengthsAndCounts); i += 2 {
		out = append(out, Piece{lengthsAndCounts[i], lengthsAndCounts[i+1]})
	}
	return out
}

// uniform120 is instance u120_00 of the OR-Library bin packing set (file binpack1): 120 items for bins of 150.
var uniform120 = []int{42, 69, 67, 57, 93, 90, 38, 36, 45, 42, 33, 79, 27, 57, 44, 84, 86, 92, 46, 38, 85, 33, 82, 73,
	49, 70, 59, 23, 57, 72, 74, 69, 33, 42, 28, 46, 30, 64, 29, 74, 41, 49, 55, 98, 80, 32, 25, 38,
	82, 30, 35, 39, 57, 84, 62, 50, 55, 27, 30, 36, 20, 78, 47, 26, 45, 41, 58, 98, 91, 96, 73, 84,
	37, 93, 91, 43, 73, 85, 81, 79, 71, 80, 76, 83, 41, 78, 70, 23, 42, 87, 43, 84, 60, 55, 49, 78,
	73, 62, 36, 44, 94, 69, 32, 96, 70, 84, 58, 78, 25, 80, 58, 66, 83, 24, 98, 60, 42, 43, 43, 39}

func singles(lengths []int) []Piece {
	var out []Piece
	for _, l := range lengths {
		out = append(out, Piece{l, 1})
	}
	return out
}

func TestKnownJobs(t *testing.T) {
	rolls := pieces(1380, 22, 1520, 25, 1560, 12, 1710, 14, 1820, 18, 1880, 18, 1930, 20, 2000, 10, 2050, 12, 2100, 14,
		2140, 16, 2150, 18, 2200, 20)
	bars := pieces(286*8, 9, 214*8, 11, 166*8, 14, 130*8, 8)
	for _, c := range []struct {
		id       string
		p        Problem
		cost     int
		material int // 0: not stated
		firstFit int
	}{
		{"BLD-18", Problem{Pieces: pieces(120, 6, 80, 9, 60, 8), Stocks: []Stock{{240, 1, 0}}}, 8, 8, 0},
		{"BLD-19", Problem{Pieces: pieces(960, 6, 640, 9, 480, 8), Stocks: []Stock{{1920, 1, 0}}, Kerf: 1}, 10, 0, 0},
		{"BLD-20", Problem{Pieces: rolls, Stocks: []Stock{{5600, 1, 0}}}, 73, 73, 0},
		{"BLD-21", Problem{Pieces: pieces(45, 97, 36, 610, 31, 395, 14, 211), Stocks: []Stock{{100, 1, 0}}}, 453, 0, 0},
		{"BLD-22", Problem{Pieces: singles(uniform120), Stocks: []Stock{{150, 1, 0}}}, 48, 48, 49},
		{"BLD-23a", Problem{Pieces: bars, Stocks: []Stock{{480 * 8, 480, 0}}, Kerf: 1}, 9120, 0, 0},
		{"BLD-23b", Problem{Pieces: bars, Stocks: []Stock{{480 * 8, 480, 0}, {240 * 8, 240, 0}}, Kerf: 1}, 8880, 0, 0},
	} {
		t.Run(c.id, func(t *testing.T) {
			plan, err := Solve(c.p)
			if err != nil {
				t.Fatal(err)
			}
			checkPlan(t, c.p, plan)
			if plan.Cost != c.cost || !plan.Proven {
				t.Errorf("cost %d proven %v, want %d proven (LP %.4f, nodes %d)", plan.Cost, plan.Proven, c.cost, plan.LP, plan.Nodes)
			}
			if c.material > 0 && plan.Material != c.material || c.firstFit > 0 && plan.FirstFit != c.firstFit {
				t.Errorf("material bound %d, first fit %d", plan.Material, plan.FirstFit)
			}
		})
	}
}

type failer interface {
	Fatalf(format string, args ...any)
}

// checkPlan holds the plan against the problem by counting.
func checkPlan(t failer, p Problem, plan Plan) {
	made := make([]int, len(plan.Sizes))
	used := make([]int, len(p.Stocks))
	cost := 0
	for _, cut := range plan.Cuts {
		use, n := 0, 0
		for i, k := range cut.Pieces {
			made[i] += k * cut.Times
			use += k * plan.Sizes[i].Length
			n += k
		}
		stock := p.Stocks[cut.Stock]
		if n == 0 || use+(n-1)*p.Kerf > stock.Length {
			t.Fatalf("%v does not come out of %d with kerf %d", cut, stock.Length, p.Kerf)
		}
		used[cut.Stock] += cut.Times
		cost += cut.Times * stock.Price
	}
	for i, size := range plan.Sizes {
		if made[i] != size.Count {
			t.Fatalf("%d of %d made, %d wanted", made[i], size.Length, size.Count)
		}
	}
	for s, stock := range p.Stocks {
		if stock.Limit > 0 && used[s] > stock.Limit {
			t.Fatalf("%d of stock %d used, there are %d", used[s], s, stock.Limit)
		}
	}
	if cost != plan.Cost || plan.Bound > plan.Cost || plan.Cost > plan.FirstFit || plan.Material > plan.Bound {
		t.Fatalf("cost %d (counted %d), material %d, bound %d, first fit %d", plan.Cost, cost, plan.Material, plan.Bound, plan.FirstFit)
	}
	if plan.LP > float64(plan.Bound)+1e-9 {
		t.Fatalf("relaxation %v above the bound %d", plan.LP, plan.Bound)
	}
}

func problems(t *rapid.T) Problem {
	p := Problem{Kerf: rapid.IntRange(0, 3).Draw(t, "kerf"), Effort: 30}
	p.Stocks = []Stock{{100, rapid.IntRange(1, 40).Draw(t, "price"), 0}}
	for range rapid.IntRange(0, 2).Draw(t, "more stocks") {
		p.Stocks = append(p.Stocks, Stock{rapid.IntRange(20, 160).Draw(t, "stock"), rapid.IntRange(1, 60).Draw(t, "price"),
			rapid.IntRange(0, 3).Draw(t, "limit")})
	}
	for range rapid.IntRange(0, 7).Draw(t, "sizes") {
		p.Pieces = append(p.Pieces, Piece{rapid.IntRange(8, 100).Draw(t, "length"), rapid.IntRange(0, 9).Draw(t, "count")})
	}
	return p
}

func TestEveryPlanMeetsDemandBetweenItsBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := problems(t)
		plan, err := Solve(p)
		if err != nil {
			t.Fatalf("%+v: %v", p, err)
		}
		checkPlan(t, p, plan)
		again, _ := Solve(p)
		if fmt.Sprint(again) != fmt.Sprint(plan) {
			t.Fatalf("the same job gave two plans")
		}
	})
}

// TestRelaxationAgreesWithTheSimplexOfAllPatterns solves the same relaxation another way: every maximal pattern written
// out and handed to an independent simplex method.
func TestRelaxationAgreesWithTheSimplexOfAllPatterns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := problems(t)
		for i := range p.Stocks {
			p.Stocks[i].Limit = 0
		}
		c, err := newCore(p)
		if err != nil || len(c.sizes) == 0 {
			return
		}
		r := c.relax(c.demand, c.limit)
		value, _ := r.bound.Float64()
		if got, want := value/float64(r.scale), enumerated(t, c); got > want+1e-6 || got < want-1e-5*want-1e-6 {
			t.Fatalf("relaxation %v, by enumeration %v", got, want)
		}
	})
}

func enumerated(t *rapid.T, c *core) float64 {
	var all []pattern
	s := newSearch(c, nil, 1)
	for item := range c.w {
		for stock := range c.cap {
			if c.cap[stock] >= c.w[item] {
				all = s.fill(all, stock, c.demand, item)
			}
		}
	}
	m, n := len(c.w), len(all)
	a, cost, b := mat.NewDense(m, n+m, nil), make([]float64, n+m), make([]float64, m)
	for i := range m {
		a.Set(i, n+i, -1)
		b[i] = float64(c.demand[i])
	}
	for k, p := range all {
		cost[k] = float64(c.price[p.stock])
		for i, count := range p.n {
			a.Set(i, k, float64(count))
		}
	}
	best, _, err := lp.Simplex(cost, a, b, 1e-10, nil)
	if err != nil {
		t.Skip("the independent simplex gave up: " + err.Error())
	}
	return best
}

// TestSmallJobsAgainstEveryPlan compares with the cheapest of all plans, found by plain recursion.
func TestSmallJobsAgainstEveryPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Problem{Kerf: rapid.IntRange(0, 2).Draw(t, "kerf"), Effort: 5000}
		p.Stocks = []Stock{{60, rapid.IntRange(1, 9).Draw(t, "price"), 0}, {45, rapid.IntRange(1, 9).Draw(t, "price"), rapid.IntRange(0, 2).Draw(t, "limit")}}
		for range rapid.IntRange(1, 6).Draw(t, "pieces") {
			p.Pieces = append(p.Pieces, Piece{rapid.IntRange(10, 60).Draw(t, "length"), 1})
		}
		plan, err := Solve(p)
		if err != nil {
			t.Fatalf("%v", err)
		}
		if want := cheapest(p); plan.Cost != want || !plan.Proven {
			t.Fatalf("cost %d proven %v, cheapest %d", plan.Cost, plan.Proven, want)
		}
	})
}

func cheapest(p Problem) int {
	var room, use []int
	used := make([]int, len(p.Stocks))
	best := 1 << 30
	var place func(k, cost int)
	place = func(k, cost int) {
		if cost >= best {
			return
		}
		if k == len(p.Pieces) {
			best = cost
			return
		}
		w := p.Pieces[k].Length + p.Kerf
		for b := range room {
			if room[b] >= w {
				room[b] -= w
				place(k+1, cost)
				room[b] += w
			}
		}
		for s, stock := range p.Stocks {
			if stock.Length+p.Kerf >= w && (stock.Limit == 0 || used[s] < stock.Limit) {
				room, use = append(room, stock.Length+p.Kerf-w), append(use, s)
				used[s]++
				place(k+1, cost+stock.Price)
				used[s]--
				room, use = room[:len(room)-1], use[:len(use)-1]
			}
		}
	}
	place(0, 0)
	return best
}

func TestJobsThatCannotBeAreRefused(t *testing.T) {
	good := Problem{Pieces: pieces(10, 1), Stocks: []Stock{{20, 1, 0}}}
	for name, change := range map[string]func(*Problem){
		"too long":          func(p *Problem) { p.Pieces = pieces(21, 1) },
		"fits only limited": func(p *Problem) { p.Pieces = pieces(25, 1); p.Stocks = append(p.Stocks, Stock{30, 1, 1}) },
		"negative kerf":     func(p *Problem) { p.Kerf = -1 },
		"zero piece":        func(p *Problem) { p.Pieces = pieces(0, 1) },
		"negative count":    func(p *Problem) { p.Pieces = pieces(5, -1) },
		"free without end":  func(p *Problem) { p.Stocks[0].Price = 0 },
		"no stock":          func(p *Problem) { p.Stocks = nil },
		"too many":          func(p *Problem) { p.Pieces = pieces(5, 100_000, 6, 1) },
	} {
		p := good
		p.Stocks = append([]Stock{}, good.Stocks...)
		change(&p)
		if _, err := Solve(p); err == nil {
			t.Errorf("%s: no complaint", name)
		}
	}
}

func Example() {
	// 9 bars of 286 in and 8 of 130 in from 20 and 40 ft stock, by total length, saw kerf 1/8 in; unit 1/8 in.
	plan, _ := Solve(Problem{
		Pieces: []Piece{{286 * 8, 9}, {130 * 8, 8}},
		Stocks: []Stock{{240 * 8, 240, 0}, {480 * 8, 480, 0}},
		Kerf:   1,
	})
	for _, cut := range plan.Cuts {
		fmt.Println(cut.Times, "×", plan.Sizes[0].Length/8, plan.Sizes[1].Length/8, cut.Pieces, "left", cut.Left/8)
	}
	fmt.Println(plan.Cost, "in, no plan below", plan.Bound, plan.Proven)
	// Output:
	// 8 × 286 130 [1 1] left 63
	// 1 × 286 130 [1 0] left 193
	// 4320 in, no plan below 4320 true
}
