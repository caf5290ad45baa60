package backing

import (
	"fmt"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
	"slabwright/internal/trade/draft"
)

// mixerPlan draws the mixer's way to every place with its numbered moves, the ground it sweeps and the fan of its chute.
func mixerPlan(in Input, r Result) drawing.Picture {
	reached := 0
	for _, v := range r.Stands {
		if v.Reached {
			reached++
		}
	}
	p := drawing.Picture{Name: "mixer-ways", Space: drawing.Site,
		Title: fmt.Sprintf("The mixer gets to %d of %d places", reached, len(r.Stands)),
		Says:  fmt.Sprintf("Plan of the lot with the mixer's way from the street to each of %d places, the ground it sweeps, its numbered moves and the useful reach of its chute.", len(r.Stands)),
		Legend: []drawing.LegendRow{{Layer: draft.Band, Says: "swept by the mixer"}, {Layer: draft.Vehicle, Says: "mixer in its place"}, {Layer: draft.LineA, Says: "way of its rear axle"},
			{Layer: draft.Reach, Says: "useful reach of the chute"}, {Layer: draft.SlabEdge, Says: "slab edge"}, {Layer: draft.Danger, Says: "does not get there"}, {Layer: draft.Strings, Says: "middle of the street"}},
		Table: mixerTable(in, r)}
	p.Marks = append(p.Marks, mixerSwept(r)...)
	window := geometry.BoundsOf(in.Outline.Outer)
	for _, v := range r.Stands {
		window = window.Grow(v.At)
		if v.Reached {
			box := windowOf(in, v.rig, v.rig.Along(v.Way, 0.5))
			window = window.Grow(box.Min).Grow(box.Max)
		}
	}
	p.Marks = append(p.Marks, lot(in, r, window)...)
	p.Marks = append(p.Marks, buried(in)...)
	for i, v := range r.Stands {
		p.Marks = append(p.Marks, v.marks(in, i+1)...)
	}
	return p
}

// mixerSwept is the ground that all of the mixer's ways sweep.
func mixerSwept(r Result) []drawing.Mark {
	var all []geometry.Polygon
	for _, v := range r.Stands {
		if !v.Reached {
			continue
		}
		if swept, err := v.rig.Swept(v.Way, sweptStep); err == nil {
			all = append(all, swept...)
		}
	}
	joined, err := geometry.Union(all...)
	if err != nil {
		joined = all
	}
	var out []drawing.Mark
	for _, s := range joined {
		out = append(out, draft.Outline(draft.Band, s, "swept ground"))
	}
	return out
}

var buriedLayers = map[string]drawing.Layer{"power": draft.Power, "gas": draft.Gas, "communication": draft.Comm, "water": draft.Water, "sewer": draft.Sewer,
	"lid": draft.Existing, "pipe": draft.ThickEdge, "culvert": draft.ThickEdge, "old slab": draft.Existing}

// buried draws what a loaded truck must not roll over unasked.
func buried(in Input) []drawing.Mark {
	var out []drawing.Mark
	for _, t := range in.Things {
		layer, ok := buriedLayers[t.Kind]
		if !ok {
			continue
		}
		layer.Hatch = drawing.Empty
		at := t.Centre
		if len(t.Line) > 1 {
			at = t.Line[0].Lerp(t.Line[1], 0.5)
			out = append(out, drawing.Path{Layer: layer, Points: t.Line, Closed: t.Kind == "old slab" && len(t.Line) > 2, Ref: t.Name})
		} else {
			out = append(out, drawing.Circle{Layer: layer, At: at, Radius: t.Radius, Ref: t.Name})
		}
		out = append(out, drawing.Text{Layer: draft.Letters, At: at, Says: t.Name, Height: draft.NoteHeight, Anchor: drawing.Above, Boxed: true, Ref: t.Name})
	}
	return out
}

// marks are the mixer in its place with the fan of its chute, and its way there; a ring where it does not get to.
func (v Visit) marks(in Input, n int) []drawing.Mark {
	ref := v.Name
	label := drawing.Text{Layer: draft.Letters, At: v.At, Says: fmt.Sprintf("TRUCK %d", n), Height: draft.LabelHeight, Anchor: drawing.Middle, Bold: true, Boxed: true, Ref: ref}
	if !v.Reached {
		ring := draft.Danger
		ring.Hatch = drawing.Empty
		return []drawing.Mark{drawing.Circle{Layer: ring, At: v.At, Radius: 1, Ref: ref}, label}
	}
	var way []geometry.Point
	for _, p := range v.rig.Along(v.Way, 0.5) {
		way = append(way, p.At)
	}
	out := []drawing.Mark{drawing.Circle{Layer: draft.Reach, At: v.At, Radius: in.Reach.Value.Metres(), Ref: "reach from " + ref},
		drawing.Path{Layer: draft.LineA, Points: way, Ref: "way to " + ref}}
	out = append(out, rigMarks(v.rig, v.rig.End(v.Way), ref)...)
	for _, leg := range v.Way.Legs() {
		out = append(out, number(v.Moves[leg[0]], fmt.Sprintf("%d.%d", n, leg[0]+1))...)
	}
	return append(out, label)
}

func mixerTable(in Input, r Result) drawing.Table {
	t := drawing.Table{Header: []string{"truck", "where", "move", "what the driver does"}}
	for i, v := range r.Stands {
		truck := fmt.Sprint(i + 1)
		if !v.Reached {
			t.Rows = append(t.Rows, []string{truck, v.Name, "", "does not get there: " + orNothing(v.Stopped)})
			continue
		}
		for j, m := range v.Moves {
			row := []string{"", "", fmt.Sprintf("%d.%d", i+1, m.Number), m.Says}
			if j == 0 {
				row[0], row[1] = truck, v.Name
			}
			t.Rows = append(t.Rows, row)
		}
		t.Rows = append(t.Rows, []string{"", "", "out", fmt.Sprintf("back out %s, then forward to the street", quantity.Show(v.BacksOut, quantity.AsDistance).String(in.Units))})
	}
	return t
}

// profilePicture draws the ground under the axles along the way in, from the street to the parked place, stretched upwards.
func profilePicture(in Input, r Result) (drawing.Picture, bool) {
	lines := r.profileLines(in)
	if len(lines) == 0 {
		return drawing.Picture{}, false
	}
	box := geometry.EmptyBox()
	for _, l := range lines {
		for _, q := range l.points {
			box = box.Grow(q)
		}
	}
	c := profileChart{box: box, across: profileWide / max(box.Width(), 1), up: profileHigh / max(box.Height(), leastRise)}
	room := quantity.Show(r.Under.Room, quantity.AsDrop).String(in.Units)
	p := drawing.Picture{Name: "way-levels", Space: drawing.Paper,
		Title: fmt.Sprintf("On the way in %s is the least under the rig, at %s", room, r.Under.What),
		Says: fmt.Sprintf("Levels along the way in, heights drawn %.0f times larger than lengths; %s comes nearest to the ground, %s along the way, with %s.", c.up/c.across, r.Under.What,
			quantity.Show(r.Under.After, quantity.AsDistance).String(in.Units), room),
		Table: drawing.Table{Header: []string{"along the way", "level"}}}
	for _, l := range lines {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: l.layer, Says: l.says})
		p.Marks = append(p.Marks, drawing.Path{Layer: l.layer, Points: c.placed(l.points), Ref: l.says})
	}
	p.Marks = append(p.Marks, c.axes(in)...)
	p.Marks = append(p.Marks, drawing.Text{Layer: draft.Letters, At: geometry.Point{X: profileWide / 2, Y: -14}, Height: draft.NoteHeight, Anchor: drawing.Middle, Ref: "along the way",
		Says: "along the way in from the street; heights " + fmt.Sprintf("%.0f times larger", c.up/c.across) + unknownPart(in, r)})
	for _, q := range lines[0].points {
		if n := len(p.Table.Rows); n == 0 || q.X >= float64(n)*profileRow || len(lines[0].points) < 40 {
			p.Table.Rows = append(p.Table.Rows, []string{quantity.Plain(q.X, quantity.AsDistance).String(in.Units), quantity.Plain(q.Y, quantity.AsElevation).String(in.Units)})
		}
	}
	at := geometry.Point{X: r.Under.After.Metres(), Y: lines[0].level(r.Under.After.Metres())}
	p.Marks = append(p.Marks, drawing.Symbol{Layer: draft.Vehicle, At: c.place(at), Shape: drawing.Triangle, Size: 4, Ref: "least room"},
		drawing.Text{Layer: draft.Letters, At: c.place(at).Add(geometry.Point{Y: 4}), Says: fmt.Sprintf("%s: %s", r.Under.What, room), Height: draft.LabelHeight, Anchor: drawing.Above, Boxed: true, Ref: "least room"})
	return p, true
}

// unknownPart says how much of the way has no levels.
func unknownPart(in Input, r Result) string {
	if r.Under.Known > 0.999 {
		return ""
	}
	return fmt.Sprintf("; levels are known for %s of it", quantity.Show(r.Under.Known, quantity.AsPercent).Trimmed(in.Units))
}

// The profile on paper: millimetres wide and high; leastRise is the height that fills it at least, and profileRow the spacing of
// the table's rows, both m.
const (
	profileWide = 220.0
	profileHigh = 90.0
	leastRise   = 0.15
	profileRow  = 3.0
)

type profileLine struct {
	layer  drawing.Layer
	says   string
	points []geometry.Point // along the way, level
}

// level is the line's level at a distance along the way.
func (l profileLine) level(along float64) float64 { return rollout.Profile(l.points).Level(along) }

// profileLines are the levels under the axles along the way; the typed ones where they were typed.
func (r Result) profileLines(in Input) []profileLine {
	if !r.Under.Found {
		return nil
	}
	if r.Under.Typed {
		typed := profileLine{layer: draft.LineA, says: "ground along the way, as typed"}
		for _, l := range in.Profile {
			typed.points = append(typed.points, geometry.Point{X: (l.Along.Value - in.Profile[0].Along.Value).Metres(), Y: l.Level.Value.Metres()})
		}
		return []profileLine{typed}
	}
	f := in.floor()
	tow, trailer := profileLine{layer: draft.LineA, says: "ground under the rear axle"}, profileLine{layer: draft.LineB, says: "ground under the trailer's axle"}
	way := 0.0
	poses := r.rig.Along(r.In, rollStep)
	for i, p := range poses {
		if i > 0 {
			way += p.At.Distance(poses[i-1].At)
		}
		if z, ok := f.level(p.At); ok {
			tow.points = append(tow.points, geometry.Point{X: way, Y: z})
		}
		if z, ok := f.level(r.rig.TrailerAt(p)); ok && r.rig.Towing() {
			trailer.points = append(trailer.points, geometry.Point{X: way, Y: z})
		}
	}
	var out []profileLine
	for _, l := range []profileLine{tow, trailer} {
		if len(l.points) > 1 {
			out = append(out, l)
		}
	}
	return out
}

// profileChart places the profile on paper.
type profileChart struct {
	box        geometry.Box
	across, up float64 // mm for each metre
}

func (c profileChart) place(q geometry.Point) geometry.Point {
	return geometry.Point{X: (q.X - c.box.Min.X) * c.across, Y: (q.Y - c.box.Min.Y) * c.up}
}

func (c profileChart) placed(points []geometry.Point) []geometry.Point {
	out := make([]geometry.Point, len(points))
	for i, q := range points {
		out[i] = c.place(q)
	}
	return out
}

// axes letter the way and the heights at the ends and in the middle.
func (c profileChart) axes(in Input) []drawing.Mark {
	out := []drawing.Mark{drawing.Path{Layer: draft.Axis, Points: []geometry.Point{{Y: -4}, {X: profileWide, Y: -4}}, Ref: "along the way"}}
	for i := range 5 {
		x := c.box.Min.X + c.box.Width()*float64(i)/4
		at := geometry.Point{X: (x - c.box.Min.X) * c.across, Y: -4}
		out = append(out, drawing.Path{Layer: draft.Axis, Points: []geometry.Point{at, at.Add(geometry.Point{Y: -1.5})}, Ref: "along the way"},
			drawing.Text{Layer: draft.Letters, At: at.Add(geometry.Point{Y: -5}), Says: quantity.Plain(x, quantity.AsDistance).String(in.Units), Height: draft.NoteHeight, Anchor: drawing.Middle, Ref: "along the way"})
	}
	for i := range 3 {
		z := c.box.Min.Y + c.box.Height()*float64(i)/2
		at := c.place(geometry.Point{X: c.box.Min.X, Y: z})
		out = append(out, drawing.Path{Layer: draft.GridLine, Points: []geometry.Point{at, at.Add(geometry.Point{X: profileWide})}, Ref: "level"},
			drawing.Text{Layer: draft.Letters, At: at.Add(geometry.Point{X: -2}), Says: quantity.Plain(z, quantity.AsElevation).String(in.Units), Height: draft.NoteHeight, Anchor: drawing.Left, Ref: "level"})
	}
	return out
}
