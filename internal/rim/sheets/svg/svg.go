// Package svg writes a page as an SVG document: one group per layer run, each thing with what it shows as its title, the
// finding as the document's description. Black and white unless the page's items carry colour. The face is named, not
// embedded: whoever shows the drawing offers it.
package svg

import (
	"bufio"
	"encoding/base64"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
)

// families are asked for in this order; all are upright sans faces of like width.
const families = lettering.Family + ", 'Go Regular', 'DejaVu Sans Condensed', 'Liberation Sans', Arial, Helvetica, sans-serif"

// Write renders one page, true to size when printed.
func Write(w io.Writer, p page.Page) error {
	out := bufio.NewWriter(w)
	width, height := number(p.Paper.Width), number(p.Paper.Height)
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img" aria-labelledby="title desc">`+"\n",
		width, height, width, height)
	fmt.Fprintf(out, "<title id=\"title\">%s</title>\n<desc id=\"desc\">%s</desc>\n", escaped(p.Title), escaped(p.Says))
	fmt.Fprintf(out, `<rect width="%s" height="%s" fill="#ffffff"/>`+"\n", width, height)
	fmt.Fprintf(out, `<g font-family="%s" stroke-linecap="butt" stroke-linejoin="miter" fill="none" stroke="none">`+"\n", families)
	pen{out: out, height: p.Paper.Height}.layers(p)
	fmt.Fprint(out, "</g>\n</svg>\n")
	return out.Flush()
}

// Inline writes one page as an element to stand inside another document: as wide as its place allows, without a ground of its
// own. Black is the colour of the text around it and white the class "paper", so that it follows a dark screen; marks carry
// what they show but no ids, so that several drawings may stand in one document.
func Inline(w io.Writer, p page.Page) error {
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" role="img" aria-label="%s">`+"\n",
		number(p.Paper.Width), number(p.Paper.Height), escaped(p.Title))
	fmt.Fprintf(out, `<g font-family="%s" stroke-linecap="butt" stroke-linejoin="miter" fill="none" stroke="none">`+"\n", families)
	pen{out: out, height: p.Paper.Height, inline: true}.layers(p)
	fmt.Fprint(out, "</g>\n</svg>\n")
	return out.Flush()
}

// pen puts items down on a page of some height; inline says that it stands inside another document.
type pen struct {
	out    io.Writer
	height float64
	inline bool
}

// layers writes the items in drawing order, neighbours of one layer in one group.
func (w pen) layers(p page.Page) {
	out := w.out
	layer, open := "", false
	for i, item := range p.Items {
		if ink := page.InkOf(item); !open || ink.Layer != layer {
			if open {
				fmt.Fprint(out, "</g>\n")
			}
			layer, open = ink.Layer, true
			fmt.Fprintf(out, `<g class="%s">`+"\n", escaped(className(layer)))
		}
		w.element(item, i+1)
	}
	if open {
		fmt.Fprint(out, "</g>\n")
	}
}

func className(layer string) string {
	if layer == "" {
		return "sheet"
	}
	return layer
}

func (w pen) element(item page.Item, n int) {
	out, height, ink := w.out, w.height, page.InkOf(item)
	head := ""
	if !w.inline {
		head = fmt.Sprintf(` id="m%d"`, n)
	}
	if ink.Ref != "" {
		head += fmt.Sprintf(` data-ref="%s"`, escaped(ink.Ref))
	}
	if w.inline && ink.Colour == page.White {
		head += ` class="paper"`
	}
	title := ""
	if ink.Ref != "" {
		title = "<title>" + escaped(ink.Ref) + "</title>"
	}
	switch m := item.(type) {
	case page.Stroke:
		fmt.Fprintf(out, `<path%s d="%s" stroke="%s" stroke-width="%s"%s>%s</path>`+"\n",
			head, strokes(m.Lines, height), w.colour(ink.Colour), number(m.Width), dash(m.Dash), title)
	case page.Area:
		fmt.Fprintf(out, `<path%s d="%s" fill="%s" fill-rule="evenodd">%s</path>`+"\n", head, rings(m.Rings, height), w.colour(ink.Colour), title)
	case page.Words:
		fmt.Fprintf(out, `<text%s x="%s" y="%s" font-size="%s"%s text-anchor="%s" fill="%s"%s>%s%s</text>`+"\n",
			head, number(m.At.X), number(height-m.At.Y), number(lettering.EmOf(m.Cap)), weight(m.Bold), m.Align,
			w.colour(ink.Colour), turn(m, height), title, escaped(m.Says))
	case page.Photo:
		fmt.Fprintf(out, `<image%s x="%s" y="%s" width="%s" height="%s" href="data:image/jpeg;base64,%s">%s</image>`+"\n",
			head, number(m.At.X), number(height-m.At.Y-m.Height), number(m.Width), number(m.Height), base64.StdEncoding.EncodeToString(m.JPEG), title)
	}
}

func strokes(lines []page.Line, height float64) string {
	var b strings.Builder
	for _, l := range lines {
		run(&b, l.Points, height)
		if l.Closed {
			b.WriteByte('Z')
		}
	}
	return b.String()
}

func rings(all [][]page.Point, height float64) string {
	var b strings.Builder
	for _, r := range all {
		run(&b, r, height)
		b.WriteByte('Z')
	}
	return b.String()
}

func run(b *strings.Builder, points []page.Point, height float64) {
	for i, q := range points {
		switch i {
		case 0:
			b.WriteByte('M')
		case 1:
			b.WriteByte('L')
		default:
			b.WriteByte(' ')
		}
		b.WriteString(number(q.X) + " " + number(height-q.Y))
	}
}

func dash(lengths []float64) string {
	if len(lengths) == 0 {
		return ""
	}
	parts := make([]string, len(lengths))
	for i, d := range lengths {
		parts[i] = number(d)
	}
	return ` stroke-dasharray="` + strings.Join(parts, " ") + `"`
}

func weight(bold bool) string {
	if bold {
		return ` font-weight="bold"`
	}
	return ""
}

// turn is the rotation of a text about its place; SVG turns right where paper turns left.
func turn(m page.Words, height float64) string {
	if m.Angle == 0 {
		return ""
	}
	return fmt.Sprintf(` transform="rotate(%s %s %s)"`, number(-m.Angle*180/math.Pi), number(m.At.X), number(height-m.At.Y))
}

// colour lets nothing but #rrggbb into the document; all else is black, which inside another document is its ink.
func (w pen) colour(c string) string {
	if len(c) == 7 && c[0] == '#' && !(w.inline && c == "#000000") {
		if _, err := strconv.ParseUint(c[1:], 16, 32); err == nil {
			return c
		}
	}
	if w.inline {
		return "currentColor"
	}
	return "#000000"
}

// number writes millimetres to a thousandth.
func number(v float64) string {
	text := strconv.FormatFloat(v, 'f', 3, 64)
	text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	if text == "-0" {
		return "0"
	}
	return text
}

var entities = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

// escaped is says as XML character data or attribute; characters XML forbids become spaces.
func escaped(says string) string {
	clean := strings.Map(func(r rune) rune {
		if r < ' ' || r == 0xFFFE || r == 0xFFFF {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(says, "□"))
	return entities.Replace(clean)
}
