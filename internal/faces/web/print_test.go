package web_test

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"slabwright/internal/faces/web"
)

// Every screen printed as it stands: its question, its answer and who governs are on the paper, its buttons are not. The sheets of the
// command line are another matter: the Print button leads to them.
func TestEveryScreenPrints(t *testing.T) {
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("NOT RUN: no pdftotext here; tools/setup installs poppler-utils")
	}
	b := screenOf(t, office(t), 1280, 900)
	b.open("/")
	job := practice(b)
	for _, slug := range web.Slugs() {
		b.open("/jobs/" + job + "/" + slug)
		b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[data-picture]")?.scrollIntoView()`))
		b.until(`[...document.querySelectorAll("[data-picture]")].slice(0, 1).every((f) => f.querySelector("svg"))`)
		title, answer := b.text("h1"), get[string](b, `document.querySelector(".strip .answer .value")?.textContent ?? ""`)
		printed, err := asked(b, func(ctx context.Context) (page.PrintToPDFResult, error) {
			return chromedp.Call(ctx, page.PrintToPDF, page.PrintToPDFParams{})
		})
		if err != nil {
			t.Fatal(err)
		}
		if dir := os.Getenv("PICTURES"); dir != "" {
			if err := os.WriteFile(filepath.Join(dir, "print-"+slug+".pdf"), printed.Data, 0o600); err != nil {
				t.Log(err)
			}
		}
		command := exec.Command(reader, "-raw", "-", "-")
		command.Stdin = strings.NewReader(string(printed.Data))
		text, err := command.Output()
		if err != nil {
			t.Fatal(err)
		}
		paper := strings.Join(strings.Fields(string(text)), " ")
		for _, want := range []string{title, strings.Join(strings.Fields(answer), " "), "Not a survey. Not sealed."} {
			if !strings.Contains(paper, want) {
				t.Errorf("%s printed lacks %q: %.600s", slug, want, paper)
			}
		}
		for _, button := range []string{"Zoom in", "Add a row", "Take out", "Redo", "Skip to the answer"} {
			if strings.Contains(paper, button) {
				t.Errorf("%s printed still offers %q", slug, button)
			}
		}
	}
}
