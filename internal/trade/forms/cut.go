package forms

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/stock"
	"slabwright/internal/trade/check"
)

// cut counts the boards and finds the cheapest way of cutting them, priced by length.
func (r *Result) cut(in Input) error {
	count := map[int]int{}
	for _, run := range r.Runs {
		for _, l := range run.Pieces {
			n := int(math.Round(l.Metres() / in.Units.CutStep()))
			count[max(n, 1)]++
			r.BoardLength += l
		}
		if run.Kind == Curve {
			r.CurveStrip += run.Length
		}
		r.Stakes += len(run.Stakes)
		r.Splices += len(run.Splices)
		r.Kickers += run.Kickers
	}
	problem := stock.Problem{Pieces: stock.Counted(count), Kerf: int(math.Ceil(in.Kerf.Value.Metres()/in.Units.CutStep() - 1e-6))}
	for _, l := range []quantity.Length{in.Stock.Value, in.Stock2.Value} {
		if n := int(math.Round(l.Metres() / in.Units.CutStep())); n > 0 {
			problem.Stocks = append(problem.Stocks, stock.Stock{Length: n, Price: n})
		}
	}
	plan, err := stock.Solve(problem)
	if err != nil {
		return check.Faults{{Field: "stock", Given: in.Stock.Text, Why: err.Error() + ".", Type: "Choose longer boards."}}
	}
	r.Proven, r.Boards = plan.Proven, plan.Bars
	names := make([]string, len(plan.Sizes))
	for i, size := range plan.Sizes {
		names[i] = fmt.Sprintf("F%d", i+1)
		r.Pieces = append(r.Pieces, Piece{names[i], quantity.Length(float64(size.Length) * in.Units.CutStep()), size.Count})
	}
	for _, c := range plan.Cuts {
		r.Cutting = append(r.Cutting, CutRow{Stock: quantity.Length(float64(problem.Stocks[c.Stock].Length) * in.Units.CutStep()), Times: c.Times,
			Pieces: c.Parts(names), Offcut: quantity.Length(float64(c.Left) * in.Units.CutStep())})
	}
	return nil
}
