// Package pdf puts pages into one PDF file: vector strokes and areas, text that stays text in an embedded face. The same
// pages and the same date give the same bytes.
package pdf

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
	"math"
	"strconv"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
)

// About is what the file says about itself.
type About struct {
	Title  string
	Author string
	AsOf   time.Time // stands as the date of making
}

// Write renders pages, in order, with a bookmark for each title and, under it, for each part. Nothing is written when it fails.
func Write(w io.Writer, about About, pages []page.Page) error {
	var whole bytes.Buffer
	if err := render(&whole, about, pages); err != nil {
		return err
	}
	_, err := w.Write(whole.Bytes())
	return err
}

// render turns a panic of the PDF library into an error that names the page.
func render(w io.Writer, about About, pages []page.Page) (err error) {
	at := "the first page"
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("pdf: %s cannot be drawn: %v", at, r)
		}
	}()
	if len(pages) == 0 {
		return fmt.Errorf("pdf: no pages to write")
	}
	doc := open(about)
	for i, p := range pages {
		at = fmt.Sprintf("page %d %q", i+1, p.Title)
		draw(doc, p)
		if i == 0 || pages[i-1].Title != p.Title {
			doc.Bookmark(plain(p.Title), 0, 0)
		}
		for _, part := range p.Parts {
			doc.Bookmark(plain(part), 1, 0)
		}
	}
	if err := doc.Output(w); err != nil {
		return fmt.Errorf("pdf: %w", err)
	}
	return nil
}

func open(about About) *fpdf.Fpdf {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", SizeStr: "Letter"})
	doc.SetCreationDate(about.AsOf.UTC())
	doc.SetModificationDate(about.AsOf.UTC())
	doc.SetCatalogSort(true)
	doc.SetTitle(plain(about.Title), true)
	doc.SetAuthor(plain(about.Author), true)
	doc.SetCreator("slabwright", true)
	doc.SetProducer("slabwright", true)
	doc.SetAutoPageBreak(false, 0)
	doc.SetMargins(0, 0, 0)
	doc.SetCellMargin(0)
	doc.SetLineCapStyle("butt")
	doc.SetLineJoinStyle("miter")
	doc.AddUTF8FontFromBytes(lettering.Family, "", lettering.File(false))
	doc.AddUTF8FontFromBytes(lettering.Family, "B", lettering.File(true))
	return doc
}

// plain is says in characters the face holds: all text of the file passes through here.
func plain(says string) string {
	text, _ := lettering.Readable(says)
	return text
}

func draw(doc *fpdf.Fpdf, p page.Page) {
	doc.AddPageFormat("P", fpdf.SizeType{Wd: p.Paper.Width, Ht: p.Paper.Height})
	flip := func(q page.Point) (x, y float64) { return q.X, p.Paper.Height - q.Y }
	for _, item := range p.Items {
		switch m := item.(type) {
		case page.Stroke:
			stroke(doc, m, flip)
		case page.Area:
			r, g, b := rgb(m.Colour)
			doc.SetFillColor(r, g, b)
			trace(doc, m.Rings, flip)
			doc.DrawPath("f*")
		case page.Words:
			words(doc, m, flip)
		case page.Photo:
			photo(doc, m, flip)
		}
	}
}

func stroke(doc *fpdf.Fpdf, m page.Stroke, flip func(page.Point) (x, y float64)) {
	r, g, b := rgb(m.Colour)
	doc.SetDrawColor(r, g, b)
	doc.SetLineWidth(m.Width)
	doc.SetDashPattern(m.Dash, 0)
	for _, l := range m.Lines {
		for i, q := range l.Points {
			x, y := flip(q)
			if i == 0 {
				doc.MoveTo(x, y)
			} else {
				doc.LineTo(x, y)
			}
		}
		if l.Closed {
			doc.ClosePath()
		}
	}
	doc.DrawPath("D")
}

func trace(doc *fpdf.Fpdf, rings [][]page.Point, flip func(page.Point) (x, y float64)) {
	for _, ring := range rings {
		for i, q := range ring {
			x, y := flip(q)
			if i == 0 {
				doc.MoveTo(x, y)
			} else {
				doc.LineTo(x, y)
			}
		}
		doc.ClosePath()
	}
}

func words(doc *fpdf.Fpdf, m page.Words, flip func(page.Point) (x, y float64)) {
	text := plain(m.Says)
	if text == "" {
		return
	}
	style := ""
	if m.Bold {
		style = "B"
	}
	r, g, b := rgb(m.Colour)
	doc.SetTextColor(r, g, b)
	doc.SetFont(lettering.Family, style, lettering.EmOf(m.Cap)*lettering.PointsPerMM)
	x, y := flip(m.Origin())
	if m.Angle == 0 {
		doc.Text(x, y, text)
		return
	}
	doc.TransformBegin()
	doc.TransformRotate(m.Angle*180/math.Pi, x, y)
	doc.Text(x, y, text)
	doc.TransformEnd()
}

// photo puts a picture down once in the file, however often it is shown.
func photo(doc *fpdf.Fpdf, m page.Photo, flip func(page.Point) (x, y float64)) {
	name := fmt.Sprintf("%x", sha256.Sum256(m.JPEG))
	options := fpdf.ImageOptions{ImageType: "JPG"}
	if doc.GetImageInfo(name) == nil {
		doc.RegisterImageOptionsReader(name, options, bytes.NewReader(m.JPEG))
	}
	x, y := flip(m.At)
	doc.ImageOptions(name, x, y-m.Height, m.Width, m.Height, false, options, 0, "")
}

// rgb reads #rrggbb; anything else is black.
func rgb(colour string) (r, g, b int) {
	if len(colour) != 7 || colour[0] != '#' {
		return 0, 0, 0
	}
	n, err := strconv.ParseUint(colour[1:], 16, 32)
	if err != nil {
		return 0, 0, 0
	}
	return int(n >> 16), int(n >> 8 & 255), int(n & 255)
}
