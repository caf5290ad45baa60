package svg_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/rim/sheets/sheetstest"
	"slabwright/internal/rim/sheets/svg"
)

func written(t *testing.T, p page.Page) string {
	t.Helper()
	var b bytes.Buffer
	if err := svg.Write(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// parsed reads the document as XML and returns its text, the ids seen, and the number of each element.
func parsed(t *testing.T, text string) (words string, ids map[string]int, count map[string]int) {
	t.Helper()
	ids, count = map[string]int{}, map[string]int{}
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return words, ids, count
		}
		if err != nil {
			t.Fatalf("not XML: %v", err)
		}
		switch m := token.(type) {
		case xml.StartElement:
			count[m.Name.Local]++
			for _, a := range m.Attr {
				if a.Name.Local == "id" {
					ids[a.Value]++
				}
			}
		case xml.CharData:
			words += string(m)
		}
	}
}

func TestStandardPictures(t *testing.T) {
	for _, pic := range sheetstest.Pictures() {
		d, err := frame.Drawing(pic, page.Letter, quantity.US, layout.North{Shown: true})
		if err != nil {
			t.Fatal(err)
		}
		p := frame.Finish([]frame.Draft{d}, frame.Block{Job: "Job"})[0]
		words, ids, count := parsed(t, written(t, p))
		for id, n := range ids {
			if n > 1 {
				t.Errorf("%s: id %s is there %d times", pic.Name, id, n)
			}
		}
		if !strings.Contains(words, pic.Title) || !strings.Contains(words, pic.Says) {
			t.Errorf("%s: title or finding is missing", pic.Name)
		}
		strokes := 0
		for _, item := range p.Items {
			if _, ok := item.(page.Words); !ok {
				strokes++
			}
		}
		if count["path"] != strokes {
			t.Errorf("%s: %d paths for %d strokes and areas", pic.Name, count["path"], strokes)
		}
	}
}

func TestSizeOnPaper(t *testing.T) {
	text := written(t, page.Page{Paper: page.A4})
	if !strings.Contains(text, `width="210mm" height="297mm" viewBox="0 0 210 297"`) {
		t.Errorf("head is %q", strings.SplitN(text, "\n", 2)[0])
	}
}

// Nothing a person typed can become markup, an attribute or a colour of the document's own.
func FuzzText(f *testing.F) {
	for _, seed := range []string{`<script>alert(1)</script>`, `" onload="x`, "]]>", "&amp;", "\x00\x0b\xff", "'", "#12345g", "\ufffe"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, says string) {
		ink := page.Ink{Layer: says, Ref: says, Colour: says}
		text := written(t, page.Page{Title: says, Says: says, Paper: page.Letter, Items: []page.Item{
			page.Words{Ink: ink, Says: says, Cap: 3}, page.Stroke{Ink: ink, Lines: []page.Line{{Points: []page.Point{{}, {X: 1}}}}, Width: 1},
			page.Area{Ink: ink, Rings: [][]page.Point{{{}, {X: 1}, {Y: 1}}}}}})
		_, _, count := parsed(t, text)
		if count["script"] > 0 || count["path"] != 2 || count["text"] != 1 {
			t.Fatalf("%q changed the document: %v", says, count)
		}
	})
}

func TestInlineFollowsTheInkAroundIt(t *testing.T) {
	for _, pic := range sheetstest.Pictures() {
		d, err := frame.Drawing(pic, page.Letter, quantity.US, layout.North{Shown: true})
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := svg.Inline(&b, d.Page); err != nil {
			t.Fatal(err)
		}
		_, ids, count := parsed(t, b.String())
		if len(ids) > 0 || count["svg"] != 1 || count["path"] == 0 {
			t.Errorf("%s: %d ids, %v", pic.Name, len(ids), count)
		}
		if strings.Contains(b.String(), `"#000000"`) || !strings.Contains(b.String(), `"currentColor"`) {
			t.Errorf("%s draws in black, not in the ink around it", pic.Name)
		}
	}
}
