// Package sheetstest holds the standard pictures every renderer is tested with, and slabs of usual and unusual size.
package sheetstest

import (
	"fmt"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/trade/draft"
)

// Pictures are the six standard pictures.
func Pictures() []drawing.Picture {
	return []drawing.Picture{Hole(), Hatches(), Patterns(), Dimensions(), Lettering(), Signs()}
}

func xy(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }

func box(x, y, w, h float64) []geometry.Point {
	return []geometry.Point{xy(x, y), xy(x+w, y), xy(x+w, y+h), xy(x, y+h)}
}

// Hole is a rectangle 6 m by 4 m with a hole, filled solid: tests fill rules and true scale.
func Hole() drawing.Picture {
	solid := draft.SlabEdge
	solid.Hatch = drawing.Full
	return drawing.Picture{Name: "hole", Title: "A rectangle with a hole", Says: "A rectangle six by four metres with a square hole.",
		Space: drawing.Site, Marks: []drawing.Mark{
			drawing.Path{Layer: solid, Points: box(0, 0, 6, 4), Holes: [][]geometry.Point{box(2, 1, 1, 1)}, Closed: true, Ref: "slab"},
		}, Legend: []drawing.LegendRow{{Layer: draft.SlabEdge, Says: "slab edge"}}}
}

// Hatches is an L in every hatch.
func Hatches() drawing.Picture {
	pic := drawing.Picture{Name: "hatches", Title: "Every hatch on an L", Says: "Nine L-shapes, each hatched another way.", Space: drawing.Site}
	for i, h := range []drawing.Hatch{drawing.Empty, drawing.Full, drawing.Diagonal, drawing.Crossed, drawing.Dots,
		drawing.Triangles, drawing.Rounds, drawing.Strokes, drawing.Waves} {
		layer := drawing.Layer{Name: draft.SlabConcrete.Name, Says: string(h), Width: 0.5, Hatch: h}
		x, y := float64(i%3)*3.2, float64(i/3)*-2.6
		pic.Marks = append(pic.Marks,
			drawing.Path{Layer: layer, Closed: true, Ref: fmt.Sprintf("hatch %q", h), Points: []geometry.Point{
				xy(x, y), xy(x+2.8, y), xy(x+2.8, y+1), xy(x+1.2, y+1), xy(x+1.2, y+2.2), xy(x, y+2.2)}},
			draft.Label(xy(x+0.6, y+0.7), string(h)+" 6 in"))
		if h != drawing.Empty {
			pic.Legend = append(pic.Legend, drawing.LegendRow{Layer: layer, Says: string(h)})
		}
	}
	return pic
}

// Patterns is a line, a polygon and a circle in every pattern.
func Patterns() drawing.Picture {
	pic := drawing.Picture{Name: "patterns", Title: "Every line", Says: "A line, a polygon and a circle in each of eight patterns.", Space: drawing.Site}
	for i, p := range []drawing.Pattern{drawing.Solid, drawing.Dash, drawing.Dotted, drawing.LongShort, drawing.LongTwo,
		drawing.DashDot, drawing.DoubleLine, drawing.TickedSolid} {
		layer := drawing.Layer{Name: draft.SawJoint.Name, Says: string(p), Width: 0.5, Pattern: p}
		y := -1.5 * float64(i)
		pic.Marks = append(pic.Marks,
			drawing.Path{Layer: layer, Points: []geometry.Point{xy(0, y), xy(5, y)}, Ref: string(p)},
			drawing.Path{Layer: layer, Points: []geometry.Point{xy(6, y-0.5), xy(8, y-0.5), xy(8.5, y+0.5), xy(6, y+0.5)}, Closed: true},
			drawing.Circle{Layer: layer, At: xy(10, y), Radius: 0.5},
			drawing.Arc{Layer: layer, At: xy(11.5, y), Radius: 0.5, From: 0, To: math.Pi})
		pic.Legend = append(pic.Legend, drawing.LegendRow{Layer: layer, Says: string(p)})
	}
	return pic
}

// Dimensions is a chain closed by an overall, a too short one, an upright one, a slanting one, two that collide, and a running
// one from one point.
func Dimensions() drawing.Picture {
	dim := func(a, b geometry.Point, offset float64, says string) drawing.Dimension {
		return drawing.Dimension{Layer: draft.Dims, A: a, B: b, Offset: offset, Says: says}
	}
	return drawing.Picture{Name: "dimensions", Title: "Chains and overall", Says: "A slab with chain dimensions.", Space: drawing.Site,
		Marks: []drawing.Mark{
			drawing.Path{Layer: draft.SlabEdge, Points: box(0, 0, 8, 3), Closed: true},
			drawing.Path{Layer: draft.SawJoint, Points: []geometry.Point{xy(3, 0), xy(3, 3)}, Ref: "cut 1"},
			drawing.Path{Layer: draft.SawJoint, Points: []geometry.Point{xy(6, 0), xy(6, 3)}, Ref: "cut 2"},
			dim(xy(0, 0), xy(3, 0), -10, `9'-10 1/8"`), dim(xy(3, 0), xy(6, 0), -10, `9'-10 1/8"`),
			dim(xy(6, 0), xy(6.2, 0), -10, `0'-8"`), dim(xy(6.2, 0), xy(8, 0), -10, `5'-11"`),
			dim(xy(0, 0), xy(8, 0), -10, `26'-3"`),
			dim(xy(8, 0), xy(8, 3), -8, `9'-10 1/8"`), dim(xy(0, 0), xy(0, 3), 8, "3.000 m"),
			dim(xy(0, 3), xy(8, 3), 8, "8.000 m"), dim(xy(0, 0), xy(3, 3), 0, "4.243 m"),
			dim(xy(0, 6.5), xy(2, 6.5), -6, `6'-6 3/4"`), dim(xy(0, 6.5), xy(4, 6.5), -6, `13'-1 1/2"`),
			dim(xy(0, 6.5), xy(4.1, 6.5), -6, `13'-5 3/8"`), dim(xy(0, 6.5), xy(6, 6.5), -6, `19'-8 1/4"`), dim(xy(0, 6.5), xy(8, 6.5), -6, `26'-3"`),
		}}
}

// Lettering is every anchor, angles, fractions and signs, boxed and bold.
func Lettering() drawing.Picture {
	pic := drawing.Picture{Name: "lettering", Title: "Lettering ½ ¼ ″ ′ ° ² ³ × ±", Says: "Lettering at every anchor and angle.", Space: drawing.Site}
	for i, a := range []drawing.Anchor{drawing.Middle, drawing.Left, drawing.Right, drawing.Above, drawing.Below} {
		at := xy(float64(i)*3, 0)
		pic.Marks = append(pic.Marks,
			drawing.Symbol{Layer: draft.SpotNew, At: at, Shape: drawing.Cross, Size: 2.5},
			drawing.Text{Layer: draft.Letters, At: at, Says: string(a) + " 99.72", Height: 3.5, Anchor: a})
	}
	for i := range 8 {
		turn := float64(i) * math.Pi / 4
		pic.Marks = append(pic.Marks, drawing.Text{Layer: draft.Letters, At: xy(3, -4).Add(geometry.Direction(turn).Scale(1.6)),
			Says: fmt.Sprintf("%d° turn", i*45), Height: 3, Angle: turn})
	}
	pic.Marks = append(pic.Marks,
		drawing.Text{Layer: draft.Letters, At: xy(10, -3), Says: `12'-7 3/8" ½ ¼ ¾ ″ ′ ° ² ³ × ±`, Height: 3.5},
		drawing.Text{Layer: draft.Letters, At: xy(10, -4), Says: "HOLD 99.72", Height: 5, Bold: true, Boxed: true},
		drawing.Text{Layer: draft.Letters, At: xy(10, -5.2), Says: "first line\nsecond <line> & more", Height: 2.5},
		drawing.Text{Layer: draft.Letters, At: xy(10, -6), Says: "Grüße, señor €", Height: 2.5})
	return pic
}

// Signs is every symbol, arrows every way, and labels that collide.
func Signs() drawing.Picture {
	pic := drawing.Picture{Name: "signs", Title: "Signs and arrows", Says: "Symbols in a row, arrows in a star.", Space: drawing.Site}
	for i, s := range []drawing.Shape{drawing.Cross, drawing.Stake, drawing.Dot, drawing.Bench, drawing.OpenCircle,
		drawing.Triangle, drawing.Octagon, drawing.Flag} {
		at := xy(float64(i)*1.4, 0)
		pic.Marks = append(pic.Marks, drawing.Symbol{Layer: draft.SpotNew, At: at, Shape: s, Size: 4},
			drawing.Text{Layer: draft.Letters, At: at, Says: string(s), Height: 2.5, Anchor: drawing.Below})
	}
	for i := range 8 {
		way := geometry.Direction(float64(i) * math.Pi / 4)
		pic.Marks = append(pic.Marks, drawing.Arrow{Layer: draft.Flow, From: xy(3, -4).Add(way.Scale(0.6)), To: xy(3, -4).Add(way.Scale(2)), Says: "2.0 %"})
	}
	for i := range 4 {
		pic.Marks = append(pic.Marks, drawing.Text{Layer: draft.Letters, At: xy(8, -4+0.05*float64(i)), Says: fmt.Sprintf("crowded %d", i+1), Height: 3})
	}
	pic.Legend = []drawing.LegendRow{{Layer: draft.Flow, Says: draft.Flow.Says}, {Layer: draft.SpotNew, Says: draft.SpotNew.Says}}
	return pic
}

// Slab is a plan of a slab of any size, metres, with cuts, dimensions, spots and a fall: what a real sheet holds.
func Slab(name string, length, width float64, says func(metres float64) string) drawing.Picture {
	pic := drawing.Picture{Name: name, Title: "Two cuts make three panels", Space: drawing.Site,
		Says: "A plan of the slab with its joints, dimensions and levels.",
		Marks: []drawing.Mark{
			drawing.Path{Layer: draft.House, Points: box(0, width, length, width/4), Closed: true, Ref: "house"},
			drawing.Path{Layer: draft.SlabEdge, Points: box(0, 0, length, width), Closed: true, Ref: "slab"},
			drawing.Path{Layer: draft.IsoJoint, Points: []geometry.Point{xy(0, width), xy(length, width)}, Ref: "isolation"},
			drawing.Text{Layer: draft.Letters, At: xy(length/2, width*1.125), Says: "HOUSE", Height: 3.5, Bold: true},
		},
		Legend: []drawing.LegendRow{{Layer: draft.SlabEdge, Says: "slab edge"}, {Layer: draft.SawJoint, Says: "saw cut (SAW)"},
			{Layer: draft.IsoJoint, Says: "isolation strip (ISOL)"}, {Layer: draft.House, Says: "building"},
			{Layer: draft.Flow, Says: "water runs this way"}, {Layer: draft.SpotNew, Says: "new level"}},
	}
	for i := range 3 {
		from, to := length*float64(i)/3, length*float64(i+1)/3
		if i > 0 {
			pic.Marks = append(pic.Marks, drawing.Path{Layer: draft.SawJoint, Points: []geometry.Point{xy(from, 0), xy(from, width)}, Ref: fmt.Sprintf("cut %d", i)})
		}
		pic.Marks = append(pic.Marks, drawing.Dimension{Layer: draft.Dims, A: xy(from, 0), B: xy(to, 0), Offset: -10, Says: says(to - from)},
			drawing.Text{Layer: draft.Letters, At: xy((from+to)/2, width*0.6), Says: fmt.Sprintf("PANEL %d", i+1), Height: 3.5, Bold: true},
			drawing.Arrow{Layer: draft.Flow, From: xy((from+to)/2, width*0.4), To: xy((from+to)/2, width*0.15), Says: "2.0 %"})
	}
	pic.Marks = append(pic.Marks,
		drawing.Dimension{Layer: draft.Dims, A: xy(0, 0), B: xy(length, 0), Offset: -18, Says: says(length)},
		drawing.Dimension{Layer: draft.Dims, A: xy(0, 0), B: xy(0, width), Offset: 10, Says: says(width)})
	for i, at := range box(0, 0, length, width) {
		pic.Marks = append(pic.Marks, drawing.Symbol{Layer: draft.SpotNew, At: at, Shape: drawing.Stake, Size: 2.6, Ref: string(rune('A' + i))},
			drawing.Text{Layer: draft.Letters, At: at, Says: fmt.Sprintf("%c  %.2f", 'A'+i, 99.72+0.07*float64(i)), Height: 2.5, Bold: true, Anchor: drawing.Above})
	}
	return pic
}
