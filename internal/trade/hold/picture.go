package hold

import (
	"fmt"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// Picture draws where the slab is in tension and how it sinks in the worst case, in contours and in five fills, and what the
// vehicle does wherever it stands.
func Picture(in Input, r Result) []drawing.Picture {
	stress := theme{name: "hold-stress", grid: r.Stress, title: stressTitle(in, r), unit: "share of what is allowed",
		write: func(v float64) string { return percentWhole(v / float64(r.Worst.Limit)) }, top: float64(r.Worst.Limit),
		worst: stressWords(r.Worst.Stress, in.Units) + ", " + percent(r.Utilisation)}
	sink := theme{name: "hold-sink", grid: r.Sink, title: "The slab sinks most " + sinkWords(r.Sink.Worst, in.Units), unit: "sink",
		write: func(v float64) string { return sinkWords(v, in.Units) }, top: r.Sink.Worst, worst: sinkWords(r.Sink.Worst, in.Units)}
	out := []drawing.Picture{stress.contours(in, r), stress.fills(in, r), sink.contours(in, r), changesChart(r), ladderChart(in, r)}
	if len(r.Influence) > 0 {
		out = append(out, influencePicture(in, r))
	}
	return out
}

func stressTitle(in Input, r Result) string {
	return fmt.Sprintf("%s: %s uses %s", show(in.Thickness.Value, in.Units), r.Worst.Says, percent(r.Utilisation))
}

func stressWords(s quantity.Stress, units quantity.System) string {
	return quantity.Show(s, quantity.AsStress).String(units)
}

func sinkWords(v float64, units quantity.System) string {
	return quantity.Plain(v, quantity.AsDeflection).String(units)
}

func percentWhole(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }

// theme is a quantity as a map shows it.
type theme struct {
	name, title, unit, worst string
	grid                     Map
	write                    func(float64) string
	top                      float64 // the value of the last line: what is allowed, or the most there is
}

// shares of the top at which lines are drawn; fills change at the same.
var shares = []float64{0.2, 0.4, 0.6, 0.8, 1}

// base is the slab's panels with joints and prints.
func (t theme) base(in Input, r Result) drawing.Picture {
	p := drawing.Picture{Name: t.name, Space: drawing.Site, Title: t.title,
		Says:  fmt.Sprintf("%s. Worst at panel %d, %s face, with %s.", t.title, r.Worst.Panel, r.Worst.Face, t.worst),
		Table: drawing.Table{Header: []string{"case", "panel", "face", "tension", "allowed", "share used"}}}
	for _, c := range r.Cases {
		p.Table.Rows = append(p.Table.Rows, []string{c.Says, fmt.Sprint(c.Panel), c.Face, stressWords(c.Stress, in.Units), stressWords(c.Limit, in.Units), percent(c.Utilisation)})
	}
	return p
}

func outlines(in Input, r Result) (marks []drawing.Mark) {
	for _, panel := range in.Panels {
		marks = append(marks, draft.Outline(draft.SlabEdge, panel.Outline, fmt.Sprintf("panel %d", panel.Number)))
	}
	return append(marks, prints(in, r)...)
}

// prints are the contacts of the worst case to size.
func prints(in Input, r Result) (marks []drawing.Mark) {
	for _, p := range in.Prints {
		if p.Post != r.Worst.Posts {
			continue
		}
		at := geometry.Point{X: -p.At.X, Y: p.At.Y}.Rotate(geometry.Point{}, r.Worst.Heading).Add(r.Worst.Vehicle)
		var ring []geometry.Point
		for _, q := range box(at, p.Along.Metres(), p.Wide.Metres()) {
			ring = append(ring, q.Rotate(at, r.Worst.Heading))
		}
		if !covers(in, at) {
			continue
		}
		marks = append(marks, drawing.Path{Layer: draft.Vehicle, Points: ring, Closed: true, Ref: p.Name})
	}
	return marks
}

func covers(in Input, at geometry.Point) bool {
	for _, panel := range in.Panels {
		if panel.Outline.Contains(at) {
			return true
		}
	}
	return false
}

func box(at geometry.Point, along, wide float64) []geometry.Point {
	x, y := along/2, wide/2
	return []geometry.Point{{X: at.X - x, Y: at.Y - y}, {X: at.X + x, Y: at.Y - y}, {X: at.X + x, Y: at.Y + y}, {X: at.X - x, Y: at.Y + y}}
}

func (t theme) contours(in Input, r Result) drawing.Picture {
	p := t.base(in, r)
	p.Legend = []drawing.LegendRow{{Layer: draft.Contour, Says: t.unit}, {Layer: draft.SlabEdge, Says: "edges and joints"}, {Layer: draft.Vehicle, Says: "prints, to size"}}
	p.Marks = append(outlines(in, r), t.lines(in, draft.Contour)...)
	p.Marks = append(p.Marks, t.pin()...)
	return p
}

// pin boxes the worst place.
func (t theme) pin() []drawing.Mark {
	return []drawing.Mark{
		drawing.Symbol{Layer: draft.Danger, At: t.grid.At, Shape: drawing.Octagon, Size: 4, Ref: "worst"},
		drawing.Text{Layer: draft.Letters, At: t.grid.At, Says: t.worst, Height: draft.LabelHeight, Anchor: drawing.Above, Bold: true, Boxed: true, Ref: "worst"},
	}
}

// lines are the contours with one label on each level's longest line in a panel.
func (t theme) lines(in Input, layer drawing.Layer) (marks []drawing.Mark) {
	for k, g := range t.grid.Panels {
		high := in.Panels[k].Outline.Bounds().Max
		for _, share := range shares {
			var longest []geometry.Point
			for _, line := range chains(g.contour(share*t.top, high)) {
				marks = append(marks, drawing.Path{Layer: layer, Points: line, Ref: t.write(share * t.top)})
				if geometry.PathLength(line) > geometry.PathLength(longest) {
					longest = line
				}
			}
			if geometry.PathLength(longest) > labelled {
				marks = append(marks, drawing.Text{Layer: draft.Letters, At: longest[len(longest)/2], Says: t.write(share * t.top), Height: draft.NoteHeight, Anchor: drawing.Middle, Boxed: true, Ref: "contour"})
			}
		}
	}
	return marks
}

// labelled is the length from which a contour carries its value, m.
const labelled = 0.8

// fills are the squares of the map in five steps, joined along each row.
func (t theme) fills(in Input, r Result) drawing.Picture {
	p := t.base(in, r)
	p.Name += "-colour"
	for i, layer := range draft.Steps {
		from := 0.0
		if i > 0 {
			from = shares[i-1]
		}
		says := t.write(from*t.top) + " to " + t.write(shares[i]*t.top)
		if i == len(draft.Steps)-1 {
			says = t.write(from*t.top) + " and more"
		}
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: layer, Says: says})
	}
	for k, g := range t.grid.Panels {
		for j := range g.Rows - 1 {
			p.Marks = append(p.Marks, t.row(g, j, in.Panels[k].Outline)...)
		}
	}
	p.Marks = append(append(p.Marks, outlines(in, r)...), t.pin()...)
	return p
}

// row are the fills of one row of squares. Squares that the panel only partly covers are cut to it.
func (t theme) row(g Grid, j int, panel geometry.Polygon) (marks []drawing.Mark) {
	high := panel.Bounds().Max
	for i := 0; i < g.Columns-1; {
		b, whole := t.step(g, i, j)
		from := i
		for i++; i < g.Columns-1; i++ {
			if next, also := t.step(g, i, j); next != b || !whole || !also {
				break
			}
		}
		if b < 0 {
			continue
		}
		low, far := g.place(from, j, high), g.place(i, j+1, high)
		square := geometry.Polygon{Outer: []geometry.Point{low, {X: far.X, Y: low.Y}, far, {X: low.X, Y: far.Y}}}
		pieces := []geometry.Polygon{square}
		if !whole {
			pieces, _ = square.Intersection(panel) // on an error nothing is drawn there
		}
		for _, piece := range pieces {
			marks = append(marks, draft.Outline(draft.Steps[b], piece, "map"))
		}
	}
	return marks
}

// step is which fill a square gets by the mean of its corners on the panel, -1 for none, and whether all are on it.
func (t theme) step(g Grid, i, j int) (step int, whole bool) {
	sum, n := 0.0, 0.0
	for _, c := range [][2]int{{i, j}, {i + 1, j}, {i, j + 1}, {i + 1, j + 1}} {
		if v, ok := g.value(c[0], c[1]); ok {
			sum, n = sum+v, n+1
		}
	}
	if n == 0 {
		return -1, false
	}
	return min(max(int(math.Floor(sum/n/t.top*float64(len(shares)))), 0), len(shares)-1), n == 4
}

// influencePicture marks each place of the load by what it uses there.
func influencePicture(in Input, r Result) drawing.Picture {
	over := 0
	for _, i := range r.Influence {
		if i.Utilisation > 1 {
			over++
		}
	}
	p := drawing.Picture{Name: "hold-influence", Space: drawing.Site, Title: fmt.Sprintf("%d of %d places of the load are over what is allowed", over, len(r.Influence)),
		Table: drawing.Table{Header: []string{"way", "places", "worst share used"}}}
	p.Says = p.Title + ", on the first mesh. Each mark is the middle of the prints on the slab."
	for _, panel := range in.Panels {
		p.Marks = append(p.Marks, draft.Outline(draft.SlabEdge, panel.Outline, fmt.Sprintf("panel %d", panel.Number)))
	}
	for _, kind := range order {
		count, worst := 0, 0.0
		for _, i := range r.Influence {
			if i.Case == kind {
				count, worst = count+1, math.Max(worst, i.Utilisation)
			}
		}
		if count > 0 {
			p.Table.Rows = append(p.Table.Rows, []string{kindSays[kind], fmt.Sprint(count), percent(worst)})
		}
	}
	for _, grade := range grades {
		before := len(p.Marks)
		for _, i := range r.Influence {
			if i.Utilisation > grade.over && i.Utilisation <= grade.upTo {
				p.Marks = append(p.Marks, drawing.Symbol{Layer: grade.layer, At: i.At, Shape: grade.shape, Size: 1.5, Ref: i.Case})
			}
		}
		if len(p.Marks) > before {
			p.Legend = append(p.Legend, drawing.LegendRow{Layer: grade.layer, Says: grade.says})
		}
	}
	return p
}

// grades are how places are marked.
var grades = []struct {
	over, upTo float64
	layer      drawing.Layer
	shape      drawing.Shape
	says       string
}{
	{math.Inf(-1), 0.7, draft.LineA, drawing.Dot, "up to 70 %"},
	{0.7, 1, draft.LineB, drawing.Triangle, "70 to 100 %"},
	{1, math.Inf(1), draft.LineC, drawing.Octagon, "over 100 %"},
}

// The chart's frame on paper, mm: bars from the left.
const (
	barLeft, barHigh, barGap = 75.0, 6.0, 3.0
	barFull                  = 80.0 // 100 %
	barMost                  = 1.6  // longest, as a share of full
)

// changesChart compares the slab as it is with what could be built otherwise.
func changesChart(r Result) drawing.Picture {
	rows := append([]Change{{Name: "as it is", Says: "as it is", Utilisation: r.Utilisation}}, r.Changes...)
	return barChart("hold-changes", "What buys most: "+buysMost(r), "built", rows)
}

// ladderChart is the share of what is allowed at every thickness that could be built, and what closed forms say.
func ladderChart(in Input, r Result) drawing.Picture {
	var rows []Change
	for _, rung := range r.Ladder {
		says := show(rung.Thickness, in.Units)
		if same(rung.Thickness, in.Thickness.Value) {
			says += ", as planned"
		}
		rows = append(rows, Change{Name: says, Says: says, Utilisation: rung.Utilisation})
	}
	p := barChart("hold-thickness", ladderTitle(in, r), "thickness", rows)
	p.Table.Header = append(p.Table.Header, "by closed forms")
	marked := false
	for i, rung := range r.Ladder {
		closed := ""
		if rung.Closed > 0 {
			marked, closed = true, percent(rung.Closed)
			at := geometry.Point{X: barLeft + barFull*math.Min(rung.Closed, barMost), Y: barY(len(rows), i) + barHigh/2}
			p.Marks = append(p.Marks, drawing.Symbol{Layer: draft.LineB, At: at, Shape: drawing.Triangle, Size: 3, Ref: "closed forms"})
		}
		p.Table.Rows[i] = append(p.Table.Rows[i], closed)
	}
	if marked {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.LineB, Says: "by closed forms, to compare"})
	}
	return p
}

func ladderTitle(in Input, r Result) string {
	if r.Thinnest == 0 {
		return "None of these thicknesses holds on the real panels"
	}
	return show(r.Thinnest, in.Units) + " is the thinnest of these that holds on the real panels"
}

// barY is the foot of the i-th of n bars, from the top.
func barY(n, i int) float64 { return float64(n-i-1) * (barHigh + barGap) }

// barChart draws shares of what is allowed as bars.
func barChart(name, title, head string, rows []Change) drawing.Picture {
	p := drawing.Picture{Name: name, Space: drawing.Paper, Title: title, Says: title + ".",
		Legend: []drawing.LegendRow{{Layer: draft.Band, Says: "worst share of what is allowed"}, {Layer: draft.LineC, Says: "all of it"}},
		Table:  drawing.Table{Header: []string{head, "share used"}}}
	for i, c := range rows {
		y := barY(len(rows), i)
		wide := barFull * math.Min(c.Utilisation, barMost)
		p.Marks = append(p.Marks,
			drawing.Path{Layer: draft.Band, Closed: true, Ref: c.Name, Points: []geometry.Point{{X: barLeft, Y: y}, {X: barLeft + wide, Y: y}, {X: barLeft + wide, Y: y + barHigh}, {X: barLeft, Y: y + barHigh}}},
			drawing.Text{Layer: draft.Letters, At: geometry.Point{X: barLeft - 2, Y: y + barHigh/2}, Says: c.Says, Height: draft.NoteHeight, Anchor: drawing.Right, Ref: c.Name},
			drawing.Text{Layer: draft.Letters, At: geometry.Point{X: barLeft + wide + 2, Y: y + barHigh/2}, Says: percent(c.Utilisation), Height: draft.NoteHeight, Anchor: drawing.Left, Boxed: true, Ref: c.Name})
		p.Table.Rows = append(p.Table.Rows, []string{c.Says, percent(c.Utilisation)})
	}
	p.Marks = append(p.Marks, drawing.Path{Layer: draft.LineC, Ref: "limit", Points: []geometry.Point{{X: barLeft + barFull, Y: -barGap}, {X: barLeft + barFull, Y: barY(len(rows), -1)}}})
	return p
}

// buysMost is the change after which the worst case uses least.
func buysMost(r Result) string {
	if len(r.Changes) == 0 || r.Changes[0].Utilisation >= r.Utilisation {
		return "nothing that was looked at helps"
	}
	best := r.Changes[0]
	return fmt.Sprintf("%s, from %s to %s", best.Says, percent(r.Utilisation), percent(best.Utilisation))
}
