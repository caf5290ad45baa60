package shop

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/order"
)

// TestEverySettableFieldIsOneOfAJob, and each section has some.
func TestEverySettableFieldIsOneOfAJob(t *testing.T) {
	fields := map[string]bool{}
	for _, part := range new(Shop).sections(new(job.Job)) {
		for _, e := range known.Entries(part.of) {
			fields[part.name+"."+e.Field] = true
		}
	}
	for _, s := range settable {
		found := false
		for f := range fields {
			found = found || f == s || strings.HasSuffix(s, ".") && strings.HasPrefix(f, s)
		}
		if !found {
			t.Errorf("no job has %s", s)
		}
	}
	for _, stray := range []string{"price.work", "price.work.area", "order.net", "order.depths", "pour.forecast", "site", "price.units", "joints.pinned"} {
		if Settable(stray) {
			t.Errorf("%s is one job's own", stray)
		}
	}
	for _, part := range []string{"price", "price.materials", "price.business.payments[1].share", "order.haul", "pour.team"} {
		if !Settable(part) {
			t.Errorf("a shop sets %s", part)
		}
	}
}

// TestAPlantIsReadAsTheOrderIs: fields of one name have one unit, one usual range and one way to be shown.
func TestAPlantIsReadAsTheOrderIs(t *testing.T) {
	same := 0
	plant, asked := reflect.TypeFor[Plant](), reflect.TypeFor[order.Input]()
	for i := range plant.NumField() {
		f := plant.Field(i)
		for k := range asked.NumField() {
			o := asked.Field(k)
			if known.FieldName(o) != known.FieldName(f) {
				continue
			}
			same++
			for _, tag := range []string{"unit", "usual", "show"} {
				if f.Tag.Get(tag) != o.Tag.Get(tag) {
					t.Errorf("%s: %s is %q for the plant and %q for the order", f.Name, tag, f.Tag.Get(tag), o.Tag.Get(tag))
				}
			}
		}
	}
	if same < 8 {
		t.Errorf("only %d fields of a plant are the order's", same)
	}
}

// TestTheOnlyPlantAndCrewAreTaken, the ones named where there are several, none where nobody says which.
func TestTheOnlyPlantAndCrewAreTaken(t *testing.T) {
	one := Shop{Crews: []Crew{{Name: known.Say("North"), Foreman: known.Say("Ada")}}, Plants: []Plant{{Name: known.Say("Riverside"), Account: known.Say("4471")}}}
	var j job.Job
	if unlisted := one.Lend(&j); len(unlisted) > 0 || j.Crew != "North" || j.Foreman != "Ada" || j.Order.Account.Value != "4471" || j.Order.Account.Origin != known.Listed {
		t.Errorf("%v: %q %q %+v", unlisted, j.Crew, j.Foreman, j.Order.Account)
	}
	two := Shop{Crews: append(slices.Clone(one.Crews), Crew{Name: known.Say("South")}), Plants: append(slices.Clone(one.Plants), Plant{Name: known.Say("Quarry")})}
	j = job.Job{}
	if unlisted := two.Lend(&j); len(unlisted) > 0 || j.Crew != "" || j.Order.Plant.Given() {
		t.Errorf("%v: one of two was taken: %q %+v", unlisted, j.Crew, j.Order.Plant)
	}
	j = job.Job{Crew: "east"}
	j.Order.Plant = known.Say("harbour")
	if unlisted := two.Lend(&j); len(unlisted) != 2 || j.Crew != "east" {
		t.Errorf("%v", unlisted)
	}
}
