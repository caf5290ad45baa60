package draft

import (
	"slabwright/internal/engines/drawing"
	"slabwright/internal/trade/check"
)

// ShapeOf is the shape that stands for a verdict; empty when there is none.
func ShapeOf(l check.Level) drawing.Shape {
	switch l {
	case check.Good:
		return drawing.OpenCircle
	case check.Care:
		return drawing.Triangle
	case check.Stop:
		return drawing.Octagon
	}
	return ""
}
