package joints

import (
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// Picture draws the joint plan: panels numbered, cuts by kind, running tapes from one corner.
func Picture(in Input, r Result) []drawing.Picture {
	p := drawing.Picture{Name: "joint-plan", Space: drawing.Site, Title: r.title(in), Table: r.table(in)}
	p.Says = fmt.Sprintf("%s All tapes start at corner %s. %s", p.Title, r.From, r.tapeWords(in))
	p.Marks = append(p.Marks, draft.Outline(draft.SlabEdge, r.Outline, "slab edge"))
	for _, i := range r.Isolation {
		p.Marks = append(p.Marks, drawing.Path{Layer: draft.IsoJoint, Points: i.Path, Closed: i.Closed, Ref: "isolation at " + i.Against},
			lettered(i.Path[0], "ISOL"))
	}
	for _, cut := range r.Cuts {
		p.Marks = append(p.Marks, drawing.Path{Layer: cut.layer(), Points: []geometry.Point{cut.Line.A, cut.Line.B}, Ref: fmt.Sprintf("cut %d", cut.Number)},
			drawing.Text{Layer: draft.Letters, At: cut.Line.At(0.25), Says: fmt.Sprintf("%s %d", cut.Kind, cut.Number), Height: draft.NoteHeight,
				Anchor: drawing.Middle, Boxed: true, Ref: fmt.Sprintf("cut %d", cut.Number)})
		if !cut.Slants {
			continue
		}
		for i, at := range []geometry.Point{cut.Line.A, cut.Line.B} {
			if e := cut.Ends[i]; e.From != "" {
				p.Marks = append(p.Marks, lettered(at, fmt.Sprintf("%s from %s", show(e.At, in.Units), e.From)))
			}
		}
	}
	for _, panel := range r.Panels {
		says := fmt.Sprintf("%d", panel.Number)
		if pour := r.pourOf(panel.Number); pour > 0 {
			says += fmt.Sprintf(" (pour %d)", pour)
		}
		if panel.Aspect > in.MaxAspect.Value+0.01 {
			says += fmt.Sprintf(" (ratio %.2f)", float64(panel.Aspect))
		}
		label := draft.Label(panel.Outline.Centroid(), says)
		label.Ref = fmt.Sprintf("panel %d", panel.Number)
		p.Marks = append(p.Marks, label)
	}
	for _, b := range r.Breaches {
		p.Marks = append(p.Marks, drawing.Symbol{Layer: draft.Danger, At: b.At, Shape: drawing.Triangle, Size: 5, Ref: b.Says})
	}
	p.Marks = append(p.Marks, drawing.Symbol{Layer: draft.Dims, At: r.Origin, Shape: drawing.Bench, Size: 4, Ref: "tape corner " + r.From},
		drawing.Text{Layer: draft.Letters, At: r.Origin, Says: r.From, Height: draft.LabelHeight, Anchor: drawing.Right, Bold: true, Ref: "tape corner " + r.From})
	p.Marks = append(p.Marks, r.tapes(in)...)
	p.Legend = r.legend()
	out := []drawing.Picture{p}
	for _, a := range r.Alternatives {
		out = append(out, r.beside(in, a))
	}
	return out
}

// beside draws a layout that could be built instead, with what it costs and how to take it.
func (r Result) beside(in Input, a Alternative) drawing.Picture {
	p := drawing.Picture{Name: "joint-plan-" + a.Name, Space: drawing.Site, Title: fmt.Sprintf("%s layout: %s.", capital(a.Name), a.words(in))}
	p.Says = fmt.Sprintf("%s To build it, write layout: %s under joints in the job file.", p.Title, a.Name)
	p.Marks = append(p.Marks, draft.Outline(draft.SlabEdge, r.Outline, "slab edge"))
	for _, cut := range a.Cuts {
		p.Marks = append(p.Marks, drawing.Path{Layer: cut.layer(), Points: []geometry.Point{cut.Line.A, cut.Line.B}, Ref: fmt.Sprintf("cut %d", cut.Number)})
	}
	p.Table.Header = []string{"panel", "size", "score", "note"}
	for _, panel := range a.Panels {
		label := draft.Label(panel.Outline.Centroid(), fmt.Sprint(panel.Number))
		label.Ref = fmt.Sprintf("panel %d", panel.Number)
		p.Marks = append(p.Marks, label)
		p.Table.Rows = append(p.Table.Rows, []string{fmt.Sprint(panel.Number), show(panel.Length, in.Units) + " × " + show(panel.Width, in.Units), panel.score(), panel.Why})
	}
	p.Legend = []drawing.LegendRow{{Layer: draft.SlabEdge, Says: "slab edge"}, {Layer: draft.SawJoint, Says: "joint"}}
	if a.Pours > 1 {
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.ConstrJoint, Says: "CONSTR: the pour stops here"})
	}
	return p
}

func (p Panel) score() string { return fmt.Sprintf("%.2f", p.Score) }

// pourOf is the number of the pour a panel is placed in, 0 where there is only one.
func (r Result) pourOf(panel int) int {
	for _, p := range r.Pours {
		if len(r.Pours) > 1 && slices.Contains(p.Panels, panel) {
			return p.Number
		}
	}
	return 0
}

func lettered(at geometry.Point, says string) drawing.Text {
	return drawing.Text{Layer: draft.Letters, At: at, Says: says, Height: draft.NoteHeight, Anchor: drawing.Left, Boxed: true}
}

func (c Cut) layer() drawing.Layer {
	if c.Kind == Construction {
		return draft.ConstrJoint
	}
	return draft.SawJoint
}

func (r Result) title(in Input) string {
	cuts, panels := plural(len(r.Cuts), "cut"), plural(len(r.Panels), "panel")
	verb := "make"
	if len(r.Cuts) == 1 {
		verb = "makes"
	}
	text := fmt.Sprintf("%s %s %s", capital(cuts), verb, panels)
	if len(r.Cuts) == 0 {
		text = "One panel: no joint to cut"
	}
	if len(r.Breaches) > 0 {
		return fmt.Sprintf("%s; %s to settle.", text, plural(len(r.Breaches), "place"))
	}
	if len(r.Cuts) == 0 {
		return text + "."
	}
	return fmt.Sprintf("%s, %s deep.", text, quantity.Show(r.SawDepth, quantity.AsDrop).String(in.Units))
}

var words = []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"}

func plural(n int, noun string) string {
	count := fmt.Sprint(n)
	if n < len(words) {
		count = words[n]
	}
	if n != 1 {
		noun += "s"
	}
	return count + " " + noun
}

// tapeWords reads the running distances out, one tape after the other.
func (r Result) tapeWords(in Input) string {
	text := ""
	for _, across := range []bool{true, false} {
		list := ""
		var last quantity.Length
		for _, c := range r.Cuts {
			if c.Across == across && !c.Slants && (list == "" || c.Tape-last > 2*slack) {
				if list != "" {
					list += ", "
				}
				list += c.tape(in)
				last = c.Tape
			}
		}
		if list == "" {
			continue
		}
		if across {
			text += "Along the first side cut at " + list + ". "
		} else {
			text += "Along the second side cut at " + list + ". "
		}
	}
	return text
}

// tapes are the running dimensions from the tape corner, each cut's place once, and the overall that closes them.
func (r Result) tapes(in Input) []drawing.Mark {
	var out []drawing.Mark
	box := geometry.EmptyBox()
	for _, q := range r.Outline.Outer {
		d := q.Sub(r.Origin)
		box = box.Grow(geometry.Point{X: d.Dot(r.Along), Y: d.Dot(r.Along.Left())})
	}
	const first, next = 8.0, 6.0 // paper millimetres from the edge, and between one tape and the next
	tape := func(across bool, along geometry.Point, overall float64, sign float64) {
		line := 0
		var last quantity.Length
		add := func(to float64, ref string) {
			out = append(out, drawing.Dimension{Layer: draft.Dims, A: r.Origin, B: r.Origin.Add(along.Scale(to)),
				Offset: sign * (first + next*float64(line)), Says: show(quantity.Length(to), in.Units), Ref: ref})
			line++
		}
		for _, c := range r.Cuts {
			if c.Across == across && !c.Slants && math.Abs(c.Tape.Metres()) > slack && (line == 0 || c.Tape-last > 2*slack) {
				add(c.Tape.Metres(), fmt.Sprintf("cut %d", c.Number))
				last = c.Tape
			}
		}
		add(overall, "overall")
	}
	tape(true, r.Along, box.Max.X, -1)
	tape(false, r.Along.Left(), box.Max.Y, 1)
	return out
}

func (r Result) legend() []drawing.LegendRow {
	rows := []drawing.LegendRow{{Layer: draft.SlabEdge, Says: "slab edge"}}
	kinds := map[string]bool{}
	for _, c := range r.Cuts {
		kinds[c.Kind] = true
	}
	for _, k := range []struct {
		kind  string
		layer drawing.Layer
		says  string
	}{{Sawn, draft.SawJoint, "SAW: saw cut"}, {Tooled, draft.SawJoint, "TOOL: grooved joint"}, {Construction, draft.ConstrJoint, "CONSTR: the pour stops here"}} {
		if kinds[k.kind] {
			rows = append(rows, drawing.LegendRow{Layer: k.layer, Says: k.says})
		}
	}
	if len(r.Isolation) > 0 {
		rows = append(rows, drawing.LegendRow{Layer: draft.IsoJoint, Says: "ISOL: isolation strip, full depth"})
	}
	return append(rows, drawing.LegendRow{Layer: draft.Dims, Says: "running tape from corner " + r.From})
}

// table is the plan in words: cuts with the marks for the boards, then panels, then isolation.
func (r Result) table(in Input) drawing.Table {
	t := drawing.Table{Header: []string{"what", "no.", "size or length", "tape from " + r.From, "from", "to", "note"}}
	for _, c := range r.Cuts {
		t.Rows = append(t.Rows, []string{c.Kind, fmt.Sprint(c.Number), show(c.Length, in.Units), c.tape(in),
			c.Ends[0].words(in), c.Ends[1].words(in), quantity.Show(r.SawDepth, quantity.AsDrop).String(in.Units) + " deep"})
	}
	for _, p := range r.Panels {
		t.Rows = append(t.Rows, []string{"panel", fmt.Sprint(p.Number), show(p.Length, in.Units) + " × " + show(p.Width, in.Units), "", "", "", p.Why + ", score " + p.score()})
	}
	if len(r.Pours) > 1 {
		for _, p := range r.Pours {
			t.Rows = append(t.Rows, []string{"pour", fmt.Sprint(p.Number), quantity.Show(p.Area, quantity.AsArea).String(in.Units), "", "", "", p.words(in)})
		}
	}
	for _, i := range r.Isolation {
		t.Rows = append(t.Rows, []string{"ISOL", "", show(i.Length, in.Units), "", "", "", "at " + i.Against})
	}
	return t
}

// tape is the running distance as it is called out; a cut behind the tape corner is taped back from it.
func (c Cut) tape(in Input) string {
	if c.Slants {
		return "by its marks"
	}
	if c.Tape < -slack {
		return show(-c.Tape, in.Units) + " back"
	}
	return show(c.Tape, in.Units)
}

func (e End) words(in Input) string {
	if e.From == "" {
		return e.On
	}
	return fmt.Sprintf("%s, %s from %s", e.On, show(e.At, in.Units), e.From)
}
