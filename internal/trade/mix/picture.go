package mix

import (
	"fmt"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/draft"
)

// Measures of the control chart on paper, millimetres.
const (
	chartWide = 170.0
	chartHigh = 80.0
	chartLeft = 22.0 // room for the strengths
	tickEvery = 5    // axis marks, about
)

// Picture draws the control chart of the plant's deliveries, when two tests or more were made.
func Picture(in Input, r Result) []drawing.Picture {
	if r.Lab == nil || len(r.Lab.Strengths) < 2 {
		return nil
	}
	return []drawing.Picture{controlChart(in, r)}
}

// chart turns tests and strengths into places on paper.
type chart struct {
	units     quantity.System
	low, high float64 // Pa
	tests     int
}

func chartOf(in Input, r Result) chart {
	c := chart{units: in.Units, tests: len(r.Lab.Strengths), low: float64(r.Strength), high: math.Max(float64(r.Strength), float64(r.Average))}
	c.low = math.Min(c.low, float64(TablesOf(in.Units).singleFloor(r.Strength)))
	for _, f := range r.Lab.Strengths {
		c.low, c.high = math.Min(c.low, f), math.Max(c.high, f)
	}
	room := (c.high - c.low) * 0.08
	c.low, c.high = c.low-room, c.high+room
	return c
}

func (c chart) at(test int, strength float64) drawing.Point {
	x := chartLeft + (chartWide-chartLeft)*(float64(test)+0.5)/float64(c.tests)
	return drawing.Point{X: x, Y: chartHigh * (strength - c.low) / (c.high - c.low)}
}

func (c chart) says(f float64) string {
	return quantity.Plain(f, quantity.AsStrength).String(c.units)
}

func controlChart(in Input, r Result) drawing.Picture {
	c, lab := chartOf(in, r), r.Lab
	p := drawing.Picture{Name: "strength-control", Title: chartFinding(r), Space: drawing.Paper, Table: chartTable(c, r)}
	p.Says = fmt.Sprintf("%s. %d tests from %s to %s, mean %s.", p.Title, c.tests, c.says(lowest(lab.Strengths)), c.says(highest(lab.Strengths)), c.says(float64(lab.Mean)))
	p.Marks = append(p.Marks, c.axes()...)
	for _, line := range []struct {
		layer drawing.Layer
		at    quantity.Stress
		says  string
	}{{draft.LineC, r.Strength, "f'c"}, {draft.LineB, r.Average, "average to aim at"}, {draft.Contour, TablesOf(in.Units).singleFloor(r.Strength), "lowest single test"}} {
		y := c.at(0, float64(line.at)).Y
		p.Marks = append(p.Marks, drawing.Path{Layer: line.layer, Points: []drawing.Point{{X: chartLeft, Y: y}, {X: chartWide, Y: y}}, Ref: line.says},
			drawing.Text{Layer: draft.Letters, At: drawing.Point{X: chartWide + 1, Y: y}, Says: line.says, Height: draft.NoteHeight, Anchor: drawing.Left, Ref: line.says})
	}
	p.Marks = append(p.Marks, c.points(lab)...)
	p.Legend = []drawing.LegendRow{{Layer: draft.Dims, Says: "single tests; an octagon is too low"}, {Layer: draft.LineA, Says: "average of three in a row; an octagon is too low"},
		{Layer: draft.LineC, Says: "strength ordered, f'c"}, {Layer: draft.LineB, Says: "average the plant must aim at"}, {Layer: draft.Contour, Says: "lowest a single test may be"}}
	return p
}

func (c chart) axes() []drawing.Mark {
	marks := []drawing.Mark{drawing.Path{Layer: draft.Axis, Points: []drawing.Point{{X: chartLeft, Y: chartHigh}, {X: chartLeft, Y: 0}, {X: chartWide, Y: 0}}, Ref: "axes"}}
	unit := float64(quantity.PSI(500))
	if c.units == quantity.Metric {
		unit = float64(quantity.MPa(5))
	}
	step := unit * math.Max(1, math.Round((c.high-c.low)/unit/tickEvery))
	for f := math.Ceil(c.low/step) * step; f <= c.high; f += step {
		y := c.at(0, f).Y
		marks = append(marks, drawing.Path{Layer: draft.GridLine, Points: []drawing.Point{{X: chartLeft, Y: y}, {X: chartWide, Y: y}}, Ref: "grid"},
			drawing.Text{Layer: draft.Letters, At: drawing.Point{X: chartLeft - 1, Y: y}, Says: c.says(f), Height: draft.NoteHeight, Anchor: drawing.Right, Ref: "strength"})
	}
	every := (c.tests + 19) / 20
	for i := 0; i < c.tests; i += every {
		marks = append(marks, drawing.Text{Layer: draft.Letters, At: drawing.Point{X: c.at(i, c.low).X, Y: -2}, Says: fmt.Sprint(i + 1), Height: draft.NoteHeight, Anchor: drawing.Below, Ref: "test"})
	}
	return marks
}

func (c chart) points(lab *LabVerdict) []drawing.Mark {
	var marks []drawing.Mark
	var singles, means []drawing.Point
	for i, f := range lab.Strengths {
		at := c.at(i, f)
		mark := drawing.Symbol{Layer: draft.Dims, At: at, Shape: drawing.OpenCircle, Size: 2.5, Ref: fmt.Sprintf("test %d", i+1)}
		if !lab.Accepted.SinglesPass[i] {
			mark.Shape, mark.Size = drawing.Octagon, 5
			marks = append(marks, drawing.Text{Layer: draft.Letters, At: drawing.Point{X: at.X + 3.5, Y: at.Y}, Says: c.says(f) + ", too low", Height: draft.NoteHeight, Anchor: drawing.Left, Ref: mark.Ref})
		}
		singles = append(singles, at)
		marks = append(marks, mark)
	}
	for i, f := range lab.Accepted.Averages {
		at := c.at(i+2, f)
		means = append(means, at)
		if !lab.Accepted.AveragesPass[i] {
			marks = append(marks, drawing.Symbol{Layer: draft.LineA, At: at, Shape: drawing.Octagon, Size: 4, Ref: fmt.Sprintf("average of three to test %d", i+3)})
		}
	}
	marks = append(marks, drawing.Path{Layer: draft.Dims, Points: singles, Ref: "single tests"})
	if len(means) > 1 {
		marks = append(marks, drawing.Path{Layer: draft.LineA, Points: means, Ref: "averages of three"})
	}
	return marks
}

func lowest(values []float64) float64 {
	low := math.Inf(1)
	for _, v := range values {
		low = math.Min(low, v)
	}
	return low
}

func highest(values []float64) float64 {
	high := math.Inf(-1)
	for _, v := range values {
		high = math.Max(high, v)
	}
	return high
}

func chartFinding(r Result) string {
	switch {
	case !r.Lab.Accepted.Pass:
		return fmt.Sprintf("%d tests of this concrete: too low", len(r.Lab.Strengths))
	case !r.Lab.Accepted.ThreesDecided:
		return fmt.Sprintf("%d tests of this concrete: none too low, averages of three not yet decided", len(r.Lab.Strengths))
	}
	return fmt.Sprintf("%d tests of this concrete: all pass", len(r.Lab.Strengths))
}

func chartTable(c chart, r Result) drawing.Table {
	t := drawing.Table{Header: []string{"test", "sample", "job", "strength", "average of three", "verdict"}}
	i := 0
	for _, test := range r.Lab.Tests {
		if !test.Counts {
			continue
		}
		average, verdict := "", check.Good
		if i >= 2 {
			average = c.says(r.Lab.Accepted.Averages[i-2])
			if !r.Lab.Accepted.AveragesPass[i-2] {
				verdict = check.Stop
			}
		}
		if !r.Lab.Accepted.SinglesPass[i] {
			verdict = check.Stop
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), test.Name, test.Job, c.says(float64(test.Average)), average, verdict.String()})
		i++
	}
	return t
}
