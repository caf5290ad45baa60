package document

import (
	"bytes"
	"fmt"
	"image/jpeg"

	"slabwright/internal/rim/sheets/page"
)

// Photo is a JPEG file with what is said under it.
type Photo struct {
	JPEG []byte
	Says []string // lines under it, the first in bold
}

// Photos sets photos three in a row, each whole within its place; a row is not cut by a sheet's end. A file that cannot be read
// fails.
func (f *Flow) Photos(photos ...Photo) {
	const across, gap, most, under = 3, 4.0, 46.0, 1.5
	width := (f.width - gap*(across-1)) / across
	for first := 0; first < len(photos); first += across {
		row := photos[first:min(first+across, len(photos))]
		type placed struct {
			wide, high float64
			lines      []block
		}
		cells, height := make([]placed, len(row)), 0.0
		for i, p := range row {
			size, err := jpeg.DecodeConfig(bytes.NewReader(p.JPEG))
			if err != nil {
				f.Try(fmt.Errorf("document: photo %v: %w", p.Says, err))
				return
			}
			k := min(width/float64(size.Width), most/float64(size.Height))
			cells[i] = placed{wide: k * float64(size.Width), high: k * float64(size.Height)}
			high := cells[i].high
			for j, says := range p.Says {
				cells[i].lines = append(cells[i].lines, lines(says, NoteCap, j == 0, width))
				high += under + cells[i].lines[j].height
			}
			height = max(height, high)
		}
		f.add(block{height: height, space: 5, draw: func(at page.Point) []page.Item {
			var items []page.Item
			for i, c := range cells {
				x, y := at.X+float64(i)*(width+gap), at.Y-c.high
				items = append(items, page.Photo{At: page.Point{X: x, Y: y}, Width: c.wide, Height: c.high, JPEG: row[i].JPEG},
					framed(boxAt(page.Point{X: x, Y: at.Y}, c.wide, c.high), 0.25))
				for _, l := range c.lines {
					items = append(items, l.draw(page.Point{X: x, Y: y - under})...)
					y -= under + l.height
				}
			}
			return items
		}})
	}
}
