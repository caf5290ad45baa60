// Package pack makes everything a plan goes out as: one PDF of all sheets, the sheets that leave the office each as a PDF of
// its own, every drawing as SVG, PNG and DXF, quantities as CSV and XLSX, dates for a calendar, and the plan itself as JSON.
package pack

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"strings"
	"time"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/rim/sheets/dxf"
	"slabwright/internal/rim/sheets/folder"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/rim/sheets/pdf"
	"slabwright/internal/rim/sheets/png"
	"slabwright/internal/rim/sheets/svg"
	"slabwright/internal/trade/plan"
)

// Pack is a plan's files, and what could not be made of it, in words.
type Pack struct {
	Files    []folder.File
	Problems []string
}

// pixels is the resolution of the drawings as pictures, dots per inch: sharp on a phone held close.
const pixels = 150

// Make writes all files of a plan. movers, when given, order the list of assumed values by what they move. A part that cannot
// be made is left out and named under Problems; an error means that there is no pack at all.
func Make(p plan.Plan, movers []plan.Mover) (Pack, error) {
	m, err := newMaker(p, movers)
	if err != nil {
		return Pack{}, err
	}
	m.pdfs()
	m.drawings()
	m.tables()
	m.calendar()
	return m.pack, nil
}

// maker holds a plan while its files are made.
type maker struct {
	reading
	paper  page.Paper
	block  frame.Block
	movers []plan.Mover
	sheets []frame.Draft // the drawings
	pack   Pack
}

func newMaker(p plan.Plan, movers []plan.Mover) (*maker, error) {
	m := &maker{reading: reading{plan: p, units: p.Job.Units}, paper: page.Letter, movers: movers}
	if strings.EqualFold(p.Job.Paper, "a4") || p.Job.Paper == "" && p.Job.Units == quantity.Metric {
		m.paper = page.A4
	}
	text, err := planJSON(p)
	if err != nil {
		return nil, fmt.Errorf("pack: %w", err)
	}
	m.add("plan.json", text)
	m.block = m.titleBlock(fmt.Sprintf("%x", sha256.Sum256(text))[:6])
	return m, nil
}

func (m *maker) titleBlock(version string) frame.Block {
	j := m.plan.Job
	b := frame.Block{Job: j.Title(), Address: j.Address, Owner: j.Shop, Number: j.Number, Revision: j.Revision, DrawnBy: j.DrawnBy,
		Printed: m.moment(j.AsOf), Units: "feet and inches", Assumed: len(m.plan.Guesses()), Version: version}
	if m.units == quantity.Metric {
		b.Units = "metres and millimetres"
	}
	if j.Practice {
		b.Mark = "PRACTICE, INVENTED DATA"
	}
	return b
}

func (m *maker) add(name string, data []byte) {
	m.pack.Files = append(m.pack.Files, folder.File{Name: name, Data: data})
}

func (m *maker) problem(what string, err error) {
	m.pack.Problems = append(m.pack.Problems, fmt.Sprintf("%s: %v", what, err))
}

// sheet is one document of the pack; alone: it also goes out as a file of its own.
type sheet struct {
	name  string
	alone bool
	make  func(*maker) (*document.Doc, error)
}

// front are the sheets before the drawings, back those after, in the order of the pack.
var (
	front = []sheet{{"crew-sheet", true, crewSheet}, {"take-care", false, takeCare}, {"stake-sheet", true, stakeSheet},
		{"quote", true, quote}, {"phone-order", true, phoneOrder}, {"care-sheet", true, careSheet}}
	back = []sheet{{"numbers", false, numbers}, {"cut-lists", false, cutLists}, {"checks", false, checksSheet}, {"assumed", false, assumedList},
		{"calculations", false, calculations}}
)

func (m *maker) pdfs() {
	all := m.documents(front)
	m.sheets = m.drawingSheets()
	all = append(all, m.sheets...)
	all = append(all, m.documents(back)...)
	if len(all) > 0 {
		m.write("sheets", m.plan.Job.Title(), all)
	}
}

func (m *maker) documents(list []sheet) []frame.Draft {
	var all []frame.Draft
	for _, s := range list {
		doc, err := s.make(m)
		if err == nil && doc == nil {
			continue
		}
		var drafts []frame.Draft
		if err == nil {
			drafts, err = doc.Sheets()
		}
		if err != nil {
			m.problem(s.name, err)
			continue
		}
		if s.alone {
			m.write(s.name, drafts[0].Page.Title, drafts)
		}
		all = append(all, drafts...)
	}
	return all
}

// write makes one PDF, black on white.
func (m *maker) write(name, title string, drafts []frame.Draft) {
	pages := frame.Finish(drafts, m.block)
	for i := range pages {
		pages[i].Items = page.Black(pages[i].Items)
	}
	var b bytes.Buffer
	if err := pdf.Write(&b, pdf.About{Title: title, Author: m.plan.Job.Shop, AsOf: m.plan.Job.AsOf}, pages); err != nil {
		m.problem(name, err)
		return
	}
	m.add(name+".pdf", b.Bytes())
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

// smallestScale is the ratio from which a drawing goes on the next larger paper: figures crowd on a slab drawn smaller.
const smallestScale = 200

// drawingSheets draws every picture on a sheet of its own.
func (m *maker) drawingSheets() []frame.Draft {
	larger := map[string]page.Paper{page.Letter.Name: page.Tabloid, page.A4.Name: page.A3}[m.paper.Name]
	var all []frame.Draft
	for _, pic := range m.pictures() {
		d, err := frame.Drawing(pic, m.paper, m.units, m.north(pic))
		if err != nil || d.View.Scale.Ratio > smallestScale {
			d, err = frame.Drawing(pic, larger, m.units, m.north(pic))
		}
		if err != nil {
			m.problem(pic.Name, err)
			continue
		}
		all = append(all, d)
	}
	return all
}

// drawings writes each picture as SVG in colour, as PNG and, where it is drawn to scale, as DXF.
func (m *maker) drawings() {
	for i, p := range frame.Finish(m.sheets, m.block) {
		var vector, raster bytes.Buffer
		if err := svg.Write(&vector, p); err != nil {
			m.problem(p.Name, err)
			continue
		}
		if err := png.Write(&raster, p, pixels); err != nil {
			m.problem(p.Name, err)
			continue
		}
		m.add(p.Name+".svg", vector.Bytes())
		m.add(p.Name+".png", raster.Bytes())
		m.dxf(p.Name, m.sheets[i].View.Scale)
	}
}

func (m *maker) dxf(name string, scale layout.Scale) {
	for _, pic := range m.pictures() {
		if pic.Name != name || pic.Space != drawing.Site {
			continue
		}
		var b bytes.Buffer
		if err := dxf.Write(&b, pic, m.units, scale); err != nil {
			m.problem(name, err)
			return
		}
		m.add(name+".dxf", b.Bytes())
	}
}

// pictures are those of every stage that answered, in the plan's order; of two of one name the first counts.
func (m *maker) pictures() []drawing.Picture {
	var out []drawing.Picture
	seen := map[string]bool{}
	for _, r := range m.plan.Stages {
		for _, pic := range r.Pictures() {
			if !seen[pic.Name] && len(pic.Marks) > 0 {
				seen[pic.Name] = true
				out = append(out, pic)
			}
		}
	}
	return out
}

// isPlan says whether a picture looks down on the site with north up; a section does not.
func isPlan(pic drawing.Picture) bool {
	return pic.Space == drawing.Site && !strings.Contains(pic.Name, "section") && !strings.Contains(pic.Name, "detail")
}

// moment writes a time short, without its weekday: "Jun 11 2026, 7:00 am".
func (m *maker) moment(t time.Time) string {
	date := "2 Jan 2006"
	if m.american() {
		date = "Jan 2 2006"
	}
	return t.In(m.zone()).Format(date) + ", " + m.clock(t)
}
