package pack

import (
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/forms"
	"slabwright/internal/trade/grade"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/site"
	"slabwright/internal/trade/slab"
	"slabwright/internal/trade/steel"
)

// inspector is one side for whoever looks at the job before the pour: plan and section, then what is to be seen in the order it is
// looked at, as planned beside a blank. It never says that anything complies.
func inspector(m *maker) (*document.Doc, error) {
	rows := m.toBeSeen()
	if len(rows) == 0 {
		return nil, nil
	}
	set := func(tight bool) *document.Doc {
		doc := document.New("inspection-sheet", "For the inspector", m.paper)
		doc.Title(join(", ", "Before the pour", m.plan.Job.Address))
		if pic, ok := m.ownerPlan(); ok {
			m.setFigure(&doc.Flow, pic, 54, 62, 70, 82, 98, 115)
		}
		doc.Table(document.Table{Header: []string{"To be seen", "As planned", "As found", "Initials"}, Rows: rows, Bold: []int{0}, Shares: []float64{0.18, 0.48, 0.22, 0.12}, Cap: document.NoteCap, Tight: tight})
		doc.Note("Planned by the builder; the local code and whoever inspects decide.")
		doc.Sign("Inspector", "Date", "For the builder", "Date")
		return doc
	}
	doc := set(false)
	if doc.Height() > document.Room(m.paper) {
		doc = set(true)
	}
	return doc, doc.Err()
}

// toBeSeen are the rows of the inspection, of the stages that answered.
func (m *maker) toBeSeen() [][]string {
	var rows [][]string
	add := func(what string, planned ...string) {
		if says := join(", ", planned...); says != "" {
			rows = append(rows, []string{what, says, "", ""})
		}
	}
	job := m.plan.Job
	add("Permit", job.Permit, says("worked to: ", job.Code), blankIf(job.Permit))
	if s, ok := of[site.Result](m.reading, "site"); ok {
		add("Setback", m.setbacks(s)...)
		add("Buried lines", m.located(s))
	}
	if g, ok := of[grade.Result](m.reading, "grade"); ok {
		add("Base", m.baseDepth()+" of packed stone", fmt.Sprintf("%d lifts", g.Lifts), "dug "+m.figure("grade.dig_depth"))
	}
	if _, ok := of[slab.Result](m.reading, "slab"); ok {
		add("Thickness", m.figure("slab.thickness"))
	}
	if _, ok := of[forms.Result](m.reading, "forms"); ok {
		add("Forms", "to line and level", "braced so that nothing moves")
	}
	if s, ok := of[steel.Result](m.reading, "steel"); ok {
		add("Reinforcement", m.reinforcement(s)...)
	}
	if j, ok := of[joints.Result](m.reading, "joints"); ok {
		add("Isolation", m.isolated(j))
		add("Joints", fmt.Sprintf("%d panels", len(j.Panels)), "cut "+m.figure("joints.saw_depth")+" deep")
	}
	if _, ok := of[grade.Result](m.reading, "grade"); ok {
		add("Fall", m.figure("grade.least_slope")+" at least", m.figure("grade.fall_direction"))
	}
	if _, ok := of[order.Result](m.reading, "order"); ok {
		add("Concrete", m.figure("order.yards"), m.figure("mix.ask_the_plant"))
		rows = append(rows, []string{"Delivery tickets", "kept with this sheet", "", ""})
	}
	return rows
}

// says puts words before a text that is there.
func says(before, text string) string {
	if text == "" {
		return ""
	}
	return before + text
}

// blankIf is a line to write on where nothing was said.
func blankIf(text string) string {
	if text != "" {
		return ""
	}
	return "number " + blankLine
}

func (m *maker) setbacks(s site.Result) []string {
	var out []string
	for _, c := range s.Checks {
		if c.ID == "site.setback" {
			out = append(out, strings.TrimSuffix(strings.SplitN(c.Says, ":", 2)[0], "."))
		}
	}
	return out
}

func (m *maker) located(s site.Result) string {
	for _, c := range s.Checks {
		if c.ID == "site.locate" {
			return strings.TrimSuffix(strings.SplitN(c.Says, ". ", 2)[0], ".")
		}
	}
	return ""
}

func (m *maker) reinforcement(s steel.Result) []string {
	switch {
	case s.Sticks > 0:
		return []string{s.Grid.String(), "middle " + m.figure("steel.bar_height") + " over the base", m.figure("steel.bar_cover") + " cover", "on " + counted(s.Chairs, "chair")}
	case s.Weight > 0:
		return []string{m.show(quantity.Show(s.Weight, quantity.AsMass)) + " in all"}
	}
	return []string{"none planned"}
}

func (m *maker) isolated(j joints.Result) string {
	if len(j.Isolation) == 0 {
		return "nothing rigid touches the slab"
	}
	var at []string
	for _, strip := range j.Isolation {
		at = append(at, strip.Against)
	}
	return m.figure("joints.isolation") + " of strip, the full depth, at " + strings.Join(slices.Compact(at), ", ")
}
