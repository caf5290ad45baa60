package grade

import (
	"fmt"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// riskRadius is the circle drawn where water may stand, m.
const riskRadius = bumpWidth / 2

// waterMarks are ponds as lakes with what they hold, circles where finishing may leave a puddle, the ways of arriving water, and
// drains with their sizes.
func waterMarks(in Input, r Result) []drawing.Mark {
	var out []drawing.Mark
	for i, p := range r.Puddles {
		ref := fmt.Sprintf("puddle %d", i+1)
		says := quantity.Show(p.Volume, quantity.AsWater).String(in.Units)
		if len(p.Pieces) == 0 {
			out = append(out, drawing.Circle{Layer: draft.Pond, At: p.At, Radius: riskRadius, Ref: ref})
			continue
		}
		for _, piece := range p.Pieces {
			out = append(out, drawing.Path{Layer: draft.Pond, Points: piece, Closed: true, Ref: ref})
		}
		out = append(out, drawing.Text{Layer: draft.Letters, At: p.At, Says: says, Height: draft.NoteHeight, Anchor: drawing.Middle, Boxed: true, Ref: ref})
	}
	for _, w := range r.Paths {
		out = append(out, drawing.Path{Layer: draft.Flow, Points: w.Points, Ref: w.Name},
			drawing.Text{Layer: draft.Letters, At: w.Points[0], Says: fmt.Sprintf("%s %s", w.Name, quantity.Show(w.Flow, quantity.AsFlow).String(in.Units)), Height: draft.NoteHeight, Anchor: drawing.Above, Boxed: true, Ref: w.Name})
	}
	for _, d := range r.Drains {
		ref := "drain " + d.Name
		if d.Line.Length() > 0 {
			out = append(out, drawing.Path{Layer: draft.Sewer, Points: []geometry.Point{d.Line.A, d.Line.B}, Ref: ref})
		}
		out = append(out, drawing.Symbol{Layer: draft.Sewer, At: d.Line.Midpoint(), Shape: drawing.OpenCircle, Size: 4, Ref: ref},
			drawing.Text{Layer: draft.Letters, At: d.Line.Midpoint(), Says: fmt.Sprintf("%s, %s pipe", ref, quantity.Show(d.Pipe, quantity.AsDrop).String(in.Units)), Height: draft.NoteHeight, Anchor: drawing.Above, Boxed: true, Ref: ref})
	}
	return out
}
