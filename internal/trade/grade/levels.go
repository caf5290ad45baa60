package grade

import (
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/terrain"
)

// settle gives the plane its height. Where a tie holds it, the fit has said all. Else the slab's low edge is set at the reveal
// above the ground, as far as floors and ceilings let it; and without ground shots, the ground is put that far below the low
// edge, counted from a highest corner of 100.
func (w *work) settle() {
	slope := w.Plane.slope()
	if !w.held() && w.ground.known {
		w.Plane.A += w.withinTies(w.in.Reveal.Value.Metres() - w.lowEdgeAboveGround())
	}
	w.LevelBy = "the levels given"
	if !w.ground.known {
		if len(w.in.Ties) == 0 {
			w.Plane.A += w.datum() - w.highest()
			w.LevelBy = fmt.Sprintf("the highest corner of the slab, called %s", quantity.Plain(w.datum(), quantity.AsElevation).String(w.in.Units))
		}
		w.ground.surface = terrain.Plane{Height: w.ground.at(geometry.Point{}) + w.lowEdgeAboveGround() - w.in.Reveal.Value.Metres()}
	}
	w.Slope = quantity.Slope(slope.Length())
	if slope.Length() > 0 {
		w.Heading = quantity.Angle(slope.Scale(-1).Heading())
	}
	w.Direction = w.aim.says
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
	for _, p := range w.slab.Outer {
		z = math.Max(z, w.Plane.At(p))
	}
	return z
}

// lowShare says which corners make the low edge: those in the last fifth of the way the water runs.
const lowShare = 0.2

// lowEdgeAboveGround is the least height of the low edge's corners above the ground.
func (w *work) lowEdgeAboveGround() float64 {
	from, to := w.runs()
	least := math.Inf(1)
	for _, p := range w.slab.Outer {
		if p.Dot(w.aim.toward) >= to-lowShare*(to-from) {
			least = math.Min(least, w.Plane.At(p)-w.ground.at(p))
		}
	}
	return least
}

// runs is where the slab begins and ends the way the water runs.
func (w *work) runs() (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for _, p := range w.slab.Outer {
		s := p.Dot(w.aim.toward)
		from, to = math.Min(from, s), math.Max(to, s)
	}
	return from, to
}

// withinTies cuts a lift of the plane down to what floors and ceilings leave; ceilings last: under a door sill no water comes in.
func (w *work) withinTies(lift float64) float64 {
	for _, kind := range []TieKind{Above, Below} {
		for _, t := range w.in.Ties {
			for _, p := range w.tiePoints(t) {
				room := t.top() - w.Plane.At(p)
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

// setOut gives every corner and stake its drops from a level string and its rod reading. Drops are rounded to the tape; where
// that would take the fall under the least, the low side is lowered to the next mark.
func (w *work) setOut() {
	drops := w.cornerDrops()
	for i, p := range w.slab.Outer {
		w.Corners = append(w.Corners, w.stake(w.names[i], p, drops[i]))
	}
	w.Least = w.leastAsSet(drops)
	w.extremes()
	spacing := w.in.Stakes.Value.Metres()
	for i, a := range w.slab.Outer {
		w.Stakes = append(w.Stakes, w.Corners[i])
		j := (i + 1) % len(w.slab.Outer)
		b := w.slab.Outer[j]
		n := ceil(a.Distance(b) / spacing)
		for k := 1; k < n; k++ {
			t := float64(k) / float64(n)
			along := quantity.Length(t * a.Distance(b))
			name := fmt.Sprintf("%s + %s", w.sideName(i), quantity.Show(along, quantity.AsSide).String(w.in.Units))
			w.Stakes = append(w.Stakes, w.stake(name, a.Lerp(b, t), w.tape(drops[i]+t*(drops[j]-drops[i]))))
		}
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

// cornerDrops are the drops from string to top of slab at the corners, rounded so that between any two corners at least half
// the slab's run apart rounding does not take the fall under the least.
func (w *work) cornerDrops() []float64 {
	step, least := w.in.tapeStep(), float64(w.in.Least.Value)
	drops := make([]float64, len(w.slab.Outer))
	order := make([]int, len(w.slab.Outer))
	for i, p := range w.slab.Outer {
		order[i], drops[i] = i, w.tape(w.stringLevel()-w.Plane.At(p))
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if gap := w.run(a, b); gap != 0 {
			return int(math.Copysign(1, -gap))
		}
		return 0
	})
	for k, j := range order {
		for _, i := range order[:k] {
			if !w.farEnough(i, j) {
				continue
			}
			if short := least*w.run(i, j) - w.fallAsSet(drops, i, j); short > tapeRoom {
				drops[j] += math.Ceil((short-tapeRoom)/step) * step
			}
		}
	}
	return drops
}

// tapeRoom keeps a drop that is on its mark but for rounding from going to the next: a micrometre.
const tapeRoom = 1e-6

// run is how far corner j lies from corner i the way the water runs.
func (w *work) run(i, j int) float64 {
	return w.slab.Outer[j].Sub(w.slab.Outer[i]).Dot(w.aim.toward)
}

// fallAsSet is the fall from corner i to corner j the way the water runs, as set out: that of the plane and what rounding
// added. What the two lie apart across the fall does not count.
func (w *work) fallAsSet(drops []float64, i, j int) float64 {
	p, q := w.slab.Outer[i], w.slab.Outer[j]
	rounding := (drops[j] - drops[i]) - (w.Plane.At(p) - w.Plane.At(q))
	return -w.Plane.slope().Dot(w.aim.toward)*w.run(i, j) + rounding
}

func (w *work) farEnough(i, j int) bool {
	from, to := w.runs()
	return w.run(i, j) >= halfWay*(to-from)
}

// leastAsSet is the least slope between corners at least half the run apart, as set out.
func (w *work) leastAsSet(drops []float64) quantity.Slope {
	least := math.Inf(1)
	for i := range drops {
		for j := range drops {
			if w.farEnough(i, j) {
				least = math.Min(least, w.fallAsSet(drops, i, j)/w.run(i, j))
			}
		}
	}
	return quantity.Slope(least)
}

func (w *work) stake(name string, p geometry.Point, drop float64) Stake {
	s := Stake{Name: name, At: p, Elevation: quantity.Length(w.Plane.At(p)), Set: quantity.Length(w.stringLevel() - drop), Top: quantity.Length(drop)}
	s.Base = s.Top + w.in.Thickness.Value
	s.Subgrade = s.Base + w.in.Base.Value
	s.Below = quantity.Length(drop) - w.in.String.Value
	s.Ground = quantity.Length(w.ground.at(p))
	s.Depth = s.Ground - (s.Elevation - quantity.Length(w.in.depth()))
	if w.hasRods() {
		s.Rod = w.in.Height.Value - s.Set
	}
	return s
}

// hasRods says whether rod readings mean anything: an instrument is set and the slab's level is counted from the same mark.
func (w *work) hasRods() bool {
	return w.in.Height.Given() && (w.ground.known || len(w.in.Ties) > 0)
}

func (w *work) extremes() {
	high, low := w.Corners[0], w.Corners[0]
	for _, c := range w.Corners {
		if c.Top < high.Top-tapeRoom {
			high = c
		}
		if c.Top > low.Top+tapeRoom {
			low = c
		}
		w.DigDepth = max(w.DigDepth, c.Depth)
	}
	w.High, w.Low, w.Fall = w.twins(high), w.twins(low), low.Top-high.Top
}

// twins names a corner and every other at its level: "A and B".
func (w *work) twins(c Stake) string {
	text := ""
	for _, o := range w.Corners {
		if math.Abs(float64(o.Top-c.Top)) > tapeRoom {
			continue
		}
		if text != "" {
			text += " and "
		}
		text += o.Name
	}
	return text
}
