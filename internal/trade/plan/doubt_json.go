package plan

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
)

// RiskView is the risk of a price as scripts and the page read it.
type RiskView struct {
	Draws       int         `json:"draws"`
	Seed        uint64      `json:"seed"`
	Likely      Value       `json:"likely"`
	Low         Value       `json:"one_in_ten"`
	Middle      Value       `json:"half"`
	High        Value       `json:"nine_in_ten"`
	Covers      Value       `json:"covers"`
	Covered     Value       `json:"covered"`
	Contingency Value       `json:"hold_back"`
	Quote       Value       `json:"price_that_covers"`
	Price       Value       `json:"price"`
	Loss        Value       `json:"chance_of_loss"`
	Tried       int         `json:"whole_plans"`
	Missed      Value       `json:"missed"`
	Worst       []SwingView `json:"swings"`
}

// SwingView is what one guess moves the cost by.
type SwingView struct {
	MoverView
	From Value `json:"from"`
	To   Value `json:"to"`
}

// RiskView shows a risk in the job's units and money.
func (p Plan) RiskView(k Risk) RiskView {
	m := p.manner()
	sum := func(v quantity.Money) Value { return m.value(quantity.Show(v, quantity.AsMoney)) }
	share := func(v quantity.Percent) Value { return m.value(quantity.Show(v, quantity.AsPercent)) }
	view := RiskView{Draws: k.Draws, Seed: k.Seed, Likely: sum(k.Likely), Low: sum(k.Low), Middle: sum(k.Middle), High: sum(k.High), Covers: share(k.Covers),
		Covered: sum(k.Covered), Contingency: sum(k.Contingency), Quote: sum(k.Quote), Price: sum(k.Price), Loss: share(k.Loss), Tried: k.Tried, Missed: sum(k.Missed), Worst: []SwingView{}}
	for _, s := range k.Worst {
		view.Worst = append(view.Worst, SwingView{m.mover(s.Mover), sum(s.From), sum(s.To)})
	}
	return view
}

// AlternativeView is a job built otherwise, as scripts and the page read it.
type AlternativeView struct {
	Says   string     `json:"says"`
	Price  Value      `json:"price"`
	More   Value      `json:"more"`
	Life   Value      `json:"life"`
	Lasts  string     `json:"lasts"`
	Ready  string     `json:"ready"` // with its weekday
	Stops  []check.ID `json:"stops"`
	Chosen bool       `json:"chosen,omitempty"`
}

// AlternativeView shows one.
func (p Plan) AlternativeView(a Alternative) AlternativeView {
	m := p.manner()
	v := AlternativeView{Says: a.Says, Chosen: a.Chosen, Price: m.value(quantity.Show(a.Price, quantity.AsMoney)), More: m.value(quantity.Show(a.More, quantity.AsMoney)),
		Life: m.value(quantity.Show(a.Life, quantity.AsYears)), Lasts: a.lasts(m.units), Ready: "never: this mix does not reach it", Stops: []check.ID{}}
	if !a.Ready.IsZero() {
		v.Ready = a.Ready.Format("Mon Jan 2, 2006")
	}
	for _, c := range a.Stops {
		v.Stops = append(v.Stops, c.ID)
	}
	return v
}

// lasts says how long passes let it last. A hundred years means that or more.
func (a Alternative) lasts(units quantity.System) string {
	switch years := a.Life.Days() / 365.25; {
	case years >= 100:
		return "lasts 100 years or more"
	case years < 1:
		return "lasts less than a year"
	}
	return "lasts " + quantity.Show(a.Life, quantity.AsYears).String(units)
}

// AlternativeViews shows several.
func (p Plan) AlternativeViews(all []Alternative) []AlternativeView {
	var out []AlternativeView
	for _, a := range all {
		out = append(out, p.AlternativeView(a))
	}
	return out
}

// LessonView is a lesson as scripts and the page read it.
type LessonView struct {
	Field   string `json:"field"`
	Says    string `json:"says"`
	Now     Value  `json:"now"`
	Offered Value  `json:"offered"`
	Low     Value  `json:"low"`
	High    Value  `json:"high"`
	Jobs    int    `json:"jobs"`
	Differs bool   `json:"differs"`
}

// LessonViews shows lessons in the units and money of this job.
func (p Plan) LessonViews(all []Lesson) []LessonView {
	m, out := p.manner(), []LessonView{}
	for _, l := range all {
		out = append(out, LessonView{l.Field, l.Says, m.value(l.Now), m.value(l.Offered), m.value(l.Low), m.value(l.High), l.Jobs, l.Differs})
	}
	return out
}
