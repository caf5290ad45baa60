// Package document sets pages of text: headings, figures to remember, tables, lists to tick, cautions, lines to sign and
// drawings, flowing over as many sheets as they need. A table row, a box or a drawing is never cut by a page's end.
package document

import (
	"fmt"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
)

// Sizes of lettering, cap heights in millimetres: body is read at arm's length, a note is the smallest there is.
var (
	TitleCap   = lettering.CapOf(28)
	HeadingCap = lettering.CapOf(20)
	BodyCap    = lettering.CapOf(14)
	TableCap   = lettering.CapOf(12)
	NoteCap    = lettering.CapOf(10)
)

// leading is from baseline to baseline, in cap heights.
const leading = 1.75

// block is a piece that stays whole: how high it is, the space over it (left out at the top of a sheet), whether it must
// share a sheet with the next, and how it is drawn with its top left corner at a place.
type block struct {
	height, space float64
	keep          bool
	part          string  // the heading of a part, for the outline
	again         []block // drawn again on top of a sheet that starts with this block: a table's head
	draw          func(at page.Point) []page.Item
}

// Flow collects blocks for a column of text of one width.
type Flow struct {
	width  float64
	text   float64 // cap height of running text; zero: BodyCap
	blocks []block
	err    error
}

// Try keeps the first error of setting something, for Err.
func (f *Flow) Try(err error) {
	if f.err == nil {
		f.err = err
	}
}

// Err is the first error kept.
func (f *Flow) Err() error { return f.err }

// Small letters running text, steps and ticks that follow at 12 pt instead of 14: for a sheet that must be one side.
func (f *Flow) Small() { f.text = TableCap }

func (f *Flow) size() float64 {
	if f.text > 0 {
		return f.text
	}
	return BodyCap
}

// Doc is a document of one or more sheets.
type Doc struct {
	Flow
	name, title string
	paper       page.Paper
}

// New starts a document; name is its file name stem, title what its bookmark says.
func New(name, title string, paper page.Paper) *Doc {
	return &Doc{Flow: Flow{width: frame.Body(paper).Width()}, name: name, title: title, paper: paper}
}

// Room is how high a column of text is on a sheet of paper, millimetres.
func Room(paper page.Paper) float64 { return frame.Body(paper).Height() }

// Height is what the flow takes on one endless sheet, millimetres.
func (f *Flow) Height() float64 {
	sum := 0.0
	for i, b := range f.blocks {
		sum += b.height
		if i > 0 {
			sum += b.space
		}
	}
	return sum
}

// Sheets lays the document out. An error when a block is higher than a sheet.
func (d *Doc) Sheets() ([]frame.Draft, error) {
	box := frame.Body(d.paper)
	var out []frame.Draft
	p, y := d.page(), box.Max.Y
	used := false
	for i := range d.blocks {
		b := d.blocks[i]
		need := heightTogether(d.blocks[i:])
		if need > box.Height() {
			need = b.height
		}
		if used && (y-b.space-need < box.Min.Y-slack) {
			out = append(out, frame.Draft{Page: p})
			p, y, used = d.page(), box.Max.Y, false
			for _, head := range b.again {
				p.Add(head.draw(page.Point{X: box.Min.X, Y: y})...)
				y -= head.height
				used = true
			}
		}
		if used {
			y -= b.space
		}
		if b.height > y-box.Min.Y+slack {
			return nil, fmt.Errorf("document: a part of %q is %.0f mm high and no sheet of %s has the room; shorten its text", d.title, b.height, d.paper.Name)
		}
		if b.draw != nil {
			p.Add(b.draw(page.Point{X: box.Min.X, Y: y})...)
			used = true
		}
		if b.part != "" {
			p.Parts = append(p.Parts, b.part)
		}
		y -= b.height
	}
	return append(out, frame.Draft{Page: p}), nil
}

// slack forgives rounding of heights, millimetres.
const slack = 0.01

// heightTogether is the height of the first block and of those it must share a sheet with.
func heightTogether(blocks []block) float64 {
	sum := 0.0
	for i, b := range blocks {
		if i > 0 {
			sum += b.space
		}
		sum += b.height
		if !b.keep {
			break
		}
	}
	return sum
}

func (d *Doc) page() page.Page {
	return page.Page{Name: d.name, Title: d.title, Says: d.title, Paper: d.paper}
}

func (f *Flow) add(b block) { f.blocks = append(f.blocks, b) }

// lines is lettering wrapped to a width, its first line's caps touching the top.
func lines(says string, size float64, bold bool, width float64) block {
	wrapped := lettering.Wrap(says, size, bold, width)
	return block{
		height: size * (1 + leading*float64(len(wrapped)-1)),
		draw: func(at page.Point) []page.Item {
			items := make([]page.Item, len(wrapped))
			for i, line := range wrapped {
				items[i] = page.Words{At: page.Point{X: at.X, Y: at.Y - size*(1+leading*float64(i))}, Says: line, Cap: size, Bold: bold, Align: page.Start}
			}
			return items
		},
	}
}

// Title is the largest heading, at the top of a document.
func (f *Flow) Title(says string) {
	b := lines(says, TitleCap, true, f.width)
	b.space, b.keep = 10, true
	f.add(b)
}

// Heading starts a part.
func (f *Flow) Heading(says string) {
	b := lines(says, HeadingCap, true, f.width)
	b.space, b.keep, b.part = 9, true, says
	f.add(b)
}

// Body is a paragraph.
func (f *Flow) Body(says string) {
	b := lines(says, f.size(), false, f.width)
	b.space = 5
	f.add(b)
}

// Strong is a paragraph in bold.
func (f *Flow) Strong(says string) {
	b := lines(says, f.size(), true, f.width)
	b.space = 5
	f.add(b)
}

// Note is small print.
func (f *Flow) Note(says string) {
	b := lines(says, NoteCap, false, f.width)
	b.space = 4
	f.add(b)
}

// Beside sets two flows next to each other, the left one taking share of the width; they stay on one sheet.
func (f *Flow) Beside(share float64, left, right func(*Flow)) {
	const gutter = 8
	l := &Flow{width: (f.width - gutter) * share, text: f.text}
	r := &Flow{width: (f.width - gutter) * (1 - share), text: f.text}
	left(l)
	right(r)
	f.Try(l.err)
	f.Try(r.err)
	f.add(block{height: max(l.Height(), r.Height()), space: 6, draw: func(at page.Point) []page.Item {
		return append(l.drawn(at), r.drawn(page.Point{X: at.X + l.width + gutter, Y: at.Y})...)
	}})
}

// Together keeps what is set on one sheet.
func (f *Flow) Together(set func(*Flow)) {
	inner := &Flow{width: f.width, text: f.text}
	set(inner)
	f.Try(inner.err)
	f.add(block{height: inner.Height(), space: 9, draw: inner.drawn})
}

// drawn lays the flow's blocks under each other from a place down.
func (f *Flow) drawn(at page.Point) []page.Item {
	var items []page.Item
	for i, b := range f.blocks {
		if i > 0 {
			at.Y -= b.space
		}
		if b.draw != nil {
			items = append(items, b.draw(at)...)
		}
		at.Y -= b.height
	}
	return items
}

func boxAt(at page.Point, width, height float64) geometry.Box {
	return geometry.Box{Min: page.Point{X: at.X, Y: at.Y - height}, Max: page.Point{X: at.X + width, Y: at.Y}}
}

func framed(b geometry.Box, pen float64) page.Item {
	return page.Stroke{Lines: []page.Line{{Points: b.Polygon().Outer, Closed: true}}, Width: pen}
}

func ruled(from, to page.Point, pen float64) page.Item {
	return page.Stroke{Lines: []page.Line{{Points: []page.Point{from, to}}}, Width: pen}
}
