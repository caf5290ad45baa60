// Package frame makes a sheet out of a page: title block, legend, scales and north on a drawing sheet, head and foot on a
// page of text, and the number of the sheet among all.
package frame

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/trade/draft"
)

// What every sheet says.
const (
	NotASurvey    = "Not a survey. Not sealed. Local code and your engineer govern."
	FiguresGovern = "Figured dimensions govern; do not scale."
)

// Block is what the title block holds, the same on every sheet of a pack.
type Block struct {
	Job      string
	Address  string
	Owner    string // of the drawing
	Number   string // of the job
	Revision string
	Printed  string // date and time
	DrawnBy  string
	Units    string
	Assumed  int    // how many values the plan assumed
	Version  string // short code of the plan
	Mark     string // printed on every sheet: "practice, invented data"
	Banner   string // boxed over every sheet whose paper keeps room for it
}

// Draft is a sheet that does not know its number yet.
type Draft struct {
	Page    page.Page
	Drawing bool        // has a title block; a page of text has head and foot
	View    layout.View // of a drawing
}

// The parts of a sheet, millimetres.
const (
	cap10       = draft.NoteHeight
	blockRow    = 5.6
	blockRows   = 5
	blockHeight = blockRow*blockRows + 2
	footHeight  = 6
	headHeight  = 11
)

// Body is the part of a text page between head and foot.
func Body(p page.Paper) geometry.Box {
	box := p.Inside()
	box.Min.Y += footHeight + 2
	box.Max.Y -= headHeight
	return box
}

// Finish gives every sheet its furniture and its number among all.
func Finish(drafts []Draft, b Block) []page.Page { return FinishAmong(drafts, b, 1, len(drafts)) }

// FinishAmong gives sheets that are part of a larger set their furniture and their numbers in it, from first on.
func FinishAmong(drafts []Draft, b Block, first, among int) []page.Page {
	out := make([]page.Page, len(drafts))
	for i, d := range drafts {
		p := d.Page
		p.Items = append([]page.Item{}, p.Items...)
		number := fmt.Sprintf("Sheet %d of %d", first+i, among)
		if d.Drawing {
			p.Add(titleBlock(p, b, d.View.Scale.Says, number)...)
		} else {
			p.Add(head(p, b)...)
			p.Add(foot(p.Paper, NotASurvey, join("   ", b.Mark, number, b.Version))...)
		}
		if b.Banner != "" && p.Paper.Banner > 0 {
			p.Add(banner(p.Paper, b.Banner)...)
		}
		out[i] = p
	}
	return out
}

// BannerHeight is the room a paper keeps for a banner, millimetres: its box and the gap under it.
const (
	BannerHeight = 13.0
	bannerPen    = 1.2
)

// banner boxes the words over the sheet, with a warning sign on each side, as large as fits up to 20 pt.
func banner(paper page.Paper, says string) []page.Item {
	const gap, sign = 3.0, 6.0
	box := paper.Printed()
	box.Min.Y = box.Max.Y - paper.Banner + gap
	box = box.Expand(-bannerPen / 2)
	size := min(lettering.CapOf(20), (box.Width()-2*(sign+2*gap))/lettering.Width(says, 1, true))
	y := box.Centre().Y
	at := func(x float64) page.Point { return page.Point{X: x, Y: y + sign/2} }
	items := []page.Item{
		page.Stroke{Lines: []page.Line{{Points: box.Polygon().Outer, Closed: true}}, Width: bannerPen},
		page.Words{At: page.Point{X: box.Centre().X, Y: y - size/2}, Says: says, Cap: size, Bold: true, Align: page.Centre},
	}
	items = append(items, Warning(at(box.Min.X+gap), sign)...)
	return append(items, Warning(at(box.Max.X-gap-sign), sign)...)
}

// Warning is a triangle with a stroke and a dot, its top left corner at at.
func Warning(at page.Point, size float64) []page.Item {
	p := func(x, y float64) page.Point { return page.Point{X: at.X + x*size, Y: at.Y - y*size} }
	stroke := func(width float64, closed bool, points ...page.Point) page.Item {
		return page.Stroke{Width: width, Lines: []page.Line{{Points: points, Closed: closed}}}
	}
	return []page.Item{stroke(0.6, true, p(0.5, 0.05), p(1, 0.92), p(0, 0.92)), stroke(0.8, false, p(0.5, 0.34), p(0.5, 0.64)),
		stroke(0.8, false, p(0.5, 0.71), p(0.5, 0.82))}
}

func head(p page.Page, b Block) []page.Item {
	box := p.Paper.Inside()
	y := box.Max.Y - cap10 - 0.5
	right := "Printed " + b.Printed
	room := box.Width() - lettering.Width(right, cap10, false) - 8
	left := b.Job
	if b.Address != "" {
		left += ", " + b.Address
	}
	return []page.Item{
		page.Words{At: page.Point{X: box.Min.X, Y: y}, Says: lettering.Cut(left, cap10, true, room), Cap: cap10, Bold: true, Align: page.Start},
		page.Words{At: page.Point{X: box.Max.X, Y: y}, Says: right, Cap: cap10, Align: page.End},
		rule(box.Min.X, box.Max.X, y-2, 0.3),
	}
}

func foot(paper page.Paper, left, right string) []page.Item {
	box := paper.Inside()
	y := box.Min.Y + 0.8
	return []page.Item{
		rule(box.Min.X, box.Max.X, y+cap10+2, 0.3),
		page.Words{At: page.Point{X: box.Min.X, Y: y}, Says: left, Cap: cap10, Align: page.Start},
		page.Words{At: page.Point{X: box.Max.X, Y: y}, Says: right, Cap: cap10, Align: page.End},
	}
}

// join puts the parts that say something together.
func join(separator string, parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), separator)
}

func rule(from, to, y, width float64) page.Item {
	return page.Stroke{Lines: []page.Line{{Points: []page.Point{{X: from, Y: y}, {X: to, Y: y}}}}, Width: width}
}

func upright(x, low, high, width float64) page.Item {
	return page.Stroke{Lines: []page.Line{{Points: []page.Point{{X: x, Y: low}, {X: x, Y: high}}}}, Width: width}
}

// field is one line of the title block.
type field struct {
	name, says string
	bold       bool // as the column's heading
	strong     bool
	blank      bool // a line to write on
}

// Kind is a sheet's name in words: "Joint plan" of "joint-plan".
func Kind(name string) string {
	says := []rune(strings.ReplaceAll(name, "-", " "))
	if len(says) > 0 {
		says[0] = unicode.ToUpper(says[0])
	}
	return string(says)
}

// titleBlock is a strip of three columns over the foot of the sheet.
func titleBlock(p page.Page, b Block, scale, number string) []page.Item {
	box := p.Paper.Inside()
	low := box.Min.Y + footHeight
	columns := [3][]field{
		{{says: b.Job, bold: true}, {says: b.Address}, {name: "Owner of drawing", says: b.Owner}, {name: "Drawn by", says: b.DrawnBy}, {name: "Checked by", blank: true}},
		{{says: Kind(p.Name), bold: true}, {name: "Number", says: b.Number}, {name: "Revision", says: b.Revision}, {name: "Version", says: b.Version}, {name: "Printed", says: b.Printed}},
		{{says: number, bold: true}, {name: "Scale", says: scale}, {name: "Units", says: b.Units}, {name: "Assumed values", says: fmt.Sprint(b.Assumed)}, {says: b.Mark, strong: true}},
	}
	items := append(foot(p.Paper, NotASurvey, FiguresGovern), rule(box.Min.X, box.Max.X, low+blockHeight, 0.6))
	edges := [4]float64{0, 0.34, 0.67, 1}
	for i, column := range columns {
		left, right := box.Min.X+edges[i]*box.Width(), box.Min.X+edges[i+1]*box.Width()
		if i > 0 {
			items = append(items, upright(left, low+1.5, low+blockHeight-1.5, 0.3))
			left += 3
		}
		items = append(items, columnOf(column, left, right-3, low+blockHeight-1)...)
	}
	return items
}

func columnOf(fields []field, left, right, top float64) []page.Item {
	var items []page.Item
	for i, f := range fields {
		y := top - float64(i+1)*blockRow + 1.4
		x := left
		if f.name != "" {
			items = append(items, page.Words{At: page.Point{X: x, Y: y}, Says: f.name, Cap: cap10, Align: page.Start})
			x += lettering.Width(f.name+"  ", cap10, false)
		}
		if f.blank {
			items = append(items, rule(x, right, y-0.6, 0.2))
			continue
		}
		size, heavy := cap10, f.bold || f.strong || f.name != ""
		if f.bold {
			size = 3.2
		}
		items = append(items, page.Words{At: page.Point{X: x, Y: y}, Says: lettering.Cut(f.says, size, heavy, right-x), Cap: size, Bold: heavy, Align: page.Start})
	}
	return items
}
