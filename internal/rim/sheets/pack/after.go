package pack

import (
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/cure"
)

// flaw is something that can show in a slab: what it looks like, when it shows, what mostly brings it, and what is done.
type flaw struct {
	looks, when, cause, mend string
}

// flaws are in the order in which they show. Source: common practice, after guides to defects of concrete surfaces.
var flaws = []flaw{
	{"Short cracks a hand apart, like a turkey's foot", "first day", "wind and sun dried it faster than it bled", "Leave it when a card does not go in; else fill with thin epoxy"},
	{"Blisters or skins that sound hollow", "first day", "closed too early over water still rising", "Open with the float while soft; later cut out and patch"},
	{"Chipped cut edges", "first day", "sawn too early", "Fill them"},
	{"A crack beside the cut, or where no cut is", "first weeks", "cut too late, too shallow or too far apart; ground that moved", "Watch it; rout and seal; a step in it is our call"},
	{"Fine map of hairlines", "first weeks", "dried fast, worked wet, cured late", "Looks only: leave it or seal it"},
	{"Dust under the broom", "first weeks", "finished with water on top, or cured badly", "Wash, then a hardener"},
	{"Light and dark patches", "first weeks", "uneven sheet, other cement", "Wash; most fade in a season"},
	{"Corners lift, a panel rocks", "first season", "top dried and shrank more than the bottom", "Keep loads off the corner; grind or fill under"},
	{"Top flakes off", "first winters", "salt or frost before it was strong; water worked in; too little air", "Loose off, thin overlay; a sealer that breathes when shallow"},
	{"Small holes", "first years", "weak stone near the top", "Patch"},
	{"Water stands", "any time", "forms were off, or ground sank", "Grind, overlay, mend the drain"},
}

// whatToLookFor is handed over with the care sheet: what the builder stands by, and what may show, when, and what is done.
func whatToLookFor(m *maker) (*document.Doc, error) {
	c, ok := of[cure.Result](m.reading, "cure")
	if !ok {
		return nil, nil
	}
	doc := document.New("what-to-look-for", "What to look for", m.paper)
	doc.Small()
	doc.Heading("What may show, and what we do")
	t := document.Table{Header: []string{"You see", "When", "Mostly because", "What is done"}, Bold: []int{0}, Shares: []float64{0.27, 0.13, 0.3, 0.3}, Cap: document.NoteCap, Tight: true}
	for _, f := range flaws {
		t.Rows = append(t.Rows, []string{f.looks, f.when, f.cause, f.mend})
	}
	doc.Table(t)
	doc.Heading("Look at it with us")
	dates := document.Table{Bold: []int{0}, Cap: document.NoteCap, Tight: true}
	for _, v := range m.visits(c) {
		dates.Rows = append(dates.Rows, v)
	}
	doc.Table(dates)
	doc.Beside(0.5, func(f *document.Flow) {
		f.Heading("What we stand by")
		f.Checklist(standBy...)
	}, func(f *document.Flow) {
		f.Heading("What we can not promise")
		f.Checklist(notPromised...)
	})
	doc.Sign("This holds until", join(", ", "For the builder", m.plan.Job.Shop))
	doc.Note("Local law may give more than this page says, and then it governs.")
	return doc, doc.Err()
}

var (
	standBy = []string{
		"Thickness, steel, mix and slope are as written in the quote; the record of the day is kept and you may see it.",
		"A crack with one side higher, or wider than a coin is thick, we look at and mend if the work caused it.",
		"Where water stands after an hour of sun, we mend what we made.",
	}
	notPromised = []string{
		"That it will not crack: it shrinks, and the cuts are there for it.",
		"That color is even, or that one load matches another.",
		"Harm from salt, lawn food, loads before the dates or over the weight agreed, roots, or ground others dug.",
	}
)

// visits are the days to look at the slab together: before the heavy load, after a season, after the first winter.
func (m *maker) visits(c cure.Result) [][]string {
	var rows [][]string
	if use, ok := c.Find("trailer"); ok && !use.Never && !use.At.IsZero() {
		rows = append(rows, []string{m.longDay(use.At), "before the heavy load: cracks, corners, cuts"})
	}
	at, _ := m.plan.Job.PourAt()
	return append(rows, []string{m.longDay(at.AddDate(0, 0, 90)), "after three months: dust, patches, water that stands"},
		[]string{m.longDay(at.AddDate(1, 0, 0)), "after a year and a winter: flakes, lifted corners, sealed joints"})
}
