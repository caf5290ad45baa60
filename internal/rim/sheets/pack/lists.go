package pack

import (
	"fmt"
	"slices"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/steel"
	"slabwright/internal/trade/working"
)

// numbers are the tables of all drawings of the site: the same content for readers of text.
func numbers(m *maker) (*document.Doc, error) {
	doc := document.New("numbers", "The drawings in numbers", m.paper)
	any := false
	for _, pic := range m.pictures {
		if pic.Space != drawing.Site || len(pic.Table.Rows) == 0 {
			continue
		}
		any = true
		doc.Heading(frame.Kind(pic.Name) + " in numbers")
		doc.Body(pic.Says)
		doc.Table(fitting(document.Table{Header: pic.Table.Header, Rows: pic.Table.Rows, Bold: []int{0}}))
	}
	if !any {
		return nil, nil
	}
	return doc, doc.Err()
}

// fitting letters tables of many columns smaller.
func fitting(t document.Table) document.Table {
	if len(t.Header) > 5 {
		t.Cap = document.NoteCap
	}
	return t
}

// cutLists are the bars by mark and how each stick is cut.
func cutLists(m *maker) (*document.Doc, error) {
	s, ok := of[steel.Result](m.reading, "steel")
	if !ok || len(s.Marks) == 0 {
		return nil, nil
	}
	doc := document.New("cut-lists", "Cut lists", m.paper)
	doc.Heading("Bars to cut")
	marks := document.Table{Header: []string{"Mark", "Size", "Length", "Pieces"}, Right: []int{2, 3}, Bold: []int{0}}
	for _, k := range s.Marks {
		marks.Rows = append(marks.Rows, []string{k.Mark, k.Size, m.show(quantity.Show(k.Length, quantity.AsSide)), fmt.Sprint(k.Count)})
	}
	doc.Table(marks)
	doc.Heading("How to cut the sticks")
	proof := "no plan is known to need fewer"
	if s.Proven {
		proof = "proven: no plan needs fewer"
	}
	doc.Note(fmt.Sprintf("%d sticks (%s), %s of bar in the slab, %s, %d chairs, %d ties.", s.Sticks, proof,
		m.show(quantity.Show(s.Total, quantity.AsDistance)), m.show(quantity.Show(s.Weight, quantity.AsMass)), s.Chairs, s.Ties))
	cuts := document.Table{Header: []string{"Sticks", "Size", "Stick", "Cut into", "Left over"}, Right: []int{2, 4}, Bold: []int{0}}
	for _, r := range s.Cutting {
		from := m.show(quantity.Show(r.Stick, quantity.AsSide))
		if r.Yard {
			from += ", from the yard"
		}
		cuts.Rows = append(cuts.Rows, []string{fmt.Sprintf("%d ×", r.Times), r.Size, from, r.Pieces, m.show(quantity.Show(r.Offcut, quantity.AsSide))})
	}
	doc.Table(cuts)
	return doc, doc.Err()
}

// checksSheet lists every verdict, gravest first.
func checksSheet(m *maker) (*document.Doc, error) {
	checks := slices.Clone(m.plan.Checks())
	if len(checks) == 0 {
		return nil, nil
	}
	slices.SortStableFunc(checks, func(a, b check.Check) int { return int(b.Level) - int(a.Level) })
	doc := document.New("checks", "Checks", m.paper)
	doc.Heading("Looks good, take care, don't")
	t := document.Table{Header: []string{"", "What", "Found", "Limit"}, Bold: []int{0}, Cap: document.NoteCap}
	for _, c := range checks {
		says := join(" ", c.Says, join(" ", c.Then...))
		if c.Where != "" {
			says += " At " + c.Where + "."
		}
		t.Rows = append(t.Rows, []string{c.Level.String(), says, m.shown(c.Value), m.shown(c.Limit)})
	}
	doc.Table(t)
	doc.Note("You decide. Local code and a licensed engineer govern.")
	if waits := m.plan.Unanswered(); len(waits) > 0 {
		doc.Heading("Not worked out yet")
		for _, says := range waits {
			doc.Body(says)
		}
	}
	return doc, doc.Err()
}

// shown is a value that may not be there.
func (m *maker) shown(v quantity.Any) string {
	if v == (quantity.Any{}) {
		return ""
	}
	return m.show(v)
}

// assumedList is every guess, those that move yards, price or date first.
func assumedList(m *maker) (*document.Doc, error) {
	guesses := m.plan.Guesses()
	if len(guesses) == 0 {
		return nil, nil
	}
	doc := document.New("assumed", "Assumed", m.paper)
	doc.Heading(fmt.Sprintf("Assumed: %d values nobody has said", len(guesses)))
	if len(m.movers) > 0 {
		doc.Body("Measure these first; they move the answer most.")
		t := document.Table{Header: []string{"What", "Assumed", "Range", "Moves"}, Bold: []int{0}, Cap: document.NoteCap}
		for _, v := range m.movers {
			t.Rows = append(t.Rows, []string{v.Says, m.show(v.Value), m.between(v.Guess), v.Moves(m.units)})
		}
		doc.Table(t)
		doc.Heading("All assumed values")
	}
	t := document.Table{Header: []string{"Part", "What", "Assumed", "Range", "Why"}, Bold: []int{2}, Cap: document.NoteCap}
	for _, g := range guesses {
		t.Rows = append(t.Rows, []string{g.Stage, g.Says, m.show(g.Value), m.between(g), g.Reason})
	}
	doc.Table(t)
	return doc, doc.Err()
}

func (m *maker) between(g plan.Guess) string {
	if !g.Ranged {
		return ""
	}
	return m.show(g.Low) + " to " + m.show(g.High)
}

// calculations are the workings of every stage that answered, then the sources they name.
func calculations(m *maker) (*document.Doc, error) {
	doc := document.New("calculations", "Calculation sheets", m.paper)
	cited := map[sources.Key]bool{}
	any := false
	for _, r := range m.plan.Stages {
		if !r.Answered() || len(r.Working.Steps) == 0 {
			continue
		}
		any = true
		doc.Heading(r.Question)
		doc.Table(m.workings(r.Working, cited))
	}
	if !any {
		return nil, nil
	}
	doc.Heading("Sources")
	t := document.Table{Header: []string{"Key", "Source", "Standing"}, Cap: document.NoteCap}
	for _, s := range sources.All() {
		if cited[s.Key] {
			t.Rows = append(t.Rows, []string{string(s.Key), s.Title, string(s.Standing)})
		}
	}
	doc.Table(t)
	return doc, doc.Err()
}

// workings is a stage's calculation sheet: what, how, the value, and how it is known or who says the formula.
func (m *maker) workings(w working.Sheet, cited map[sources.Key]bool) document.Table {
	t := document.Table{Header: []string{"What", "How", "Value", "From"}, Bold: []int{2}, Cap: document.NoteCap}
	for _, s := range w.Steps {
		cited[s.Source] = true
		t.Rows = append(t.Rows, []string{s.Says, join(" = ", s.Symbol, s.Formula), m.show(s.Value), m.origin(s)})
	}
	return t
}

func (m *maker) origin(s working.Step) string {
	if s.Formula != "" || s.Origin == "" {
		return string(s.Source)
	}
	return join(": ", string(s.Origin), join(", ", s.Typed, s.Reason))
}
