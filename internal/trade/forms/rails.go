package forms

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
)

// grip is how much longer a straightedge is than the strip it strikes off: 1 ft. Source: common practice.
var grip = quantity.Feet(1)

// ScreedStrips returns how many strips a width is placed in, how wide one is, and the rails between them.
//
//	n = ⌈W / (straightedge − grip)⌉, rails n − 1
//
// Error when the straightedge is not longer than its grip, or the width not above zero. Source: common practice.
func ScreedStrips(width, straightedge, grip quantity.Length) (strips int, each quantity.Length, err error) {
	free := straightedge - grip
	if !(width > 0 && grip >= 0 && free > 0 && width < 1000*free) {
		return 0, 0, fmt.Errorf("forms: a straightedge of %g m with %g m of grip cannot strike off %g m", straightedge.Metres(), grip.Metres(), width.Metres())
	}
	strips = max(1, int(math.Ceil(width.Metres()/free.Metres()-1e-9)))
	return strips, width / quantity.Length(strips), nil
}

// rails lays screed rails along the slab, evenly between its long sides, no farther apart than the straightedge reaches.
func (in Input) rails() (rails []geometry.Segment, strip quantity.Length, err error) {
	box := geometry.MinimumRectangle(in.Outline.Outer)
	n, strip, err := ScreedStrips(quantity.Length(box.Width), in.Straightedge.Value, grip)
	if err != nil {
		return nil, 0, err
	}
	along := geometry.Direction(box.Heading)
	for k := 1; k < n; k++ {
		through := box.Corner.Add(along.Left().Scale(strip.Metres() * float64(k)))
		for _, s := range in.Outline.ClipLine(geometry.Line{Through: through, Along: along}) {
			if s.Length() > strip.Metres()/4 {
				rails = append(rails, s)
			}
		}
	}
	return rails, strip, nil
}

// edgeConcrete is what a thickened edge takes beyond the slab: its own depth over its width, and a slope of one to one back
// up to the slab.
//
//	V = L (w Δ + Δ²/2),   Δ = edge depth − t
func (in Input) edgeConcrete(r Result) quantity.Volume {
	more := (in.EdgeDepth.Value - in.Thickness.Value).Metres()
	length := 0.0
	for _, run := range r.Runs {
		if run.Kind == Straight || run.Kind == Curve {
			length += run.Length.Metres()
		}
	}
	return quantity.Volume(length * (in.EdgeWidth.Value.Metres()*more + more*more/2))
}

// stakesFor brings stakes together, six inches (150 mm) at a time, until the board neither breaks nor bows more than it may.
func (in Input) stakesFor(b Board, load quantity.LineLoad, habit quantity.Length) (quantity.Length, Bending, error) {
	step := quantity.Inches(6)
	for spacing := habit; ; spacing -= step {
		bending, err := Bend(b, load, spacing, in.Modulus.Value)
		if err != nil || spacing <= 2*step || bending.Stress <= in.Allowable.Value && bending.Deflection <= bending.Limit {
			return spacing, bending, err
		}
	}
}
