package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/store/storetest"
)

// several opens one new database from several sides at the same time, as processes that start together do.
func several(t *testing.T, where string, n int) []*Store {
	t.Helper()
	all := make([]*Store, n)
	var wait sync.WaitGroup
	for i := range all {
		wait.Go(func() {
			var err error
			if all[i], err = Open(context.Background(), where, newClock().now); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
	for _, s := range all {
		if s == nil {
			t.FailNow()
		}
		t.Cleanup(func() { s.Close() })
	}
	return all
}

// Several servers that have one database open write the same jobs at the same time, in other orders, and send some changes twice:
// every change is there once, in one unbroken chain.
func TestSeveralServersOnOneDatabaseLoseNothing(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		const servers, jobs, each = 4, 3, 20
		all, ctx := several(t, fresh(), servers), t.Context()
		for j := range jobs {
			must[Job](t)(all[0].Create(ctx, fmt.Sprint("j", j), map[string]any{}, About{}, ""))
		}
		var wait sync.WaitGroup
		for n, s := range all {
			for p := range 2 {
				wait.Go(func() {
					for i := range each {
						for j := range jobs {
							if n%2 == 1 {
								j = jobs - 1 - j
							}
							// the same pair of servers sends the same change
							id := fmt.Sprintf("%d-%d-%d", n/2, p, i)
							c := Change{ID: id, Device: id, Sets: []fields.Set{{Pointer: "/all/-", Value: id}}}
							if _, _, err := s.Apply(ctx, fmt.Sprint("j", j), c, flat, nobody, nil); err != nil {
								t.Error(err)
							}
						}
					}
				})
			}
		}
		wait.Wait()
		const want = servers / 2 * 2 * each
		for j := range jobs {
			job := must[Job](t)(all[j].Job(ctx, fmt.Sprint("j", j)))
			seen := map[any]bool{}
			list, _ := fields.Get(job.Doc, fields.Pointer{"all"}).([]any)
			for _, id := range list {
				seen[id] = true
			}
			if job.Revision != 1+want || len(list) != want || len(seen) != want {
				t.Errorf("job %d: revision %d, %d entries, %d of them different; want %d", j, job.Revision, len(list), len(seen), want)
			}
			for i, done := range must[[]Done](t)(all[j].Since(ctx, fmt.Sprint("j", j), 1)) {
				if done.Revision != int64(i+2) {
					t.Fatalf("the chain of changes has %d where %d was due", done.Revision, i+2)
				}
			}
		}
	})
}

// Of several servers that put down a whole document over the same revision at the same time one does, and the others are told.
func TestOneOfSeveralReplacementsStands(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		all, ctx := several(t, fresh(), 4), t.Context()
		must[Job](t)(all[0].Create(ctx, "a", map[string]any{}, About{}, ""))
		for round := range int64(10) {
			var wait sync.WaitGroup
			stood := make([]bool, len(all))
			for n, s := range all {
				wait.Go(func() {
					_, err := s.Replace(ctx, "a", map[string]any{"n": fmt.Sprint(round, n)}, round+1, About{}, "")
					if stood[n] = err == nil; err != nil && !errors.Is(err, ErrChanged) {
						t.Error(err)
					}
				})
			}
			wait.Wait()
			count := 0
			for _, one := range stood {
				if one {
					count++
				}
			}
			if job := must[Job](t)(all[0].Job(ctx, "a")); count != 1 || job.Revision != round+2 {
				t.Fatalf("round %d: %d stood, revision %d", round, count, job.Revision)
			}
		}
	})
}

// Work that holds two jobs in two orders on two servers runs into the database's refusal and is tried again, until both are done.
func TestWorkThatBlocksOtherWorkIsTriedAgain(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		all, ctx := several(t, fresh(), 2), t.Context()
		for _, id := range []string{"a", "b"} {
			must[Job](t)(all[0].Create(ctx, id, map[string]any{}, About{}, ""))
		}
		var runs [2]int
		meet := []chan struct{}{make(chan struct{}), make(chan struct{})} // closed when one side holds its first job
		var wait sync.WaitGroup
		for n, order := range [][]string{{"a", "b"}, {"b", "a"}} {
			s := all[n]
			wait.Go(func() {
				for i := range 20 {
					err := s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
						runs[n]++
						for _, id := range order {
							job, err := s.held(ctx, tx, id)
							if err != nil {
								return err
							}
							if runs[n] == 1 && id == order[0] {
								close(meet[n])
								select {
								case <-meet[1-n]:
								case <-time.After(300 * time.Millisecond): // a file is held by one side only
								}
							}
							if err := s.put(ctx, tx, id, &fields.State{Doc: job.Doc}, job.Revision+1, About{}, ""); err != nil {
								return err
							}
						}
						return nil
					})
					if err != nil {
						t.Errorf("%d: %v", i, err)
					}
				}
			})
		}
		wait.Wait()
		for _, id := range []string{"a", "b"} {
			if job := must[Job](t)(all[0].Job(ctx, id)); job.Revision != 1+2*20 {
				t.Errorf("%s is at %d", id, job.Revision)
			}
		}
		if _, shared := all[0].base.(*postgres); shared && runs[0]+runs[1] == 2*20 {
			t.Error("nothing was tried again: the two never met")
		}
		t.Logf("%d and %d runs for 20 pieces of work each", runs[0], runs[1])
	})
}

// What the database refuses is told in the store's own words, the same on both.
func TestRefusalsAreTheSameOnBoth(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s, ctx := opened(t, newClock()), t.Context()
		must[Job](t)(s.Create(ctx, "a", map[string]any{}, About{}, ""))
		insert := func(job, id string, revision int) error {
			return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
				return s.log(ctx, tx, job, Change{ID: id}, Answer{Revision: int64(revision)})
			})
		}
		for i, c := range []struct {
			job, id  string
			revision int
			want     error
		}{{"a", "c", 2, nil}, {"a", "c", 3, ErrThere}, {"a", "d", 2, ErrThere}, {"nobody", "c", 2, ErrAbsent}} {
			if err := insert(c.job, c.id, c.revision); !errors.Is(err, c.want) {
				t.Errorf("%d: %v, want %v", i, err, c.want)
			}
		}
	})
}
