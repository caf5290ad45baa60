package joints

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
)

// Kinds of cut, as lettered on the plan.
const (
	Sawn         = "SAW"
	Tooled       = "TOOL"
	Construction = "CONSTR"
)

// place puts the chosen layout on the site: panels numbered, cuts with their tape and the marks for the form boards.
func (r *Result) place(in Input, f frame, c choice) {
	r.Outline = geometry.Polygon{Outer: in.Outline.Outer}
	for _, hole := range f.outline.Holes {
		r.Outline.Holes = append(r.Outline.Holes, onSite(f, hole))
	}
	r.Along = geometry.Direction(f.heading)
	first := in.tapeCorner(f)
	corner := in.Outline.Outer[first]
	r.From, r.Origin = in.corner(first), corner
	mean := f.outline.Area() / float64(len(c.panels))
	for i, p := range c.panels {
		r.Panels = append(r.Panels, newPanel(i+1, p, f, in, mean))
	}
	r.Pours = c.pourPlan(in, f, corner)
	kind := Sawn
	if in.Saw.Value == Groover {
		kind = Tooled
	}
	slices.SortStableFunc(c.joints, func(a, b joint) int {
		return cmp.Or(boolCompare(upright(a.Segment), upright(b.Segment)), cmp.Compare(line(a.Segment), line(b.Segment)), cmp.Compare(start(a.Segment), start(b.Segment)))
	})
	for i, j := range c.joints {
		cut := Cut{Number: i + 1, Kind: kind, Line: geometry.Segment{A: f.site(j.A), B: f.site(j.B)},
			Length: quantity.Length(j.Length()), Across: upright(j.Segment)}
		along, across := math.Abs(j.B.X-j.A.X), math.Abs(j.B.Y-j.A.Y)
		cut.Slants = min(along, across) > 2*skewLimit
		if j.construction {
			cut.Kind = Construction
		} else {
			r.SawLength += cut.Length
		}
		if origin := f.enter(corner); cut.Across {
			cut.Tape = quantity.Length(line(j.Segment) - origin.X)
		} else {
			cut.Tape = quantity.Length(line(j.Segment) - origin.Y)
		}
		cut.Ends = [2]End{in.end(r.Outline, f, cut.Line.A), in.end(r.Outline, f, cut.Line.B)}
		r.Cuts = append(r.Cuts, cut)
	}
}

func onSite(f frame, ring []geometry.Point) []geometry.Point {
	out := make([]geometry.Point, len(ring))
	for i, q := range ring {
		out[i] = f.site(q)
	}
	return out
}

// upright, line and start say how a joint in frame axes runs, where its line lies and where along it the joint begins.
func upright(s geometry.Segment) bool {
	return math.Abs(s.B.Y-s.A.Y) > math.Abs(s.B.X-s.A.X)
}

func line(s geometry.Segment) float64 {
	if upright(s) {
		return s.Midpoint().X
	}
	return s.Midpoint().Y
}

func start(s geometry.Segment) float64 {
	if upright(s) {
		return min(s.A.Y, s.B.Y)
	}
	return min(s.A.X, s.B.X)
}

// tapeCorner is the corner all tapes start at: the outline's lower left one, seen along its own sides.
func (in Input) tapeCorner(f frame) int {
	best := 0
	for i, q := range in.Outline.Outer {
		p, o := f.enter(q), f.enter(in.Outline.Outer[best])
		if p.X+p.Y < o.X+o.Y-slack {
			best = i
		}
	}
	return best
}

// corner is the letter of a corner of the outline.
func (in Input) corner(i int) string {
	if i < len(in.CornerNames) && in.CornerNames[i] != "" {
		return in.CornerNames[i]
	}
	if letter := string(rune('A' + i%26)); i < 26 {
		return letter
	} else {
		return fmt.Sprintf("%s%d", letter, i/26)
	}
}

// end says where a cut meets the border: on which edge and how far from its nearer corner to the tape corner.
func (in Input) end(outline geometry.Polygon, f frame, q geometry.Point) End {
	at, edge, _ := outline.NearestEdge(q)
	if edge.Ring > 0 {
		return End{On: in.holeName(outline.Holes[edge.Ring-1], edge.Ring-1)}
	}
	if e, ok := in.onCurve(edge.Index, at); ok {
		return e
	}
	first, second := edge.Index, (edge.Index+1)%len(in.Outline.Outer)
	a, b := f.enter(in.Outline.Outer[first]), f.enter(in.Outline.Outer[second])
	on := in.corner(first) + in.corner(second)
	if a.X+a.Y > b.X+b.Y {
		first = second
	}
	return End{On: "edge " + on, From: in.corner(first), At: quantity.Length(at.Distance(in.Outline.Outer[first]))}
}

// onCurve is where a cut meets a curved edge, measured along it from the corner it begins at; ok is false on a straight one.
func (in Input) onCurve(index int, at geometry.Point) (End, bool) {
	ring := in.Outline.Outer
	n := len(ring)
	gentle := func(i int) bool { b := math.Abs(bend(ring, i%n)); return b > smooth/40 && b < smooth }
	from, to := index, (index+1)%n
	for steps := 0; gentle(from) && steps < n; steps++ {
		from = (from + n - 1) % n
	}
	for steps := 0; gentle(to) && steps < n; steps++ {
		to = (to + 1) % n
	}
	if from == index && to == (index+1)%n {
		return End{}, false
	}
	length := ring[index].Distance(at)
	for i := from; i != index; i = (i + 1) % n {
		length += ring[i].Distance(ring[(i+1)%n])
	}
	return End{On: "curve " + in.corner(from) + in.corner(to), From: in.corner(from), At: quantity.Length(length)}, true
}

// newPanel measures a panel in frame axes, as the rules do: of rectangles of one area round a triangle both see the same.
func newPanel(number int, p geometry.Polygon, f frame, in Input, mean float64) Panel {
	box := geometry.MinimumRectangle(p.Outer)
	panel := Panel{Number: number, Outline: p.Map(f.site), Length: quantity.Length(box.Length), Width: quantity.Length(box.Width),
		Area: quantity.Area(p.Area()), Aspect: quantity.Ratio(box.Length / box.Width)}
	shape := "near square: cracks least"
	switch {
	case panel.Aspect > in.MaxAspect.Value+0.01:
		shape = "too long for its width: will crack across"
	case panel.Aspect > in.BestAspect.Value+0.005:
		shape = "longish, within the limit"
	}
	if float64(panel.Area) < 0.97*box.Length*box.Width {
		shape += ", not a full rectangle"
	}
	panel.Score = weightAspect*math.Pow(max(0, float64(panel.Aspect-in.BestAspect.Value)), 2) + weightSpread*math.Pow(p.Area()/mean-1, 2)
	panel.Why = fmt.Sprintf("%s × %s, ratio %.2f, %s", show(panel.Length, in.Units), show(panel.Width, in.Units), float64(panel.Aspect), shape)
	return panel
}

func show(l quantity.Length, units quantity.System) string {
	return quantity.Show(l, quantity.AsSide).String(units)
}
