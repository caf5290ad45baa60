package pack

import (
	"fmt"
	"slices"
	"time"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/mix"
	"slabwright/internal/trade/price"
	"slabwright/internal/trade/steel"
)

// quote is what the owner is handed before: total, picture, what is in it, what is not, dates, their part, paying.
func quote(m *maker) (*document.Doc, error) {
	p, ok := of[price.Result](m.reading, "price")
	if !ok {
		return nil, nil
	}
	doc := m.quoteText(p, false)
	if sheets, err := doc.Sheets(); err == nil && len(sheets) > 2 {
		doc = m.quoteText(p, true)
	}
	return doc, doc.Err()
}

func (m *maker) quoteText(p price.Result, small bool) *document.Doc {
	doc := document.New("quote", "Quote", m.paper)
	if small {
		doc.Small()
	}
	doc.Title(join(" for ", "Quote", m.plan.Job.Owner))
	doc.Keys(document.Key{Figure: m.money(p.Price), Says: "total for the slab below"}, document.Key{Figure: m.size(), Says: "size"})
	if pic, ok := m.ownerPlan(); ok {
		m.setFigure(&doc.Flow, pic, 82, 98, 115, 160)
	}
	doc.Heading("What you get")
	doc.Checklist(m.included()...)
	doc.Heading("What is not in the price")
	doc.Checklist("Anything underground that nobody told us of", "Soft ground that has to come out deeper than planned",
		"Moving plants, fences, sprinklers or wires", "Permit and inspection fees, unless they are written below")
	doc.Heading("When")
	m.ownerDates(doc)
	doc.Heading("Your part")
	doc.Checklist("Show us every private line: sprinkler, septic, yard light, grill gas. We call 811 for the public ones.",
		"Keep the way in free for a loaded truck.", "Water at a tap near the slab.", "Keep children, pets and cars off until the dates above.")
	doc.Heading("Will it crack?")
	doc.Body("All concrete shrinks and cracks. The cuts tell it where, so that the crack runs at the bottom of a straight line. " +
		"A hairline elsewhere can happen and does not weaken the slab. Tell us if you see one that grows or that steps up.")
	doc.Heading("Paying")
	doc.Blanks("When you say yes", "When it is done", "This price holds until")
	doc.Sign("Owner", "Date", join(", ", "For the builder", m.plan.Job.Shop), "Date")
	return doc
}

// ownerPlan is the slab with its cuts and sides, without the crew's marks; without joints the plan of the lot.
func (m *maker) ownerPlan() (drawing.Picture, bool) {
	pic, ok := m.firstPlan("joints")
	if !ok {
		return m.firstPlan("site")
	}
	pic.Marks = slices.DeleteFunc(slices.Clone(pic.Marks), func(mark drawing.Mark) bool {
		switch mark.(type) {
		case drawing.Path, drawing.Dimension:
			return false
		}
		return true
	})
	return pic, true
}

// included says what the price holds, in words a home owner uses.
func (m *maker) included() []string {
	list := []string{fmt.Sprintf("A slab of %s, %s thick, with edges and a broom finish", m.size(), m.figure("slab.thickness"))}
	if base := m.baseDepth(); base != "" {
		list = append(list, base+" of packed stone under it")
	}
	if s, ok := of[steel.Result](m.reading, "steel"); ok && s.Sticks > 0 {
		list = append(list, fmt.Sprintf("Steel bars in it, %s", s.Grid))
	}
	if x, ok := of[mix.Result](m.reading, "mix"); ok {
		says := fmt.Sprintf("Concrete of %s strength", m.show(quantity.Show(x.Strength, quantity.AsStrength)))
		if x.Entrained {
			says += ", with air in it against frost"
		}
		list = append(list, says)
	}
	if j, ok := of[joints.Result](m.reading, "joints"); ok && len(j.Cuts) > 0 {
		list = append(list, fmt.Sprintf("Cuts that tell the concrete where to crack: %d, making %d panels", len(j.Cuts), len(j.Panels)))
	}
	return append(list, "Keeping it damp and warm while it hardens", "Taking the forms away and cleaning up")
}

func (m *maker) ownerDates(doc *document.Doc) {
	at, said := m.plan.Job.PourAt()
	if said {
		doc.Body("We pour on " + m.longDay(at) + " if the weather lets us.")
	} else {
		doc.Body("The day is not fixed yet. If we pour on " + m.longDay(at) + ", then:")
	}
	c, ok := of[cure.Result](m.reading, "cure")
	if !ok {
		return
	}
	t := document.Table{Bold: []int{1}, Cap: document.BodyCap}
	for _, u := range uses {
		if k, ok := m.useKey(c, u.name, u.says); ok {
			t.Rows = append(t.Rows, []string{k.Says, k.Figure})
		}
	}
	doc.Table(t)
}

// uses are the three dates an owner wants, in the order of use.
var uses = []struct{ name, says string }{{"foot", "Walk on it"}, {"car", "Drive a car on it"}, {"trailer", "Park the heavy load on it"}}

// useKey is the date from which a use may begin; a use this mix does not reach is "ask us first".
func (m *maker) useKey(c cure.Result, name, says string) (document.Key, bool) {
	use, ok := c.Find(name)
	if !ok {
		return document.Key{}, false
	}
	if use.Never || use.At.IsZero() {
		return document.Key{Figure: "ask us first", Says: says}, true
	}
	if t := use.At.In(m.zone()); t.Hour() > 0 || t.Minute() > 0 {
		says += ", from " + m.clock(t)
	}
	return document.Key{Figure: m.day(use.At), Says: says}, true
}

// careSheet is what the owner is handed after: three dates, do and don't, whom to call.
func careSheet(m *maker) (*document.Doc, error) {
	c, ok := of[cure.Result](m.reading, "cure")
	if !ok {
		return nil, nil
	}
	doc := document.New("care-sheet", "Care sheet", m.paper)
	doc.Title("Looking after your new slab")
	at, said := m.plan.Job.PourAt()
	if said {
		doc.Body("Poured " + m.longDay(at) + ". Not before these dates:")
	} else {
		doc.Body("If it is poured on " + m.longDay(at) + ". Not before these dates:")
	}
	var keys []document.Key
	for _, u := range uses {
		if k, ok := m.useKey(c, u.name, u.says); ok {
			keys = append(keys, k)
		}
	}
	doc.Keys(keys...)
	doc.Note("The dates count the cool side of the weather and the slow side of such concrete. We move them if nights turn cold.")
	doc.Heading("Do")
	doc.Checklist(m.careDo(c)...)
	doc.Heading("Don't")
	doc.Checklist("No salt or other ice melter in the first winter; use sand.", "No fertilizer on it: it eats the surface.",
		"No heavy load on a corner or within a foot of an edge.", "No metal shovel blade or scraper on it.")
	doc.Heading("Call us")
	if who := join(", ", m.plan.Job.Shop, m.plan.Job.Phone); who != "" {
		doc.Strong(who)
	} else {
		doc.Blanks("Name and number")
	}
	doc.Body("Call if the surface turns to dust, if a crack steps up, or if water stands where it should run off.")
	doc.Caution("Take care", "Fresh concrete burns skin and eyes. Keep children and pets off it; rinse splashes at once with plenty of water.")
	return doc, doc.Err()
}

func (m *maker) careDo(c cure.Result) []string {
	list := []string{"Leave the cover or the curing film on it."}
	if end, ok := c.Find("cure_until"); ok && !end.Never && !end.At.IsZero() {
		list[0] = "Leave the cover or the curing film on it until " + m.longDay(end.At) + "."
	}
	return append(list, "Keep water from a downspout off it while it is new.", "Wash it with water and a soft broom.", "Seal it after the first month if you want it to last in frost.")
}

func duration(t quantity.Time) time.Duration { return time.Duration(float64(t) * float64(time.Second)) }
