package frame

import (
	"fmt"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
)

// The side column or the band under the drawing that holds legend, scales and north, and the title over it, millimetres.
const (
	titleCap    = 5.0
	columnWidth = 66.0
	bandGap     = 5.0
	scalesWide  = 100.0
	northWide   = 14.0
	scalesHigh  = 21.0
	northHigh   = 22.0
)

// Drawing makes a sheet of one picture on paper lying across or upright, whichever draws it larger.
func Drawing(pic drawing.Picture, paper page.Paper, system quantity.System, north layout.North) (Draft, error) {
	var best Draft
	var least float64
	var firstErr error
	for _, p := range []page.Paper{paper.Across(), paper} {
		d, k, err := drawingOn(pic, p, system, north)
		if err != nil && firstErr == nil {
			firstErr = err
		}
		if err == nil && k > least {
			best, least = d, k
		}
	}
	if least == 0 {
		return Draft{}, firstErr
	}
	return best, nil
}

func drawingOn(pic drawing.Picture, paper page.Paper, system quantity.System, north layout.North) (Draft, float64, error) {
	p := page.Page{Name: pic.Name, Title: pic.Title, Says: pic.Says, Paper: paper}
	area := paper.Inside()
	area.Min.Y += footHeight + blockHeight + 3
	for _, line := range lettering.Wrap(pic.Title, titleCap, true, area.Width()) {
		area.Max.Y -= titleCap
		p.Add(page.Words{At: page.Point{X: area.Min.X, Y: area.Max.Y}, Says: line, Cap: titleCap, Bold: true, Align: page.Start})
		area.Max.Y -= 3.5
	}
	area.Max.Y -= 2.5
	column, columnArea, roomy := columnRoom(pic, area)
	band, bandArea := bandRoom(pic, area)
	placed, err := layout.Fit(pic, bandArea, system)
	side, sideErr := placed, fmt.Errorf("frame: the legend of %q is too long for the side of the sheet", pic.Name)
	if roomy {
		side, sideErr = layout.Fit(pic, columnArea, system)
	}
	if err != nil && sideErr != nil {
		return Draft{}, 0, err
	}
	draw := func(s layout.Scale) []page.Item { return bandItems(pic, band, s, system, north) }
	if err != nil || sideErr == nil && (side.View.K > placed.View.K || side.View.K == placed.View.K && paper.Width > paper.Height) {
		placed = side
		draw = func(s layout.Scale) []page.Item { return columnItems(pic, column, s, system, north) }
	}
	p.Add(placed.Items...)
	p.Add(draw(placed.View.Scale)...)
	return Draft{Page: p, Drawing: true, View: placed.View}, placed.View.K, nil
}

// columnRoom parts the area into the drawing and a column at its right; roomy says whether the legend fits the column.
func columnRoom(pic drawing.Picture, area geometry.Box) (column, rest geometry.Box, roomy bool) {
	column, rest = area, area
	column.Min.X = area.Max.X - columnWidth
	rest.Max.X = column.Min.X - bandGap
	_, height := layout.Legend(pic, page.Point{}, columnWidth)
	return column, rest, height < column.Height()-scalesHigh-northHigh
}

// bandRoom parts the area into the drawing and a band under it, as high as the legend needs.
func bandRoom(pic drawing.Picture, area geometry.Box) (band, rest geometry.Box) {
	_, height := layout.Legend(pic, page.Point{}, area.Width()-scalesWide-northWide)
	band, rest = area, area
	band.Max.Y = area.Min.Y + max(height, scalesHigh)
	rest.Min.Y = band.Max.Y + bandGap
	return band, rest
}

func bandItems(pic drawing.Picture, band geometry.Box, scale layout.Scale, system quantity.System, north layout.North) []page.Item {
	items := scales(page.Point{X: band.Min.X + 2, Y: band.Min.Y}, scale, system, scalesWide-12)
	items = append(items, layout.NorthArrow(north, page.Point{X: band.Min.X + scalesWide + 1, Y: band.Min.Y + 9})...)
	legend, _ := layout.Legend(pic, page.Point{X: band.Min.X + scalesWide + northWide, Y: band.Max.Y}, band.Width()-scalesWide-northWide)
	return append(items, legend...)
}

func columnItems(pic drawing.Picture, column geometry.Box, scale layout.Scale, system quantity.System, north layout.North) []page.Item {
	items := scales(page.Point{X: column.Min.X + 2, Y: column.Min.Y}, scale, system, columnWidth-14)
	items = append(items, layout.NorthArrow(north, page.Point{X: column.Min.X + 8, Y: column.Min.Y + scalesHigh + 11})...)
	legend, _ := layout.Legend(pic, page.Point{X: column.Min.X, Y: column.Max.Y}, columnWidth)
	return append(items, legend...)
}

// scales draws the graphic scale over the check bar; a picture not to scale has the check bar alone.
func scales(at page.Point, scale layout.Scale, system quantity.System, widest float64) []page.Item {
	items := layout.CheckBar(system, page.Point{X: at.X, Y: at.Y + 2})
	if scale.Ratio > 0 {
		items = append(items, layout.ScaleBar(scale, system, page.Point{X: at.X, Y: at.Y + 11}, widest)...)
	}
	return items
}
