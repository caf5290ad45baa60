// Package dxf writes a drawing of the site as a DXF file (ASCII, AC1024, UTF-8) in true size: feet or metres, every entity
// on one of the trade's layers. Outlines, circles and arcs stay what they are; dimensions, arrows, symbols and hatching come
// as lines, filled shapes and text at the size they would have on paper at the drawing's scale.
package dxf

import (
	"bytes"
	"fmt"
	"io"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/lettering"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/trade/draft"
)

// metresPerFoot is exact since 1959.
const metresPerFoot = 0.3048

// Write renders a picture of the site; scale sizes what is measured on paper: lettering, symbols, dashes. An error when the
// picture is not of the site, has a place that is no place, or uses a layer the trade does not list. Nothing is written then.
func Write(w io.Writer, pic drawing.Picture, system quantity.System, scale layout.Scale) error {
	if pic.Space != drawing.Site || scale.Ratio <= 0 {
		return fmt.Errorf("dxf: picture %q is not drawn to scale; only drawings of the site can be exported", pic.Name)
	}
	if err := layout.Sound(pic); err != nil {
		return err
	}
	f := newFile(pic, system, scale)
	for _, m := range pic.Marks {
		if layer := drawing.LayerOf(m); !listed(layer.Name) {
			return fmt.Errorf("dxf: picture %q draws on layer %q, which is not in the trade's list", pic.Name, layer.Name)
		}
		f.native(m)
	}
	f.lowered(pic)
	_, err := w.Write(f.whole())
	return err
}

func listed(name string) bool {
	for _, l := range draft.Layers() {
		if l.Name == name {
			return true
		}
	}
	return false
}

// file collects entities; handles below firstHandle are those of the fixed tables.
type file struct {
	system   quantity.System
	perUnit  float64 // drawing units per metre
	paper    float64 // drawing units per millimetre on paper
	view     layout.View
	entities bytes.Buffer
	handle   int
	low      page.Point
	high     page.Point
}

const firstHandle = 0x100

func newFile(pic drawing.Picture, system quantity.System, scale layout.Scale) *file {
	f := &file{system: system, perUnit: 1 / metresPerFoot, view: layout.View{Scale: scale, K: 1000 / scale.Ratio}, handle: firstHandle}
	if system == quantity.Metric {
		f.perUnit = 1
	}
	f.paper = f.perUnit / f.view.K
	low, high, _ := pic.Bounds()
	f.low, f.high = low.Scale(f.perUnit), high.Scale(f.perUnit)
	return f
}

func pair(b *bytes.Buffer, code int, value any) {
	switch v := value.(type) {
	case float64:
		fmt.Fprintf(b, "%3d\n%.9f\n", code, v+0)
	default:
		fmt.Fprintf(b, "%3d\n%v\n", code, v)
	}
}

// start opens an entity on a layer.
func (f *file) start(kind, layer, class string) *bytes.Buffer {
	f.handle++
	b := &f.entities
	pair(b, 0, kind)
	pair(b, 5, fmt.Sprintf("%X", f.handle))
	pair(b, 330, modelSpace)
	pair(b, 100, "AcDbEntity")
	pair(b, 8, layer)
	pair(b, 100, class)
	return b
}

// native writes outlines, circles and arcs as themselves; patterns no line type can hold come with the lowered lines.
func (f *file) native(m drawing.Mark) {
	layer := drawing.LayerOf(m)
	if layer.Width <= 0 || drawnAsLines(layer) {
		return
	}
	switch m := m.(type) {
	case drawing.Path:
		f.polyline(layer.Name, f.scaled(m.Points), m.Closed)
		for _, h := range m.Holes {
			f.polyline(layer.Name, f.scaled(h), true)
		}
	case drawing.Circle:
		b := f.start("CIRCLE", layer.Name, "AcDbCircle")
		f.point(b, 10, m.At.Scale(f.perUnit))
		pair(b, 40, math.Abs(m.Radius)*f.perUnit)
	case drawing.Arc:
		b := f.start("ARC", layer.Name, "AcDbCircle")
		f.point(b, 10, m.At.Scale(f.perUnit))
		pair(b, 40, math.Abs(m.Radius)*f.perUnit)
		pair(b, 100, "AcDbArc")
		pair(b, 50, m.From*180/math.Pi)
		pair(b, 51, m.To*180/math.Pi)
	}
}

func drawnAsLines(l drawing.Layer) bool {
	return l.Pattern == drawing.DoubleLine || l.Pattern == drawing.TickedSolid
}

func (f *file) scaled(points []drawing.Point) []page.Point {
	out := make([]page.Point, len(points))
	for i, p := range points {
		out[i] = p.Scale(f.perUnit)
	}
	return out
}

func (f *file) point(b *bytes.Buffer, code int, p page.Point) {
	pair(b, code, p.X)
	pair(b, code+10, p.Y)
	pair(b, code+20, 0.0)
}

func (f *file) polyline(layer string, points []page.Point, closed bool) {
	if len(points) < 2 {
		return
	}
	b := f.start("LWPOLYLINE", layer, "AcDbPolyline")
	pair(b, 90, len(points))
	pair(b, 70, map[bool]int{false: 0, true: 1}[closed])
	for _, p := range points {
		pair(b, 10, p.X)
		pair(b, 20, p.Y)
	}
}

// lowered writes what paper needs made of strokes, areas and words, back at true size.
func (f *file) lowered(pic drawing.Picture) {
	low := layout.Lower(pic, f.view)
	asLines := map[string]bool{}
	for _, m := range pic.Marks {
		if l := drawing.LayerOf(m); drawnAsLines(l) {
			asLines[l.Name] = true
		}
	}
	f.items(low.Hatches)
	for _, item := range low.Lines {
		if asLines[page.InkOf(item).Layer] {
			f.items([]page.Item{item})
		}
	}
	f.items(low.Signs)
	f.items(low.Words)
}

func (f *file) items(items []page.Item) {
	for _, item := range items {
		ink := page.InkOf(item)
		if ink.Colour == page.White {
			continue
		}
		switch m := item.(type) {
		case page.Stroke:
			for _, l := range m.Lines {
				f.polyline(ink.Layer, f.onSite(l.Points), l.Closed)
			}
		case page.Area:
			f.area(ink.Layer, m)
		case page.Words:
			f.words(ink.Layer, m)
		}
	}
}

func (f *file) onSite(points []page.Point) []page.Point {
	out := make([]page.Point, len(points))
	for i, p := range points {
		out[i] = f.view.Back(p).Scale(f.perUnit)
	}
	return out
}

func (f *file) area(layer string, m page.Area) {
	b := f.start("HATCH", layer, "AcDbHatch")
	f.point(b, 10, page.Point{})
	pair(b, 210, 0.0)
	pair(b, 220, 0.0)
	pair(b, 230, 1.0)
	pair(b, 2, "SOLID")
	pair(b, 70, 1)
	pair(b, 71, 0)
	pair(b, 91, len(m.Rings))
	for i, r := range m.Rings {
		pair(b, 92, map[bool]int{true: 3, false: 2}[i == 0])
		pair(b, 72, 0)
		pair(b, 73, 1)
		pair(b, 93, len(r))
		for _, p := range f.onSite(r) {
			pair(b, 10, p.X)
			pair(b, 20, p.Y)
		}
		pair(b, 97, 0)
	}
	pair(b, 75, 0)
	pair(b, 76, 1)
	pair(b, 98, 0)
}

func (f *file) words(layer string, m page.Words) {
	text, _ := lettering.Readable(m.Says)
	if text == "" {
		return
	}
	b := f.start("TEXT", layer, "AcDbText")
	f.point(b, 10, f.view.Back(m.Origin()).Scale(f.perUnit))
	pair(b, 40, m.Cap*f.paper)
	pair(b, 1, text)
	pair(b, 50, m.Angle*180/math.Pi)
	pair(b, 7, textStyle)
	if m.Align != page.Start {
		pair(b, 72, map[page.Align]int{page.Centre: 1, page.End: 2}[m.Align])
		f.point(b, 11, f.view.Back(m.At).Scale(f.perUnit))
	}
	pair(b, 100, "AcDbText")
}
