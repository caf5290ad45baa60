package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/store/storetest"
)

// file is the SQLite file of a store.
func file(s *Store) *sqliteFile { return s.base.(*sqliteFile) }

// clock is a time that a test moves.
type clock struct{ at time.Time }

func (c *clock) now() time.Time { return c.at }

func newClock() *clock { return &clock{time.Date(2027, 6, 10, 5, 0, 0, 0, time.UTC)} }

// opener makes a store on a new database.
type opener func(testing.TB, *clock) *Store

// both runs a test on an SQLite file and on a PostgreSQL database. It sees the store by its methods only.
func both(t *testing.T, test func(*testing.T, opener)) {
	t.Helper()
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		test(t, func(t testing.TB, c *clock) *Store {
			t.Helper()
			return at(t, fresh(), c)
		})
	})
}

// opened is a store on a new SQLite file, for tests of the file itself.
func opened(t testing.TB, c *clock) *Store {
	t.Helper()
	return at(t, storetest.File(t), c)
}

func at(t testing.TB, path string, c *clock) *Store {
	t.Helper()
	s, err := Open(context.Background(), path, c.now)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func doc(t testing.TB, text string) fields.Value {
	t.Helper()
	v, err := fields.Parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func flat(fields.Pointer) (bool, error) { return false, nil }

func nobody(v fields.Value) About {
	name, _ := fields.Get(v, fields.Pointer{"name"}).(string)
	return About{Title: name}
}

func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func set(pointer, value, was string) []fields.Set {
	s := fields.Set{Pointer: pointer, Value: value}
	if was != "" {
		s.Was = was
	}
	return []fields.Set{s}
}

func change(t testing.TB, s *Store, job string, c Change) Answer {
	t.Helper()
	a, _, err := s.Apply(context.Background(), job, c, flat, nobody, nil)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestAJobIsCreatedOnceAndReadBack(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s, ctx := opened(t, newClock()), t.Context()
		v := doc(t, `{"length":"12-7 3/8","thickness":6.50,"name":"Pad"}`)
		for range 2 { // the same again is the same
			job := must[Job](t)(s.Create(ctx, "a", v, nobody(v), "me"))
			if job.Revision != 1 {
				t.Errorf("revision %d", job.Revision)
			}
		}
		if _, err := s.Create(ctx, "a", doc(t, `{}`), About{}, ""); !errors.Is(err, ErrThere) {
			t.Errorf("another job under the same id: %v", err)
		}
		if got := string(fields.Bytes(must[Job](t)(s.Job(ctx, "a")).Doc)); got != `{"length":"12-7 3/8","name":"Pad","thickness":6.50}` {
			t.Error(got)
		}
		if _, err := s.Job(ctx, "b"); !errors.Is(err, ErrAbsent) {
			t.Errorf("a job that is not there: %v", err)
		}
	})
}

func TestTheSameChangeTwiceIsOnce(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s, ctx := opened(t, newClock()), t.Context()
		must[Job](t)(s.Create(ctx, "a", doc(t, `{"t":"5"}`), About{}, ""))
		c := Change{ID: "c1", Device: "d", By: "me", Step: "thicker", Sets: set("/t", "6", "5")}
		first := change(t, s, "a", c)
		change(t, s, "a", Change{ID: "c2", Device: "d", Sets: set("/t", "7", "6")})
		again, repeated, err := s.Apply(ctx, "a", c, flat, nobody, nil)
		if err != nil || !repeated || fmt.Sprint(again) != fmt.Sprint(first) {
			t.Errorf("sent again: %v, repeated %v, %v; first %v", again, repeated, err, first)
		}
		job := must[Job](t)(s.Job(ctx, "a"))
		if job.Revision != 3 || fields.Get(job.Doc, fields.Pointer{"t"}) != "7" {
			t.Errorf("revision %d, %s", job.Revision, fields.Bytes(job.Doc))
		}
		if done := must[[]Done](t)(s.Since(ctx, "a", 1)); len(done) != 2 || done[0].ID != "c1" || done[0].Sets[0].Was != "5" || done[0].Step != "thicker" || done[1].Revision != 3 {
			t.Errorf("history %+v", done)
		}
		if done := must[[]Done](t)(s.Since(ctx, "a", 2)); len(done) != 1 || done[0].ID != "c2" {
			t.Errorf("since 2: %+v", done)
		}
	})
}

func TestADifferenceIsKeptWithWhoAndWhenUntilItIsSettled(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s, ctx := opened(t, newClock()), t.Context()
		must[Job](t)(s.Create(ctx, "a", doc(t, `{"t":"5"}`), About{}, ""))
		change(t, s, "a", Change{ID: "c1", Device: "office", By: "Office", At: "06:55", Seen: 1, Sets: set("/t", "6", "5")})
		answer := change(t, s, "a", Change{ID: "c2", Device: "cab", By: "Cab", At: "06:58", Seen: 1, Sets: set("/t", "4", "5")})
		want := DifferingView{Number: answer.Differs[0].Number, Pointer: "/t", Here: "6", HereBy: "Office", HereAt: "06:55", Theirs: "4", By: "Cab", At: "06:58"}
		if len(answer.Applied) != 0 || len(answer.Differs) != 1 || answer.Differs[0] != want {
			t.Fatalf("answered %+v", answer)
		}
		if open := must[[]DifferingView](t)(s.Differences(ctx, "a")); len(open) != 1 || open[0] != want {
			t.Errorf("open %+v", open)
		}
		revision := must[int64](t)(s.Settle(ctx, "a", want.Number, fields.Theirs, "me", nobody))
		job := must[Job](t)(s.Job(ctx, "a"))
		if revision != 4 || job.Revision != 4 || fields.Get(job.Doc, fields.Pointer{"t"}) != "4" {
			t.Errorf("revision %d, %s", revision, fields.Bytes(job.Doc))
		}
		if _, err := s.Settle(ctx, "a", want.Number, fields.Theirs, "me", nobody); !errors.Is(err, ErrAbsent) {
			t.Errorf("settled twice: %v", err)
		}
		if done := must[[]Done](t)(s.Since(ctx, "a", 3)); len(done) != 1 || done[0].Sets[0].Value != "4" {
			t.Errorf("the record of it: %+v", done)
		}
	})
}

func TestARefusedChangeLeavesNothing(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s, ctx := opened(t, newClock()), t.Context()
		must[Job](t)(s.Create(ctx, "a", doc(t, `{"t":"5"}`), About{}, ""))
		no := errors.New("no")
		sets := append(set("/t", "6", "5"), set("/u", "1", "")...)
		if _, _, err := s.Apply(ctx, "a", Change{ID: "c", Sets: sets}, flat, nobody, func(before, after fields.Value) error { return no }); !errors.Is(err, no) {
			t.Fatal(err)
		}
		if _, _, err := s.Apply(ctx, "a", Change{ID: "c", Sets: append(sets, fields.Set{Pointer: "bad"})}, flat, nobody, nil); err == nil {
			t.Fatal("a pointer that cannot be was taken")
		}
		if job := must[Job](t)(s.Job(ctx, "a")); job.Revision != 1 || string(fields.Bytes(job.Doc)) != `{"t":"5"}` || len(must[[]Done](t)(s.Since(ctx, "a", 0))) != 0 {
			t.Errorf("left %d %s", job.Revision, fields.Bytes(job.Doc))
		}
		if a := change(t, s, "a", Change{ID: "c", Sets: sets}); a.Revision != 2 {
			t.Errorf("the same id after a refusal: %+v", a)
		}
	})
}

func TestReplacingNeedsTheRevision(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s, ctx := opened(t, newClock()), t.Context()
		must[Job](t)(s.Create(ctx, "a", doc(t, `{"t":"5"}`), About{}, ""))
		if got := must[int64](t)(s.Replace(ctx, "a", doc(t, `{"t":"6"}`), 1, About{Title: "x"}, "me")); got != 2 {
			t.Errorf("revision %d", got)
		}
		if got := must[int64](t)(s.Replace(ctx, "a", doc(t, `{"t":"6"}`), 2, About{Title: "x"}, "me")); got != 2 {
			t.Errorf("the same document again made revision %d", got)
		}
		if _, err := s.Replace(ctx, "a", doc(t, `{"t":"7"}`), 1, About{}, "me"); !errors.Is(err, ErrChanged) {
			t.Errorf("an old revision: %v", err)
		}
		// a change made on what was there before the document was put down whole is a difference
		if a := change(t, s, "a", Change{ID: "c", Device: "d", Seen: 1, Sets: set("/t", "9", "5")}); len(a.Differs) != 1 {
			t.Errorf("%+v", a)
		}
	})
}

func TestTheBinKeepsThirtyDays(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		c := newClock()
		s, ctx := opened(t, c), t.Context()
		must[Job](t)(s.Create(ctx, "a", doc(t, `{"name":"Pad"}`), About{Title: "Pad"}, ""))
		if err := s.Bin(ctx, "a", 9); !errors.Is(err, ErrChanged) {
			t.Errorf("binned on another revision: %v", err)
		}
		if err := s.Bin(ctx, "a", 1); err != nil {
			t.Fatal(err)
		}
		if found, _, _ := s.List(ctx, Listing{Limit: 10}); len(found) != 0 {
			t.Error("a job in the bin is listed")
		}
		if found, _, _ := s.List(ctx, Listing{Limit: 10, Binned: true}); len(found) != 1 || !found[0].Binned {
			t.Error("the bin does not list it")
		}
		c.at = c.at.Add(binFor - time.Hour)
		if err := errors.Join(s.EmptyBin(ctx), s.Restore(ctx, "a")); err != nil {
			t.Fatal(err)
		}
		if err := s.Bin(ctx, "a", 1); err != nil {
			t.Fatal(err)
		}
		// a change that was on its way takes it out again: nothing typed is lost
		change(t, s, "a", Change{ID: "late", Sets: set("/t", "6", "")})
		if must[Job](t)(s.Job(ctx, "a")).Binned {
			t.Error("a change went into the bin")
		}
		if err := s.Bin(ctx, "a", 2); err != nil {
			t.Fatal(err)
		}
		c.at = c.at.Add(binFor + time.Hour)
		if err := s.EmptyBin(ctx); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Job(ctx, "a"); !errors.Is(err, ErrAbsent) {
			t.Errorf("after thirty days: %v", err)
		}
	})
}

func TestListsFindAndGoOn(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		c := newClock()
		s, ctx := opened(t, c), t.Context()
		for i := range 25 {
			c.at = c.at.Add(time.Minute)
			must[Job](t)(s.Create(ctx, fmt.Sprintf("j%02d", i), doc(t, `{}`), About{Title: fmt.Sprintf("Pad %d", i), Address: "8 Heron Cove, Überlingen", Number: "26_0%"}, ""))
		}
		seen, after := map[string]bool{}, ""
		for range 3 {
			page, next, err := s.List(ctx, Listing{Limit: 10, After: after})
			if err != nil {
				t.Fatal(err)
			}
			for _, j := range page {
				if seen[j.ID] {
					t.Errorf("%s twice", j.ID)
				}
				seen[j.ID] = true
			}
			after = next
		}
		if len(seen) != 25 || after != "" {
			t.Errorf("saw %d, next %q", len(seen), after)
		}
		for find, n := range map[string]int{"pad 7": 2, "HERON 24": 1, "überl": 25, "ÜBER": 25, "%": 25, "_0%": 25, "x%": 0, "'": 0} {
			if page, _, err := s.List(ctx, Listing{Limit: 100, Find: find}); err != nil || len(page) != n {
				t.Errorf("find %q: %d, %v", find, len(page), err)
			}
		}
		if _, _, err := s.List(ctx, Listing{Limit: 1, After: "x"}); err == nil {
			t.Error("a mark that is none was taken")
		}
	})
}

func TestSummariesNeverGoBack(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s, ctx := opened(t, newClock()), t.Context()
		must[Job](t)(s.Create(ctx, "a", doc(t, `{}`), About{}, ""))
		change(t, s, "a", Change{ID: "c", Sets: set("/t", "6", "")})
		for revision, yards := range map[int64]string{2: "new", 1: "old", 3: "never"} {
			if err := s.Summarise(ctx, "a", revision, Answered{Yards: yards}); err != nil {
				t.Fatal(err)
			}
		}
		if err := s.Summarise(ctx, "a", 1, Answered{Yards: "old"}); err != nil {
			t.Fatal(err)
		}
		if page, _, _ := s.List(ctx, Listing{Limit: 1}); page[0].Yards != "new" || page[0].Stale {
			t.Errorf("%+v", page[0])
		}
		if err := s.Summarise(ctx, "a", 2, Answered{Yards: "new", PoursOn: "2027-06-17"}); err != nil {
			t.Fatal(err)
		}
		for _, l := range []Listing{{Limit: 1, From: "2027-06-18"}, {Limit: 1, Until: "2027-06-16"}} {
			if page, _, _ := s.List(ctx, l); len(page) != 0 {
				t.Errorf("%+v finds a pour on the 17th", l)
			}
		}
		if page, _, _ := s.List(ctx, Listing{Limit: 1, From: "2027-06-17", Until: "2027-06-17"}); len(page) != 1 {
			t.Error("the day of the pour does not find it")
		}
		change(t, s, "a", Change{ID: "d", Sets: set("/t", "7", "6")})
		if page, _, _ := s.List(ctx, Listing{Limit: 1}); page[0].Yards != "new" || !page[0].Stale {
			t.Errorf("%+v", page[0])
		}
	})
}

func TestFilesAndPrints(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s, ctx := opened(t, newClock()), t.Context()
		must[Job](t)(s.Create(ctx, "a", doc(t, `{}`), About{}, ""))
		_, revision, err := s.Attach(ctx, "a", Attachment{Name: "f.csv", Media: "text/csv", Bytes: []byte("x")})
		if err != nil || revision != 2 {
			t.Fatal(revision, err)
		}
		if _, revision, err = s.Attach(ctx, "a", Attachment{Name: "f.csv", Media: "text/csv", Bytes: []byte("x")}); err != nil || revision != 2 {
			t.Errorf("the same bytes made revision %d: %v", revision, err)
		}
		if _, revision, err = s.Attach(ctx, "a", Attachment{Name: "f.csv", Media: "text/csv", Bytes: []byte("y\x00\xff")}); err != nil || revision != 3 {
			t.Errorf("other bytes made revision %d: %v", revision, err)
		}
		if a := must[Attachment](t)(s.Attachment(ctx, "a", "f.csv")); string(a.Bytes) != "y\x00\xff" {
			t.Errorf("read back %q", a.Bytes)
		}
		if _, err := s.Attachment(ctx, "a", "g"); !errors.Is(err, ErrAbsent) {
			t.Error(err)
		}
		if _, _, err := s.Attach(ctx, "b", Attachment{Name: "f"}); !errors.Is(err, ErrAbsent) {
			t.Errorf("a file beside no job: %v", err)
		}
		for i, c := range []struct {
			revision int64
			version  string
			want     int64
		}{{3, "v", 1}, {3, "v", 1}, {4, "v2", 2}, {4, "v3", 3}, {4, "v3", 3}} {
			if p := must[Print](t)(s.Print(ctx, "a", c.revision, c.version)); p.Number != c.want {
				t.Errorf("print %d is R%d", i, p.Number)
			}
		}
		if all := must[[]Print](t)(s.Prints(ctx, "a")); len(all) != 3 || all[0].Number != 3 {
			t.Errorf("%+v", all)
		}
	})
}

func TestManyWritersLoseNothing(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s, ctx := opened(t, newClock()), t.Context()
		must[Job](t)(s.Create(ctx, "a", doc(t, `{}`), About{}, ""))
		const people, each = 8, 25
		var wait sync.WaitGroup
		for p := range people {
			wait.Go(func() {
				for i := range each {
					c := Change{ID: fmt.Sprintf("%d-%d", p, i), Device: fmt.Sprint(p), Sets: []fields.Set{{Pointer: fmt.Sprintf("/f%d", p), Value: fmt.Sprint(i)}, {Pointer: "/l/-", Value: fmt.Sprintf("%d-%d", p, i)}}}
					if _, _, err := s.Apply(ctx, "a", c, flat, nobody, nil); err != nil {
						t.Error(err)
					}
				}
			})
		}
		wait.Wait()
		job := must[Job](t)(s.Job(ctx, "a"))
		if list, _ := fields.Get(job.Doc, fields.Pointer{"l"}).([]any); job.Revision != 1+people*each || len(list) != people*each {
			t.Errorf("revision %d, %d entries", job.Revision, len(list))
		}
	})
}

func TestABackupIsMadeDailyAndReadsBack(t *testing.T) {
	c := newClock()
	c.at = time.Now() // file times are the machine's
	s, ctx := opened(t, c), t.Context()
	must[Job](t)(s.Create(ctx, "a", doc(t, `{"t":"5"}`), About{}, ""))
	for _, after := range []time.Duration{0, time.Hour, 22 * time.Hour, 2 * time.Hour} {
		c.at = c.at.Add(after)
		if err := s.BackupDaily(ctx); err != nil {
			t.Fatal(err)
		}
	}
	all := file(s).backups()
	if len(all) != 2 {
		t.Fatalf("%d backups in 25 hours", len(all))
	}
	if job := must[Job](t)(at(t, all[0], c).Job(ctx, "a")); fields.Get(job.Doc, fields.Pointer{"t"}) != "5" {
		t.Error("the backup does not hold the job")
	}
	for range keptBackups + 3 {
		c.at = c.at.Add(25 * time.Hour)
		if _, err := file(s).backup(ctx, s.write, dailyName); err != nil {
			t.Fatal(err)
		}
	}
	c.at = c.at.Add(time.Hour)
	if err := os.Chtimes(file(s).backups()[len(file(s).backups())-1], c.at.Add(-25*time.Hour), c.at.Add(-25*time.Hour)); err != nil {
		t.Fatal(err)
	}
	if err := s.BackupDaily(ctx); err != nil {
		t.Fatal(err)
	}
	if n := len(file(s).daily()); n != keptBackups {
		t.Errorf("keeps %d daily backups", n)
	}
}

// An older file is brought up to date with a backup of it as it was; a newer one is refused.
func TestAnOlderFileIsMigratedAfterABackup(t *testing.T) {
	c, ctx := newClock(), t.Context()
	path := filepath.Join(t.TempDir(), "shop.db")
	s := at(t, path, c)
	must[Job](t)(s.Create(ctx, "a", doc(t, `{"t":"5"}`), About{}, ""))
	newest := 0
	if err := s.write.QueryRow("SELECT max(version_id) FROM goose_db_version").Scan(&newest); err != nil {
		t.Fatal(err)
	}
	for _, back := range undo(t, newest) {
		if _, err := s.write.Exec(back); err != nil {
			t.Fatal(err)
		}
	}
	s.Close()
	s = at(t, path, c)
	if job := must[Job](t)(s.Job(ctx, "a")); fields.Get(job.Doc, fields.Pointer{"t"}) != "5" {
		t.Error("the job did not come through the migration")
	}
	if all := file(s).backups(); len(all) != 1 || !strings.Contains(all[0], "before-migration") {
		t.Errorf("backups %v", all)
	}
	if _, err := s.write.Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES ($1, 1)", newest+1); err != nil {
		t.Fatal(err)
	}
	s.Close()
	if _, err := Open(ctx, path, c.now); err == nil || !strings.Contains(err.Error(), "newer slabwright") {
		t.Errorf("a file of a newer program: %v", err)
	}
}

// undo takes the last migration back, as an older program would have left the file.
func undo(t *testing.T, newest int) []string {
	t.Helper()
	files, err := migrations.ReadDir("migrations")
	if err != nil {
		t.Fatal(err)
	}
	last := files[len(files)-1].Name()
	if !strings.HasPrefix(last, fmt.Sprintf("%05d_", newest)) {
		t.Fatalf("the last migration is %s, the newest done %d", last, newest)
	}
	text, err := migrations.ReadFile("migrations/" + last)
	if err != nil {
		t.Fatal(err)
	}
	_, down, ok := strings.Cut(string(text), "-- +goose Down\n")
	if !ok {
		t.Fatal("the last migration has no way back")
	}
	return []string{down, fmt.Sprintf("DELETE FROM goose_db_version WHERE version_id = %d", newest)}
}

func TestADamagedFileIsRefusedAndTheBackupNamed(t *testing.T) {
	c, ctx := newClock(), t.Context()
	path := filepath.Join(t.TempDir(), "shop.db")
	s := at(t, path, c)
	for i := range 200 {
		must[Job](t)(s.Create(ctx, fmt.Sprint("j", i), doc(t, `{"name":"`+strings.Repeat("x", 500)+`"}`), About{Title: "x"}, ""))
	}
	backup := must[string](t)(file(s).backup(ctx, s.write, dailyName))
	if _, err := s.write.Exec("PRAGMA wal_checkpoint(TRUNCATE)"); err != nil {
		t.Fatal(err)
	}
	s.Close()
	text := must[[]byte](t)(os.ReadFile(path))
	for i := 3 * 4096; i < len(text)-4096; i += 4096 {
		copy(text[i:i+64], strings.Repeat("\x55", 64))
	}
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(ctx, path, c.now); err == nil || !strings.Contains(err.Error(), backup) {
		t.Errorf("%v", err)
	}
	for name, path := range map[string]string{"a folder": t.TempDir(), "no database": filepath.Join(t.TempDir(), "x"), "no folder": "/nowhere/at/all.db"} {
		if name == "no database" {
			if err := os.WriteFile(path, []byte(strings.Repeat("this is no database ", 100)), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := Open(ctx, path, c.now); err == nil {
			t.Errorf("%s was opened", name)
		}
	}
}

func TestTheReaderCannotWrite(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s := opened(t, newClock())
		var result sql.Result
		var err error
		if result, err = s.read.Exec("DELETE FROM jobs"); err == nil {
			t.Errorf("the reader wrote: %v", result)
		}
	})
}

// Work that shares a transaction stands or falls alone.
func TestOnePersonsRefusalDoesNotTakeAnothersWorkAlong(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s, ctx := opened(t, newClock()), t.Context()
		must[Job](t)(s.Create(ctx, "a", doc(t, `{}`), About{}, ""))
		no := errors.New("no")
		held := make(chan struct{})
		go func() { // holds the writer until the others wait behind it
			_ = s.within(ctx, func(context.Context, *sql.Tx) error { <-held; return nil })
		}()
		var wait sync.WaitGroup
		for i := range 20 {
			wait.Go(func() {
				guard := func(_, _ fields.Value) error {
					switch i % 3 {
					case 1:
						return no
					case 2:
						panic("a mistake")
					}
					return nil
				}
				_, _, err := s.Apply(ctx, "a", Change{ID: fmt.Sprint(i), Device: fmt.Sprint(i), Sets: []fields.Set{{Pointer: fmt.Sprintf("/f%d", i), Value: "x"}}}, flat, nobody, guard)
				if (err == nil) != (i%3 == 0) {
					t.Errorf("%d: %v", i, err)
				}
			})
		}
		time.Sleep(50 * time.Millisecond)
		close(held)
		wait.Wait()
		if job := must[Job](t)(s.Job(ctx, "a")); job.Revision != 1+7 || len(job.Doc.(map[string]any)) != 7 {
			t.Errorf("revision %d, %s", job.Revision, fields.Bytes(job.Doc))
		}
		s.Close()
		if err := s.Summarise(ctx, "a", 1, Answered{}); !errors.Is(err, errClosed) {
			t.Errorf("a closed store takes work: %v", err)
		}
	})
}
