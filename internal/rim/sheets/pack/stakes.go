package pack

import (
	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/grade"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/site"
)

// dropsNote says what the figures at stakes are.
const dropsNote = "Figures at the stakes: down from the string to the top of the slab. Arrow: the way water runs."

// stakeSheet is the plan of stakes over its table: how far down from the string at each, on one side where it fits.
func stakeSheet(m *maker) (*document.Doc, error) {
	g, ok := of[grade.Result](m.reading, "grade")
	pic, drawn := m.firstPlan("grade")
	if !ok || !drawn || len(pic.Table.Rows) == 0 {
		return nil, nil
	}
	plan := drawing.Picture{Name: "stakes", Title: pic.Title, Says: dropsNote, Space: drawing.Site}
	plan.Marks = append(append(m.edge(), m.slope()...), m.drops(g.Stakes)...)
	table := fitting(document.Table{Header: pic.Table.Header, Rows: pic.Table.Rows, Bold: []int{0}})
	under := func(d *document.Doc) {
		d.Note(dropsNote)
		d.Table(table)
		d.Blanks("String set and checked by")
	}
	doc := document.New("stake-sheet", "Stake and string sheet", m.paper)
	doc.Heading(pic.Title)
	rest := document.New("", "", m.paper)
	under(rest)
	height := document.Room(m.paper) - doc.Height() - rest.Height() - 16
	if height < leastPlan {
		height = document.Room(m.paper) - doc.Height() - 10
	}
	m.setFigure(&doc.Flow, plan, height)
	under(doc)
	return doc, doc.Err()
}

// crewPlan is the plan a crew works by: edge, cuts with their tapes, the corners' drops, the way water runs. Without grades
// and joints it is the plan of the lot.
func (m *maker) crewPlan() (drawing.Picture, bool) {
	g, graded := of[grade.Result](m.reading, "grade")
	j, jointed := m.firstPlan("joints")
	if !graded && !jointed {
		return m.firstPlan("site")
	}
	plan := drawing.Picture{Name: "crew-plan", Space: drawing.Site, Marks: m.edge()}
	for _, mark := range j.Marks {
		switch mark := mark.(type) {
		case drawing.Dimension:
			plan.Marks = append(plan.Marks, mark)
		case drawing.Path:
			if mark.Layer != draft.SlabEdge {
				plan.Marks = append(plan.Marks, mark)
			}
		}
	}
	plan.Marks = append(plan.Marks, m.slope()...)
	if graded {
		plan.Marks = append(plan.Marks, m.drops(g.Corners)...)
	}
	return plan, true
}

// edge is the slab's outline, box-outs formed as the joints ask.
func (m *maker) edge() []drawing.Mark {
	if j, ok := of[joints.Result](m.reading, "joints"); ok {
		return []drawing.Mark{draft.Outline(draft.SlabEdge, j.Outline, "slab edge")}
	}
	if s, ok := of[site.Result](m.reading, "site"); ok {
		return []drawing.Mark{draft.Outline(draft.SlabEdge, s.Outline, "slab edge")}
	}
	return nil
}

// slope is the arrow of the way water runs with its label, as the grade plan draws it.
func (m *maker) slope() []drawing.Mark {
	pic, _ := m.firstPlan("grade")
	var out []drawing.Mark
	for _, mark := range pic.Marks {
		switch mark := mark.(type) {
		case drawing.Arrow:
			out = append(out, mark)
		case drawing.Text:
			if mark.Ref == "slope" {
				out = append(out, mark)
			}
		}
	}
	return out
}

// drops are stakes with their names and how far down from the string.
func (m *maker) drops(stakes []grade.Stake) []drawing.Mark {
	var out []drawing.Mark
	for _, s := range stakes {
		ref := "stake " + s.Name
		says, height := m.show(quantity.Show(s.Top, quantity.AsDrop)), draft.NoteHeight
		if len(s.Name) == 1 {
			says, height = s.Name+"  "+says, draft.LabelHeight
		}
		out = append(out, drawing.Symbol{Layer: draft.Stakes, At: s.At, Shape: drawing.Stake, Size: 2.6, Ref: ref},
			drawing.Text{Layer: draft.Letters, At: s.At, Says: says, Height: height, Anchor: drawing.Above, Bold: true, Ref: ref})
	}
	return out
}
