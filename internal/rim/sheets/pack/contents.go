package pack

import (
	"fmt"

	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/rim/sheets/frame"
)

// contents lists the sheets by number, the calculation sheets by question under them.
func (m *maker) contents(all []frame.Draft) ([]frame.Draft, error) {
	for ahead := 1; ; {
		sheets, err := m.contentsAfter(all, ahead).Sheets()
		if err != nil || len(sheets) <= ahead {
			return sheets, err
		}
		ahead = len(sheets)
	}
}

// contentsAfter is the list when so many sheets of contents come first.
func (m *maker) contentsAfter(all []frame.Draft, ahead int) *document.Doc {
	doc := document.New("contents", "Contents", m.paper)
	doc.Title(m.plan.Job.Title())
	doc.Note("Sheets to carry come first, then drawings, then lists. The calculation sheets at the end say how each number was found; " +
		"print up to them.")
	t := document.Table{Header: []string{"Sheet", "What"}, Right: []int{0}, Bold: []int{0}, Tight: true, Cap: document.NoteCap, Shares: []float64{0.1, 0.9}}
	for i, d := range all {
		number := fmt.Sprint(ahead + i + 1)
		if i == 0 || all[i-1].Page.Name != d.Page.Name {
			says := d.Page.Title
			if d.Drawing {
				says = frame.Kind(d.Page.Name) + ": " + says
			}
			t.Rows = append(t.Rows, []string{number, says})
		}
		if d.Page.Name == "calculations" {
			for _, part := range d.Page.Parts {
				t.Rows = append(t.Rows, []string{number, "–  " + part})
			}
		}
	}
	doc.Table(t)
	return doc
}
