package grade

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/terrain"
)

// settle gives the plane its height. Where a tie holds it, the fit has said all. Else the slab's low edge is set at the reveal
// above the ground, as far as floors and ceilings let it; and without ground shots, the ground is put that far below the low
// edge, counted from a highest corner of 100.
func (w *work) settle() {
	if !w.held() && w.ground.known {
		w.lift(w.withinTies(w.in.Reveal.Value.Metres() - w.lowEdgeAboveGround()))
	}
	w.LevelBy = "the levels given"
	if !w.ground.known {
		if len(w.in.Ties) == 0 {
			w.lift(w.datum() - w.highest())
			w.LevelBy = fmt.Sprintf("the highest corner of the slab, called %s", quantity.Plain(w.datum(), quantity.AsElevation).String(w.in.Units))
		}
		w.ground.surface = terrain.Plane{Height: w.ground.at(geometry.Point{}) + w.lowEdgeAboveGround() - w.in.Reveal.Value.Metres()}
	}
	w.describe()
}

// describe says of every panel and fold how it lies.
func (w *work) describe() {
	w.Direction = w.aim.says
	for i := range w.panels {
		p := &w.panels[i]
		g := p.Plane.slope()
		p.Slope, p.Says = quantity.Slope(g.Length()), p.aim.says
		if g.Length() > 0 {
			p.Heading = quantity.Angle(g.Scale(-1).Heading())
		}
		w.Slope = max(w.Slope, p.Slope)
		w.Panels = append(w.Panels, p.Panel)
	}
	if g := w.Plane.slope(); g.Length() > 0 {
		w.Heading = quantity.Angle(g.Scale(-1).Heading())
	}
	for _, b := range w.bends {
		l, r := w.panels[b.left].Plane, w.panels[b.right].Plane
		w.Folds = append(w.Folds, Bend{Kind: b.kind, Line: b.Segment, Left: w.panels[b.left].Name, Right: w.panels[b.right].Name,
			Slope: quantity.Slope(-l.slope().Dot(b.Direction())), Break: quantity.Slope(math.Abs(l.slope().Sub(r.slope()).Dot(b.across())))})
	}
}

// datum is what the highest corner is called when nobody gave a level: 100 ft or 100 m.
func (w *work) datum() float64 {
	if w.in.Units == quantity.Metric {
		return 100
	}
	return quantity.Feet(100).Metres()
}

func (w *work) highest() float64 {
	z := math.Inf(-1)
	for _, p := range w.marks() {
		z = math.Max(z, w.top(p))
	}
	return z
}

// lowShare says which corners make the low edge: those in the last fifth of the way the water runs; with folds, of the height.
const lowShare = 0.2

// lowEdgeAboveGround is the least height of the low edge's corners above the ground.
func (w *work) lowEdgeAboveGround() float64 {
	far := func(p geometry.Point) float64 { return p.Dot(w.aim.toward) }
	if len(w.panels) > 1 {
		far = func(p geometry.Point) float64 { return -w.top(p) }
	}
	from, to := spread(w.slab.Outer, far)
	least := math.Inf(1)
	for _, p := range w.slab.Outer {
		if far(p) >= to-lowShare*(to-from) {
			least = math.Min(least, w.top(p)-w.ground.at(p))
		}
	}
	return least
}

// spread is the least and the greatest of something at points.
func spread(points []geometry.Point, of func(geometry.Point) float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range points {
		s := of(p)
		low, high = math.Min(low, s), math.Max(high, s)
	}
	return low, high
}

// withinTies cuts a lift of the plane down to what floors and ceilings leave; ceilings last: under a door sill no water comes in.
func (w *work) withinTies(lift float64) float64 {
	for _, kind := range []TieKind{Above, Below} {
		for _, t := range w.in.Ties {
			for _, p := range w.tiePoints(t) {
				room := t.top() - w.top(p)
				switch {
				case t.kind() == kind && kind == Above:
					lift = math.Max(lift, room)
				case t.kind() == kind:
					lift = math.Min(lift, room)
				}
			}
		}
	}
	return lift
}

// tapeStep is the finest that is set out: 1/8 in, or a millimetre.
func (in Input) tapeStep() float64 {
	if in.Units == quantity.Metric {
		return quantity.Millimetres(1).Metres()
	}
	return quantity.Inches(0.125).Metres()
}

// setOut gives every corner, fold's end and stake its drops from a level string and its rod reading. Drops are rounded to the
// tape; where that would take the fall under the least, the low side is lowered to the next mark.
func (w *work) setOut() {
	drops, marks := w.markDrops(), w.marks()
	var at []Stake
	for i, p := range marks {
		at = append(at, w.stake(w.markName(i), p, drops[i]))
	}
	w.Corners = at[:len(w.slab.Outer):len(w.slab.Outer)]
	w.Least = w.leastAsSet(drops)
	w.extremes(at)
	ring, side := w.ring()
	for k, i := range ring {
		w.Stakes = append(w.Stakes, at[i])
		j := ring[(k+1)%len(ring)]
		corner := w.slab.Outer[side[k]]
		w.between(at[i], at[j], func(p geometry.Point) string {
			return fmt.Sprintf("%s + %s", w.sideName(side[k]), quantity.Show(quantity.Length(p.Distance(corner)), quantity.AsSide).String(w.in.Units))
		})
	}
	for i := len(w.slab.Outer); i < len(marks); i++ {
		if !slices.Contains(ring, i) {
			w.Stakes = append(w.Stakes, at[i])
		}
	}
	for _, c := range w.parts.Cuts {
		name := w.markName(c.From) + w.markName(c.To)
		w.between(at[c.From], at[c.To], func(p geometry.Point) string {
			return fmt.Sprintf("%s + %s", name, quantity.Show(quantity.Length(p.Distance(at[c.From].At)), quantity.AsSide).String(w.in.Units))
		})
	}
}

// between adds stakes on the way from one mark to the next.
func (w *work) between(a, b Stake, name func(geometry.Point) string) {
	n := ceil(a.At.Distance(b.At) / w.in.Stakes.Value.Metres())
	for k := 1; k < n; k++ {
		t := float64(k) / float64(n)
		p := a.At.Lerp(b.At, t)
		w.Stakes = append(w.Stakes, w.stake(name(p), p, w.tape(float64(a.Top)+t*float64(b.Top-a.Top))))
	}
}

// string is the level of the string: the given height above the highest corner.
func (w *work) stringLevel() float64 { return w.highest() + w.in.String.Value.Metres() }

func (w *work) tape(v float64) float64 {
	step := w.in.tapeStep()
	return math.Round(v/step) * step
}

// halfWay is the share of the slab's run over which a pair of corners is held to the least fall after rounding: nearer ones
// lie within the rounding of a tape.
const halfWay = 0.5

// markDrops are the drops from string to top of slab at the marks, rounded so that between any two of one panel at least half the
// panel's run apart rounding does not take the fall under the least.
func (w *work) markDrops() []float64 {
	drops := make([]float64, len(w.marks()))
	for i, p := range w.marks() {
		drops[i] = w.tape(w.stringLevel() - w.top(p))
	}
	for range w.panels { // lowering a mark may take another panel, where it is the high side, under its fall
		for k := range w.panels {
			w.lower(drops, k)
		}
	}
	return drops
}

// lower takes the low marks of a panel down to the next mark of the tape where rounding broke its fall.
func (w *work) lower(drops []float64, panel int) {
	step, least := w.in.tapeStep(), float64(w.in.Least.Value)
	order := w.marksOf(panel)
	slices.SortStableFunc(order, func(a, b int) int {
		if gap := w.run(panel, a, b); gap != 0 {
			return int(math.Copysign(1, -gap))
		}
		return 0
	})
	for k, j := range order {
		for _, i := range order[:k] {
			if !w.farEnough(panel, i, j) {
				continue
			}
			if short := least*w.run(panel, i, j) - w.fallAsSet(drops, panel, i, j); short > tapeRoom {
				drops[j] += math.Ceil((short-tapeRoom)/step) * step
			}
		}
	}
}

// marksOf are the marks on a panel.
func (w *work) marksOf(panel int) []int {
	var out []int
	for i, p := range w.marks() {
		if len(w.panels) == 1 || w.panels[panel].Outline.Locate(p) == geometry.OnBoundary {
			out = append(out, i)
		}
	}
	return out
}

// tapeRoom keeps a drop that is on its mark but for rounding from going to the next: a micrometre.
const tapeRoom = 1e-6

// run is how far mark j lies from mark i the way the panel's water runs.
func (w *work) run(panel, i, j int) float64 {
	return w.marks()[j].Sub(w.marks()[i]).Dot(w.panels[panel].aim.toward)
}

// fallAsSet is the fall of a panel from mark i to mark j the way its water runs, as set out: that of the plane and what rounding
// added. What the two lie apart across the fall does not count.
func (w *work) fallAsSet(drops []float64, panel, i, j int) float64 {
	plane := w.panels[panel].Plane
	p, q := w.marks()[i], w.marks()[j]
	rounding := (drops[j] - drops[i]) - (plane.At(p) - plane.At(q))
	return -plane.slope().Dot(w.panels[panel].aim.toward)*w.run(panel, i, j) + rounding
}

func (w *work) farEnough(panel, i, j int) bool {
	from, to := spread(w.panels[panel].Outline.Outer, func(p geometry.Point) float64 { return p.Dot(w.panels[panel].aim.toward) })
	return w.run(panel, i, j) >= halfWay*(to-from)
}

// leastAsSet is the least slope between marks of one panel at least half its run apart, as set out.
func (w *work) leastAsSet(drops []float64) quantity.Slope {
	least := math.Inf(1)
	for k := range w.panels {
		marks := w.marksOf(k)
		for _, i := range marks {
			for _, j := range marks {
				if w.farEnough(k, i, j) {
					least = math.Min(least, w.fallAsSet(drops, k, i, j)/w.run(k, i, j))
				}
			}
		}
	}
	return quantity.Slope(least)
}

func (w *work) stake(name string, p geometry.Point, drop float64) Stake {
	s := Stake{Name: name, At: p, Elevation: quantity.Length(w.top(p)), Set: quantity.Length(w.stringLevel() - drop), Top: quantity.Length(drop)}
	s.Base = s.Top + quantity.Length(w.thick(p))
	s.Subgrade = s.Base + w.in.Base.Value
	s.Below = quantity.Length(drop) - w.in.String.Value
	s.Ground = quantity.Length(w.ground.at(p))
	s.Depth = s.Ground - (s.Elevation - quantity.Length(w.deep(p)))
	if w.hasRods() {
		s.Rod = w.in.Height.Value - s.Set
	}
	return s
}

// hasRods says whether rod readings mean anything: an instrument is set and the slab's level is counted from the same mark.
func (w *work) hasRods() bool {
	return w.in.Height.Given() && (w.ground.known || len(w.in.Ties) > 0)
}

func (w *work) extremes(marks []Stake) {
	high, low := marks[0], marks[0]
	for _, c := range marks {
		if c.Top < high.Top-tapeRoom {
			high = c
		}
		if c.Top > low.Top+tapeRoom {
			low = c
		}
		w.DigDepth = max(w.DigDepth, c.Depth)
	}
	w.High, w.Low, w.Fall = w.twins(marks, high), w.twins(marks, low), low.Top-high.Top
}

// twins names a mark and every other at its level: "A and B". Corners on a curve are named by it, once.
func (w *work) twins(marks []Stake, c Stake) string {
	plain := w.in.plainCorners()
	var names []string
	for i, o := range marks {
		if math.Abs(float64(o.Top-c.Top)) > tapeRoom {
			continue
		}
		name := o.Name
		if i < len(w.slab.Outer) && !slices.Contains(plain, i) {
			name = "the curve on " + w.sideName(i)
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return strings.Join(names, " and ")
}
