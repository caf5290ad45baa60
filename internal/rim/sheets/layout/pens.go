package layout

import (
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/rim/sheets/page"
)

// dashes are the lengths on and off of each broken pattern, millimetres on paper.
var dashes = map[drawing.Pattern][]float64{
	drawing.Dash:      {3, 1.5},
	drawing.Dotted:    {0.6, 1.2},
	drawing.LongShort: {9, 1.5, 2, 1.5},
	drawing.LongTwo:   {12, 1.5, 2, 1.5, 2, 1.5},
	drawing.DashDot:   {6, 1.5, 0.6, 1.5},
}

// leastShrink is how far a pattern is squeezed so that a short line still shows all of it.
const leastShrink = 0.45

// Dashes is the on and off lengths of a pattern, millimetres on paper; none for an unbroken line.
func Dashes(p drawing.Pattern) []float64 { return dashes[p] }

// The gap between a double line's middles, and the ticks of a ticked line, millimetres.
const (
	doubleGap  = 1.8
	tickEvery  = 6.0
	tickLength = 2.4
)

// penned is a line in its layer's pattern.
func penned(layer drawing.Layer, ink page.Ink, l page.Line) []page.Item {
	pen := page.Stroke{Ink: ink, Width: layer.Width, Lines: []page.Line{l}}
	switch layer.Pattern {
	case drawing.DoubleLine:
		pen.Lines = []page.Line{beside(l, doubleGap/2), beside(l, -doubleGap/2)}
	case drawing.TickedSolid:
		pen.Lines = append(pen.Lines, ticks(l)...)
	default:
		if pattern := dashes[layer.Pattern]; pattern != nil {
			return broken(pen, l, pattern)
		}
	}
	return []page.Item{pen}
}

// broken draws each straight piece of a line so that it starts and ends with a full first dash, as a draughtsman would;
// a line of short pieces, a curve, is dashed along.
func broken(pen page.Stroke, l page.Line, pattern []float64) []page.Item {
	period := 0.0
	for _, d := range pattern {
		period += d
	}
	pieces := segmentsOf(l)
	for _, p := range pieces {
		if len(pieces) > 1 && p.Length() < 2*period {
			pen.Dash = pattern
			return []page.Item{pen}
		}
	}
	var out []page.Item
	for _, p := range pieces {
		if p.Length() == 0 {
			continue
		}
		piece := pen
		piece.Lines = []page.Line{{Points: []page.Point{p.A, p.B}}}
		n := max(math.Round((p.Length()-pattern[0])/period), 0)
		if p.Length() > leastShrink*(pattern[0]+period) {
			n = max(n, 1)
		}
		stretch := p.Length() / (n*period + pattern[0])
		piece.Dash = make([]float64, len(pattern))
		for i, d := range pattern {
			piece.Dash[i] = d * stretch
		}
		out = append(out, piece)
	}
	return out
}

func segmentsOf(l page.Line) []geometry.Segment {
	var out []geometry.Segment
	for i := 1; i < len(l.Points); i++ {
		out = append(out, geometry.Segment{A: l.Points[i-1], B: l.Points[i]})
	}
	if n := len(l.Points); l.Closed && n > 2 {
		out = append(out, geometry.Segment{A: l.Points[n-1], B: l.Points[0]})
	}
	return out
}

// beside is the line moved d to its left, corners mitred up to four times d.
func beside(l page.Line, d float64) page.Line {
	n := len(l.Points)
	out := page.Line{Points: make([]page.Point, n), Closed: l.Closed}
	for i, p := range l.Points {
		before, after := directionInto(l, i), directionOutOf(l, i)
		a, b := before.Left(), after.Left()
		sum := a.Add(b)
		k := 2 * d / max(sum.Dot(sum), 0.25)
		out.Points[i] = p.Add(sum.Scale(k))
	}
	return out
}

func directionInto(l page.Line, i int) page.Point {
	if i == 0 && !l.Closed {
		return directionOutOf(l, i)
	}
	n := len(l.Points)
	return l.Points[i].Sub(l.Points[(i+n-1)%n]).Unit()
}

func directionOutOf(l page.Line, i int) page.Point {
	n := len(l.Points)
	if i == n-1 && !l.Closed {
		return l.Points[i].Sub(l.Points[i-1]).Unit()
	}
	return l.Points[(i+1)%n].Sub(l.Points[i]).Unit()
}

// ticks are short strokes across the line, evenly spread along it.
func ticks(l page.Line) []page.Line {
	var out []page.Line
	next := tickEvery / 2
	for _, p := range segmentsOf(l) {
		across := p.Direction().Left().Scale(tickLength / 2)
		for ; next < p.Length(); next += tickEvery {
			at := p.A.Add(p.Direction().Scale(next))
			out = append(out, page.Line{Points: []page.Point{at.Sub(across), at.Add(across)}})
		}
		next -= p.Length()
	}
	return out
}
