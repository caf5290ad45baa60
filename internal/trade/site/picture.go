package site

import (
	"fmt"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

var layerOf = map[Kind]drawing.Layer{
	Tree: draft.Tree, Building: draft.House, Wall: draft.House, Fence: draft.Existing, Post: draft.Existing, Lid: draft.Existing,
	Pipe: draft.ThickEdge, Old: draft.Existing, Power: draft.Power, Gas: draft.Gas, Comm: draft.Comm, Drinking: draft.Water,
	Sewer: draft.Sewer, Overhead: draft.Overhead, Lot: draft.LotLine,
	Eave: draft.ThickEdge, Branch: draft.RootZone, Curb: draft.Existing, Drop: draft.Existing, Soft: draft.Earth, Culvert: draft.ThickEdge,
}

// Picture draws the lot: outline with its sides, what stands and runs there, existing levels.
func Picture(in Input, r Result) []drawing.Picture {
	p := drawing.Picture{Name: "site-plan", Space: drawing.Site,
		Title:  fmt.Sprintf("%s of slab, %d things to mind", quantity.Show(r.Area, quantity.AsArea).String(in.Units), len(r.Things)),
		Says:   fmt.Sprintf("Plan of the slab with %d corners, %d obstacles and %d ground levels.", len(r.plain()), len(r.Things), len(r.Ground)),
		Legend: []drawing.LegendRow{{Layer: draft.SlabEdge, Says: "slab edge"}},
	}
	p.Marks = append(p.Marks, draft.Outline(draft.SlabEdge, r.Outline, "slab"))
	for _, t := range r.Things {
		p.Marks = append(p.Marks, t.marks()...)
		p.Legend = addLegend(p.Legend, layerOf[t.Kind])
	}
	p.Marks = append(p.Marks, sideMarks(in, r)...)
	if marks, times := doubtMarks(r); len(marks) > 0 {
		p.Marks = append(p.Marks, marks...)
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.Doubt, Says: fmt.Sprintf("95 in 100 the corner lies in here, drawn %.0f times larger", times)})
	}
	if marks := groundMarks(in, r); len(marks) > 0 {
		p.Marks = append(p.Marks, marks...)
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.SpotOld, Says: "(existing level, " + levelUnit(in) + ")"})
	}
	if len(r.Contours) > 0 {
		p.Legend = addLegend(p.Legend, draft.ContourOld)
	}
	if len(r.Breaklines) > 0 {
		p.Legend = addLegend(p.Legend, draft.Break)
	}
	p.Table = table(in, r)
	return []drawing.Picture{p}
}

func addLegend(rows []drawing.LegendRow, layer drawing.Layer) []drawing.LegendRow {
	for _, row := range rows {
		if row.Layer.Name == layer.Name {
			return rows
		}
	}
	return append(rows, drawing.LegendRow{Layer: layer, Says: layer.Says})
}

func (t Thing) marks() []drawing.Mark {
	layer := layerOf[t.Kind]
	var out []drawing.Mark
	if t.Radius > 0 {
		out = append(out, drawing.Circle{Layer: layer, At: t.Centre, Radius: t.Radius, Ref: t.Name})
		if t.Kind == Tree {
			out = append(out, drawing.Circle{Layer: draft.RootZone, At: t.Centre, Radius: t.Zone, Ref: "root zone of " + t.Name})
		}
		return append(out, t.label(t.Centre.Add(geometry.Point{Y: t.Radius})))
	}
	closed := t.closed()
	if !closed {
		layer.Hatch = drawing.Empty
	}
	out = append(out, drawing.Path{Layer: layer, Points: t.Line, Closed: closed, Ref: t.Name})
	return append(out, t.label(t.Line[0].Lerp(t.Line[1], 0.5)))
}

func (t Thing) label(at geometry.Point) drawing.Text {
	return drawing.Text{Layer: draft.Letters, At: at, Says: t.Name, Height: draft.NoteHeight, Anchor: drawing.Above, Boxed: true, Ref: t.Name}
}

// sideMarks dimensions each side outside the slab, a curved one by its chord and its rise, and letters the corners.
func sideMarks(in Input, r Result) []drawing.Mark {
	var out []drawing.Mark
	n := len(r.Corners)
	measure := func(a, b geometry.Point, name string) {
		out = append(out, drawing.Dimension{Layer: draft.Dims, A: b, B: a, Offset: 9, Says: side(a.Distance(b), in.Units), Ref: "side " + name})
	}
	for i, s := range r.Sides {
		if _, curved := r.onCurve(i); !curved {
			measure(r.Corners[i].At, r.Corners[(i+1)%n].At, s.Name)
		}
	}
	for _, b := range r.Bows {
		measure(b.Chord.A, b.Chord.B, b.Name)
		top := b.Chord.Midpoint().Add(b.Chord.Direction().Left().Scale(-b.Rise.Value.Metres()))
		out = append(out, drawing.Text{Layer: draft.Letters, At: top, Says: "rise " + side(math.Abs(b.Rise.Value.Metres()), in.Units), Height: draft.NoteHeight, Anchor: drawing.Above, Boxed: true, Ref: "side " + b.Name})
	}
	plain := r.plain()
	for k, i := range plain {
		c := r.Corners[i]
		before, after := r.Corners[plain[(k+len(plain)-1)%len(plain)]].At, r.Corners[plain[(k+1)%len(plain)]].At
		inward := before.Sub(c.At).Unit().Add(after.Sub(c.At).Unit()).Unit()
		if geometry.Orient(before, c.At, after) < 0 {
			inward = inward.Scale(-1)
		}
		at := c.At.Add(inward.Scale(0.04 * r.Perimeter.Metres() / float64(len(plain))))
		out = append(out, drawing.Text{Layer: draft.Letters, At: at, Says: c.Name, Height: draft.LabelHeight, Anchor: drawing.Middle, Bold: true, Ref: "corner " + c.Name})
	}
	return out
}

func table(in Input, r Result) drawing.Table {
	t := drawing.Table{Header: []string{"what", "size", "note"}}
	for _, b := range r.Bows {
		t.Rows = append(t.Rows, []string{"curve on " + b.Name, "rise " + side(b.Rise.Value.Metres(), in.Units), "radius " + side(b.Radius.Metres(), in.Units)})
	}
	for i, s := range r.Sides {
		if _, curved := r.onCurve(i); curved {
			continue
		}
		note := ""
		if s.Against != "" {
			note = "along " + s.Against
		}
		t.Rows = append(t.Rows, []string{"side " + s.Name, quantity.Show(s.Length, quantity.AsSide).String(in.Units), note})
	}
	for _, d := range r.diagonals() {
		t.Rows = append(t.Rows, []string{"diagonal " + d.Name, quantity.Show(d.Length, quantity.AsSide).String(in.Units), "square check"})
	}
	for _, x := range r.Things {
		t.Rows = append(t.Rows, []string{string(x.Kind), x.Name, zoneNote(in, x)})
	}
	for i, s := range r.Ground {
		if s.Step == surveyStep {
			continue // the survey's own file lists them
		}
		t.Rows = append(t.Rows, []string{"ground, shot " + spotName(i, s), quantity.Show(s.Elevation, quantity.AsElevation).String(in.Units), "existing"})
	}
	return t
}

func zoneNote(in Input, t Thing) string {
	switch {
	case t.Zone == 0:
		return ""
	case t.Kind == Tree:
		return "roots to " + metres(t.Zone, in.Units)
	}
	return "keep " + metres(t.Zone, in.Units) + " away"
}

// doubtShare is the size of the largest ellipse on the drawing, as a share of the slab's mean side.
const doubtShare = 0.08

// doubtMarks draws the corners' error ellipses so many times larger that they can be seen: 1, 2, 5, 10, 20, 50 …
func doubtMarks(r Result) (marks []drawing.Mark, times float64) {
	most := 0.0
	for _, d := range r.Doubts {
		most = math.Max(most, d.Major.Metres())
	}
	if most <= 0 {
		return nil, 0
	}
	want := doubtShare * r.Perimeter.Metres() / float64(len(r.Corners)) / most
	ten := math.Pow(10, math.Floor(math.Log10(want)))
	times = ten
	for _, k := range []float64{2, 5} {
		if k*ten <= want {
			times = k * ten
		}
	}
	for _, d := range r.Doubts {
		along := geometry.Direction(math.Pi/2 - float64(d.Azimuth))
		var ring []geometry.Point
		for k := range ellipsePoints {
			t := geometry.Direction(2 * math.Pi * float64(k) / ellipsePoints)
			ring = append(ring, d.At.Add(along.Scale(times*t.X*d.Major.Metres())).Add(along.Left().Scale(times*t.Y*d.Minor.Metres())))
		}
		marks = append(marks, drawing.Path{Layer: draft.Doubt, Points: ring, Closed: true, Ref: "doubt " + d.Name})
	}
	return marks, times
}

// ellipsePoints makes an ellipse look round on paper.
const ellipsePoints = 36
