package pour

import (
	"fmt"
	"math"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/draft"
)

// The day strip on paper, millimetres: the chart's corner and size, and the rows under it.
const (
	stripLeft, stripBottom  = 22.0, 71.0
	stripWidth, stripHeight = 220.0, 72.0
	rowHeight               = 9.0
	dayFrom, dayTo          = 4, 22 // clock hours shown
)

// Picture draws the day strip: evaporation against bleeding over the clock, the work in bands below it, and a verdict mark
// for every start hour; the finishing board where the day was played; the year where there is a record of one.
func Picture(in Input, r Result) []drawing.Picture {
	j, faults := prepare(in)
	if len(faults) > 0 {
		return nil
	}
	var list []drawing.Picture
	if r.Chosen.Level != check.NotComputed && j.timed() {
		list = append(list, j.stripPicture(r))
	}
	if r.Rehearsal != nil {
		list = append(list, j.boardPicture(*r.Rehearsal))
	}
	if r.Year != nil {
		list = append(list, j.yearPicture(r.Year))
	}
	return list
}

func (j job) stripPicture(r Result) drawing.Picture {
	p := drawing.Picture{Name: "day-strip", Space: drawing.Paper, Title: j.title(r), Table: j.startTable(r)}
	p.Says = p.Title + "."
	for _, c := range r.Chosen.Checks {
		if c.Level == r.Chosen.Level {
			p.Says += " " + c.Says
			break
		}
	}
	s := j.newStrip(r)
	p.Marks = append(p.Marks, s.axes()...)
	p.Marks = append(p.Marks, s.curves()...)
	p.Marks = append(p.Marks, s.rows()...)
	p.Legend = []drawing.LegendRow{{Layer: draft.LineA, Says: "water that evaporates"}, {Layer: draft.LineB, Says: "water that bleeds up"},
		{Layer: draft.Danger, Says: "dries faster than it bleeds"}, {Layer: draft.LineC, Says: "precautions start here"}}
	return p
}

func (j job) title(r Result) string {
	words := fmt.Sprintf("%s, %s", VerdictWords(r.Verdict), j.startWords(r.Chosen))
	if !r.Chosen.Dries.IsZero() && r.Chosen.Level > check.Good {
		words += fmt.Sprintf("; the surface looks dry from %s", j.when(r.Chosen.Dries, r.Start))
	}
	return words
}

// dayStrip is the chart being drawn.
type dayStrip struct {
	job
	r        Result
	midnight time.Time
	top      float64 // of the scale, in the job's unit
	starts   []StartHour
	sun      Sunlight
}

func (j job) newStrip(r Result) dayStrip {
	s := dayStrip{job: j, r: r, midnight: almanac.Midnight(r.Start.In(j.zone), 0), starts: []StartHour{r.Chosen}}
	for _, d := range r.Days {
		if d.Date.Equal(s.midnight) {
			s.starts, s.sun = d.Starts, d.Sun
		}
	}
	highest := dryingLimits[j.kind].limit
	for _, m := range r.Moments {
		highest = math.Max(highest, 3600*float64(max(m.Evaporation, m.Bleeding)))
	}
	s.top = 1.1 * s.scaled(perHour(highest))
	return s
}

// scaled is an evaporation in the job's unit.
func (s dayStrip) scaled(e quantity.Evaporation) float64 {
	return quantity.Show(e, quantity.AsEvaporation).In(s.in.Units)
}

func (s dayStrip) x(t time.Time) float64 {
	return s.xHour(t.Sub(s.midnight).Hours())
}

func (s dayStrip) xHour(h float64) float64 {
	h = math.Max(dayFrom, math.Min(dayTo, h))
	return stripLeft + stripWidth*(h-dayFrom)/(dayTo-dayFrom)
}

func (s dayStrip) y(value float64) float64 {
	return stripBottom + stripHeight*math.Min(1, math.Max(0, value/s.top))
}

func line(layer drawing.Layer, ref string, points ...drawing.Point) drawing.Path {
	return drawing.Path{Layer: layer, Points: points, Ref: ref}
}

func note(x, y float64, says string, anchor drawing.Anchor) drawing.Text {
	return drawing.Text{Layer: draft.Letters, At: drawing.Point{X: x, Y: y}, Says: says, Height: draft.NoteHeight, Anchor: anchor}
}

// axes are the clock, the scale and the limit.
func (s dayStrip) axes() []drawing.Mark {
	right, high := stripLeft+stripWidth, stripBottom+stripHeight
	marks := []drawing.Mark{drawing.Path{Layer: draft.Axis, Closed: true, Ref: "chart", Points: []drawing.Point{
		{X: stripLeft, Y: stripBottom}, {X: right, Y: stripBottom}, {X: right, Y: high}, {X: stripLeft, Y: high}}}}
	for h := dayFrom; h <= dayTo; h += 2 {
		x, at := s.xHour(float64(h)), s.midnight.Add(time.Duration(h)*time.Hour)
		marks = append(marks, line(draft.GridLine, "", drawing.Point{X: x, Y: stripBottom}, drawing.Point{X: x, Y: high}),
			note(x, stripBottom-1.5, almanac.Clock(at, s.in.Units), drawing.Below))
	}
	step := niceStep(s.top)
	unit := quantity.PrettyUnit(quantity.Plain(0, quantity.AsEvaporation).Unit(s.in.Units))
	for v := 0.0; v <= s.top; v += step {
		marks = append(marks, line(draft.GridLine, "", drawing.Point{X: stripLeft, Y: s.y(v)}, drawing.Point{X: right, Y: s.y(v)}),
			note(stripLeft-1.5, s.y(v), fmt.Sprintf("%.2f", v), drawing.Right))
	}
	limit := s.scaled(perHour(dryingLimits[s.kind].limit))
	return append(marks, note(stripLeft, high+11, "water lost and given, "+unit, drawing.Left),
		line(draft.LineC, "limit", drawing.Point{X: stripLeft, Y: s.y(limit)}, drawing.Point{X: right, Y: s.y(limit)}),
		note(right-1, s.y(limit)+2.5, "precautions start", drawing.Right))
}

// niceStep is a round step that parts a scale in four to eight.
func niceStep(top float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(top)))
	for _, part := range []float64{1, 0.5, 0.2, 0.1} {
		if top/(step*part) >= 4 {
			return step * part
		}
	}
	return step * 0.1
}

// curves are evaporation and bleeding of the first concrete, and the danger where one passes the other.
func (s dayStrip) curves() []drawing.Mark {
	var drying, bleeding, over, under []drawing.Point
	var marks []drawing.Mark
	shade := func() {
		if len(over) > 1 {
			marks = append(marks, drawing.Path{Layer: draft.Danger, Closed: true, Ref: "dries faster than it bleeds", Points: append(over, under...)})
		}
		over, under = nil, nil
	}
	for _, m := range s.r.Moments {
		a := drawing.Point{X: s.x(m.At), Y: s.y(s.scaled(m.Evaporation))}
		b := drawing.Point{X: s.x(m.At), Y: s.y(s.scaled(m.Bleeding))}
		drying, bleeding = append(drying, a), append(bleeding, b)
		if m.Evaporation <= m.Bleeding {
			shade()
			continue
		}
		over, under = append(over, a), append([]drawing.Point{b}, under...)
	}
	shade()
	if len(drying) < 2 {
		return marks
	}
	end := drying[len(drying)-1]
	return append(marks, line(draft.LineA, "evaporation", drying...), line(draft.LineB, "bleeding", bleeding...),
		note(end.X+1.5, end.Y, "evaporates", drawing.Left), note(bleeding[0].X+1.5, bleeding[0].Y+2, "bleeds", drawing.Left))
}

// rows are the bands of work, the sky, and the verdicts of the start hours.
func (s dayStrip) rows() []drawing.Mark {
	y := stripBottom - 2*rowHeight
	c := s.r.Chosen
	marks := s.band(y, "place", c.At, c.PlacedBy, draft.SlabEdge)
	marks = append(marks, s.band(y, "float, broom", c.FloatFrom, c.FinishedBy, draft.Band)...)
	marks = append(marks, s.band(y, "cure", c.FinishedBy, s.midnight.Add(dayTo*time.Hour), draft.SlabEdge)...)
	y -= rowHeight
	marks = append(marks, s.band(y, "early-entry saw", c.FloatUntil.Add(hours(sawFrom)), c.SetBy.Add(hours(sawUntil)), draft.SawJoint)...)
	marks = append(marks, s.skyRows(y-rowHeight)...)
	y -= 3 * rowHeight
	for _, start := range s.starts {
		if shape := start.Level.Shape(); shape != "" {
			at := drawing.Point{X: s.x(start.At), Y: y}
			marks = append(marks, drawing.Symbol{Layer: draft.Letters, At: at, Shape: shape, Size: 5,
				Ref: fmt.Sprintf("start %s: %s", almanac.Clock(start.At, s.in.Units), start.Level)})
			if start.At.Equal(c.At) {
				marks = append(marks, note(at.X, y-4, "start", drawing.Below))
			}
		}
	}
	return append(marks, note(stripLeft-1.5, y, "start at", drawing.Right))
}

func (s dayStrip) band(y float64, says string, from, to time.Time, layer drawing.Layer) []drawing.Mark {
	a, b := s.x(from), s.x(to)
	if b-a < 0.5 {
		return nil
	}
	box := drawing.Path{Layer: layer, Closed: true, Ref: says, Points: []drawing.Point{{X: a, Y: y}, {X: b, Y: y}, {X: b, Y: y + rowHeight - 3}, {X: a, Y: y + rowHeight - 3}}}
	text := note((a+b)/2, y+(rowHeight-3)/2, says, drawing.Middle)
	text.Boxed = layer.Hatch != drawing.Empty
	return []drawing.Mark{box, text}
}

// skyRows are air temperature and chance of rain every two hours, sunrise and sunset.
func (s dayStrip) skyRows(y float64) []drawing.Mark {
	marks := []drawing.Mark{note(stripLeft-1.5, y, "air", drawing.Right), note(stripLeft-1.5, y-rowHeight, "rain", drawing.Right)}
	for h := dayFrom + 2; h < dayTo; h += 2 {
		at := s.midnight.Add(time.Duration(h) * time.Hour)
		air, err := s.air(at)
		if err != nil {
			continue
		}
		marks = append(marks, note(s.x(at), y, quantity.Plain(air.Air, quantity.AsTemp).String(s.in.Units), drawing.Middle))
		if air.RainChance > 0 {
			marks = append(marks, note(s.x(at), y-rowHeight, quantity.Plain(air.RainChance, quantity.AsPercent).String(s.in.Units), drawing.Middle))
		}
	}
	return append(append(marks, s.sunMark("sunrise", s.sun.Rise)...), s.sunMark("sunset", s.sun.Set)...)
}

func (s dayStrip) sunMark(says string, at time.Time) []drawing.Mark {
	if at.IsZero() {
		return nil
	}
	x, high := s.x(at), stripBottom+stripHeight
	return []drawing.Mark{line(draft.Axis, says, drawing.Point{X: x, Y: high}, drawing.Point{X: x, Y: high + 3}), note(x, high+4, says, drawing.Above)}
}

// startTable says in words what the strip shows: every start hour of every day.
func (j job) startTable(r Result) drawing.Table {
	t := drawing.Table{Header: []string{"start", "verdict", "most evaporation", "looks dry", "float from", "float until", "last broom", "what goes wrong", "what would change it"}}
	starts := []StartHour{r.Chosen}
	if len(r.Days) > 0 {
		starts = nil
	}
	for _, d := range r.Days {
		starts = append(starts, d.Starts...)
	}
	for _, s := range starts {
		t.Rows = append(t.Rows, j.startRow(s))
	}
	return t
}

func (j job) startRow(s StartHour) []string {
	row := []string{j.startWords(s), s.Level.String(), "", "", "", "", "", "", ""}
	if s.Level == check.NotComputed {
		row[7] = s.Checks[0].Says
		return row
	}
	row[2] = fmt.Sprintf("%s at %s", j.show(quantity.Show(s.Peak, quantity.AsEvaporation)), j.when(s.PeakAt, s.At))
	row[3] = "not before set"
	if !s.Dries.IsZero() {
		row[3] = j.when(s.Dries, s.At)
	}
	row[4], row[5], row[6] = j.when(s.FloatFrom, s.At), j.when(s.FloatUntil, s.At), j.when(s.FinishedBy, s.At)
	for _, c := range s.Checks {
		if c.Level == s.Level && s.Level > check.Good {
			row[7] = c.Says
			if len(c.Then) > 0 {
				row[8] = c.Then[0]
			}
			return row
		}
	}
	return row
}
