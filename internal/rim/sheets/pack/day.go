package pack

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/rim/sheets/folder"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/rim/sheets/pdf"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/pour"
)

// Carried are the sheets a crew takes along on the day of a pour, in their order.
func Carried() []string {
	return []string{"crew-sheet", "take-care", "stake-sheet", "before-the-pour", "phone-order", "ticket-form", "daily-log"}
}

// Choices are the sheets that can be chosen for a day: all but drawings, by name.
func Choices() []string {
	var names []string
	for _, s := range slices.Concat(front, back) {
		names = append(names, s.name)
	}
	return names
}

// noCrew is where jobs stand that name no crew.
const noCrew = "No crew named"

// Day sets the sheets chosen of every job of one day: one PDF of all, by crew and hour, behind a list of what is in it, and one
// for each crew where there are several. Names are those of Choices and of drawings; none: those of Carried. A sheet that a job does
// not have is left out; what cannot be set is named under Problems. An error when there is no job or a name no job knows.
func Day(day quantity.Date, jobs []plan.Plan, names ...string) (Pack, error) {
	if len(jobs) == 0 {
		return Pack{}, fmt.Errorf("pack: no job of %s", day)
	}
	if len(names) == 0 {
		names = Carried()
	}
	d := &daily{day: day, parts: make([]dayPart, len(jobs))}
	work := make([]job, len(jobs))
	for i, p := range jobs {
		work[i] = func() made { return d.parts[i].make(p, names) }
	}
	for _, m := range together(work) {
		d.problems = append(d.problems, m.problems...)
	}
	for _, name := range names {
		if !slices.Contains(Choices(), name) && !slices.ContainsFunc(d.parts, func(p dayPart) bool { return p.draws(name) }) {
			return Pack{}, fmt.Errorf("no job of %s has a sheet called %s; choose from %s, or a drawing like joint-plan", day, name, strings.Join(Choices(), ", "))
		}
	}
	slices.SortStableFunc(d.parts, dayPart.before)
	return d.pack()
}

// dayPart is one job of the day with its sheets.
type dayPart struct {
	*maker
	drafts []frame.Draft
}

// make sets the named sheets of a plan.
func (p *dayPart) make(of plan.Plan, names []string) (out made) {
	p.maker = newMaker(of, nil, plan.Report.Pictures)
	text, err := planJSON(of)
	if err != nil {
		out.problem(of.Job.Title(), err)
	}
	p.block = p.titleBlock(versionOf(text))
	for _, name := range names {
		one := p.named(name)
		p.drafts = append(p.drafts, one.drafts...)
		for _, problem := range one.problems {
			out.problems = append(out.problems, of.Job.Title()+": "+problem)
		}
	}
	if len(p.drafts) == 0 {
		out.problem(of.Job.Title(), fmt.Errorf("none of these sheets can be set: %s", join("; ", append(of.Unanswered(), "nothing is known to draw")...)))
	}
	return out
}

func (p dayPart) draws(name string) bool {
	return slices.ContainsFunc(p.drafts, func(d frame.Draft) bool { return d.Page.Name == name })
}

func (p dayPart) crewName() string { return cmp.Or(p.plan.Job.Crew, noCrew) }

// before orders by crew, those without one last, then by the hour of the first truck and the title.
func (p dayPart) before(o dayPart) int {
	last := func(x dayPart) int {
		if x.plan.Job.Crew == "" {
			return 1
		}
		return 0
	}
	at, _ := p.plan.Job.PourAt()
	other, _ := o.plan.Job.PourAt()
	return cmp.Or(cmp.Compare(last(p), last(o)), cmp.Compare(strings.ToLower(p.crewName()), strings.ToLower(o.crewName())), at.Compare(other), cmp.Compare(p.plan.Job.Title(), o.plan.Job.Title()))
}

// daily is the day's set while it is made.
type daily struct {
	day      quantity.Date
	parts    []dayPart
	problems []string
}

func (d *daily) pack() (Pack, error) {
	out := Pack{Problems: d.problems}
	add := func(name string, parts []dayPart) error {
		data, err := d.set(parts)
		if err == nil {
			out.Files = append(out.Files, folder.File{Name: d.day.ISO() + "-" + name + ".pdf", Data: data})
		}
		return err
	}
	if err := add("all-sheets", d.parts); err != nil {
		return Pack{}, err
	}
	crews := d.crews()
	for i, c := range crews {
		if len(crews) == 1 {
			break
		}
		if err := add(fmt.Sprintf("crew-%d-%s", i+1, fileWord(c[0].crewName())), c); err != nil {
			return Pack{}, err
		}
	}
	return out, nil
}

// crews are the parts of each crew, in order.
func (d *daily) crews() [][]dayPart {
	var out [][]dayPart
	for _, p := range d.parts {
		if n := len(out); n > 0 && out[n-1][0].crewName() == p.crewName() {
			out[n-1] = append(out[n-1], p)
			continue
		}
		out = append(out, []dayPart{p})
	}
	return out
}

// fileWord is a name as a part of a file's name.
func fileWord(name string) string {
	word := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return '-'
	}, name)
	return strings.Trim(word, "-")
}

// set is the PDF of some jobs behind their cover list, the sheets numbered through.
func (d *daily) set(parts []dayPart) ([]byte, error) {
	among := 0
	for _, p := range parts {
		among += len(p.drafts)
	}
	cover, err := d.cover(parts)
	if err != nil {
		return nil, err
	}
	among += len(cover)
	first := parts[0]
	pages := frame.FinishAmong(cover, frame.Block{Job: cmp.Or(first.plan.Job.Shop, "Sheets of the day"), Printed: first.block.Printed, Version: version(parts)}, 1, among)
	for _, p := range parts {
		pages = append(pages, frame.FinishAmong(p.drafts, p.block, len(pages)+1, among)...)
	}
	for i := range pages {
		pages[i].Items = page.Black(pages[i].Items)
	}
	var b bytes.Buffer
	err = pdf.Write(&b, pdf.About{Title: d.title(parts), Author: first.plan.Job.Shop, AsOf: first.plan.Job.AsOf}, pages)
	return b.Bytes(), err
}

// version is a short code of all their plans.
func version(parts []dayPart) string {
	sum := sha256.New()
	for _, p := range parts {
		fmt.Fprintln(sum, p.block.Version)
	}
	return fmt.Sprintf("%x", sum.Sum(nil))[:6]
}

func (d *daily) title(parts []dayPart) string {
	return "Pours of " + d.day.Long(parts[0].plan.Job.Locale)
}

// cover lists what is in the set: by crew, which job, when, how much, from which plant, the verdict, on which sheets, and what could
// not be set.
func (d *daily) cover(parts []dayPart) ([]frame.Draft, error) {
	paper := parts[0].paper
	paper.Banner = 0
	for ahead := 1; ; {
		doc := d.coverAfter(parts, paper, ahead)
		if doc.Err() != nil {
			return nil, doc.Err()
		}
		sheets, err := doc.Sheets()
		if err != nil || len(sheets) <= ahead {
			return sheets, err
		}
		ahead = len(sheets)
	}
}

func (d *daily) coverAfter(parts []dayPart, paper page.Paper, ahead int) *document.Doc {
	doc := document.New("cover-list", "What is in here", paper)
	doc.Title(d.title(parts))
	loads, yards := 0, quantity.Volume(0)
	t := document.Table{Header: []string{"Crew", "Job", "First truck", "Concrete", "Verdict", "Print", "Sheets"}, Bold: []int{0, 2}, Right: []int{6},
		Cap: document.NoteCap, Shares: []float64{0.14, 0.28, 0.12, 0.17, 0.12, 0.085, 0.085}}
	next, crew := ahead+1, ""
	for _, p := range parts {
		row := p.coverRow()
		if name := join(", ", p.crewName(), p.plan.Job.Foreman); name != crew {
			row[0], crew = name, name
		}
		row[6] = "none"
		if n := len(p.drafts); n > 0 {
			row[6] = fmt.Sprintf("%d–%d", next, next+n-1)
			next += n
		}
		if o, ok := of[order.Result](p.reading, "order"); ok {
			loads, yards = loads+len(o.Loads), yards+o.Today()
		}
		t.Rows = append(t.Rows, row)
	}
	units := parts[0].units
	doc.Keys(document.Key{Figure: fmt.Sprint(len(parts)), Says: "pours"}, document.Key{Figure: order.WriteAmount(yards, units), Says: "concrete in all"},
		document.Key{Figure: fmt.Sprint(loads), Says: "loads"})
	doc.Table(t)
	if len(d.problems) > 0 {
		doc.Caution("Not in here", d.problems...)
	}
	doc.Note("A sheet with an older print number than its job's here is out of date: take it back.")
	return doc
}

// coverRow is a job's line without crew and sheets.
func (p dayPart) coverRow() []string {
	row := make([]string, 7)
	j := p.plan.Job
	at, _ := j.PourAt()
	row[1], row[2], row[5] = join(", ", j.Title(), j.Number, j.Address), p.clock(at), j.Revision
	if o, ok := of[order.Result](p.reading, "order"); ok {
		row[3] = join(", ", order.WriteAmount(o.Today(), p.units), counted(len(o.Loads), "load"), p.plan.Results.OrderInput.Plant.Value)
	}
	if v, ok := of[pour.Result](p.reading, "pour"); ok {
		row[4] = "not judged"
		if v.Verdict != check.NotComputed {
			row[4] = sentence(v.Verdict.String())
		}
	}
	return row
}
