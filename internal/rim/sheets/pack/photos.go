package pack

import (
	"fmt"
	"slices"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/record"
)

// shot is a photo of the record with its number on the plan and its words.
type shot struct {
	record.Photo
	mark string
	says []string
	jpeg []byte // nil: not at hand
}

// shots are the photos of the record, in its order.
func (m *maker) shots() []shot {
	var out []shot
	for i, p := range m.plan.Job.Record.Photos {
		s := shot{Photo: p, mark: fmt.Sprintf("P%d", i+1), jpeg: m.plan.Job.Photos[p.File.Value]}
		of := p.Of.Value
		if p.Ticket.Given() {
			of = join(" ", of, p.Ticket.Value)
		}
		s.says = append(s.says, join(": ", s.mark, of))
		when := ""
		if p.At.Given() {
			when = m.clockOf(p.At.Value)
		}
		if line := join(", ", when, p.By.Value); line != "" {
			s.says = append(s.says, line)
		}
		if p.Says.Given() {
			s.says = append(s.says, p.Says.Value)
		}
		if s.placed() {
			s.says = append(s.says, fmt.Sprintf("%s right, %s up", m.sides([]quantity.Length{p.X.Value}), m.sides([]quantity.Length{p.Y.Value})))
		}
		if s.jpeg == nil {
			s.says = append(s.says, "not at hand: "+p.File.Value)
		}
		out = append(out, s)
	}
	return out
}

func (s shot) placed() bool { return s.X.Given() && s.Y.Given() }

// photos sets the photos of the record, and the plan with where each was taken.
func (m *maker) photos(doc *document.Doc) {
	all := m.shots()
	if len(all) == 0 {
		return
	}
	doc.Heading("Photos")
	if plan, ok := m.photoPlan(all); ok {
		m.setFigure(&doc.Flow, plan, 70, 90, 120)
	}
	var prints []document.Photo
	var missing []string
	for _, s := range all {
		if s.jpeg == nil {
			missing = append(missing, join(", ", s.says...))
			continue
		}
		prints = append(prints, document.Photo{JPEG: s.jpeg, Says: s.says})
	}
	doc.Photos(prints...)
	for _, says := range missing {
		doc.Note(says)
	}
}

// photoPlan is the slab with its cuts, and the number of each photo that has a place.
func (m *maker) photoPlan(all []shot) (drawing.Picture, bool) {
	plan := drawing.Picture{Name: "photo-plan", Title: "Where the photos were taken", Space: drawing.Site, Marks: m.edge()}
	if len(plan.Marks) == 0 || !slices.ContainsFunc(all, shot.placed) {
		return plan, false
	}
	joints, _ := m.firstPlan("joints")
	for _, mark := range joints.Marks {
		if cut, ok := mark.(drawing.Path); ok && cut.Layer != draft.SlabEdge && cut.Layer != draft.Revised {
			plan.Marks = append(plan.Marks, cut)
		}
	}
	for _, s := range all {
		if s.placed() {
			at := drawing.Point{X: s.X.Value.Metres(), Y: s.Y.Value.Metres()}
			plan.Marks = append(plan.Marks, drawing.Symbol{Layer: draft.Letters, At: at, Shape: drawing.Dot, Size: 2, Ref: "photo " + s.mark},
				drawing.Text{Layer: draft.Letters, At: at, Says: s.mark, Height: draft.LabelHeight, Bold: true, Anchor: drawing.Above, Tied: true})
		}
	}
	return plan, true
}
