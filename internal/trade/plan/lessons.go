package plan

import (
	"math"

	"slabwright/internal/engines/doubt"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/price"
)

// Lesson is what a shop's own jobs say of a number it plans with. It is offered; nobody's number changes by itself.
type Lesson struct {
	Field     string // in the job file: "price.rates.forms"
	Says      string
	Now       quantity.Any // as planned with in the latest of the jobs
	Offered   quantity.Any
	Low, High quantity.Any // four in five
	Jobs      int          // that wrote it down
	Differs   bool         // what is planned with lies outside
}

// lessonShare is the share of the interval: four in five.
const lessonShare = 0.8

// jobScatter is how far one job's rate lies from the next, in logarithms. Common practice: crews vary by about a third from job
// to job.
const jobScatter = 0.3

// rateOf names the rate of the price behind each task.
var rateOf = map[string]string{"dig_trim": "base", "forms": "forms", "steel": "steel", "place": "place", "float": "float",
	"edge": "edge", "broom": "broom", "cure": "cure", "saw": "saw", "strip": "strip"}

// subject is a number lessons are drawn for: what is believed, and what the jobs say.
type subject struct {
	field   string
	says    string
	now     quantity.Any
	belief  doubt.Belief
	cases   []float64
	display func(float64) float64 // from the scale it is learnt on
}

// Lessons draws lessons from jobs that were poured and written down, oldest first: production rates from hours worked against
// hours priced, waste from yards used against the drawing, and how low bases lie. Rates are learnt on logarithms. A number no job
// wrote down is left out.
func Lessons(done []Plan) []Lesson {
	var subjects []*subject
	byField := map[string]*subject{}
	at := func(field, says string, now quantity.Any, belief doubt.Belief, display func(float64) float64) *subject {
		s, ok := byField[field]
		if !ok {
			s = &subject{field: field, says: says, belief: belief, display: display}
			byField[field] = s
			subjects = append(subjects, s)
		}
		s.now = now
		return s
	}
	for _, p := range done {
		p.learnRates(at)
		p.learnConcrete(at)
	}
	var out []Lesson
	for _, s := range subjects {
		if l, ok := s.lesson(); ok {
			out = append(out, l)
		}
	}
	return out
}

type subjects func(field, says string, now quantity.Any, belief doubt.Belief, display func(float64) float64) *subject

// learnRates sees each task's rate as it was: the priced rate, times hours priced over hours worked.
func (p Plan) learnRates(at subjects) {
	rates := map[string]known.Entry{}
	in := p.Results.PriceInput
	for _, e := range known.Entries(&in.Rates) {
		rates[e.Field] = e
	}
	usual := price.Defaults()
	believed := map[string]known.Entry{}
	for _, e := range known.Entries(&usual.Rates) {
		believed[e.Field] = e
	}
	for _, t := range p.Results.Record.Tasks {
		name, ok := rateOf[t.Name]
		if !ok || t.Worked <= 0 || t.Hours <= 0 {
			continue
		}
		e, b := rates[name], believed[name]
		// A guess's low and high leave one in ten outside on either side.
		belief := doubt.Belief{Mean: math.Log(b.Value.SI), Deviation: math.Log(b.High.SI/b.Low.SI) / (2 * doubt.NineInTen), Scatter: jobScatter}
		s := at("price.rates."+name, b.Says, e.Value, belief, math.Exp)
		s.cases = append(s.cases, math.Log(e.Value.SI*float64(t.Hours)/float64(t.Worked)))
	}
}

// learnConcrete sees the allowance a job would have needed, and how low its base lay.
func (p Plan) learnConcrete(at subjects) {
	r, in := p.Results.Record, p.Results.OrderInput
	same := func(v float64) float64 { return v }
	if r.Used > 0 && p.Results.Order.Neat > 0 {
		s := at("order.allowance", "concrete used over the drawing", in.Allowance.Show(quantity.AsPercent), doubt.Belief{Mean: 0.07, Deviation: 0.02, Scatter: 0.03}, same)
		s.cases = append(s.cases, float64(r.Waste))
	}
	if len(p.Job.Record.BaseDepths)+len(p.Job.Order.Depths) > 0 && r.Begun {
		s := at("order.base_low", "how low bases lie on average", in.BaseMean.Show(quantity.AsThickness),
			doubt.Belief{Mean: quantity.Inches(0.125).Metres(), Deviation: quantity.Inches(0.125).Metres(), Scatter: quantity.Inches(0.25).Metres()}, same)
		s.cases = append(s.cases, r.BaseLow.Metres())
	}
}

func (s *subject) lesson() (Lesson, bool) {
	l, err := s.belief.Learn(s.cases, lessonShare)
	if err != nil || l.Cases == 0 {
		return Lesson{}, false
	}
	shown := func(v float64) quantity.Any {
		a := s.now
		a.SI = s.display(v)
		return a
	}
	out := Lesson{Field: s.field, Says: s.says, Now: s.now, Offered: shown(l.Mean), Low: shown(l.Low), High: shown(l.High), Jobs: l.Cases}
	out.Differs = s.now.SI < out.Low.SI || s.now.SI > out.High.SI
	return out, true
}
