package plan

import (
	"fmt"

	"slabwright/internal/engines/quantity"
)

// SizeLine answers "how many yards for this size?" in one line: "11 1/4 yd3 to order (10.37 neat + 7 % assumed)".
func (p Plan) SizeLine() string {
	o := p.Results.Order
	unit := quantity.Plain(0, quantity.AsVolume).Unit(p.Job.Units)
	neat := quantity.Show(o.Neat, quantity.AsVolume).In(p.Job.Units)
	order := quantity.Decimal(quantity.Show(o.Yards, quantity.AsVolume).In(p.Job.Units), 2, 0)
	if p.Job.Units == quantity.US {
		order = Quarters(quantity.Show(o.Yards, quantity.AsVolume).In(p.Job.Units))
	}
	line := fmt.Sprintf("%s %s to order (%s neat", order, unit, quantity.Decimal(neat, 2, 0))
	allowance := p.Results.OrderInput.Allowance
	return line + fmt.Sprintf(" + %s %s)", allowance.Show(quantity.AsPercent).Trimmed(p.Job.Units), allowance.Origin)
}

// Quarters writes a volume on the plant's quarters as people say it: 11 1/4; other amounts in decimals.
func Quarters(v float64) string {
	n := int(v*4 + 0.5)
	if d := v*4 - float64(n); d > 1e-6 || d < -1e-6 {
		return quantity.Decimal(v, 2, 0)
	}
	whole, rest := n/4, [...]string{"", "1/4", "1/2", "3/4"}[n%4]
	switch {
	case rest == "":
		return fmt.Sprint(whole)
	case whole == 0:
		return rest
	}
	return fmt.Sprintf("%d %s", whole, rest)
}

// SizeAnswer is the same answer for scripts.
type SizeAnswer struct {
	Order   Value       `json:"order"`
	Neat    Value       `json:"neat"`
	Says    string      `json:"says"`
	Trust   Trust       `json:"trust"`
	Next    string      `json:"next"`
	Assumed []MoverView `json:"assumed"`
}

// SizeView is the answer for scripts: values with units, level of trust, and the assumed values.
func (p Plan) SizeView() SizeAnswer {
	a := SizeAnswer{Says: p.SizeLine(), Trust: p.Trust(), Next: p.TrustReason(), Assumed: []MoverView{},
		Order: p.manner().value(quantity.Show(p.Results.Order.Yards, quantity.AsVolume)),
		Neat:  p.manner().value(quantity.Show(p.Results.Order.Neat, quantity.AsVolume))}
	for _, g := range p.Guesses() {
		a.Assumed = append(a.Assumed, MoverView{Stage: g.Stage, GuessView: p.manner().guess(g.Entry)})
	}
	return a
}
