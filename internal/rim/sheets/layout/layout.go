// Package layout puts a drawing on paper: it picks the largest scale of the trade's rulers at which the picture fits, and
// lowers every mark (hatched areas, line patterns, dimensions, arrows, symbols, lettering) to plain strokes, areas and
// words in millimetres. Labels move aside so that none covers another or a line.
package layout

import (
	"fmt"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/trade/draft"
)

// The cap height of notes, the smallest lettering on any sheet: 10 pt.
const noteCap = draft.NoteHeight

// View says where the picture's coordinates fall on paper: at k·p + Shift.
type View struct {
	Scale Scale
	K     float64 // millimetres on paper per unit of the picture
	Shift page.Point
}

// On is where a place of the picture falls on paper.
func (v View) On(p drawing.Point) page.Point { return p.Scale(v.K).Add(v.Shift) }

// Back is which place of the picture falls on p.
func (v View) Back(p page.Point) drawing.Point { return p.Sub(v.Shift).Scale(1 / v.K) }

// Placed is a picture on paper.
type Placed struct {
	View  View
	Items []page.Item
	Box   geometry.Box // what the items cover
}

// Fit places the picture in the middle of a box on paper: a picture of the site at the largest ruler scale at which
// everything, lettering included, lies within the box; a picture in paper millimetres as large as the box allows up to 1.6
// times. An error when it has nothing to show, a coordinate is not a number, or no scale is small enough.
func Fit(pic drawing.Picture, box geometry.Box, system quantity.System) (Placed, error) {
	low, high, ok := pic.Bounds()
	if !ok {
		return Placed{}, fmt.Errorf("layout: picture %q is empty", pic.Name)
	}
	if err := Sound(pic); err != nil {
		return Placed{}, err
	}
	middle := low.Lerp(high, 0.5)
	for _, v := range views(pic.Space, system) {
		if (high.X-low.X)*v.K > box.Width() || (high.Y-low.Y)*v.K > box.Height() {
			continue
		}
		v.Shift = middle.Scale(-v.K)
		s := begin(pic, v)
		if !holds(box, page.Extent(s.done().Items())) {
			continue
		}
		s.placeLabels()
		items := s.done().Items()
		extent := page.Extent(items)
		if !holds(box, extent) {
			continue
		}
		d := box.Centre().Sub(extent.Centre())
		v.Shift = v.Shift.Add(d)
		return Placed{View: v, Items: page.Move(items, d), Box: geometry.Box{Min: extent.Min.Add(d), Max: extent.Max.Add(d)}}, nil
	}
	return Placed{}, fmt.Errorf("layout: picture %q does not fit %.0f x %.0f mm at any scale; use larger paper",
		pic.Name, box.Width(), box.Height())
}

// holds says whether a box has the room for an extent, wherever it lies.
func holds(box, extent geometry.Box) bool {
	return extent.Width() <= box.Width() && extent.Height() <= box.Height()
}

// views lists what may be tried, largest first.
func views(space drawing.Space, system quantity.System) []View {
	var out []View
	if space == drawing.Paper {
		for k := 1.6; k > 0.35; k -= 0.05 {
			out = append(out, View{Scale: NotToScale, K: k})
		}
		return out
	}
	for _, s := range Scales(system) {
		out = append(out, View{Scale: s, K: s.perMetre()})
	}
	return out
}

// reachOfPaper bounds coordinates so that no arithmetic on them overflows: no site is a thousand kilometres wide.
const reachOfPaper = 1e6

// Sound is an error when a picture has a coordinate or a size that is not an ordinary number.
func Sound(pic drawing.Picture) error {
	ordinary := func(p drawing.Point) bool { return math.Abs(p.X) < reachOfPaper && math.Abs(p.Y) < reachOfPaper }
	for i, m := range pic.Marks {
		for _, p := range placesOf(m) {
			if !ordinary(p) {
				return fmt.Errorf("layout: picture %q, mark %d on layer %s has a coordinate that is no place: (%g, %g)",
					pic.Name, i, drawing.LayerOf(m).Name, p.X, p.Y)
			}
		}
	}
	return nil
}

// placesOf lists every coordinate of a mark, its sizes as a point of their own.
func placesOf(m drawing.Mark) []drawing.Point {
	switch m := m.(type) {
	case drawing.Path:
		out := append([]drawing.Point{}, m.Points...)
		for _, h := range m.Holes {
			out = append(out, h...)
		}
		return out
	case drawing.Circle:
		return []drawing.Point{m.At, {X: m.Radius}}
	case drawing.Arc:
		return []drawing.Point{m.At, {X: m.Radius}, {X: m.From, Y: m.To}}
	case drawing.Text:
		return []drawing.Point{m.At, {X: m.Height, Y: m.Angle}}
	case drawing.Dimension:
		return []drawing.Point{m.A, m.B, {X: m.Offset}}
	case drawing.Arrow:
		return []drawing.Point{m.From, m.To}
	case drawing.Symbol:
		return []drawing.Point{m.At, {X: m.Size}}
	}
	return nil
}
