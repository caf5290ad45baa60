package pack_test

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"slabwright/internal/rim/sheets/pack"
)

// TestTheWholeJobInOneFile: one page that needs nothing beside it, with every question, every drawing and every guess.
func TestTheWholeJobInOneFile(t *testing.T) {
	j := practice()
	j.Name = "Apron <b>&\"quoted\"</b>"
	p, files := made(t, j)
	text := files["whole-job.html"]
	for _, outside := range []string{"src=", "href=", "@import", "<script", "url("} {
		if bytes.Contains(text, []byte(outside)) {
			t.Errorf("it asks for something outside: %s", outside)
		}
	}
	root, err := html.Parse(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	count, words := map[string]int{}, ""
	for n := range root.Descendants() {
		if n.Type == html.ElementNode {
			count[n.Data]++
		} else if n.Type == html.TextNode {
			words += n.Data + "\n"
		}
	}
	drawings := 0
	for _, r := range p.Stages {
		drawings += len(r.Pictures())
		if !strings.Contains(words, r.Question) {
			t.Errorf("it does not ask %q", r.Question)
		}
	}
	if count["b"] > 0 || count["svg"] < drawings-1 || count["figure"] != count["svg"] {
		t.Errorf("%d svg of %d drawings, %d figures, %d b", count["svg"], drawings, count["figure"], count["b"])
	}
	for _, g := range p.Guesses() {
		if !strings.Contains(words, g.Says) {
			t.Errorf("the guess %q is missing", g.Says)
		}
	}
	if ids := regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(string(text), -1); len(ids) > 0 {
		t.Errorf("ids may stand twice: %v", ids[0])
	}
}

// TestNamesAreTheFilesMade: the list of a pack's files is the pack.
func TestNamesAreTheFilesMade(t *testing.T) {
	p, files := made(t, practice())
	named := map[string]bool{}
	for _, name := range pack.Names(p) {
		named[name] = true
		if files[name] == nil {
			t.Errorf("%s is named and not made", name)
		}
	}
	for name := range files {
		if !named[name] {
			t.Errorf("%s is made and not named", name)
		}
	}
}
