package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/site"
)

// Change is one figure that is not what it was in an earlier plan. A side without a dimension was not there.
type Change struct {
	Stage, Name, Says string
	Now, Was          quantity.Any
	New, Gone         bool
}

// Since is the plan with what changed since an earlier one, which carries the name of its print: listed in Changes, and ringed by
// clouds with the number of this revision on every drawing that looks down on the site.
func (p Plan) Since(earlier Plan) Plan {
	out := p
	out.Replaces, out.Changes = earlier.Job.Revision, figuresChanged(p, earlier)
	marks := clouded(p, earlier, out.Changes)
	out.Stages = slices.Clone(p.Stages)
	for i := range out.Stages {
		out.Stages[i].clouds = marks
	}
	return out
}

// figuresChanged are the figures of both plans that read differently in the job's units.
func figuresChanged(now, was Plan) []Change {
	var out []Change
	for _, r := range now.Stages {
		old, _ := was.Of(r.Name)
		before := map[string]quantity.Any{}
		for _, f := range old.Figures() {
			before[f.Name] = f.Value
		}
		for _, f := range r.Figures() {
			v, had := before[f.Name]
			delete(before, f.Name)
			if !had || v.String(was.Job.Units) != f.Value.String(now.Job.Units) {
				out = append(out, Change{Stage: r.Name, Name: f.Name, Says: f.Says, Now: f.Value, Was: v, New: !had})
			}
		}
		for _, f := range old.Figures() {
			if v, left := before[f.Name]; left {
				out = append(out, Change{Stage: r.Name, Name: f.Name, Says: f.Says, Was: v, Gone: true})
			}
		}
	}
	return out
}

// leastShift is how far a thing may seem to have moved by rounding alone, m.
const leastShift = 0.005

// clouded are the clouds of a revision: round corners, things and cuts that moved, came or went, and round the figures of the slab
// itself in its middle.
func clouded(now, was Plan, changes []Change) []drawing.Mark {
	lot, _ := result[site.Result](now, "site")
	before, _ := result[site.Result](was, "site")
	size := lot.Outline.Bounds()
	if len(lot.Outline.Outer) == 0 {
		return nil
	}
	c := clouds{number: strings.TrimLeft(now.Job.Revision, "R"), arc: max(0.12, 0.02*math.Hypot(size.Width(), size.Height()))}
	c.corners(lot, before)
	c.things(lot, before)
	if joined, ok := result[joints.Result](now, "joints"); ok {
		earlier, _ := result[joints.Result](was, "joints")
		c.cuts(joined.Cuts, earlier.Cuts)
	}
	c.slab(size.Centre(), now, was, changes)
	return c.marks
}

func result[T any](p Plan, stage string) (r T, ok bool) {
	report, found := p.Of(stage)
	if found && report.Answered() {
		r, ok = report.Result.(T)
	}
	return r, ok
}

// clouds gathers the marks of one revision; arc is about how long each of its arcs is, m.
type clouds struct {
	number string
	arc    float64
	marks  []drawing.Mark
}

func (c *clouds) corners(now, was site.Result) {
	old := map[string]geometry.Point{}
	for _, k := range was.Corners {
		old[k.Name] = k.At
	}
	for _, k := range now.Corners {
		at, had := old[k.Name]
		delete(old, k.Name)
		if !had || at.Distance(k.At) > leastShift {
			c.round(k.At, k.At, "corner "+k.Name)
		}
	}
	for _, k := range was.Corners {
		if at, left := old[k.Name]; left {
			c.round(at, at, "corner "+k.Name+", gone")
		}
	}
}

func (c *clouds) things(now, was site.Result) {
	same := func(a, b site.Thing) bool {
		return a.Kind == b.Kind && a.Name == b.Name && a.Centre.Distance(b.Centre) <= leastShift && math.Abs(a.Radius-b.Radius) <= leastShift &&
			slices.EqualFunc(a.Line, b.Line, func(p, q geometry.Point) bool { return p.Distance(q) <= leastShift })
	}
	differ := func(list, other []site.Thing, gone string) {
		for _, t := range list {
			if !slices.ContainsFunc(other, func(o site.Thing) bool { return same(t, o) }) {
				at := t.Centre
				if len(t.Line) > 0 {
					at = t.Line[len(t.Line)/2]
				}
				c.round(at, at, t.Name+gone)
			}
		}
	}
	differ(now.Things, was.Things, "")
	differ(was.Things, now.Things, ", gone")
}

func (c *clouds) cuts(now, was []joints.Cut) {
	same := func(a, b joints.Cut) bool {
		return a.Kind == b.Kind && a.Line.A.Distance(b.Line.A) <= leastShift && a.Line.B.Distance(b.Line.B) <= leastShift
	}
	differ := func(list, other []joints.Cut, gone string) {
		for _, k := range list {
			if !slices.ContainsFunc(other, func(o joints.Cut) bool { return same(k, o) }) {
				c.round(k.Line.At(0.35), k.Line.At(0.65), fmt.Sprintf("cut %d%s", k.Number, gone))
			}
		}
	}
	differ(now, was, "")
	if len(was) > len(now) {
		differ(was, now, ", gone")
	}
}

// slab rings the thickness in the middle of the slab, the old one struck, where that is what changed.
func (c *clouds) slab(middle geometry.Point, now, was Plan, changes []Change) {
	for _, k := range changes {
		if k.Stage != "slab" || k.Name != "thickness" || k.New || k.Gone {
			continue
		}
		above, below := middle.Add(geometry.Point{Y: 0.7 * c.arc}), middle.Sub(geometry.Point{Y: 0.7 * c.arc})
		c.round(above, below, k.Says)
		c.marks = append(c.marks,
			drawing.Text{Layer: draft.Revised, At: above, Says: k.Now.String(now.Job.Units) + " thick", Height: draft.LabelHeight, Anchor: drawing.Middle, Bold: true, Tied: true},
			drawing.Text{Layer: draft.Revised, At: below, Says: k.Was.String(was.Job.Units), Height: draft.NoteHeight, Anchor: drawing.Middle, Struck: true, Tied: true})
		return
	}
}

// round draws a cloud about a run from a to b, with the revision's number in a triangle at its upper right.
func (c *clouds) round(a, b geometry.Point, what string) {
	box := geometry.EmptyBox().Grow(a).Grow(b).Expand(1.6 * c.arc)
	ring := box.Polygon().Outer
	var points []geometry.Point
	for i, from := range ring {
		to := ring[(i+1)%len(ring)]
		side := to.Sub(from)
		arcs := max(1, int(math.Round(from.Distance(to)/c.arc)))
		for k := range arcs {
			start := from.Add(side.Scale(float64(k) / float64(arcs)))
			points = append(points, bulge(start, from.Add(side.Scale(float64(k+1)/float64(arcs))))...)
		}
	}
	corner := geometry.Point{X: box.Max.X + 0.7*c.arc, Y: box.Max.Y + 0.7*c.arc}
	c.marks = append(c.marks, drawing.Path{Layer: draft.Revised, Points: points, Closed: true, Ref: "changed: " + what},
		drawing.Symbol{Layer: draft.Revised, At: corner, Shape: drawing.Triangle, Size: 5, Ref: "revision " + c.number},
		drawing.Text{Layer: draft.Revised, At: corner, Says: c.number, Height: 2, Anchor: drawing.Middle, Tied: true})
}

// bulge is a half circle to the right of a run, in pieces, its end left out.
func bulge(a, b geometry.Point) []geometry.Point {
	const pieces = 6
	middle := a.Add(b).Scale(0.5)
	begin := a.Sub(middle)
	var out []geometry.Point
	for k := range pieces {
		turn := math.Pi * float64(k) / pieces
		sin, cos := math.Sincos(turn)
		out = append(out, middle.Add(geometry.Point{X: begin.X*cos - begin.Y*sin, Y: begin.X*sin + begin.Y*cos}))
	}
	return out
}

// ringed adds the clouds to the drawings that look down on the site.
func (r Report) ringed(pictures []drawing.Picture) {
	for i, pic := range pictures {
		if len(pic.Marks) == 0 || !draft.LooksDown(pic) {
			continue
		}
		pictures[i].Marks = append(slices.Clone(pic.Marks), r.clouds...)
		pictures[i].Legend = append(slices.Clone(pic.Legend), drawing.LegendRow{Layer: draft.Revised, Says: draft.Revised.Says})
	}
}
