package layout

import (
	"slices"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
)

// The parts of a legend, millimetres.
const (
	legendRow    = 6.5
	legendLine   = 4.2 // from line to line of a row that wraps
	legendGap    = 6.0
	legendIndent = 3.0
	swatchWidth  = 14.0
	swatchHeight = 4.2
)

// leastLegendText is the narrowest a legend's lettering may run, millimetres.
const leastLegendText = 30.0

// Legend draws the picture's legend in columns within a width, as low as it goes, its top left corner at at; height says how
// far down it reaches. Rows are filled column by column, long ones wrap.
func Legend(pic drawing.Picture, at page.Point, width float64) (items []page.Item, height float64) {
	best := 1
	height = legendHeight(pic, 1, legendRoom(pic, 1, width))
	for columns := 2; columns <= len(pic.Legend); columns++ {
		room := legendRoom(pic, columns, width)
		if room < leastLegendText {
			break
		}
		if h := legendHeight(pic, columns, room); h < height {
			best, height = columns, h
		}
	}
	return legendItems(pic, at, best, legendRoom(pic, best, width)), height
}

// legendRoom is how wide the lettering may run in so many columns: no wider than it needs.
func legendRoom(pic drawing.Picture, columns int, width float64) float64 {
	widest := leastLegendText
	for _, row := range pic.Legend {
		widest = max(widest, lettering.Width(row.Says, noteCap, false)+0.1)
	}
	return min(widest, (width+legendGap)/float64(columns)-swatchWidth-legendIndent-legendGap)
}

func legendHeight(pic drawing.Picture, columns int, room float64) float64 {
	height := 0.0
	for _, column := range legendColumns(pic, columns) {
		down := 0.0
		for _, row := range column {
			down += rowHeight(row, room)
		}
		height = max(height, down)
	}
	return height
}

func rowHeight(row drawing.LegendRow, room float64) float64 {
	return legendRow + float64(len(lettering.Wrap(row.Says, noteCap, false, room))-1)*legendLine
}

// legendColumns shares the rows over columns, in order.
func legendColumns(pic drawing.Picture, columns int) [][]drawing.LegendRow {
	if len(pic.Legend) == 0 {
		return nil
	}
	rows := (len(pic.Legend) + columns - 1) / columns
	return slices.Collect(slices.Chunk(pic.Legend, rows))
}

func legendItems(pic drawing.Picture, at page.Point, columns int, room float64) []page.Item {
	var items []page.Item
	for c, column := range legendColumns(pic, columns) {
		x, down := at.X+float64(c)*(swatchWidth+legendIndent+room+legendGap), 0.0
		for _, row := range column {
			y := at.Y - down - legendRow/2
			items = append(items, swatch(pic, row.Layer, geometry.Box{
				Min: page.Point{X: x, Y: y - swatchHeight/2}, Max: page.Point{X: x + swatchWidth, Y: y + swatchHeight/2}})...)
			for k, line := range lettering.Wrap(row.Says, noteCap, false, room) {
				items = append(items, page.Words{At: page.Point{X: x + swatchWidth + legendIndent, Y: y - noteCap/2 - float64(k)*legendLine},
					Says: line, Cap: noteCap, Align: page.Start})
			}
			down += rowHeight(row, room)
		}
	}
	return items
}

// swatch shows a layer as the picture does: by its symbol or arrow, its hatch, or its line.
func swatch(pic drawing.Picture, layer drawing.Layer, box geometry.Box) []page.Item {
	s := &sheet{}
	left, right := page.Point{X: box.Min.X, Y: box.Centre().Y}, page.Point{X: box.Max.X, Y: box.Centre().Y}
	ink := inkOf(layer, "")
	for _, m := range pic.Marks {
		if drawing.LayerOf(m) != layer {
			continue
		}
		switch m := m.(type) {
		case drawing.Symbol:
			return Sign(m.Shape, box.Centre(), usualSize, ink)
		case drawing.Arrow:
			return arrowItems(left, right, max(layer.Width, 0.2), ink)
		}
		break
	}
	if layer.Hatch != drawing.Empty {
		ground := box.Polygon()
		s.hatches = hatch(ground, layer.Hatch, ink)
		s.stroke(layer, ink, page.Line{Points: ground.Outer, Closed: true})
	} else {
		s.stroke(layer, ink, page.Line{Points: []page.Point{left, right}})
	}
	return append(s.hatches, s.lines...)
}
