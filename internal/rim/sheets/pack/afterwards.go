package pack

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/cure"
)

// afterwards is the sheet of the weeks after the pour: what may begin when and what governs it, what readings moved, the cold under each
// cover, how near each panel comes to cracking.
func afterwards(m *maker) (*document.Doc, error) {
	c, ok := of[cure.Result](m.reading, "cure")
	if !ok || len(c.Milestones) == 0 {
		return nil, nil
	}
	doc := document.New("after-the-pour", "After the pour", m.paper)
	doc.Heading("What may begin when")
	uses := document.Table{Header: []string{"What", "Not before", "Strength it needs", "Governed by", "What would bring it forward"}, Bold: []int{1}, Cap: document.NoteCap, Shares: []float64{0.16, 0.18, 0.14, 0.12, 0.40}}
	for _, x := range c.Milestones {
		when := fmt.Sprintf("%.1f days", x.Age.Days())
		switch {
		case x.Never:
			when = "not proven"
		case !x.At.IsZero():
			when = m.longDay(x.At)
		}
		uses.Rows = append(uses.Rows, []string{x.Says, when, m.show(quantity.Show(x.Need, quantity.AsStrength)), x.By, join(" ", x.Forward...)})
	}
	doc.Table(uses)
	if len(c.Updates) > 0 {
		doc.Heading("How readings moved the dates")
		t := document.Table{Header: []string{"Read until", "Car", "Trailer", "Moved", "Why"}, Bold: []int{2}, Cap: document.NoteCap, Shares: []float64{0.16, 0.16, 0.16, 0.10, 0.42}}
		for _, u := range c.Updates {
			until := "none yet"
			if !u.Until.IsZero() {
				until = m.longDay(u.Until)
			}
			t.Rows = append(t.Rows, []string{until, m.longDay(u.Car), m.longDay(u.Trailer), fmt.Sprintf("%+.1f days", u.Moved.Days()), u.Why})
		}
		doc.Table(t)
	}
	if len(c.Freeze) > 0 {
		doc.Heading("The first cold nights, under each cover")
		t := document.Table{Header: []string{"Cover", "Coldest concrete", "Where", "Strong enough by then"}, Bold: []int{0, 1}}
		for _, u := range c.Freeze {
			safe := "yes"
			if !u.Withstood {
				safe = "NO"
			}
			t.Rows = append(t.Rows, []string{u.Cover, m.show(quantity.Show(u.Lowest, quantity.AsTemp)), u.Where, safe})
		}
		doc.Table(t)
	}
	if len(c.Cracks) > 0 {
		doc.Heading("How near each panel comes to cracking")
		t := document.Table{Header: []string{"Panel", "Size", "Tension over strength", "Hours after placing", "Joint opens in a year"}, Right: []int{2}, Bold: []int{0, 2}}
		for _, p := range c.Cracks {
			name := p.Name
			if p.Held {
				name += ", held"
			}
			t.Rows = append(t.Rows, []string{name, m.sides([]quantity.Length{p.Width}) + " × " + m.sides([]quantity.Length{p.Length}), fmt.Sprintf("%.0f %%", 100*p.Index),
				fmt.Sprintf("%.0f h", p.At.Hours()), m.show(quantity.Show(p.Opening, quantity.AsDrop))})
		}
		doc.Table(t)
	}
	return doc, doc.Err()
}
