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
	doc.Keys(document.Key{Figure: m.money(p.Total), Says: "total for the slab below"}, document.Key{Figure: m.size(), Says: "size"})
	if pic, ok := m.ownerPlan(); ok {
		height := 70.0
		if small {
			height = 54
		}
		m.setFigure(&doc.Flow, pic, height, 70, 82, 98, 115, 160)
	}
	doc.Beside(0.55, func(f *document.Flow) {
		f.Heading("What you get")
		f.Checklist(m.included()...)
	}, func(f *document.Flow) {
		f.Heading("What it costs")
		f.Table(m.costTable(p))
	})
	doc.Together(func(f *document.Flow) {
		f.Heading("When")
		m.ownerDates(f)
	})
	doc.Beside(0.5, func(f *document.Flow) {
		f.Heading("Your part")
		f.Checklist(yourPart...)
	}, func(f *document.Flow) {
		f.Heading("Not in the price")
		f.Checklist(notIncluded...)
	})
	doc.Heading("Will it crack?")
	doc.Body(willItCrack)
	doc.Together(func(f *document.Flow) {
		f.Heading("How you pay")
		f.Table(m.payTable(p))
		f.Blanks("Paid by")
		f.Sign("Owner", "Date", join(", ", "For the builder", m.plan.Job.Shop), "Date")
	})
	return doc
}

// The words of the quote and the care sheet that are the same on every job: a home owner reads them.
var (
	notIncluded = []string{
		"Things in the ground that no one told us of.",
		"Soft ground that has to come out deeper than we plan.",
		"Moving plants, fences, sprinklers or wires.",
		"Fees for permits and inspections, unless we write them here.",
	}
	yourPart = []string{
		"Show us each private line: sprinkler, septic, yard light, grill gas. We call 811 for the public ones.",
		"Keep the way in free for a loaded truck.",
		"Have water at a tap near the slab.",
		"Keep kids, pets and cars off until the dates above.",
	}
	willItCrack = "Yes. All concrete shrinks as it dries, and cracks. Our cuts tell it where, so the crack hides at the bottom of a " +
		"straight line. A thin crack in some other place can happen. It does not make the slab weak. Call us if one grows, or if one " +
		"side of it sits higher."
	datesMove = "These dates allow for cool weather and slow concrete. We move them if the nights turn cold."
	careDont  = []string{
		"No salt or other ice melter in the first winter. Use sand.",
		"No lawn food on it. It eats the surface.",
		"No heavy load on a corner or close to an edge.",
		"No metal shovel or scraper on it.",
		"No jack straight on it. Put a wide plate under each one.",
	}
	careDo = []string{
		"Keep roof water off it while it is new.",
		"Wash it with water and a soft broom.",
	}
	callUs    = "Call us if the top turns to dust, if a crack steps up, or if water stands where it should run off."
	burnsSkin = "Fresh concrete burns skin and eyes. Keep kids and pets off it. Rinse splashes at once with lots of water."
)

// costTable is the price in parts that add up to it.
func (m *maker) costTable(p price.Result) document.Table {
	t := document.Table{Right: []int{1}, Bold: []int{1}, Total: true}
	for _, o := range priceParts(p) {
		t.Rows = append(t.Rows, []string{o.says, m.money(o.amount)})
	}
	if p.Tax > 0 {
		t.Rows = append(t.Rows, []string{"Sales tax", m.money(p.Tax)})
	}
	t.Rows = append(t.Rows, []string{"Total", m.money(p.Total)})
	return t
}

// payTable says what is due when, and until which day the price holds.
func (m *maker) payTable(p price.Result) document.Table {
	report, _ := m.plan.Of("price")
	in, _ := report.Input.(price.Input)
	t := document.Table{Right: []int{1}, Bold: []int{1}}
	for _, due := range p.Payments {
		t.Rows = append(t.Rows, []string{due.When, m.money(due.Money)})
	}
	if holds := in.Business.Holds.Value; holds > 0 {
		t.Rows = append(t.Rows, []string{"Quoted on", m.longDay(m.quotedAt())}, []string{"This price holds until", m.longDay(m.quotedAt().Add(duration(holds)))})
	}
	return t
}

// quotedAt is the day of the quote: as the job says, else that of the print. A quote printed again holds no longer than the first.
func (m *maker) quotedAt() time.Time {
	if d := m.plan.Job.Quoted; d.Given() {
		return time.Date(d.Value.Year, d.Value.Month, d.Value.Day, 12, 0, 0, 0, m.zone())
	}
	return m.plan.Job.AsOf
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
	list := []string{fmt.Sprintf("A slab of %s, %s thick, with smooth edges and a swept top that is not slick", m.size(), m.figure("slab.thickness"))}
	if base := m.baseDepth(); base != "" {
		list = append(list, base+" of packed stone under it")
	}
	if s, ok := of[steel.Result](m.reading, "steel"); ok && s.Sticks > 0 {
		list = append(list, fmt.Sprintf("Steel bars in it (%s)", s.Grid))
	}
	if x, ok := of[mix.Result](m.reading, "mix"); ok {
		says := "Strong concrete (" + m.show(quantity.Show(x.Strength, quantity.AsStrength)) + ")"
		if x.Entrained {
			says += ", made to stand frost"
		}
		list = append(list, says)
	}
	if j, ok := of[joints.Result](m.reading, "joints"); ok && len(j.Cuts) > 0 {
		list = append(list, counted(len(j.Cuts), "cut")+" to tell the concrete where to crack")
	}
	return append(list, "Keeping it damp and warm while it hardens", "Taking the forms away and cleaning up")
}

func (m *maker) ownerDates(doc *document.Flow) {
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
	t := document.Table{Bold: []int{1}}
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
	from := m.daylight(use.At)
	if from.Hour() > 0 {
		says += ", from " + m.clock(from)
	}
	return document.Key{Figure: m.day(from), Says: says}, true
}

// The hours in which people use a slab.
const (
	morning = 7
	evening = 18
)

// daylight is the first hour of use that is not before t; midnight stands for a whole day and stays.
func (m *maker) daylight(t time.Time) time.Time {
	t = t.In(m.zone())
	if t.Hour() == 0 && t.Minute() == 0 {
		return t
	}
	if t.Minute() > 0 || t.Second() > 0 {
		t = time.Date(t.Year(), t.Month(), t.Day(), t.Hour()+1, 0, 0, 0, t.Location())
	}
	switch {
	case t.Hour() > evening:
		return time.Date(t.Year(), t.Month(), t.Day()+1, morning, 0, 0, 0, t.Location())
	case t.Hour() < morning:
		return time.Date(t.Year(), t.Month(), t.Day(), morning, 0, 0, 0, t.Location())
	}
	return t
}

// careSheet is what the owner is handed after: three dates, do and don't, whom to call.
func careSheet(m *maker) (*document.Doc, error) {
	c, ok := of[cure.Result](m.reading, "cure")
	if !ok {
		return nil, nil
	}
	doc := m.oneSide("care-sheet", "Care sheet", func(doc *document.Doc) { m.care(doc, c) })
	return doc, doc.Err()
}

func (m *maker) care(doc *document.Doc, c cure.Result) {
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
	doc.Note(datesMove)
	doc.Heading("Do")
	doc.Checklist(m.careDo(c)...)
	doc.Heading("Don't")
	doc.Checklist(careDont...)
	doc.Heading("Call us")
	if who := join(", ", m.plan.Job.Shop, m.plan.Job.Phone); who != "" {
		doc.Strong(who)
	} else {
		doc.Blanks("Name and number")
	}
	doc.Body(callUs)
	doc.Caution("Take care", burnsSkin)
}

func (m *maker) careDo(c cure.Result) []string {
	list := []string{"Leave the cover or the curing film on it."}
	if end, ok := c.Find("cure_until"); ok && !end.Never && !end.At.IsZero() {
		list[0] = "Leave the cover or the curing film on it until " + m.longDay(end.At) + "."
	}
	at, _ := m.plan.Job.PourAt()
	seal := "Seal it on a dry day after " + m.longDay(at.AddDate(0, 0, sealedAfter)) + ", before the first frost, if you want it to last in frost."
	return append(append(list, careDo...), seal)
}

// sealedAfter is how many days a slab dries before it is sealed. Source: a state ready-mix association's advice to owners.
const sealedAfter = 30

func duration(t quantity.Time) time.Duration { return time.Duration(float64(t) * float64(time.Second)) }
