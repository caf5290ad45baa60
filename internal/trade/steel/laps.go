package steel

import (
	"slabwright/internal/engines/geometry"
)

// beside is how far from its bar a lap is drawn, m: close enough to belong to it, far enough to be seen at 1:100.
const beside = 0.06

// laps are where the pieces of the bars lie double, each drawn beside its bar: the full sticks from one end, in every second bar of
// a region from the other, so that neighbours do not lap at one place.
func (r Result) laps(in Input) []geometry.Segment {
	type family struct {
		panel int
		upper bool
	}
	seen := map[family]int{}
	var out []geometry.Segment
	for _, b := range r.Bars {
		key := family{b.Panel, b.Upper}
		turned := seen[key]%2 == 1
		seen[key]++
		if b.Pieces < 2 || b.Trim {
			continue
		}
		list, err := in.pieces(b, r.Lap)
		if err != nil {
			continue
		}
		line := b.Line
		if turned {
			line = geometry.Segment{A: line.B, B: line.A}
		}
		off, at := b.Line.Direction().Left().Scale(beside), 0.0
		for _, piece := range list[:len(list)-1] {
			at += float64(piece) * in.Units.CutStep()
			from := at - r.Lap.Metres()
			out = append(out, geometry.Segment{A: line.At(from / line.Length()).Add(off), B: line.At(at / line.Length()).Add(off)})
			at = from
		}
	}
	return out
}
