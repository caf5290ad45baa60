package layout

import (
	"math"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/rim/sheets/page"
)

const (
	thinPen   = 0.3
	usualSize = 3.0 // of a symbol that states no size, millimetres
	ringSize  = 5.0 // a larger circle rings what stands there and hides nothing
)

func (s *sheet) symbol(m drawing.Symbol) {
	size := m.Size
	if size <= 0 {
		size = usualSize
	}
	at := s.view.On(m.At)
	s.signs = append(s.signs, Sign(m.Shape, at, size, inkOf(m.Layer, m.Ref))...)
	r := size / 2
	s.lies(page.Line{Points: rectangle(at.X-r, at.Y-r, size, size), Closed: true}, signWeight)
	s.lies(page.Line{Points: []page.Point{{X: at.X - r, Y: at.Y}, {X: at.X + r, Y: at.Y}}}, signWeight)
}

// Sign is a symbol's strokes and areas, size millimetres across around at.
func Sign(shape drawing.Shape, at page.Point, size float64, ink page.Ink) []page.Item {
	r := size / 2
	on := func(x, y float64) page.Point { return at.Add(page.Point{X: x * r, Y: y * r}) }
	line := func(closed bool, points ...page.Point) page.Item {
		return page.Stroke{Ink: ink, Width: thinPen, Lines: []page.Line{{Points: points, Closed: closed}}}
	}
	area := func(points ...page.Point) page.Item { return page.Area{Ink: ink, Rings: [][]page.Point{points}} }
	blank := func(points ...page.Point) page.Item {
		return page.Area{Ink: page.Ink{Layer: ink.Layer, Ref: ink.Ref, Colour: page.White}, Rings: [][]page.Point{points}}
	}
	switch shape {
	case drawing.Stake:
		box := []page.Point{on(-0.7, -0.7), on(0.7, -0.7), on(0.7, 0.7), on(-0.7, 0.7)}
		return []page.Item{blank(box...), line(true, box...), line(false, box[0], box[2]), line(false, box[1], box[3])}
	case drawing.Dot:
		return []page.Item{area(circle(at, r*0.7)...)}
	case drawing.Bench:
		quarter := func(from float64) page.Item {
			points := append([]page.Point{at}, arc(at, r, from, from+math.Pi/2)...)
			return area(points...)
		}
		return []page.Item{blank(circle(at, r)...), quarter(0), quarter(math.Pi), line(true, circle(at, r)...)}
	case drawing.OpenCircle:
		if size > ringSize {
			return []page.Item{line(true, circle(at, r)...)}
		}
		return []page.Item{blank(circle(at, r)...), line(true, circle(at, r)...)}
	case drawing.Triangle:
		corners := ngon(at, r, 3, math.Pi/2)
		return []page.Item{blank(corners...), line(true, corners...)}
	case drawing.Octagon:
		corners := ngon(at, r, 8, math.Pi/8)
		return []page.Item{blank(corners...), line(true, corners...)}
	case drawing.Flag:
		return []page.Item{line(false, on(0, 0), on(0, 2)), area(on(0, 2), on(1.4, 1.5), on(0, 1))}
	}
	return []page.Item{line(false, on(-1, 0), on(1, 0)), line(false, on(0, -1), on(0, 1))}
}

func ngon(at page.Point, r float64, n int, first float64) []page.Point {
	out := make([]page.Point, n)
	for i := range out {
		out[i] = at.Add(geometry.Direction(first + 2*math.Pi*float64(i)/float64(n)).Scale(r))
	}
	return out
}

// The head of an arrow: three times as long as wide, millimetres.
const headLength = 3.6

func (s *sheet) arrow(m drawing.Arrow) {
	from, to := s.view.On(m.From), s.view.On(m.To)
	ink := inkOf(m.Layer, m.Ref)
	s.signs = append(s.signs, arrowItems(from, to, max(m.Layer.Width, 0.2), ink)...)
	clear := to.Sub(from).Unit().Left()
	s.lies(page.Line{Points: []page.Point{from.Add(clear), to.Add(clear), to.Sub(clear), from.Sub(clear)}, Closed: true}, signWeight)
	if m.Says == "" {
		return
	}
	s.labels = append(s.labels, label{ink: ink, at: from.Lerp(to, 0.5), says: strings.Split(m.Says, "\n"), cap: labelCap,
		anchor: drawing.Middle, boxed: true, beside: to.Sub(from).Unit()})
}

// arrowItems is a thin shaft with a solid head at to.
func arrowItems(from, to page.Point, width float64, ink page.Ink) []page.Item {
	along := to.Sub(from).Unit()
	head := min(headLength, to.Distance(from))
	foot := to.Sub(along.Scale(head))
	half := along.Left().Scale(head / 6)
	return []page.Item{
		page.Stroke{Ink: ink, Width: width, Lines: []page.Line{{Points: []page.Point{from, foot}}}},
		page.Area{Ink: ink, Rings: [][]page.Point{{to, foot.Add(half), foot.Sub(half)}}},
	}
}
