// Package png paints a page as pixels, for phones and previews.
package png

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	stdpng "image/png"
	"io"
	"math"
	"slices"
	"strconv"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/rasterizer"

	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
)

// MaxPixels bounds one picture: an 11x17 sheet at 600 dots per inch.
const MaxPixels = 70e6

// Write renders a page at dpi dots per inch. An error when that is no sensible number.
func Write(w io.Writer, p page.Page, dpi float64) error {
	img, err := Paint(p, dpi)
	if err != nil {
		return err
	}
	encoder, out := stdpng.Encoder{CompressionLevel: stdpng.BestSpeed}, image.Image(img)
	if !slices.ContainsFunc(p.Items, func(i page.Item) bool { _, ok := i.(page.Photo); return ok }) {
		out = indexed(img, p.Items)
	}
	if err := encoder.Encode(w, out); err != nil {
		return fmt.Errorf("png: %w", err)
	}
	return nil
}

// Paint renders a page at dpi dots per inch into an image.
func Paint(p page.Page, dpi float64) (img *image.RGBA, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("png: page %q cannot be painted: %v", p.Title, r)
		}
	}()
	pixels := p.Paper.Width * p.Paper.Height * dpi * dpi / (25.4 * 25.4)
	if !(dpi > 0 && pixels > 0 && pixels <= MaxPixels) {
		return nil, fmt.Errorf("png: %.0f x %.0f mm at %g dpi is not between 1 and %.0f pixels", p.Paper.Width, p.Paper.Height, dpi, MaxPixels)
	}
	r := rasterizer.New(p.Paper.Width, p.Paper.Height, canvas.DPI(dpi), canvas.LinearColorSpace{})
	fill(r, canvas.Rectangle(p.Paper.Width, p.Paper.Height), color.RGBA{255, 255, 255, 255}, canvas.Identity)
	for _, item := range p.Items {
		if err := paint(r, item); err != nil {
			return nil, fmt.Errorf("png: page %q: %w", p.Title, err)
		}
	}
	r.Close()
	return r.Image.(*image.RGBA), nil
}

func paint(r *rasterizer.Rasterizer, item page.Item) error {
	ink := rgb(page.InkOf(item).Colour)
	switch m := item.(type) {
	case page.Stroke:
		style := canvas.DefaultStyle
		style.Fill = canvas.Paint{}
		style.Stroke = canvas.Paint{Color: ink}
		style.StrokeWidth = m.Width
		style.StrokeJoiner = canvas.MiterJoin
		for _, d := range m.Dash {
			style.Dashes = append(style.Dashes, d/m.Width) // the library counts dashes in pen widths
		}
		r.RenderPath(lines(m.Lines), style, canvas.Identity)
	case page.Area:
		path := &canvas.Path{}
		for _, ring := range m.Rings {
			run(path, ring)
			path.Close()
		}
		fill(r, path, ink, canvas.Identity)
	case page.Words:
		path, at := &canvas.Path{}, m.Origin()
		lettering.Trace(path, m.Says, m.Cap, m.Bold)
		fill(r, path, ink, canvas.Identity.Translate(at.X, at.Y).Rotate(m.Angle*180/math.Pi))
	case page.Photo:
		photo, err := jpeg.Decode(bytes.NewReader(m.JPEG))
		if err != nil {
			return err
		}
		size := photo.Bounds().Size()
		r.RenderImage(photo, canvas.Identity.Translate(m.At.X, m.At.Y).Scale(m.Width/float64(size.X), m.Height/float64(size.Y)))
	}
	return nil
}

func fill(r *rasterizer.Rasterizer, path *canvas.Path, ink color.RGBA, m canvas.Matrix) {
	style := canvas.DefaultStyle
	style.Fill = canvas.Paint{Color: ink}
	r.RenderPath(path, style, m)
}

func lines(all []page.Line) *canvas.Path {
	path := &canvas.Path{}
	for _, l := range all {
		run(path, l.Points)
		if l.Closed {
			path.Close()
		}
	}
	return path
}

func run(path *canvas.Path, points []page.Point) {
	for i, q := range points {
		if i == 0 {
			path.MoveTo(q.X, q.Y)
		} else {
			path.LineTo(q.X, q.Y)
		}
	}
}

// rgb reads #rrggbb; anything else is black.
func rgb(colour string) color.RGBA {
	if len(colour) == 7 && colour[0] == '#' {
		if n, err := strconv.ParseUint(colour[1:], 16, 32); err == nil {
			return color.RGBA{uint8(n >> 16), uint8(n >> 8), uint8(n), 255}
		}
	}
	return color.RGBA{A: 255}
}
