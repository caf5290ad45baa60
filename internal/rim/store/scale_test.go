package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
	"time"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/store/storetest"
)

var (
	scaleJobs    = flag.Int("scale-jobs", 10_000, "jobs of the store that BenchmarkScreens reads")
	scaleKeep    = flag.String("scale-keep", "", "where the SQLite file of BenchmarkScreens is copied to")
	scaleRecords = flag.Int("scale-records", 1_000_000, "changes of all of them together")
)

// grown puts so many jobs and changes into a store as years of several crews leave: most jobs have some tens of changes, a few have
// thousands; a tenth is in the bin. The same seed makes the same store.
func grown(t testing.TB, s *Store, jobs, records int, seed uint64) {
	t.Helper()
	ctx, random := context.Background(), rand.New(rand.NewPCG(seed, 3))
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer tx.Rollback() //nolint:errcheck // after the commit nothing is left
	all := must[[]table](t)(tables(ctx, s.base, tx))
	l := &loader{ctx: ctx, tx: tx, tables: all, atOnce: s.base.atOnce()}
	counts := parted(random, jobs, records)
	for _, one := range all {
		switch one.Name {
		case "jobs":
			for j := range jobs {
				l.named(t, &one, grownJob(random, j, counts[j]))
			}
		case "changes":
			for j := range jobs {
				for r := range counts[j] {
					l.named(t, &one, grownChange(random, j, r))
				}
			}
		case "heads", "prints", "attachments":
			for j := range jobs {
				for n := range random.IntN(3) {
					l.named(t, &one, grownBeside(j, n))
				}
			}
		}
	}
	if err := l.flush(); err != nil {
		t.Fatal(err)
	}
	if err := tx.Commit(); err != nil {
		t.Fatal(err)
	}
	if _, err := s.write.Exec("ANALYZE"); err != nil { // a server does so by itself after a while
		t.Fatal(err)
	}
}

// parted parts records among jobs, one in a hundred having thirty times the others'.
func parted(random *rand.Rand, jobs, records int) []int {
	weights, all := make([]float64, jobs), 0.0
	for j := range weights {
		weights[j] = 0.5 + random.Float64()
		if j%100 == 50 {
			weights[j] *= 30
		}
		all += weights[j]
	}
	counts, left := make([]int, jobs), records
	for j := range counts {
		counts[j] = min(left, int(weights[j]/all*float64(records)))
		left -= counts[j]
	}
	counts[0] += left
	return counts
}

// named hands a row to the loader by the names of its columns; what is not named is empty.
func (l *loader) named(t testing.TB, of *table, row map[string]any) {
	values := make([]any, len(of.Columns))
	for i, c := range of.Columns {
		v, ok := row[c.Name]
		switch {
		case ok:
			values[i] = v
		case c.Name != "binned":
			values[i] = map[kind]any{text: "", number: int64(0), octets: []byte{}}[c.Kind]
		}
	}
	if err := l.row(of, values); err != nil {
		t.Fatal(err)
	}
}

var towns = []string{"Heron Cove", "Mill Lane", "Old Quarry Road", "Station Yard", "Bakery Court", "Orchard Close", "Ferry Street"}

func grownID(j int) string { return fmt.Sprintf("job-%06d", j) }

func grownDay(j int) string {
	return time.Date(2020, 1, 6, 0, 0, 0, 0, time.UTC).AddDate(0, 0, j%2500).Format("2006-01-02")
}

func grownJob(random *rand.Rand, j, changes int) map[string]any {
	a := About{Title: fmt.Sprintf("Pad %d", j), Number: fmt.Sprintf("26-%05d", j), Address: fmt.Sprintf("%d %s", random.IntN(200), towns[j%len(towns)])}
	doc := map[string]any{"name": a.Title, "length": "40 ft", "width": "14 ft", "thickness": "6 in"}
	var notes []any
	for i := range 5 + random.IntN(40) {
		notes = append(notes, map[string]any{"at": fmt.Sprint(i), "says": "truck in, slump 4 in, 61 F, placed by the north form"})
	}
	doc["record"] = map[string]any{"notes": notes}
	row := map[string]any{"id": grownID(j), "document": string(fields.Bytes(doc)), "revision": int64(1 + changes), "base": int64(1), "title": a.Title, "number": a.Number, "address": a.Address,
		"pour_date": grownDay(j), "created": int64(1), "changed": int64(1_700_000_000_000_000) + int64(j)*60_000_000, "changed_by": "Ann", "yards": "11 1/4 yd3", "verdict": "go", "trust": "7 of 9",
		"summary_of": int64(1 + changes), "pours_on": grownDay(j), "first_truck": "07:00", "words": a.words()}
	if j%10 == 9 {
		row["binned"] = int64(1)
	}
	return row
}

func grownChange(random *rand.Rand, j, r int) map[string]any {
	revision := int64(r + 2)
	return map[string]any{"job": grownID(j), "id": fmt.Sprintf("c%08x-%d", random.Uint32(), r), "revision": revision, "said_at": "2027-06-10T06:55:00-05:00", "said_by": "Ann", "device": "cab",
		"step": "ticket", "sets": `[{"pointer":"/record/tickets/-","value":{"at":"07:12","slump":"4 in","yards":"9.5"}}]`,
		"answer": fmt.Sprintf(`{"revision":%d,"applied":["/record/tickets/-"],"differs":[]}`, revision), "received": int64(1_700_000_000_000_000 + r)}
}

// grownBeside is a difference, a print or a file: each table takes the columns it has.
func grownBeside(j, n int) map[string]any {
	file := fmt.Appendf(nil, "time,temp\n%d,61\n", n)
	hash := sha256.Sum256(file)
	return map[string]any{"job": grownID(j), "field": fmt.Sprintf("/t%d", n/2), "place": int64(n), "pointer": fmt.Sprintf("/t%d", n/2), "device": "cab", "value": `"5 in"`, "origin": `"6 in"`, "revision": int64(1), "ordinal": int64(n), "stands": int64(1 - n%2),
		"number": int64(n + 1), "version": hex.EncodeToString(hash[:8]), "printed": int64(1), "name": fmt.Sprintf("f%d.csv", n), "media": "text/csv", "bytes": file, "changed": int64(1)}
}

// screens are what the page and the lists ask of the store, each with a job or a day by chance.
func screens(s *Store, jobs int, random *rand.Rand) map[string]func(context.Context) error {
	list := func(l func() Listing) func(context.Context) error {
		return func(ctx context.Context) error { _, _, err := s.List(ctx, l()); return err }
	}
	id := func() string { return grownID(random.IntN(jobs)) }
	return map[string]func(context.Context) error{
		"list": list(func() Listing { return Listing{Limit: 100} }),
		"list further": list(func() Listing {
			return Listing{Limit: 100, After: fmt.Sprintf("%d.x", int64(1_700_000_000_000_000)+int64(random.IntN(jobs))*60_000_000)}
		}),
		"bin":          list(func() Listing { return Listing{Limit: 100, Binned: true} }),
		"many words":   list(func() Listing { return Listing{Limit: 100, Find: "mill pad"} }),
		"one word":     list(func() Listing { return Listing{Limit: 100, Find: fmt.Sprintf("26-%05d", random.IntN(jobs))} }),
		"no such word": list(func() Listing { return Listing{Limit: 100, Find: "nowhere"} }),
		"week": list(func() Listing {
			day := random.IntN(2500)
			return Listing{Limit: 1000, From: grownDay(day), Until: grownDay(day + 6)}
		}),
		"job":             func(ctx context.Context) error { _, err := s.Job(ctx, id()); return err },
		"changes, all":    func(ctx context.Context) error { _, err := s.Since(ctx, id(), 0); return err },
		"longest, all":    func(ctx context.Context) error { _, err := s.Since(ctx, grownID(50), 0); return err },
		"changes, newest": func(ctx context.Context) error { _, err := s.Since(ctx, id(), 60); return err },
		"differences":     func(ctx context.Context) error { _, err := s.Differences(ctx, id()); return err },
		"prints":          func(ctx context.Context) error { _, err := s.Prints(ctx, id()); return err },
		"files":           func(ctx context.Context) error { _, err := s.Attachments(ctx, id()); return err },
	}
}

// BenchmarkScreens reads each screen's part of a store with ten thousand jobs and a million changes; milliseconds at the 95th
// percentile of as many readings as the benchmark asks for (-benchtime 200x).
func BenchmarkScreens(b *testing.B) {
	storetest.BothBench(b, func(b *testing.B, fresh func() string) {
		where := fresh()
		s, err := Open(b.Context(), where, time.Now)
		if err != nil {
			b.Fatal(err)
		}
		defer s.Close()
		began := time.Now()
		grown(b, s, *scaleJobs, *scaleRecords, 1)
		b.Logf("%d jobs and %d changes put in within %.1f s", *scaleJobs, *scaleRecords, time.Since(began).Seconds())
		if info, err := os.Stat(where); err == nil {
			b.Logf("%d MB", info.Size()>>20)
		}
		if _, is := s.base.(*sqliteFile); is && *scaleKeep != "" {
			if _, err := s.write.Exec("VACUUM INTO $1", *scaleKeep); err != nil {
				b.Fatal(err)
			}
		}
		random := rand.New(rand.NewPCG(2, 2))
		all := screens(s, *scaleJobs, random)
		for _, name := range slices.Sorted(maps.Keys(all)) {
			b.Run(name, func(b *testing.B) {
				var took []time.Duration
				for b.Loop() {
					began := time.Now()
					if err := all[name](b.Context()); err != nil {
						b.Fatal(err)
					}
					took = append(took, time.Since(began))
				}
				slices.Sort(took)
				b.ReportMetric(float64(took[len(took)*95/100].Microseconds())/1000, "ms-p95")
			})
		}
		began = time.Now()
		again, err := Open(b.Context(), where, time.Now)
		if err != nil {
			b.Fatal(err)
		}
		again.Close()
		b.Logf("opened again within %.2f s", time.Since(began).Seconds())

	})
}
