package slab

import (
	"fmt"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// Picture draws the section through slab and base, and how much of its strength each thickness would use.
func Picture(in Input, r Result) []drawing.Picture {
	return []drawing.Picture{section(in, r), useChart(in, r)}
}

// What the section shows beside the slab, m: its width, how far stone runs past the edge, how much ground below.
const (
	sectionWide  = 1.2
	stonePast    = 0.15
	groundBelow  = 0.15
	barPitch     = 0.30
	labelBeside  = 0.10
	sectionRight = sectionWide + 0.02
)

// section is the cut through slab, stone and ground at the edge, at true proportions: heights are not exaggerated.
func section(in Input, r Result) drawing.Picture {
	h, base := r.Thickness.Metres(), in.BaseThickness.Value.Metres()
	if in.Base.Value == baseNone {
		base = 0
	}
	p := drawing.Picture{Name: "slab-section", Space: drawing.Site,
		Title: fmt.Sprintf("%s of concrete on %s", show(r.Thickness, in.Units), baseWords(in, base)),
		Says: fmt.Sprintf("Cut at the slab's edge: %s of concrete on %s; dig %s below the finished top.", show(r.Thickness, in.Units),
			baseWords(in, base), show(quantity.Length(h+base), in.Units)),
		Legend: []drawing.LegendRow{{Layer: draft.SlabConcrete, Says: "concrete, cut"}, {Layer: draft.Earth, Says: "ground"}},
		Table: drawing.Table{Header: []string{"layer", "thickness"}, Rows: [][]string{{"concrete", show(r.Thickness, in.Units)},
			{baseName(in, base), show(quantity.Length(base), in.Units)}, {"dig below the top", show(quantity.Length(h+base), in.Units)}}}}
	ground := box(-2*stonePast, -h-base-groundBelow, sectionWide, -h-base)
	p.Marks = append(p.Marks, drawing.Path{Layer: draft.Earth, Points: ground, Closed: true, Ref: "ground"})
	if base > 0 {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.Base, Says: "compacted " + in.Base.Value})
		p.Marks = append(p.Marks, drawing.Path{Layer: draft.Base, Points: box(-stonePast, -h-base, sectionWide, -h), Closed: true, Ref: "base"},
			dimension(-h, -h-base, 8, show(quantity.Length(base), in.Units)+" stone", "base"))
	}
	p.Marks = append(p.Marks, drawing.Path{Layer: draft.SlabConcrete, Points: box(0, -h, sectionWide, 0), Closed: true, Ref: "slab"},
		dimension(0, -h, 8, show(r.Thickness, in.Units), "slab"),
		dimension(0, -h-base, 20, show(quantity.Length(h+base), in.Units)+" dig", "dig"))
	if in.BarHeight.Given() && in.BarHeight.Value.Metres() < h {
		up := in.BarHeight.Value
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.Bars, Says: "bars, held up on chairs"})
		p.Says += " Bars " + show(up, in.Units) + " up, on chairs."
		p.Table.Rows = append(p.Table.Rows, []string{"bars over the bottom", show(up, in.Units)})
		for x := barPitch / 2; x < sectionWide; x += barPitch {
			p.Marks = append(p.Marks, drawing.Symbol{Layer: draft.Bars, At: geometry.Point{X: x, Y: up.Metres() - h}, Shape: drawing.Dot, Size: 2.5, Ref: "bar"})
		}
		p.Marks = append(p.Marks, drawing.Text{Layer: draft.Letters, At: geometry.Point{X: labelBeside, Y: up.Metres() - h + 0.02}, Says: "BARS " + show(up, in.Units) + " UP, ON CHAIRS", Height: draft.NoteHeight, Anchor: drawing.Left, Ref: "bar"})
	}
	return p
}

func baseName(in Input, base float64) string {
	if base <= 0 {
		return "no base"
	}
	return in.Base.Value
}

func baseWords(in Input, base float64) string {
	if base <= 0 {
		return "bare ground"
	}
	return show(quantity.Length(base), in.Units) + " of " + in.Base.Value
}

func box(x0, y0, x1, y1 float64) []geometry.Point {
	return []geometry.Point{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

func dimension(top, bottom, offset float64, says, ref string) drawing.Dimension {
	return drawing.Dimension{Layer: draft.Dims, A: geometry.Point{X: sectionRight, Y: top}, B: geometry.Point{X: sectionRight, Y: bottom}, Offset: offset, Says: says, Ref: ref}
}

// The chart's frame on paper, mm, and the largest use it shows.
const (
	chartLeft, chartBottom = 20.0, 18.0
	chartWide, chartHigh   = 150.0, 80.0
	chartMost              = 2.0
)

// useChart is the share of what is allowed against thickness, with the line at 100 % and the thickness to build.
func useChart(in Input, r Result) drawing.Picture {
	p := drawing.Picture{Name: "slab-use", Space: drawing.Paper, Title: chartTitle(in, r), Says: chartSays(in, r),
		Legend: []drawing.LegendRow{{Layer: draft.LineA, Says: "worst share of what is allowed"}, {Layer: draft.LineC, Says: "all of it"}},
		Table:  drawing.Table{Header: []string{"thickness", "share used", "governs", "verdict"}}}
	first, last := r.Candidates[0].Thickness, r.Candidates[len(r.Candidates)-1].Thickness
	place := func(h quantity.Length, use float64) geometry.Point {
		return geometry.Point{X: chartLeft + chartWide*float64((h-first)/(last-first)), Y: chartBottom + chartHigh*math.Min(use, chartMost)/chartMost}
	}
	p.Marks = append(p.Marks, chartFrame()...)
	var line []geometry.Point
	for i, c := range r.Candidates {
		at := place(c.Thickness, c.Utilisation)
		line = append(line, at)
		shape, verdict := drawing.Octagon, "does not hold"
		if c.Holds {
			shape, verdict = drawing.OpenCircle, "holds"
		}
		p.Marks = append(p.Marks, drawing.Symbol{Layer: draft.LineA, At: at, Shape: shape, Size: 3, Ref: show(c.Thickness, in.Units)})
		if i%2 == 0 {
			p.Marks = append(p.Marks, drawing.Text{Layer: draft.Letters, At: place(c.Thickness, 0), Says: show(c.Thickness, in.Units), Height: draft.NoteHeight, Anchor: drawing.Below})
		}
		p.Table.Rows = append(p.Table.Rows, []string{show(c.Thickness, in.Units), percent(c.Utilisation), c.Worst().Says, verdict})
	}
	p.Marks = append(p.Marks, drawing.Path{Layer: draft.LineA, Points: line, Ref: "use"},
		drawing.Path{Layer: draft.LineC, Points: []geometry.Point{place(first, 1), place(last, 1)}, Ref: "limit"},
		drawing.Text{Layer: draft.Letters, At: place(last, 1), Says: "100 %", Height: draft.LabelHeight, Anchor: drawing.Left, Ref: "limit"},
		drawing.Text{Layer: draft.Letters, At: place(r.Thickness, r.Utilisation), Says: show(r.Thickness, in.Units) + ": " + percent(r.Utilisation), Height: draft.LabelHeight, Anchor: drawing.Above, Bold: true, Boxed: true, Ref: "chosen"},
		drawing.Text{Layer: draft.Letters, At: geometry.Point{X: chartLeft + chartWide/2, Y: chartBottom - 10}, Says: "THICKNESS", Height: draft.LabelHeight, Anchor: drawing.Middle},
		drawing.Text{Layer: draft.Letters, At: geometry.Point{X: 7, Y: chartBottom + chartHigh/2}, Says: "SHARE OF WHAT IS ALLOWED", Height: draft.LabelHeight, Anchor: drawing.Middle, Angle: math.Pi / 2})
	return p
}

func chartTitle(in Input, r Result) string {
	if r.Recommended == 0 {
		return "No thickness up to " + show(steps(in.Units).thickness(thickest), in.Units) + " holds"
	}
	return show(r.Recommended, in.Units) + " is the thinnest that holds"
}

func chartSays(in Input, r Result) string {
	return fmt.Sprintf("%s. At %s, %s governs with %s of what is allowed.", chartTitle(in, r), show(r.Thickness, in.Units), r.Chosen.Worst().Says, percent(r.Utilisation))
}

func chartFrame() []drawing.Mark {
	marks := []drawing.Mark{drawing.Path{Layer: draft.Axis, Points: []geometry.Point{{X: chartLeft, Y: chartBottom + chartHigh}, {X: chartLeft, Y: chartBottom}, {X: chartLeft + chartWide, Y: chartBottom}}}}
	for share := 0.0; share <= chartMost; share += 0.5 {
		y := chartBottom + chartHigh*share/chartMost
		marks = append(marks, drawing.Text{Layer: draft.Letters, At: geometry.Point{X: chartLeft - 2, Y: y}, Says: percentWhole(share), Height: draft.NoteHeight, Anchor: drawing.Right})
		if share > 0 {
			marks = append(marks, drawing.Path{Layer: draft.GridLine, Points: []geometry.Point{{X: chartLeft, Y: y}, {X: chartLeft + chartWide, Y: y}}})
		}
	}
	return marks
}

func percentWhole(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }
