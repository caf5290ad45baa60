package plan

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/exact"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/working"
)

// Stage is one row of the plan's table: a question of the trade, what must be answered before it, and how it is answered.
type Stage struct {
	Name     string
	Question string
	Needs    []string
	Deep     bool // takes seconds: run only when it is asked for
	run      func(*run) Report
	alone    func(decode func(into any) error) (Report, error)
	shape    func() any // a new, empty input: for schemas
	keep     func(r *Results, in, result any)
}

// Shape is a pointer to a new, empty input of the stage.
func (s Stage) Shape() any { return s.shape() }

// Report is one stage's part of a plan.
type Report struct {
	Name     string
	Question string
	Input    any // the stage's own Input and Result
	Result   any
	Working  working.Sheet
	Checks   []check.Check
	Assumed  []known.Entry
	Waits    []string // the stages whose answers it lacks
	Fault    error    // what kept it from answering, nil when it answered
	pictures func(in, result any) []drawing.Picture
	amend    func([]drawing.Picture) // what a later stage adds to the pictures; nil: nothing
	clouds   []drawing.Mark          // round what changed since the last print
	currency string                  // sign before money; empty where no job names one
	bare     *bare                   // the report without money, once somebody asked for it
	key      [32]byte                // hash of the input
	write    func() ([]byte, error)  // the result, to be read back to the bit
}

// Answered says whether the stage has a result.
func (r Report) Answered() bool { return r.Fault == nil && len(r.Waits) == 0 }

// Figures are the stage's answers.
func (r Report) Figures() []working.Step { return r.Working.Figures() }

// Pictures draws the stage's pictures; none without an answer.
func (r Report) Pictures() []drawing.Picture {
	pictures := r.Drawn()
	if len(r.clouds) > 0 {
		r.ringed(pictures)
	}
	if r.amend != nil && pictures != nil {
		r.amend(pictures)
	}
	return pictures
}

// Drawn are the stage's pictures without what other stages add to their tables: quicker, for who wants titles and marks only.
func (r Report) Drawn() []drawing.Picture {
	if r.pictures == nil {
		return nil
	}
	return r.pictures(r.Input, r.Result)
}

// reporter is what every stage's result can do: it embeds working.Answer.
type reporter interface{ Report() working.Answer }

// row describes a stage with its own types; stage() makes it one of the table's.
type row[I any, R reporter] struct {
	name      string
	question  string
	needs     []string
	deep      bool
	section   func(*job.Job) *I                     // what the job says of it
	keep      func(*Results, I, R)                  // keeps what later stages need of it
	defaults  func() I                              // the starting guesses
	link      func(in *I, j *job.Job, from Results) // values of earlier stages
	design    func(I) (R, error)
	stoppable func(context.Context, I) (R, error) // design for a caller who may stop it; nil: it cannot be stopped
	pictures  func(I, R) []drawing.Picture        // nil: it draws nothing
	again     func(I, *R) error                   // fills what a written result does not hold and its input tells; nil: nothing
}

func (s row[I, R]) stage() Stage {
	return Stage{
		Name: s.name, Question: s.question, Needs: s.needs, Deep: s.deep,
		run:   s.within,
		alone: s.alone,
		shape: func() any { return new(I) },
		keep:  func(r *Results, in, result any) { s.keep(r, in.(I), result.(R)) },
	}
}

// within runs the stage as part of a plan: guesses, then what the job says, then what earlier stages found.
func (s row[I, R]) within(r *run) Report {
	for _, need := range s.needs {
		if !r.answered[need] {
			return Report{Name: s.name, Question: s.question, Waits: append([]string{}, need)}
		}
	}
	in := s.defaults()
	known.Merge(&in, s.section(r.job))
	s.link(&in, r.job, r.results)
	if r.job.Units == quantity.Metric {
		known.InMetric(&in)
	}
	for _, w := range r.whatIfs {
		if w.Stage == s.name {
			known.Set(&in, w.Field, w.Value)
		}
	}
	report, same := r.unchanged(s.name, in)
	if !same {
		again := func(written []byte) (Report, error) { return s.readBack(in, written) }
		report = r.planner.recall(s.name, s.deep, in, again, func() Report {
			if s.deep && r.keptOnly {
				return Report{Name: s.name, Question: s.question, Waits: []string{s.name}}
			}
			return s.answer(r.ctx, in)
		})
	}
	if report.Answered() {
		s.keep(&r.results, in, report.Result.(R))
	}
	return report
}

// alone runs the stage by itself on a typed input.
func (s row[I, R]) alone(decode func(into any) error) (Report, error) {
	in, said := s.defaults(), new(I)
	if err := decode(said); err != nil {
		return Report{}, err
	}
	known.Merge(&in, said)
	return s.answer(context.Background(), in), nil
}

// answer runs the design; a panic in a stage is a mistake of the program and is told as one, never shown as an answer.
func (s row[I, R]) answer(ctx context.Context, in I) (report Report) {
	report = Report{Name: s.name, Question: s.question, Input: in, Assumed: guesses(&in), bare: &bare{}}
	defer func() {
		if p := recover(); p != nil {
			report.Fault = fmt.Errorf("%s: a mistake in the program: %v", s.name, p)
		}
	}()
	result, err := s.designed(ctx, in)
	if err != nil {
		report.Fault = named(s.name, err)
		return report
	}
	return s.told(report, in, result)
}

// told puts a result into the report of its stage.
func (s row[I, R]) told(report Report, in I, result R) Report {
	answer := result.Report()
	report.Result, report.Working, report.Checks = result, answer.Working, answer.Checks
	report.write = func() ([]byte, error) { return exact.Write(result) }
	if s.pictures != nil {
		report.pictures = func(in, result any) []drawing.Picture { return s.pictures(in.(I), result.(R)) }
	}
	return report
}

// readBack is answer from a written result of the same input.
func (s row[I, R]) readBack(in I, written []byte) (Report, error) {
	var result R
	if err := exact.Read(written, &result); err != nil {
		return Report{}, err
	}
	if s.again != nil {
		if err := s.again(in, &result); err != nil {
			return Report{}, err
		}
	}
	return s.told(Report{Name: s.name, Question: s.question, Input: in, Assumed: guesses(&in)}, in, result), nil
}

func (s row[I, R]) designed(ctx context.Context, in I) (R, error) {
	if s.stoppable != nil {
		return s.stoppable(ctx, in)
	}
	return s.design(in)
}

// named makes every fault's field a path from the top of the job: the stage's section, then the field.
func named(stage string, err error) error {
	var faults check.Faults
	if !errors.As(err, &faults) {
		return err
	}
	out := make(check.Faults, len(faults))
	for i, f := range faults {
		if !strings.HasPrefix(f.Field, stage+".") && f.Field != stage {
			f.Field = stage + "." + f.Field
		}
		out[i] = f
	}
	return out
}

func guesses(in any) []known.Entry {
	var out []known.Entry
	for _, e := range known.Entries(in) {
		if e.Origin == known.Assumed {
			out = append(out, e)
		}
	}
	return out
}

// Faults are what a person must mend before the stage can answer; nil when the trouble is another.
func (r Report) Faults() check.Faults {
	var faults check.Faults
	errors.As(r.Fault, &faults)
	return faults
}

// fingerprint is the hash of an input: equal inputs give equal answers, so an answer is kept under it.
func fingerprint(name string, in any) ([32]byte, error) {
	text, err := json.Marshal(in)
	if err != nil {
		return [32]byte{}, fmt.Errorf("plan: input of %s: %w", name, err)
	}
	return sha256.Sum256(append([]byte(name+"\n"), text...)), nil
}
