package joints

import (
	"math"

	"slabwright/internal/engines/geometry"
)

// foot is how long the end of a joint is that is turned square to an edge it would meet at a slant: 1 ft. Source: common
// practice.
const foot = 0.3048

// turned turns the last foot of joints that would meet an outer edge at less than 60° square to it, where there is room.
func (f frame) turned(joints []joint) []joint {
	var out, feet []joint
	for _, j := range joints {
		for range 2 {
			if bend, at, ok := f.footOf(j.Segment); ok {
				j.B = bend
				feet = append(feet, joint{Segment: geometry.Segment{A: bend, B: at}, foot: true})
			}
			j.Segment = j.Reversed()
		}
		out = append(out, j)
	}
	return append(out, feet...)
}

// footOf is where a joint turns before its end B, and where its foot then meets the edge.
func (f frame) footOf(s geometry.Segment) (bend, at geometry.Point, ok bool) {
	on, edge, found := f.outline.NearestEdge(s.B)
	if !found || edge.Ring > 0 || on.Distance(s.B) > 4*slack || min(edge.A.Distance(s.B), edge.B.Distance(s.B)) < 4*slack {
		return bend, at, false
	}
	lean := quarterTurn(s.Direction().Heading() - edge.Direction().Heading())
	if lean >= sharpest-angleRounding || lean < sharpest/4 {
		return bend, at, false
	}
	back := foot / math.Sin(lean)
	if s.Length() < 2*back {
		return bend, at, false
	}
	bend = s.B.Sub(s.Direction().Scale(back))
	station, _ := edge.Offset(bend)
	if station < foot || station > edge.Length()-foot {
		return bend, at, false
	}
	return bend, edge.At(station / edge.Length()), true
}

// turns are the places where joints turn.
func turns(joints []joint) []geometry.Point {
	var out []geometry.Point
	for _, j := range joints {
		if j.foot {
			out = append(out, j.A)
		}
	}
	return out
}
