package api

import (
	"net/http"

	"slabwright/internal/trade/plan"
)

// Why is the working of one figure.
type Why struct {
	Stage    string `json:"stage"`
	Question string `json:"question"`
	Steps    []Step `json:"steps"`
}

// Step is one line of a calculation sheet.
type Step struct {
	Name    string   `json:"name"`
	Says    string   `json:"says"`
	Symbol  string   `json:"symbol,omitempty"`
	Formula string   `json:"formula,omitempty"`
	Result  Value    `json:"result"`
	From    []string `json:"from,omitempty"`
	Origin  string   `json:"origin,omitempty"`
	Typed   string   `json:"typed,omitempty"`
	Reason  string   `json:"reason,omitempty"`
	Range   string   `json:"range,omitempty"`
	Source  string   `json:"source,omitempty"` // spelled out
}

func (s *Server) getWhy(w http.ResponseWriter, r *http.Request) error {
	what := r.PathValue("figure")
	names := plan.Usual()
	if plan.IsDeep(what) {
		names = plan.Names()
	}
	a, err := s.ask(r.Context(), r.PathValue("job"), Question{Questions: names})
	if err != nil {
		return err
	}
	report, steps, err := a.plan.Why(what)
	if err != nil {
		return problem(http.StatusNotFound, "Nothing here is called `"+what+"`, or it has no answer yet.", "Ask for a stage like order, or a figure like order.yards.")
	}
	if r.URL.Query().Get("deep") == "1" {
		steps = a.plan.Deep(report, steps)
	}
	out := Why{report.Name, report.Question, []Step{}}
	for _, step := range steps {
		out.Steps = append(out.Steps, a.step(step))
	}
	return reply(w, http.StatusOK, out)
}
