// Package drawing describes pictures as data: marks on named layers, in site metres or in paper millimetres, with a
// reference from each mark to what it shows and a table that says the same in words. It knows no renderer and no trade;
// renderers hold no rule of either.
package drawing

import "slabwright/internal/engines/geometry"

// Point is a place on the drawing: metres on the site (x east, y north) or millimetres on paper (y up).
type Point = geometry.Point

// Space says what a picture's coordinates are.
type Space string

// The spaces.
const (
	Site  Space = "site"  // metres; drawn to a scale the sheet chooses
	Paper Space = "paper" // millimetres; drawn as it is
)

// Picture is one drawing.
type Picture struct {
	Name   string // file name stem: "joint-plan"
	Title  string // what the picture finds, in words: "Two cuts make three panels"
	Says   string // the finding for a reader who cannot see the picture
	Space  Space
	Marks  []Mark
	Legend []LegendRow
	Table  Table // the same content in words and numbers
	Film   *Film // what moves over the picture, where it may move; nil: nothing
}

// Film is outlines that run over a picture, all through the same times.
type Film struct {
	Seconds float64 // how long it runs, once
	Bodies  []FilmBody
	Words   []FilmWord
}

// FilmBody is one outline, about its own origin and pointing along +x, with where it stands at times evenly apart.
type FilmBody struct {
	Layer   Layer
	Outline []Point
	Stands  []Stand
	Ref     string
}

// Stand is a place and a heading, in radians turning left from +x and running on past a whole turn.
type Stand struct {
	At      Point
	Heading float64
}

// FilmWord is what is said from one share of the time to another.
type FilmWord struct {
	From, To float64
	Says     string
}

// LegendRow explains one layer's line or fill.
type LegendRow struct {
	Layer Layer
	Says  string
}

// Table is a picture's twin for readers of text.
type Table struct {
	Header []string
	Rows   [][]string
}

// Mark is one thing drawn.
type Mark interface{ layer() Layer }

// Path is a run of straight pieces, closed or open, filled or not.
type Path struct {
	Layer  Layer
	Points []Point
	Closed bool
	Holes  [][]Point // inner rings, left unfilled
	Ref    string    // what it shows: "panel 2", "edge BC"
}

// Circle is a full circle.
type Circle struct {
	Layer  Layer
	At     Point
	Radius float64
	Ref    string
}

// Arc is part of a circle, from angle From turning left to To (radians).
type Arc struct {
	Layer    Layer
	At       Point
	Radius   float64
	From, To float64
	Ref      string
}

// Anchor says which point of a text stands at its place.
type Anchor string

// The anchors.
const (
	Middle Anchor = "middle"
	Left   Anchor = "left"
	Right  Anchor = "right"
	Above  Anchor = "above" // centred, standing on the point
	Below  Anchor = "below" // centred, hanging from the point
)

// Text is lettering; Height is the cap height on paper in millimetres, whatever the scale.
type Text struct {
	Layer  Layer
	At     Point
	Says   string
	Height float64
	Anchor Anchor
	Angle  float64 // radians, turning left
	Bold   bool
	Boxed  bool // on a white ground with a frame: it must be readable over lines
	Tied   bool // says what stands at its point: away from it, it would say nothing
	Struck bool // a line runs through it: it holds no more
	Ref    string
}

// Dimension is a measured distance from A to B, drawn Offset paper-millimetres to the left of A→B.
type Dimension struct {
	Layer  Layer
	A, B   Point
	Offset float64
	Says   string
	Ref    string
}

// Arrow is a thin shaft with a solid head at To; it points the way something moves.
type Arrow struct {
	Layer    Layer
	From, To Point
	Says     string // beside the shaft
	Ref      string
}

// Shape is a paper-sized symbol.
type Shape string

// The shapes.
const (
	Cross      Shape = "cross"    // a spot level
	Stake      Shape = "stake"    // a driven stake
	Dot        Shape = "dot"      // a bar end, a post
	Bench      Shape = "bench"    // a bench mark
	OpenCircle Shape = "circle"   // looks good
	Triangle   Shape = "triangle" // take care
	Octagon    Shape = "octagon"  // don't
	Flag       Shape = "flag"     // a date
)

// Symbol is a shape at a place, Size paper-millimetres across.
type Symbol struct {
	Layer Layer
	At    Point
	Shape Shape
	Size  float64
	Ref   string
}

func (m Path) layer() Layer      { return m.Layer }
func (m Circle) layer() Layer    { return m.Layer }
func (m Arc) layer() Layer       { return m.Layer }
func (m Text) layer() Layer      { return m.Layer }
func (m Dimension) layer() Layer { return m.Layer }
func (m Arrow) layer() Layer     { return m.Layer }
func (m Symbol) layer() Layer    { return m.Layer }

// LayerOf says on which layer a mark stands.
func LayerOf(m Mark) Layer { return m.layer() }

// Pattern is how a line is broken.
type Pattern string

// The patterns.
const (
	Solid       Pattern = "solid"
	Dash        Pattern = "dash"
	Dotted      Pattern = "dotted"
	LongShort   Pattern = "long-short"     // centre and control lines
	LongTwo     Pattern = "long-two-short" // lot lines
	DashDot     Pattern = "dash-dot"
	DoubleLine  Pattern = "double"
	TickedSolid Pattern = "ticked" // solid with short cross ticks
)

// Hatch is how an area is filled; every hatch survives a black-and-white copy.
type Hatch string

// The hatches.
const (
	Empty     Hatch = ""
	Full      Hatch = "full"
	Diagonal  Hatch = "diagonal"
	Crossed   Hatch = "crossed"
	Dots      Hatch = "dots"
	Triangles Hatch = "triangles" // triangles and dots
	Rounds    Hatch = "rounds"    // small circles
	Strokes   Hatch = "strokes"   // groups of short slanted strokes
	Waves     Hatch = "waves"
)

// Layer is a named layer with its pen. Width is on paper in millimetres; Colour is for screens and colour print, never the
// only carrier of meaning; empty is black.
type Layer struct {
	Name    string
	Says    string
	Width   float64
	Pattern Pattern
	Hatch   Hatch
	Colour  string // #rrggbb
}

// Bounds is the smallest box around the marks' points, and whether there are any. Paper-sized parts (text, symbols,
// dimension offsets) are not counted: the sheet leaves room for them.
func (p Picture) Bounds() (low, high Point, ok bool) {
	for _, m := range p.Marks {
		for _, q := range reach(m) {
			if !ok {
				low, high, ok = q, q, true
			}
			low = Point{X: min(low.X, q.X), Y: min(low.Y, q.Y)}
			high = Point{X: max(high.X, q.X), Y: max(high.Y, q.Y)}
		}
	}
	return low, high, ok
}

func reach(m Mark) []Point {
	switch m := m.(type) {
	case Path:
		return m.Points
	case Circle:
		return boxAround(m.At, m.Radius)
	case Arc:
		return boxAround(m.At, m.Radius)
	case Text:
		return []Point{m.At}
	case Dimension:
		return []Point{m.A, m.B}
	case Arrow:
		return []Point{m.From, m.To}
	case Symbol:
		return []Point{m.At}
	}
	return nil
}

func boxAround(p Point, r float64) []Point {
	return []Point{{X: p.X - r, Y: p.Y - r}, {X: p.X + r, Y: p.Y + r}}
}
