package grade

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/planefit"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
)

// fitting is the program's answer for one direction.
type fitting struct {
	planefit.Result
	aim aim
}

// choose fits the plane for every direction that may be and keeps the cheapest.
func (w *work) choose() error {
	aims, err := w.aims()
	if err != nil {
		return err
	}
	samples := w.samples()
	if len(aims) == 0 {
		return check.Faults{{Field: "grade.drain", Why: "every way out runs to a wall.", Type: fmt.Sprintf("Say where a drain takes the water: drain: to side %s.", w.sideName(0))}}
	}
	if len(w.bends) > 0 {
		w.foldAims(aims[0])
		best, err := w.fitPanels(samples)
		if err != nil {
			return w.inWords(err, aims[0], samples)
		}
		w.take(best)
		return nil
	}
	best, err := w.cheapest(aims, samples)
	if conflict := (planefit.Conflict{}); errors.As(err, &conflict) && !aims[0].said && len(aims) == 1 {
		if second, again := w.cheapest(w.round(), samples); again == nil {
			best, err = second, nil
		}
	}
	if err != nil {
		return w.inWords(err, aims[0], samples)
	}
	w.panels[0].aim = best.aim
	w.take(best)
	return nil
}

// take keeps a fit.
func (w *work) take(f fitting) {
	w.fit = f
	largest := 0
	for i := range w.panels {
		p := &w.panels[i]
		p.Plane = Plane(f.Planes[i])
		if p.Outline.Area() > w.panels[largest].Outline.Area()*(1+1e-9) {
			largest = i
		}
	}
	w.Plane, w.aim = w.panels[largest].Plane, w.panels[largest].aim
}

// cheaper is how much cheaper, as a share, a later direction must be to be taken: less is rounding.
const cheaper = 1e-6

// cheapest tries directions in turn. The error is that of the first one, when none can be.
func (w *work) cheapest(aims []aim, samples []planefit.Sample) (fitting, error) {
	var best fitting
	var first error
	found := false
	for _, a := range aims {
		f, err := w.toward(a, samples)
		if err != nil {
			if first == nil {
				first = err
			}
			continue
		}
		if !found || f.Cost < best.Cost*(1-cheaper)-cheaper {
			best, found = f, true
		}
	}
	if !found {
		return best, first
	}
	return best, nil
}

// toward fits the plane for one direction.
func (w *work) toward(a aim, samples []planefit.Sample) (fitting, error) {
	w.panels[0].aim = a
	return w.together(samples)
}

// together fits the planes of all panels, each for its own direction.
func (w *work) together(samples []planefit.Sample) (fitting, error) {
	p := planefit.Problem{Panels: len(w.panels), Samples: samples, Cut: float64(w.in.CutCost.Value), Fill: float64(w.in.FillCost.Value)}
	for k := range w.panels {
		p.Limits = append(p.Limits, w.limits(k)...)
	}
	for _, t := range w.in.Ties {
		p.Limits = append(p.Limits, w.tieLimits(t)...)
	}
	p.Limits = append(p.Limits, w.joinLimits()...)
	r, err := planefit.Fit(context.Background(), p)
	return fitting{r, w.panels[0].aim}, err
}

// held says whether a tie fixes the slab's height.
func (w *work) held() bool {
	for _, t := range w.in.Ties {
		if t.kind() == Meet {
			return true
		}
	}
	return false
}

// samples is what the plane costs: each piece of the dig, and of the ground that is dressed to the slab round it, at the level
// where the slab's top lies the reveal above the ground. Lower, the ground is dug deeper than the slab's own bed; higher, it is
// filled, banked and driven up to. That a higher slab saves digging its bed is not counted: nobody wants it to stand out of the
// ground for that.
func (w *work) samples() []planefit.Sample {
	var out []planefit.Sample
	w.Cells = w.grid(w.Dig)
	for _, c := range w.Cells {
		out = append(out, planefit.Sample{Panel: w.panelAt(c.At), X: c.At.X, Y: c.At.Y, Level: w.ground.at(c.At) + w.in.Reveal.Value.Metres(), Weight: float64(c.Area)})
	}
	width := w.in.Dress.Value.Metres()
	for _, e := range w.slab.Edges() {
		if e.Ring != 0 || w.in.wall(e.Index) != "" || width <= 0 {
			continue
		}
		n := ceil(e.Length() / width)
		for i := range n {
			p := e.A.Lerp(e.B, (float64(i)+0.5)/float64(n)).Add(e.Outward.Scale(width / 2))
			out = append(out, planefit.Sample{Panel: w.panelAt(p), X: p.X, Y: p.Y, Level: w.ground.at(p) + w.in.Reveal.Value.Metres(), Weight: width * e.Length() / float64(n)})
		}
	}
	return out
}

// greatest is the steepest slope allowed: the accessible limit where it counts.
func (w *work) greatest() quantity.Slope {
	if w.in.Accessible.Value {
		return min(w.in.Greatest.Value, accessibleSlope)
	}
	return w.in.Greatest.Value
}

// limits are what the plane of panel k must hold to, in words that a fault can repeat.
func (w *work) limits(k int) []planefit.Limit {
	a := w.panels[k].aim
	d, n := a.toward, a.toward.Left()
	least, most, cross := float64(w.in.Least.Value), float64(w.greatest()), float64(w.in.Cross.Value)
	fall := planefit.Limit{Name: fmt.Sprintf("a fall of at least %s %s", w.shown(w.in.Least.Value), a.says), B: d.X, C: d.Y, Bound: -least}
	if most-least < slopeRoom {
		fall.Equal, cross = true, 0
	}
	out := []planefit.Limit{fall}
	lean := fmt.Sprintf("a lean across that of at most %s", w.shown(w.in.Cross.Value))
	if cross < slopeRoom {
		out = append(out, planefit.Limit{Name: lean, B: n.X, C: n.Y, Equal: true})
	} else {
		out = append(out, planefit.Limit{Name: lean, B: n.X, C: n.Y, Bound: cross}, planefit.Limit{Name: lean, B: -n.X, C: -n.Y, Bound: cross})
	}
	if !fall.Equal {
		out = append(out, w.cone(a, most)...)
	}
	if !a.said {
		for _, e := range w.walls() {
			if -d.Dot(e.Outward) < math.Cos(math.Pi/4) && slices.Contains(w.panelsAlong(e), k) {
				out = append(out, planefit.Limit{Name: "no water to " + w.in.wall(e.Index), B: -e.Outward.X, C: -e.Outward.Y})
			}
		}
	}
	for i := range out {
		out[i].Panel = k
	}
	return out
}

// panelsAlong are the panels that lie along a side of the outline.
func (w *work) panelsAlong(e geometry.Edge) []int {
	if len(w.panels) == 1 {
		return []int{0}
	}
	var out []int
	for i, v := range w.parts.Ring {
		next := w.parts.Points[w.parts.Ring[(i+1)%len(w.parts.Ring)]]
		if k := w.panelAt(w.parts.Points[v].Lerp(next, 0.5)); w.parts.Side[i] == e.Index && !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	return out
}

// slopeRoom is the room between slopes below which they count as one: 0.001 %.
const slopeRoom = 1e-5

// coneSides is how many sides the polygon has that stands for the greatest slope, all round.
const coneSides = 64

// cone holds the steepest slope under most: a polygon inside the circle |g| = most, with a corner in the direction of fall so
// that the whole of it can be used that way. Only the downhill half can bind.
func (w *work) cone(a aim, most float64) []planefit.Limit {
	var out []planefit.Limit
	name := fmt.Sprintf("a slope of at most %s", w.shown(w.greatest()))
	heading := a.toward.Scale(-1).Heading()
	for k := -coneSides / 4; k < coneSides/4; k++ {
		u := geometry.Direction(heading + 2*math.Pi*(float64(k)+0.5)/coneSides)
		out = append(out, planefit.Limit{Name: name, B: u.X, C: u.Y, Bound: most * math.Cos(math.Pi/coneSides)})
	}
	return out
}

// tieLimits is a tie at its place, or at both ends of its side.
func (w *work) tieLimits(t Tie) []planefit.Limit {
	var out []planefit.Limit
	for _, p := range w.tiePoints(t) {
		l := planefit.Limit{Name: w.tieWords(t), Panel: w.panelAt(p), A: 1, B: p.X, C: p.Y, Bound: t.top(), Equal: t.kind() == Meet}
		if t.kind() == Above {
			l.A, l.B, l.C, l.Bound = -1, -p.X, -p.Y, -l.Bound
		}
		out = append(out, l)
	}
	return out
}

func (w *work) tiePoints(t Tie) []geometry.Point {
	if e, ok := w.side(t.Side); ok && t.Side != "" {
		out := []geometry.Point{e.A, e.B}
		for i, v := range w.parts.Ring {
			if w.parts.Side[i] == e.Index && v >= len(w.names) {
				out = append(out, w.parts.Points[v])
			}
		}
		return out
	}
	if i, ok := w.corner(t.Corner); ok {
		return []geometry.Point{w.slab.Outer[i]}
	}
	return []geometry.Point{{X: t.X.Value.Metres(), Y: t.Y.Value.Metres()}}
}

func (w *work) corner(name string) (int, bool) {
	for i, n := range w.names {
		if n == name {
			return i, true
		}
	}
	return 0, false
}

func (t Tie) kind() TieKind {
	if t.Kind == "" {
		return Meet
	}
	return t.Kind
}

// top is the level the tie asks of the slab's top: its own less the step down, or, for above, more the step up.
func (t Tie) top() float64 {
	if t.kind() == Above {
		return (t.Elevation.Value + t.Step.Value).Metres()
	}
	return (t.Elevation.Value - t.Step.Value).Metres()
}

func (w *work) tieWords(t Tie) string {
	place := "corner " + t.Corner
	switch {
	case t.Side != "":
		place = "side " + t.Side
	case t.Corner == "":
		place = fmt.Sprintf("%s, %s", quantity.Show(t.X.Value, quantity.AsDistance).String(w.in.Units), quantity.Show(t.Y.Value, quantity.AsDistance).String(w.in.Units))
	}
	if t.Name != "" {
		place += " (" + t.Name + ")"
	}
	verb := map[TieKind]string{Meet: "exactly", Below: "at most", Above: "at least"}[t.kind()]
	return fmt.Sprintf("%s at %s %s", place, verb, quantity.Plain(t.top(), quantity.AsElevation).String(w.in.Units))
}

// shown writes a slope as a person reads it.
func (w *work) shown(s quantity.Slope) string {
	return quantity.Show(s, quantity.AsSlope).String(w.in.Units)
}
