package document

import (
	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
)

// Table is rows under a head. Right lists the columns whose figures stand at the right edge. Total: the last row is the sum
// of those above.
type Table struct {
	Header []string
	Rows   [][]string
	Right  []int
	Bold   []int // columns lettered bold
	Struck []int // columns whose words hold no more: a line runs through them
	Total  bool
	Tight  bool      // rows close together
	Cap    float64   // cap height; zero: TableCap
	Shares []float64 // of the width, for each column; none: by what the columns hold
}

// The room beside a cell's lettering, millimetres, and over and under it, in cap heights.
const (
	cellSide = 1.8
	cellTop  = 0.52
	tightTop = 0.32
)

func (t Table) top() float64 {
	if t.Tight {
		return tightTop * t.Cap
	}
	return cellTop * t.Cap
}

// Table sets a table over the full width. Cells wrap, rows stay whole, the head is repeated on every sheet, and a total
// stays with the row before it.
func (f *Flow) Table(t Table) {
	if t.Cap == 0 {
		t.Cap = TableCap
	}
	columns := len(t.Header)
	for _, r := range t.Rows {
		columns = max(columns, len(r))
	}
	if columns == 0 {
		return
	}
	widths := t.widths(columns, f.width)
	head := t.row(t.Header, widths, true, true, 0.6)
	head.space, head.keep = 5, true
	if len(t.Header) > 0 {
		f.add(head)
	}
	for i, r := range t.Rows {
		total := t.Total && i == len(t.Rows)-1
		row := t.row(r, widths, total, false, 0.2)
		row.keep = t.Total && i == len(t.Rows)-2
		if total {
			row = overlined(row, f.width)
		}
		if len(t.Header) > 0 {
			row.again = []block{head}
		} else if i == 0 {
			row.space = 5
		}
		f.add(row)
	}
}

// row is a line of cells over a rule.
func (t Table) row(cells []string, widths []float64, bold, head bool, pen float64) block {
	set := make([]block, len(widths))
	height := t.Cap
	for i, w := range widths {
		says := ""
		if i < len(cells) {
			says = cells[i]
		}
		set[i] = aligned(says, t.Cap, bold || contains(t.Bold, i), w-2*cellSide, contains(t.Right, i))
		height = max(height, set[i].height)
	}
	height += 2*t.top() + lettering.DropOf(t.Cap)/2
	return block{height: height, draw: func(at page.Point) []page.Item {
		var items []page.Item
		x := at.X
		for i, w := range widths {
			words := set[i].draw(page.Point{X: x + cellSide, Y: at.Y - t.top()})
			if contains(t.Struck, i) && !head {
				words = struck(words)
			}
			items = append(items, words...)
			x += w
		}
		return append(items, ruled(page.Point{X: at.X, Y: at.Y - height}, page.Point{X: x, Y: at.Y - height}, pen))
	}}
}

func struck(items []page.Item) []page.Item {
	for _, item := range items {
		if w, ok := item.(page.Words); ok && w.Says != "" {
			items = append(items, w.Strike())
		}
	}
	return items
}

func overlined(row block, width float64) block {
	draw := row.draw
	row.draw = func(at page.Point) []page.Item {
		return append(draw(at), ruled(at, page.Point{X: at.X + width, Y: at.Y}, 0.6))
	}
	return row
}

// aligned is lettering wrapped to a width at its left or right edge.
func aligned(says string, size float64, bold bool, width float64, right bool) block {
	b := lines(says, size, bold, width)
	if !right {
		return b
	}
	draw := b.draw
	b.draw = func(at page.Point) []page.Item {
		items := draw(page.Point{X: at.X + width, Y: at.Y})
		for i, item := range items {
			words := item.(page.Words)
			words.Align = page.End
			items[i] = words
		}
		return items
	}
	return b
}

func contains(list []int, i int) bool {
	for _, have := range list {
		if have == i {
			return true
		}
	}
	return false
}
