package site

import (
	"fmt"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// shotsAcross is how many levels find room side by side across a plan.
const shotsAcross = 9

// groundMarks are the ground as it is: contours with their levels, breaklines, and shots with theirs, thinned where they would
// crowd one another.
func groundMarks(in Input, r Result) []drawing.Mark {
	out := contourMarks(in, r)
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
			drawing.Text{Layer: draft.SpotOld, At: s.At, Says: "(" + bareLevel(in, s.Elevation) + ")", Height: draft.NoteHeight, Anchor: drawing.Above, Tied: true, Ref: ref})
	}
	return out
}

// bareLevel is a level without its unit: a plan full of them says the unit once, in its legend.
func bareLevel(in Input, v quantity.Length) string {
	if in.Units == quantity.Metric {
		return fmt.Sprintf("%.3f", v.Metres())
	}
	return fmt.Sprintf("%.2f", v.Feet())
}

// levelUnit is the unit of the levels on a plan.
func levelUnit(in Input) string {
	if in.Units == quantity.Metric {
		return "m"
	}
	return "ft"
}

// contourMarks are the contours, each with its level on it where that stands clear of the others.
func contourMarks(in Input, r Result) []drawing.Mark {
	var out []drawing.Mark
	var labels []geometry.Point
	window := r.window()
	apart := math.Max(window.Width(), window.Height()) / shotsAcross
	for _, c := range r.Contours {
		ref := "contour " + bareLevel(in, c.Level)
		for _, line := range c.Lines {
			out = append(out, drawing.Path{Layer: draft.ContourOld, Points: line, Ref: ref})
		}
		if at, free := r.contourLabel(c, labels); free >= apart {
			labels = append(labels, at)
			out = append(out, drawing.Text{Layer: draft.ContourOld, At: at, Says: bareLevel(in, c.Level), Height: draft.NoteHeight, Anchor: drawing.Middle, Tied: true, Ref: ref})
		}
	}
	return out
}

// labelShares are the places along a contour where its level may stand.
var labelShares = []float64{0.08, 0.2, 0.35, 0.5, 0.65, 0.8, 0.92}

// contourLabel is the place on a contour's longest line that is farthest from other levels and from the slab's corners, with that
// distance.
func (r *Result) contourLabel(c Contour, taken []geometry.Point) (best geometry.Point, free float64) {
	longest := 0
	for i, line := range c.Lines {
		if geometry.PathLength(line) > geometry.PathLength(c.Lines[longest]) {
			longest = i
		}
	}
	for _, share := range labelShares {
		at := alongPath(c.Lines[longest], share)
		least := math.Inf(1)
		for _, p := range taken {
			least = math.Min(least, p.Distance(at))
		}
		for _, corner := range r.Corners {
			least = math.Min(least, corner.At.Distance(at))
		}
		for _, i := range r.shown() {
			least = math.Min(least, besideShot*r.Ground[i].At.Distance(at))
		}
		if least > free {
			best, free = at, least
		}
	}
	return best, free
}

// besideShot is how many times nearer to a shot than to another level a contour's level may stand: a shot's own stands above it.
const besideShot = 2

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
