package steel

import (
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
)

// region is where bars of one mat may lie: the slab less its edge clearance, and less the joint clearance where bars stop.
type region struct {
	ground geometry.Polygon
	panel  int // from 1; 0: the whole slab
}

// shortest is the shortest run worth a bar: 300 mm. Source: common practice.
const shortest = 0.300

// nudge keeps the first and last line off the region's edge, where clipping would lose them: 1 mm.
const nudge = 0.001

// heading is the direction of the main bars.
func (in Input) heading() float64 {
	if in.Along == (geometry.Point{}) {
		return 0
	}
	return in.Along.Heading()
}

// regions are the grounds of the mats.
func (in Input) regions() ([]region, error) {
	inset, err := in.Outline.Offset(-in.EdgeClear.Value.Metres())
	if err != nil {
		return nil, err
	}
	var out []region
	if in.Through.Value || len(in.Panels) == 0 {
		for _, p := range inset {
			out = append(out, region{p, 0})
		}
		return out, nil
	}
	for i, panel := range in.Panels {
		shrunk, err := panel.Offset(-in.JointGap.Value.Metres())
		if err != nil {
			return nil, err
		}
		for _, a := range shrunk {
			for _, b := range inset {
				common, err := a.Intersection(b)
				if err != nil {
					return nil, err
				}
				for _, p := range common {
					out = append(out, region{p, i + 1})
				}
			}
		}
	}
	return out, nil
}

// layOut puts bars in every region and counts chairs and ties.
func (r *Result) layOut(in Input, regions []region) {
	chairs := 0
	for _, one := range regions {
		turned := one.ground.Rotate(geometry.Point{}, -in.heading())
		lower := sweep(turned, r.Grid.Spacing.Metres(), false)
		var upper []geometry.Segment
		if r.Grid.BothWays {
			upper = sweep(turned, r.Grid.Spacing.Metres(), true)
		}
		for _, s := range lower {
			r.Bars = append(r.Bars, Bar{Line: turnBack(s, in.heading()), Panel: one.panel})
		}
		for _, s := range upper {
			r.Bars = append(r.Bars, Bar{Line: turnBack(s, in.heading()), Panel: one.panel, Upper: true})
		}
		chairs += lattice(turned, in.Chairs.Value.Metres())
		r.Ties += ties(lower, upper, float64(in.Ties.Value))
	}
	r.Chairs = int(math.Ceil(float64(chairs)*spareChairs - 1e-9))
}

// spareChairs: one in twenty breaks or sinks. Source: common practice.
const spareChairs = 1.05

func turnBack(s geometry.Segment, heading float64) geometry.Segment {
	return geometry.Segment{A: s.A.Rotate(geometry.Point{}, heading), B: s.B.Rotate(geometry.Point{}, heading)}
}

// lines are the places of evenly spaced lines from low to high, no farther apart than spacing: ⌈W/s⌉ + 1 of them.
func lines(low, high, spacing float64) []float64 {
	width := high - low
	if width < 2*nudge {
		return []float64{(low + high) / 2}
	}
	n := int(math.Ceil(width/spacing-1e-9)) + 1
	out := make([]float64, n)
	for i := range out {
		out[i] = low + width*float64(i)/float64(n-1)
	}
	out[0], out[n-1] = low+nudge, high-nudge
	return out
}

// sweep clips evenly spaced lines to the region: along x, or along y when upright. Runs too short for a bar are dropped.
func sweep(p geometry.Polygon, spacing float64, upright bool) []geometry.Segment {
	box := p.Bounds()
	low, high, along := box.Min.Y, box.Max.Y, geometry.Point{X: 1}
	if upright {
		low, high, along = box.Min.X, box.Max.X, geometry.Point{Y: 1}
	}
	var out []geometry.Segment
	for _, at := range lines(low, high, spacing) {
		through := geometry.Point{X: box.Min.X, Y: at}
		if upright {
			through = geometry.Point{X: at, Y: box.Min.Y}
		}
		for _, s := range p.ClipLine(geometry.Line{Through: through, Along: along}) {
			if s.Length() >= shortest {
				out = append(out, s)
			}
		}
	}
	return out
}

// lattice counts chairs: points no farther apart than spacing each way, those that lie in the region.
func lattice(p geometry.Polygon, spacing float64) int {
	box := p.Bounds()
	n := 0
	for _, x := range lines(box.Min.X, box.Max.X, spacing) {
		for _, y := range lines(box.Min.Y, box.Max.Y, spacing) {
			if p.Contains(geometry.Point{X: x, Y: y}) {
				n++
			}
		}
	}
	return n
}

// ties counts wire ties: every crossing at the end of a bar of either layer, and a share of the rest.
func ties(lower, upper []geometry.Segment, share float64) int {
	hits := make([][]bool, len(lower))
	for i, a := range lower {
		hits[i] = make([]bool, len(upper))
		for j, b := range upper {
			how, _ := a.Meet(b)
			hits[i][j] = how != geometry.Apart
		}
	}
	edge, inside := 0, 0
	for i := range lower {
		for j := range upper {
			if !hits[i][j] {
				continue
			}
			if outermost(len(upper), j, func(k int) bool { return hits[i][k] }) || outermost(len(lower), i, func(k int) bool { return hits[k][j] }) {
				edge++
			} else {
				inside++
			}
		}
	}
	return edge + int(math.Ceil(share*float64(inside)-1e-9))
}

// outermost says that no hit lies before at, or none after it.
func outermost(n, at int, hit func(int) bool) bool {
	before, after := false, false
	for k := range n {
		before = before || k < at && hit(k)
		after = after || k > at && hit(k)
	}
	return !before || !after
}

// trimLength and trimOffsets: two 4 ft #4 bars across every inside corner, 2 and 5 in from it. Source: common practice.
var trimLength, trimOffsets = quantity.Feet(4), []quantity.Length{quantity.Inches(2), quantity.Inches(5)}

// trimSize is the size of trim bars.
const trimSize = "#4"

// insideCorner is the bend past which a corner counts as inside, and roundRing how many corners make a box-out round.
const (
	insideCorner = 10 * math.Pi / 180
	roundRing    = 8
)

// trim lays diagonals across the inside corners that no joint relieves, square to the line on which they crack.
func (r *Result) trim(in Input) {
	if !in.Trim.Value {
		return
	}
	pieces := in.Panels
	if in.Through.Value || len(pieces) == 0 {
		pieces = []geometry.Polygon{in.Outline}
	}
	inset, err := in.Outline.Offset(-in.EdgeClear.Value.Metres())
	if err != nil {
		return
	}
	for i, p := range pieces {
		panel := i + 1
		if len(in.Panels) == 0 || in.Through.Value {
			panel = 0
		}
		rings := p.Rings()
		for _, corner := range p.ReentrantCorners() {
			if corner.Angle <= math.Pi+insideCorner || len(rings[corner.Ring]) >= roundRing && corner.Angle < math.Pi+math.Pi/4 {
				continue
			}
			for _, s := range diagonals(p, corner) {
				r.addTrim(s, p, inset, panel, in)
			}
		}
	}
}

// diagonals are the trim bars of one corner before clipping.
func diagonals(p geometry.Polygon, corner geometry.Corner) []geometry.Segment {
	ring := p.Rings()[corner.Ring]
	n := len(ring)
	into := ring[(corner.Index+1)%n].Sub(corner.At).Unit().Add(ring[(corner.Index+n-1)%n].Sub(corner.At).Unit()).Scale(-1).Unit()
	var out []geometry.Segment
	for _, off := range trimOffsets {
		mid := corner.At.Add(into.Scale(off.Metres()))
		half := into.Left().Scale(trimLength.Metres() / 2)
		out = append(out, geometry.Segment{A: mid.Sub(half), B: mid.Add(half)})
	}
	return out
}

// addTrim keeps the piece of a diagonal that lies in its panel with clearance.
func (r *Result) addTrim(s geometry.Segment, panel geometry.Polygon, inset []geometry.Polygon, number int, in Input) {
	grounds := inset
	if number > 0 {
		shrunk, err := panel.Offset(-in.JointGap.Value.Metres())
		if err != nil {
			return
		}
		grounds = nil
		for _, a := range shrunk {
			for _, b := range inset {
				if common, err := a.Intersection(b); err == nil {
					grounds = append(grounds, common...)
				}
			}
		}
	}
	var best geometry.Segment
	for _, g := range grounds {
		for _, piece := range g.ClipLine(geometry.LineThrough(s.A, s.B)) {
			from, _ := s.Offset(piece.A)
			to, _ := s.Offset(piece.B)
			from, to = max(from, 0), min(to, s.Length())
			if to-from > best.Length() {
				best = geometry.Segment{A: s.At(from / s.Length()), B: s.At(to / s.Length())}
			}
		}
	}
	if best.Length() >= shortest {
		r.Bars = append(r.Bars, Bar{Line: best, Panel: number, Trim: true})
	}
}
