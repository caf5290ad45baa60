// Package working keeps the calculation sheet of a stage: each value with its symbol, formula, inputs and source, in the
// order it was worked out. The answer to "why?", the printed calculation sheet, the figures of the plan and the tests all
// read these same steps, so no figure can be shown that has no working.
package working

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Step is one line of the sheet.
type Step struct {
	Name    string       // how `why` and other steps call it: "neat"
	Says    string       // what it is, in the trade's words: "concrete to fill the forms"
	Symbol  string       // the source's symbol: "V₀"; may be empty
	Formula string       // as text: "A · t"; empty for an input
	Value   quantity.Any // the result
	From    []string     // names of the steps it uses; "stage.figure" for another stage's
	Source  sources.Key
	Figure  bool // an answer of the stage, not only a step towards one

	// Of an input:
	Origin known.Origin
	Typed  string       // as typed
	Reason string       // why assumed, or which figure of which stage it is
	Low    quantity.Any // plausible range of a guess
	High   quantity.Any
}

// Sheet is the working of one stage.
type Sheet struct{ Steps []Step }

// Given puts an input on the sheet with how it is known, and returns its name for later steps. kind empty: the usual kind
// of its dimension.
func Given[T any](s *Sheet, name, symbol, says string, k known.Known[T], kind quantity.Kind) string {
	step := Step{Name: name, Symbol: symbol, Says: says, Value: k.Show(kind), Origin: k.Origin,
		Typed: k.Text, Reason: k.Reason, Source: k.Source}
	if k.Origin == known.Computed && k.Reason != "" {
		step.From = []string{k.Reason}
	}
	if k.Origin == known.Assumed {
		step.Low, step.High = known.Known[T]{Value: k.Low}.Show(kind), known.Known[T]{Value: k.High}.Show(kind)
	}
	s.Steps = append(s.Steps, step)
	return name
}

// Show puts a computed step on the sheet.
func (s *Sheet) Show(step Step) { s.Steps = append(s.Steps, step) }

// Answer puts a computed step on the sheet and marks it a figure of the stage.
func (s *Sheet) Answer(step Step) {
	step.Figure = true
	s.Steps = append(s.Steps, step)
}

// Figures are the answers of the stage, in order.
func (s Sheet) Figures() []Step {
	var out []Step
	for _, step := range s.Steps {
		if step.Figure {
			out = append(out, step)
		}
	}
	return out
}

// Find looks a step up by name; the last of that name counts.
func (s Sheet) Find(name string) (Step, bool) {
	for i := len(s.Steps) - 1; i >= 0; i-- {
		if s.Steps[i].Name == name {
			return s.Steps[i], true
		}
	}
	return Step{}, false
}

// Behind lists the steps that lead to name, in the order of the sheet, name itself last: the working of one figure.
func (s Sheet) Behind(name string) []Step {
	wanted := map[string]bool{name: true}
	var back []Step
	for i := len(s.Steps) - 1; i >= 0; i-- {
		step := s.Steps[i]
		if !wanted[step.Name] {
			continue
		}
		delete(wanted, step.Name)
		for _, from := range step.From {
			wanted[from] = true
		}
		back = append(back, step)
	}
	for i, j := 0, len(back)-1; i < j; i, j = i+1, j-1 {
		back[i], back[j] = back[j], back[i]
	}
	return back
}

// Answer is what every stage's result carries beside its own values: the working and the checks.
type Answer struct {
	Working Sheet
	Checks  []check.Check
}

// Report gives access to an embedded Answer.
func (a Answer) Report() Answer { return a }

// Check adds verdicts.
func (a *Answer) Check(checks ...check.Check) { a.Checks = append(a.Checks, checks...) }
