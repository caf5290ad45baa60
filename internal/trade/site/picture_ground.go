package site

import (
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// shotsAcross is how many levels find room side by side across a plan.
const shotsAcross = 7

// groundMarks are the ground as it is: contours with their levels, breaklines, and shots with theirs, thinned where they would
// crowd one another.
func groundMarks(in Input, r Result) []drawing.Mark {
	var out []drawing.Mark
	level := func(v quantity.Length) string { return quantity.Show(v, quantity.AsElevation).String(in.Units) }
	for _, c := range r.Contours {
		ref := "contour " + level(c.Level)
		longest := 0
		for i, line := range c.Lines {
			out = append(out, drawing.Path{Layer: draft.ContourOld, Points: line, Ref: ref})
			if geometry.PathLength(line) > geometry.PathLength(c.Lines[longest]) {
				longest = i
			}
		}
		at := alongPath(c.Lines[longest], contourLabelAt)
		out = append(out, drawing.Text{Layer: draft.ContourOld, At: at, Says: level(c.Level), Height: draft.NoteHeight, Anchor: drawing.Middle, Boxed: true, Ref: ref})
	}
	window := r.window()
	for i, line := range r.Breaklines {
		var points []geometry.Point
		for _, v := range line {
			points = append(points, r.Ground[v].At)
		}
		for _, piece := range clipped(points, window) {
			out = append(out, drawing.Path{Layer: draft.Break, Points: piece, Ref: "breakline " + breakName(in, i)})
		}
	}
	for _, i := range r.shown() {
		s := r.Ground[i]
		ref := "shot " + spotName(i, s)
		out = append(out, drawing.Symbol{Layer: draft.SpotOld, At: s.At, Shape: drawing.Cross, Size: 2.5, Ref: ref},
			drawing.Text{Layer: draft.SpotOld, At: s.At, Says: "(" + level(s.Elevation) + ")", Height: draft.NoteHeight, Anchor: drawing.Above, Ref: ref})
	}
	return out
}

// contourLabelAt is how far along a contour its level stands: off the middle, where the slab's own figures are.
const contourLabelAt = 0.15

// alongPath is the point at a share of a path's length.
func alongPath(line []geometry.Point, share float64) geometry.Point {
	left := share * geometry.PathLength(line)
	for i := 1; i < len(line); i++ {
		d := line[i-1].Distance(line[i])
		if left <= d && d > 0 {
			return line[i-1].Lerp(line[i], left/d)
		}
		left -= d
	}
	return line[len(line)-1]
}

func breakName(in Input, i int) string {
	if i < len(in.Breaks) && in.Breaks[i].Name != "" {
		return in.Breaks[i].Name
	}
	return letter(i)
}

// shown are the shots a plan has room for: every typed one, and of a survey's those near the slab that stand well apart.
func (r *Result) shown() []int {
	window := r.window()
	apart := math.Max(window.Width(), window.Height()) / shotsAcross
	var out []int
	for i, s := range r.Ground {
		if s.Step != surveyStep {
			out = append(out, i)
			continue
		}
		free := window.Contains(s.At)
		for _, k := range out {
			free = free && r.Ground[k].At.Distance(s.At) >= apart
		}
		if free {
			out = append(out, i)
		}
	}
	return out
}
