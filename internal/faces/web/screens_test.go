package web

import (
	"slices"
	"strings"
	"testing"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/plan"
)

func TestEveryStageHasItsScreen(t *testing.T) {
	for _, name := range plan.Names() {
		if slug := screenOf(name); slug == "assumed" {
			t.Errorf("no screen shows %s", name)
		}
	}
}

func TestEveryBoxAndColumnIsALineOfTheJobFile(t *testing.T) {
	for _, s := range screens {
		if len(s.Boxes) > 5 {
			t.Errorf("%s asks %d things before its first answer; five at most", s.Title, len(s.Boxes))
		}
		for _, pointer := range slices.Concat(s.Boxes, s.More) {
			if f, ok := fieldAt(pointer, quantity.US); !ok || f.Says == "" {
				t.Errorf("%s asks for %s, which a job does not have", s.Title, pointer)
			}
		}
		for _, l := range s.Lists {
			for _, c := range l.Columns {
				if _, ok := fieldAt(l.Pointer+"/-/"+c, quantity.US); !ok {
					t.Errorf("%s: %s has no %s", s.Title, l.Pointer, c)
				}
			}
			if _, ok := fieldAt(l.Pointer+"/-", quantity.US); !ok && len(l.Columns) == 0 {
				t.Errorf("%s: the entries of %s are not single values", s.Title, l.Pointer)
			}
		}
	}
}

func TestEveryGuessCanBeSet(t *testing.T) {
	for _, name := range plan.Names() {
		stage, _ := plan.Find(name)
		for _, e := range known.Entries(stage.Shape()) {
			pointer := pointerOf(name, e.Field)
			if strings.Contains(e.Field, "[") {
				continue
			}
			if _, ok := fieldAt(pointer, quantity.US); !ok {
				t.Errorf("%s of %s has no line at %s", e.Field, name, pointer)
			}
		}
	}
}

func TestWordsOfTheTradeAreExplainedOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, w := range glossary() {
		if w.Means == "" || seen[w.Word] {
			t.Errorf("%q means %q", w.Word, w.Means)
		}
		seen[w.Word] = true
	}
}
