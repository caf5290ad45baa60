package pack

import (
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"slabwright/internal/rim/intake"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/trade/plan"
)

// Of every example job: nothing is drawn off the sheet, no lettering is under 10 pt, and no lettering covers other lettering.
func TestEverySheetIsLegible(t *testing.T) {
	files, err := filepath.Glob("../../../../examples/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no example jobs: %v", err)
	}
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		j, _, err := intake.Job(file, src, time.Date(2026, 6, 10, 17, 0, 0, 0, time.UTC))
		if err != nil {
			t.Fatal(err)
		}
		var planner plan.Planner
		m := newMaker(planner.Make(j), nil, plan.Report.Pictures)
		m.block = m.titleBlock("000000")
		var drafts []frame.Draft
		for _, part := range together(m.sheets()) {
			drafts = append(drafts, part.drafts...)
			if len(part.problems) > 0 {
				t.Errorf("%s: %q", file, part.problems)
			}
		}
		contents, err := m.contents(drafts)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range frame.Finish(append(contents, drafts...), m.block) {
			checkPage(t, filepath.Base(file), p)
		}
	}
}

func checkPage(t *testing.T, file string, p page.Page) {
	box, extent := p.Paper.Printed().Expand(0.5), page.Extent(p.Items)
	if !box.Contains(extent.Min) || !box.Contains(extent.Max) {
		t.Errorf("%s %s: drawn over %v, outside %v", file, p.Name, extent, box)
	}
	var straight []page.Words
	for _, item := range p.Items {
		w, ok := item.(page.Words)
		if !ok {
			continue
		}
		if w.Cap < 2.49 {
			t.Errorf("%s %s: %q is %.2f mm tall", file, p.Name, w.Says, w.Cap)
		}
		if quarter := w.Angle / (math.Pi / 2); math.Abs(quarter-math.Round(quarter)) < 0.03 {
			straight = append(straight, w) // its upright bounds are its own
		}
	}
	for i, a := range straight {
		for _, b := range straight[:i] {
			if page.Extent([]page.Item{a}).Expand(-0.3).Overlaps(page.Extent([]page.Item{b}).Expand(-0.3)) {
				t.Errorf("%s %s: %q and %q overlap", file, p.Name, a.Says, b.Says)
			}
		}
	}
}
