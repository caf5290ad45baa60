package svg

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
)

// Film is what moves over a page: the picture's film, and where the picture's places fall on the paper.
type Film struct {
	*drawing.Film
	On    func(drawing.Point) page.Point
	Words page.Point // where what is done is lettered
}

// WriteFilm renders one page with outlines that run over it, in one file that needs nothing else: style rules move them, no
// script. It stops while a pointer is over it or it has the focus, does not move at all for readers who asked for less motion
// or on paper, and then shows the end. An error when nothing moves.
func WriteFilm(w io.Writer, p page.Page, f Film) error {
	if f.Film == nil || len(f.Bodies) == 0 || len(f.Bodies[0].Stands) < 2 || !(f.Seconds > 0) {
		return errors.New("svg: a film needs a body that moves")
	}
	out := bufio.NewWriter(w)
	width, height := number(p.Paper.Width), number(p.Paper.Height)
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img" tabindex="0" aria-labelledby="title desc">`+"\n",
		width, height, width, height)
	fmt.Fprintf(out, "<title id=\"title\">%s</title>\n<desc id=\"desc\">%s It moves; point at it or focus it and it stops.</desc>\n", escaped(p.Title), escaped(p.Says))
	f.style(out, p.Paper.Height)
	fmt.Fprintf(out, `<rect width="%s" height="%s" fill="#ffffff"/>`+"\n", width, height)
	fmt.Fprintf(out, `<g font-family="%s" stroke-linecap="butt" stroke-linejoin="miter" fill="none" stroke="none">`+"\n", families)
	ink := pen{out: out, height: p.Paper.Height}
	ink.layers(p)
	f.moving(ink)
	fmt.Fprint(out, "</g>\n</svg>\n")
	return out.Flush()
}

// style writes the rules: one run of keyframes for each body and each word.
func (f Film) style(out io.Writer, height float64) {
	fmt.Fprintf(out, "<style>\n.go{animation-duration:%ss;animation-iteration-count:infinite;animation-timing-function:linear}\n.word{opacity:0;animation-timing-function:step-end}\n", number(f.Seconds))
	fmt.Fprint(out, "svg:hover .go,svg:focus .go{animation-play-state:paused}\n@media (prefers-reduced-motion:reduce){.go{animation:none}}\n@media print{.go{animation:none}}\n")
	for i, b := range f.Bodies {
		fmt.Fprintf(out, "@keyframes body%d{", i)
		for j, s := range b.Stands {
			fmt.Fprintf(out, "%s%%{transform:%s}", number(100*float64(j)/float64(len(b.Stands)-1)), f.place(s, height))
		}
		fmt.Fprint(out, "}\n")
	}
	for i, word := range f.Film.Words {
		fmt.Fprintf(out, "@keyframes word%d{0%%{opacity:%d}%s%%{opacity:1}%s%%{opacity:0}100%%{opacity:0}}\n", i, first(i), number(100*word.From), number(min(99.99, 100*word.To)))
	}
	fmt.Fprint(out, "</style>\n")
}

// first is the opacity a word starts with.
func first(i int) int {
	if i == 0 {
		return 1
	}
	return 0
}

// place is a stand as a style's transform; SVG turns right where the site turns left.
func (f Film) place(s drawing.Stand, height float64) string {
	at := f.On(s.At)
	return fmt.Sprintf("translate(%spx,%spx) rotate(%sdeg)", number(at.X), number(height-at.Y), number(-s.Heading*180/math.Pi))
}

// filmGround is the fill of what moves: light enough for the lines below, dark enough to follow.
const filmGround = "#bbbbbb"

// moving writes what moves, standing where it ends.
func (f Film) moving(ink pen) {
	out, height := ink.out, ink.height
	k := f.On(geometry.Point{X: 1}).Distance(f.On(geometry.Point{}))
	for i, b := range f.Bodies {
		path := page.Line{Closed: true}
		for _, q := range b.Outline {
			path.Points = append(path.Points, q.Scale(k))
		}
		fmt.Fprintf(out, `<g class="go" style="animation-name:body%d;transform:%s"><path d="%s" fill="%s" fill-opacity="0.75" stroke="%s" stroke-width="%s"><title>%s</title></path></g>`+"\n",
			i, f.place(b.Stands[len(b.Stands)-1], height), strokes([]page.Line{path}, 0), filmGround, ink.colour(b.Layer.Colour), number(b.Layer.Width), escaped(b.Ref))
	}
	for i, word := range f.Film.Words {
		fmt.Fprintf(out, `<text class="go word" style="animation-name:word%d" x="%s" y="%s" font-size="%s" fill="#000000">%d. %s</text>`+"\n",
			i, number(f.Words.X), number(height-f.Words.Y), number(lettering.EmOf(filmCap)), i+1, escaped(word.Says))
	}
}

// filmCap is the cap height of what is said, mm.
const filmCap = 5
