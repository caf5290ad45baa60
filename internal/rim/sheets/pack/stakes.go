package pack

import (
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/grade"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/site"
)

// leastStakePlan is the least height left to the plan over the table of stakes, millimetres.
const leastStakePlan = 52

// dropsNote says what the figures at stakes are, to a reader who cannot see the plan.
const dropsNote = "Figures at the stakes: down from the string to the top of the slab. Arrow: the way water runs."

// stakeSheet is the plan of stakes over its table: how far down from the string at each, on one side where it fits.
func stakeSheet(m *maker) (*document.Doc, error) {
	g, ok := of[grade.Result](m.reading, "grade")
	pic, drawn := m.firstPlan("grade")
	if !ok || !drawn || len(g.Stakes) == 0 {
		return nil, nil
	}
	plan := drawing.Picture{Name: "stakes", Title: pic.Title, Says: dropsNote, Space: drawing.Site}
	plan.Marks = append(append(m.edge(), m.slope()...), m.drops(g.Stakes)...)
	table := m.stakeTable(g.Stakes)
	under := func(d *document.Doc) {
		d.Body(m.stringRule(g))
		d.Table(table)
		d.Blanks("String set and checked by")
	}
	doc := document.New("stake-sheet", "Stake and string sheet", m.paper)
	doc.Small()
	doc.Heading(pic.Title)
	rest := document.New("", "", m.paper)
	rest.Small()
	under(rest)
	height := document.Room(m.paper) - doc.Height() - rest.Height() - 12
	if height < leastStakePlan {
		height = document.Room(m.paper) - doc.Height() - 10
	}
	m.setFigure(&doc.Flow, plan, height)
	under(doc)
	return doc, doc.Err()
}

// stringRule says how the string hangs and what to measure from it.
func (m *maker) stringRule(g grade.Result) string {
	high := g.Stakes[0]
	for _, s := range g.Stakes {
		if s.Top < high.Top {
			high = s
		}
	}
	return fmt.Sprintf("Hang the string level, %s over the top of the slab at %s. Measure straight down from it at each stake. On the plan: "+
		"down to the top of the slab; arrow: the way water runs. %s: the top of the slab at %s is %s.",
		m.show(quantity.Show(high.Top, quantity.AsDrop)), high.Name, m.datum(g), high.Name, m.show(quantity.Show(high.Set, quantity.AsElevation)))
}

// datum says what levels are counted from.
func (m *maker) datum(g grade.Result) string {
	report, _ := m.plan.Of("site")
	if in, _ := report.Input.(site.Input); in.Bench.Name != "" && in.Bench.Elevation.Given() {
		return fmt.Sprintf("Bench mark %s is %s", in.Bench.Name, m.show(in.Bench.Elevation.Show(quantity.AsElevation)))
	}
	return "Levels are counted from " + g.LevelBy
}

// stakeTable is the drops in inches and in feet: tenths are not inches. The rod has a column when an instrument stands.
func (m *maker) stakeTable(stakes []grade.Stake) document.Table {
	rod := slices.ContainsFunc(stakes, func(s grade.Stake) bool { return s.Rod != 0 })
	t := document.Table{Header: []string{"stake", "string to top of slab", "string to top of stone", "string to bottom of dig", "dig or fill there"}, Bold: []int{0, 1}, Cap: document.NoteCap}
	if rod {
		t.Header = append(t.Header, "rod on top of slab")
	}
	for _, s := range stakes {
		dig := "dig " + m.drop(s.Depth)
		if s.Depth < 0 {
			dig = "fill " + m.drop(-s.Depth)
		}
		row := []string{s.Name, m.drop(s.Top), m.drop(s.Base), m.drop(s.Subgrade), dig}
		if rod {
			row = append(row, m.drop(s.Rod))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// drop writes a length down as a tape and as a rod read it; metric crews have millimetres alone.
func (m *maker) drop(l quantity.Length) string {
	says := m.show(quantity.Show(l, quantity.AsDrop))
	if m.units == quantity.Metric {
		return says
	}
	return says + ", " + quantity.Decimal(l.Feet(), 2, 0) + " ft"
}

// crewPlan is the plan a crew works by: edge, cuts with their tapes, the corners' drops, the way water runs. Without grades
// and joints it is the plan of the lot.
func (m *maker) crewPlan() (drawing.Picture, bool) {
	g, graded := of[grade.Result](m.reading, "grade")
	j, jointed := m.firstPlan("joints")
	if !graded && !jointed {
		return m.firstPlan("site")
	}
	plan := drawing.Picture{Name: "crew-plan", Space: drawing.Site, Marks: m.edge()}
	for _, mark := range j.Marks {
		switch m := mark.(type) {
		case drawing.Dimension:
			plan.Marks = append(plan.Marks, mark)
		case drawing.Path:
			if m.Layer != draft.SlabEdge {
				plan.Marks = append(plan.Marks, mark)
			}
		default:
			if drawing.LayerOf(mark) == draft.Revised {
				plan.Marks = append(plan.Marks, mark)
			}
		}
	}
	plan.Marks = append(plan.Marks, m.slope()...)
	if graded {
		plan.Marks = append(plan.Marks, m.drops(g.Corners)...)
	}
	return plan, true
}

// edge is the slab's outline, box-outs formed as the joints ask.
func (m *maker) edge() []drawing.Mark {
	if j, ok := of[joints.Result](m.reading, "joints"); ok {
		return []drawing.Mark{draft.Outline(draft.SlabEdge, j.Outline, "slab edge")}
	}
	if s, ok := of[site.Result](m.reading, "site"); ok {
		return []drawing.Mark{draft.Outline(draft.SlabEdge, s.Outline, "slab edge")}
	}
	return nil
}

// slope is the arrows of the way water runs, each with its label along it, hips and valleys between, as the grade plan draws
// them.
func (m *maker) slope() []drawing.Mark {
	pic, _ := m.firstPlan("grade")
	labels := map[string]string{}
	for _, mark := range pic.Marks {
		if t, ok := mark.(drawing.Text); ok && strings.HasPrefix(t.Ref, "slope") {
			labels[t.Ref] = t.Says
		}
	}
	fold := func(ref string) bool { return strings.HasPrefix(ref, "fold") }
	var out []drawing.Mark
	for _, mark := range pic.Marks {
		switch mark := mark.(type) {
		case drawing.Arrow:
			mark.Says = labels[mark.Ref]
			out = append(out, mark)
		case drawing.Path:
			if fold(mark.Ref) {
				out = append(out, mark)
			}
		case drawing.Text:
			if fold(mark.Ref) {
				out = append(out, mark)
			}
		}
	}
	return out
}

// drops are stakes with their names and how far down from the string.
func (m *maker) drops(stakes []grade.Stake) []drawing.Mark {
	var out []drawing.Mark
	for _, s := range stakes {
		ref := "stake " + s.Name
		says, height := m.show(quantity.Show(s.Top, quantity.AsDrop)), draft.NoteHeight
		if len(s.Name) == 1 {
			says, height = s.Name+"  "+says, draft.LabelHeight
		}
		out = append(out, drawing.Symbol{Layer: draft.Stakes, At: s.At, Shape: drawing.Stake, Size: 2.6, Ref: ref},
			drawing.Text{Layer: draft.Letters, At: s.At, Says: says, Height: height, Anchor: drawing.Above, Bold: true, Ref: ref})
	}
	return out
}
