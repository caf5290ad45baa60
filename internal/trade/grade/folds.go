package grade

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/planefit"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// FoldKind says which way the slab bends along a fold.
type FoldKind string

// The kinds of fold.
const (
	Hip    FoldKind = "hip"    // water parts here and runs away on both sides
	Valley FoldKind = "valley" // water of both sides meets here and runs along it, from its start to its end: a swale
)

// Choices are the words a file may use.
func (FoldKind) Choices() []string { return []string{string(Hip), string(Valley)} }

// Fold is a straight line along which the slab bends: on each side of it lies a plane of its own.
type Fold struct {
	From Spotted  `yaml:"from" says:"where it starts; a valley's high end"`
	To   Spotted  `yaml:"to" says:"where it ends; a valley's low end"`
	Kind FoldKind `yaml:"kind" says:"hip: water parts there; valley: it gathers and runs along it"`
}

// Spotted is a place on the slab: a corner by its letter, or how far right and up the drawing it is.
type Spotted struct {
	Corner string       `yaml:"corner" says:"corner it is at"`
	X      known.Length `yaml:"x" says:"or distance to the right" unit:"ft|m" usual:"-400..400|-120..120" show:"distance"`
	Y      known.Length `yaml:"y" says:"and distance up the drawing" unit:"ft|m" usual:"-400..400|-120..120" show:"distance"`
}

// spot finds the place.
func (w *work) spot(s Spotted) geometry.Point {
	if i, ok := w.corner(s.Corner); ok {
		return w.slab.Outer[i]
	}
	return geometry.Point{X: s.X.Value.Metres(), Y: s.Y.Value.Metres()}
}

func (w *work) spottedFaults(l *bounds.List, field string, s Spotted) {
	_, isCorner := w.corner(s.Corner)
	switch {
	case s.Corner != "" && !isCorner:
		l.Add(field+".corner", s.Corner, "is no corner of this slab.", "Type one of "+wordList(w.names)+".")
	case s.Corner == "" && !(s.X.Given() && s.Y.Given()):
		l.Add(field, "", "has no place.", "Type corner: A, or x and y.")
	case s.Corner == "" && !near(w.spot(s)):
		l.Add(field, "", "is no place on the lot.", "Give x and y from a corner of the lot.")
	}
}

// mostFolds is more folds than a slab can be struck off with.
const mostFolds = 40

func (in Input) foldFaults(l *bounds.List) {
	w := newWork(in)
	if len(in.Folds) > mostFolds {
		l.Add("grade.folds", fmt.Sprint(len(in.Folds)), fmt.Sprintf("are more than %d folds.", mostFolds), "Part the slab into several pours.")
	}
	for i, f := range in.Folds {
		field := fmt.Sprintf("grade.folds[%d]", i+1)
		before := len(l.Faults)
		w.spottedFaults(l, field+".from", f.From)
		w.spottedFaults(l, field+".to", f.To)
		if f.Kind != Hip && f.Kind != Valley {
			l.Add(field+".kind", string(f.Kind), "does not say which way the slab bends there.", "Type hip where water parts, valley where it gathers.")
		}
		if len(l.Faults) == before && w.spot(f.From).Distance(w.spot(f.To)) < shortestFold {
			l.Add(field, "", "starts and ends at one place.", "Give its two ends.")
		}
	}
}

// shortestFold is the shortest fold that can be struck off, m.
const shortestFold = 0.1

// panel is one flat piece of the slab.
type panel struct {
	Panel
	aim  aim
	base geometry.Point // the way the folds send its water, before other directions were tried
}

// bend is a piece of a fold between two panels.
type bend struct {
	geometry.Segment
	kind        FoldKind
	left, right int
	says        string
}

// across is the unit vector from the left panel into the right one.
func (b bend) across() geometry.Point { return b.Direction().Left().Scale(-1) }

// part finds the panels the folds make.
func (w *work) part() error {
	if len(w.in.Folds) == 0 {
		w.panels = []panel{{Panel: Panel{Name: "1", Outline: w.slab}}}
		return nil
	}
	cuts := make([]geometry.Segment, len(w.in.Folds))
	for i, f := range w.in.Folds {
		cuts[i] = geometry.Segment{A: w.spot(f.From), B: w.spot(f.To)}
	}
	p, err := terrain.Part(w.slab, cuts)
	if err != nil {
		return check.Faults{{Field: "grade.folds", Why: "do not part the slab: two of them lie on one another at a slant.", Type: "Let folds end where they meet."}}
	}
	w.parts = p
	for i, outline := range p.Parts {
		w.panels = append(w.panels, panel{Panel: Panel{Name: fmt.Sprint(i + 1), Outline: outline}})
	}
	for _, c := range p.Cuts {
		f := w.in.Folds[c.Cut]
		b := bend{Segment: geometry.Segment{A: p.Points[c.From], B: p.Points[c.To]}, kind: f.Kind, left: c.Left, right: c.Right,
			says: fmt.Sprintf("the %s from %s to %s", f.Kind, w.placeName(p.Points[c.From]), w.placeName(p.Points[c.To]))}
		if b.left < 0 || b.right < 0 || b.left == b.right {
			return check.Faults{{Field: fmt.Sprintf("grade.folds[%d]", c.Cut+1), Why: "does not part the slab: an end of it stands free, or it runs along or past the edge.",
				Type: "Let it run from edge to edge, or to another fold."}}
		}
		w.bends = append(w.bends, b)
	}
	return nil
}

// marks are the places that are set out: the corners of the outline, then where folds end and meet.
func (w *work) marks() []geometry.Point {
	if len(w.parts.Points) > 0 {
		return w.parts.Points
	}
	return w.slab.Outer
}

// markName is the name of a mark: the corner's, or P1, P2 … where folds end.
func (w *work) markName(i int) string {
	if i < len(w.names) {
		return w.names[i]
	}
	return fmt.Sprintf("P%d", i-len(w.names)+1)
}

func (w *work) placeName(p geometry.Point) string {
	for i, m := range w.marks() {
		if m == p {
			return w.markName(i)
		}
	}
	return "its end"
}

// panelAt is the panel that holds a place, or the nearest to it.
func (w *work) panelAt(p geometry.Point) int {
	if len(w.panels) == 1 {
		return 0
	}
	best, least := 0, math.Inf(1)
	for i := range w.panels {
		if d := w.panels[i].Outline.Distance(p); d < least {
			best, least = i, d
		}
	}
	return best
}

// top is the level of the slab's top at a place, its outermost planes running on past the edge.
func (w *work) top(p geometry.Point) float64 { return w.panels[w.panelAt(p)].Plane.At(p) }

// lift raises the whole slab.
func (w *work) lift(by float64) {
	w.Plane.A += by
	for i := range w.panels {
		w.panels[i].Plane.A += by
	}
}

// foldAims gives each panel the way its folds send the water: square to its valleys and away from its hips, each by its length.
// A panel whose folds pull both ways alike goes where all the water should go.
func (w *work) foldAims(all aim) {
	pull := make([]geometry.Point, len(w.panels))
	says := make([]string, len(w.panels))
	for _, b := range w.bends {
		n := b.across().Scale(b.Length())
		word := "to "
		if b.kind == Hip {
			n, word = n.Scale(-1), "away from "
		}
		pull[b.left], pull[b.right] = pull[b.left].Add(n), pull[b.right].Sub(n)
		says[b.left], says[b.right] = appended(says[b.left], word+b.says), appended(says[b.right], word+b.says)
	}
	for i := range w.panels {
		if pull[i].Length() < evenPull*math.Sqrt(w.panels[i].Outline.Area()) {
			w.panels[i].aim = all
		} else {
			w.panels[i].aim = aim{toward: pull[i].Unit(), says: says[i]}
		}
		w.panels[i].base = w.panels[i].aim.toward
	}
}

// evenPull is the rest, as a share of the panel's size, at which folds that pull both ways count as alike.
const evenPull = 0.05

func appended(list, word string) string {
	if list == "" {
		return word
	}
	return list + " and " + word
}

// swings are the directions tried for a panel beside the one its folds give, radians: a compass point to either side.
var swings = []float64{-math.Pi / 8, math.Pi / 8}

// fitPanels fits all planes with the directions at hand, then swings one panel's direction after another and keeps what is
// cheaper.
func (w *work) fitPanels(samples []planefit.Sample) (fitting, error) {
	best, err := w.together(samples)
	for i := range w.panels {
		kept := w.panels[i].aim
		for _, turn := range swings {
			w.panels[i].aim = aim{toward: w.panels[i].base.Rotate(geometry.Point{}, turn), says: kept.says, said: kept.said}
			f, again := w.together(samples)
			if again == nil && (err != nil || f.Cost < best.Cost*(1-cheaper)-cheaper) {
				best, err, kept = f, nil, w.panels[i].aim
			}
		}
		w.panels[i].aim = kept
	}
	return best, err
}

// joinLimits are the limits that hold two panels to one another.
func (w *work) joinLimits() []planefit.Limit {
	var out []planefit.Limit
	most, valley := float64(w.in.Break.Value), float64(w.in.Valley.Value)
	for _, b := range w.bends {
		n, u := b.across(), b.Direction()
		for _, p := range []geometry.Point{b.A, b.B} {
			out = append(out, planefit.Limit{Name: "both sides meet at " + b.says, Panel: b.left, Other: b.right, Joins: true, A: 1, B: p.X, C: p.Y, Equal: true})
		}
		sign := 1.0 // a hip: the slope across falls from left to right
		if b.kind == Valley {
			sign = -1
			out = append(out, planefit.Limit{Name: fmt.Sprintf("%s falls at least %s along", b.says, w.shown(w.in.Valley.Value)), Panel: b.left, B: u.X, C: u.Y, Bound: -valley})
		}
		out = append(out, planefit.Limit{Name: "the slab bends the right way at " + b.says, Panel: b.right, Other: b.left, Joins: true, B: sign * n.X, C: sign * n.Y},
			planefit.Limit{Name: fmt.Sprintf("a bend of at most %s at %s", w.shown(w.in.Break.Value), b.says), Panel: b.left, Other: b.right, Joins: true, B: sign * n.X, C: sign * n.Y, Bound: most})
	}
	return out
}

// surface is the top of the slab lowered by drop, as ground: a plane, or triangles that bend along the folds. Past the edge the
// planes run on.
func (w *work) surface(drop float64) (terrain.Ground, error) {
	if len(w.panels) == 1 {
		return terrain.Plane{Height: w.Plane.A - drop, Slope: w.Plane.slope()}, nil
	}
	var shots []terrain.Shot
	add := func(p geometry.Point, z float64) {
		for _, s := range shots {
			if s.Point().Distance(p) < terrain.SnapLength {
				return
			}
		}
		shots = append(shots, terrain.Shot{X: p.X, Y: p.Y, Z: z - drop})
	}
	for _, p := range w.marks() {
		shots = append(shots, terrain.Shot{X: p.X, Y: p.Y, Z: w.top(p) - drop})
	}
	lines := [][]int{append(append([]int{}, w.parts.Ring...), w.parts.Ring[0])}
	for _, c := range w.parts.Cuts {
		lines = append(lines, []int{c.From, c.To})
	}
	past := 2*w.in.Margin.Value.Metres() + pastEdge
	for i, b := range w.bends {
		for _, end := range []geometry.Point{b.A.Sub(b.Direction().Scale(past)), b.B.Add(b.Direction().Scale(past))} {
			if w.slab.Locate(end) == geometry.Outside {
				add(end, w.panels[w.bends[i].left].Plane.At(end))
			}
		}
	}
	wide, err := geometry.Polygon{Outer: w.slab.Outer}.Oriented().Offset(past)
	if err != nil {
		return nil, fmt.Errorf("grade: ground past the edge: %w", err)
	}
	for _, piece := range wide {
		for _, p := range piece.Outer {
			add(p, w.top(p))
		}
	}
	s, err := terrain.Triangulate(shots, lines)
	if err != nil {
		return nil, fmt.Errorf("grade: surface of the panels: %w", err)
	}
	return s, nil
}

// pastEdge is how much farther than twice the dig margin the planes run on, m.
const pastEdge = 0.5

// foldChecks holds the sharpest bend against what wheels and screeds take.
func (w *work) foldChecks() []check.Check {
	if len(w.Folds) == 0 {
		return nil
	}
	sharpest := 0
	for i, f := range w.Folds {
		if f.Break > w.Folds[sharpest].Break+slopeRoom {
			sharpest = i
		}
	}
	bent, says := w.Folds[sharpest].Break, w.bends[sharpest].says
	c := check.AtMost("grade.break", slopeShown(bent), slopeShown(breakSmooth), check.Care,
		fmt.Sprintf("The sharpest bend, at %s, is %s: wheels do not feel it.", says, w.shown(bent)),
		fmt.Sprintf("The sharpest bend, at %s, is %s: long or low vehicles may drag, and a straight screed cannot cross it.", says, w.shown(bent)),
		sources.DrivewayGrades, "Flatten the slopes beside it, or strike off each side by itself.")
	c.Where = says
	return []check.Check{c}
}
