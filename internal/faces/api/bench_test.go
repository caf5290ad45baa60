package api

import (
	"encoding/json"
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/week"
)

// p95 is the 95th percentile.
func p95(times []time.Duration) time.Duration {
	slices.Sort(times)
	return times[len(times)*95/100]
}

// A corner is dragged: each frame asks for the yards and the panels with the outline where the finger is. frames/s, and the
// 95th percentile beside that of an answer in which nothing changed.
func BenchmarkDrag(b *testing.B) {
	for _, c := range []struct {
		name      string
		questions []string
	}{{"order", []string{"order"}}, {"joints", []string{"joints", "order"}}, {"everything", nil}} {
		b.Run(c.name, func(b *testing.B) {
			s := opened(b)
			job := s.boathouse()
			still, err := json.Marshal(Question{Questions: c.questions, Coarse: true})
			if err != nil {
				b.Fatal(err)
			}
			var moved, same []time.Duration
			for i := 0; b.Loop(); i++ {
				body := fmt.Sprintf(`{"questions":%s,"coarse":true,"seq":%d,"device":"d","sets":[{"pointer":"/site/corners","value":[[0,0,"A"],[34,0,"B"],[34,12,"C"],[20,12,"D"],[20,%g,"E"],[0,%g,"F"]]},{"pointer":"/site/tapes","value":null}]}`,
					mustJSON(b, c.questions), i+1, 20+float64(i%977)/128, 20+float64(i%977)/128)
				began := time.Now()
				s.want(200, "POST", job+"/answers", body)
				moved = append(moved, time.Since(began))
				began = time.Now()
				s.want(200, "POST", job+"/answers", still)
				same = append(same, time.Since(began))
			}
			b.ReportMetric(float64(p95(moved).Microseconds())/1000, "ms-p95")
			b.ReportMetric(float64(p95(same).Microseconds())/1000, "still-ms-p95")
		})
	}
}

func mustJSON(t testing.TB, v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// Fifty people change a number in fifty jobs at once and ask what it does; milliseconds at the 95th percentile, beside one
// person alone.
func BenchmarkPeople(b *testing.B) {
	for _, people := range []int{1, 50} {
		b.Run(fmt.Sprint(people), func(b *testing.B) {
			s := opened(b)
			for p := range people {
				s.want(201, "PUT", fmt.Sprintf("/api/v1/jobs/j%d", p), threeNumbers)
				s.want(200, "POST", fmt.Sprintf("/api/v1/jobs/j%d/answers", p), "{}")
			}
			var lock sync.Mutex
			var changes, answers []time.Duration
			round := 0
			for b.Loop() {
				round++
				var wait sync.WaitGroup
				for p := range people {
					wait.Go(func() {
						time.Sleep(time.Duration(p) * time.Second / time.Duration(people)) // each types once a second
						job := fmt.Sprintf("/api/v1/jobs/j%d", p)
						began := time.Now()
						s.want(200, "PUT", fmt.Sprintf("%s/changes/%d-%d", job, round, p), fmt.Sprintf(`{"device":"d","sets":[{"pointer":"/thickness","value":"%d mm"}]}`, 100+(round*7+p)%120))
						changed := time.Since(began)
						s.want(200, "POST", job+"/answers", `{"questions":["order","slab"],"coarse":true}`)
						answered := time.Since(began) - changed
						lock.Lock()
						changes, answers = append(changes, changed), append(answers, answered)
						lock.Unlock()
					})
				}
				wait.Wait()
			}
			b.ReportMetric(float64(p95(changes).Microseconds())/1000, "change-ms-p95")
			b.ReportMetric(float64(p95(answers).Microseconds())/1000, "answer-ms-p95")
		})
	}
}

// The list of jobs grows; the time for a page of a hundred and for all of them, in one run.
func BenchmarkList(b *testing.B) {
	for _, n := range []int{50, 5000} {
		s := opened(b)
		for i := range n {
			doc := fields.Value(map[string]any{"name": fmt.Sprintf("Pad %d", i), "length": "40 ft", "width": "14 ft"})
			if _, err := s.store.Create(b.Context(), fmt.Sprintf("j%d", i), doc, store.About{Title: fmt.Sprintf("Pad %d", i), Address: "8 Heron Cove"}, ""); err != nil {
				b.Fatal(err)
			}
		}
		for name, query := range map[string]string{"page": "limit=100", "all": "limit=10000", "find": "limit=100&find=pad+49"} {
			b.Run(fmt.Sprintf("%d/%s", n, name), func(b *testing.B) {
				for b.Loop() {
					s.want(200, "GET", "/api/v1/jobs?"+query, nil)
				}
			})
		}
	}
}

// The week of a shop whose jobs grow: forty pours a day, summarised, for so many days; the slowest of twenty looks.
func BenchmarkWeek(b *testing.B) {
	for _, n := range []int{100, 10000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			s := opened(b)
			first := quantity.Date{Year: 2027, Month: 1, Day: 4}
			var wait sync.WaitGroup
			for w := range 64 {
				wait.Go(func() {
					for i := w; i < n; i += 64 {
						id, on := fmt.Sprintf("j%d", i), first.Add(i/40)
						about := store.About{Title: "Pad " + id, PoursOn: on.ISO(), FirstTruck: "07:00", Crew: fmt.Sprint("Crew ", i%10)}
						known := week.Job{Title: about.Title, Crew: about.Crew, Plant: "Riverside", On: on, First: 7 * 60, Last: 12 * 60, Concrete: 8, Hourly: 0.002, Planned: true, Load: on.Add(20), Trust: "rough", Next: "say more"}
						text, err := json.Marshal(known)
						if err == nil {
							_, err = s.store.Create(b.Context(), id, map[string]any{"name": about.Title}, about, "")
						}
						if err == nil {
							err = s.store.Summarise(b.Context(), id, 1, store.Answered{Yards: "10 1/2 yd³", PoursOn: on.ISO(), FirstTruck: "07:00", ReadyOn: known.Load.ISO(), Known: string(text)})
						}
						if err != nil {
							b.Error(err)
						}
					}
				})
			}
			wait.Wait()
			var looks []time.Duration
			for b.Loop() {
				began := time.Now()
				s.want(200, "GET", "/api/v1/week?from="+first.Add(n/80/7*7).ISO(), nil)
				looks = append(looks, time.Since(began))
			}
			b.ReportMetric(float64(p95(looks).Microseconds())/1000, "look-ms-p95")
		})
	}
}
