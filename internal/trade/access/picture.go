package access

import (
	"fmt"
	"strconv"

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
	if r.Trips > 0 {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.LineA, Says: "way of barrows or buggies, the longest to each part"})
		p.Table.Rows = append(p.Table.Rows, []string{"longest way", quantity.Show(r.Farthest, quantity.AsDistance).String(in.Units)},
			[]string{"trips", strconv.Itoa(r.Trips)}, []string{"time for them", minutes(r.CarryTime, in.Units)})
		for i, w := range r.Ways {
			p.Marks = append(p.Marks, drawing.Path{Layer: draft.LineA, Points: w.Line, Ref: fmt.Sprintf("way %d from stand %d", i+1, w.Stand)})
		}
	}
	return []drawing.Picture{p}
}
