package steel

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/stock"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/spoken"
)

// grain is the step bars are cut to, in units: a whole inch or 25 mm, always shorter.
func (in Input) grain() int {
	if in.Units == quantity.Metric {
		return 25
	}
	return 16
}

func (in Input) whole(l float64) int { return int(math.Floor(l/in.Units.CutStep() + 1e-6)) }

// cut laps the runs that are longer than a stick, marks pieces of one length, and cuts them from stock.
func (r *Result) cut(in Input) error {
	count := map[string]map[int]int{r.Grid.Size: {}, trimSize: {}}
	pieces := make([][]int, len(r.Bars))
	for i := range r.Bars {
		list, err := in.pieces(r.Bars[i], r.Lap)
		if err != nil {
			return check.Faults{{Field: "lap_rule", Given: in.LapRule.Text, Why: err.Error() + ".", Type: "Choose longer stock."}}
		}
		r.Bars[i].Pieces, pieces[i] = len(list), list
		for _, length := range list {
			count[r.sizeOf(r.Bars[i])][length]++
			r.Total += quantity.Length(float64(length) * in.Units.CutStep())
		}
	}
	sizes := []string{r.Grid.Size}
	if r.Grid.Size != trimSize {
		sizes = append(sizes, trimSize)
	}
	for _, size := range sizes {
		if err := r.cutSize(in, size, count[size]); err != nil {
			return err
		}
	}
	for i, list := range pieces {
		r.Bars[i].Mark = r.markOf(r.sizeOf(r.Bars[i]), list, in)
	}
	return nil
}

func (r *Result) sizeOf(b Bar) string {
	if b.Trim {
		return trimSize
	}
	return r.Grid.Size
}

func (r *Result) markOf(size string, list []int, in Input) string {
	var names []string
	for _, length := range list {
		for _, m := range r.Marks {
			if m.Size == size && in.whole(m.Length.Metres()) == length {
				names = append(names, m.Mark)
			}
		}
	}
	return strings.Join(names, "+")
}

// longest is the longest stick that can be bought, in units.
func (in Input) longest() int {
	n := in.whole(in.Stock.Value.Metres())
	if in.Stock2.Given() {
		n = max(n, in.whole(in.Stock2.Value.Metres()))
	}
	return n
}

// pieces are the cut lengths of one run: full sticks lapped, the rest last; no piece shorter than two laps if the others
// can give.
func (in Input) pieces(b Bar, lap quantity.Length) ([]int, error) {
	run := in.whole(b.Line.Length()) / in.grain() * in.grain()
	stick, over := in.longest()/in.grain()*in.grain(), int(math.Ceil(lap.Metres()/in.Units.CutStep()-1e-6))
	n, err := LapPieces(quantity.Length(run), quantity.Length(stick), quantity.Length(over))
	if err != nil {
		_, err = LapPieces(quantity.Length(b.Line.Length()), quantity.Length(float64(stick)*in.Units.CutStep()), lap)
		return nil, err
	}
	if n == 1 {
		return []int{run}, nil
	}
	list := make([]int, n)
	for i := range list {
		list[i] = stick
	}
	list[n-1] = run + (n-1)*over - (n-1)*stick
	if short := 2*over - list[n-1]; short > 0 && stick-short >= 2*over {
		list[0], list[n-1] = stick-short, 2*over
	}
	return list, nil
}

// cutSize finds the cheapest sticks for the pieces of one bar size. Bought stock is priced by its length, offcuts in the
// yard are free.
func (r *Result) cutSize(in Input, size string, count map[int]int) error {
	problem := in.problem(count, size == r.Grid.Size)
	if len(problem.Pieces) == 0 {
		return nil
	}
	plan, err := stock.Solve(problem)
	if err != nil {
		return err
	}
	bar, _ := spoken.BarNamed(size)
	if size == r.Grid.Size {
		bar.LinearMass = r.Grid.LinearMass
		r.StickBound, r.Proven = plan.Bound, plan.Proven
	}
	names := make([]string, len(plan.Sizes))
	for i, piece := range plan.Sizes {
		names[i] = markName(len(r.Marks))
		length := quantity.Length(float64(piece.Length) * in.Units.CutStep())
		r.Marks = append(r.Marks, Mark{names[i], size, length, piece.Count, size == trimSize && size != r.Grid.Size})
		r.Weight += quantity.Mass(float64(bar.LinearMass) * length.Metres() * float64(piece.Count))
	}
	for _, c := range plan.Cuts {
		s := problem.Stocks[c.Stock]
		row := CutRow{Size: size, Stick: quantity.Length(float64(s.Length) * in.Units.CutStep()), Times: c.Times,
			Offcut: quantity.Length(float64(c.Left) * in.Units.CutStep()), Yard: s.Price == 0}
		row.Pieces = c.Parts(names)
		r.Cutting = append(r.Cutting, row)
		if !row.Yard {
			r.Sticks += c.Times
		}
	}
	return nil
}

// problem is the cutting of pieces, counted by length; yard says that the leftovers are of this size.
func (in Input) problem(count map[int]int, yard bool) stock.Problem {
	return stock.Problem{Pieces: stock.Counted(count), Kerf: int(math.Ceil(in.Kerf.Value.Metres()/in.Units.CutStep() - 1e-6)), Stocks: in.stocks(yard)}
}

// stocks are the sticks to cut from; offcuts are of the grid's size.
func (in Input) stocks(yard bool) []stock.Stock {
	lengths := []int{in.whole(in.Stock.Value.Metres())}
	if in.Stock2.Given() {
		lengths = append(lengths, in.whole(in.Stock2.Value.Metres()))
	}
	var out []stock.Stock
	for _, l := range lengths {
		if !slices.ContainsFunc(out, func(s stock.Stock) bool { return s.Length == l }) {
			out = append(out, stock.Stock{Length: l, Price: l})
		}
	}
	if !yard {
		return out
	}
	for _, l := range in.Leftovers {
		out = append(out, stock.Stock{Length: in.whole(l.Length.Value.Metres()), Limit: int(l.Count.Value)})
	}
	return out
}

// markName is A … Z, then A1 … Z1 and so on.
func markName(i int) string {
	letter := string(rune('A' + i%26))
	if i < 26 {
		return letter
	}
	return fmt.Sprintf("%s%d", letter, i/26)
}
