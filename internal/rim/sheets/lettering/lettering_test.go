package lettering

import (
	"math"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"pgregory.net/rapid"
)

// Every character the program prints of itself must be in the face: a missing one would be a hole in a drawing.
func TestFaceHoldsTheTradesCharacters(t *testing.T) {
	const needed = "½¼¾⅛⅜⅝⅞″′°²³×±·–—“”‘’…≤≥≈√µÅØøßéñáíóúüÑ¿¡€£¢§□→←↑↓σνπγΔΣ₀₁₂₃¹"
	for _, heavy := range []bool{false, true} {
		for _, r := range needed {
			if _, ok := faceOf(heavy).advances[r]; !ok {
				t.Errorf("the face (bold %v) lacks %q", heavy, r)
			}
		}
	}
}

func TestFaceMeasures(t *testing.T) {
	for _, heavy := range []bool{false, true} {
		f := faceOf(heavy).font
		var b sfnt.Buffer
		m, err := f.Metrics(&b, fixed.I(unitsPerEm), font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		if f.UnitsPerEm() != unitsPerEm || m.CapHeight.Round() != capUnits || m.Descent.Round() != downUnits {
			t.Errorf("bold %v: em %d, caps %d, down %d", heavy, f.UnitsPerEm(), m.CapHeight.Round(), m.Descent.Round())
		}
	}
	if c := CapOf(14); math.Abs(c-3.57) > 0.01 { // body at arm's length: at least 3.5 mm
		t.Errorf("14 pt is %.3f mm tall, want 3.57", c)
	}
	if e := EmOf(CapOf(10)) * PointsPerMM; math.Abs(e-10) > 1e-9 {
		t.Errorf("10 pt came back as %v", e)
	}
}

func TestReadable(t *testing.T) {
	for _, c := range []struct{ in, want, lost string }{
		{`12'-7 3/8"`, `12'-7 3/8"`, ""},
		{"tab\tline\nend", "tab line end", ""},
		{"日本 🚚🚚", "□□ □□", "日本🚚"},
		{"a\x00b\u200bc\u0301", "abc", ""},
		{"bad \xff byte", "bad □ byte", "\uFFFD"},
	} {
		got, lost := Readable(c.in)
		if got != c.want || string(lost) != c.lost {
			t.Errorf("Readable(%q) = %q, lost %q; want %q, %q", c.in, got, string(lost), c.want, c.lost)
		}
	}
}

func TestWrapKeepsWordsAndWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		says := rapid.StringMatching(`([a-zñ½]{1,14} ){0,12}`).Draw(t, "says")
		width := rapid.Float64Range(8, 80).Draw(t, "width")
		lines := Wrap(says, 2.5, false, width)
		if got, want := strings.Join(strings.Fields(strings.Join(lines, "")), ""), strings.Join(strings.Fields(says), ""); got != want {
			t.Fatalf("letters %q, want %q", got, want)
		}
		for _, l := range lines {
			if Width(l, 2.5, false) > width && utf8.RuneCountInString(l) > 1 {
				t.Fatalf("line %q is wider than %v mm", l, width)
			}
		}
	})
	if got := Wrap("one\ntwo", 2.5, false, 100); !slices.Equal(got, []string{"one", "two"}) {
		t.Errorf("written line breaks came back as %q", got)
	}
}

func TestCut(t *testing.T) {
	long := "Concrete, 4,000 psi, three quarter inch stone"
	short := Cut(long, 2.5, false, 40)
	if !strings.HasSuffix(short, "…") || Width(short, 2.5, false) > 40 {
		t.Errorf("cut to %q", short)
	}
	if Cut("short", 2.5, false, 40) != "short" {
		t.Error("cut what fitted")
	}
}

type counter struct{ moves, curves, closes int }

func (c *counter) MoveTo(_, _ float64)             { c.moves++ }
func (c *counter) LineTo(_, _ float64)             {}
func (c *counter) QuadTo(_, _, _, _ float64)       { c.curves++ }
func (c *counter) CubeTo(_, _, _, _, _, _ float64) { c.curves++ }
func (c *counter) Close()                          { c.closes++ }

func TestTraceClosesEveryOutline(t *testing.T) {
	var c counter
	Trace(&c, "B8 o", 3.5, false) // three outlines, three outlines, none, two
	if c.moves != 8 || c.closes != 8 || c.curves == 0 {
		t.Errorf("%d outlines, %d closed, %d curves; want 8, 8 and some", c.moves, c.closes, c.curves)
	}
}
