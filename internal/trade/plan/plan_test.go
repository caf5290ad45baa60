package plan

import (
	"encoding/json"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/proof"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// asOf is the day the test plans are made.
var asOf = time.Date(2027, 6, 1, 9, 0, 0, 0, time.UTC)

func threeNumbers(t testing.TB) job.Job {
	t.Helper()
	j := job.Job{AsOf: asOf, Length: known.Say(quantity.Feet(40)), Width: known.Say(quantity.Feet(14)), Thickness: known.Say(quantity.Inches(6))}
	if err := j.Settle(); err != nil {
		t.Fatal(err)
	}
	return j
}

func made(t testing.TB, j job.Job) Plan {
	t.Helper()
	var planner Planner
	return planner.Make(j)
}

func TestThreeNumbersAnswerEveryQuestion(t *testing.T) {
	p := made(t, threeNumbers(t))
	if lacks := p.Unanswered(); len(lacks) > 0 {
		t.Fatalf("not answered: %s", strings.Join(lacks, "; "))
	}
	if got, want := p.SizeLine(), "11 1/4 yd3 to order (10.37 neat + 7 % assumed)"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if p.Trust() != Rough {
		t.Errorf("three numbers are called %s", p.Trust())
	}
}

func TestUseAndTwoNumbersAreEnough(t *testing.T) {
	j := job.Job{AsOf: asOf, Length: known.Say(quantity.Feet(40)), Width: known.Say(quantity.Feet(14)), Use: known.Say("travel trailer")}
	if err := j.Settle(); err != nil {
		t.Fatal(err)
	}
	p := made(t, j)
	if lacks := p.Unanswered(); len(lacks) > 0 {
		t.Fatalf("not answered: %s", strings.Join(lacks, "; "))
	}
	if s, _ := p.Figure("slab.thickness"); s.Value.SI < quantity.Inches(4).Metres() {
		t.Errorf("thickness %v", s.Value.SI)
	}
}

// TestEveryStepRestsOnSomething: each step names its source or its origin, each From a step that exists, each check a source.
func TestEveryStepRestsOnSomething(t *testing.T) {
	small := threeNumbers(t)
	small.Site.Length, small.Site.Width = known.Say(quantity.Feet(11)), known.Say(quantity.Feet(9))
	var planner Planner
	p := planner.Make(small, "hold", "backing")
	for _, r := range p.Stages {
		seen := map[string]bool{}
		for _, s := range r.Working.Steps {
			full := r.Name + "." + s.Name
			if s.Name == "" || s.Says == "" {
				t.Errorf("%s says nothing: %+v", r.Name, s)
			}
			if s.Source == "" && s.Origin == known.Missing {
				t.Errorf("%s has neither source nor origin", full)
			}
			if _, ok := sources.Find(s.Source); s.Source != "" && !ok {
				t.Errorf("%s cites %q, which is not registered", full, s.Source)
			}
			checkFrom(t, p, full, s, seen)
			seen[s.Name] = true
		}
		for _, c := range r.Checks {
			if _, ok := sources.Find(c.Source); !ok {
				t.Errorf("check %s cites %q, which is not registered", c.ID, c.Source)
			}
			if c.Says == "" || !strings.HasPrefix(string(c.ID), r.Name+".") {
				t.Errorf("check %s of %s says %q", c.ID, r.Name, c.Says)
			}
		}
	}
}

func checkFrom(t *testing.T, p Plan, full string, s working.Step, seen map[string]bool) {
	t.Helper()
	for _, from := range s.From {
		if _, ok := p.Figure(from); !ok && !seen[from] {
			t.Errorf("%s comes from %q, which is no earlier step", full, from)
		}
	}
}

func TestEveryGuessSaysWhy(t *testing.T) {
	for _, g := range made(t, threeNumbers(t)).Guesses() {
		if g.Reason == "" || g.Source == "" {
			t.Errorf("%s.%s is assumed without reason or source", g.Stage, g.Field)
		}
	}
}

func TestSameInputSameOutput(t *testing.T) {
	one, err := json.Marshal(made(t, threeNumbers(t)).View())
	if err != nil {
		t.Fatal(err)
	}
	two, _ := json.Marshal(made(t, threeNumbers(t)).View())
	if string(one) != string(two) {
		t.Error("two plans of one job differ")
	}
}

func TestALackStopsOnlyWhatStandsOnIt(t *testing.T) {
	j := threeNumbers(t)
	j.Site.Width = known.Length{}
	p := made(t, j)
	if r, _ := p.Of("site"); len(r.Faults()) == 0 {
		t.Error("site answered without a width")
	}
	if r, _ := p.Of("mix"); !r.Answered() {
		t.Errorf("mix waits for %v: %v", r.Waits, r.Fault)
	}
	if r, _ := p.Of("grade"); r.Answered() || r.Waits[0] != "site" {
		t.Errorf("grade waits for %v", r.Waits)
	}
}

func TestOnlyWhatChangedIsComputedAgain(t *testing.T) {
	var planner Planner
	j := threeNumbers(t)
	planner.Make(j)
	before := len(planner.recent.now)
	planner.Make(j)
	if len(planner.recent.now) != before {
		t.Errorf("an equal job added %d answers", len(planner.recent.now)-before)
	}
	j.Price.Labour.Wage = known.Say(quantity.Of[quantity.MoneyRate](40, "$/h"))
	planner.Make(j)
	if added := len(planner.recent.now) - before; added != 1 {
		t.Errorf("a new wage added %d answers", added)
	}
}

func TestWhyFindsStagesFiguresAndBareNames(t *testing.T) {
	p := made(t, threeNumbers(t))
	for _, what := range []string{"order", "order.yards", "yards", "Slab.Thickness"} {
		if _, steps, err := p.Why(what); err != nil || len(steps) < 2 {
			t.Errorf("%s: %d steps, %v", what, len(steps), err)
		}
	}
	if _, _, err := p.Why("moonlight"); err == nil || !strings.Contains(err.Error(), "order.yards") {
		t.Errorf("unknown name gives %v", err)
	}
	r, steps, _ := p.Why("order.yards")
	deep := p.Deep(r, steps)
	if len(deep) <= len(steps) || !strings.HasPrefix(deep[0].Name, "site.") && !strings.Contains(deep[0].Name, ".") {
		t.Errorf("deep working has %d steps, plain %d", len(deep), len(steps))
	}
}

func TestNothingLooksGoodUncomputed(t *testing.T) {
	var c check.Check
	if c.Level != check.NotComputed {
		t.Error("the zero check looks computed")
	}
	if r, _ := made(t, threeNumbers(t)).Of("pour"); check.Worst(r.Checks) == check.Good {
		t.Error("a day without a forecast looks good")
	}
}

// TestAllCheckRowsPass runs every package's rows as verify does.
func TestAllCheckRowsPass(t *testing.T) {
	report, err := proof.Own(Rooms())
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range report.Groups {
		for _, o := range g.Outcomes {
			if !o.Pass && o.Disputed == "" {
				t.Errorf("%s %s: expected %s, got %s: %s", g.Name, o.ID, o.Expect, o.Got, o.Failed)
			}
		}
	}
	t.Logf("ran %d of %d, %d disputed", report.Ran, report.Ran, report.Disputed)
}

// TestTheMapShowsTheTable compares the stage table of ARCHITECTURE.md with the code's.
func TestTheMapShowsTheTable(t *testing.T) {
	text, err := os.ReadFile("../../../ARCHITECTURE.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range Stages() {
		row := "| " + s.Name + " | " + s.Question + " | " + strings.Join(s.Needs, ", ") + " |"
		if !strings.Contains(string(text), strings.ReplaceAll(row, "|  |", "| |")) {
			t.Errorf("the map lacks %q", row)
		}
	}
}

func BenchmarkPlan(b *testing.B) {
	j := threeNumbers(b)
	for b.Loop() {
		made(b, j)
	}
}

func BenchmarkReplanAfterOneEdit(b *testing.B) {
	j := threeNumbers(b)
	var planner Planner
	planner.Make(j)
	wage := 30.0
	for b.Loop() {
		wage += 0.001
		j.Price.Labour.Wage = known.Say(quantity.Of[quantity.MoneyRate](wage, "$/h"))
		planner.Make(j)
	}
}

func BenchmarkMovers(b *testing.B) {
	p := made(b, threeNumbers(b))
	for b.Loop() {
		if _, err := p.rank(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}

func TestAPlannerForgetsWhatNobodyAsksForAgain(t *testing.T) {
	var s shelf
	for i := range 10 {
		s.put([32]byte{byte(i)}, Report{Name: "x"}, 4)
		if _, ok := s.find([32]byte{0}, 4); !ok {
			t.Fatalf("what is asked for all the time was forgotten after %d answers", i)
		}
	}
	if len(s.now)+len(s.before) > 8 {
		t.Errorf("keeps %d answers", len(s.now)+len(s.before))
	}
	if _, ok := s.find([32]byte{1}, 4); ok {
		t.Error("an old answer nobody asked for is still kept")
	}
}

func TestOnePlannerServesSeveralAtOnce(t *testing.T) {
	var planner Planner
	j := threeNumbers(t)
	want := planner.Make(j).SizeLine()
	var wait sync.WaitGroup
	for i := range 8 {
		wait.Go(func() {
			mine := j
			mine.Price.Labour.Wage = known.Say(quantity.Of[quantity.MoneyRate](float64(40+i), "$/h"))
			if got := planner.Make(mine).SizeLine(); got != want {
				t.Errorf("%d: %s, want %s", i, got, want)
			}
		})
	}
	wait.Wait()
}
