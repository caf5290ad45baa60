// Package plan is the one place that knows all stages of a job and their order. It fills each stage's input from the job
// and from earlier stages, runs what has changed, and gathers figures, checks, workings and guesses.
package plan

import (
	"context"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"slabwright/internal/trade/check"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/working"
)

// Plan is the whole chain of decisions for one job.
type Plan struct {
	Job     job.Job
	Stages  []Report
	Results Results
	ranking *ranking

	Replaces string   // the print this one replaces, like R2; empty where nothing was printed
	Changes  []Change // since that print

	unpriced bool // money is hidden: nothing is priced anew
}

// whatIf replaces one assumed number of one stage's input.
type whatIf struct {
	Stage, Field string
	Value        float64
}

// run is one pass over the stages.
type run struct {
	planner  *Planner
	job      *job.Job
	results  Results
	answered map[string]bool
	whatIfs  []whatIf
	before   *Plan // whose answers stand where an input is the same; nil: none
	ctx      context.Context
	keptOnly bool // deep stages answer only what is remembered
}

// Make plans a job: every stage that can answer does; one that cannot says what it lacks and the rest goes on. Deep stages
// run only where they are named.
func (p *Planner) Make(j job.Job, deep ...string) Plan {
	return p.make(j, append(Usual(), deep...))
}

// Ask plans a job only as far as the named stages' answers need; without names, as Make does.
func (p *Planner) Ask(j job.Job, names ...string) Plan {
	if len(names) == 0 {
		return p.Make(j)
	}
	return p.make(j, behind(names...))
}

// Kept is Ask for who cannot wait: a deep stage answers from memory only, and otherwise waits for itself.
func (p *Planner) Kept(j job.Job, names ...string) Plan {
	return (&run{planner: p, job: &j, ctx: context.Background(), keptOnly: true}).over(behind(names...))
}

// Work is Ask for a caller who may stop it, and to whom a deep stage tells how far it is (working.WithProgress). What was
// stopped is not remembered; its report has the context's error as its fault.
func (p *Planner) Work(ctx context.Context, j job.Job, names ...string) Plan {
	return (&run{planner: p, job: &j, ctx: ctx}).over(behind(names...))
}

// IsDeep says whether what somebody asks about ("hold", "hold.chance") belongs to a deep stage.
func IsDeep(what string) bool {
	name, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(what)), ".")
	s, ok := Find(name)
	return ok && s.Deep
}

// Usual lists the stages that every plan runs.
func Usual() []string {
	var names []string
	for _, s := range Stages() {
		if !s.Deep {
			names = append(names, s.Name)
		}
	}
	return names
}

// make runs the named stages, in the order of the table.
func (p *Planner) make(j job.Job, only []string) Plan {
	return (&run{planner: p, job: &j, ctx: context.Background()}).over(only)
}

func (r *run) over(only []string) Plan {
	r.answered = map[string]bool{}
	plan := Plan{Job: *r.job, ranking: &ranking{}}
	for _, s := range Stages() {
		if slices.Contains(only, s.Name) {
			plan.Stages = append(plan.Stages, r.ask(s))
		}
	}
	plan.Results = r.results
	plan.amendPictures()
	return plan
}

// ask runs one stage of the pass.
func (r *run) ask(s Stage) Report {
	report := s.run(r)
	report.currency = r.job.Currency
	r.answered[s.Name] = report.Answered()
	return report
}

// unchanged is what a stage answered before to the same input: quicker than a hash of it.
func (r *run) unchanged(name string, in any) (Report, bool) {
	if r.before == nil {
		return Report{}, false
	}
	report, ok := r.before.Of(name)
	return report, ok && report.Answered() && reflect.DeepEqual(report.Input, in)
}

// suppose makes the named stages of a plan again with some of its guesses replaced. Stages before the first of them, and those not
// named, answer as they did.
func (p *Planner) suppose(as Plan, only []string, w ...whatIf) Plan {
	r := &run{planner: p, job: &as.Job, ctx: context.Background(), results: as.Results, answered: map[string]bool{}, whatIfs: w, before: &as}
	plan := Plan{Job: as.Job, ranking: &ranking{}}
	reached := false
	for _, s := range Stages() {
		if !slices.Contains(only, s.Name) {
			before, _ := as.Of(s.Name)
			r.answered[s.Name] = before.Answered()
			continue
		}
		reached = reached || slices.ContainsFunc(w, func(w whatIf) bool { return w.Stage == s.Name })
		report, ok := as.Of(s.Name)
		if reached || !ok {
			report = r.ask(s)
		}
		r.answered[s.Name] = report.Answered()
		plan.Stages = append(plan.Stages, report)
	}
	plan.Results = r.results
	plan.amendPictures()
	return plan
}

// Find finds a stage of the table by name.
func Find(name string) (Stage, bool) {
	for _, s := range Stages() {
		if s.Name == name {
			return s, true
		}
	}
	return Stage{}, false
}

// Alone runs one stage on its own: decode fills its input as typed, and the stage's guesses fill the rest.
func (s Stage) Alone(decode func(into any) error) (Report, error) { return s.alone(decode) }

// Names lists the stages in order.
func Names() []string {
	var names []string
	for _, s := range Stages() {
		names = append(names, s.Name)
	}
	return names
}

// behind lists the named stages and all that must be answered before them.
func behind(names ...string) []string {
	wanted := map[string]bool{}
	var want func(name string)
	want = func(name string) {
		s, ok := Find(name)
		if !ok || wanted[name] {
			return
		}
		wanted[name] = true
		for _, need := range s.Needs {
			want(need)
		}
	}
	for _, name := range names {
		want(name)
	}
	return slices.DeleteFunc(Names(), func(name string) bool { return !wanted[name] })
}

// Of is the report of one stage.
func (p Plan) Of(name string) (Report, bool) {
	i := slices.IndexFunc(p.Stages, func(r Report) bool { return r.Name == name })
	if i < 0 {
		return Report{}, false
	}
	return p.Stages[i], true
}

// Figure finds an answer by "stage.figure".
func (p Plan) Figure(name string) (working.Step, bool) {
	for _, r := range p.Stages {
		for _, step := range r.Working.Steps {
			if r.Name+"."+step.Name == name {
				return step, true
			}
		}
	}
	return working.Step{}, false
}

// Checks gathers every stage's checks.
func (p Plan) Checks() []check.Check {
	var out []check.Check
	for _, r := range p.Stages {
		out = append(out, r.Checks...)
	}
	return out
}

// Guess is an assumed value with the stage that assumed it.
type Guess struct {
	Stage string
	known.Entry
}

// Guesses gathers every assumed value of the plan.
func (p Plan) Guesses() []Guess {
	var out []Guess
	for _, r := range p.Stages {
		for _, e := range r.Assumed {
			out = append(out, Guess{r.Name, e})
		}
	}
	return out
}

// Unanswered says which stages could not answer and why, in words.
func (p Plan) Unanswered() []string {
	var out []string
	for _, r := range p.Stages {
		switch {
		case r.Fault != nil:
			out = append(out, fmt.Sprintf("%s: %v", r.Name, r.Fault))
		case len(r.Waits) > 0:
			out = append(out, fmt.Sprintf("%s waits for %s", r.Name, strings.Join(r.Waits, ", ")))
		}
	}
	return out
}
