package survey

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/trade/site"
)

// insunits are the drawing units of the header variable $INSUNITS. Code 2 is feet without saying which; 21 is US survey feet.
var insunits = map[int]site.SurveyUnit{1: site.Inches, 2: site.Feet, 4: site.Millimetres, 5: site.Centimetres, 6: site.Metres, 21: site.SurveyFeet}

// readDXF reads points, lines, polylines, arcs and circles of a drawing exchange file, in blocks and out of them; x is east and y
// north. What else is drawn is counted and left.
func readDXF(src []byte, told Told) (Import, error) {
	pairs, err := pairsOf(src)
	if err != nil {
		return Import{}, err
	}
	d := parse(pairs)
	if told.Axes == site.NorthEast {
		return Import{}, fault(0, "axes", string(told.Axes), "but a drawing has x to the right and y up.", "Leave axes out, or turn the drawing.")
	}
	said := insunits[d.unitCode]
	unit := told.Unit
	switch {
	case unit == site.Degrees:
		return Import{}, fault(0, "unit", "deg", "is no unit of a drawing.", "Type the drawing's unit: m, mm, in, ft or survey ft.")
	case unit == "" && (said == "" || said == site.Feet):
		return Import{}, askUnit(string(said))
	case unit == "":
		unit = said
	case said != "" && said != unit && !(said == site.Feet && unit == site.SurveyFeet):
		return Import{}, fault(0, "unit", string(told.Unit), fmt.Sprintf("but the drawing says %s.", said), "Leave unit out, or correct the drawing's units.")
	}
	t := &tracer{drawing: d, scale: metres[unit], in: Import{Unit: unit}}
	for _, e := range d.entities {
		if err := t.draw(e, upright, 0, ""); err != nil {
			return Import{}, err
		}
	}
	t.in.Skipped = t.skipped
	return t.in, nil
}

// frame places a block: scaled, turned and moved.
type frame struct{ xx, xy, x, yx, yy, y, z float64 }

var upright = frame{xx: 1, yy: 1}

func (f frame) at(p geometry.Point) geometry.Point {
	return geometry.Point{X: f.xx*p.X + f.xy*p.Y + f.x, Y: f.yx*p.X + f.yy*p.Y + f.y}
}

// within is a frame inside a frame.
func (f frame) within(o frame) frame {
	at := o.at(geometry.Point{X: f.x, Y: f.y})
	return frame{xx: o.xx*f.xx + o.xy*f.yx, xy: o.xx*f.xy + o.xy*f.yy, x: at.X, yx: o.yx*f.xx + o.yy*f.yx, yy: o.yx*f.xy + o.yy*f.yy, y: at.Y, z: o.z + f.z}
}

// deepestInsert is how far blocks may be put into blocks; mostDrawn how many entities that may come to; mostCopies how many
// one insert may lay in rows.
const (
	deepestInsert = 16
	mostDrawn     = 1 << 20
	mostCopies    = 10000
)

// chord is how far the straight pieces of an arc may leave it, m: half a millimetre.
const chord = 0.0005

type tracer struct {
	drawing drawing
	scale   float64
	in      Import
	skipped skips
	drawn   int
}

// draw reads one entity, placed by a frame. layer is that of the insert, for what lies on layer 0 of a block.
func (t *tracer) draw(e entity, f frame, depth int, layer string) error {
	if t.drawn++; t.drawn > mostDrawn {
		return fault(e.line, "file", e.kind, "draws more than can be kept.", "Save the points and outlines alone.")
	}
	if own := e.text(8); own != "" && own != "0" || layer == "" {
		layer = own
	}
	mirror := e.real(230, 1) < 0 // drawn from below: x runs the other way
	flip := func(p geometry.Point) geometry.Point {
		if mirror {
			p.X = -p.X
		}
		return f.at(p)
	}
	point := func(code int) Point {
		return t.point(f.at(geometry.Point{X: e.real(code, 0), Y: e.real(code+10, 0)}), e.real(code+20, 0)+f.z, layer)
	}
	switch e.kind {
	case "POINT":
		t.in.Points = append(t.in.Points, point(10))
	case "LINE":
		t.line(Line{Name: layer, Points: []Point{point(10), point(11)}})
	case "LWPOLYLINE":
		t.polyline(e, flip, f, layer)
	case "POLYLINE":
		t.oldPolyline(e, flip, f, layer)
	case "CIRCLE", "ARC":
		t.arc(e, flip, f, layer)
	case "INSERT":
		return t.insert(e, f, depth, layer, mirror)
	default:
		t.skipped.add(e.kind)
	}
	return nil
}

// point is a place of the drawing. Every place of a drawing has a z; zero is what flat drawings have, and is taken as no height.
func (t *tracer) point(at geometry.Point, z float64, layer string) Point {
	return Point{Code: layer, At: at.Scale(t.scale), Z: z * t.scale, HasZ: z != 0}
}

func (t *tracer) line(l Line) {
	if len(l.Points) > 1 {
		t.in.Lines = append(t.in.Lines, l)
	}
}

// corner is a vertex of a polyline with the bulge of the piece that leaves it: tan of a quarter of its angle.
type corner struct {
	at    geometry.Point
	z     float64
	bulge float64
}

func (t *tracer) polyline(e entity, flip func(geometry.Point) geometry.Point, f frame, layer string) {
	var corners []corner
	for _, p := range e.groups {
		v, err := p.number()
		if err != nil {
			continue
		}
		last := len(corners) - 1
		switch {
		case p.code == 10:
			corners = append(corners, corner{at: geometry.Point{X: v}, z: e.real(38, 0)})
		case p.code == 20 && last >= 0:
			corners[last].at.Y = v
		case p.code == 42 && last >= 0:
			corners[last].bulge = v
		}
	}
	t.chain(corners, int(e.real(70, 0))&1 != 0, flip, f, layer)
}

// oldPolyline is a POLYLINE with vertices; meshes are left.
func (t *tracer) oldPolyline(e entity, flip func(geometry.Point) geometry.Point, f frame, layer string) {
	flags := int(e.real(70, 0))
	if flags&(16|64) != 0 {
		t.skipped.add("mesh")
		return
	}
	space := flags&8 != 0
	if space {
		flip = f.at
	}
	var corners []corner
	for _, v := range e.vertices {
		if int(v.real(70, 0))&16 != 0 {
			continue // a point that only steers a fitted curve
		}
		c := corner{at: geometry.Point{X: v.real(10, 0), Y: v.real(20, 0)}, z: v.real(30, 0), bulge: v.real(42, 0)}
		if !space {
			c.z = e.real(30, 0)
		}
		corners = append(corners, c)
	}
	t.chain(corners, flags&1 != 0, flip, f, layer)
}

// chain lays the pieces of a polyline, bulged ones as many short straight ones.
func (t *tracer) chain(corners []corner, closed bool, flip func(geometry.Point) geometry.Point, f frame, layer string) {
	l := Line{Name: layer, Closed: closed}
	for i, c := range corners {
		l.Points = append(l.Points, t.point(flip(c.at), c.z+f.z, layer))
		next := (i + 1) % len(corners)
		if c.bulge == 0 || next == 0 && !closed {
			continue
		}
		for _, p := range t.bulged(c.at, corners[next].at, c.bulge) {
			l.Points = append(l.Points, t.point(flip(p), c.z+f.z, layer))
		}
	}
	if n := len(l.Points); n > 3 && l.Points[0].At == l.Points[n-1].At {
		l.Points, l.Closed = l.Points[:n-1], true
	}
	t.line(l)
}

// bulged is the inner points of an arc from a to b that turns 4·atan(bulge) to the left.
func (t *tracer) bulged(a, b geometry.Point, bulge float64) []geometry.Point {
	sweep := 4 * math.Atan(bulge)
	half := a.Distance(b) / 2
	if half == 0 || math.Abs(math.Sin(sweep/2)) < 1e-12 {
		return nil
	}
	radius := math.Abs(half / math.Sin(sweep/2))
	middle := a.Lerp(b, 0.5)
	// The centre stands off the chord by half·cot(sweep/2), to the left of a → b where that is above zero.
	centre := middle.Add(b.Sub(a).Unit().Left().Scale(half / math.Tan(sweep/2)))
	return arcInner(centre, radius, a.Sub(centre).Heading(), sweep, t.scale)
}

// arcInner is the points of an arc between its ends; scale is the metres in one unit of the file.
func arcInner(centre geometry.Point, radius, start, sweep, scale float64) []geometry.Point {
	n := pieces(radius*scale, sweep)
	var out []geometry.Point
	for k := 1; k < n; k++ {
		out = append(out, centre.Add(geometry.Direction(start+sweep*float64(k)/float64(n)).Scale(radius)))
	}
	return out
}

// mostPieces bounds the straight pieces of one arc.
const mostPieces = 2000

// pieces is into how many straight pieces an arc is parted: s = r(1 − cos(φ/2)) for a piece of angle φ; r in metres.
func pieces(r, sweep float64) int {
	if !(r > chord) {
		return 4
	}
	piece := 2 * math.Acos(1-chord/r)
	return int(math.Min(mostPieces, math.Max(4, math.Ceil(math.Abs(sweep)/piece))))
}

func (t *tracer) arc(e entity, flip func(geometry.Point) geometry.Point, f frame, layer string) {
	centre := geometry.Point{X: e.real(10, 0), Y: e.real(20, 0)}
	radius := e.real(40, 0)
	start, sweep := 0.0, 2*math.Pi
	if e.kind == "ARC" {
		start = e.real(50, 0) * math.Pi / 180
		sweep = math.Mod(e.real(51, 360)*math.Pi/180-start+4*math.Pi, 2*math.Pi)
		if sweep == 0 {
			sweep = 2 * math.Pi
		}
	}
	if !(radius > 0) {
		t.skipped.add(e.kind + " without a radius")
		return
	}
	ends := []geometry.Point{centre.Add(geometry.Direction(start).Scale(radius))}
	all := append(ends, arcInner(centre, radius, start, sweep, t.scale)...)
	if e.kind == "ARC" {
		all = append(all, centre.Add(geometry.Direction(start+sweep).Scale(radius)))
	}
	l := Line{Name: layer, Closed: e.kind == "CIRCLE"}
	for _, p := range all {
		l.Points = append(l.Points, t.point(flip(p), e.real(30, 0)+f.z, layer))
	}
	t.line(l)
}

// insert draws a block where it is put, in rows and columns if it says so.
func (t *tracer) insert(e entity, f frame, depth int, layer string, mirror bool) error {
	b, ok := t.drawing.blocks[e.text(2)]
	if !ok {
		t.skipped.add("block that is not there")
		return nil
	}
	if depth >= deepestInsert {
		return fault(e.line, "file", e.text(2), fmt.Sprintf("puts blocks into blocks more than %d deep.", deepestInsert), "Take the blocks apart and save again.")
	}
	sx, sy := e.real(41, 1), e.real(42, 1)
	sin, cos := math.Sincos(e.real(50, 0) * math.Pi / 180)
	columns, rows := math.Max(1, e.real(70, 1)), math.Max(1, e.real(71, 1))
	if columns*rows > mostCopies {
		return fault(e.line, "file", e.text(2), "is laid out in too many rows.", "Take the blocks apart and save again.")
	}
	for row := range int(rows) {
		for column := range int(columns) {
			dx, dy := float64(column)*e.real(44, 0), float64(row)*e.real(45, 0)
			own := frame{xx: sx * cos, xy: -sy * sin, yx: sx * sin, yy: sy * cos, z: e.real(30, 0)}
			own.x = e.real(10, 0) + cos*dx - sin*dy - own.xx*b.baseX - own.xy*b.baseY
			own.y = e.real(20, 0) + sin*dx + cos*dy - own.yx*b.baseX - own.yy*b.baseY
			if mirror {
				own.xx, own.xy, own.x = -own.xx, -own.xy, -own.x
			}
			for _, inner := range b.entities {
				if err := t.draw(inner, own.within(f), depth+1, layer); err != nil {
					return err
				}
			}
		}
	}
	return nil
}
