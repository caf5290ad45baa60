package access

import (
	"fmt"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// Picture draws the chute's reach over the slab.
func Picture(in Input, r Result) []drawing.Picture {
	p := drawing.Picture{Name: "chute-reach", Space: drawing.Site,
		Title: fmt.Sprintf("The chute reaches %s of the slab", quantity.Show(r.ReachShare, quantity.AsPercent).String(in.Units)),
		Says:  fmt.Sprintf("Plan of the slab with %d truck stands and the reach of the chute; how it gets there: %s.", len(r.Stands), r.Method),
		Legend: []drawing.LegendRow{{Layer: draft.SlabEdge, Says: "slab edge"}, {Layer: draft.Reach, Says: "useful reach of the chute"},
			{Layer: draft.Cut, Says: "beyond the chute"}},
		Table: drawing.Table{Header: []string{"what", "value"}, Rows: [][]string{
			{"reached", quantity.Show(r.ReachShare, quantity.AsPercent).String(in.Units)},
			{"useful reach", quantity.Show(in.Reach.Value-in.Short.Value, quantity.AsDistance).String(in.Units)},
			{"how it gets there", string(r.Method)}}},
	}
	for _, b := range r.Beyond {
		p.Marks = append(p.Marks, draft.Outline(draft.Cut, b, "beyond the chute"))
	}
	p.Marks = append(p.Marks, draft.Outline(draft.SlabEdge, in.Outline, "slab"))
	for i, s := range r.Stands {
		p.Marks = append(p.Marks, drawing.Circle{Layer: draft.Reach, At: s, Radius: (in.Reach.Value - in.Short.Value).Metres(), Ref: fmt.Sprintf("reach from stand %d", i+1)},
			drawing.Symbol{Layer: draft.Vehicle, At: s, Shape: drawing.Triangle, Size: 5, Ref: fmt.Sprintf("stand %d", i+1)},
			drawing.Text{Layer: draft.Letters, At: s, Says: fmt.Sprintf("TRUCK %d", i+1), Height: draft.NoteHeight, Anchor: drawing.Below, Ref: fmt.Sprintf("stand %d", i+1)})
	}
	return []drawing.Picture{p}
}
