package pack

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/rim/sheets/dxf"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/rim/sheets/pdf"
	"slabwright/internal/rim/sheets/png"
	"slabwright/internal/rim/sheets/svg"
	"slabwright/internal/trade/plan"
)

// sheet is one document of the pack; alone: it also goes out as a file of its own.
type sheet struct {
	name  string
	alone bool
	make  func(*maker) (*document.Doc, error)
}

// front are the sheets people carry, back the lists behind the drawings, in the order of the pack. The workings come last:
// whoever prints the pack prints up to them.
var (
	front = []sheet{{"crew-sheet", true, crewSheet}, {"what-changed", true, whatChanged}, {"take-care", false, takeCare}, {"stake-sheet", true, stakeSheet},
		{"quote", true, quote}, {"phone-order", true, phoneOrder}, {"ticket-form", true, ticketForm}, {"before-the-pour", true, beforeThePour}, {"inspection-sheet", true, inspector}, {"daily-log", true, dailyLog},
		{"care-sheet", true, careSheet}, {"what-to-look-for", true, whatToLookFor}}
	back = []sheet{{"pour-day", true, pourDay}, {"after-the-pour", true, afterwards}, {"lab-results", false, labResults}, {"cut-lists", false, cutLists}, {"checks", false, checksSheet}, {"assumed", false, assumedList}, {"numbers", false, numbers},
		{"calculations", true, calculations}}
)

// sheets lists the work of setting every document and drawing, in the order of the pack.
func (m *maker) sheets() []job {
	var jobs []job
	for _, s := range front {
		jobs = append(jobs, func() made { return m.document(s) })
	}
	for _, pic := range m.pictures {
		jobs = append(jobs, func() made { return m.drawing(pic) })
	}
	for _, s := range back {
		jobs = append(jobs, func() made { return m.document(s) })
	}
	return jobs
}

// document sets one; one that has nothing to say is left out.
func (m *maker) document(s sheet) (out made) {
	doc, err := s.make(m)
	if err == nil && doc == nil {
		return out
	}
	if err == nil {
		out.drafts, err = doc.Sheets()
	}
	if err != nil {
		out.problem(s.name, err)
	}
	out.alone = s.alone
	return out
}

// Picture paints the first side of one sheet of a plan, by its name, black on white. An error when the plan has no such sheet
// or it cannot be made.
func Picture(p plan.Plan, name string, dpi float64) ([]byte, error) {
	m := newMaker(p, nil, plan.Report.Pictures)
	text, err := planJSON(p)
	if err != nil {
		return nil, fmt.Errorf("pack: %w", err)
	}
	m.block = m.titleBlock(versionOf(text))
	part := m.named(name)
	if len(part.drafts) == 0 {
		return nil, fmt.Errorf("pack: no sheet %q of this plan: %s", name, strings.Join(part.problems, "; "))
	}
	side := frame.Finish(part.drafts, m.block)[0]
	side.Items = page.Black(side.Items)
	var b bytes.Buffer
	err = png.Write(&b, side, dpi)
	return b.Bytes(), err
}

// named sets one document or drawing.
func (m *maker) named(name string) made {
	for _, s := range slices.Concat(front, back) {
		if s.name == name {
			return m.document(s)
		}
	}
	for _, pic := range m.pictures {
		if pic.Name == name {
			return m.drawing(pic)
		}
	}
	return made{}
}

// smallestScale is the ratio from which a drawing goes on the next larger paper: figures crowd on a slab drawn smaller.
const smallestScale = 200

// drawing sets a picture on a sheet of its own.
func (m *maker) drawing(pic drawing.Picture) (out made) {
	d, err := frame.Drawing(pic, m.paper, m.units, m.north(pic))
	if err != nil || d.View.Scale.Ratio > smallestScale {
		larger := map[string]page.Paper{page.Letter.Name: page.Tabloid, page.A4.Name: page.A3}[m.paper.Name]
		larger.Banner = m.paper.Banner
		d, err = frame.Drawing(pic, larger, m.units, m.north(pic))
	}
	if err != nil {
		out.problem(pic.Name, err)
		return out
	}
	out.drafts, out.picture = []frame.Draft{d}, pic
	return out
}

// wholePack is the PDF of all sheets.
func (m *maker) wholePack(all []frame.Draft) (out made) {
	if len(all) > 0 {
		m.pdf(&out, "sheets", m.plan.Job.Title(), all)
	}
	return out
}

// files writes what goes out of one part of the pack alone: a drawing under its number in the pack, a document numbered anew.
func (m *maker) files(part made, among int) (out made) {
	switch {
	case len(part.drafts) == 0:
	case part.drafts[0].Drawing:
		m.drawingFiles(&out, part, among)
	case part.alone:
		m.pdf(&out, part.drafts[0].Page.Name, part.drafts[0].Page.Title, part.drafts)
	}
	return out
}

// pdf makes one PDF, black on white.
func (m *maker) pdf(out *made, name, title string, drafts []frame.Draft) {
	pages := frame.Finish(drafts, m.block)
	for i := range pages {
		pages[i].Items = page.Black(pages[i].Items)
	}
	var b bytes.Buffer
	if err := pdf.Write(&b, pdf.About{Title: title, Author: m.plan.Job.Shop, AsOf: m.plan.Job.AsOf}, pages); err != nil {
		out.problem(name, err)
		return
	}
	out.add(name+".pdf", b.Bytes())
}

// pixels is the resolution of the drawings as pictures, dots per inch: the smallest lettering is 12 pixels tall.
const pixels = 120

// drawingFiles writes a drawing as SVG in colour, as PNG and, where it is drawn to scale, as DXF.
func (m *maker) drawingFiles(out *made, part made, among int) {
	p, pic := frame.FinishAmong(part.drafts, m.block, part.first, among)[0], part.picture
	var vector, raster, model bytes.Buffer
	if err := svg.Write(&vector, p); err != nil {
		out.problem(p.Name, err)
		return
	}
	if err := png.Write(&raster, p, pixels); err != nil {
		out.problem(p.Name, err)
		return
	}
	out.add(p.Name+".svg", vector.Bytes())
	out.add(p.Name+".png", raster.Bytes())
	if pic.Film != nil {
		view := part.drafts[0].View
		var film bytes.Buffer
		if err := svg.WriteFilm(&film, p, svg.Film{Film: pic.Film, On: view.On, Words: filmWords(p.Paper)}); err != nil {
			out.problem(p.Name+"-film", err)
			return
		}
		out.add(p.Name+"-film.svg", film.Bytes())
	}
	if pic.Space != drawing.Site {
		return
	}
	if err := dxf.Write(&model, pic, m.units, part.drafts[0].View.Scale); err != nil {
		out.problem(p.Name, err)
		return
	}
	out.add(p.Name+".dxf", model.Bytes())
}

// filmWords is where a film letters what is done: under the sheet's title.
func filmWords(p page.Paper) page.Point { return page.Point{X: 12, Y: p.Height - 27} }

// allPictures are those of every stage that answered, in the plan's order; of two of one name the first counts.
func (m *maker) allPictures(pictures func(plan.Report) []drawing.Picture) []drawing.Picture {
	var out []drawing.Picture
	for _, r := range m.plan.Stages {
		for _, pic := range pictures(r) {
			if len(pic.Marks) > 0 && !slices.ContainsFunc(out, func(p drawing.Picture) bool { return p.Name == pic.Name }) {
				out = append(out, pic)
			}
		}
	}
	return out
}

// oneSide sets a document, in 12 pt where 14 pt would need a second side.
func (m *maker) oneSide(name, title string, set func(*document.Doc)) *document.Doc {
	doc := document.New(name, title, m.paper)
	if set(doc); doc.Height() > document.Room(m.paper) {
		doc = document.New(name, title, m.paper)
		doc.Small()
		set(doc)
	}
	return doc
}
