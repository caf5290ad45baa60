package cli

import (
	"fmt"
	"strings"
	"text/tabwriter"

	"slabwright/internal/trade/check"
	"slabwright/internal/trade/plan"
)

// questions says which stages answer each question a person asks by name.
var questions = map[string][]string{
	"levels": {"site", "grade"},
	"load":   {"slab", "cure"},
	"joints": {"joints", "steel", "forms"},
	"order":  {"mix", "order", "access"},
	"day":    {"pour"},
	"price":  {"price"},
}

// askCommand answers one question of a job.
type askCommand struct{ jobFile }

// Run prints the answers of the question's stages. A "don't" of the day question is exit code 3.
func (c askCommand) Run(s *session) error {
	p, err := s.made(c.jobFile)
	if err != nil {
		return err
	}
	question := strings.Fields(s.command)[0]
	var reports []plan.Report
	for _, name := range questions[question] {
		if r, ok := p.Of(name); ok {
			reports = append(reports, r)
		}
	}
	if err := s.answer(p, reports); err != nil {
		return err
	}
	return verdict(question, reports)
}

func (s *session) answer(p plan.Plan, reports []plan.Report) error {
	if s.JSON {
		views := map[string]plan.StageView{}
		for _, r := range reports {
			views[r.Name] = r.View(p.Job.Units)
		}
		return s.printJSON(views)
	}
	for _, r := range reports {
		if s.Plain {
			s.plainFigures(r, p.Job.Units)
			continue
		}
		s.report(p, r)
	}
	return nil
}

// report prints one stage: its question, its answers, what to mind.
func (s *session) report(p plan.Plan, r plan.Report) {
	fmt.Fprintln(s.Out, s.strong(r.Question))
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	for _, f := range r.Figures() {
		fmt.Fprintf(w, "  %s\t%s\n", f.Says, f.Value.String(p.Job.Units))
	}
	w.Flush()
	if !s.Quiet {
		s.checks(r.Checks)
		fmt.Fprintf(s.Out, "%d values assumed; working: slabwright why FILE %s\n\n", len(r.Assumed), r.Name)
	}
}

// verdict gives the exit code of a question: missing input first, then a "don't" where the answer is a verdict.
func verdict(question string, reports []plan.Report) error {
	for _, r := range reports {
		if r.Fault != nil {
			code := Uncomputed
			if len(r.Faults()) > 0 {
				code = Missing
			}
			return exit{code: code, err: fmt.Errorf("%s: %w", r.Name, r.Fault)}
		}
		if len(r.Waits) > 0 {
			return exit{code: Missing, err: fmt.Errorf("%s waits for %s", r.Name, strings.Join(r.Waits, ", "))}
		}
	}
	if question != "day" {
		return nil
	}
	for _, r := range reports {
		if worst := check.Worst(r.Checks); worst == check.Stop || !judged(r) {
			return exit{code: AnsweredNo}
		}
	}
	return nil
}

// judged says whether the day was judged at all: without weather there is no yes.
func judged(r plan.Report) bool {
	for _, c := range r.Checks {
		if c.Level == check.NotComputed {
			return false
		}
	}
	return true
}
