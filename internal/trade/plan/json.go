package plan

import (
	"bytes"
	"encoding/json"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Value is a shown value as scripts read it: in the job's units, in SI, and as a person reads it.
type Value struct {
	Value  *float64 `json:"value,omitempty"`
	Unit   string   `json:"unit,omitempty"`
	SI     *float64 `json:"si,omitempty"`
	SIUnit string   `json:"si_unit,omitempty"`
	Text   string   `json:"text"`
}

func valueOf(a quantity.Any, units quantity.System) Value {
	v := Value{Text: a.String(units)}
	if a.Kind != quantity.AsText && a.Kind != "" && quantity.Finite(a.SI) {
		shown, si := a.In(units), a.SI
		v.Value, v.Unit, v.SI, v.SIUnit = &shown, a.Unit(units), &si, quantity.SIUnit(a.Dimension()).Symbol
	}
	return v
}

// optional leaves a value that was never set out.
func optional(a quantity.Any, units quantity.System) *Value {
	if a == (quantity.Any{}) {
		return nil
	}
	v := valueOf(a, units)
	return &v
}

// FigureView is an answer of a stage.
type FigureView struct {
	Name   string      `json:"-"`
	Says   string      `json:"says"`
	Source sources.Key `json:"source,omitempty"`
	Value
}

// StepView is one line of a calculation sheet.
type StepView struct {
	Name    string       `json:"name"`
	Says    string       `json:"says"`
	Symbol  string       `json:"symbol,omitempty"`
	Formula string       `json:"formula,omitempty"`
	Result  Value        `json:"result"`
	From    []string     `json:"from,omitempty"`
	Origin  known.Origin `json:"origin,omitempty"`
	Typed   string       `json:"typed,omitempty"`
	Reason  string       `json:"reason,omitempty"`
	Low     *Value       `json:"low,omitempty"`
	High    *Value       `json:"high,omitempty"`
	Source  sources.Key  `json:"source,omitempty"`
}

// CheckView is one verdict.
type CheckView struct {
	ID     check.ID    `json:"id"`
	Level  check.Level `json:"level"`
	Says   string      `json:"says"`
	Value  *Value      `json:"value,omitempty"`
	Limit  *Value      `json:"limit,omitempty"`
	Where  string      `json:"where,omitempty"`
	Source sources.Key `json:"source,omitempty"`
	Then   []string    `json:"then,omitempty"`
	Safety bool        `json:"safety,omitempty"`
}

// GuessView is one assumed value.
type GuessView struct {
	Field  string      `json:"field"`
	Says   string      `json:"says"`
	Value  Value       `json:"value"`
	Low    *Value      `json:"low,omitempty"`
	High   *Value      `json:"high,omitempty"`
	Reason string      `json:"reason"`
	Source sources.Key `json:"source,omitempty"`
}

// StageView is one stage as scripts read it.
type StageView struct {
	Question string      `json:"question"`
	Answered bool        `json:"answered"`
	Needs    any         `json:"needs,omitempty"` // faults to mend, or the stages it waits for
	Figures  ordered     `json:"figures"`
	Checks   []CheckView `json:"checks"`
	Working  []StepView  `json:"working"`
	Assumed  []GuessView `json:"assumed"`
	Result   any         `json:"result,omitempty"`
	Verdict  check.Level `json:"verdict"`
	Units    string      `json:"units"`
}

// ordered is a JSON object that keeps the order in which its figures were worked out.
type ordered []FigureView

// MarshalJSON writes {"name": figure, …} in order; the last of a name counts.
func (o ordered) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, f := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		name, err := json.Marshal(f.Name)
		if err != nil {
			return nil, err
		}
		body, err := json.Marshal(f)
		if err != nil {
			return nil, err
		}
		b.Write(name)
		b.WriteByte(':')
		b.Write(body)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// View is a report as scripts read it, in the given units.
func (r Report) View(units quantity.System) StageView {
	v := StageView{Question: r.Question, Answered: r.Answered(), Result: r.Result, Verdict: check.Worst(r.Checks),
		Checks: []CheckView{}, Working: []StepView{}, Assumed: []GuessView{}, Figures: ordered{}, Units: units.String()}
	switch {
	case len(r.Faults()) > 0:
		v.Needs = r.Faults()
	case r.Fault != nil:
		v.Needs = []string{r.Fault.Error()}
	case len(r.Waits) > 0:
		v.Needs = r.Waits
	}
	for _, s := range r.Working.Steps {
		v.Working = append(v.Working, stepView(s, units))
	}
	for _, s := range r.Figures() {
		v.Figures = append(v.Figures, FigureView{s.Name, s.Says, s.Source, valueOf(s.Value, units)})
	}
	for _, c := range r.Checks {
		v.Checks = append(v.Checks, CheckView{c.ID, c.Level, c.Says, optional(c.Value, units), optional(c.Limit, units), c.Where, c.Source, c.Then, c.Safety})
	}
	for _, e := range r.Assumed {
		v.Assumed = append(v.Assumed, guessView(e, units))
	}
	return v
}

func stepView(s working.Step, units quantity.System) StepView {
	return StepView{s.Name, s.Says, s.Symbol, s.Formula, valueOf(s.Value, units), s.From, s.Origin, s.Typed, s.Reason,
		optional(s.Low, units), optional(s.High, units), s.Source}
}

func guessView(e known.Entry, units quantity.System) GuessView {
	g := GuessView{Field: e.Field, Says: e.Says, Value: valueOf(e.Value, units), Reason: e.Reason, Source: e.Source}
	if e.Ranged {
		g.Low, g.High = optional(e.Low, units), optional(e.High, units)
	}
	return g
}

// JobView is what identifies a plan.
type JobView struct {
	Title  string `json:"title"`
	Number string `json:"number,omitempty"`
	Units  string `json:"units"`
	AsOf   string `json:"as_of"`
	Trust  Trust  `json:"trust"`
	Next   string `json:"next"`
}

// MoverView is a guess and what it moves.
type MoverView struct {
	Stage string `json:"stage"`
	GuessView
	Moves string `json:"moves"`
}

// planView is one object with the job, a key for each stage, and what to measure next.
type planView struct {
	job    JobView
	stages []Report
	units  quantity.System
	movers []MoverView
}

// View is the whole plan as scripts read it: one object with a key for each stage.
func (p Plan) View() json.Marshaler {
	v := planView{job: p.jobView(), stages: p.Stages, units: p.Job.Units, movers: []MoverView{}}
	for _, m := range p.Movers() {
		v.movers = append(v.movers, MoverView{m.Stage, guessView(m.Entry, p.Job.Units), m.Moves(p.Job.Units)})
	}
	return v
}

func (p Plan) jobView() JobView {
	return JobView{Title: p.Job.Title(), Number: p.Job.Number, Units: p.Job.Units.String(), AsOf: p.Job.AsOf.Format("2006-01-02"), Trust: p.Trust(), Next: p.TrustReason()}
}

// MarshalJSON writes the stages in the order of the table.
func (v planView) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	put := func(key string, value any) error {
		text, err := json.Marshal(value)
		if err != nil {
			return err
		}
		if b.Len() > 1 {
			b.WriteByte(',')
		}
		b.WriteString(`"` + key + `":`)
		b.Write(text)
		return nil
	}
	if err := put("job", v.job); err != nil {
		return nil, err
	}
	for _, r := range v.stages {
		if err := put(r.Name, r.View(v.units)); err != nil {
			return nil, err
		}
	}
	if err := put("measure_next", v.movers); err != nil {
		return nil, err
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}
