package layout

import (
	"cmp"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/rim/sheets/page"
)

// leastRunning is how many dimensions from one point make a running dimension instead of rows under each other.
const leastRunning = 4

// run is dimensions from one point along one line: drawn as one line with a tick and a figure at each end.
type run struct{ parts []measured }

// runs takes from the dimensions those that start at one point, or end at one, at least leastRunning of them; the rest comes
// back.
func runs(all []measured) (running []run, rest []measured) {
	forward, rest := gathered(all, func(d measured) float64 { return d.from })
	backward, rest := gathered(rest, func(d measured) float64 { return d.to })
	return append(forward, backward...), rest
}

// gathered groups the dimensions that share one end and lie along one line of the object, on one side of it.
func gathered(all []measured, end func(measured) float64) (running []run, rest []measured) {
	var groups []run
	for _, d := range all {
		i := slices.IndexFunc(groups, func(g run) bool {
			first := g.parts[0]
			return d.along.Distance(first.along) < 1e-3 && (d.offset < 0) == (first.offset < 0) &&
				math.Abs(d.base()-first.base()) < 0.5 && math.Abs(end(d)-end(first)) < 0.5
		})
		if i < 0 {
			groups = append(groups, run{[]measured{d}})
			continue
		}
		groups[i].parts = append(groups[i].parts, d)
	}
	for _, g := range groups {
		if len(g.parts) < leastRunning {
			rest = append(rest, g.parts...)
			continue
		}
		slices.SortStableFunc(g.parts, func(a, b measured) int { return cmp.Compare(a.to-a.from, b.to-b.from) })
		running = append(running, g)
	}
	return running, rest
}

// base is the place of the object's line across along.
func (d measured) base() float64 { return d.level - d.offset }

// ends are the point the run starts from and those it measures to, on the object.
func (r run) ends() (origin page.Point, to []page.Point) {
	a, b := r.parts[0], r.parts[len(r.parts)-1]
	fromA := math.Abs(a.from-b.from) < 0.5
	for _, d := range r.parts {
		if fromA {
			origin, to = d.a, append(to, d.b)
		} else {
			origin, to = d.b, append(to, d.a)
		}
	}
	return origin, to
}

// moveClear is the level of the run's line, beyond the chains along the same line of the object.
func (r run) moveClear(chains []chain) float64 {
	first := r.parts[0]
	reach := math.Abs(first.offset)
	for _, c := range chains {
		d := c.parts[0]
		if d.along.Distance(first.along) < 1e-3 && (d.offset < 0) == (first.offset < 0) && math.Abs(d.base()-first.base()) < 0.5 {
			reach = max(reach, math.Abs(d.offset)+c.depth())
		}
	}
	return first.base() + math.Copysign(reach, first.offset)
}

// drawRun draws the line once, a ring at its start, a tick at each end, and the figures across the line beyond it.
func (s *sheet) drawRun(r run, chains []chain) {
	first := r.parts[0]
	up, side, level := first.along.Left(), math.Copysign(1, first.offset), r.moveClear(chains)
	onLine := func(p page.Point) page.Point { return p.Add(up.Scale(level - first.along.Cross(p))) }
	origin, ends := r.ends()
	ink := inkOf(first.mark.Layer, first.mark.Ref)
	lines := []page.Line{{Points: []page.Point{onLine(origin), onLine(ends[len(ends)-1])}}}
	var ticks []page.Line
	slant := first.along.Add(up).Unit().Scale(tickHalf * math.Sqrt2)
	places := apart(origin, ends, first.along)
	for i, foot := range append([]page.Point{origin}, ends...) {
		at := onLine(foot)
		lines = append(lines, page.Line{Points: []page.Point{foot.Add(up.Scale(side * extensionGap)), at.Add(up.Scale(side * extensionEnd))}})
		if i == 0 {
			continue
		}
		ticks = append(ticks, page.Line{Points: []page.Point{at.Sub(slant), at.Add(slant)}})
		foot := at.Add(up.Scale(side * extensionEnd))
		if shift := places[i-1]; shift != 0 {
			moved := foot.Add(first.along.Scale(shift)).Add(up.Scale(side * extensionEnd))
			lines = append(lines, page.Line{Points: []page.Point{foot, moved}})
			foot = moved
		}
		s.acrossFigure(r.parts[i-1], foot, up.Scale(side))
	}
	s.signs = append(s.signs, page.Stroke{Ink: ink, Width: max(first.mark.Layer.Width, 0.2), Lines: lines},
		page.Stroke{Ink: ink, Width: tickPen, Lines: ticks},
		page.Stroke{Ink: ink, Width: thinPen, Lines: []page.Line{{Points: geometry.Disc(onLine(origin), 1, chordError).Outer, Closed: true}}})
	for _, l := range lines {
		s.lies(l, thinWeight)
	}
}

// figureRoom is how far figures across a line must stand apart, millimetres.
const figureRoom = labelCap + 1.4

// apart says how far each figure moves along the line so that none covers the one before.
func apart(origin page.Point, ends []page.Point, along page.Point) []float64 {
	out := make([]float64, len(ends))
	last := math.Inf(-1)
	for i, p := range ends {
		station := along.Dot(p.Sub(origin))
		place := max(math.Abs(station), last+figureRoom)
		out[i] = math.Copysign(place-math.Abs(station), station)
		last = place
	}
	return out
}

// acrossFigure writes a figure across the line, outwards from a foot, to be read from the bottom or the right edge.
func (s *sheet) acrossFigure(d measured, foot, outwards page.Point) {
	if d.mark.Says == "" {
		return
	}
	l := d.figure()
	reading := outwards
	if !readsUpright(reading) {
		reading = reading.Scale(-1)
	}
	l.angle = reading.Heading()
	s.put(l, foot.Add(outwards.Scale(1+l.width()/2)))
}
