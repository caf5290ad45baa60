package layout

import (
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/rim/sheets/page"
)

// hatchWidth is the pen of all hatching, millimetres: thinner than any outline.
const hatchWidth = 0.18

// hatch fills the ground (in paper millimetres) with a pattern that survives a black-and-white copy.
func hatch(ground geometry.Polygon, kind drawing.Hatch, ink page.Ink) []page.Item {
	thin := func(lines []page.Line) []page.Item {
		if len(lines) == 0 {
			return nil
		}
		return []page.Item{page.Stroke{Ink: ink, Width: hatchWidth, Lines: lines}}
	}
	switch kind {
	case drawing.Full:
		return []page.Item{page.Area{Ink: ink, Rings: ground.Oriented().Rings(), Shade: true}}
	case drawing.Diagonal:
		return thin(ruled(ground, math.Pi/4, 2.6))
	case drawing.Crossed:
		return thin(append(ruled(ground, math.Pi/4, 3.2), ruled(ground, -math.Pi/4, 3.2)...))
	case drawing.Dots:
		return dots(ink, spread(ground, 2.6, 0.3, 0))
	case drawing.Triangles:
		return concrete(ground, ink)
	case drawing.Rounds:
		return thin(stones(ground))
	case drawing.Strokes:
		return thin(earth(ground))
	case drawing.Waves:
		return thin(waves(ground))
	}
	return nil
}

// ruled are parallel lines at an angle, spacing apart, within the ground. They pass through the page's own origin, so that
// neighbouring areas hatch alike.
func ruled(ground geometry.Polygon, angle, spacing float64) []page.Line {
	along := geometry.Direction(angle)
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range ground.Outer {
		d := along.Cross(p)
		low, high = min(low, d), max(high, d)
	}
	var out []page.Line
	for k := math.Ceil(low / spacing); k*spacing <= high; k++ {
		through := along.Left().Scale(k * spacing)
		for _, piece := range ground.ClipLine(geometry.Line{Through: through, Along: along}) {
			out = append(out, page.Line{Points: []page.Point{piece.A, piece.B}})
		}
	}
	return out
}

// spread lists places inside the ground, at least clear from its border: a staggered grid, each place shaken by up to
// shake times the spacing, always the same way.
func spread(ground geometry.Polygon, spacing, clear, shake float64) []page.Point {
	box := ground.Bounds()
	var out []page.Point
	rise := spacing * math.Sqrt(3) / 2
	for row := math.Floor(box.Min.Y / rise); row*rise <= box.Max.Y; row++ {
		for col := math.Floor(box.Min.X/spacing) - 1; col*spacing <= box.Max.X; col++ {
			p := page.Point{
				X: (col + math.Mod(math.Abs(row), 2)/2 + shake*chance(row, col, 1)) * spacing,
				Y: row*rise + shake*chance(row, col, 2)*spacing,
			}
			if ground.Contains(p) && ground.BoundaryDistance(p) >= clear {
				out = append(out, p)
			}
		}
	}
	return out
}

// chance is a fixed number in −0.5 … 0.5 that looks random over rows and columns.
func chance(row, col, kind float64) float64 {
	_, f := math.Modf(math.Abs(math.Sin(row*12.9898+col*78.233+kind*37.719) * 43758.5453))
	return math.Round(f*1e6)/1e6 - 0.5
}

func dots(ink page.Ink, places []page.Point) []page.Item {
	const size = 0.45
	rings := make([][]page.Point, len(places))
	for i, p := range places {
		rings[i] = rectangle(p.X-size/2, p.Y-size/2, size, size)
	}
	if len(rings) == 0 {
		return nil
	}
	return []page.Item{page.Area{Ink: ink, Rings: rings}}
}

// concrete is the draughtsman's sign for it: small stones as triangles, sand as dots.
func concrete(ground geometry.Polygon, ink page.Ink) []page.Item {
	var triangles []page.Line
	var sand []page.Point
	for i, p := range spread(ground, 2.4, 0.3, 0.7) {
		if i%3 != 0 || ground.BoundaryDistance(p) < 1 {
			sand = append(sand, p)
			continue
		}
		turn := 2 * math.Pi * chance(p.X, p.Y, 3)
		corner := func(k float64) page.Point {
			return p.Add(geometry.Direction(turn + k*2*math.Pi/3).Scale(0.9))
		}
		triangles = append(triangles, page.Line{Points: []page.Point{corner(0), corner(1), corner(2)}, Closed: true})
	}
	out := dots(ink, sand)
	if len(triangles) > 0 {
		out = append(out, page.Stroke{Ink: ink, Width: hatchWidth, Lines: triangles})
	}
	return out
}

// stones are small circles of mixed size.
func stones(ground geometry.Polygon) []page.Line {
	var out []page.Line
	for _, p := range spread(ground, 2.5, 0.75, 0.3) {
		r := 0.6 + 0.5*math.Abs(chance(p.X, p.Y, 4))
		if ground.BoundaryDistance(p) < r {
			r = 0.7
		}
		out = append(out, page.Line{Points: geometry.Disc(p, r, 0.04).Outer, Closed: true})
	}
	return out
}

// earth is groups of three slanted strokes, leaning one way and the other in turn.
func earth(ground geometry.Polygon) []page.Line {
	var out []page.Line
	for i, p := range spread(ground, 5.5, 0, 0) {
		lean := math.Pi / 4
		if i%2 == 1 {
			lean = 3 * math.Pi / 4
		}
		along := geometry.Direction(lean)
		for k := -1.0; k <= 1; k++ {
			middle := p.Add(along.Left().Scale(k * 0.9))
			for _, piece := range ground.ClipLine(geometry.Line{Through: middle, Along: along}) {
				if from, to := within(piece, middle, 1.3); to > from {
					out = append(out, page.Line{Points: []page.Point{piece.At(from), piece.At(to)}})
				}
			}
		}
	}
	return out
}

// within is the part of a segment no farther than r from a point on its line, as fractions of the segment.
func within(s geometry.Segment, middle page.Point, r float64) (from, to float64) {
	length := s.Length()
	at := s.Direction().Dot(middle.Sub(s.A))
	return max(0, (at-r)/length), min(1, (at+r)/length)
}

// waves are rows of a gentle wave.
func waves(ground geometry.Polygon) []page.Line {
	const rows, step, length, height = 3.2, 0.5, 5.0, 0.55
	box := ground.Bounds()
	var out []page.Line
	for k := math.Floor(box.Min.Y / rows); k*rows <= box.Max.Y+height; k++ {
		var run []page.Point
		for x := math.Floor(box.Min.X/step) * step; x <= box.Max.X+step; x += step {
			p := page.Point{X: x, Y: k*rows + height*math.Sin(2*math.Pi*x/length)}
			if ground.Contains(p) {
				run = append(run, p)
				continue
			}
			out = appendRun(out, run)
			run = nil
		}
		out = appendRun(out, run)
	}
	return out
}

func appendRun(lines []page.Line, run []page.Point) []page.Line {
	if len(run) < 2 {
		return lines
	}
	return append(lines, page.Line{Points: run})
}
