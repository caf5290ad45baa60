package works

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"slabwright/internal/rim/store"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/plan"
)

// question is a kind of long work.
type question struct {
	says   string
	ofShop bool          // about all jobs, not one
	keeps  time.Duration // what it finds
	stages []string      // whose inputs it is asked with
	key    func(context.Context, *Works, *kept) (string, error)
	do     func(context.Context, *Works, kept) (finding, error)
}

// place is where the question stands in the queue.
func (q question) place() int {
	if q.keeps == weekLong {
		return fetchedLater
	}
	return lookedAt
}

// kept is a question with what it is asked with, all read.
type kept struct {
	key      string
	revision int64
	id, day  string
	jobs     []asked
}

// asked is a job with its plan as far as it is known without long work.
type asked struct {
	Heard
	id   string
	plan plan.Plan
}

// finding is what a work found, at which revision.
type finding struct {
	store.Result
	revision int64
}

// cannot is why a question has no answer, as one sentence for people: trying again would not help.
type cannot string

func (c cannot) Error() string { return string(c) }

const (
	yearLong = 400 * 24 * time.Hour
	weekLong = 7 * 24 * time.Hour
)

// questions are all long works.
var questions map[string]question

func init() { // the table calls what reads it
	questions = map[string]question{
		"hold":       {says: "Checking the wheels in every place on the real panels", keeps: yearLong, stages: []string{"hold"}, key: deepKey("hold"), do: deep("hold")},
		"backing":    {says: "Backing the trailer in past what is in the way", keeps: yearLong, stages: []string{"backing"}, key: deepKey("backing"), do: deep("backing")},
		"assumed":    {says: "Taking each guess to both ends of its range", keeps: yearLong, key: rankKey, do: rank},
		"price-risk": {says: "Drawing the cost ten thousand times", keeps: yearLong, key: riskKey, do: risk},
		"weather":    {says: "Playing the day of the pour many times, and counting the year's good days", keeps: weekLong, key: weatherKey, do: weather},
		"pack":       {says: "Drawing all sheets of the job", keeps: weekLong, key: packKey, do: packOne},
		"packs":      {says: "Drawing all sheets of the day", ofShop: true, keeps: weekLong, key: packsKey, do: packAll},
	}
}

// Questions lists the long works of a job, or those of the shop.
func Questions(ofShop bool) []string {
	return slices.DeleteFunc(slices.Sorted(maps.Keys(questions)), func(name string) bool { return questions[name].ofShop != ofShop })
}

// IsFile says whether a question's answer is a file or a list to fetch, rather than one that stands in the job's answers.
func IsFile(name string) bool { return !slices.Contains([]string{"hold", "backing", "assumed"}, name) }

// kept reads what a question is asked with.
func (w *Works) kept(ctx context.Context, q question, job, day string) (kept, error) {
	k := kept{id: job, day: day}
	ids := []string{job}
	if q.ofShop {
		var err error
		if ids, err = w.pouringOn(ctx, day); err != nil {
			return k, err
		}
	}
	for _, id := range ids {
		h, err := w.Hear(ctx, id)
		if err != nil {
			return k, err
		}
		stages := q.stages
		if len(stages) == 0 {
			stages = plan.Usual()
		}
		k.jobs = append(k.jobs, asked{h, id, h.Planner.Kept(h.Job, stages...)})
	}
	if !q.ofShop {
		k.revision = k.jobs[0].Revision
	}
	var err error
	k.key, err = q.key(ctx, w, &k)
	return k, err
}

// pouringOn are the jobs that pour on a day.
func (w *Works) pouringOn(ctx context.Context, day string) ([]string, error) {
	var ids []string
	for after := ""; ; {
		some, next, err := w.Store.List(ctx, store.Listing{From: day, Until: day, After: after, Limit: 500})
		if err != nil {
			return nil, err
		}
		for _, s := range some {
			ids = append(ids, s.ID)
		}
		if after = next; next == "" {
			slices.Sort(ids)
			return ids, nil
		}
	}
}

// inputKey is the key of an answer by its input. Where that cannot be said yet the question is asked all the same, and says what
// is missing.
func (w *Works) inputKey(k *kept, input string) string {
	if input == "" {
		return w.key("lacking", k.id, fmt.Sprint(k.revision))
	}
	return w.answerKey(input)
}

func deepKey(stage string) func(context.Context, *Works, *kept) (string, error) {
	return func(_ context.Context, w *Works, k *kept) (string, error) {
		return w.inputKey(k, k.jobs[0].plan.Key(stage)), nil
	}
}

func deep(stage string) func(context.Context, *Works, kept) (finding, error) {
	return func(ctx context.Context, _ *Works, k kept) (found finding, err error) {
		h := k.jobs[0]
		p := h.Planner.Work(ctx, h.Job, stage)
		if err := ctx.Err(); err != nil {
			return found, err
		}
		r, _ := p.Of(stage)
		if !r.Answered() {
			return found, cannot(strings.Join(p.Unanswered(), "; "))
		}
		found.Bytes, err = r.Write()
		return found, err
	}
}

func rankKey(_ context.Context, w *Works, k *kept) (string, error) {
	return w.inputKey(k, k.jobs[0].plan.RankingKey()), nil
}

func rank(ctx context.Context, _ *Works, k kept) (found finding, err error) {
	p := k.jobs[0].plan
	if p.RankingKey() == "" {
		return found, cannot(strings.Join(p.Unanswered(), "; "))
	}
	movers, err := p.Rank(ctx)
	if err != nil {
		return found, err
	}
	found.Bytes, err = plan.WriteMovers(movers)
	return found, err
}

// costTried is how many whole plans measure what drawing the cost misses, where there is time for it.
const costTried = 64

func riskKey(_ context.Context, w *Works, k *kept) (string, error) {
	p := k.jobs[0].plan
	return w.key("price-risk", w.inputKey(k, p.RankingKey()), p.Job.Units.String(), p.Job.Currency), nil
}

// risk draws the cost and measures with many whole plans what the drawing misses.
func risk(ctx context.Context, w *Works, k kept) (found finding, err error) {
	p := k.jobs[0].plan
	if r, ok := p.Of("price"); !ok || !r.Answered() {
		return found, cannot(strings.Join(p.Unanswered(), "; "))
	}
	w.Ranked(p)
	drawn, err := p.PriceRiskWithin(ctx, plan.CostDraws, costTried, plan.CostSeed)
	if err != nil {
		return found, err
	}
	return asJSON("price-risk.json", p.RiskView(drawn))
}

func asJSON(name string, value any) (found finding, err error) {
	found.Name, found.Media = name, "application/json"
	found.Bytes, err = json.Marshal(value)
	return found, err
}

func weatherKey(_ context.Context, w *Works, k *kept) (string, error) {
	return w.key("weather", w.inputKey(k, k.jobs[0].plan.Key("pour")), k.jobs[0].Job.Units.String()), nil
}

// weather plays the pour through by chance whether the job asks for that or not, and counts the year's days where the job has a
// record of hours.
func weather(ctx context.Context, _ *Works, k kept) (found finding, err error) {
	j := k.jobs[0].Job
	j.Pour.Rehearse = known.Say(true)
	p := k.jobs[0].Planner.Work(ctx, j, "pour")
	if err := ctx.Err(); err != nil {
		return found, err
	}
	r, _ := p.Of("pour")
	if !r.Answered() {
		return found, cannot(strings.Join(p.Unanswered(), "; "))
	}
	return asJSON("weather.json", r.View(j.Units))
}
