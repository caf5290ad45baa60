package api

import (
	"testing"

	"slabwright/internal/rim/store"
)

func TestEveryRouteHasItsRole(t *testing.T) {
	named := map[string]bool{}
	for _, r := range (&Server{}).routes() {
		named[r.name] = true
		if least, ok := rights[r.name]; !ok || !least.AtLeast(store.Crew) {
			t.Errorf("nobody said who may use %s (%s %s): name it in rights, viewer.go", r.name, r.method, r.path)
		}
	}
	for name := range rights {
		if !named[name] {
			t.Errorf("rights names %s, which is no route", name)
		}
	}
	for name := range audited {
		if !named[name] {
			t.Errorf("audited names %s, which is no route", name)
		}
	}
}
