package lettering

import (
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Pen draws outlines: what a rasterizer offers. Coordinates are millimetres, y up.
type Pen interface {
	MoveTo(x, y float64)
	LineTo(x, y float64)
	QuadTo(cx, cy, x, y float64)
	CubeTo(c1x, c1y, c2x, c2y, x, y float64)
	Close()
}

// Trace draws the outlines of says with the pen, from the origin along +x, to be filled by the non-zero rule.
func Trace(pen Pen, says string, capHeight float64, heavy bool) {
	f, buffer := faceOf(heavy), sfnt.Buffer{}
	text, _ := Readable(says)
	em, x := EmOf(capHeight), 0.0
	for _, r := range text {
		if glyph, err := f.font.GlyphIndex(&buffer, r); err == nil {
			segments, err := f.font.LoadGlyph(&buffer, glyph, fixed.I(unitsPerEm), nil)
			if err == nil {
				traceGlyph(pen, segments, x, em/64/unitsPerEm)
			}
		}
		x += f.advances[r] * em
	}
}

func traceGlyph(pen Pen, segments sfnt.Segments, x, k float64) {
	at := func(p fixed.Point26_6) (float64, float64) { return x + float64(p.X)*k, -float64(p.Y) * k }
	open := false
	for _, s := range segments {
		ax, ay := at(s.Args[0])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if open {
				pen.Close()
			}
			pen.MoveTo(ax, ay)
			open = true
		case sfnt.SegmentOpLineTo:
			pen.LineTo(ax, ay)
		case sfnt.SegmentOpQuadTo:
			bx, by := at(s.Args[1])
			pen.QuadTo(ax, ay, bx, by)
		case sfnt.SegmentOpCubeTo:
			bx, by := at(s.Args[1])
			cx, cy := at(s.Args[2])
			pen.CubeTo(ax, ay, bx, by, cx, cy)
		}
	}
	if open {
		pen.Close()
	}
}
