// Package ledger is tables of words and numbers on their way into files other programs read: columns with a name and a
// unit, cells that are a number or text, products and sums that stay live where the format can keep them so.
package ledger

import (
	"fmt"
	"strings"
)

// Column is one column of a tab.
type Column struct {
	Name     string // "amount": lower case words
	Unit     string // "yd3", or the sign of a currency; empty for text and bare numbers
	Money    bool   // the unit is a currency, written before the number
	Decimals int    // shown
	Product  []string
	Sum      bool // a total stands under it
}

// Head is the column's name with its unit, as one word for machines: "amount_yd3", "price_usd_per_yd3".
func (c Column) Head() string {
	name := strings.ReplaceAll(c.Name, " ", "_")
	if c.Unit == "" {
		return name
	}
	return name + "_" + unitWord.Replace(c.Unit)
}

var unitWord = strings.NewReplacer("$", "usd", "€", "eur", "£", "gbp", "/", "_per_", "*", "_", "%", "pct", "°", "deg_", " ", "_", "·", "_")

// Cell is text or a number.
type Cell struct {
	Text   string
	Number float64
	Is     Kind
}

// Kind says what a cell holds.
type Kind int

// The kinds of cell; the zero value is nothing.
const (
	Nothing Kind = iota
	Words
	Figure
)

// Text is a cell of words.
func Text(says string) Cell { return Cell{Text: says, Is: Words} }

// Number is a cell with a number.
func Number(v float64) Cell { return Cell{Number: v, Is: Figure} }

// Tab is one table. A row holds a cell for every column; the cells of product columns are left empty and follow.
type Tab struct {
	Name    string
	Columns []Column
	Rows    [][]Cell
}

// Index is where a column stands, −1 when there is none of that name.
func (t Tab) Index(name string) int {
	for i, c := range t.Columns {
		if c.Name == name {
			return i
		}
	}
	return -1
}

// Check is an error when a row has not one cell for every column or a product names a column that is not there.
func (t Tab) Check() error {
	for _, c := range t.Columns {
		for _, name := range c.Product {
			if t.Index(name) < 0 {
				return fmt.Errorf("ledger: column %q of %q multiplies %q, which is not there", c.Name, t.Name, name)
			}
		}
	}
	for i, r := range t.Rows {
		if len(r) != len(t.Columns) {
			return fmt.Errorf("ledger: row %d of %q has %d cells for %d columns", i+1, t.Name, len(r), len(t.Columns))
		}
	}
	return nil
}

// Value is a row's cell in a column, products worked out.
func (t Tab) Value(row []Cell, column int) Cell {
	c := t.Columns[column]
	if len(c.Product) == 0 {
		return row[column]
	}
	v := 1.0
	for _, name := range c.Product {
		factor := t.Value(row, t.Index(name))
		if factor.Is != Figure {
			return Cell{}
		}
		v *= factor.Number
	}
	return Number(v)
}

// Total is the sum under a column.
func (t Tab) Total(column int) float64 {
	sum := 0.0
	for _, r := range t.Rows {
		sum += t.Value(r, column).Number
	}
	return sum
}

// Harmless is text that no spreadsheet takes for a formula: where it starts like one, in the wide signs of East Asian keyboards too,
// an apostrophe goes before it.
func Harmless(says string) string {
	if strings.IndexAny(says, "=+-@\t\r\n\x00＝＋－＠") == 0 {
		return "'" + says
	}
	return says
}
