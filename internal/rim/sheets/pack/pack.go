// Package pack makes everything a plan goes out as: one PDF of all sheets, the sheets that leave the office each as a PDF of
// its own, every drawing as SVG, PNG and DXF, quantities as CSV and XLSX, dates for a calendar, and the plan itself as JSON.
package pack

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"
	"time"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/folder"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/site"
)

// Pack is a plan's files, and what could not be made of it, in words.
type Pack struct {
	Files    []folder.File
	Problems []string
}

// Make writes all files of a plan. movers, when given, order the list of assumed values by what they move. A part that cannot
// be made is left out and named under Problems; an error means that there is no pack at all. The processors share the work;
// the same plan gives the same bytes.
func Make(p plan.Plan, movers []plan.Mover) (Pack, error) {
	m := newMaker(p, movers, plan.Report.Pictures)
	text, err := planJSON(p)
	if err != nil {
		return Pack{}, fmt.Errorf("pack: %w", err)
	}
	m.block = m.titleBlock(versionOf(text))
	set := together(m.sheets())
	out := made{}
	out.add("plan.json", text)
	var all []frame.Draft
	for _, s := range set {
		all = append(all, s.drafts...)
	}
	contents, err := m.contents(all)
	if err != nil {
		out.problem("contents", err)
	}
	jobs := []job{func() made { return m.wholePack(append(contents, all...)) }, m.tables, m.calendar, func() made { return m.carry(set) }}
	first := len(contents) + 1
	for _, s := range set {
		s.first = first
		first += len(s.drafts)
		jobs = append(jobs, func() made { return m.files(s, len(contents)+len(all)) })
	}
	for _, part := range append(set, together(jobs)...) {
		out.files, out.problems = append(out.files, part.files...), append(out.problems, part.problems...)
	}
	return Pack{Files: out.files, Problems: out.problems}, nil
}

// Names lists the files of a plan's pack without making them.
func Names(p plan.Plan) []string {
	m := newMaker(p, nil, plan.Report.Drawn) // their tables are not asked for
	names := []string{"plan.json", "sheets.pdf"}
	for _, s := range slices.Concat(front, back) {
		if !s.alone {
			continue
		}
		if doc, err := s.make(m); err == nil && doc != nil {
			names = append(names, s.name+".pdf")
		}
	}
	for _, pic := range m.pictures {
		names = append(names, pic.Name+".svg", pic.Name+".png")
		if pic.Film != nil {
			names = append(names, pic.Name+"-film.svg")
		}
		if pic.Space == drawing.Site {
			names = append(names, pic.Name+".dxf")
		}
	}
	return append(names, "quantities.csv", "quantities.xlsx", "dates.ics", "whole-job.html")
}

// versionOf is the short code of a plan: other code, other plan.
func versionOf(text []byte) string { return fmt.Sprintf("%x", sha256.Sum256(text))[:6] }

// maker holds a plan while its files are made; nothing in it changes once it is there.
type maker struct {
	reading
	paper    page.Paper
	block    frame.Block
	movers   []plan.Mover
	pictures []drawing.Picture
}

func newMaker(p plan.Plan, movers []plan.Mover, pictures func(plan.Report) []drawing.Picture) *maker {
	m := &maker{reading: reading{plan: p, units: p.Job.Units}, paper: page.Letter, movers: movers}
	if strings.EqualFold(p.Job.Paper, "a4") || p.Job.Paper == "" && p.Job.Units == quantity.Metric {
		m.paper = page.A4
	}
	if s, ok := of[site.Result](m.reading, "site"); ok && s.DoNotDig {
		m.paper.Banner = frame.BannerHeight
	}
	m.pictures = m.allPictures(pictures)
	return m
}

func (m *maker) titleBlock(version string) frame.Block {
	j := m.plan.Job
	b := frame.Block{Job: j.Title(), Address: j.Address, Owner: j.Shop, Number: j.Number, Revision: j.Revision, DrawnBy: j.DrawnBy,
		Printed: m.moment(j.AsOf), Units: "feet and inches", Assumed: len(m.plan.Guesses()), Version: version}
	if m.units == quantity.Metric {
		b.Units = "metres and millimetres"
	}
	if m.paper.Banner > 0 {
		b.Banner = "DO NOT DIG: 811 not called. Buried lines kill."
	}
	if j.Practice {
		b.Mark = "PRACTICE, INVENTED DATA"
	}
	return b
}

// moment writes a time short, without its weekday: "Jun 11 2026, 7:00 am".
func (m *maker) moment(t time.Time) string {
	date := "2 Jan 2006"
	if m.american() {
		date = "Jan 2 2006"
	}
	return t.In(m.zone()).Format(date) + ", " + m.clock(t)
}
