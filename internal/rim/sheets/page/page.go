// Package page is what every paper renderer is handed: one sheet of paper with strokes, filled areas and words on it, in
// millimetres from its lower left corner, in drawing order. All decisions (scale, hatching, where a label goes) are made
// before; a renderer only puts the items down.
package page

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/rim/sheets/lettering"
)

// Point is a place on paper, millimetres, y up.
type Point = geometry.Point

// Paper is a size of paper with the margin printers need, millimetres. Banner is kept free under the upper margin for what
// every sheet must shout.
type Paper struct {
	Name          string
	Width, Height float64
	Margin        float64
	Banner        float64
}

// The papers, upright.
var (
	Letter  = Paper{Name: "Letter", Width: 215.9, Height: 279.4, Margin: 12.7}
	Tabloid = Paper{Name: "11x17", Width: 279.4, Height: 431.8, Margin: 12.7}
	A4      = Paper{Name: "A4", Width: 210, Height: 297, Margin: 10}
	A3      = Paper{Name: "A3", Width: 297, Height: 420, Margin: 10}
)

// Papers lists the papers there are.
func Papers() []Paper { return []Paper{Letter, Tabloid, A4, A3} }

// Across is the paper lying on its long side.
func (p Paper) Across() Paper {
	p.Width, p.Height = max(p.Width, p.Height), min(p.Width, p.Height)
	return p
}

// Printed is the part of the paper within its margins.
func (p Paper) Printed() geometry.Box {
	return geometry.Box{Min: Point{X: p.Margin, Y: p.Margin}, Max: Point{X: p.Width - p.Margin, Y: p.Height - p.Margin}}
}

// Inside is the part within the margins and under the banner.
func (p Paper) Inside() geometry.Box {
	box := p.Printed()
	box.Max.Y -= p.Banner
	return box
}

// Page is one side of one sheet.
type Page struct {
	Name  string // file name stem
	Title string
	Says  string   // the finding, for a reader who cannot see the page
	Parts []string // headings that start on it
	Paper Paper
	Items []Item
}

// Add puts items on top of what is there.
func (p *Page) Add(items ...Item) { p.Items = append(p.Items, items...) }

// White is the colour of the ground under lettering.
const White = "#ffffff"

// Ink is what items have in common.
type Ink struct {
	Layer  string // the drawing layer, or empty for the sheet's own furniture
	Ref    string // what is shown: "panel 2"
	Colour string // #rrggbb; empty is black
}

// Item is one thing on the page: a Stroke, an Area, Words or a Photo.
type Item interface{ ink() Ink }

// Line is one run of a pen.
type Line struct {
	Points []Point
	Closed bool
}

// Stroke is one or more runs of the same pen; Dash is lengths on and off, millimetres, empty for an unbroken line.
type Stroke struct {
	Ink
	Lines []Line
	Width float64
	Dash  []float64
}

// Area is filled. Outlines run counter-clockwise and holes clockwise, so that every filling rule agrees.
type Area struct {
	Ink
	Rings [][]Point
	Shade bool // its lightness is a value on a scale: grey where the rest is black
}

// Align says which end of a text its place is.
type Align string

// The alignments.
const (
	Start  Align = "start"
	Centre Align = "middle"
	End    Align = "end"
)

// Words is one line of lettering; At is on the baseline, Cap the cap height in millimetres, Angle radians turning left.
type Words struct {
	Ink
	At    Point
	Says  string
	Cap   float64
	Bold  bool
	Align Align
	Angle float64
}

// Photo is a picture in pixels; At is its lower left corner.
type Photo struct {
	Ink
	At            Point
	Width, Height float64
	JPEG          []byte
}

func (i Ink) ink() Ink { return i }

// InkOf is the ink of an item.
func InkOf(i Item) Ink { return i.ink() }

// Width is how far the words run, millimetres.
func (w Words) Width() float64 { return lettering.Width(w.Says, w.Cap, w.Bold) }

// Origin is where the first letter stands on the baseline.
func (w Words) Origin() Point {
	back := map[Align]float64{Start: 0, Centre: 0.5, End: 1}[w.Align] * w.Width()
	return w.At.Sub(geometry.Direction(w.Angle).Scale(back))
}

// Strike is a line through the middle of the words.
func (w Words) Strike() Stroke {
	from := w.Origin().Add(geometry.Direction(w.Angle).Left().Scale(w.Cap / 2))
	return Stroke{Ink: w.Ink, Width: 0.14 * w.Cap, Lines: []Line{{Points: []Point{from, from.Add(geometry.Direction(w.Angle).Scale(w.Width()))}}}}
}

// Corners are the corners of the box the words fill, tails included, counter-clockwise from lower left as read.
func (w Words) Corners() [4]Point {
	along, up := geometry.Direction(w.Angle), geometry.Direction(w.Angle).Left()
	low := w.Origin().Sub(up.Scale(lettering.DropOf(w.Cap)))
	right, rise := along.Scale(w.Width()), up.Scale(w.Cap+lettering.DropOf(w.Cap))
	return [4]Point{low, low.Add(right), low.Add(right).Add(rise), low.Add(rise)}
}

// Move shifts items by d.
func Move(items []Item, d Point) []Item {
	return each(items, func(p Point) Point { return p.Add(d) })
}

func each(items []Item, f func(Point) Point) []Item {
	out := make([]Item, len(items))
	for i, item := range items {
		switch m := item.(type) {
		case Stroke:
			lines := make([]Line, len(m.Lines))
			for j, l := range m.Lines {
				lines[j] = Line{mapped(l.Points, f), l.Closed}
			}
			m.Lines = lines
			out[i] = m
		case Area:
			rings := make([][]Point, len(m.Rings))
			for j, r := range m.Rings {
				rings[j] = mapped(r, f)
			}
			m.Rings = rings
			out[i] = m
		case Words:
			m.At = f(m.At)
			out[i] = m
		case Photo:
			m.At = f(m.At)
			out[i] = m
		}
	}
	return out
}

func mapped(points []Point, f func(Point) Point) []Point {
	out := make([]Point, len(points))
	for i, p := range points {
		out[i] = f(p)
	}
	return out
}

// Extent is the box the items cover, pens' widths included; empty without items.
func Extent(items []Item) geometry.Box {
	box := geometry.EmptyBox()
	for _, item := range items {
		switch m := item.(type) {
		case Stroke:
			for _, l := range m.Lines {
				for _, p := range l.Points {
					half := Point{X: m.Width / 2, Y: m.Width / 2}
					box = box.Grow(p.Sub(half)).Grow(p.Add(half))
				}
			}
		case Area:
			for _, r := range m.Rings {
				for _, p := range r {
					box = box.Grow(p)
				}
			}
		case Words:
			for _, p := range m.Corners() {
				box = box.Grow(p)
			}
		case Photo:
			box = box.Grow(m.At).Grow(m.At.Add(Point{X: m.Width, Y: m.Height}))
		}
	}
	return box
}

// Black is the items without colour: black on white, as printed and copied.
func Black(items []Item) []Item {
	out := make([]Item, len(items))
	for i, item := range items {
		switch m := item.(type) {
		case Stroke:
			m.Colour = blackened(m.Colour)
			out[i] = m
		case Area:
			if m.Shade {
				m.Colour = grey(m.Colour)
			} else {
				m.Colour = blackened(m.Colour)
			}
			out[i] = m
		case Words:
			m.Colour = blackened(m.Colour)
			out[i] = m
		default:
			out[i] = item
		}
	}
	return out
}

func blackened(colour string) string {
	if colour == White {
		return White
	}
	return ""
}

// grey is a colour's lightness as the eye weighs it (ITU-R BT.601: 0.299, 0.587, 0.114); what is no colour is black.
func grey(colour string) string {
	n, err := strconv.ParseUint(strings.TrimPrefix(colour, "#"), 16, 32)
	if err != nil || len(colour) != 7 {
		return ""
	}
	r, g, b := float64(n>>16), float64(n>>8&255), float64(n&255)
	light := int(math.Round(0.299*r + 0.587*g + 0.114*b))
	return fmt.Sprintf("#%02x%02x%02x", light, light, light)
}

// List writes the items as text, one a line, coordinates to a hundredth of a millimetre: what golden files hold.
func (p Page) List(w io.Writer) error {
	if _, err := fmt.Fprintf(w, "page %s %q %s %.1f x %.1f\n", p.Name, p.Title, p.Paper.Name, p.Paper.Width, p.Paper.Height); err != nil {
		return err
	}
	for _, item := range p.Items {
		if _, err := fmt.Fprintln(w, listed(item)); err != nil {
			return err
		}
	}
	return nil
}

func listed(item Item) string {
	ink := item.ink()
	head := fmt.Sprintf("%s %q %s", ink.Layer, ink.Ref, ink.Colour)
	switch m := item.(type) {
	case Stroke:
		text := fmt.Sprintf("stroke %s %.2f %v:", head, m.Width, rounded(m.Dash))
		for _, l := range m.Lines {
			text += fmt.Sprintf(" %s", spots(l.Points))
			if l.Closed {
				text += "z"
			}
		}
		return text
	case Area:
		text := "area " + head + ":"
		for _, r := range m.Rings {
			text += " " + spots(r)
		}
		return text
	case Words:
		return fmt.Sprintf("words %s %s %s %.2f bold=%v %.4f %q", head, spots([]Point{m.At}), m.Align, m.Cap, m.Bold, m.Angle, m.Says)
	case Photo:
		return fmt.Sprintf("photo %s %s %.2f x %.2f, %d bytes", head, spots([]Point{m.At}), m.Width, m.Height, len(m.JPEG))
	}
	return "unknown"
}

func rounded(values []float64) []string {
	out := make([]string, len(values))
	for i, v := range values {
		out[i] = fmt.Sprintf("%.2f", v)
	}
	return out
}

func spots(points []Point) string {
	text := ""
	for i, p := range points {
		if i > 0 {
			text += " "
		}
		text += hundredths(p.X) + "," + hundredths(p.Y)
	}
	return text
}

// hundredths writes v to two decimals, never as a negative zero.
func hundredths(v float64) string {
	if text := fmt.Sprintf("%.2f", v); text != "-0.00" {
		return text
	}
	return "0.00"
}
