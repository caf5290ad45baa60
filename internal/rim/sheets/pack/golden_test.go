package pack_test

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/intake"
)

var update = flag.Bool("update", false, "write the golden text anew")

// The words on the sheets people carry, of the job with three numbers, as another maker's tool reads them: a change shows in
// the diff. Runs of spaces count as one, and the short code of the plan is left out. The lists and calculation sheets are the
// stages' own words and are held there.
func TestGoldenText(t *testing.T) {
	_, files := made(t, threeNumbers(quantity.Feet(40).Metres(), quantity.Feet(14).Metres(), quantity.US))
	golden(t, "three-numbers", worded(t, files, "crew-sheet.pdf", "stake-sheet.pdf", "quote.pdf", "phone-order.pdf", "care-sheet.pdf"))
}

// The same of what the plant brings: the call, the tickets, its card and its cylinders, of the example that has them all.
func TestGoldenTextOfAnOrder(t *testing.T) {
	path := "../../../../examples/cider-mill-pad.yaml"
	src, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	j, _, err := intake.Job(path, src, time.Date(2027, 9, 2, 9, 0, 0, 0, time.UTC))
	if err != nil {
		t.Fatal(err)
	}
	_, files := made(t, j)
	words := worded(t, files, "phone-order.pdf", "ticket-form.pdf")
	for _, page := range text(t, files["sheets.pdf"]) {
		if strings.Contains(page, "What the laboratory found") {
			words += "== sheets.pdf\n" + normal(page)
		}
	}
	if !strings.Contains(words, "A-1226") {
		t.Error("the laboratory's table is on no sheet")
	}
	golden(t, "cider-mill-pad", words)
}

// worded is the words of sheets, page by page.
func worded(t *testing.T, files map[string][]byte, sheets ...string) string {
	t.Helper()
	var b strings.Builder
	for _, name := range sheets {
		for _, page := range text(t, files[name]) {
			b.WriteString("== " + name + "\n" + normal(page))
		}
	}
	return b.String()
}

// golden holds words against those kept.
func golden(t *testing.T, name, words string) {
	t.Helper()
	path := filepath.Join("testdata", name+".golden")
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(words), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	got, want := strings.Split(words, "\n"), strings.Split(string(kept), "\n")
	for i := range max(len(got), len(want)) {
		if at(got, i) != at(want, i) {
			t.Fatalf("%s: line %d is %q, was %q; look at the sheets, then renew with -update", name, i+1, at(got, i), at(want, i))
		}
	}
}

func at(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return ""
}

var (
	spaces = regexp.MustCompile(`[ \t]+`)
	code   = regexp.MustCompile(`(Sheet \d+ of \d+) [0-9a-f]{6}`)
)

// normal is a page's text line by line, without layout.
func normal(page string) string {
	var b strings.Builder
	for line := range strings.Lines(page) {
		if line = strings.TrimSpace(spaces.ReplaceAllString(line, " ")); line != "" {
			b.WriteString(code.ReplaceAllString(line, "$1") + "\n")
		}
	}
	return b.String()
}
