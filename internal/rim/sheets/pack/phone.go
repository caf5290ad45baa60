package pack

import (
	"fmt"
	"strings"

	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/order"
)

// phoneOrder is the call sheet: one line a breath, in the order the dispatcher asks, with how it is said under how it is
// written and a line to write on for what is still missing.
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
	t := document.Table{Header: []string{"", "They ask", "You read"}, Bold: []int{0}, Shares: []float64{0.05, 0.25, 0.7}}
	for _, l := range o.Call {
		t.Rows = append(t.Rows, []string{fmt.Sprint(l.Number), l.Asks, reads(l)})
	}
	set := func(size float64) *document.Doc {
		doc := document.New("phone-order", "Phone order", m.paper)
		doc.Keys(document.Key{Figure: order.WriteAmount(o.Yards, m.units), Says: "to order"}, document.Key{Figure: m.clock(at), Says: when},
			document.Key{Says: "order number, said by"})
		t.Cap = size
		doc.Table(t)
		return doc
	}
	doc := set(document.TableCap)
	if doc.Height() > document.Room(m.paper) {
		doc = set(document.NoteCap)
	}
	return doc, doc.Err()
}

// reads is a line as read, as said, with boxes for what is missing and a mark on what nobody has said yet.
func reads(l order.Line) string {
	var parts []string
	if l.Written != "" {
		parts = append(parts, l.Written)
	}
	if l.Spoken != "" && l.Spoken != l.Written {
		parts = append(parts, "“"+l.Spoken+"”")
	}
	for _, blank := range l.Blank {
		parts = append(parts, blank+": ____________________")
	}
	if len(l.Assumed) > 0 {
		parts = append(parts, "assumed: "+strings.Join(l.Assumed, ", "))
	}
	return strings.Join(parts, "\n")
}
