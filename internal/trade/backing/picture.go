package backing

import (
	"fmt"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
	"slabwright/internal/trade/draft"
)

// sweptStep is how far apart the poses are whose hulls make the swept ground, m.
const sweptStep = 0.3

// Picture draws the swept path on the lot with its numbered moves, the same moves as a strip of poses, the levels along the way
// and the mixer's ways; nothing when nothing was looked for.
func Picture(in Input, r Result) []drawing.Picture {
	var out []drawing.Picture
	switch {
	case r.Asked && r.Possible:
		out = append(out, sweptPlan(in, r), strip(in, r))
	case r.Asked:
		out = append(out, blockedPlan(in, r))
	}
	if p, ok := profilePicture(in, r); ok {
		out = append(out, p)
	}
	if len(r.Stands) > 0 {
		out = append(out, mixerPlan(in, r))
	}
	return out
}

func sweptPlan(in Input, r Result) drawing.Picture {
	room := quantity.Show(r.Tightest.Room, quantity.AsSide).String(in.Units)
	p := drawing.Picture{Name: "backing-path", Space: drawing.Site,
		Title: fmt.Sprintf("Getting in %s: %s, %s at the tightest spot", wordFor(r.Verdict), counted(r.PullForwards, "pull-forward"), room),
		Says: fmt.Sprintf("Plan of the lot with the ground that the %s sweeps on its way from the street to its place, in %d numbered moves; tightest is %s to %s with %s; the spotter stands %s.",
			in.Vehicle.Value, len(r.Moves), r.Tightest.Who, orNothing(r.Tightest.Thing), room, r.SpotterSays),
		Legend: []drawing.LegendRow{{Layer: draft.Band, Says: "swept by bodies"}, {Layer: draft.Vehicle, Says: "where a move starts"}, {Layer: draft.LineA, Says: "way of the tow vehicle's rear axle"},
			{Layer: draft.LineB, Says: "way of the trailer's axle"}, {Layer: draft.Danger, Says: "tightest spot"}, {Layer: draft.SlabEdge, Says: "slab edge"}},
		Table: movesTable(r), Film: film(r),
	}
	if swept, err := r.rig.Swept(r.In, sweptStep); err == nil {
		for _, s := range swept {
			p.Marks = append(p.Marks, draft.Outline(draft.Band, s, "swept ground"))
		}
	}
	p.Marks = append(p.Marks, lot(in, r, windowOf(in, r.rig, r.rig.Along(r.In, 0.5)))...)
	p.Marks = append(p.Marks, ways(r)...)
	for _, m := range r.Moves {
		p.Marks = append(p.Marks, rigMarks(r.rig, m.From, fmt.Sprintf("move %d", m.Number))...)
		p.Marks = append(p.Marks, number(m, fmt.Sprint(m.Number))...)
	}
	p.Marks = append(p.Marks, rigMarks(r.rig, r.Parked, "parked")...)
	p.Marks = append(p.Marks, r.tightMarks(in)...)
	return p
}

func wordFor(verdict string) string {
	if verdict == "takes care" {
		return verdict
	}
	return "is " + verdict
}

func movesTable(r Result) drawing.Table {
	t := drawing.Table{Header: []string{"move", "what the driver does"}}
	for _, m := range r.Moves {
		t.Rows = append(t.Rows, []string{fmt.Sprint(m.Number), m.Says})
	}
	t.Rows = append(t.Rows, []string{"out", ""})
	for _, m := range r.MovesBy {
		t.Rows = append(t.Rows, []string{fmt.Sprint(m.Number), m.Says})
	}
	return t
}

// lot draws the slab, the street and the things, as far as they lie in a window.
func lot(in Input, r Result, window geometry.Box) []drawing.Mark {
	out := []drawing.Mark{draft.Outline(draft.SlabEdge, in.Outline, "slab")}
	for _, piece := range within(r.scene.street, window) {
		out = append(out, drawing.Path{Layer: draft.Strings, Points: piece, Ref: "middle of the street"})
	}
	for i, o := range r.scene.obstacles {
		switch {
		case len(o.Line) == 0:
			if !window.Contains(o.At) {
				continue
			}
			out = append(out, thingMarks(r.scene.kinds[i], o)...)
		case o.Solid:
			if window.Overlaps(geometry.BoundsOf(o.Line)) {
				out = append(out, thingMarks(r.scene.kinds[i], o)...)
			}
		default:
			for _, piece := range within(o.Line, window) {
				o.Line = piece
				out = append(out, thingMarks(r.scene.kinds[i], o)...)
			}
		}
	}
	for _, g := range r.Gates {
		out = append(out, drawing.Dimension{Layer: draft.Dims, A: g.Line.A, B: g.Line.B, Offset: 8, Says: quantity.Show(g.Has, quantity.AsSide).String(in.Units), Ref: g.Name})
	}
	return out
}

// aroundWay is how much of the lot is drawn past the slab and the ways, m.
const aroundWay = 6

// windowOf holds the slab and a rig over its poses, with some of the lot around.
func windowOf(in Input, rig rollout.Rig, poses []rollout.Pose) geometry.Box {
	box := geometry.BoundsOf(in.Outline.Outer)
	for _, p := range poses {
		for _, b := range rig.Bodies(p) {
			for _, q := range b.Outer {
				box = box.Grow(q)
			}
		}
	}
	return box.Expand(aroundWay)
}

// within are the pieces of a line inside a box.
func within(line []geometry.Point, box geometry.Box) [][]geometry.Point {
	var out [][]geometry.Point
	for i := 1; i < len(line); i++ {
		s := geometry.Segment{A: line[i-1], B: line[i]}
		from, to, ok := through(s, box)
		if !ok {
			continue
		}
		a, b := s.A.Lerp(s.B, from), s.A.Lerp(s.B, to)
		if n := len(out); n > 0 && out[n-1][len(out[n-1])-1] == a {
			out[n-1] = append(out[n-1], b)
			continue
		}
		out = append(out, []geometry.Point{a, b})
	}
	return out
}

// through is which part of a segment lies in a box, as shares of its length. Source: Y.-D. Liang and B. A. Barsky, A new concept
// and method for line clipping, 1984.
func through(s geometry.Segment, box geometry.Box) (from, to float64, ok bool) {
	from, to = 0, 1
	d := s.B.Sub(s.A)
	for _, side := range [4][2]float64{{-d.X, s.A.X - box.Min.X}, {d.X, box.Max.X - s.A.X}, {-d.Y, s.A.Y - box.Min.Y}, {d.Y, box.Max.Y - s.A.Y}} {
		switch p, q := side[0], side[1]; {
		case p == 0 && q < 0:
			return 0, 0, false
		case p < 0:
			from = max(from, q/p)
		case p > 0:
			to = min(to, q/p)
		}
	}
	return from, to, from < to
}

var layers = map[string]drawing.Layer{"tree": draft.Tree, "building": draft.House, "wall": draft.House, "overhead line": draft.Overhead}

func thingMarks(kind string, o rollout.Obstacle) []drawing.Mark {
	layer, ok := layers[kind]
	if !ok {
		layer = draft.Existing
	}
	if len(o.Line) == 0 {
		return []drawing.Mark{drawing.Circle{Layer: layer, At: o.At, Radius: o.Radius, Ref: o.Name}}
	}
	if !o.Solid {
		layer.Hatch = drawing.Empty
	}
	return []drawing.Mark{drawing.Path{Layer: layer, Points: o.Line, Closed: o.Solid, Ref: o.Name},
		drawing.Text{Layer: draft.Letters, At: o.Line[0].Lerp(o.Line[1], 0.5), Says: o.Name, Height: draft.NoteHeight, Anchor: drawing.Above, Ref: o.Name}}
}

// ways draws where the axles run.
func ways(r Result) []drawing.Mark {
	var tow, trailer []geometry.Point
	for _, p := range r.rig.Along(r.In, 0.5) {
		tow, trailer = append(tow, p.At), append(trailer, r.rig.TrailerAt(p))
	}
	out := []drawing.Mark{drawing.Path{Layer: draft.LineA, Points: tow, Ref: "way of the rear axle"}}
	if r.rig.Towing() {
		out = append(out, drawing.Path{Layer: draft.LineB, Points: trailer, Ref: "way of the trailer axle"})
	}
	return out
}

// rigMarks draws the bodies in a pose with the tongue between them.
func rigMarks(rig rollout.Rig, p rollout.Pose, ref string) []drawing.Mark {
	var out []drawing.Mark
	for _, b := range rig.Bodies(p) {
		out = append(out, draft.Outline(draft.Vehicle, b, ref))
	}
	if rig.Towing() {
		front := rig.TrailerAt(p).Add(geometry.Direction(p.Trailer).Scale(rig.Trailer.Ahead))
		out = append(out, drawing.Path{Layer: draft.Vehicle, Points: []geometry.Point{rig.HitchAt(p), front}, Ref: ref})
	}
	return out
}

// number letters a move beside its start, with an arrow the way it goes.
func number(m Move, says string) []drawing.Mark {
	way := geometry.Direction(m.From.Heading)
	if m.Backward {
		way = way.Scale(-1)
	}
	at := m.From.At.Add(way.Left().Scale(1.8))
	return []drawing.Mark{drawing.Arrow{Layer: draft.Vehicle, From: at, To: at.Add(way.Scale(1.5)), Ref: "move " + says},
		drawing.Text{Layer: draft.Letters, At: at, Says: says, Height: draft.LabelHeight, Anchor: drawing.Middle, Bold: true, Boxed: true, Ref: "move " + says}}
}

// tightMarks ring the tightest spot and show the spotter.
func (r Result) tightMarks(in Input) []drawing.Mark {
	var out []drawing.Mark
	if r.Tightest.Thing != "" {
		ring := draft.Danger
		ring.Hatch = drawing.Empty
		out = append(out, drawing.Circle{Layer: ring, At: r.Tightest.At, Radius: 1, Ref: "tightest spot"},
			drawing.Text{Layer: draft.Letters, At: r.Tightest.At.Add(geometry.Point{Y: 1}), Says: quantity.Show(r.Tightest.Room, quantity.AsSide).String(in.Units), Height: draft.LabelHeight, Anchor: drawing.Above, Boxed: true, Ref: "tightest spot"})
	}
	if r.Spotter != (geometry.Point{}) {
		out = append(out, drawing.Symbol{Layer: draft.Vehicle, At: r.Spotter, Shape: drawing.Flag, Size: 6, Ref: "spotter"},
			drawing.Text{Layer: draft.Letters, At: r.Spotter, Says: "SPOTTER", Height: draft.NoteHeight, Anchor: drawing.Below, Boxed: true, Ref: "spotter"})
	}
	return out
}

func blockedPlan(in Input, r Result) drawing.Picture {
	p := drawing.Picture{Name: "backing-path", Space: drawing.Site, Title: "No way in: " + orNothing(r.Blocker.Thing) + " is in the way",
		Says:   fmt.Sprintf("Plan of the lot; no drive brings the %s from the street to its place. %s", in.Vehicle.Value, capital(r.Blocker.Change)),
		Legend: []drawing.LegendRow{{Layer: draft.Vehicle, Says: "where it shall stand"}, {Layer: draft.Danger, Says: "what is in the way"}, {Layer: draft.SlabEdge, Says: "slab edge"}},
		Table:  drawing.Table{Header: []string{"what", "value"}, Rows: [][]string{{"in the way", r.Blocker.Thing}, {"least change", r.Blocker.Change}}}}
	street, _ := nearestOn(r.scene.street, r.Parked.At)
	p.Marks = append(lot(in, r, windowOf(in, r.rig, []rollout.Pose{r.Parked}).Grow(street).Grow(r.Blocker.At).Expand(aroundWay)), rigMarks(r.rig, r.Parked, "parked")...)
	ring := draft.Danger
	ring.Hatch = drawing.Empty
	p.Marks = append(p.Marks, drawing.Circle{Layer: ring, At: r.Blocker.At, Radius: 1.5, Ref: "in the way"})
	return p
}

// The strip on paper: millimetres of each frame and how many stand in a row.
const (
	frameWide = 62.0
	frameHigh = 70.0
	perRow    = 4
	frameDraw = 48.0
)

// strip draws the rig at the end of every move, turned so that the driver's view is up the paper when he starts, all frames to one
// scale, with what he does below.
func strip(in Input, r Result) drawing.Picture {
	p := drawing.Picture{Name: "backing-strip", Space: drawing.Paper,
		Title: fmt.Sprintf("The way in in %d moves", len(r.Moves)),
		Says:  "One frame for every move: where the rig stands when the move ends, drawn heavy, over where it started, with what the driver does.",
		Legend: []drawing.LegendRow{{Layer: draft.Vehicle, Says: "rig at the end of the move"}, {Layer: draft.ThickEdge, Says: "rig at its start"},
			{Layer: draft.Existing, Says: "things near"}},
		Table: movesTable(r)}
	scale := frameDraw / stripReach(r)
	for i, m := range r.Moves {
		origin := geometry.Point{X: float64(i%perRow)*frameWide + frameWide/2, Y: -float64(i/perRow)*frameHigh - frameHigh/2}
		p.Marks = append(p.Marks, frame(in, r, m, origin, scale)...)
	}
	return p
}

// stripReach is the size of the largest frame's content, m.
func stripReach(r Result) float64 {
	most := 1.0
	for _, m := range r.Moves {
		box := geometry.EmptyBox()
		for _, pose := range []rollout.Pose{m.From, m.To} {
			for _, b := range r.rig.Bodies(pose) {
				for _, q := range b.Outer {
					box = box.Grow(q)
				}
			}
		}
		most = max(most, math.Hypot(box.Width(), box.Height()))
	}
	return most
}

func frame(in Input, r Result, m Move, origin geometry.Point, scale float64) []drawing.Mark {
	ref := fmt.Sprintf("move %d", m.Number)
	middle := m.From.At.Lerp(m.To.At, 0.5)
	turn := math.Pi/2 - r.Starts.Heading
	place := func(q geometry.Point) geometry.Point {
		return q.Sub(middle).Rotate(geometry.Point{}, turn).Scale(scale).Add(origin.Add(geometry.Point{Y: 6}))
	}
	var out []drawing.Mark
	for _, pose := range []struct {
		at    rollout.Pose
		layer drawing.Layer
	}{{m.From, draft.ThickEdge}, {m.To, draft.Vehicle}} {
		for _, b := range r.rig.Bodies(pose.at) {
			out = append(out, draft.Outline(pose.layer, b.Map(place), ref))
		}
	}
	for i, o := range r.scene.obstacles {
		if len(o.Line) == 0 && o.At.Distance(middle)*scale < frameDraw/2 {
			layer := draft.Existing
			if r.scene.kinds[i] == "tree" {
				layer = draft.Tree
			}
			out = append(out, drawing.Circle{Layer: layer, At: place(o.At), Radius: max(0.5, o.Radius*scale), Ref: o.Name})
		}
	}
	foot := origin.Add(geometry.Point{Y: -frameHigh/2 + 10})
	out = append(out, drawing.Text{Layer: draft.Letters, At: origin.Add(geometry.Point{X: -frameWide/2 + 6, Y: frameHigh/2 - 6}), Says: fmt.Sprint(m.Number), Height: draft.KeyHeight, Anchor: drawing.Middle, Bold: true, Ref: ref})
	for i, line := range wrapped(m.Says) {
		out = append(out, drawing.Text{Layer: draft.Letters, At: foot.Add(geometry.Point{Y: -4 * float64(i)}), Says: line, Height: draft.NoteHeight, Anchor: drawing.Middle, Ref: ref})
	}
	return out
}

// wrapped splits a move's words where the driver draws breath.
func wrapped(says string) []string {
	var out []string
	line := ""
	for _, r := range says {
		line += string(r)
		if r == ',' || r == ';' {
			out, line = append(out, line), ""
		}
	}
	return append(out, line)
}
