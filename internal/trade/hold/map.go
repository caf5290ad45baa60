package hold

import (
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/plate"
)

// Map is a quantity read at the corners of even squares, panel by panel: what the contours are drawn from.
type Map struct {
	Worst  float64        `json:"worst"` // greatest value read or computed
	At     geometry.Point `json:"at"`
	Panels []Grid         `json:"panels"`
}

// Grid are the readings over one panel, row by row from the lower left; nil where there is no slab.
type Grid struct {
	From    geometry.Point `json:"from"`
	Pitch   float64        `json:"pitch"` // m
	Columns int            `json:"columns"`
	Rows    int            `json:"rows"`
	Values  []*float64     `json:"values"`
}

// mapPlaces is how many squares a map has along the longer side of the whole slab.
const mapPlaces = 60

// maps reads the greatest tension of both faces and the deflection.
func (m *model) maps(a closer) (stress, sink Map) {
	whole := geometry.EmptyBox()
	for _, p := range m.in.Panels {
		b := p.Outline.Bounds()
		whole = whole.Grow(b.Min).Grow(b.Max)
	}
	pitch := math.Max(whole.Width(), whole.Height()) / mapPlaces
	governing, down := a.bottom, a.whole.Down
	if a.top.Value > governing.Value {
		governing = a.top
	}
	stress = Map{Worst: governing.Value, At: geometry.Point{X: governing.At.X, Y: governing.At.Y}}
	sink = Map{Worst: down.Value, At: geometry.Point{X: down.At.X, Y: down.At.Y}}
	for k, p := range m.in.Panels {
		b := p.Outline.Bounds()
		columns, rows := max(int(math.Ceil(b.Width()/pitch)), 1), max(int(math.Ceil(b.Height()/pitch)), 1)
		tension := Grid{From: b.Min, Pitch: pitch, Columns: columns + 1, Rows: rows + 1}
		down := tension
		for j := range rows + 1 {
			for i := range columns + 1 {
				// The last row and column are drawn in to the panel's edge, so that maps reach it.
				x, y := math.Min(b.Min.X+float64(i)*pitch, b.Max.X), math.Min(b.Min.Y+float64(j)*pitch, b.Max.Y)
				s, err := a.at(k, plate.Point{X: x, Y: y})
				if err != nil { // no slab there
					tension.Values, down.Values = append(tension.Values, nil), append(down.Values, nil)
					continue
				}
				top, _, _ := s.Top.Principal()
				bottom, _, _ := s.Bottom.Principal()
				t, w := math.Max(top, bottom), s.Deflection
				tension.Values, down.Values = append(tension.Values, &t), append(down.Values, &w)
			}
		}
		stress.Panels, sink.Panels = append(stress.Panels, tension), append(sink.Panels, down)
	}
	return stress, sink
}

// at is the state at a place: from a window that has it, else from the whole.
func (a closer) at(panel int, p plate.Point) (plate.State, error) {
	for _, w := range a.windows {
		if s, err := w.At(panel, p); err == nil {
			return s, nil
		}
	}
	return a.whole.At(panel, p)
}

// place is where a reading was taken.
func (g Grid) place(i, j int, high geometry.Point) geometry.Point {
	return geometry.Point{X: math.Min(g.From.X+float64(i)*g.Pitch, high.X), Y: math.Min(g.From.Y+float64(j)*g.Pitch, high.Y)}
}

func (g Grid) value(i, j int) (float64, bool) {
	if v := g.Values[j*g.Columns+i]; v != nil {
		return *v, true
	}
	return 0, false
}

// contour is the line on which the grid's readings reach a level, as pieces: each square is cut into two triangles, in which
// the readings lie on a plane.
func (g Grid) contour(level float64, high geometry.Point) (out []geometry.Segment) {
	for j := range g.Rows - 1 {
		for i := range g.Columns - 1 {
			out = append(out, g.cut(level, high, [3][2]int{{i, j}, {i + 1, j}, {i + 1, j + 1}})...)
			out = append(out, g.cut(level, high, [3][2]int{{i, j}, {i + 1, j + 1}, {i, j + 1}})...)
		}
	}
	return out
}

func (g Grid) cut(level float64, high geometry.Point, corner [3][2]int) []geometry.Segment {
	var ends []geometry.Point
	for n, a := range corner {
		b := corner[(n+1)%3]
		va, ok := g.value(a[0], a[1])
		vb, also := g.value(b[0], b[1])
		if !ok || !also {
			return nil
		}
		if (va < level) != (vb < level) {
			ends = append(ends, g.place(a[0], a[1], high).Lerp(g.place(b[0], b[1], high), (level-va)/(vb-va)))
		}
	}
	if len(ends) != 2 {
		return nil
	}
	return []geometry.Segment{{A: ends[0], B: ends[1]}}
}

// chains joins pieces that end where another begins into lines.
func chains(pieces []geometry.Segment) (out [][]geometry.Point) {
	type key struct{ x, y int64 }
	at := func(p geometry.Point) key { return key{int64(math.Round(p.X * 1e6)), int64(math.Round(p.Y * 1e6))} }
	ends := map[key][]int{}
	for i, s := range pieces {
		ends[at(s.A)] = append(ends[at(s.A)], i)
		ends[at(s.B)] = append(ends[at(s.B)], i)
	}
	used := make([]bool, len(pieces))
	follow := func(from geometry.Point) (line []geometry.Point) {
		for {
			next := -1
			for _, i := range ends[at(from)] {
				if !used[i] {
					next = i
					break
				}
			}
			if next < 0 {
				return line
			}
			used[next] = true
			if at(pieces[next].A) == at(from) {
				from = pieces[next].B
			} else {
				from = pieces[next].A
			}
			line = append(line, from)
		}
	}
	for i, s := range pieces {
		if used[i] {
			continue
		}
		used[i] = true
		ahead, behind := follow(s.B), follow(s.A)
		var line []geometry.Point
		for k := len(behind) - 1; k >= 0; k-- {
			line = append(line, behind[k])
		}
		out = append(out, append(append(line, s.A, s.B), ahead...))
	}
	return out
}
