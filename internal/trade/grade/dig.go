package grade

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
)

// dig finds what is dug: the slab and the margin past its free sides, not past the line of a wall.
func (w *work) dig() error {
	out, err := w.grown(w.in.Margin.Value.Metres())
	w.Dig = out
	return err
}

// grown is the slab with every free side moved out. Past a wall nothing is dug, and box-outs stay as they are.
func (w *work) grown(margin float64) ([]geometry.Polygon, error) {
	outer := geometry.Polygon{Outer: w.slab.Outer}.Oriented()
	pieces, err := outer.Offset(margin)
	if err != nil {
		return nil, fmt.Errorf("grade: dig outline: %w", err)
	}
	var behind []geometry.Polygon
	for _, e := range w.slab.Edges() {
		if e.Ring == 0 && w.in.wall(e.Index) != "" && margin > 0 {
			behind = append(behind, strip(e, margin))
		}
	}
	if len(behind) > 0 {
		var kept []geometry.Polygon
		for _, p := range pieces {
			rest, err := p.Difference(behind...)
			if err != nil {
				return nil, fmt.Errorf("grade: dig along the wall: %w", err)
			}
			kept = append(kept, rest...)
		}
		if pieces, err = geometry.Union(append(kept, outer)...); err != nil {
			return nil, fmt.Errorf("grade: dig along the wall: %w", err)
		}
	}
	var holes []geometry.Polygon
	for _, h := range w.slab.Holes {
		holes = append(holes, geometry.Polygon{Outer: h}.Oriented())
	}
	if len(holes) == 0 {
		return pieces, nil
	}
	var out []geometry.Polygon
	for _, p := range pieces {
		rest, err := p.Difference(holes...)
		if err != nil {
			return nil, fmt.Errorf("grade: dig round the box-outs: %w", err)
		}
		out = append(out, rest...)
	}
	return out, nil
}

// wallRoom is how far a wall is taken to stand in the way, in dig margins: past the mitred corner of a square slab.
const wallRoom = 1.5

// strip is the ground behind a wall: outside the side, and past its ends as far.
func strip(e geometry.Edge, margin float64) geometry.Polygon {
	u, n := e.Direction().Scale(wallRoom*margin), e.Outward.Scale(wallRoom*margin)
	return geometry.Polygon{Outer: []geometry.Point{e.A.Sub(u), e.B.Add(u), e.B.Add(u).Add(n), e.A.Sub(u).Add(n)}}.Oriented()
}

// mostCells is how many cells the longest way across the dig is parted into: each must hold a number on a printed sheet.
const mostCells = 14

// axis is the direction of the slab's longest side, the first of equals: cells and tried directions are counted from it, so
// that turning the lot turns the answer.
func (w *work) axis() (heading float64, outward geometry.Point) {
	longest := 0.0
	for _, e := range w.slab.Edges() {
		if e.Ring == 0 && e.Length() > longest*(1+1e-9) {
			longest, heading, outward = e.Length(), e.Direction().Heading(), e.Outward
		}
	}
	return heading, outward
}

// grid parts polygons into cells of a square grid that lies along the slab's longest side.
func (w *work) grid(pieces []geometry.Polygon) []Cell {
	heading, _ := w.axis()
	var origin geometry.Point
	var turned []geometry.Polygon
	box := geometry.EmptyBox()
	for _, p := range pieces {
		t := p.Rotate(origin, -heading)
		turned = append(turned, t)
		for _, q := range t.Outer {
			box = box.Grow(q)
		}
	}
	size := math.Max(box.Width(), box.Height()) / mostCells
	columns, rows := ceil(box.Width()/size), ceil(box.Height()/size)
	stepX, stepY := box.Width()/float64(columns), box.Height()/float64(rows)
	var cells []Cell
	for _, p := range turned {
		for i := range columns {
			for _, column := range between(p, geometry.Point{X: 1}, box.Min.X+float64(i)*stepX, stepX) {
				for j := range rows {
					for _, c := range between(column, geometry.Point{Y: 1}, box.Min.Y+float64(j)*stepY, stepY) {
						cells = append(cells, cellOf(c.Rotate(origin, heading)))
					}
				}
			}
		}
	}
	return cells
}

// between is the part of p from a line across u to another a step further on.
func between(p geometry.Polygon, u geometry.Point, from, step float64) []geometry.Polygon {
	var out []geometry.Polygon
	right := geometry.Line{Through: u.Scale(from), Along: u.Left().Scale(-1)} // keeps what lies beyond from
	left := geometry.Line{Through: u.Scale(from + step), Along: u.Left()}
	for _, q := range p.ClipHalfPlane(right) {
		out = append(out, q.ClipHalfPlane(left)...)
	}
	return out
}

func cellOf(p geometry.Polygon) Cell {
	return Cell{Outline: p.Outer, At: p.Centroid(), Area: quantity.Area(p.Area())}
}
