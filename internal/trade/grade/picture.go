package grade

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// Picture draws where the water goes with the levels, and where to dig and fill.
func Picture(in Input, r Result) []drawing.Picture {
	if len(r.Corners) < 3 {
		return nil
	}
	return []drawing.Picture{slopePlan(in, r), digPlan(in, r), boardPlan(in, r)}
}

func show(q quantity.Length, kind quantity.Kind, in Input) string {
	return quantity.Show(q, kind).String(in.Units)
}

// slopePlan is the plan with the slope arrow and the spot levels.
func slopePlan(in Input, r Result) drawing.Picture {
	p := drawing.Picture{Name: "slopes-and-levels", Space: drawing.Site,
		Title: fmt.Sprintf("Water runs %s and leaves at %s", r.Direction, cornersWord(r.Low)),
		Legend: []drawing.LegendRow{{Layer: draft.SlabEdge, Says: "slab edge"}, {Layer: draft.Flow, Says: "arrow points the way water runs"},
			{Layer: draft.SpotNew, Says: "new level, top of slab; high (HP) and low (LP) corners circled"}, {Layer: draft.SpotOld, Says: "(ground now)"}},
		Table: stakeTable(in, r)}
	p.Says = fmt.Sprintf("%s. It falls %s from %s to %s, at least %s. Levels are counted from %s.", p.Title, show(r.Fall, quantity.AsDrop, in), r.High, r.Low,
		quantity.Show(r.Least, quantity.AsSlope).String(in.Units), r.LevelBy)
	p.Marks = append(p.Marks, draft.Outline(draft.SlabEdge, in.Outline, "slab"))
	for i, a := range in.Outline.Outer {
		if in.wall(i) == "" {
			continue
		}
		b := in.Outline.Outer[(i+1)%len(in.Outline.Outer)]
		p.Marks = append(p.Marks, drawing.Text{Layer: draft.Letters, At: a.Lerp(b, 0.5), Says: in.wall(i), Height: draft.NoteHeight, Anchor: drawing.Above, Boxed: true, Ref: in.wall(i)})
	}
	if wet := waterMarks(in, r); len(wet) > 0 {
		p.Marks = append(p.Marks, wet...)
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.Pond, Says: "water stands here, or may after finishing"})
		p.Says += fmt.Sprintf(" Chance that water stands somewhere: %s.", quantity.Show(r.Standing, quantity.AsPercent).String(in.Units))
	}
	for i, panel := range r.Panels {
		p.Marks = append(p.Marks, slopeArrow(in, panel, i)...)
	}
	p.Marks = append(p.Marks, foldMarks(r)...)
	if len(r.Folds) > 0 {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.Hip, Says: "hip: water parts"}, drawing.LegendRow{Layer: draft.Valley, Says: "valley: water gathers and runs along it"})
	}
	for _, i := range labelled(in, r) {
		p.Marks = append(p.Marks, cornerMarks(in, r, i)...)
	}
	return p
}

// labelled are the corners a plan letters: those no curve put in, and of each curve the lowest one.
func labelled(in Input, r Result) []int {
	out, n := in.plainCorners(), len(r.Corners)
	for _, c := range in.Curves {
		low := c.First
		for k := 1; k < (c.Last-c.First+n)%n; k++ {
			i := (c.First + k) % n
			if low == c.First || r.Corners[i].Top > r.Corners[low].Top {
				low = i
			}
		}
		if !slices.Contains(out, low) {
			out = append(out, low)
		}
	}
	return out
}

func cornersWord(names string) string {
	if strings.Contains(names, "curve") {
		return names
	}
	if len(names) > 1 {
		return "corners " + names
	}
	return "corner " + names
}

// arrowShare is the length of the slope arrow as a share of the panel's extent the way the water runs.
const arrowShare = 0.4

func slopeArrow(in Input, panel Panel, i int) []drawing.Mark {
	if panel.Slope <= 0 {
		return nil
	}
	d := geometry.Direction(float64(panel.Heading))
	middle := inside(panel.Outline)
	from, to := math.Inf(1), math.Inf(-1)
	for _, s := range panel.Outline.ClipLine(geometry.Line{Through: middle, Along: d}) {
		from, to = math.Min(from, math.Min(s.A.Dot(d), s.B.Dot(d))), math.Max(to, math.Max(s.A.Dot(d), s.B.Dot(d)))
	}
	half := d.Scale(arrowShare * max(0, to-from) / 2)
	ref := fmt.Sprintf("slope of panel %d", i+1)
	return []drawing.Mark{
		drawing.Arrow{Layer: draft.Flow, From: middle.Sub(half), To: middle.Add(half), Ref: ref},
		drawing.Text{Layer: draft.Letters, At: middle, Says: slopeLabel(panel.Slope, in), Height: draft.LabelHeight, Anchor: drawing.Middle, Boxed: true, Bold: true, Ref: ref},
	}
}

// foldMarks are the hips and valleys, a valley with the way its water runs.
func foldMarks(r Result) []drawing.Mark {
	var out []drawing.Mark
	for i, f := range r.Folds {
		ref := fmt.Sprintf("fold %d", i+1)
		layer, says := draft.Hip, "HIP"
		if f.Kind == Valley {
			layer, says = draft.Valley, "VALLEY"
			out = append(out, drawing.Arrow{Layer: draft.Flow, From: f.Line.At(0.7), To: f.Line.At(0.9), Ref: ref})
		}
		out = append(out, drawing.Path{Layer: layer, Points: []geometry.Point{f.Line.A, f.Line.B}, Ref: ref},
			drawing.Text{Layer: draft.Letters, At: f.Line.At(0.4), Says: says, Height: draft.NoteHeight, Anchor: drawing.Middle, Boxed: true, Ref: ref})
	}
	return out
}

// slopeLabel is the slope in percent over inches per foot, to an eighth, or millimetres per metre: 2.0 % over 1/4"/FT.
func slopeLabel(s quantity.Slope, in Input) string {
	if in.Units == quantity.Metric {
		return fmt.Sprintf("%.1f %%\n%.0f mm/m", 100*float64(s), 1000*float64(s))
	}
	return fmt.Sprintf("%.1f %%\n%s\"/FT", 100*float64(s), eighths(12*float64(s)))
}

// eighths is a length in inches to the nearest eighth, without its unit.
func eighths(inches float64) string {
	text := quantity.Tape(inches, 8, false)
	return text[:len(text)-len(" in")]
}

// inside is a point of the slab near its middle, off box-outs.
func inside(p geometry.Polygon) geometry.Point {
	c := p.Centroid()
	if p.Locate(c) == geometry.Inside {
		return c
	}
	best, most := c, 0.0
	for _, line := range []geometry.Line{{Through: c, Along: geometry.Point{X: 1}}, {Through: c, Along: geometry.Point{Y: 1}}} {
		for _, s := range p.ClipLine(line) {
			if s.Length() > most {
				best, most = s.Midpoint(), s.Length()
			}
		}
	}
	return best
}

func cornerMarks(in Input, r Result, i int) []drawing.Mark {
	c, n := r.Corners[i], len(r.Corners)
	in2 := inward(r.Corners[(i+n-1)%n].At, c.At, r.Corners[(i+1)%n].At)
	size := in.Outline.Perimeter() / float64(n)
	ref := "corner " + c.Name
	says := c.Name + "  " + show(c.Elevation, quantity.AsElevation, in)
	out := []drawing.Mark{drawing.Symbol{Layer: draft.SpotNew, At: c.At, Shape: drawing.Cross, Size: 3, Ref: ref}}
	switch {
	case c.Top == topOf(r, true):
		says = "HP " + says
		out = append(out, drawing.Symbol{Layer: draft.SpotNew, At: c.At, Shape: drawing.OpenCircle, Size: 7, Ref: ref})
	case c.Top == topOf(r, false):
		says = "LP " + says
		out = append(out, drawing.Symbol{Layer: draft.Flow, At: c.At, Shape: drawing.OpenCircle, Size: 7, Ref: ref})
	}
	out = append(out, drawing.Text{Layer: draft.SpotNew, At: c.At.Add(in2.Scale(0.05 * size)), Says: says, Height: draft.NoteHeight, Anchor: drawing.Middle, Bold: true, Ref: ref})
	return append(out, drawing.Text{Layer: draft.SpotOld, At: c.At.Sub(in2.Scale(0.04 * size)), Says: "(" + show(c.Ground, quantity.AsElevation, in) + ")", Height: draft.NoteHeight, Anchor: drawing.Middle, Ref: ref})
}

// topOf is the least drop (the highest corner's) or the greatest.
func topOf(r Result, highest bool) quantity.Length {
	best := r.Corners[0].Top
	for _, c := range r.Corners {
		if highest && c.Top < best || !highest && c.Top > best {
			best = c.Top
		}
	}
	return best
}

// stakeTable is the stake sheet: levels in both ways of reading a tape.
func stakeTable(in Input, r Result) drawing.Table {
	t := drawing.Table{Header: []string{"stake", "top of slab", "rod", "below high corner", "string to top", "string to base", "string to subgrade", "ground now", "dig or fill to subgrade"}}
	for _, s := range r.Stakes {
		rod := "-"
		if in.Height.Given() && s.Rod != 0 {
			rod = both(s.Rod, in)
		}
		t.Rows = append(t.Rows, []string{s.Name, show(s.Set, quantity.AsElevation, in), rod, both(s.Below, in), both(s.Top, in), both(s.Base, in), both(s.Subgrade, in),
			show(s.Ground, quantity.AsElevation, in), digOrFill(s.Depth, in)})
	}
	return t
}

// both writes a drop as a tape and as a rod read it: tenths are not inches. Metric crews have millimetres alone.
func both(d quantity.Length, in Input) string {
	if in.Units == quantity.Metric {
		return fmt.Sprintf("%.0f mm", math.Round(d.Millimetres()))
	}
	return fmt.Sprintf("%s (%.2f ft)", show(d, quantity.AsDrop, in), d.Feet())
}

// digOrFill says a depth with its word: signs mean one thing to an office and another to a crew.
func digOrFill(d quantity.Length, in Input) string {
	if d < 0 {
		return "fill " + both(-d, in)
	}
	return "dig " + both(d, in)
}

// digPlan is the cut and fill plan: each cell with its sign and depth.
func digPlan(in Input, r Result) drawing.Picture {
	p := drawing.Picture{Name: "cut-and-fill", Space: drawing.Site, Title: digTitle(in, r),
		Legend: []drawing.LegendRow{{Layer: draft.SlabEdge, Says: "slab edge"}, {Layer: draft.Cut, Says: "- dig to subgrade, " + cellUnit(in)}, {Layer: draft.Fill, Says: "+ fill to subgrade, " + cellUnit(in)}},
		Table:  digTable(in, r)}
	p.Says = fmt.Sprintf("%s. %s to haul loose in %d loads; %s of stone in %d lifts.", p.Title, quantity.Show(r.Loose, quantity.AsVolume).String(in.Units), r.HaulLoads,
		quantity.Show(r.BaseMass, quantity.AsTons).String(in.Units), r.Lifts)
	for i, c := range r.Cells {
		layer, sign := draft.Cut, "-"
		if c.Depth < 0 {
			layer, sign = draft.Fill, "+"
		}
		depth := quantity.Length(math.Abs(float64(c.Depth)))
		ref := fmt.Sprintf("cell %d", i+1)
		p.Marks = append(p.Marks, drawing.Path{Layer: layer, Points: c.Outline, Closed: true, Ref: ref})
		if float64(c.Area) > labelShare*float64(largest(r.Cells)) {
			p.Marks = append(p.Marks, drawing.Text{Layer: draft.Letters, At: c.At, Says: signedWords(sign, cellWords(depth, in)), Height: draft.NoteHeight, Anchor: drawing.Middle, Boxed: true, Ref: ref})
		}
	}
	p.Marks = append(p.Marks, draft.Outline(draft.SlabEdge, in.Outline, "slab"))
	for _, z := range r.Zero {
		p.Marks = append(p.Marks, drawing.Path{Layer: draft.LineA, Points: []geometry.Point{z.A, z.B}, Ref: "neither dig nor fill"})
	}
	if len(r.Zero) > 0 {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.LineA, Says: "neither dig nor fill"})
	}
	return p
}

// labelShare is the share of the largest cell below which a sliver along the edge goes without a number.
const labelShare = 0.4

func largest(cells []Cell) quantity.Area {
	most := quantity.Area(0)
	for _, c := range cells {
		most = max(most, c.Area)
	}
	return most
}

func signedWords(sign, depth string) string {
	if depth == "0" {
		return depth
	}
	return sign + depth
}

// cellWords is a depth to the inch, or to 10 mm: what a shovel can hold.
func cellWords(d quantity.Length, in Input) string {
	if in.Units == quantity.Metric {
		return fmt.Sprintf("%.0f", math.Round(d.Millimetres()/10)*10)
	}
	return fmt.Sprintf("%.0f", math.Round(d.Inches()))
}

func cellUnit(in Input) string {
	if in.Units == quantity.Metric {
		return "mm"
	}
	return "in"
}

func digTitle(in Input, r Result) string {
	cut, fill := quantity.Show(r.Cut, quantity.AsVolume).String(in.Units), quantity.Show(r.Fill, quantity.AsVolume).String(in.Units)
	if r.Fill < quantity.CubicYards(0.005) {
		return fmt.Sprintf("Dig %s, no fill", cut)
	}
	return fmt.Sprintf("Dig %s and fill %s", cut, fill)
}

func digTable(in Input, r Result) drawing.Table {
	volume := func(v quantity.Volume) string { return quantity.Show(v, quantity.AsVolume).String(in.Units) }
	t := drawing.Table{Header: []string{"what", "how much"}, Rows: [][]string{
		{"dig, as it lies", volume(r.Cut)}, {"fill, compacted", volume(r.Fill)}, {"spoil to haul, loose", volume(r.Loose)}, {"truck loads", fmt.Sprint(r.HaulLoads)},
		{"spoil left, loose", volume(r.Left)}, {"stone bed, compacted", volume(r.BaseVolume)}, {"stone to order", quantity.Show(r.BaseMass, quantity.AsTons).String(in.Units)}, {"lifts", fmt.Sprint(r.Lifts)},
	}}
	for _, h := range r.ByHand {
		t.Rows = append(t.Rows, []string{"of the dig by hand, near " + h.Name, volume(h.Volume)})
	}
	for _, c := range r.Corners {
		t.Rows = append(t.Rows, []string{"at corner " + c.Name, digOrFill(c.Depth, in)})
	}
	return t
}
