package layout

import (
	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
)

// A row of the legend, millimetres.
const (
	LegendRow    = 6.5
	swatchWidth  = 14.0
	swatchHeight = 4.2
)

// Legend draws the picture's legend in as many columns as fit into width, its top left corner at at; height says how far
// down it reaches. Rows are filled column by column.
func Legend(pic drawing.Picture, at page.Point, width float64) (items []page.Item, height float64) {
	if len(pic.Legend) == 0 {
		return nil, 0
	}
	column := legendColumn(pic, width)
	columns := max(int((width+4)/column), 1)
	rows := (len(pic.Legend) + columns - 1) / columns
	for i, row := range pic.Legend {
		x := at.X + float64(i/rows)*column
		y := at.Y - float64(i%rows)*LegendRow - LegendRow/2
		items = append(items, swatch(pic, row.Layer, geometry.Box{
			Min: page.Point{X: x, Y: y - swatchHeight/2}, Max: page.Point{X: x + swatchWidth, Y: y + swatchHeight/2}})...)
		says := lettering.Cut(row.Says, noteCap, false, max(width-swatchWidth-3, 20))
		items = append(items, page.Words{At: page.Point{X: x + swatchWidth + 3, Y: y - noteCap/2}, Says: says, Cap: noteCap, Align: page.Start})
	}
	return items, float64(rows) * LegendRow
}

// legendColumn is how wide a column must be for its longest row.
func legendColumn(pic drawing.Picture, width float64) float64 {
	widest := 0.0
	for _, row := range pic.Legend {
		widest = max(widest, lettering.Width(row.Says, noteCap, false))
	}
	return min(swatchWidth+3+widest+6, max(width, 1))
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
