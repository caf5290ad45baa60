package pack_test

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"slabwright/internal/engines/quantity"
)

var update = flag.Bool("update", false, "write the golden text anew")

// The words on the sheets people carry, of the job with three numbers, as another maker's tool reads them: a change shows in
// the diff. Runs of spaces count as one, and the short code of the plan is left out. The lists and calculation sheets are the
// stages' own words and are held there.
func TestGoldenText(t *testing.T) {
	_, files := made(t, threeNumbers(quantity.Feet(40).Metres(), quantity.Feet(14).Metres(), quantity.US))
	var b strings.Builder
	for _, name := range []string{"crew-sheet.pdf", "stake-sheet.pdf", "quote.pdf", "phone-order.pdf", "care-sheet.pdf"} {
		for _, page := range text(t, files[name]) {
			b.WriteString("== " + name + "\n" + normal(page))
		}
	}
	path := filepath.Join("testdata", "three-numbers.golden")
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	golden, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	got, want := strings.Split(b.String(), "\n"), strings.Split(string(golden), "\n")
	for i := range max(len(got), len(want)) {
		if at(got, i) != at(want, i) {
			t.Fatalf("line %d is %q, was %q; look at the sheets, then renew with -update", i+1, at(got, i), at(want, i))
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
