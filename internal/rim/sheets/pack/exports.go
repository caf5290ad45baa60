package pack

import (
	"bytes"
	"encoding/json"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/csvout"
	"slabwright/internal/rim/sheets/ical"
	"slabwright/internal/rim/sheets/ledger"
	"slabwright/internal/rim/sheets/xlsx"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/pour"
	"slabwright/internal/trade/price"
)

// schema is the number of plan.json's form; it rises when a reader must change.
const schema = 1

// planJSON is the plan as other programs read it: every stage with figures, checks, working and guesses, in order.
func planJSON(p plan.Plan) ([]byte, error) {
	type stage struct {
		Name string `json:"name"`
		plan.StageView
	}
	pour, said := p.Job.PourAt()
	out := struct {
		Schema   int       `json:"schema"`
		Job      string    `json:"job"`
		Number   string    `json:"number,omitempty"`
		Address  string    `json:"address,omitempty"`
		Revision string    `json:"revision,omitempty"`
		Units    string    `json:"units"`
		Practice bool      `json:"practice,omitempty"`
		Made     time.Time `json:"made"`
		Pour     time.Time `json:"pour"`
		PourSaid bool      `json:"pour_day_said"`
		Stages   []stage   `json:"stages"`
	}{schema, p.Job.Title(), p.Job.Number, p.Job.Address, p.Job.Revision, p.Job.Units.String(), p.Job.Practice, p.Job.AsOf, pour, said, nil}
	for _, r := range p.Stages {
		out.Stages = append(out.Stages, stage{r.Name, r.View(p.Job.Units)})
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	err := e.Encode(out)
	return b.Bytes(), err
}

// tables writes quantities.csv, and quantities.xlsx with the bill's products and sums live.
func (m *maker) tables() (out made) {
	figures := m.figuresTab()
	var text, sheets bytes.Buffer
	if err := csvout.Write(&text, figures); err != nil {
		out.problem("quantities.csv", err)
	} else {
		out.add("quantities.csv", text.Bytes())
	}
	tabs := []ledger.Tab{figures, m.assumedTab()}
	if p, ok := of[price.Result](m.reading, "price"); ok {
		tabs = append([]ledger.Tab{m.billTab(p), m.priceTab(p)}, tabs...)
	}
	about := xlsx.About{Title: m.plan.Job.Title(), Note: join(", ", m.block.Printed, m.block.Version, m.block.Mark), AsOf: m.plan.Job.AsOf}
	if err := xlsx.Write(&sheets, about, tabs); err != nil {
		out.problem("quantities.xlsx", err)
		return out
	}
	out.add("quantities.xlsx", sheets.Bytes())
	return out
}

// figuresTab is every answer of every stage.
func (m *maker) figuresTab() ledger.Tab {
	t := ledger.Tab{Name: "Quantities", Columns: []ledger.Column{{Name: "part"}, {Name: "figure"}, {Name: "what"}, {Name: "value", Decimals: 3}, {Name: "unit"}, {Name: "as read"}}}
	for _, r := range m.plan.Stages {
		for _, f := range r.Figures() {
			t.Rows = append(t.Rows, append([]ledger.Cell{ledger.Text(r.Name), ledger.Text(f.Name), ledger.Text(f.Says)}, m.cells(f.Value)...))
		}
	}
	return t
}

// cells are a value as number, unit and text; a value of words has neither number nor unit.
func (m *maker) cells(v quantity.Any) []ledger.Cell {
	read := ledger.Text(m.show(v))
	if v.Kind == quantity.AsText || v.Kind == "" || !quantity.Finite(v.SI) {
		return []ledger.Cell{{}, {}, read}
	}
	return []ledger.Cell{ledger.Number(v.In(m.units)), ledger.Text(m.unit(v)), read}
}

func (m *maker) assumedTab() ledger.Tab {
	t := ledger.Tab{Name: "Assumed", Columns: []ledger.Column{{Name: "part"}, {Name: "field"}, {Name: "what"}, {Name: "value", Decimals: 3}, {Name: "unit"}, {Name: "as read"}, {Name: "range"}, {Name: "why"}}}
	for _, g := range m.plan.Guesses() {
		row := append([]ledger.Cell{ledger.Text(g.Stage), ledger.Text(g.Field), ledger.Text(g.Says)}, m.cells(g.Value)...)
		t.Rows = append(t.Rows, append(row, ledger.Text(m.between(g)), ledger.Text(g.Reason)))
	}
	return t
}

// billTab is the bill of quantities; the cost is a live product.
func (m *maker) billTab(p price.Result) ledger.Tab {
	money := m.plan.Job.Currency
	t := ledger.Tab{Name: "Bill", Columns: []ledger.Column{{Name: "group"}, {Name: "item"}, {Name: "amount", Decimals: 2}, {Name: "unit"},
		{Name: "bought over", Decimals: 3}, {Name: "price", Unit: money, Money: true, Decimals: 2}, {Name: "cost", Unit: money, Money: true, Decimals: 2, Product: []string{"amount", "bought over", "price"}, Sum: true}}}
	for _, l := range p.Lines {
		t.Rows = append(t.Rows, []ledger.Cell{ledger.Text(l.Group), ledger.Text(l.Says), ledger.Number(l.Amount.In(m.units)), ledger.Text(l.Amount.Unit(m.units)),
			ledger.Number(1 + l.Waste), ledger.Number(l.Price.In(m.units)), {}})
	}
	return t
}

// priceTab is how the price is built on the bill; its parts add up to the price to the cent.
func (m *maker) priceTab(p price.Result) ledger.Tab {
	t := ledger.Tab{Name: "Price", Columns: []ledger.Column{{Name: "part"}, {Name: "amount", Unit: m.plan.Job.Currency, Money: true, Decimals: 2, Sum: true}}}
	for _, l := range []struct {
		says   string
		amount quantity.Money
	}{{"direct cost", p.Direct}, {"contingency", p.Contingency}, {"overhead", p.Overhead}, {"profit", p.Profit}, {"rounding", p.Rounding}} {
		t.Rows = append(t.Rows, []ledger.Cell{ledger.Text(l.says), ledger.Number(float64(l.amount))})
	}
	return t
}

// pourHours is how long a pour stands in the calendar where nobody computed its end.
const pourHours = 8 * time.Hour

// calendar writes dates.ics: the order call, the pour, sawing, curing, and the days of use.
func (m *maker) calendar() (out made) {
	j := m.plan.Job
	at, said := j.PourAt()
	sure := ""
	if !said {
		sure = "The day of the pour is not said yet; this is the day the plan counts with."
	}
	end := at.Add(pourHours)
	if p, ok := of[pour.Result](m.reading, "pour"); ok && p.Chosen.FinishedBy.After(at) && p.Chosen.FinishedBy.Before(at.Add(24*time.Hour)) {
		end = p.Chosen.FinishedBy
	}
	says := "Pour: " + j.Title()
	if o, ok := of[order.Result](m.reading, "order"); ok {
		says = join(", ", says, order.WriteAmount(o.Today(), m.units), o.Day())
	}
	events := []ical.Event{{Task: "pour", Says: says, Details: sure, Place: j.Address, Start: at, End: end, Remind: 12 * time.Hour}}
	if c, ok := of[cure.Result](m.reading, "cure"); ok {
		events = append(events, m.cureEvents(c, sure)...)
	}
	var b bytes.Buffer
	if err := ical.Write(&b, join("-", j.Number, j.Title()), j.Title(), j.AsOf, events); err != nil {
		out.problem("dates.ics", err)
		return out
	}
	out.add("dates.ics", b.Bytes())
	return out
}

func (m *maker) cureEvents(c cure.Result, details string) []ical.Event {
	title, place := m.plan.Job.Title(), m.plan.Job.Address
	var events []ical.Event
	if from, _ := m.sawWindow(c); from != "" {
		events = append(events, ical.Event{Task: "saw", Says: "Saw the joints: " + title, Details: details, Place: place,
			Start: c.Poured.Add(duration(c.Saw.From)), End: c.Poured.Add(duration(c.Saw.Until))})
	}
	for _, u := range append(uses, struct{ name, says string }{"cure_until", "End of curing"}) {
		if k, ok := c.Find(u.name); ok && !k.Never && !k.At.IsZero() {
			events = append(events, ical.Event{Task: u.name, Says: u.says + ": " + title, Details: details, Place: place, Start: k.At.In(m.zone()), Day: true})
		}
	}
	return events
}
