package document

import (
	"math"
	"strings"

	"slabwright/internal/rim/sheets/lettering"
)

// longestWord is the share of the table a word may claim before it is broken inside.
const longestWord = 0.3

// measures are what a table's cells ask for, millimetres with their sides.
type measures struct {
	least []float64   // the longest word of each column
	whole []float64   // the longest cell of each column on one line
	cells [][]float64 // each row's cells on one line
}

// widths shares the table's width among its columns: as said, or so that everything stands on one line, or, where that
// cannot be, so that the table becomes as low as it can; none gets less than its longest word.
func (t Table) widths(columns int, width float64) []float64 {
	if len(t.Shares) == columns {
		out := make([]float64, columns)
		for i, share := range t.Shares {
			out[i] = width * share / sum(t.Shares)
		}
		return out
	}
	m := t.measured(columns, width)
	if sum(m.whole) <= width {
		return spread(m.whole, width, t.Right)
	}
	return m.lowest(m.shared(width))
}

func (t Table) measured(columns int, width float64) measures {
	m := measures{least: make([]float64, columns), whole: make([]float64, columns)}
	add := func(cells []string, bold bool) {
		row := make([]float64, columns)
		for i, says := range cells {
			heavy := bold || contains(t.Bold, i)
			for _, line := range strings.Split(says, "\n") {
				row[i] = max(row[i], lettering.Width(line, t.Cap, heavy)+2*cellSide+slack)
			}
			for _, word := range strings.Fields(says) {
				word := lettering.Width(word, t.Cap, heavy) + 2*cellSide + slack
				m.least[i] = max(m.least[i], min(word, longestWord*width))
			}
			m.whole[i] = max(m.whole[i], row[i])
		}
		m.cells = append(m.cells, row)
	}
	add(t.Header, true)
	for i, r := range t.Rows {
		add(r, t.Total && i == len(t.Rows)-1)
	}
	return m
}

// spread gives what is left over to the columns of words; to all when there are none.
func spread(whole []float64, width float64, right []int) []float64 {
	out := append([]float64{}, whole...)
	var wordy []int
	for i := range out {
		if !contains(right, i) {
			wordy = append(wordy, i)
		}
	}
	if len(wordy) == 0 {
		for i := range out {
			wordy = append(wordy, i)
		}
	}
	spare := (width - sum(whole)) / float64(len(wordy))
	for _, i := range wordy {
		out[i] += spare
	}
	return out
}

// shared finds the level up to which every column is given what it asks, by halving: the sum of min(whole, max(least,
// level)) is the width. When not even the least fits, all shrink alike.
func (m measures) shared(width float64) []float64 {
	at := func(level float64) []float64 {
		out := make([]float64, len(m.whole))
		for i := range out {
			out[i] = min(m.whole[i], max(m.least[i], level))
		}
		return out
	}
	low, high := 0.0, width
	for range 50 {
		if middle := (low + high) / 2; sum(at(middle)) > width {
			high = middle
		} else {
			low = middle
		}
	}
	out := at(low)
	k := width / sum(out)
	for i := range out {
		out[i] *= k
	}
	return out
}

// lowest moves width from column to column, a little at a time, as long as that makes the table lower.
func (m measures) lowest(widths []float64) []float64 {
	const step, rounds = 3.0, 60
	height := m.height(widths)
	for range rounds {
		best, least := []float64(nil), height
		for from := range widths {
			if widths[from]-step < m.least[from] {
				continue
			}
			for to := range widths {
				trial := append([]float64{}, widths...)
				trial[from] -= step
				trial[to] += step
				if h := m.height(trial); from != to && h < least {
					best, least = trial, h
				}
			}
		}
		if best == nil {
			return widths
		}
		widths, height = best, least
	}
	return widths
}

// height is about how many lines the table takes; a line half filled more counts a little, so that there is always a slope.
func (m measures) height(widths []float64) float64 {
	total := 0.0
	for _, row := range m.cells {
		most := 1.0
		for i, w := range row {
			room := max(widths[i]-2*cellSide, 1)
			fill := (w - 2*cellSide) / room
			if fill > 1 {
				fill *= 1.08 // ragged lines
			}
			most = max(most, math.Ceil(fill)+0.1*fill)
		}
		total += most
	}
	return total
}

func sum(values []float64) float64 {
	total := 0.0
	for _, v := range values {
		total += v
	}
	return total
}
