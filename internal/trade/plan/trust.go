package plan

import (
	"strings"
)

// Trust says how far an answer may be relied on, in the words a foreman uses.
type Trust string

// The levels of trust. A level is reached when everything it rests on was said or measured.
const (
	Rough         Trust = "rough"
	EnoughToPrice Trust = "good enough to price"
	EnoughToOrder Trust = "good enough to order"
)

// rung is one step of the ladder: what must be known for a level.
type rung struct {
	level Trust
	asks  []ask
}

// ask is one thing a level rests on.
type ask struct {
	says string
	has  func(Plan) bool
}

// enoughShots is how many string-to-base depths make an order firm.
const enoughShots = 6

var ladder = []rung{
	{EnoughToPrice, []ask{
		{"what stands on it", func(p Plan) bool { return p.Job.Slab.Vehicle.Given() || len(p.Job.Slab.Axles) > 0 }},
		{"where the truck can stand", func(p Plan) bool { return len(p.Job.Access.Stands) > 0 }},
		{"the ground's levels", func(p Plan) bool { return len(p.Job.Site.Shots) >= 3 }},
		{"the price of concrete", func(p Plan) bool { return p.Job.Price.Materials.Concrete.Origin.Firm() }},
		{"the wage", func(p Plan) bool { return p.Job.Price.Labour.Wage.Origin.Firm() }},
	}},
	{EnoughToOrder, []ask{
		{"six depths from string to base", func(p Plan) bool { return int(p.Job.Order.Shots.Value) >= enoughShots }},
		{"the strength or the sacks ordered", func(p Plan) bool {
			return p.Job.Mix.Strength.Origin.Firm() || p.Job.Mix.Asked.Origin.Firm() || p.Job.Mix.Cement.Origin.Firm()
		}},
		{"the day of the pour", func(p Plan) bool { return p.Job.Date.Given() }},
	}},
}

// Trust is the highest level the plan has reached.
func (p Plan) Trust() Trust {
	level := Rough
	for _, r := range ladder {
		if len(p.lacks(r)) > 0 {
			return level
		}
		level = r.level
	}
	return level
}

// TrustReason says what the next level rests on that is not known yet.
func (p Plan) TrustReason() string {
	for _, r := range ladder {
		if lacks := p.lacks(r); len(lacks) > 0 {
			return "to be " + string(r.level) + ", say " + strings.Join(lacks, ", ")
		}
	}
	return "nothing that moves it is guessed; the day itself will measure it"
}

func (p Plan) lacks(r rung) []string {
	var out []string
	for _, a := range r.asks {
		if !a.has(p) {
			out = append(out, a.says)
		}
	}
	return out
}
