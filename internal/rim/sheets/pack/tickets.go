package pack

import (
	"fmt"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/order"
)

// mostForms is how many loads get a block of their own; a day of more takes a second print.
const mostForms = 24

// ticketForm is filled in at the chute, a block for each load: what its ticket says, what was measured, what is left of water and
// time. What the job file already holds of a ticket is printed with its verdict.
func ticketForm(m *maker) (*document.Doc, error) {
	o, ok := of[order.Result](m.reading, "order")
	in, read := m.orderInput()
	if !ok || !read {
		return nil, nil
	}
	asked := in.Ordered(o)
	doc := document.New("ticket-form", "Delivery tickets", m.paper)
	doc.Small()
	doc.Heading("Take a load when")
	t := document.Table{Bold: []int{1}, Cap: document.NoteCap, Tight: true, Shares: []float64{0.4, 0.6}}
	for _, a := range asked.Asks() {
		t.Rows = append(t.Rows, []string{a.What, m.grouped(a.Says)})
	}
	doc.Table(t)
	doc.Note(m.waterRule(asked))
	for i := range min(max(len(o.Loads), len(in.Tickets)), mostForms) {
		doc.Together(func(f *document.Flow) { m.ticketBlock(f, in, o, i) })
	}
	return doc, doc.Err()
}

// waterRule is how to work out on the spot what may still be let in.
func (m *maker) waterRule(asked order.Ordered) string {
	says := m.waterBy() + " may add water, once, on arrival, before unloading; then 30 more turns of the drum."
	if asked.WaterCement <= 0 {
		return says
	}
	sum := fmt.Sprintf("%.2f × cement, ash and slag of the load in lb ÷ 8.345 - water batched in gal", asked.WaterCement)
	if m.units == quantity.Metric {
		sum = fmt.Sprintf("%.2f × cement, ash and slag of the load in kg - water batched in litres", asked.WaterCement)
	}
	return says + " Room for water: " + sum + ". No figures on the ticket: no water."
}

// ticketBlock is one load: three rows of named places, filled where the ticket is typed, then what is wrong with it.
func (m *maker) ticketBlock(f *document.Flow, in order.Input, o order.Result, i int) {
	var ticket order.Ticket
	var receipt order.Receipt
	if i < len(in.Tickets) {
		ticket, receipt = in.Tickets[i], o.Receipts[i]
	}
	head := fmt.Sprintf("Load %d", i+1)
	if i < len(o.Loads) {
		at, _ := m.plan.Job.PourAt()
		head += fmt.Sprintf(" of %d: %s, due %s", len(o.Loads), order.WriteAmount(o.Loads[i].Volume, m.units), m.clock(at.Add(time.Duration(o.Loads[i].Arrives.Seconds())*time.Second)))
	}
	f.Strong(head)
	outBy := blankCell
	if ticket.Batched.Given() {
		outBy = m.clockOf(later(ticket.Batched.Value, in.TimeLimit.Value))
	}
	total, room := blankCell, blankCell
	if receipt.Total > 0 {
		total = m.show(quantity.Show(receipt.Total, quantity.AsVolume))
	}
	taken, away := blankCell, blankCell
	if ticket.Refused.Given() {
		if taken, away = "yes", "no"; ticket.Refused.Value {
			taken, away = "no", "yes"
		}
	}
	if receipt.WaterCement > 0 {
		room = m.show(quantity.Show(receipt.MayAdd, quantity.AsWater))
	}
	for _, row := range [][2][]string{
		{{"ticket", "truck", "volume", "batched", "on site", "out by", "last out"},
			{word(ticket.Number), word(ticket.Truck), filled(m, ticket.Volume, quantity.AsVolume), m.hour(ticket.Batched), m.hour(ticket.Arrived), outBy, m.hour(ticket.Emptied)}},
		{{"cement, ash, slag", "water batched", "room for water", "let in", "slump", "air", "concrete"},
			{filled(m, ticket.Cementitious, quantity.AsMass), filled(m, ticket.Water, quantity.AsWater), room, filled(m, ticket.Added, quantity.AsWater),
				filled(m, ticket.Slump, quantity.AsSlump), filled(m, ticket.Air, quantity.AsPercent), filled(m, ticket.Temp, quantity.AsTemp)}},
		{{"all batched", "unit weight", "yield", "total so far", "taken", "turned away", "by"},
			{filled(m, ticket.Weight, quantity.AsMass), filled(m, ticket.Density, quantity.AsDensity), yielded(receipt), total, taken, away, blankCell}},
	} {
		f.Table(document.Table{Header: row[0], Rows: [][]string{row[1]}, Cap: document.NoteCap, Shares: []float64{1, 1, 1, 1, 1, 1, 1}})
	}
	for _, c := range receipt.Checks {
		if c.Level > check.Good {
			f.Body(strings.ToUpper(c.Level.String()) + ": " + m.grouped(join(" ", c.Says, join(" ", c.Then...))))
		}
	}
}

// blankCell is a place to write in.
const blankCell = "_______"

func word(k known.Text) string {
	if !k.Given() {
		return blankCell
	}
	return k.Value
}

func filled[T interface {
	~float64
	quantity.Measured
}](m *maker, k known.Known[T], kind quantity.Kind) string {
	if !k.Given() {
		return blankCell
	}
	return m.show(quantity.Show(k.Value, kind))
}

func yielded(r order.Receipt) string {
	if r.Yield == 0 {
		return blankCell
	}
	return quantity.Decimal(r.Yield, 3, 0)
}

func (m *maker) hour(k known.Known[quantity.Clock]) string {
	if !k.Given() {
		return blankCell
	}
	return m.clockOf(k.Value)
}

// later is a clock some time after another, over midnight if need be.
func later(c quantity.Clock, t quantity.Time) quantity.Clock {
	return (c + quantity.Clock(t.Minutes())) % (24 * 60)
}
