package steel

import (
	"fmt"
	"slices"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// Picture draws the bar plan and the section that shows how high the bars sit.
func Picture(in Input, r Result) []drawing.Picture {
	return []drawing.Picture{r.plan(in), r.section(in)}
}

func (r Result) plan(in Input) drawing.Picture {
	p := drawing.Picture{Name: "bar-plan", Space: drawing.Site, Title: r.title(in), Table: r.table(in)}
	p.Says = fmt.Sprintf("%s Laps %s by the %s rule.", p.Title, size(r.Lap, in), r.LapRule)
	if in.Kind.Value != KindBars {
		p.Says = p.Title
	}
	p.Marks = append(p.Marks, draft.Outline(draft.SlabEdge, in.Outline, "slab edge"))
	for _, s := range in.between() {
		p.Marks = append(p.Marks, drawing.Path{Layer: draft.SawJoint, Points: []geometry.Point{s.A, s.B}, Ref: "joint"})
	}
	for _, b := range r.Bars {
		p.Marks = append(p.Marks, drawing.Path{Layer: draft.Bars, Points: []geometry.Point{b.Line.A, b.Line.B}, Ref: "bar " + b.Mark})
	}
	laps := r.laps(in)
	for _, s := range laps {
		p.Marks = append(p.Marks, drawing.Path{Layer: draft.Bars, Points: []geometry.Point{s.A, s.B}, Ref: "lap"})
	}
	p.Marks = append(p.Marks, r.letters()...)
	for _, d := range r.Dowels {
		p.Marks = append(p.Marks, drawing.Path{Layer: draft.ConstrJoint, Points: []geometry.Point{d.Line.A, d.Line.B}, Ref: "pour stop"})
	}
	p.Legend = []drawing.LegendRow{{Layer: draft.SlabEdge, Says: "slab edge"}}
	if len(r.Bars) > 0 {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.Bars, Says: "bar, lettered by cut length"})
	}
	if len(laps) > 0 {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.Bars, Says: "doubled: a lap; every second bar lies turned end for end"})
	}
	if len(in.Panels) > 0 {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.SawJoint, Says: "joint (SAW)"})
	}
	if len(r.Dowels) > 0 {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.ConstrJoint, Says: "CONSTR: the pour stops here"})
	}
	return p
}

// between are the sides of panels that are no edge of the slab, each once: the joints.
func (in Input) between() []geometry.Segment {
	const on = 0.005
	var out []geometry.Segment
	for _, panel := range in.Panels {
		for _, e := range panel.Edges() {
			mid := e.Midpoint()
			if in.Outline.BoundaryDistance(mid) > on && !slices.ContainsFunc(out, func(o geometry.Segment) bool { return o.Distance(mid) < on }) {
				out = append(out, e.Segment)
			}
		}
	}
	return out
}

// letters name the bars of one mark that lie side by side, on the middle one of them: those along at a third, those across
// at two thirds, so that letters of both ways do not meet.
func (r Result) letters() []drawing.Mark {
	type family struct {
		mark  string
		panel int
		upper bool
	}
	groups := map[family][]Bar{}
	var order []family
	for _, b := range r.Bars {
		key := family{b.Mark, b.Panel, b.Upper}
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], b)
	}
	var out []drawing.Mark
	for _, key := range order {
		b := groups[key][len(groups[key])/2]
		at := b.Line.At(0.35)
		if key.upper {
			at = b.Line.At(0.65)
		}
		out = append(out, drawing.Text{Layer: draft.Letters, At: at, Says: b.Mark, Height: draft.NoteHeight, Anchor: drawing.Middle, Boxed: true, Ref: "bar " + b.Mark})
	}
	return out
}

func size(l quantity.Length, in Input) string {
	return quantity.Show(l, quantity.AsDrop).String(in.Units)
}

func side(l quantity.Length, in Input) string {
	return quantity.Show(l, quantity.AsSide).String(in.Units)
}

func (r Result) title(in Input) string {
	switch in.Kind.Value {
	case KindBars:
		return fmt.Sprintf("%s on %s chairs: %d sticks, %s.", r.Grid, size(r.Chair, in), r.Sticks, quantity.Show(r.Weight, quantity.AsMass).String(in.Units))
	case KindMesh:
		return fmt.Sprintf("Mesh W%.1f on chairs, %s.", float64(in.MeshWire.Value), quantity.Show(r.Weight, quantity.AsMass).String(in.Units))
	case KindFibre:
		return fmt.Sprintf("Macro fibre in the mix, %s.", quantity.Show(r.Weight, quantity.AsMass).String(in.Units))
	}
	return "No steel: joints do the work."
}

// table is the bending list and the cutting list.
func (r Result) table(in Input) drawing.Table {
	t := drawing.Table{Header: []string{"what", "size", "length", "count", "note"}}
	for _, m := range r.Marks {
		note := ""
		if m.Trim {
			note = "diagonal at inside corners"
		}
		t.Rows = append(t.Rows, []string{"bar " + m.Mark, m.Size, side(m.Length, in), fmt.Sprint(m.Count), note})
	}
	for _, c := range r.Cutting {
		from := "buy"
		if c.Yard {
			from = "from the yard"
		}
		t.Rows = append(t.Rows, []string{"stick", c.Size, side(c.Stick, in), fmt.Sprint(c.Times), fmt.Sprintf("%s, cut %s, %s left", from, c.Pieces, size(c.Offcut, in))})
	}
	if r.Chairs > 0 {
		t.Rows = append(t.Rows, []string{"chairs", size(r.Chair, in), "", fmt.Sprint(r.Chairs), "no farther apart than " + side(in.Chairs.Value, in)})
	}
	if r.Ties > 0 {
		t.Rows = append(t.Rows, []string{"ties", "16 ga", "", fmt.Sprint(r.Ties), "edge crossings all, inside a share"})
	}
	for _, d := range r.Dowels {
		t.Rows = append(t.Rows, []string{d.Kind, size(d.Diameter, in), size(d.Length, in), fmt.Sprint(d.Count), "every " + size(d.Spacing, in) + " at the pour stop"})
	}
	for _, c := range r.Sold {
		t.Rows = append(t.Rows, []string{"sold in", "", side(c.Stick, in), fmt.Sprint(c.Sticks), fmt.Sprintf("%s bought, %s left over", quantity.Show(c.Bought, quantity.AsDistance).String(in.Units), quantity.Show(c.Waste, quantity.AsPercent).String(in.Units))})
	}
	for _, o := range r.Options {
		area := ""
		if o.Area > 0 {
			area = quantity.Show(o.Area, quantity.AsSteelArea).String(in.Units)
		}
		t.Rows = append(t.Rows, []string{"option", o.Name, area, o.amount(in), o.Does + "; " + o.DoesNot})
	}
	return t
}

// section is a piece of slab cut through, 600 mm of it, on paper at 1:5.
func (r Result) section(in Input) drawing.Picture {
	const scale = 200.0 // paper millimetres per metre
	t, wide := in.Thickness.Value.Metres()*scale, 120.0
	p := drawing.Picture{Name: "bar-height", Space: drawing.Paper}
	p.Marks = append(p.Marks, drawing.Path{Layer: draft.SlabConcrete, Closed: true, Points: []geometry.Point{{}, {X: wide}, {X: wide, Y: t}, {Y: t}}, Ref: "slab"},
		drawing.Path{Layer: draft.Base, Closed: true, Points: []geometry.Point{{Y: -20}, {X: wide, Y: -20}, {X: wide}, {}}, Ref: "compacted stone"},
		drawing.Dimension{Layer: draft.Dims, A: geometry.Point{X: wide}, B: geometry.Point{X: wide, Y: t}, Offset: -12, Says: quantity.Show(in.Thickness.Value, quantity.AsThickness).String(in.Units), Ref: "thickness"})
	p.Legend = []drawing.LegendRow{{Layer: draft.SlabConcrete, Says: "slab"}, {Layer: draft.Base, Says: "compacted stone"}}
	p.Table = drawing.Table{Header: []string{"what", "size"}, Rows: [][]string{{"slab", quantity.Show(in.Thickness.Value, quantity.AsThickness).String(in.Units)}}}
	if in.Kind.Value == KindFibre || in.Kind.Value == KindNone {
		p.Title = "No bars in this section."
		p.Says = p.Title
		return p
	}
	z, d := r.Height.Metres()*scale, max(r.Diameter.Metres()*scale, 1)
	p.Marks = append(p.Marks, drawing.Path{Layer: draft.Bars, Points: []geometry.Point{{X: 3, Y: z + d/2}, {X: wide - 3, Y: z + d/2}}, Ref: "upper bar"})
	for x := 20.0; x < wide; x += 80 {
		p.Marks = append(p.Marks, drawing.Circle{Layer: draft.Bars, At: geometry.Point{X: x, Y: z - d/2}, Radius: d / 2, Ref: "lower bar"},
			drawing.Path{Layer: draft.Dims, Closed: true, Points: []geometry.Point{{X: x - 4}, {X: x + 4}, {X: x + 1.5, Y: z - d}, {X: x - 1.5, Y: z - d}}, Ref: "chair"})
	}
	cover := r.cover(in)
	p.Marks = append(p.Marks, drawing.Dimension{Layer: draft.Dims, A: geometry.Point{}, B: geometry.Point{Y: z - d}, Offset: 12, Says: size(r.Chair, in), Ref: "chair height"},
		drawing.Dimension{Layer: draft.Dims, A: geometry.Point{Y: z + d}, B: geometry.Point{Y: t}, Offset: 12, Says: size(cover, in), Ref: "cover"})
	p.Title = fmt.Sprintf("Bars held up on %s chairs, %s of concrete over them.", size(r.Chair, in), size(cover, in))
	p.Says = p.Title
	p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.Bars, Says: "bars, held up on chairs"})
	p.Table.Rows = append(p.Table.Rows, []string{"chair", size(r.Chair, in)}, []string{"middle of the mat above the base", size(r.Height, in)}, []string{"concrete over the bars", size(cover, in)})
	return p
}

// amount is weight and price of an option.
func (o Option) amount(in Input) string {
	text := quantity.Show(o.Weight, quantity.AsMass).String(in.Units)
	if o.Cost > 0 {
		text += ", " + quantity.Show(o.Cost, quantity.AsMoney).String(in.Units)
	}
	return text
}
