package stock

import (
	"math"
	"math/big"

	"gonum.org/v1/gonum/mat"
)

// relaxation is the solved linear relaxation of a residual problem: min Σ c_p x_p, Σ a_ip x_p ≥ d_i, Σ_{p of s} x_p ≤ limit_s.
type relaxation struct {
	patterns []pattern
	x        []float64
	// A feasible dual in whole numbers over scale: pieces are worth value, limited stock costs rent on top of its price.
	value []int64
	rent  []int64
	scale int64
	bound *big.Int // Σ d value − Σ limit rent; over scale a proven bound
}

// dualScale is what the dearest price is worth in the whole-number dual: nine digits.
const dualScale = 1e9

// simplex is the revised simplex method with columns made when wanted. Rows: one a size (≥ demand), one a limited stock
// (≤ limit). Column kinds in the basis: a pattern, the surplus of a size, the slack of a limited stock.
type simplex struct {
	c       *core
	demand  []int
	rows    int
	row     []int // row of each limited stock, -1 if unlimited
	columns []column
	right   []float64
	scale   int64
}

type column struct {
	entries []float64
	price   float64
	pattern *pattern
}

// relax solves the relaxation for a demand and limits. Whatever the rounding of the simplex, the bound it returns is
// proven: the dual is repaired in integer arithmetic against the exact knapsack.
func (c *core) relax(demand, limit []int) relaxation {
	s := c.newSimplex(demand, limit)
	for range 200 + 30*s.rows {
		lu := s.factor()
		x, y, ok := s.solve(lu)
		if !ok || !s.improve(lu, x, y) {
			return s.finish(x, y, limit)
		}
	}
	x, y, _ := s.solve(s.factor())
	return s.finish(x, y, limit)
}

func (c *core) newSimplex(demand, limit []int) *simplex {
	s := &simplex{c: c, demand: demand, rows: len(c.w), row: make([]int, len(c.cap))}
	dearest := 1
	for k := range c.cap {
		dearest = max(dearest, c.price[k])
		s.row[k] = -1
		if limit[k] != unlimited {
			s.row[k] = s.rows
			s.rows++
		}
	}
	s.scale = int64(max(1, dualScale/dearest))
	s.right = make([]float64, s.rows)
	for i := range c.w {
		s.right[i] = float64(demand[i])
		s.columns = append(s.columns, s.patternColumn(c.plainPattern(i, demand[i])))
	}
	for k, r := range s.row {
		if r >= 0 {
			s.right[r] = float64(limit[k])
			s.columns = append(s.columns, s.unitColumn(r, 1))
		}
	}
	return s
}

// plainPattern is the cheapest bar per piece cut into one size only.
func (c *core) plainPattern(i, demand int) pattern {
	best, bestStock, bestCount := math.Inf(1), 0, 1
	for k, limit := range c.limit {
		if n := min(c.cap[k]/c.w[i], max(demand, 1)); limit == unlimited && n > 0 {
			if each := float64(c.price[k]) / float64(n); each < best {
				best, bestStock, bestCount = each, k, n
			}
		}
	}
	p := pattern{bestStock, make([]int, len(c.w))}
	p.n[i] = bestCount
	return p
}

func (s *simplex) patternColumn(p pattern) column {
	col := column{make([]float64, s.rows), float64(s.c.price[p.stock]), &p}
	for i, n := range p.n {
		col.entries[i] = float64(n)
	}
	if r := s.row[p.stock]; r >= 0 {
		col.entries[r] = 1
	}
	return col
}

func (s *simplex) unitColumn(row int, sign float64) column {
	col := column{entries: make([]float64, s.rows)}
	col.entries[row] = sign
	return col
}

// solve returns the basic solution and the duals.
func (s *simplex) solve(lu *mat.LU) (x, y []float64, ok bool) {
	price := make([]float64, s.rows)
	for k, col := range s.columns {
		price[k] = col.price
	}
	var xv, yv mat.VecDense
	errX := lu.SolveVecTo(&xv, false, mat.NewVecDense(s.rows, s.right))
	errY := lu.SolveVecTo(&yv, true, mat.NewVecDense(s.rows, price))
	x, y = make([]float64, s.rows), make([]float64, s.rows)
	if singular(errX) || singular(errY) {
		return x, y, false
	}
	for k := range s.rows {
		x[k], y[k] = xv.AtVec(k), yv.AtVec(k)
	}
	return x, y, true
}

// singular tells a failed solve from one that only warns of a poor condition number.
func singular(err error) bool {
	c, warned := err.(mat.Condition)
	return err != nil && (!warned || math.IsInf(float64(c), 0))
}

func (s *simplex) factor() *mat.LU {
	basis := mat.NewDense(s.rows, s.rows, nil)
	for k, col := range s.columns {
		basis.SetCol(k, col.entries)
	}
	var lu mat.LU
	lu.Factorize(basis)
	return &lu
}

// improve brings in the column with the most to gain; false when there is none.
func (s *simplex) improve(lu *mat.LU, x, y []float64) bool {
	entering, ok := s.price(y)
	if !ok {
		return false
	}
	var dir mat.VecDense
	if singular(lu.SolveVecTo(&dir, false, mat.NewVecDense(s.rows, entering.entries))) {
		return false
	}
	const tiny = 1e-9
	leave, step := -1, math.Inf(1)
	for k := range s.rows {
		if d := dir.AtVec(k); d > tiny && max(x[k], 0)/d < step-tiny {
			leave, step = k, max(x[k], 0)/d
		}
	}
	if leave < 0 {
		return false
	}
	s.columns[leave] = entering
	return true
}

// gain is how much a column must promise to be brought in: below it the duals only round.
const gain = 1e-7

// price finds the column with the lowest reduced cost: a surplus, a slack, or the best pattern of each stock.
func (s *simplex) price(y []float64) (column, bool) {
	var best column
	most := gain
	for i := range s.c.w {
		if -y[i] > most {
			best, most = s.unitColumn(i, -1), -y[i]
		}
	}
	for _, r := range s.row {
		if r >= 0 && y[r] > most {
			best, most = s.unitColumn(r, 1), y[r]
		}
	}
	value := s.wholeDuals(y)
	loads := s.c.fill(value, s.demand, s.widest())
	for k := range s.c.cap {
		rent := 0.0
		if r := s.row[k]; r >= 0 {
			rent = y[r]
		}
		if promise := float64(loads.worth(s.c.cap[k]))/float64(s.scale) + rent - float64(s.c.price[k]); promise > most {
			best, most = s.patternColumn(pattern{k, loads.pieces(s.c.cap[k], len(s.c.w))}), promise
		}
	}
	return best, best.entries != nil
}

func (s *simplex) widest() int {
	widest := 0
	for _, room := range s.c.cap {
		widest = max(widest, room)
	}
	return widest
}

func (s *simplex) wholeDuals(y []float64) []int64 {
	value := make([]int64, len(s.c.w))
	for i := range value {
		value[i] = int64(math.Round(max(y[i], 0) * float64(s.scale)))
	}
	return value
}

// finish turns the duals into a proven bound. With pieces worth v_i and V_s the best load of stock s, dividing by a scale
// K ≥ V_s/c_s for every unlimited stock makes v/K a feasible dual; limited stock pays the rest as rent r_s = V_s − K c_s.
//
//	bound = (Σ d_i v_i − Σ limit_s r_s) / K
func (s *simplex) finish(x, y []float64, limit []int) relaxation {
	c := s.c
	r := relaxation{value: s.wholeDuals(y), rent: make([]int64, len(c.cap)), scale: s.scale, bound: new(big.Int)}
	loads := c.fill(r.value, s.demand, s.widest())
	for k, most := range limit {
		if v := loads.worth(c.cap[k]); most == unlimited {
			r.scale = max(r.scale, (v+int64(c.price[k])-1)/int64(c.price[k]))
		}
	}
	for i, d := range s.demand {
		r.bound.Add(r.bound, new(big.Int).Mul(big.NewInt(int64(d)), big.NewInt(r.value[i])))
	}
	for k, most := range limit {
		if most != unlimited {
			r.rent[k] = max(0, loads.worth(c.cap[k])-r.scale*int64(c.price[k]))
			r.bound.Sub(r.bound, new(big.Int).Mul(big.NewInt(int64(most)), big.NewInt(r.rent[k])))
		}
	}
	for k, col := range s.columns {
		if col.pattern != nil && x[k] > gain {
			r.patterns, r.x = append(r.patterns, *col.pattern), append(r.x, x[k])
		}
	}
	return r
}

// least is the smallest whole cost not below the bound with extra (in the dual's whole numbers) added.
func (r relaxation) least(extra int64) int {
	sum := new(big.Int).Add(r.bound, big.NewInt(extra))
	if sum.Sign() <= 0 {
		return 0
	}
	q, m := new(big.Int).DivMod(sum, big.NewInt(r.scale), new(big.Int))
	if m.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return int(q.Int64())
}

// surplus is what using pattern p once costs above what the dual says it is worth, in whole dual units.
func (r relaxation) surplus(c *core, p pattern) int64 {
	worth := -r.rent[p.stock]
	for i, n := range p.n {
		worth += int64(n) * r.value[i]
	}
	return r.scale*int64(c.price[p.stock]) - worth
}
