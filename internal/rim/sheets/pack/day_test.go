package pack_test

import (
	"strings"
	"testing"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/plan"
)

// dayOf plans jobs of one day.
func dayOf(t *testing.T, jobs ...job.Job) []plan.Plan {
	t.Helper()
	var plans []plan.Plan
	for _, j := range jobs {
		if err := j.Settle(); err != nil {
			t.Fatal(err)
		}
		var planner plan.Planner
		plans = append(plans, planner.Make(j))
	}
	return plans
}

// TestADayIsOrderedByCrewAndNumberedThrough: the cover says on which sheets each job stands, and there it stands; every sheet of a
// job carries its print; each crew has its own file too.
func TestADayIsOrderedByCrewAndNumberedThrough(t *testing.T) {
	day := quantity.Date{Year: 2026, Month: 6, Day: 11}
	south, north, nobody := practice(), practice(), practice()
	south.Crew, south.Name, south.Revision = "South", "Cider press pad", "R7"
	north.Crew, north.Name, north.Foreman = "North", "Boathouse apron", "A. Foreman"
	nobody.Name = "Chapel walk"
	north.Start, south.Start = known.Say(quantity.Clock(9*60)), known.Say(quantity.Clock(7*60))
	out, err := pack.Day(day, dayOf(t, nobody, south, north), "crew-sheet", "stake-sheet")
	if err != nil || len(out.Problems) > 0 {
		t.Fatal(err, out.Problems)
	}
	var names []string
	for _, f := range out.Files {
		names = append(names, f.Name)
	}
	want := "2026-06-11-all-sheets.pdf 2026-06-11-crew-1-north.pdf 2026-06-11-crew-2-south.pdf 2026-06-11-crew-3-no-crew-named.pdf"
	if strings.Join(names, " ") != want {
		t.Errorf("files %v", names)
	}
	pages := text(t, out.Files[0].Data)
	if !strings.Contains(pages[0], "Pours of Thursday, June 11, 2026") {
		t.Error("the cover does not say the day")
	}
	rest := strings.Join(strings.Fields(pages[0]), " ")
	for _, name := range []string{"Boathouse apron", "Cider press pad", "R7", "Chapel walk"} {
		_, after, ok := strings.Cut(rest, name)
		if !ok {
			t.Errorf("%q does not stand in its place on the cover:\n%s", name, pages[0])
			break
		}
		rest = after
	}
	order := []string{"", "Boathouse", "Boathouse", "Cider", "Cider", "Chapel", "Chapel"}
	for i, title := range order {
		if i >= len(pages) || !strings.Contains(pages[i], title) {
			t.Fatalf("sheet %d is not of %s (%d sheets)", i+1, title, len(pages))
		}
	}
	if len(pages) != len(order) {
		t.Errorf("%d sheets", len(pages))
	}
}

func TestADayWithoutJobsOrWithAnUnknownSheetIsRefused(t *testing.T) {
	day := quantity.Date{Year: 2026, Month: 6, Day: 11}
	if _, err := pack.Day(day, nil); err == nil {
		t.Error("no job gave sheets")
	}
	if _, err := pack.Day(day, dayOf(t, practice()), "crew-sheat"); err == nil || !strings.Contains(err.Error(), "crew-sheet") {
		t.Errorf("an unknown sheet: %v", err)
	}
}

// TestAJobThatCannotBePlannedIsNamed: the others' sheets come out, and the cover says what is missing.
func TestAJobThatCannotBePlannedIsNamed(t *testing.T) {
	broken := practice()
	broken.Name, broken.Length = "No length", known.Length{}
	out, err := pack.Day(quantity.Date{Year: 2026, Month: 6, Day: 11}, dayOf(t, practice(), broken), "crew-sheet")
	if err != nil {
		t.Fatal(err)
	}
	if len(out.Problems) != 1 || !strings.Contains(out.Problems[0], "No length") {
		t.Errorf("problems %q", out.Problems)
	}
	if cover := text(t, out.Files[0].Data)[0]; !strings.Contains(cover, "Not in here") || !strings.Contains(cover, "No length") {
		t.Errorf("the cover hides it:\n%s", cover)
	}
}
