package document

import (
	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
)

// Key is a figure to remember.
type Key struct {
	Figure string // "11 1/4 yd³"
	Says   string // "concrete to order"
}

// The largest and the smallest key figure, cap heights in millimetres: 40 and 20 pt.
var (
	KeyCap      = lettering.CapOf(40)
	leastKeyCap = lettering.CapOf(20)
)

// Keys sets figures to remember in a row of boxes, as large as the largest fits, at most 40 pt. An empty key keeps its room.
func (f *Flow) Keys(keys ...Key) {
	if len(keys) == 0 {
		return
	}
	const gap, side, top = 3.5, 2.2, 4.0
	width := (f.width - gap*float64(len(keys)-1)) / float64(len(keys))
	size := KeyCap
	for _, k := range keys {
		if w := lettering.Width(k.Figure, 1, true); w > 0 {
			size = min(size, (width-2*side)/w)
		}
	}
	size = max(size, leastKeyCap)
	figures, captions := make([]block, len(keys)), make([]block, len(keys))
	figureHigh, captionHigh := 0.0, 0.0
	for i, k := range keys {
		figures[i] = lines(k.Figure, size, true, width-2*side)
		captions[i] = lines(k.Says, TableCap, false, width-2*side)
		figureHigh, captionHigh = max(figureHigh, figures[i].height), max(captionHigh, captions[i].height)
	}
	height := top + figureHigh + 3.5 + captionHigh + 3
	f.add(block{height: height, space: 5, draw: func(at page.Point) []page.Item {
		var items []page.Item
		for i, k := range keys {
			if k == (Key{}) {
				continue
			}
			x := at.X + float64(i)*(width+gap)
			items = append(items, framed(boxAt(page.Point{X: x, Y: at.Y}, width, height), 0.5))
			items = append(items, figures[i].draw(page.Point{X: x + side, Y: at.Y - top})...)
			items = append(items, captions[i].draw(page.Point{X: x + side, Y: at.Y - top - figureHigh - 3.5})...)
		}
		return items
	}})
}

// Checklist sets items with a box to tick before each.
func (f *Flow) Checklist(items ...string) {
	const square, indent = 4.6, 8.5
	for i, says := range items {
		size := f.size()
		text := lines(says, size, false, f.width-indent)
		space := 3.4
		if i == 0 {
			space = 5
		}
		f.add(block{height: max(text.height, square), space: space, draw: func(at page.Point) []page.Item {
			top := page.Point{X: at.X, Y: at.Y + (square-size)/2}
			return append(text.draw(page.Point{X: at.X + indent, Y: at.Y}), framed(boxAt(top, square, square), 0.4))
		}})
	}
}

// Steps sets items numbered from one.
func (f *Flow) Steps(items ...string) {
	const indent = 9.0
	for i, says := range items {
		number := lines(quantity.Decimal(float64(i+1), 0, 0), f.size(), true, indent)
		text := lines(says, f.size(), false, f.width-indent)
		space := 2.6
		if i == 0 {
			space = 5
		}
		f.add(block{height: text.height, space: space, draw: func(at page.Point) []page.Item {
			return append(number.draw(at), text.draw(page.Point{X: at.X + indent, Y: at.Y})...)
		}})
	}
}

// Caution sets a box with a thick border, a triangle and one line or more: what can hurt someone.
func (f *Flow) Caution(title string, items ...string) {
	const side, top, mark = 4.0, 4.0, 7.0
	inner := &Flow{width: f.width - 2*side - mark - 3}
	head := lines(title, f.size(), true, inner.width)
	head.height += 0.5
	inner.add(head)
	const hang = 4.0
	for _, says := range items {
		b := lines(says, TableCap, false, inner.width-hang)
		inner.add(block{height: b.height, space: 2.4, draw: func(at page.Point) []page.Item {
			dash := page.Point{X: at.X, Y: at.Y - TableCap/2}
			return append(b.draw(page.Point{X: at.X + hang, Y: at.Y}), ruled(dash, page.Point{X: at.X + 2.2, Y: dash.Y}, 0.5))
		}})
	}
	height := inner.Height() + 2*top
	f.add(block{height: height, space: 6, draw: func(at page.Point) []page.Item {
		out := []page.Item{framed(boxAt(at, f.width, height), 0.9)}
		out = append(out, warning(page.Point{X: at.X + side, Y: at.Y - top + 1}, mark)...)
		return append(out, inner.drawn(page.Point{X: at.X + side + mark + 3, Y: at.Y - top})...)
	}})
}

// warning is a triangle with a stroke and a dot, its top left corner at at.
func warning(at page.Point, size float64) []page.Item {
	p := func(x, y float64) page.Point { return page.Point{X: at.X + x*size, Y: at.Y - y*size} }
	return []page.Item{
		page.Stroke{Width: 0.6, Lines: []page.Line{{Points: []page.Point{p(0.5, 0.05), p(1, 0.92), p(0, 0.92)}, Closed: true}}},
		ruled(p(0.5, 0.34), p(0.5, 0.64), 0.8), ruled(p(0.5, 0.71), p(0.5, 0.82), 0.8),
	}
}

// Sign sets lines to write on, two beside each other, each over what belongs there.
func (f *Flow) Sign(captions ...string) {
	const gap, rise = 10.0, 11.0
	width := (f.width - gap) / 2
	for i := 0; i < len(captions); i += 2 {
		pair := captions[i:min(i+2, len(captions))]
		f.add(block{height: rise + 2 + NoteCap, space: 4, draw: func(at page.Point) []page.Item {
			var items []page.Item
			for j, says := range pair {
				x := at.X + float64(j)*(width+gap)
				items = append(items, ruled(page.Point{X: x, Y: at.Y - rise}, page.Point{X: x + width, Y: at.Y - rise}, 0.3),
					page.Words{At: page.Point{X: x, Y: at.Y - rise - 2 - NoteCap}, Says: says, Cap: NoteCap, Align: page.Start})
			}
			return items
		}})
	}
}

// Blanks sets named lines to fill in, one under another.
func (f *Flow) Blanks(names ...string) {
	for i, name := range names {
		text := lines(name, BodyCap, false, f.width)
		from := lettering.Width(name+"  ", BodyCap, false)
		space := 5.5
		if i == 0 {
			space = 6
		}
		f.add(block{height: BodyCap, space: space, draw: func(at page.Point) []page.Item {
			y := at.Y - BodyCap - 0.8
			return append(text.draw(at), ruled(page.Point{X: at.X + from, Y: y}, page.Point{X: at.X + f.width, Y: y}, 0.3))
		}})
	}
}

// Figure sets a drawing at the largest scale that fits the width and at most height millimetres, its scale, scale bar,
// north and legend under it; scale is how many millimetres a unit of the picture takes.
func (f *Flow) Figure(pic drawing.Picture, height float64, system quantity.System, north layout.North) (scale float64, err error) {
	const under = 18.0
	_, legendHigh := layout.Legend(pic, page.Point{}, f.width)
	box := geometry.Box{Min: page.Point{X: 0, Y: -(height - under - legendHigh)}, Max: page.Point{X: f.width}}
	placed, err := layout.Fit(pic, box, system)
	if err != nil {
		return 0, err
	}
	high := placed.Box.Height()
	f.add(block{height: high + under + legendHigh, space: 5, draw: func(at page.Point) []page.Item {
		move := page.Point{X: at.X, Y: at.Y - placed.Box.Max.Y}
		items := page.Move(placed.Items, move)
		low := at.Y - high
		scale := placed.View.Scale
		if scale.Ratio > 0 {
			items = append(items, layout.ScaleBar(scale, system, page.Point{X: at.X + 1, Y: low - 12}, min(80, f.width/2))...)
			items = append(items, page.Words{At: page.Point{X: at.X + f.width/2, Y: low - 12}, Says: scale.Says, Cap: NoteCap, Align: page.Start})
		}
		items = append(items, layout.NorthArrow(north, page.Point{X: at.X + f.width - 8, Y: low - 9})...)
		legend, _ := layout.Legend(pic, page.Point{X: at.X, Y: low - under}, f.width)
		return append(items, legend...)
	}})
	return placed.View.K, nil
}
