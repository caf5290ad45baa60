package layout

import (
	"math"
	"slices"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/rim/sheets/page"
)

// sheet collects what a picture is lowered to, by what lies on top of what.
type sheet struct {
	view    View
	chart   bool // a picture in paper millimetres
	hatches []page.Item
	lines   []page.Item
	signs   []page.Item // dimensions, arrows, symbols
	labels  []label     // still to find their place
	words   []page.Item // placed lettering with its ground
	hatched []geometry.Polygon
	taken   []quad     // boxes of placed lettering
	lying   []obstacle // what lettering should not cover
	shapes  map[string]shape
}

// shape is the first path of a name: where its boxed label may stand.
type shape struct {
	points []page.Point
	closed bool
}

// Lowered is a picture on paper, from the ground up.
type Lowered struct {
	Hatches []page.Item
	Lines   []page.Item // of paths, circles and arcs, in their patterns
	Signs   []page.Item // dimension lines, arrows, symbols
	Words   []page.Item // lettering with its ground
}

// Items are all parts in drawing order.
func (l Lowered) Items() []page.Item {
	return slices.Concat(l.Hatches, l.Lines, l.Signs, l.Words)
}

// Lower turns a picture into strokes, areas and words on paper as the view places them.
func Lower(pic drawing.Picture, v View) Lowered {
	s := begin(pic, v)
	s.placeLabels()
	return s.done()
}

// begin lowers everything but the labels that look for a place.
func begin(pic drawing.Picture, v View) *sheet {
	s := &sheet{view: v, chart: pic.Space == drawing.Paper, shapes: map[string]shape{}}
	var dims []drawing.Dimension
	for _, m := range pic.Marks {
		if d, ok := m.(drawing.Dimension); ok {
			dims = append(dims, d)
			continue
		}
		s.mark(m)
	}
	s.dimensions(dims)
	return s
}

func (s *sheet) done() Lowered { return Lowered{s.hatches, s.lines, s.signs, s.words} }

func (s *sheet) mark(m drawing.Mark) {
	switch m := m.(type) {
	case drawing.Path:
		s.path(m)
	case drawing.Circle:
		s.ring(m.Layer, m.Ref, circle(s.view.On(m.At), m.Radius*s.view.K), true)
	case drawing.Arc:
		s.ring(m.Layer, m.Ref, arc(s.view.On(m.At), m.Radius*s.view.K, m.From, m.To), false)
	case drawing.Text:
		s.text(m)
	case drawing.Arrow:
		s.arrow(m)
	case drawing.Symbol:
		s.symbol(m)
	}
}

func (s *sheet) path(m drawing.Path) {
	ink := inkOf(m.Layer, m.Ref)
	rings := [][]page.Point{s.on(m.Points)}
	for _, h := range m.Holes {
		rings = append(rings, s.on(h))
	}
	if m.Closed && m.Layer.Hatch != drawing.Empty && len(m.Points) > 2 {
		ground := geometry.Polygon{Outer: rings[0], Holes: rings[1:]}
		s.hatches = append(s.hatches, hatch(ground, m.Layer.Hatch, ink)...)
		s.hatched = append(s.hatched, ground)
	}
	if _, held := s.shapes[m.Ref]; !held && m.Ref != "" && !s.chart {
		s.shapes[m.Ref] = shape{rings[0], m.Closed}
	}
	for i, r := range rings {
		s.stroke(m.Layer, ink, page.Line{Points: r, Closed: m.Closed || i > 0})
	}
}

func (s *sheet) ring(layer drawing.Layer, ref string, points []page.Point, closed bool) {
	ink := inkOf(layer, ref)
	if closed && layer.Hatch != drawing.Empty {
		ground := geometry.Polygon{Outer: points}
		s.hatches = append(s.hatches, hatch(ground, layer.Hatch, ink)...)
		s.hatched = append(s.hatched, ground)
	}
	s.stroke(layer, ink, page.Line{Points: points, Closed: closed})
}

// stroke draws a line in its layer's pen and remembers where it lies.
func (s *sheet) stroke(layer drawing.Layer, ink page.Ink, l page.Line) {
	if layer.Width <= 0 || len(l.Points) < 2 {
		return
	}
	s.lines = append(s.lines, penned(layer, ink, l)...)
	s.lies(l, weightOf(layer.Width))
}

func (s *sheet) on(points []drawing.Point) []page.Point {
	out := make([]page.Point, len(points))
	for i, p := range points {
		out[i] = s.view.On(p)
	}
	return out
}

func inkOf(layer drawing.Layer, ref string) page.Ink {
	return page.Ink{Layer: layer.Name, Ref: ref, Colour: layer.Colour}
}

// chordError keeps curves smooth to the eye, millimetres on paper.
const chordError = 0.02

func circle(at page.Point, r float64) []page.Point {
	return geometry.Disc(at, math.Abs(r), chordError).Outer
}

// arc is the polyline from angle from turning left to to.
func arc(at page.Point, r, from, to float64) []page.Point {
	sweep := math.Mod(to-from, 2*math.Pi)
	if sweep <= 0 {
		sweep += 2 * math.Pi
	}
	return geometry.Arc{Centre: at, Radius: math.Abs(r), Start: from, Sweep: sweep}.Points(chordError)
}
