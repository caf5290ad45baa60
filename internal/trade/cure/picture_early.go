package cure

import (
	"fmt"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// The colour steps of the heat, °C: from which temperature each of the last four begins.
var heatSteps = [4]float64{5, 13, 20, 30}

// heatPicture draws temperature through depth over time: a cell for every depth and three hours, warm dark, with the air in its own
// row; the title tells the coldest and warmest concrete.
func (j job) heatPicture(r Result) (drawing.Picture, bool) {
	const every = 3
	if len(r.Heat) < 2*every {
		return drawing.Picture{}, false
	}
	depths := j.profileDepths()
	p := drawing.Picture{Name: "heat-by-depth", Space: drawing.Paper, Table: drawing.Table{Header: j.heatHeader(depths)}}
	low, high, lowAt, highAt := math.Inf(1), math.Inf(-1), 0.0, 0.0
	columns := len(r.Heat) / every
	width, height := chartWidth/float64(columns), chartHeight/float64(len(depths)+1)
	for i := range columns {
		row := r.Heat[i*every+every-1]
		x := chartLeft + width*float64(i)
		p.Marks = append(p.Marks, heatCell(row.Air, x, chartBottom+height*float64(len(depths)), width, height))
		words := []string{j.dateWords(row.Age.Hours(), false), j.show(quantity.Show(row.Air, quantity.AsTemp))}
		for k, t := range row.Temps {
			p.Marks = append(p.Marks, heatCell(t, x, chartBottom+height*float64(len(depths)-1-k), width, height))
			words = append(words, j.show(quantity.Show(t, quantity.AsTemp)))
			if v := t.Celsius(); k < slabDepths {
				if v < low {
					low, lowAt = v, row.Age.Hours()
				}
				if v > high {
					high, highAt = v, row.Age.Hours()
				}
			}
		}
		p.Table.Rows = append(p.Table.Rows, words)
		if i%4 == 3 {
			p.Marks = append(p.Marks, note(x+width, chartBottom-1.5, j.dayWordsAt(row.Age.Hours()), drawing.Below))
		}
	}
	for k := range depths {
		p.Marks = append(p.Marks, note(chartLeft-1.5, chartBottom+height*(float64(len(depths)-k)-0.5), j.depthWords(depths[k]), drawing.Right))
	}
	p.Marks = append(p.Marks, note(chartLeft-1.5, chartBottom+height*(float64(len(depths))+0.5), "air", drawing.Right))
	under := chartBottom + height*float64(len(depths)-slabDepths)
	p.Marks = append(p.Marks, drawing.Path{Layer: draft.SlabEdge, Ref: "underside of the slab", Points: []drawing.Point{{X: chartLeft, Y: under}, {X: chartLeft + chartWidth, Y: under}}})
	temp := func(t float64) string { return j.show(quantity.Plain(t, quantity.AsTemp)) }
	p.Title = fmt.Sprintf("Concrete between %s (%s) and %s (%s)", temp(low), j.dateWords(lowAt, false), temp(high), j.dateWords(highAt, false))
	p.Says = p.Title + ". Each row is a depth, the top row the air; dark is warm."
	p.Legend = heatLegend(temp)
	return p, true
}

// slabDepths of the profile's depths are in the concrete, its underside too.
const slabDepths = 5

func heatCell(t quantity.Temp, x, y, width, height float64) drawing.Path {
	step := 0
	for step < len(heatSteps) && t.Celsius() >= heatSteps[step] {
		step++
	}
	return drawing.Path{Layer: draft.Steps[step], Closed: true, Points: []drawing.Point{{X: x, Y: y}, {X: x + width, Y: y}, {X: x + width, Y: y + height}, {X: x, Y: y + height}}}
}

func heatLegend(temp func(float64) string) []drawing.LegendRow {
	rows := []drawing.LegendRow{{Layer: draft.Steps[0], Says: "under " + temp(heatSteps[0])}}
	for i, t := range heatSteps {
		says := "from " + temp(t)
		if i+1 < len(heatSteps) {
			says += " to " + temp(heatSteps[i+1])
		}
		rows = append(rows, drawing.LegendRow{Layer: draft.Steps[i+1], Says: says})
	}
	return rows
}

func (j job) depthWords(depth float64) string {
	if depth == 0 {
		return "surface"
	}
	return j.show(quantity.Plain(depth, quantity.AsThickness))
}

func (j job) heatHeader(depths []float64) []string {
	header := []string{"when", "air"}
	for _, d := range depths {
		header = append(header, j.depthWords(d))
	}
	return header
}

// dayWordsAt is an age as a short day and hour.
func (j job) dayWordsAt(hour float64) string {
	if !j.dated {
		return fmt.Sprintf("%.0f h", hour)
	}
	if j.in.Units == quantity.Metric {
		return j.at(hour).Format("Mon 15h")
	}
	return j.at(hour).Format("Mon 3 pm")
}

// The crack index is shown up to this value.
const topIndex = 1.2

// indexPicture draws how near the slab, uncut, and its worst panel come to cracking, day by day, with the sawing times.
func (j job) indexPicture(r Result) (drawing.Picture, bool) {
	if len(r.Index) < 2 {
		return drawing.Picture{}, false
	}
	worst := j.worstPanel(r)
	last := r.Index[len(r.Index)-1].Age.Days()
	x := func(age quantity.Time) float64 { return chartLeft + chartWidth*math.Sqrt(age.Days()/last) }
	y := func(index float64) float64 { return chartBottom + chartHeight*math.Min(1, index/topIndex) }
	p := drawing.Picture{Name: "crack-index", Space: drawing.Paper, Table: drawing.Table{Header: []string{"age", "slab uncut", "worst panel"}}}
	p.Title = fmt.Sprintf("Cut in time, %s comes to %.0f %% of its strength; saw by %s", worst.Name, 100*worst.Index, j.untilWords(r.Saw.Until.Hours()))
	p.Says = p.Title + ". Early days are drawn wider than late ones."
	var whole, panel []drawing.Point
	shown := -1.0
	for _, i := range r.Index {
		whole, panel = append(whole, drawing.Point{X: x(i.Age), Y: y(i.Whole)}), append(panel, drawing.Point{X: x(i.Age), Y: y(i.Panel)})
		if h := i.Age.Hours(); h >= shown+6 || h > hourly && h >= shown+24 {
			p.Table.Rows = append(p.Table.Rows, []string{j.dateWords(h, false), fmt.Sprintf("%.2f", i.Whole), fmt.Sprintf("%.2f", i.Panel)})
			shown = h
		}
	}
	p.Marks = append(p.Marks, drawing.Path{Layer: draft.LineA, Points: whole, Ref: "slab uncut"}, drawing.Path{Layer: draft.LineB, Points: panel, Ref: worst.Name})
	p.Marks = append(p.Marks, j.indexAxes(x, y, last)...)
	p.Marks = append(p.Marks, j.sawMarks(r.Saw, x)...)
	p.Legend = []drawing.LegendRow{{Layer: draft.LineA, Says: "slab uncut"}, {Layer: draft.LineB, Says: worst.Name + ", cut in time"}, {Layer: draft.LineC, Says: "saw soon, late, a crack is expected"}}
	return p, true
}

func (j job) indexAxes(x func(quantity.Time) float64, y func(float64) float64, last float64) []drawing.Mark {
	right := chartLeft + chartWidth
	marks := []drawing.Mark{drawing.Path{Layer: draft.Axis, Closed: true, Ref: "chart", Points: []drawing.Point{
		{X: chartLeft, Y: chartBottom}, {X: right, Y: chartBottom}, {X: right, Y: chartBottom + chartHeight}, {X: chartLeft, Y: chartBottom + chartHeight}}}}
	for _, level := range []struct {
		index float64
		says  string
	}{{soonIndex, "saw soon"}, {LateIndex, "late"}, {crackIndex, "a crack is expected"}} {
		label := note(right-1, y(level.index)+2.5, level.says, drawing.Right)
		label.Boxed = true
		marks = append(marks, drawing.Path{Layer: draft.LineC, Ref: level.says, Points: []drawing.Point{{X: chartLeft, Y: y(level.index)}, {X: right, Y: y(level.index)}}}, label)
	}
	for v := 0.0; v <= topIndex; v += 0.2 {
		marks = append(marks, note(chartLeft-1.5, y(v), fmt.Sprintf("%.0f %%", 100*v), drawing.Right))
	}
	for _, day := range []float64{1, 3, 7, 14, 28} {
		if day <= last {
			at := x(quantity.Days(day))
			marks = append(marks, drawing.Path{Layer: draft.GridLine, Points: []drawing.Point{{X: at, Y: chartBottom}, {X: at, Y: chartBottom + chartHeight}}}, note(at, chartBottom-1.5, j.dayWords(day), drawing.Below))
		}
	}
	return marks
}

// sawMarks are the bands of time for the two saws.
func (j job) sawMarks(s SawWindows, x func(quantity.Time) float64) []drawing.Mark {
	band := func(y float64, from, until quantity.Time, says string) []drawing.Mark {
		if until <= from {
			return nil
		}
		a, b := x(from), x(until)
		text := note(b+1.5, y+2, says, drawing.Left)
		text.Boxed = true
		return []drawing.Mark{drawing.Path{Layer: draft.Band, Closed: true, Ref: says, Points: []drawing.Point{{X: a, Y: y}, {X: b, Y: y}, {X: b, Y: y + 4}, {X: a, Y: y + 4}}}, text}
	}
	top := chartBottom + chartHeight
	return append(band(top-8, s.EarlyFrom, s.EarlyUntil, "early-entry saw"), band(top-15, s.From, s.Until, "saw")...)
}

// cylinderDots are the cylinders at the age at which the slab, usual side, is as old as they were.
func (c chart) cylinderDots() []drawing.Mark {
	var marks []drawing.Mark
	for i, cylinder := range c.in.Cylinders {
		age := c.ageWhen(middle, 0, func(te float64) bool { return te >= cylinder.Age.Days() })
		if math.IsInf(age, 1) || age/24 > c.days {
			continue
		}
		marks = append(marks, drawing.Symbol{Layer: draft.Letters, At: drawing.Point{X: c.x(age / 24), Y: c.y(cylinder.Strength)}, Shape: drawing.Dot, Size: 2.5, Ref: fmt.Sprintf("cylinder %d", i+1)})
	}
	return marks
}

// readingMark shows until when the slab's temperature was read.
func (c chart) readingMark() []drawing.Mark {
	if c.readUntil.IsZero() {
		return nil
	}
	days := c.readUntil.Sub(c.poured).Hours() / 24
	if days <= 0 || days > c.days {
		return nil
	}
	x := c.x(days)
	return []drawing.Mark{drawing.Path{Layer: draft.LineC, Ref: "read until here", Points: []drawing.Point{{X: chartLeft, Y: chartBottom + 4.5}, {X: x, Y: chartBottom + 4.5}}},
		note(x+1, chartBottom+4.5, "temperatures read", drawing.Left)}
}
