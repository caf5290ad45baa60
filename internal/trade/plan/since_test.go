package plan

import (
	"slices"
	"strings"
	"testing"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
)

// ringed are what the clouds of a plan's joint plan stand round.
func ringed(t *testing.T, p Plan) []string {
	t.Helper()
	r, _ := p.Of("joints")
	for _, pic := range r.Pictures() {
		if pic.Name != "joint-plan" {
			continue
		}
		var out []string
		for _, m := range pic.Marks {
			if path, ok := m.(drawing.Path); ok && path.Layer.Name == draft.Revised.Name {
				out = append(out, strings.TrimPrefix(path.Ref, "changed: "))
			}
		}
		return out
	}
	t.Fatal("no joint plan")
	return nil
}

func printed(length, thickness float64, revision string) Plan {
	planner := Planner{}
	j := job.Job{Length: known.Say(quantity.Feet(length)), Width: known.Say(quantity.Feet(14)), Thickness: known.Say(quantity.Inches(thickness)), Revision: revision}
	if err := j.Settle(); err != nil {
		panic(err)
	}
	return planner.Make(j)
}

func TestWhatChangedIsRingedAndListed(t *testing.T) {
	old := printed(40, 4, "R2")
	if same := printed(40, 4, "R3").Since(old); len(same.Changes) != 0 || len(ringed(t, same)) != 0 || same.Replaces != "R2" {
		t.Errorf("the same job: %v, ringed %v", same.Changes, ringed(t, same))
	}
	now := printed(42, 6, "R3").Since(old)
	rings := ringed(t, now)
	for _, want := range []string{"corner B", "corner C"} {
		if !slices.Contains(rings, want) {
			t.Errorf("%s is not ringed, of %v", want, rings)
		}
	}
	if slices.Contains(rings, "corner A") {
		t.Errorf("corner A stayed and is ringed: %v", rings)
	}
	if !slices.ContainsFunc(rings, func(s string) bool { return strings.Contains(s, "thick") }) {
		t.Errorf("the thickness is not ringed, of %v", rings)
	}
	i := slices.IndexFunc(now.Changes, func(c Change) bool { return c.Stage == "slab" && c.Name == "thickness" })
	if i < 0 || now.Changes[i].Was.String(quantity.US) != "4 in" || now.Changes[i].Now.String(quantity.US) != "6 in" {
		t.Errorf("changes %+v", now.Changes)
	}
	if hidden := now.Unpriced(); slices.ContainsFunc(hidden.Changes, func(c Change) bool { return c.Stage == "price" }) || len(ringed(t, hidden)) != len(rings) {
		t.Errorf("without prices %d rings, %+v", len(ringed(t, hidden)), hidden.Changes)
	}
	if len(ringed(t, old)) != 0 {
		t.Error("the earlier plan is ringed")
	}
}
