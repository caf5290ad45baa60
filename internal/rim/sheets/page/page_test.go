package page_test

import (
	"math"
	"strings"
	"testing"

	"slabwright/internal/rim/sheets/page"
)

func TestWordsStandWhereAligned(t *testing.T) {
	w := page.Words{At: page.Point{X: 100, Y: 50}, Says: "99.72", Cap: 3.5}
	for _, c := range []struct {
		align page.Align
		from  float64
	}{{page.Start, 100}, {page.Centre, 100 - w.Width()/2}, {page.End, 100 - w.Width()}} {
		w.Align = c.align
		if got := w.Origin(); math.Abs(got.X-c.from) > 1e-9 || got.Y != 50 {
			t.Errorf("%s: first letter at %v, want x %v", c.align, got, c.from)
		}
	}
	w.Align, w.Angle = page.Start, math.Pi/2
	if box := page.Extent([]page.Item{w}); math.Abs(box.Height()-w.Width()) > 1e-9 || box.Min.X > 100-3.4 {
		t.Errorf("turned words cover %v", box)
	}
}

func TestMoveAndBlack(t *testing.T) {
	items := []page.Item{
		page.Stroke{Ink: page.Ink{Colour: "#D55E00"}, Width: 1, Lines: []page.Line{{Points: []page.Point{{}, {X: 10}}}}},
		page.Area{Ink: page.Ink{Colour: page.White}, Rings: [][]page.Point{{{}, {X: 1}, {Y: 1}}}},
		page.Words{Ink: page.Ink{Colour: "#0072B2"}, Says: "x", Cap: 3},
	}
	moved := page.Move(items, page.Point{X: 5, Y: 7})
	if got := page.Extent(moved[:1]); got.Min != (page.Point{X: 4.5, Y: 6.5}) || got.Max != (page.Point{X: 15.5, Y: 7.5}) {
		t.Errorf("stroke moved to %v", got)
	}
	if got := page.Extent(items[:1]); got.Min.X != -0.5 {
		t.Errorf("moving changed the original: %v", got)
	}
	for i, want := range []string{"", page.White, ""} {
		if got := page.InkOf(page.Black(items)[i]).Colour; got != want {
			t.Errorf("item %d is %q in black and white, want %q", i, got, want)
		}
	}
}

func TestListHasNoNegativeZero(t *testing.T) {
	var b strings.Builder
	p := page.Page{Items: []page.Item{page.Area{Rings: [][]page.Point{{{X: -0.001, Y: -0.0049}}}}}}
	if err := p.List(&b); err != nil || !strings.Contains(b.String(), " 0.00,0.00") {
		t.Errorf("listed as %q (%v)", b.String(), err)
	}
}
