package forms

import (
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/stock"
	"slabwright/internal/trade/check"
)

// unit is the whole number that boards are cut in: a sixteenth of an inch, or a millimetre.
func (in Input) unit() float64 {
	if in.Units == quantity.Metric {
		return 0.001
	}
	return 0.0254 / 16
}

// cut counts the boards and finds the cheapest way of cutting them, priced by length.
func (r *Result) cut(in Input) error {
	count := map[int]int{}
	for _, run := range r.Runs {
		for _, l := range run.Pieces {
			n := int(math.Round(l.Metres() / in.unit()))
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
	problem := stock.Problem{Kerf: int(math.Ceil(in.Kerf.Value.Metres()/in.unit() - 1e-6))}
	for length, n := range count {
		problem.Pieces = append(problem.Pieces, stock.Piece{Length: length, Count: n})
	}
	for _, l := range []quantity.Length{in.Stock.Value, in.Stock2.Value} {
		if n := int(math.Round(l.Metres() / in.unit())); n > 0 {
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
		r.Pieces = append(r.Pieces, Piece{names[i], quantity.Length(float64(size.Length) * in.unit()), size.Count})
	}
	for _, c := range plan.Cuts {
		var parts []string
		for i, n := range c.Pieces {
			if n > 0 {
				parts = append(parts, fmt.Sprintf("%d × %s", n, names[i]))
			}
		}
		r.Cutting = append(r.Cutting, CutRow{Stock: quantity.Length(float64(problem.Stocks[c.Stock].Length) * in.unit()), Times: c.Times,
			Pieces: strings.Join(parts, " + "), Offcut: quantity.Length(float64(c.Left) * in.unit())})
	}
	return nil
}
