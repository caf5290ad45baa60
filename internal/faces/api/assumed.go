package api

import (
	"net/http"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/speak"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/working"
)

// Assumed is the list of all guesses. Ranked: those that move the answer most come first, each with what it moves.
type Assumed struct {
	Ranked  bool    `json:"ranked"`
	Guesses []Guess `json:"guesses"`
}

func (s *Server) getAssumed(w http.ResponseWriter, r *http.Request) error {
	a, err := s.ask(r.Context(), r.PathValue("job"), Question{})
	if err != nil {
		return err
	}
	out, t := Assumed{Guesses: []Guess{}}, speak.Of(a.job)
	moved := map[string]bool{}
	if ranking, ok := s.ranked(a); ok {
		out.Ranked = true
		for _, m := range ranking {
			g := a.guess(m.Guess)
			g.Moves = t.Says(m.Moves(a.job.Units))
			moved[g.Stage+"."+g.Field] = true
			out.Guesses = append(out.Guesses, g)
		}
	}
	for _, g := range a.plan.Guesses() {
		if !moved[g.Stage+"."+g.Field] {
			out.Guesses = append(out.Guesses, a.guess(g))
		}
	}
	return reply(w, http.StatusOK, out)
}

// shown is a value with its text as the job's people say it; nil for one that was never set.
func (a asked) shown(v quantity.Any) *Value {
	if v == (quantity.Any{}) {
		return nil
	}
	p := a.plan.Value(v)
	return &Value{p.Value, p.Unit, p.SI, p.SIUnit, speak.Of(a.job).Value(v)}
}

func (a asked) step(step working.Step) Step {
	out := Step{Name: step.Name, Says: step.Says, Symbol: step.Symbol, Formula: step.Formula, From: step.From, Origin: string(step.Origin), Typed: step.Typed, Reason: step.Reason}
	if v := a.shown(step.Value); v != nil {
		out.Result = *v
	}
	if step.Origin == known.Assumed && step.Low.SI != step.High.SI {
		out.Range = speak.Of(a.job).Span(step.Low, step.High)
	}
	if step.Source != "" {
		out.Source = step.Source.String()
	}
	return out
}
