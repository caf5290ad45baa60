package plan

import (
	"context"
	"encoding/json"
	"errors"
	"reflect"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/backing"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/working"
)

// shared is a Memory in a map.
type shared map[string][]byte

func (s shared) Recall(key string) ([]byte, bool) {
	text, ok := s[key]
	return text, ok
}

// keep writes what a plan's deep stages answered.
func (s shared) keep(t *testing.T, p Plan, names ...string) {
	for _, name := range names {
		r, _ := p.Of(name)
		text, err := r.Write()
		if err != nil {
			t.Fatal(err)
		}
		s[p.Key(name)] = text
	}
}

// shown is all that people and scripts see of a stage.
func shown(t *testing.T, p Plan, name string) string {
	r, _ := p.Of(name)
	text, err := json.Marshal(r.View(p.Job.Units))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestDeepAnswersWrittenAndReadBackGiveTheSamePlanToTheBit(t *testing.T) {
	for _, j := range deepJobs(t) {
		var worker Planner
		worked := worker.Work(context.Background(), j, Names()...)
		memory := shared{}
		memory.keep(t, worked, "hold", "backing")
		other := Planner{Memory: memory}
		recalled := other.Kept(j, Names()...)
		for _, name := range []string{"hold", "backing"} {
			was, _ := worked.Of(name)
			now, _ := recalled.Of(name)
			if !now.Answered() || len(was.Pictures()) != len(now.Pictures()) {
				t.Fatalf("%s was not recalled: %v", name, recalled.Unanswered())
			}
			for i, picture := range was.Pictures() {
				if !reflect.DeepEqual(picture, now.Pictures()[i]) {
					t.Fatalf("%s: picture %s differs", name, picture.Name)
				}
			}
			if a, b := shown(t, worked, name), shown(t, recalled, name); a != b {
				t.Fatalf("%s differs from byte %d on", name, differsAt(a, b))
			}
		}
	}
}

func differsAt(a, b string) int {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return i
		}
	}
	return min(len(a), len(b))
}

func TestRankingWrittenAndReadBackIsTheSame(t *testing.T) {
	for _, j := range deepJobs(t) {
		var first, second Planner
		worked := first.Make(j)
		text, err := WriteMovers(worked.Movers())
		if err != nil {
			t.Fatal(err)
		}
		j.AsOf = j.AsOf.Add(15 * time.Minute)
		later := second.Make(j)
		if later.RankingKey() == "" || later.RankingKey() != worked.RankingKey() {
			t.Fatal("a quarter of an hour changes what the ranking depends on")
		}
		movers, err := later.ReadMovers(text)
		if err != nil || !reflect.DeepEqual(movers, worked.Movers()) {
			t.Fatalf("the ranking differs: %v", err)
		}
		if !reflect.DeepEqual(later.Movers(), movers) {
			t.Fatal("the plan ranks again")
		}
	}
}

func TestAnotherInputHasAnotherKey(t *testing.T) {
	j := deepJobs(t)[0]
	var planner Planner
	thick := planner.Kept(j, Names()...)
	j.Hold.Tolerance.Value *= 2
	j.Hold.Tolerance.Origin = "said"
	thin := planner.Kept(j, Names()...)
	if thick.Key("hold") == "" || thick.Key("hold") == thin.Key("hold") || thick.Key("backing") != thin.Key("backing") || thick.RankingKey() != thin.RankingKey() {
		t.Error("keys do not follow the inputs")
	}
}

func TestLongWorkStopsAtItsNextStep(t *testing.T) {
	j := deepJobs(t)[0]
	for _, question := range []string{"hold", "backing", "assumed"} {
		ctx, cancel := context.WithCancel(context.Background())
		var once sync.Once
		ctx = working.WithProgress(ctx, func(float64) { once.Do(cancel) }) // stopped when it first tells how far it is
		var planner Planner
		if question == "assumed" {
			if movers, err := planner.Make(j).Rank(ctx); !errors.Is(err, context.Canceled) || movers != nil {
				t.Errorf("the ranking went on: %v", err)
			}
			continue
		}
		p := planner.Work(ctx, j, question)
		if r, _ := p.Of(question); !errors.Is(r.Fault, context.Canceled) {
			t.Errorf("%s went on: %v", question, r.Fault)
		}
	}
}

// deepJobs are jobs of random size, thickness and loads with a street to come from; few, as each takes seconds.
func deepJobs(t *testing.T) []job.Job {
	one := rapid.Custom(func(t *rapid.T) job.Job {
		long, wide := rapid.Float64Range(4, 6).Draw(t, "long"), rapid.Float64Range(3, 4).Draw(t, "wide")
		j := job.Job{AsOf: asOf, Length: known.Say(quantity.Metres(long)), Width: known.Say(quantity.Metres(wide)), Thickness: known.Say(quantity.Inches(float64(rapid.IntRange(4, 7).Draw(t, "thick"))))}
		j.Units = rapid.SampledFrom([]quantity.System{quantity.US, quantity.Metric}).Draw(t, "units")
		j.Backing.Drives = known.Say(quantity.Number(20))
		j.Backing.WhatIf = known.Say(false) // what would make it easier takes most of the time
		away := rapid.Float64Range(4, 9).Draw(t, "away")
		j.Backing.Vehicle = known.Say(rapid.SampledFrom([]backing.Kind{"travel trailer", "boat trailer"}).Draw(t, "vehicle"))
		j.Backing.Street.Line = []backing.Spot{{X: known.Say(quantity.Length(-25)), Y: known.Say(quantity.Length(-away))}, {X: known.Say(quantity.Length(40)), Y: known.Say(quantity.Length(-away))}}
		return j
	})
	var out []job.Job
	for seed := range 2 {
		j := one.Example(seed)
		if err := j.Settle(); err != nil {
			t.Fatal(err)
		}
		out = append(out, j)
	}
	return out
}
