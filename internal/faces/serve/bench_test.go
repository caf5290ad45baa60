package serve

import (
	"flag"
	"fmt"
	"io"
	"log/slog"
	"maps"
	"math/rand/v2"
	"net/http"
	"slices"
	"testing"
	"time"
)

var bigStore = flag.String("big-store", "", "a store with job-000000, job-000001 and so on, as the store's BenchmarkScreens keeps one")

// BenchmarkPages opens pages and lists of a big store as a browser does, over the listener; milliseconds at the 95th percentile of as
// many as the benchmark asks for (-benchtime 200x). Each time it is another job, so that nothing is remembered of it.
func BenchmarkPages(b *testing.B) {
	if *bigStore == "" {
		b.Skip("no -big-store")
	}
	s, err := Start(b.Context(), Options{Store: *bigStore, Listen: "127.0.0.1:0", Now: time.Now, Log: slog.New(slog.DiscardHandler), Page: Page})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	random := rand.New(rand.NewPCG(4, 4))
	job := func() string { return fmt.Sprintf("job-%06d", random.IntN(1000)*10+random.IntN(9)) } // every tenth is in the bin
	day := func() string {
		return time.Date(2020, 1, 6, 0, 0, 0, 0, time.UTC).AddDate(0, 0, random.IntN(2500)).Format("2006-01-02")
	}
	pages := map[string]func() string{
		"first":         func() string { return "" },
		"jobs":          func() string { return "jobs" },
		"jobs by words": func() string { return fmt.Sprintf("jobs?find=26-%05d", random.IntN(10000)) },
		"jobs, no such": func() string { return "jobs?find=nowhere" },
		"week":          func() string { return "week?from=" + day() },
		"today":         func() string { return "today" },
		"settings":      func() string { return "settings" },
		"job":           func() string { return "jobs/" + job() },
		"order":         func() string { return "jobs/" + job() + "/order" },
		"record":        func() string { return "jobs/" + job() + "/record" },
		"sheets":        func() string { return "jobs/" + job() + "/sheets" },
		"list":          func() string { return "api/v1/jobs?limit=100" },
		"changes":       func() string { return "api/v1/jobs/" + job() + "/changes" },
		"the longest":   func() string { return "api/v1/jobs/job-000050/changes" },
	}
	for _, name := range slices.Sorted(maps.Keys(pages)) {
		b.Run(name, func(b *testing.B) {
			var took []time.Duration
			for b.Loop() {
				path := pages[name]()
				began := time.Now()
				answer, err := http.Get(s.URL + path)
				if err != nil {
					b.Fatal(err)
				}
				text, err := io.ReadAll(answer.Body)
				answer.Body.Close()
				if err != nil || answer.StatusCode != http.StatusOK {
					b.Fatalf("%s: %d %.300s %v", path, answer.StatusCode, text, err)
				}
				took = append(took, time.Since(began))
			}
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)*95/100].Microseconds())/1000, "ms-p95")
		})
	}
}
