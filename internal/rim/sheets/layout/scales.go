package layout

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/page"
)

// Scale is how much smaller than life a drawing is: Ratio 48 for 1/4 in = 1 ft. Zero: not to scale.
type Scale struct {
	Ratio float64
	Says  string
}

// NotToScale is the scale of charts and other pictures that measure nothing on paper.
var NotToScale = Scale{Says: "not to scale"}

// perMetre is how many millimetres on paper a metre takes.
func (s Scale) perMetre() float64 { return 1000 / s.Ratio }

// customary are the edges of the architect's and the engineer's rulers, largest drawing first.
var customary = []Scale{
	{4, "3 in = 1 ft"}, {8, "1 1/2 in = 1 ft"}, {12, "1 in = 1 ft"}, {16, "3/4 in = 1 ft"}, {24, "1/2 in = 1 ft"},
	{32, "3/8 in = 1 ft"}, {48, "1/4 in = 1 ft"}, {64, "3/16 in = 1 ft"}, {96, "1/8 in = 1 ft"}, {120, "1 in = 10 ft"}, {128, "3/32 in = 1 ft"},
	{192, "1/16 in = 1 ft"}, {240, "1 in = 20 ft"}, {360, "1 in = 30 ft"}, {480, "1 in = 40 ft"}, {600, "1 in = 50 ft"},
	{720, "1 in = 60 ft"}, {1200, "1 in = 100 ft"}, {2400, "1 in = 200 ft"},
}

// metricRatios are the edges of metric rulers and ISO 5455's steps.
var metricRatios = []float64{5, 10, 20, 25, 50, 75, 100, 125, 200, 250, 500, 1000, 2000}

// Scales lists the rulers' scales of a system, largest drawing first.
func Scales(system quantity.System) []Scale {
	if system == quantity.US {
		return customary
	}
	out := make([]Scale, len(metricRatios))
	for i, r := range metricRatios {
		out[i] = Scale{r, fmt.Sprintf("1:%g", r)}
	}
	return out
}

// barStep is the length of one field of the graphic scale: the longest round length that is at most widest millimetres on
// paper; in metres, and how many of its unit that is.
func barStep(scale Scale, system quantity.System, widest float64) (metres, count float64, unit string) {
	per, unit, counts := 0.3048, "ft", []float64{0.25, 0.5, 1, 2, 5, 10, 20, 50, 100, 200}
	if system == quantity.Metric {
		per, unit, counts = 1, "m", []float64{0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50}
	}
	count = counts[0]
	for _, c := range counts {
		if c*per*scale.perMetre() <= widest {
			count = c
		}
	}
	return count * per, count, unit
}

// ScaleBar draws the graphic scale, at most widest millimetres long, with its left end at at.
func ScaleBar(scale Scale, system quantity.System, at page.Point, widest float64) []page.Item {
	const fields, height = 4, 2.2
	var items []page.Item
	step, count, unit := barStep(scale, system, widest/fields)
	w := step * scale.perMetre()
	for i := range fields {
		x := at.X + float64(i)*w
		if i%2 == 0 {
			items = append(items, page.Area{Rings: [][]page.Point{rectangle(x, at.Y, w, height)}})
		}
		if w >= 13 || i%2 == 0 {
			items = append(items, centred(page.Point{X: x, Y: at.Y + height + 1.2}, fmt.Sprintf("%g", float64(i)*count)))
		}
	}
	return append(items,
		page.Stroke{Lines: []page.Line{{Points: rectangle(at.X, at.Y, fields*w, height), Closed: true}}, Width: 0.3},
		centred(page.Point{X: at.X + fields*w, Y: at.Y + height + 1.2}, fmt.Sprintf("%g %s", fields*count, unit)))
}

// CheckBar draws the bar that shows whether the print was resized: 2 in or 50 mm, its left end at at.
func CheckBar(system quantity.System, at page.Point) []page.Item {
	length, says := 50.8, "this bar is 2 in"
	if system == quantity.Metric {
		length, says = 50, "this bar is 50 mm"
	}
	line := []page.Line{{Points: []page.Point{at, {X: at.X + length, Y: at.Y}}}}
	for _, x := range []float64{at.X, at.X + length} {
		line = append(line, page.Line{Points: []page.Point{{X: x, Y: at.Y - 1.5}, {X: x, Y: at.Y + 1.5}}})
	}
	return []page.Item{page.Stroke{Ink: page.Ink{Ref: "check bar"}, Lines: line, Width: 0.3},
		centred(page.Point{X: at.X + length/2, Y: at.Y + 1.2}, says)}
}

// North says whether a picture has a north and where: Turn is clockwise from straight up the sheet, radians. The zero North
// is none: a section or a chart has no north.
type North struct {
	Shown bool
	Turn  float64
}

// NorthArrow draws an arrow with an N at its head within 8 mm around at.
func NorthArrow(n North, at page.Point) []page.Item {
	if !n.Shown {
		return nil
	}
	turned := func(x, y float64) page.Point { return page.Point{X: at.X + x, Y: at.Y + y}.Rotate(at, -n.Turn) }
	letter := turned(0, 6.4)
	return []page.Item{
		page.Area{Ink: page.Ink{Ref: "north"}, Rings: [][]page.Point{{turned(0, 4), turned(-3, -6.5), turned(0, -4.5)}}},
		page.Stroke{Ink: page.Ink{Ref: "north"}, Width: 0.3, Lines: []page.Line{{
			Points: []page.Point{turned(0, 4), turned(3, -6.5), turned(0, -4.5), turned(-3, -6.5)}, Closed: true}}},
		page.Words{At: page.Point{X: letter.X, Y: letter.Y - 1.75}, Says: "N", Cap: 3.5, Bold: true, Align: page.Centre},
	}
}

func centred(at page.Point, says string) page.Words {
	return page.Words{At: at, Says: says, Cap: noteCap, Align: page.Centre}
}

func rectangle(x, y, w, h float64) []page.Point {
	return []page.Point{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}
}
