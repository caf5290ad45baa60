package plan

import (
	"bytes"
	"encoding/json"
	"strconv"

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

// manner is how one job writes values.
type manner struct {
	units    quantity.System
	currency string
}

func (m manner) value(a quantity.Any) Value {
	v := Value{Text: quantity.InCurrency(a.String(m.units), m.currency)}
	if a.Kind != quantity.AsText && a.Kind != "" && quantity.Finite(a.SI) {
		shown, si := clean(a.In(m.units)), clean(a.SI)
		v.Value, v.Unit = &shown, quantity.CurrencyUnit(a.Unit(m.units), m.currency)
		v.SI, v.SIUnit = &si, quantity.CurrencyUnit(quantity.SIUnit(a.Dimension()).Symbol, m.currency)
	}
	return v
}

func (m manner) sentences(all []string) []string {
	var out []string
	for _, s := range all {
		out = append(out, quantity.InCurrency(s, m.currency))
	}
	return out
}

// Value is a value of the plan as scripts read it.
func (p Plan) Value(a quantity.Any) Value { return p.manner().value(a) }

// clean takes away what the change of units left in the last digits: 11.25, not 11.250000000000002.
func clean(v float64) float64 {
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		return v
	}
	return short
}

// optional leaves a value that was never set out.
func (m manner) optional(a quantity.Any) *Value {
	if a == (quantity.Any{}) {
		return nil
	}
	v := m.value(a)
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
	m := manner{units, r.currency}
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
		v.Working = append(v.Working, m.step(s))
	}
	for _, s := range r.Figures() {
		v.Figures = append(v.Figures, FigureView{s.Name, s.Says, s.Source, m.value(s.Value)})
	}
	for _, c := range r.Checks {
		v.Checks = append(v.Checks, CheckView{c.ID, c.Level, quantity.InCurrency(c.Says, r.currency), m.optional(c.Value), m.optional(c.Limit), c.Where, c.Source, m.sentences(c.Then), c.Safety})
	}
	for _, e := range r.Assumed {
		v.Assumed = append(v.Assumed, m.guess(e))
	}
	return v
}

func (m manner) step(s working.Step) StepView {
	return StepView{s.Name, s.Says, s.Symbol, s.Formula, m.value(s.Value), s.From, s.Origin, s.Typed, s.Reason,
		m.optional(s.Low), m.optional(s.High), s.Source}
}

func (m manner) guess(e known.Entry) GuessView {
	g := GuessView{Field: e.Field, Says: e.Says, Value: m.value(e.Value), Reason: e.Reason, Source: e.Source}
	if e.Ranged {
		g.Low, g.High = m.optional(e.Low), m.optional(e.High)
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
	Moves  string `json:"moves,omitempty"`
	Spares Value  `json:"spares,omitzero"` // money that need not be held back once it is known
	Worth  Value  `json:"worth,omitzero"`  // less the time it takes
	Time   Value  `json:"time,omitzero"`
	How    string `json:"how,omitempty"`
}

func (m manner) mover(v Mover) MoverView {
	return MoverView{Stage: v.Stage, GuessView: m.guess(v.Entry), Moves: quantity.InCurrency(v.Moves(m.units), m.currency),
		Spares: m.value(quantity.Show(v.Spared.Money, quantity.AsMoney)), Worth: m.value(quantity.Show(v.Worth, quantity.AsMoney)),
		Time: m.value(quantity.Show(v.Effort.Time, quantity.AsMinutes)), How: v.Effort.How}
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
	m := p.manner()
	for _, mover := range p.Movers() {
		seen := m.mover(mover)
		if p.unpriced {
			seen.Spares, seen.Worth = Value{}, Value{}
		}
		v.movers = append(v.movers, seen)
	}
	return v
}

func (p Plan) manner() manner { return manner{p.Job.Units, p.Job.Currency} }

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
