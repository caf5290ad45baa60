package grade

import (
	"fmt"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// boardPlan is the plan of strings and batter boards round the dig, with what checks them.
func boardPlan(in Input, r Result) drawing.Picture {
	clear := quantity.Show(in.Clear.Value, quantity.AsDistance).String(in.Units)
	p := drawing.Picture{Name: "strings-and-boards", Space: drawing.Site,
		Title: fmt.Sprintf("%d batter boards stand %s clear of the dig", len(r.Boards), clear),
		Legend: []drawing.LegendRow{{Layer: draft.SlabEdge, Says: "slab edge"}, {Layer: draft.Existing, Says: "edge of the dig"}, {Layer: draft.Strings, Says: "string, level"},
			{Layer: draft.Batter, Says: "batter board, nail where the string crosses"}},
		Table: setOutTable(in, r)}
	p.Says = fmt.Sprintf("%s. Strings at %s; drops to the slab are on the stake sheet.", p.Title, show(stringLevelOf(r), quantity.AsElevation, in))
	for i, d := range r.Dig {
		p.Marks = append(p.Marks, drawing.Path{Layer: draft.Existing, Points: d.Outer, Closed: true, Ref: fmt.Sprintf("dig %d", i+1)})
	}
	p.Marks = append(p.Marks, draft.Outline(draft.SlabEdge, in.Outline, "slab"))
	for _, s := range r.Strings {
		p.Marks = append(p.Marks, drawing.Path{Layer: draft.Strings, Points: []geometry.Point{s.Line.A, s.Line.B}, Ref: "string " + s.Name})
	}
	for _, b := range r.Boards {
		p.Marks = append(p.Marks, drawing.Path{Layer: draft.Batter, Points: []geometry.Point{b.Line.A, b.Line.B}, Ref: "board " + b.Name},
			drawing.Symbol{Layer: draft.Batter, At: b.Nail, Shape: drawing.Cross, Size: 2, Ref: "board " + b.Name})
	}
	for _, i := range labelled(in, r) {
		c := r.Corners[i]
		p.Marks = append(p.Marks, drawing.Text{Layer: draft.Letters, At: c.At, Says: c.Name, Height: draft.LabelHeight, Anchor: drawing.Above, Bold: true, Boxed: true, Ref: "corner " + c.Name})
	}
	return p
}

func stringLevelOf(r Result) quantity.Length {
	if len(r.Strings) == 0 {
		return 0
	}
	return r.Strings[0].Level
}

// setOutTable lists strings, nails, check tapes and offsets of curves, each as a tape and as a rod read it.
func setOutTable(in Input, r Result) drawing.Table {
	t := drawing.Table{Header: []string{"what", "from, to", "length"}}
	side := func(v quantity.Length) string { return show(v, quantity.AsSide, in) }
	for _, s := range r.Strings {
		t.Rows = append(t.Rows, []string{"string " + s.Name, s.Ends[0] + ", " + s.Ends[1], side(s.Length)})
	}
	for _, b := range r.Boards {
		t.Rows = append(t.Rows, []string{"nail " + b.Name, "corner to nail, along the string", side(b.Past)})
	}
	for _, d := range r.Diagonals {
		t.Rows = append(t.Rows, []string{"check", d.Name, side(d.Length)})
	}
	for _, o := range r.Offsets {
		t.Rows = append(t.Rows, []string{"curve on " + o.Side, "at " + side(o.Along) + " from " + o.Side[:1], side(o.Off) + " off the chord"})
	}
	return t
}
