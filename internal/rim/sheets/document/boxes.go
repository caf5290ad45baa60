package document

import (
	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/frame"
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

// Figures sets figures to remember under each other in one box, 20 pt at most, each with what it is beside it.
func (f *Flow) Figures(keys ...Key) {
	if len(keys) == 0 {
		return
	}
	const side, top, gap, most = 2.5, 3.0, 3.0, 0.58
	size, wide := leastKeyCap, 0.0
	for _, k := range keys {
		wide = max(wide, lettering.Width(k.Figure, 1, true))
	}
	size = min(size, most*f.width/wide)
	inner := &Flow{width: f.width - 2*side}
	for _, k := range keys {
		figure, says := lines(k.Figure, size, true, inner.width), lines(k.Says, TableCap, false, inner.width-wide*size-gap)
		inner.add(block{height: max(figure.height, says.height), space: 5.5, draw: func(at page.Point) []page.Item {
			return append(figure.draw(at), says.draw(page.Point{X: at.X + wide*size + gap, Y: at.Y - max(0, size-says.height)})...)
		}})
	}
	height := inner.Height() + 2*top
	f.add(block{height: height, space: 5, draw: func(at page.Point) []page.Item {
		return append(inner.drawn(page.Point{X: at.X + side, Y: at.Y - top}), framed(boxAt(at, f.width, height), 0.5))
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
	const side, top, mark = 3.5, 3.2, 6.0
	inner := &Flow{width: f.width - 2*side}
	head := lines(title, f.size(), true, inner.width-mark-3)
	inner.add(block{height: max(head.height, mark-1), draw: func(at page.Point) []page.Item {
		return append(head.draw(page.Point{X: at.X + mark + 3, Y: at.Y - max(0, mark-1-head.height)/2}), frame.Warning(page.Point{X: at.X, Y: at.Y + 0.4}, mark)...)
	}})
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
		return append(inner.drawn(page.Point{X: at.X + side, Y: at.Y - top}), framed(boxAt(at, f.width, height), 0.9))
	}})
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

// NorthHeight is the room an arrow to north takes under what stands over it, millimetres.
const NorthHeight = 21.0

// North sets an arrow to north at the right edge, for a figure beside that has none.
func (f *Flow) North(north layout.North) {
	const space = 3.0
	f.add(block{height: NorthHeight - space, space: space, draw: func(at page.Point) []page.Item {
		return layout.NorthArrow(north, page.Point{X: at.X + f.width - 9, Y: at.Y - (NorthHeight-space)/2})
	}})
}

// Under a figure stand its scale and its scale bar; north stands there too when no room is left beside the drawing.
const (
	scalesUnder = 12.0
	northUnder  = 18.0
	northBeside = 18.0
)

// Figure sets a drawing at the largest scale that fits the width and at most height millimetres, its scale, scale bar,
// north and legend under it; scale is how many millimetres a unit of the picture takes.
func (f *Flow) Figure(pic drawing.Picture, height float64, system quantity.System, north layout.North) (scale float64, err error) {
	under := scalesUnder
	_, legendHigh := layout.Legend(pic, page.Point{}, f.width)
	fit := func() (layout.Placed, error) {
		box := geometry.Box{Min: page.Point{X: 0, Y: -(height - under - legendHigh)}, Max: page.Point{X: f.width}}
		return layout.Fit(pic, box, system)
	}
	placed, err := fit()
	if err == nil && north.Shown && placed.Box.Max.X > f.width-northBeside {
		under = northUnder
		placed, err = fit()
	}
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
			foot := low - under + 3
			items = append(items, layout.ScaleBar(scale, system, page.Point{X: at.X + 1, Y: foot}, min(80, f.width/2))...)
			items = append(items, page.Words{At: page.Point{X: at.X + f.width/2 + 6, Y: foot}, Says: scale.Says, Cap: NoteCap, Align: page.Start})
		}
		items = append(items, layout.NorthArrow(north, page.Point{X: at.X + f.width - 8, Y: low - under + 9})...)
		legend, _ := layout.Legend(pic, page.Point{X: at.X, Y: low - under}, f.width)
		return append(items, legend...)
	}})
	return placed.View.K, nil
}
