package plan

import (
	"fmt"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/spoken"
)

// Alternative is the same job with one thing built otherwise, planned whole.
type Alternative struct {
	Says   string
	Price  quantity.Money // in all
	More   quantity.Money // over the job as planned; below zero: it saves
	Life   quantity.Time  // how long passes let it last
	Ready  time.Time      // when the heavy load may stand on it; zero: this mix never reaches it
	Stops  []check.Check  // what says don't, that does not as planned
	Chosen bool           // the job as planned
}

// change makes an alternative of a job as planned; ok is false where the job is built so already.
type change struct {
	says string
	make func(j *job.Job, as Plan) (says string, ok bool)
}

// thicker changes the thickness by steps of what boards come in: an inch, or 25 mm.
func thicker(steps float64) func(*job.Job, Plan) (string, bool) {
	return func(j *job.Job, as Plan) (string, bool) {
		step := quantity.Inches(1)
		if j.Units == quantity.Metric {
			step = quantity.Millimetres(25)
		}
		t := as.Results.Slab.Thickness + quantity.Length(steps)*step
		if !(t > 2*step) {
			return "", false
		}
		j.Slab.Thickness = known.Say(t)
		return quantity.Show(t, quantity.AsThickness).String(j.Units), true
	}
}

// stronger changes the strength ordered by steps of what plants sell: 500 psi, or 3.5 MPa.
func stronger(steps float64) func(*job.Job, Plan) (string, bool) {
	return func(j *job.Job, as Plan) (string, bool) {
		step := quantity.PSI(500)
		if j.Units == quantity.Metric {
			step = quantity.MPa(3.5)
		}
		f := as.Results.Mix.Strength + quantity.Stress(steps)*step
		if f < quantity.PSI(2500) {
			return "", false
		}
		j.Mix.Strength = known.Say(f)
		m := as.Results.PriceInput.Materials
		j.Price.Materials.Concrete = known.Say(m.Concrete.Value + quantity.MoneyVolume(steps)*m.Stronger.Value)
		return quantity.Show(f, quantity.AsStrength).String(j.Units), true
	}
}

func reinforced(kind string) func(*job.Job, Plan) (string, bool) {
	return func(j *job.Job, as Plan) (string, bool) {
		if as.Results.SteelInput.Kind.Value == kind {
			return "", false
		}
		j.Steel.Kind, j.Steel.Grid = known.Say(kind), known.Known[spoken.BarGrid]{}
		return "", true
	}
}

var changes = []change{
	{"thicker", thicker(1)},
	{"thinner", thicker(-1)},
	{"bars in it", reinforced("bars")},
	{"mesh in it", reinforced("mesh")},
	{"fibre in it", reinforced("fibre")},
	{"no steel in it", reinforced("none")},
	{"a stronger mix", stronger(1)},
	{"a weaker mix", stronger(-1)},
	{"a smooth trowelled top", func(j *job.Job, as Plan) (string, bool) {
		finish := as.Results.PriceInput.Rates.Float.Value / trowelTimes
		j.Price.Rates.Float = known.Say(finish)
		return "slippery when wet", true
	}},
}

// trowelTimes is how many times as long floating and hard trowelling take as floating alone. Common practice: two to three
// passes of the trowel after the float.
const trowelTimes = 2.5

// alternatively are the stages an alternative is asked of.
var alternatively = []string{"slab", "price", "cure"}

// Alternatives plans the job again with one thing at a time built otherwise: thickness, what is laid in, mix, finish; the job as
// planned stands first. What cannot be planned is left out. An unpriced plan has none: they are told by their price.
func (p Plan) Alternatives() []Alternative {
	if p.unpriced {
		return nil
	}
	planner := p.asked()
	beside := planner.Ask(p.Job, alternatively...)
	out := []Alternative{beside.alternative("as planned", beside)}
	out[0].Chosen = true
	for _, c := range changes {
		j := p.Job
		says, ok := c.make(&j, beside)
		if !ok {
			continue
		}
		as := planner.Ask(j, alternatively...)
		if len(as.Unanswered()) > 0 {
			continue
		}
		name := c.says
		if says != "" {
			name = fmt.Sprintf("%s: %s", c.says, says)
		}
		out = append(out, as.alternative(name, beside))
	}
	return out
}

// alternative sums up a plan against the one it stands beside.
func (p Plan) alternative(says string, beside Plan) Alternative {
	a := Alternative{Says: says, Price: p.Results.Price.Total, More: p.Results.Price.Total - beside.Results.Price.Total, Life: p.Results.Slab.Life}
	if use, ok := p.Results.Cure.Find("trailer"); ok && !use.Never {
		a.Ready = use.At
	}
	stopped := map[check.ID]bool{}
	for _, c := range beside.Checks() {
		stopped[c.ID] = c.Level == check.Stop
	}
	for _, c := range p.Checks() {
		if c.Level == check.Stop && !stopped[c.ID] {
			a.Stops = append(a.Stops, c)
		}
	}
	return a
}
