// Package workingtest holds a stage's answer to what every answer owes its reader.
package workingtest

import (
	"strings"
	"testing"

	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// RestsOnSomething fails where a step has no words, no source and no origin, cites a source that is not registered, or comes
// from a step that is neither above it nor another stage's ("stage.step"); and where a check has no words or no source.
func RestsOnSomething(t *testing.T, answer working.Answer) {
	t.Helper()
	above := map[string]bool{}
	for _, s := range answer.Working.Steps {
		if s.Name == "" || s.Says == "" {
			t.Errorf("a step says nothing: %+v", s)
		}
		if s.Source == "" && s.Origin == known.Missing {
			t.Errorf("%s has neither source nor origin", s.Name)
		}
		if _, ok := sources.Find(s.Source); s.Source != "" && !ok {
			t.Errorf("%s cites %q, which is not registered", s.Name, s.Source)
		}
		for _, from := range s.From {
			if !above[from] && !strings.Contains(from, ".") {
				t.Errorf("%s comes from %q, which is not above it", s.Name, from)
			}
		}
		above[s.Name] = true
	}
	for _, c := range answer.Checks {
		if _, ok := sources.Find(c.Source); !ok || c.Says == "" {
			t.Errorf("check %s cites %q and says %q", c.ID, c.Source, c.Says)
		}
	}
}
