package cli

import (
	"fmt"
	"text/tabwriter"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/speak"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/plan"
)

// doubtView is what the guesses may do to the money, as scripts read it.
type doubtView struct {
	Risk         plan.RiskView          `json:"risk"`
	Alternatives []plan.AlternativeView `json:"alternatives"`
}

func (s *session) doubt(p plan.Plan) (doubtView, error) {
	risk, err := p.PriceRisk(plan.CostDraws, plan.CostTried, plan.CostSeed)
	if err != nil {
		return doubtView{}, err
	}
	return doubtView{p.RiskView(risk), p.AlternativeViews(p.Alternatives())}, nil
}

// money prints what could go wrong with the price, and what the job would cost built otherwise.
func (s *session) money(p plan.Plan) error {
	if r, ok := p.Of("price"); !ok || !r.Answered() {
		return nil
	}
	s.progress("Drawing the cost ten thousand times")
	risk, err := p.PriceRisk(plan.CostDraws, plan.CostTried, plan.CostSeed)
	if err != nil {
		return err
	}
	s.risk(p, risk)
	s.alternatives(p)
	return nil
}

func (s *session) risk(p plan.Plan, k plan.Risk) {
	t := speak.Of(p.Job)
	sum := func(v quantity.Money) string { return t.Headline(quantity.Show(v, quantity.AsMoney)) }
	fmt.Fprintf(s.Out, "\n%s\n", s.strong("What could go wrong with it"))
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	fmt.Fprintf(w, "  cost as planned, nothing held back\t%s\n", sum(k.Likely))
	fmt.Fprintf(w, "  cost in one job of ten, half, nine of ten: under\t%s, %s, %s\n", sum(k.Low), sum(k.Middle), sum(k.High))
	fmt.Fprintf(w, "  hold back to cover %.0f jobs in a hundred\t%s, a price of %s\n", 100*float64(k.Covers), sum(k.Contingency), sum(k.Quote))
	fmt.Fprintf(w, "  chance to lose money at %s\t%.0f in a hundred\n", sum(k.Price), 100*float64(k.Loss))
	w.Flush()
	s.line("  ", fmt.Sprintf("Drawn %d times from the ranges of what is assumed, seed %d. %d whole plans differ from that by %s on average.", k.Draws, k.Seed, k.Tried, sum(k.Missed)))
	if len(k.Worst) == 0 {
		return
	}
	fmt.Fprintf(s.Out, "\n%s\n", s.strong("What the cost swings by most"))
	w = tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	for _, x := range k.Worst[:min(5, len(k.Worst))] {
		fmt.Fprintf(w, "  %s\t%s to %s\t%s\n", x.Says, sum(x.From), sum(x.To), x.Effort.How)
	}
	w.Flush()
}

func (s *session) alternatives(p plan.Plan) {
	t := speak.Of(p.Job)
	fmt.Fprintf(s.Out, "\n%s\n", s.strong("Built otherwise"))
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	all := p.Alternatives()
	for _, a := range all {
		v := p.AlternativeView(a)
		fmt.Fprintf(w, "  %s\t%s\t%s\t%s\tloaded from: %s\n", a.Says, t.Headline(quantity.Show(a.Price, quantity.AsMoney)), t.More(a), t.Says(v.Lasts), v.Ready)
	}
	w.Flush()
	for _, a := range all {
		for _, c := range a.Stops {
			s.line("  "+shape(check.Stop)+" ", a.Says+": "+t.Says(c.Says))
		}
	}
}
