package pdf_test

import (
	"bytes"
	"image"
	_ "image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/rim/sheets/pdf"
	"slabwright/internal/rim/sheets/sheetstest"
)

var about = pdf.About{Title: "Standard pictures", Author: "A. Crew", AsOf: time.Date(2026, 6, 10, 12, 0, 0, 0, time.UTC)}

var block = frame.Block{Job: "Boathouse apron", Address: "12 Shore Road", Owner: "A. Crew", Number: "26-014", Revision: "R2",
	Printed: "Wed Jun 10 2026, 12:00", DrawnBy: "A. Crew", Units: "feet and inches", Assumed: 14, Version: "7f3a21"}

func sheets(t *testing.T, paper page.Paper, system quantity.System) []page.Page {
	t.Helper()
	var drafts []frame.Draft
	for _, pic := range sheetstest.Pictures() {
		d, err := frame.Drawing(pic, paper, system, layout.North{Shown: true})
		if err != nil {
			t.Fatal(err)
		}
		drafts = append(drafts, d)
	}
	return frame.Finish(drafts, block)
}

func written(t *testing.T, pages []page.Page) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := pdf.Write(&b, about, pages); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func saved(t *testing.T, pages []page.Page) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "sheets.pdf")
	if err := os.WriteFile(path, written(t, pages), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// run runs a tool of another maker on the file, or skips when it is not there.
func run(t *testing.T, tool string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil {
		t.Skipf("no %s to check the file with", tool)
	}
	out, err := exec.Command(tool, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", tool, err, out)
	}
	return string(out)
}

func TestWellFormed(t *testing.T) {
	path := saved(t, sheets(t, page.Letter, quantity.US))
	if out := run(t, "qpdf", "--check", path); strings.Contains(out, "WARNING") || !strings.Contains(out, "No syntax or stream encoding errors") {
		t.Errorf("qpdf says\n%s", out)
	}
}

func TestFontsEmbedded(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(run(t, "pdffonts", saved(t, sheets(t, page.A4, quantity.Metric)))), "\n")
	if len(lines) != 4 { // two lines of head, two faces
		t.Errorf("fonts: %q", lines)
	}
	for _, l := range lines[2:] {
		if fields := strings.Fields(l); fields[4] != "yes" || fields[6] != "yes" {
			t.Errorf("font not embedded or without its characters' names: %q", l)
		}
	}
}

// CON-07: text stays text.
func TestTextStaysText(t *testing.T) {
	out := run(t, "pdftotext", "-layout", saved(t, sheets(t, page.Letter, quantity.US)), "-")
	for _, want := range []string{`12'-7 3/8" ½ ¼ ¾ ″ ′ ° ² ³ × ±`, "HOLD 99.72", "Grüße, señor €", "Sheet 3 of 6", frame.NotASurvey, frame.FiguresGovern, "Figured dimensions"} {
		if !strings.Contains(out, want) {
			t.Errorf("text %q is not in the file", want)
		}
	}
}

// CON-07: scale true within 0.5 %, by counting pixels at 300 dots per inch. The slab of the first picture is 6 m by 4 m with
// a pen of 0.6 mm; the tolerance is 0.5 % and one pixel of either edge.
func TestTrueScale(t *testing.T) {
	for _, c := range []struct {
		paper  page.Paper
		system quantity.System
	}{{page.Letter, quantity.US}, {page.Tabloid, quantity.US}, {page.A4, quantity.Metric}, {page.A3, quantity.Metric}} {
		d, err := frame.Drawing(sheetstest.Hole(), c.paper, c.system, layout.North{Shown: true})
		if err != nil {
			t.Fatal(err)
		}
		path := saved(t, frame.Finish([]frame.Draft{d}, block))
		stem := filepath.Join(t.TempDir(), "p")
		run(t, "pdftoppm", "-r", "300", "-gray", "-png", path, stem)
		files, _ := filepath.Glob(stem + "*.png")
		img := load(t, files[0])
		ratio := d.View.Scale.Ratio
		wide, high := solid(img)
		for _, m := range []struct{ pixels, metres float64 }{{wide, 6}, {high, 4}} {
			want := (m.metres*1000/ratio + 0.6) / 25.4 * 300
			if math.Abs(m.pixels-want) > 0.005*want {
				t.Errorf("%s at %s: %.0f m is %.0f pixels, want %.1f", c.paper.Name, d.View.Scale.Says, m.metres, m.pixels, want)
			}
		}
	}
}

func load(t *testing.T, path string) image.Image {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, _, err := image.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// solid is the width and height, pixels, of the largest black field: its longest dark row and column.
func solid(img image.Image) (wide, high float64) {
	b := img.Bounds()
	dark := func(x, y int) bool { r, _, _, _ := img.At(x, y).RGBA(); return r < 0x8000 }
	column := 0
	for y := b.Min.Y; y < b.Max.Y*6/10; y++ {
		run := 0
		for x := b.Min.X; x < b.Max.X; x++ {
			if run++; !dark(x, y) {
				run = 0
			}
			if float64(run) > wide {
				wide, column = float64(run), x
			}
		}
	}
	run := 0
	for y := b.Min.Y; y < b.Max.Y; y++ {
		if run++; !dark(column-20, y) {
			run = 0
		}
		high = max(high, float64(run))
	}
	return wide, high
}

func TestSameBytes(t *testing.T) {
	pages := sheets(t, page.Letter, quantity.US)
	if !bytes.Equal(written(t, pages), written(t, pages)) {
		t.Error("two writes of the same pages differ")
	}
}

func TestNoPages(t *testing.T) {
	var b bytes.Buffer
	if err := pdf.Write(&b, about, nil); err == nil || b.Len() > 0 {
		t.Errorf("wrote %d bytes of nothing, error %v", b.Len(), err)
	}
}

// FuzzText lets any text through every place text can stand: the library behind must never panic, and never fail.
func FuzzText(f *testing.F) {
	for _, seed := range []string{"", `12'-7 3/8"`, "½ ″ ≤", "🚚 𝟙", "\x00\xff\xfe", "日本語", "a\u0301\u200d\u202e", "\ufeff\ufffe\uffff", "((\\)"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, says string) {
		p := page.Page{Name: says, Title: says, Says: says, Paper: page.Letter, Items: []page.Item{
			page.Words{At: page.Point{X: 20, Y: 20}, Says: says, Cap: 3.5, Align: page.Centre, Angle: 0.3, Ink: page.Ink{Colour: says, Layer: says}},
			page.Words{At: page.Point{X: 20, Y: 40}, Says: says, Cap: 3.5, Bold: true, Align: page.End},
		}}
		var b bytes.Buffer
		if err := pdf.Write(&b, pdf.About{Title: says, Author: says}, []page.Page{p}); err != nil {
			t.Fatalf("%q: %v", says, err)
		}
	})
}
