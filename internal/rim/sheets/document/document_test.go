package document_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/rim/sheets/sheetstest"
)

func sheets(t interface{ Fatal(...any) }, d *document.Doc) []page.Page {
	drafts, err := d.Sheets()
	if err != nil {
		t.Fatal(err)
	}
	var out []page.Page
	for _, s := range drafts {
		out = append(out, s.Page)
	}
	return out
}

func text(p page.Page) string {
	var all []string
	for _, item := range p.Items {
		if w, ok := item.(page.Words); ok {
			all = append(all, w.Says)
		}
	}
	return strings.Join(all, " ")
}

func rows(n int, says string) [][]string {
	var out [][]string
	for i := range n {
		out = append(out, []string{fmt.Sprintf("row%03d %s", i, says), "11.25", "yd³"})
	}
	return out
}

// A table over several sheets shows every row once and whole, its head on every sheet, and its total with the row before.
func TestTableOverSheets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 120).Draw(t, "rows")
		says := strings.Repeat("word ", rapid.IntRange(0, 40).Draw(t, "words"))
		d := document.New("t", "T", page.Letter)
		d.Title("Quantities")
		d.Table(document.Table{Header: []string{"HEADITEM", "Amount", "Unit"}, Rows: append(rows(n, says), []string{"TOTALROW", "1", ""}), Right: []int{1}, Total: true})
		pages := sheets(t, d)
		seen := map[string]int{}
		for i, p := range pages {
			all := text(p)
			if strings.Count(all, "HEADITEM") != 1 {
				t.Fatalf("sheet %d has %d heads", i+1, strings.Count(all, "HEADITEM"))
			}
			for r := range n {
				name := fmt.Sprintf("row%03d", r)
				seen[name] += strings.Count(all, name)
			}
			if strings.Contains(all, "TOTALROW") && !strings.Contains(all, fmt.Sprintf("row%03d", n-1)) {
				t.Fatal("the total stands alone")
			}
			checkInside(t, p)
		}
		for name, times := range seen {
			if times != 1 {
				t.Fatalf("%s is there %d times", name, times)
			}
		}
	})
}

// checkInside holds everything within the part of the sheet meant for text.
func checkInside(t interface{ Fatalf(string, ...any) }, p page.Page) {
	box, extent := frame.Body(p.Paper).Expand(0.5), page.Extent(p.Items)
	if !box.Contains(extent.Min) || !box.Contains(extent.Max) {
		t.Fatalf("drawn over %v, outside %v", extent, box)
	}
}

func everything(t *testing.T, paper page.Paper) *document.Doc {
	t.Helper()
	d := document.New("crew", "Crew sheet", paper)
	d.Title("Crew sheet")
	d.Keys(document.Key{Figure: "7:00 am", Says: "Thursday June 11"}, document.Key{Figure: "11 1/4 yd³", Says: "concrete, two trucks"})
	if _, err := d.Figure(sheetstest.Slab("s", 12.192, 4.267, func(m float64) string { return quantity.Show(quantity.Length(m), quantity.AsSide).String(quantity.US) }),
		110, quantity.US, layout.North{Shown: true, Turn: 0.4}); err != nil {
		t.Fatal(err)
	}
	d.Beside(0.55, func(f *document.Flow) {
		f.Heading("Order of work")
		f.Steps("Check the strings.", "Wet the base.", "Pour from the house side out, and do not stop before the cut at 13'-4\".")
	}, func(f *document.Flow) { f.Caution("Take care", "Wet cement burns.", "One spotter.") })
	d.Checklist("811 ticket in hand", "Forms checked against the string at every stake, diagonals agree within 1/8 in")
	d.Body("Body text.")
	d.Strong("Strong text.")
	d.Note("A note.")
	d.Blanks("Ticket number", "Slump")
	d.Sign("Owner", "Date", "Crew leader")
	return d
}

// No lettering of the kit overlaps other lettering or leaves the sheet, and none is smaller than 10 pt.
func TestKitIsLegible(t *testing.T) {
	for _, paper := range page.Papers() {
		for _, p := range sheets(t, everything(t, paper)) {
			checkInside(t, p)
			var boxes []page.Words
			for _, item := range p.Items {
				if w, ok := item.(page.Words); ok {
					if w.Cap < 2.49 {
						t.Errorf("%s: %q is only %.2f mm tall", paper.Name, w.Says, w.Cap)
					}
					boxes = append(boxes, w)
				}
			}
			for i, a := range boxes {
				for _, b := range boxes[:i] {
					if page.Extent([]page.Item{a}).Expand(-0.1).Overlaps(page.Extent([]page.Item{b}).Expand(-0.1)) {
						t.Errorf("%s: %q and %q overlap", paper.Name, a.Says, b.Says)
					}
				}
			}
		}
	}
}

func TestHeadingStaysWithItsText(t *testing.T) {
	for n := range 60 {
		d := document.New("t", "T", page.A4)
		for range n {
			d.Body("line")
		}
		d.Heading("HEADING")
		d.Body("FOLLOWS")
		for _, p := range sheets(t, d) {
			if all := text(p); strings.Contains(all, "HEADING") != strings.Contains(all, "FOLLOWS") {
				t.Fatalf("after %d lines the heading stands alone", n)
			}
		}
	}
}

func TestTooHighIsAnError(t *testing.T) {
	d := document.New("t", "T", page.Letter)
	d.Body(strings.Repeat("word ", 3000))
	if _, err := d.Sheets(); err == nil {
		t.Error("a paragraph higher than the sheet was cut or lost without a word")
	}
}
