package web

import (
	"fmt"
	"net/http"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/speak"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/plan"
)

// riskView is what the guesses may do to the cost, in words.
type riskView struct {
	Strip  []said // the answer first
	Rows   []said
	How    string
	Swings []swingView
}

type said struct{ Says, Text string }

type swingView struct{ Says, From, To, How string }

// otherwiseView is the job built in another way.
type otherwiseView struct {
	Says, Price, More, Lasts, Ready string
	Stops                           []string
}

// doubt shows what could go wrong with the price, and what the job costs built otherwise. It makes many plans and takes about a second,
// so it is a page of its own, asked for by name.
func (p *Page) doubt(w http.ResponseWriter, r *http.Request) {
	id := r.PathValue("id")
	planned, err := p.office.Plan(r.Context(), id, nil)
	if err != nil {
		p.fail(w, r, err)
		return
	}
	made := planned.Plan
	shown := map[string]any{"ID": id, "JobTitle": made.Job.Title(), "Head": p.head(r, "What could go wrong with the price")}
	risk, err := made.PriceRiskWithin(r.Context(), plan.CostDraws, plan.CostTried, plan.CostSeed)
	if err != nil {
		shown["Lacking"] = upper(err.Error())
	} else {
		shown["Risk"], shown["Otherwise"] = riskOf(made, risk), otherwise(made)
	}
	p.show(w, "doubt", shown)
}

func riskOf(p plan.Plan, k plan.Risk) riskView {
	t := speak.Of(p.Job)
	sum := func(v quantity.Money) string { return t.Headline(quantity.Show(v, quantity.AsMoney)) }
	share := func(v quantity.Percent) string { return fmt.Sprintf("%.0f in a hundred", 100*float64(v)) }
	v := riskView{
		Strip: []said{{"Jobs like this that lose money at " + sum(k.Price), share(k.Loss)}, {fmt.Sprintf("Price that covers %s", share(k.Covers)), sum(k.Quote)}, {"To hold back for that", sum(k.Contingency)}},
		Rows: []said{{"Cost as planned, nothing held back", sum(k.Likely)}, {"One job in ten costs less than", sum(k.Low)}, {"Half of them cost less than", sum(k.Middle)},
			{"One job in ten costs more than", sum(k.High)}},
		How: fmt.Sprintf("Drawn %d times from the ranges of what is assumed, seed %d; what the shop decides stays as planned. %d whole plans differ from that by %s on average.", k.Draws, k.Seed, k.Tried, sum(k.Missed)),
	}
	for _, s := range k.Worst[:min(mostSwings, len(k.Worst))] {
		v.Swings = append(v.Swings, swingView{upper(s.Says), sum(s.From), sum(s.To), upper(s.Effort.How)})
	}
	return v
}

// mostSwings is how many guesses are told that the cost swings by.
const mostSwings = 8

func otherwise(p plan.Plan) []otherwiseView {
	t := speak.Of(p.Job)
	var out []otherwiseView
	for _, a := range p.Alternatives() {
		v := p.AlternativeView(a)
		row := otherwiseView{Says: upper(a.Says), Price: t.Headline(quantity.Show(a.Price, quantity.AsMoney)), More: t.More(a), Lasts: t.Says(v.Lasts), Ready: v.Ready}
		for _, c := range a.Stops {
			row.Stops = append(row.Stops, upper(check.Stop.String())+". "+t.Says(c.Says))
		}
		out = append(out, row)
	}
	return out
}
