package forms

import (
	"fmt"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// Picture draws the form plan: boards, stakes, splices, and where no board is needed.
func Picture(in Input, r Result) []drawing.Picture {
	side := func(l quantity.Length) string { return quantity.Show(l, quantity.AsSide).String(in.Units) }
	p := drawing.Picture{Name: "form-plan", Space: drawing.Site,
		Title: fmt.Sprintf("%d boards of %s, %d stakes.", r.Boards, r.Board.Name, r.Stakes)}
	p.Says = fmt.Sprintf("%s Stakes no farther apart than %s on straight runs.", p.Title, quantity.Show(r.Spacing, quantity.AsDistance).String(in.Units))
	p.Marks = append(p.Marks, draft.Outline(draft.SlabEdge, in.Outline, "slab edge"))
	p.Table.Header = []string{"what", "length", "count", "note"}
	against := false
	for _, run := range r.Runs {
		layer, note := draft.Boards, run.Kind
		switch run.Kind {
		case NoForm:
			layer, note, against = draft.Existing, "no board: against "+run.Against, true
		case Curve:
			note = fmt.Sprintf("curve, radius %s, %s", side(run.Radius), run.Bend)
		}
		p.Marks = append(p.Marks, drawing.Path{Layer: layer, Points: run.Path, Closed: run.Closed, Ref: "run " + run.Name})
		for _, q := range run.Stakes {
			p.Marks = append(p.Marks, drawing.Symbol{Layer: draft.Stakes, At: q, Shape: drawing.Stake, Size: 2, Ref: "stake"})
		}
		for _, q := range run.Splices {
			p.Marks = append(p.Marks, drawing.Symbol{Layer: draft.Boards, At: q, Shape: drawing.Cross, Size: 3, Ref: "splice"})
		}
		if run.Kind == Straight && !run.Closed {
			p.Marks = append(p.Marks, drawing.Dimension{Layer: draft.Dims, A: run.Path[0], B: run.Path[len(run.Path)-1], Offset: -8, Says: side(run.Length), Ref: "run " + run.Name})
		}
		if run.Kind == Curve {
			p.Marks = append(p.Marks, drawing.Text{Layer: draft.Letters, At: run.Path[len(run.Path)/2], Says: "R " + side(run.Radius), Height: draft.NoteHeight, Anchor: drawing.Middle, Boxed: true, Ref: "run " + run.Name})
		}
		p.Table.Rows = append(p.Table.Rows, []string{"run " + run.Name, side(run.Length), fmt.Sprint(len(run.Stakes)) + " stakes", note})
	}
	for _, piece := range r.Pieces {
		p.Table.Rows = append(p.Table.Rows, []string{"piece " + piece.Mark, side(piece.Length), fmt.Sprint(piece.Count), r.Board.Name})
	}
	for _, c := range r.Cutting {
		p.Table.Rows = append(p.Table.Rows, []string{"buy " + r.Board.Name, side(c.Stock), fmt.Sprint(c.Times), fmt.Sprintf("cut %s, %s left", c.Pieces, side(c.Offcut))})
	}
	for _, rail := range r.Rails {
		p.Marks = append(p.Marks, drawing.Path{Layer: draft.Dims, Points: []geometry.Point{rail.A, rail.B}, Ref: "screed rail"})
		p.Table.Rows = append(p.Table.Rows, []string{"screed rail", side(quantity.Length(rail.Length())), "1", "taken out as the strip is placed"})
	}
	p.Legend = []drawing.LegendRow{{Layer: draft.SlabEdge, Says: "slab edge"}, {Layer: draft.Boards, Says: "form board; cross: splice"}, {Layer: draft.Stakes, Says: "stake"}}
	if len(r.Rails) > 0 {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.Dims, Says: "screed rail"})
	}
	if against {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.Existing, Says: "existing: no board, isolation strip"})
	}
	return []drawing.Picture{p}
}
