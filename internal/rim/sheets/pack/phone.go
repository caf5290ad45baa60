package pack

import (
	"fmt"
	"strings"

	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/order"
)

// phoneOrder is the call sheet: one line a breath, in the order the dispatcher asks, how it is said beside how it is written,
// and a line to write on for what is still missing.
func phoneOrder(m *maker) (*document.Doc, error) {
	o, ok := of[order.Result](m.reading, "order")
	if !ok {
		return nil, nil
	}
	at, said := m.plan.Job.PourAt()
	when := m.longDay(at)
	if !said {
		when += " (day not said yet)"
	}
	t := document.Table{Header: []string{"", "They ask", "You read", "You say"}, Bold: []int{0, 2}, Shares: []float64{0.045, 0.265, 0.31, 0.38}}
	for _, l := range o.Call {
		t.Rows = append(t.Rows, m.breaths(l)...)
	}
	set := func(size float64, tight bool) *document.Doc {
		doc := document.New("phone-order", "Phone order", m.paper)
		doc.Keys(document.Key{Figure: order.WriteAmount(o.Today(), m.units), Says: join(", ", "to order", o.Day())}, document.Key{Figure: m.clock(at), Says: when},
			document.Key{Says: "order number, said by"})
		t.Cap, t.Tight = size, tight
		doc.Table(t)
		return doc
	}
	doc := set(document.TableCap, false)
	for _, tight := range []bool{false, true} {
		if doc.Height() > document.Room(m.paper) {
			doc = set(document.NoteCap, tight)
		}
	}
	return doc, doc.Err()
}

// blankLine is long enough to write a name on.
const blankLine = "______________________"

// breaths are the rows of one line of the call: each part as read and as said, a blank for each that is missing, then what
// nobody has said yet.
func (m *maker) breaths(l order.Line) [][]string {
	var rows [][]string
	add := func(read, said string) {
		number, asks := "", ""
		if len(rows) == 0 {
			number, asks = fmt.Sprint(l.Number), l.Asks
		}
		if said == read {
			said = ""
		}
		rows = append(rows, []string{number, asks, read, said})
	}
	for _, b := range l.Breaths {
		add(m.grouped(b.Written), b.Spoken)
	}
	for _, missing := range l.Blank {
		add(missing+":", blankLine)
	}
	if guessed := strings.Join(l.Assumed, ", "); guessed != "" && len(rows) > 1 {
		rows[1][1] = "assumed: " + guessed
	} else if guessed != "" {
		add("assumed:", guessed)
	}
	return rows
}
