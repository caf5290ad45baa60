package frame_test

import (
	"fmt"
	"strings"
	"testing"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/rim/sheets/sheetstest"
	"slabwright/internal/trade/draft"
)

var block = frame.Block{Job: "Boathouse apron", Address: "12 Shore Road", Owner: "A. Crew", Number: "26-014", Revision: "R2",
	Printed: "Wed Jun 10 2026, 12:00", DrawnBy: "A. Crew", Units: "feet and inches", Assumed: 14, Version: "7f3a21"}

func feet(m float64) string {
	return quantity.Show(quantity.Length(m), quantity.AsSide).String(quantity.US)
}

func text(p page.Page) string {
	all := ""
	for _, item := range p.Items {
		if w, ok := item.(page.Words); ok {
			all += w.Says + "|"
		}
	}
	return all
}

func TestEverySheetCarriesWhatItMust(t *testing.T) {
	for _, paper := range page.Papers() {
		for _, system := range []quantity.System{quantity.US, quantity.Metric} {
			var drafts []frame.Draft
			for _, size := range []float64{5, 12, 60} {
				d, err := frame.Drawing(sheetstest.Slab("slab", size, size/2.5, feet), paper, system, layout.North{Shown: true})
				if err != nil {
					t.Fatal(err)
				}
				drafts = append(drafts, d)
			}
			bar := map[quantity.System]string{quantity.US: "this bar is 2 in", quantity.Metric: "this bar is 50 mm"}[system]
			for i, p := range frame.Finish(drafts, block) {
				all := text(p)
				for _, want := range []string{block.Job, block.Address, block.Owner, block.Number, block.Revision, block.Printed, block.DrawnBy,
					block.Units, block.Version, fmt.Sprintf("Sheet %d of 3", i+1), drafts[i].View.Scale.Says, "14|", "Checked by", frame.NotASurvey,
					frame.FiguresGovern, bar, "N|", "slab edge", "saw cut (SAW)"} {
					if !strings.Contains(all, want) {
						t.Errorf("%s %s sheet %d lacks %q", paper.Name, system, i+1, want)
					}
				}
				checkFree(t, fmt.Sprintf("%s %s sheet %d", paper.Name, system, i+1), p)
			}
		}
	}
}

// checkFree holds everything within the margins and lettering off other lettering.
func checkFree(t *testing.T, name string, p page.Page) {
	t.Helper()
	box, extent := p.Paper.Inside().Expand(0.4), page.Extent(p.Items)
	if !box.Contains(extent.Min) || !box.Contains(extent.Max) {
		t.Errorf("%s: drawn over %v, outside %v", name, extent, box)
	}
	var boxes []page.Words
	for _, item := range p.Items {
		if w, ok := item.(page.Words); ok {
			boxes = append(boxes, w)
		}
	}
	for i, a := range boxes {
		for _, b := range boxes[:i] {
			if page.Extent([]page.Item{a}).Expand(-0.1).Overlaps(page.Extent([]page.Item{b}).Expand(-0.1)) {
				t.Errorf("%s: %q and %q overlap", name, a.Says, b.Says)
			}
		}
	}
}

// A long legend and long names never run off the sheet or into each other.
func TestLongNames(t *testing.T) {
	pic := sheetstest.Slab("slab", 12, 4, feet)
	pic.Title = strings.Repeat("A finding that takes many words ", 5)
	pic.Legend = nil
	for _, l := range draft.Layers()[:12] {
		pic.Legend = append(pic.Legend, drawing.LegendRow{Layer: l, Says: l.Says + " with a long explanation"})
	}
	b := block
	b.Job, b.Address, b.Owner = strings.Repeat("Long job name ", 12), strings.Repeat("12 Shore Road ", 12), strings.Repeat("Owner ", 30)
	for _, paper := range page.Papers() {
		d, err := frame.Drawing(pic, paper, quantity.US, layout.North{Shown: true})
		if err != nil {
			t.Fatal(paper.Name, err)
		}
		checkFree(t, paper.Name, frame.Finish([]frame.Draft{d}, b)[0])
	}
}

func TestTextPagesAreNumbered(t *testing.T) {
	pages := frame.Finish([]frame.Draft{{Page: page.Page{Paper: page.A4}}, {Page: page.Page{Paper: page.A4}}}, block)
	if all := text(pages[1]); !strings.Contains(all, "Sheet 2 of 2") || !strings.Contains(all, frame.NotASurvey) || !strings.Contains(all, block.Printed) {
		t.Errorf("second page says %q", all)
	}
}
