package document

import (
	"strings"

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
	Total  bool
	Cap    float64 // cap height; zero: TableCap
}

// The room around a cell's lettering, millimetres.
const (
	cellSide = 2.0
	cellTop  = 1.8
)

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
	head := t.row(t.Header, widths, true, 0.6)
	head.space, head.keep = 5, true
	if len(t.Header) > 0 {
		f.add(head)
	}
	for i, r := range t.Rows {
		total := t.Total && i == len(t.Rows)-1
		row := t.row(r, widths, total, 0.2)
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
func (t Table) row(cells []string, widths []float64, bold bool, pen float64) block {
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
	height += 2*cellTop + lettering.DropOf(t.Cap)/2
	return block{height: height, draw: func(at page.Point) []page.Item {
		var items []page.Item
		x := at.X
		for i, w := range widths {
			items = append(items, set[i].draw(page.Point{X: x + cellSide, Y: at.Y - cellTop})...)
			x += w
		}
		return append(items, ruled(page.Point{X: at.X, Y: at.Y - height}, page.Point{X: x, Y: at.Y - height}, pen))
	}}
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

// widths shares the table's width among its columns: each gets what its longest word needs; what is left goes where
// lettering would otherwise wrap, then to the columns that do not hold figures.
func (t Table) widths(columns int, width float64) []float64 {
	least, whole := make([]float64, columns), make([]float64, columns)
	measure := func(cells []string, bold bool) {
		for i, says := range cells {
			heavy := bold || contains(t.Bold, i)
			for _, line := range strings.Split(says, "\n") {
				whole[i] = max(whole[i], lettering.Width(line, t.Cap, heavy)+2*cellSide+slack)
			}
			for _, word := range strings.Fields(says) {
				least[i] = max(least[i], lettering.Width(word, t.Cap, heavy)+2*cellSide+slack)
			}
		}
	}
	measure(t.Header, true)
	for i, r := range t.Rows {
		measure(r, t.Total && i == len(t.Rows)-1)
	}
	return shared(least, whole, width, t.Right)
}

func shared(least, whole []float64, width float64, right []int) []float64 {
	sumLeast, sumWhole := sum(least), sum(whole)
	out := make([]float64, len(least))
	switch {
	case sumLeast > width:
		for i := range out {
			out[i] = width * least[i] / sumLeast
		}
	case sumWhole > width:
		give := (width - sumLeast) / (sumWhole - sumLeast)
		for i := range out {
			out[i] = least[i] + (whole[i]-least[i])*give
		}
	default:
		wordy := len(out) - len(right)
		for i := range out {
			out[i] = whole[i]
			if wordy > 0 && !contains(right, i) {
				out[i] += (width - sumWhole) / float64(wordy)
			} else if wordy <= 0 {
				out[i] += (width - sumWhole) / float64(len(out))
			}
		}
	}
	return out
}

func sum(values []float64) float64 {
	total := 0.0
	for _, v := range values {
		total += v
	}
	return total
}
