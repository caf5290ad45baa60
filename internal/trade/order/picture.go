package order

import (
	"fmt"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// Measures of the chart on paper, millimetres.
const (
	chartWidth = 180.0
	rowHeight  = 15.0
	barHeight  = 5.0
	gapHeight  = 1.5
	labelRoom  = 34.0
	mostRows   = 11
)

// Picture draws the truck timeline: when to call, where the wait is.
func Picture(in Input, r Result) []drawing.Picture {
	if len(r.Loads) == 0 {
		return nil
	}
	return []drawing.Picture{timeline(in, r)}
}

// clockwork turns times into places on the chart and into words.
type clockwork struct {
	in         Input
	begin, end quantity.Time
}

func (c clockwork) x(t quantity.Time) float64 {
	return labelRoom + (chartWidth-labelRoom)*float64((t-c.begin)/(c.end-c.begin))
}

// says reads a time as clock where the first truck has one, else as minutes from its arrival.
func (c clockwork) says(t quantity.Time) string {
	minutes := int(math.Round(t.Minutes()))
	if !c.in.Start.Given() {
		return fmt.Sprintf("%+d min", minutes)
	}
	day := 24 * 60
	return quantity.Clock(((int(c.in.Start.Value)+minutes)%day + day) % day).Spoken(c.in.locale())
}

func timeline(in Input, r Result) drawing.Picture {
	shown := r.Loads[:min(len(r.Loads), mostRows)]
	c := clockwork{in: in, begin: shown[0].Batched, end: shown[0].Home}
	for _, l := range shown {
		c.begin, c.end = min(c.begin, l.Batched), max(c.end, l.Home)
	}
	p := drawing.Picture{Name: "truck-timeline", Title: finding(in, r), Space: drawing.Paper, Table: timeTable(c, r.Loads)}
	p.Says = fmt.Sprintf("%s. First truck on site %s, last concrete out %s.", p.Title, c.says(0), c.says(r.Loads[len(r.Loads)-1].Ends))
	bottom := -rowHeight * float64(len(shown))
	p.Marks = append(p.Marks, axis(c, bottom)...)
	for i, l := range shown {
		p.Marks = append(p.Marks, row(c, in, l, -rowHeight*(float64(i)+0.5))...)
	}
	if len(shown) < len(r.Loads) {
		p.Marks = append(p.Marks, drawing.Text{Layer: draft.Letters, At: drawing.Point{X: labelRoom, Y: bottom - 9}, Anchor: drawing.Left, Height: draft.NoteHeight,
			Says: fmt.Sprintf("%d more loads, at the same spacing; all are in the table", len(r.Loads)-len(shown))})
	}
	p.Legend = []drawing.LegendRow{{Layer: draft.Axis, Says: "loading, wash-down"}, {Layer: draft.LineB, Says: "travel, set-up"}, {Layer: draft.Danger, Says: "truck or crew waits"},
		{Layer: draft.Band, Says: "unloading"}, {Layer: draft.LineA, Says: "time limit of the load"}}
	return p
}

// finding says what the picture shows.
func finding(in Input, r Result) string {
	if len(r.Loads) == 1 {
		return fmt.Sprintf("One load, placed in %.0f min", math.Round((r.Loads[0].Ends - r.Loads[0].Starts).Minutes()))
	}
	wide := most(r.Loads, func(l Load) quantity.Time { return l.Gap })
	idle := most(r.Loads, func(l Load) quantity.Time { return l.Wait })
	old := most(r.Loads, func(l Load) quantity.Time { return l.Age })
	head := fmt.Sprintf("%d loads, %.0f min apart", len(r.Loads), math.Round(r.Spacing.Minutes()))
	switch {
	case old.Age > in.TimeLimit.Value:
		return fmt.Sprintf("%s: load %d passes its time limit by %.0f min", head, old.Number, math.Ceil((old.Age - in.TimeLimit.Value).Minutes()))
	case wide.Gap > gapLimitWarm:
		return fmt.Sprintf("%s: the crew waits %.0f min before load %d", head, math.Round(wide.Gap.Minutes()), wide.Number)
	case idle.Wait > gapLimitWarm:
		return fmt.Sprintf("%s: truck with load %d waits %.0f min", head, idle.Number, math.Round(idle.Wait.Minutes()))
	}
	return head + ": no long wait"
}

func axis(c clockwork, bottom float64) []drawing.Mark {
	marks := []drawing.Mark{drawing.Path{Layer: draft.Axis, Points: []drawing.Point{{X: labelRoom, Y: bottom}, {X: chartWidth, Y: bottom}}, Ref: "clock"}}
	tick := tickOf(c.end - c.begin)
	for t := quantity.Time(math.Ceil(float64(c.begin/tick))) * tick; t <= c.end; t += tick {
		x := c.x(t)
		marks = append(marks,
			drawing.Path{Layer: draft.GridLine, Points: []drawing.Point{{X: x, Y: 0}, {X: x, Y: bottom}}},
			drawing.Text{Layer: draft.Letters, At: drawing.Point{X: x, Y: bottom - 1.5}, Says: c.says(t), Height: draft.NoteHeight, Anchor: drawing.Below})
	}
	return marks
}

// tickOf spaces the clock so that at most eight times are lettered.
func tickOf(span quantity.Time) quantity.Time {
	for _, minutes := range []float64{15, 30, 60, 120, 240} {
		if span.Minutes()/minutes <= 8 {
			return quantity.Minutes(minutes)
		}
	}
	return quantity.Time(math.Ceil(float64(span)/8/3600)) * 3600
}

// row draws one load: loading, travel and set-up, waiting, unloading, wash-down, travel, each with its first word; the mark of
// its time limit; and the crew's wait before it.
func row(c clockwork, in Input, l Load, y float64) []drawing.Mark {
	ref := fmt.Sprintf("load %d", l.Number)
	ready := l.Starts - l.Wait
	marks := []drawing.Mark{
		drawing.Text{Layer: draft.Letters, At: drawing.Point{X: 0, Y: y}, Says: fmt.Sprintf("Load %d, %s", l.Number, WriteAmount(l.Volume, in.Units)), Height: draft.NoteHeight, Anchor: drawing.Left, Ref: ref},
		bar(c, draft.Axis, l.Batched, l.Leaves, y, ref), over(c, l.Batched, l.Leaves, y, "load", ref),
		travel(c, l.Leaves, ready, y, ref), over(c, l.Leaves, ready, y, "travel", ref),
		bar(c, draft.Band, l.Starts, l.Ends, y, ref),
		drawing.Text{Layer: draft.Letters, At: drawing.Point{X: (c.x(l.Starts) + c.x(l.Ends)) / 2, Y: y}, Says: "unload", Height: draft.NoteHeight, Anchor: drawing.Middle, Boxed: true, Ref: ref},
		bar(c, draft.Axis, l.Ends, l.Washed, y, ref), over(c, l.Ends, l.Washed, y, "wash", ref),
		travel(c, l.Washed, l.Home, y, ref),
	}
	if l.Wait > shortest {
		marks = append(marks, bar(c, draft.Danger, ready, l.Starts, y, ref), under(c, ready, l.Starts, y, fmt.Sprintf("truck waits %.0f min", math.Round(l.Wait.Minutes())), ref))
	}
	if l.Gap > shortest {
		strip := y - barHeight/2 - gapHeight
		marks = append(marks, block(c, draft.Danger, l.Starts-l.Gap, l.Starts, strip, gapHeight, ref), lettered(c, l.Starts-l.Gap, l.Starts, strip-gapHeight, fmt.Sprintf("crew waits %.0f min", math.Round(l.Gap.Minutes())), drawing.Below, ref))
	}
	if limit := l.Batched + in.TimeLimit.Value; limit <= c.end {
		x := c.x(limit)
		marks = append(marks, drawing.Path{Layer: draft.LineA, Points: []drawing.Point{{X: x, Y: y - barHeight*0.7}, {X: x, Y: y + barHeight*0.7}}, Ref: ref + " time limit"})
	}
	return marks
}

// shortest is the wait too short to draw.
const shortest quantity.Time = 60

func over(c clockwork, from, to quantity.Time, y float64, word, ref string) drawing.Text {
	return lettered(c, from, to, y+barHeight/2+0.8, word, drawing.Above, ref)
}

func under(c clockwork, from, to quantity.Time, y float64, word, ref string) drawing.Text {
	return lettered(c, from, to, y-barHeight/2-0.8, word, drawing.Below, ref)
}

func lettered(c clockwork, from, to quantity.Time, y float64, word string, anchor drawing.Anchor, ref string) drawing.Text {
	return drawing.Text{Layer: draft.Letters, At: drawing.Point{X: (c.x(from) + c.x(to)) / 2, Y: y}, Says: word, Height: draft.NoteHeight, Anchor: anchor, Ref: ref}
}

func bar(c clockwork, layer drawing.Layer, from, to quantity.Time, y float64, ref string) drawing.Path {
	return block(c, layer, from, to, y, barHeight, ref)
}

// block is a bar of a height around y.
func block(c clockwork, layer drawing.Layer, from, to quantity.Time, y, height float64, ref string) drawing.Path {
	low, high := y-height/2, y+height/2
	return drawing.Path{Layer: layer, Closed: true, Ref: ref,
		Points: []drawing.Point{{X: c.x(from), Y: low}, {X: c.x(to), Y: low}, {X: c.x(to), Y: high}, {X: c.x(from), Y: high}}}
}

func travel(c clockwork, from, to quantity.Time, y float64, ref string) drawing.Path {
	return drawing.Path{Layer: draft.LineB, Points: []drawing.Point{{X: c.x(from), Y: y}, {X: c.x(to), Y: y}}, Ref: ref}
}

func timeTable(c clockwork, loads []Load) drawing.Table {
	t := drawing.Table{Header: []string{"load", "amount", "truck", "loaded from", "on site", "unloads", "done", "truck waits", "crew waits", "age at the end"}}
	for _, l := range loads {
		minutes := func(m quantity.Time) string { return fmt.Sprintf("%.0f min", math.Round(m.Minutes())) }
		t.Rows = append(t.Rows, []string{fmt.Sprint(l.Number), WriteAmount(l.Volume, c.in.Units), fmt.Sprint(l.Truck), c.says(l.Batched), c.says(l.Arrives),
			c.says(l.Starts), c.says(l.Ends), minutes(l.Wait), minutes(l.Gap), minutes(l.Age)})
	}
	return t
}
