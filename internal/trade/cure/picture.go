package cure

import (
	"fmt"
	"math"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// days follows strength day by day until the last use or 35 days.
func (j job) days(r *Result) {
	last := 35.0
	for _, m := range r.Milestones {
		if !m.Never && m.Age.Days() > last {
			last = math.Ceil(m.Age.Days())
		}
	}
	last = math.Min(last, 120)
	te := [3]float64{}
	for h := 0; h <= int(last)*24; h++ {
		if h%24 == 0 {
			r.Days = append(r.Days, Day{Age: quantity.Hours(float64(h)), Slow: quantity.MPa(j.gain.low(te[slow])),
				Middle: quantity.MPa(j.gain.curve.At(te[middle])), Fast: quantity.MPa(j.gain.high(te[fast])), Cold: j.coldDay(h)})
		}
		for s := range te {
			te[s] += j.gain.agePace(j.inHour(side(s), h))
		}
	}
}

func (j job) coldDay(from int) bool {
	for h := from; h < from+24; h++ {
		if j.airTemp(middle, float64(h)) <= coldAir {
			return true
		}
	}
	return false
}

// The chart on paper, millimetres.
const (
	chartLeft, chartBottom  = 24.0, 26.0
	chartWidth, chartHeight = 218.0, 108.0
)

// Picture draws strength by day, the band from slow to fast with a flag at each use on its later edge and the cylinders as dots;
// the heat by depth, when a forecast tells it; and the crack index.
func Picture(in Input, r Result) []drawing.Picture {
	j, err := prepare(in)
	if err != nil || len(r.Days) < 2 {
		return nil
	}
	c := chart{job: j, r: r, days: r.Days[len(r.Days)-1].Age.Days(), top: 1.1 * math.Max(float64(r.Days[len(r.Days)-1].Fast), float64(in.Strength.Value))}
	p := drawing.Picture{Name: "strength-by-day", Space: drawing.Paper, Title: j.title(r), Table: j.table(r)}
	p.Says = p.Title + ". The band runs from a slow mix in cold air to a fast one in warm air; each flag stands on the slow side."
	p.Marks = append(append(append(append(c.band(), c.axes()...), c.cylinderDots()...), c.readingMark()...), c.flags()...)
	p.Legend = []drawing.LegendRow{{Layer: draft.Band, Says: "between slow and fast"}, {Layer: draft.LineA, Says: "usual"}, {Layer: draft.Danger, Says: "cold days"}}
	list := []drawing.Picture{p}
	if heat, ok := j.heatPicture(r); ok {
		list = append(list, heat)
	}
	if index, ok := j.indexPicture(r); ok {
		list = append(list, index)
	}
	return list
}

func (j job) title(r Result) string {
	words := ""
	for _, name := range []string{"foot", "car", "trailer"} {
		m, _ := r.Find(name)
		if words != "" {
			words += ", "
		}
		words += fmt.Sprintf("%s %s", map[string]string{"foot": "Walk on it from", "car": "car from", "trailer": j.in.Parks.Value + " from"}[name], j.milestoneWords(m, name != "foot"))
	}
	return words
}

type chart struct {
	job
	r         Result
	days, top float64
}

func (c chart) x(days float64) float64 {
	return chartLeft + chartWidth*math.Min(1, days/c.days)
}

func (c chart) y(strength quantity.Stress) float64 {
	return chartBottom + chartHeight*math.Min(1, float64(strength)/c.top)
}

func (c chart) band() []drawing.Mark {
	var up, down, usual []drawing.Point
	var marks []drawing.Mark
	for i, d := range c.r.Days {
		x := c.x(d.Age.Days())
		up = append(up, drawing.Point{X: x, Y: c.y(d.Fast)})
		usual = append(usual, drawing.Point{X: x, Y: c.y(d.Middle)})
		slowest := c.r.Days[len(c.r.Days)-1-i]
		down = append(down, drawing.Point{X: c.x(slowest.Age.Days()), Y: c.y(slowest.Slow)})
		if d.Cold && i+1 < len(c.r.Days) {
			right := c.x(d.Age.Days() + 1)
			marks = append(marks, drawing.Path{Layer: draft.Danger, Closed: true, Ref: "cold day", Points: []drawing.Point{
				{X: x, Y: chartBottom}, {X: right, Y: chartBottom}, {X: right, Y: chartBottom + 3}, {X: x, Y: chartBottom + 3}}})
		}
	}
	return append(marks, drawing.Path{Layer: draft.Band, Closed: true, Points: append(up, down...), Ref: "between slow and fast"},
		drawing.Path{Layer: draft.LineA, Points: usual, Ref: "usual strength"})
}

func note(x, y float64, says string, anchor drawing.Anchor) drawing.Text {
	return drawing.Text{Layer: draft.Letters, At: drawing.Point{X: x, Y: y}, Says: says, Height: draft.NoteHeight, Anchor: anchor}
}

func (c chart) axes() []drawing.Mark {
	right, high := chartLeft+chartWidth, chartBottom+chartHeight
	marks := []drawing.Mark{drawing.Path{Layer: draft.Axis, Closed: true, Ref: "chart", Points: []drawing.Point{
		{X: chartLeft, Y: chartBottom}, {X: right, Y: chartBottom}, {X: right, Y: high}, {X: chartLeft, Y: high}}}}
	for day := 0.0; day <= c.days; day += 7 {
		x := c.x(day)
		marks = append(marks, drawing.Path{Layer: draft.GridLine, Points: []drawing.Point{{X: x, Y: chartBottom}, {X: x, Y: high}}}, note(x, chartBottom-1.5, c.dayWords(day), drawing.Below))
	}
	for share := 0.25; share <= 1; share += 0.25 {
		s := quantity.Stress(share * float64(c.in.Strength.Value))
		marks = append(marks, drawing.Path{Layer: draft.GridLine, Points: []drawing.Point{{X: chartLeft, Y: c.y(s)}, {X: right, Y: c.y(s)}}},
			note(chartLeft-1.5, c.y(s), quantity.Show(s, quantity.AsStrength).String(c.in.Units), drawing.Right))
		part := note(right-1, c.y(s)-2.5, fmt.Sprintf("%.0f %% of ordered", 100*share), drawing.Right)
		part.Boxed = true
		marks = append(marks, part)
	}
	return marks
}

func (j job) dayWords(day float64) string {
	if !j.dated {
		return fmt.Sprintf("day %.0f", day)
	}
	at := almanac.Midnight(j.poured, int(day))
	if j.in.Units == quantity.Metric {
		return at.Format("Mon 2 Jan")
	}
	return at.Format("Mon Jan 2")
}

// flags stand at the needed strength on the slow side, with the date in words; neighbours climb so that they do not cover
// each other.
func (c chart) flags() []drawing.Mark {
	var marks []drawing.Mark
	lift := 0.0
	for _, name := range []string{"foot", "car", "trailer", "truck"} {
		m, ok := c.r.Find(name)
		if !ok || m.Never || m.Age.Days() > c.days {
			continue
		}
		at := drawing.Point{X: c.x(m.Age.Days()), Y: c.y(m.Need)}
		text := note(at.X+3, chartBottom+6+lift, fmt.Sprintf("%s: %s", name, c.milestoneWords(m, name != "foot")), drawing.Left)
		if at.X > chartLeft+0.6*chartWidth {
			text.At.X, text.Anchor = at.X-3, drawing.Right
		}
		text.Boxed, text.Ref = true, name
		marks = append(marks, drawing.Symbol{Layer: draft.Letters, At: at, Shape: drawing.Flag, Size: 6, Ref: name},
			drawing.Path{Layer: draft.Axis, Points: []drawing.Point{{X: at.X, Y: chartBottom}, at}, Ref: name}, text)
		lift += 7
	}
	verdict := drawing.Point{X: chartLeft + 8, Y: chartBottom + chartHeight - 8}
	if shape := c.r.Verdict().Shape(); shape != "" {
		marks = append(marks, drawing.Symbol{Layer: draft.Letters, At: verdict, Shape: shape, Size: 7, Ref: c.r.Verdict().String()},
			note(verdict.X+6, verdict.Y, c.r.Verdict().String(), drawing.Left))
	}
	return marks
}

// table says the same in words: each use with its date, and the strength by day.
func (j job) table(r Result) drawing.Table {
	t := drawing.Table{Header: []string{"day", "date", "slow side", "usual", "fast side", "what may begin"}}
	for i, d := range r.Days {
		day := int(d.Age.Days() + 0.5)
		date := ""
		if j.dated {
			date = almanac.Date(almanac.Midnight(j.poured, day), j.in.Units)
		}
		begins := j.begin(r, i)
		if begins == "" && day > 7 && day%7 != 0 {
			continue
		}
		show := func(s quantity.Stress) string { return quantity.Show(s, quantity.AsStrength).String(j.in.Units) }
		t.Rows = append(t.Rows, []string{fmt.Sprint(day), date, show(d.Slow), show(d.Middle), show(d.Fast), begins})
	}
	return t
}

// begin lists what may begin on the day of row i.
func (j job) begin(r Result, i int) string {
	words := ""
	for _, m := range r.Milestones {
		if m.Never || j.dayOf(m) != i {
			continue
		}
		if words != "" {
			words += "; "
		}
		words += m.Says
	}
	return words
}

// dayOf is the row of the day on which a milestone's date falls.
func (j job) dayOf(m Milestone) int {
	if !j.dated {
		return int(math.Ceil(m.Age.Days() - 1e-9))
	}
	days := 0
	for at := almanac.Midnight(j.poured, 0); !at.After(m.At) && days < 400; at = almanac.Midnight(at, 1) {
		days++
	}
	return days - 1
}
