// Package week lays a shop's jobs over crews and days: who pours what, what clashes, what each plant must send by the hour, which
// loads must wait, which quotes have no answer yet. It works from summaries, so that a week of thousands of jobs is one look.
package week

import (
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/pour"
)

// Job is what the week knows of one job: the summary of its plan.
type Job struct {
	ID       string              `json:"id,omitempty"`
	Title    string              `json:"title"`
	Number   string              `json:"number,omitempty"`
	Address  string              `json:"address,omitempty"`
	Crew     string              `json:"crew,omitempty"`
	Foreman  string              `json:"foreman,omitempty"`
	Plant    string              `json:"plant,omitempty"`
	Gear     []string            `json:"gear,omitempty"`
	On       quantity.Date       `json:"on"`             // day of the pour; zero: nobody said one
	First    quantity.Clock      `json:"first"`          // first truck on site, minutes after midnight
	Last     quantity.Clock      `json:"last,omitempty"` // last broom; beyond 24 hours on the next day; zero: not known
	About    bool                `json:"about,omitempty"`
	Concrete quantity.Volume     `json:"concrete,omitempty"` // of that day
	Hourly   quantity.VolumeRate `json:"hourly,omitempty"`   // while it is placed
	Loads    int                 `json:"loads,omitempty"`
	Hands    int                 `json:"hands,omitempty"` // people the plan counts on; zero: not said
	Verdict  string              `json:"verdict,omitempty"`
	Why      string              `json:"why,omitempty"` // of a verdict that is not good
	Trust    string              `json:"trust,omitempty"`
	Next     string              `json:"next,omitempty"` // what to say for more trust
	Guesses  int                 `json:"guesses,omitempty"`

	Walk quantity.Date `json:"walk"` // from when it may be walked on, driven on by a car, by what it is built for; zero: not known
	Car  quantity.Date `json:"car"`
	Load quantity.Date `json:"load"`

	Quoted   quantity.Date  `json:"quoted"`
	Holds    quantity.Date  `json:"holds"` // last day of the quoted price
	Accepted quantity.Date  `json:"accepted"`
	Declined quantity.Date  `json:"declined"`
	Money    quantity.Money `json:"money,omitempty"` // the owner's total
	Currency string         `json:"currency,omitempty"`

	Units   quantity.System `json:"units"`
	Planned bool            `json:"planned"`         // all the above is of a plan
	Stale   bool            `json:"stale,omitempty"` // of an earlier state of the job
}

// finishing is how long after the last truck is empty a slab is taken to want hands, where the weather is not known. Common
// practice: three to six hours.
const finishing = 5 * 60

// Of is the summary of a plan.
func Of(p plan.Plan) Job {
	j := p.Job
	at, said := j.PourAt()
	out := Job{Title: j.Title(), Number: j.Number, Address: j.Address, Crew: j.Crew, Foreman: j.Foreman, First: quantity.Clock(at.Hour()*60 + at.Minute()),
		Quoted: j.Quoted.Value, Accepted: j.Accepted.Value, Declined: j.Declined.Value, Units: j.Units, Currency: j.Currency, Planned: true,
		Trust: string(p.Trust()), Next: p.TrustReason(), Guesses: len(p.Guesses())}
	for _, g := range j.Gear {
		out.Gear = append(out.Gear, string(g))
	}
	if said {
		out.On = quantity.DateOf(at)
	}
	out.ordered(p)
	out.judged(p, at)
	out.usable(p, said)
	out.quoted(p)
	return out
}

func (j *Job) ordered(p plan.Plan) {
	report, ok := p.Of("order")
	if !ok || !report.Answered() {
		return
	}
	o := report.Result.(order.Result)
	in := p.Results.OrderInput
	j.Plant, j.Concrete, j.Loads, j.Hourly = in.Plant.Value, o.Today(), len(o.Loads), in.Rate.Value
	if n := len(o.Loads); n > 0 {
		empty := o.Loads[n-1].Ends - o.Loads[0].Arrives
		j.Last, j.About = j.First+quantity.Clock(empty.Minutes())+finishing, true
		if empty > 0 {
			j.Hourly = quantity.VolumeRate(float64(j.Concrete) / float64(empty))
		}
	}
}

func (j *Job) judged(p plan.Plan, at time.Time) {
	report, ok := p.Of("pour")
	if !ok || !report.Answered() {
		return
	}
	r := report.Result.(pour.Result)
	j.Hands = int(p.Job.Pour.Team.Hands.Value)
	if r.Verdict == check.NotComputed {
		return
	}
	j.Verdict = r.Verdict.Word()
	if by := r.Chosen.FinishedBy; by.After(at) {
		j.Last, j.About = j.First+quantity.Clock(by.Sub(at).Minutes()), false
	}
	for _, c := range report.Checks {
		if r.Verdict > check.Good && c.Level == r.Verdict {
			j.Why = c.Says
			return
		}
	}
}

// usable takes the dates from the curing, where the day is one a person said.
func (j *Job) usable(p plan.Plan, said bool) {
	report, ok := p.Of("cure")
	if !ok || !report.Answered() || !said {
		return
	}
	r := report.Result.(cure.Result)
	zone, err := p.Job.Location()
	if err != nil {
		zone = time.UTC
	}
	for name, into := range map[string]*quantity.Date{"foot": &j.Walk, "car": &j.Car, "trailer": &j.Load} {
		if m, ok := r.Find(name); ok && !m.Never && !m.At.IsZero() {
			*into = quantity.DateOf(m.At.In(zone))
		}
	}
}

func (j *Job) quoted(p plan.Plan) {
	report, ok := p.Of("price")
	if !ok || !report.Answered() {
		return
	}
	j.Money = p.Results.Price.Total
	if holds := p.Results.PriceInput.Business.Holds.Value; !j.Quoted.IsZero() && holds > 0 {
		j.Holds = j.Quoted.Add(int(holds.Days()))
	}
}

// Waiting says whether a quote is out that has no answer.
func (j Job) Waiting() bool { return !j.Quoted.IsZero() && j.Accepted.IsZero() && j.Declined.IsZero() }

// Undrivable says whether the slab is poured by a day and may not carry its load yet.
func (j Job) Undrivable(today quantity.Date) bool {
	return !j.On.IsZero() && !today.Before(j.On) && !j.Load.IsZero() && today.Before(j.Load)
}
