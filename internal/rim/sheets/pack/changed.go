package pack

import (
	"fmt"

	"slabwright/internal/rim/sheets/document"
)

// mostChanged is how many changed figures are listed; the rest are named by their number.
const mostChanged = 40

// whatChanged goes out with a print that replaces another: the plan with what changed ringed, and every figure that is not what it was,
// the old one struck.
func whatChanged(m *maker) (*document.Doc, error) {
	p := m.plan
	if p.Replaces == "" {
		return nil, nil
	}
	doc := document.New("what-changed", "What changed", m.paper)
	doc.Title(m.replaces())
	if pic, ok := m.crewPlan(); ok {
		m.setFigure(&doc.Flow, pic, 90, 120)
	}
	if len(p.Changes) == 0 {
		doc.Body("No figure has changed.")
		return doc, doc.Err()
	}
	t := document.Table{Header: []string{"What", "On " + p.Replaces, "Now"}, Bold: []int{2}, Struck: []int{1}, Cap: document.NoteCap, Tight: true, Shares: []float64{0.4, 0.3, 0.3}}
	for _, c := range p.Changes[:min(mostChanged, len(p.Changes))] {
		row := []string{c.Says, "", "gone"}
		if !c.New {
			row[1] = m.show(c.Was)
		}
		if !c.Gone {
			row[2] = m.show(c.Now)
		}
		t.Rows = append(t.Rows, row)
	}
	doc.Table(t)
	if more := len(p.Changes) - mostChanged; more > 0 {
		doc.Note(fmt.Sprintf("And %d more that follow from these.", more))
	}
	return doc, doc.Err()
}

// replaces says which print is old now.
func (m *maker) replaces() string {
	return fmt.Sprintf("%s replaces %s: write OLD on %s.", m.plan.Job.Revision, m.plan.Replaces, m.plan.Replaces)
}
