package store

import (
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/store/storetest"
)

// busy fills a store with all that a shop leaves in it: documents with odd characters, changes, differences, files, prints, the bin.
func busy(t testing.TB, s *Store) {
	t.Helper()
	ctx := context.Background()
	for j := range 3 {
		id := fmt.Sprintf("Job-%c%d", "aBéZ_"[j%3], j)
		must[Job](t)(s.Create(ctx, id, doc(t, `{"t":"5","name":"Pad \u0000 <b>&\u2028 ü","n":6.50}`), About{Title: "Pad ü\n\"" + id, PourDate: "thu"}, "me"))
		for i := range 4 {
			change(t, s, id, Change{ID: fmt.Sprint("c", i), Device: fmt.Sprint("d", i%2), By: "Ann", At: "06:55", Seen: 1, Step: "step", Sets: []fields.Set{
				{Pointer: "/t", Value: fmt.Sprint(i)}, {Pointer: "/l/-", Value: map[string]any{"i": fmt.Sprint(i)}}}})
		}
		_, _, err := s.Attach(ctx, id, Attachment{Name: "f.bin", Media: "application/octet-stream", Bytes: bytes.Repeat([]byte{0, 255, byte(j)}, j*200)})
		if err != nil {
			t.Fatal(err)
		}
		must[Print](t)(s.Print(ctx, id, 3, "v"))
	}
	if err := s.Bin(ctx, "Job-a0", 6); err != nil {
		t.Fatal(err)
	}
}

// everyTable puts a row of plain words and ones into each table of the schema that takes one: whatever refers to another refers to
// it. Those that want other words are named.
func everyTable(t *testing.T, s *Store) (wanted []string) {
	t.Helper()
	var all []table
	err := s.reading(t.Context(), func(ctx context.Context, tx *sql.Tx) (err error) {
		all, err = tables(ctx, s.base, tx)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range all {
		err := s.within(t.Context(), func(ctx context.Context, tx *sql.Tx) error {
			l := &loader{ctx: ctx, tx: tx, into: &one}
			for _, c := range one.Columns {
				l.args = append(l.args, map[kind]any{text: `{}`, number: int64(1), octets: []byte{0}}[c.Kind])
			}
			return l.flush()
		})
		if err != nil {
			wanted = append(wanted, one.Name)
			t.Logf("no row of %s: %v", one.Name, err)
		}
	}
	return wanted
}

func backedUp(t *testing.T, s *Store) (path string, m Manifest) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "shop.backup")
	m, err := s.BackupTo(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	return path, m
}

// eachWay runs a test from each kind of database to each.
func eachWay(t *testing.T, test func(t *testing.T, from, to string)) {
	kinds := map[string]func(testing.TB) string{"sqlite": storetest.File, "postgres": storetest.Postgres}
	for from, one := range kinds {
		for to, other := range kinds {
			t.Run(from+" to "+to, func(t *testing.T) { test(t, one(t), other(t)) })
		}
	}
}

// A backup restored into either database makes the same backup again, byte by byte, and the store there goes on from it.
func TestABackupComesBackTheSameInEitherDatabase(t *testing.T) {
	eachWay(t, func(t *testing.T, from, to string) {
		c, ctx := newClock(), t.Context()
		s := at(t, from, c)
		busy(t, s)
		everyTable(t, s)
		first, m := backedUp(t, s)
		restored, err := Restore(ctx, first, to, c.now)
		if err != nil {
			t.Fatal(err)
		}
		other := at(t, to, c)
		second, again := backedUp(t, other)
		if a, b := must[[]byte](t)(os.ReadFile(first)), must[[]byte](t)(os.ReadFile(second)); !bytes.Equal(a, b) {
			t.Errorf("%d and %d bytes, not the same", len(a), len(b))
		}
		if m.SHA256 != restored.SHA256 || m.SHA256 != again.SHA256 || m.Rows() < 40 {
			t.Errorf("manifests %+v, %+v, %+v", m, restored, again)
		}
		if a := change(t, other, "Job-B1", Change{ID: "after", Sets: set("/t", "9", "3")}); a.Revision != 7 {
			t.Errorf("the restored job goes on at %d", a.Revision)
		}
	})
}

func TestMovingLeavesTheSameInBoth(t *testing.T) {
	eachWay(t, func(t *testing.T, from, to string) {
		c, ctx := newClock(), t.Context()
		s := at(t, from, c)
		busy(t, s)
		m, err := Move(ctx, from, to, c.now)
		if err != nil {
			t.Fatal(err)
		}
		for _, one := range []*Store{s, at(t, to, c)} {
			if is, err := one.Verify(ctx); err != nil || is.SHA256 != m.SHA256 {
				t.Errorf("%s: %v, %+v", one.Name(), err, is)
			}
		}
		if _, err := Move(ctx, from, to, c.now); err == nil || !strings.Contains(err.Error(), "holds something already") {
			t.Errorf("moved over what is there: %v", err)
		}
		if _, err := Move(ctx, filepath.Join(t.TempDir(), "none.db"), storetest.File(t), c.now); !errors.Is(err, os.ErrNotExist) {
			t.Errorf("moved from nothing: %v", err)
		}
	})
}

var creates = regexp.MustCompile(`(?i)create table (?:if not exists )?"?(\w+)`)

// Every table that a migration makes is in the backup, on both databases, and nothing is left out but what notKept names.
func TestEveryTableOfTheSchemaIsInTheBackup(t *testing.T) {
	want := map[string]bool{}
	for _, file := range must[[]os.DirEntry](t)(migrations.ReadDir("migrations")) {
		text := must[[]byte](t)(migrations.ReadFile("migrations/" + file.Name()))
		up, _, _ := strings.Cut(string(text), "-- +goose Down")
		for _, m := range creates.FindAllStringSubmatch(up, -1) {
			want[m[1]] = true
		}
	}
	if len(want) < 5 {
		t.Fatalf("only %v found", want)
	}
	both(t, func(t *testing.T, opened opener) {
		s := opened(t, newClock())
		_, m := backedUp(t, s)
		got := map[string]bool{}
		for _, c := range m.Tables {
			got[c.Table] = true
			if c.Rows != 0 {
				t.Errorf("a new store holds %d rows of %s: it could never be restored into", c.Rows, c.Table)
			}
		}
		for name := range want {
			if !got[name] && !notKept(name) {
				t.Errorf("the table %s is in no backup", name)
			}
		}
		for name := range got {
			if !want[name] {
				t.Errorf("the table %s is in the backup and no migration makes it: another program's?", name)
			}
		}
		everyTable(t, s)
		_, m = backedUp(t, s)
		for _, c := range m.Tables {
			var rows int64
			if err := s.read.QueryRow("SELECT count(*) FROM " + quotedName(c.Table)).Scan(&rows); err != nil || rows != c.Rows {
				t.Errorf("%s: %d rows in the backup, %d in the database, %v", c.Table, c.Rows, rows, err)
			}
		}
	})
}

// Whatever byte of the file is another, and wherever it is cut, it is refused in words and nothing is restored.
func TestADamagedBackupIsRefused(t *testing.T) {
	c, ctx := newClock(), t.Context()
	s := opened(t, c)
	must[Job](t)(s.Create(ctx, "a", doc(t, `{"t":"5"}`), About{Title: "Pad"}, "me"))
	change(t, s, "a", Change{ID: "c", Sets: set("/t", "6", "5")})
	path, _ := backedUp(t, s)
	whole := must[[]byte](t)(os.ReadFile(path))
	spoilt := filepath.Join(t.TempDir(), "spoilt")
	refused := func(what string, text []byte, restore bool) {
		t.Helper()
		if err := os.WriteFile(spoilt, text, 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := VerifyFile(ctx, spoilt)
		if err == nil || !strings.Contains(err.Error(), "damaged") || !strings.Contains(err.Error(), spoilt) {
			t.Errorf("%s: %v", what, err)
		}
		if restore {
			to := storetest.File(t)
			if _, err := Restore(ctx, spoilt, to, c.now); err == nil {
				t.Errorf("%s was restored", what)
			}
			if _, err := os.Stat(to); err == nil {
				t.Errorf("%s left %s", what, to)
			}
		}
	}
	for i := range whole {
		text := slices.Clone(whole)
		text[i] ^= 1 << (i % 8)
		refused(fmt.Sprintf("byte %d of %d another", i, len(whole)), text, i%97 == 0)
		refused(fmt.Sprintf("cut at %d", i), whole[:i], i%97 == 0)
	}
	refused("a byte more", append(slices.Clone(whole), '\n'), true)
	refused("twice", append(slices.Clone(whole), whole...), true)
	if _, err := VerifyFile(ctx, path); err != nil {
		t.Errorf("whole: %v", err)
	}
}

// The lines are held to their own counts too, should somebody have made a file with a right hash around them.
func TestLinesAreHeldToTheirCounts(t *testing.T) {
	s, ctx := opened(t, newClock()), t.Context()
	busy(t, s)
	var b bytes.Buffer
	m := must[Manifest](t)(s.dump(ctx, &b))
	whole := b.String()
	if again, err := readLines(strings.NewReader(whole), nobodysTaker{}); err != nil || again.SHA256 != m.SHA256 || !slices.Equal(again.Tables, m.Tables) {
		t.Fatalf("%v, %+v", err, again)
	}
	lines := strings.SplitAfter(whole, "\n")
	lines = lines[:len(lines)-1]
	for i := range lines {
		for what, text := range map[string]string{
			"left out":     strings.Join(slices.Delete(slices.Clone(lines), i, i+1), ""),
			"twice":        strings.Join(slices.Insert(slices.Clone(lines), i, lines[i]), ""),
			"nothing":      strings.Join(slices.Insert(slices.Clone(lines), i, "\n"), ""),
			"an object":    strings.Join(slices.Insert(slices.Clone(lines), i, "{}\n"), ""),
			"an empty row": strings.Join(slices.Insert(slices.Clone(lines), i, "[]\n"), ""),
		} {
			if _, err := readLines(strings.NewReader(text), nobodysTaker{}); !errors.Is(err, ErrDamaged) {
				t.Errorf("line %d, %s: %v", i+1, what, err)
			}
		}
	}
	if _, err := readLines(strings.NewReader(strings.Replace(whole, `"slabwright_store":1`, `"slabwright_store":2`, 1)), nobodysTaker{}); err == nil || !strings.Contains(err.Error(), "form 2") {
		t.Errorf("lines of a later form: %v", err)
	}
}

func FuzzLines(f *testing.F) {
	f.Add([]byte(`{"slabwright_store":1,"form":2,"tables":[{"name":"a","columns":[{"name":"k","kind":"text"},{"name":"n","kind":"number"},{"name":"b","kind":"bytes"}],"key":["k"]}]}
{"table":"a"}
["x",1,"AA=="]
{"manifest":[{"table":"a","rows":1,"sha256":""}]}
`))
	f.Add([]byte("[]\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		m, err := readLines(bytes.NewReader(text), newChecker(context.Background()))
		if err == nil && m.SHA256 != fmt.Sprintf("%x", sha256.Sum256(text)) {
			t.Errorf("taken as whole, and its hash is another: %q", text)
		}
	})
}

func TestRestoringNeedsAnEmptyStore(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		c, ctx := newClock(), t.Context()
		s := opened(t, c)
		busy(t, s)
		path, m := backedUp(t, s)
		where := s.Name()
		if p, ok := s.base.(*postgres); ok {
			where = p.config.ConnString()
		}
		if _, err := Restore(ctx, path, where, c.now); err == nil || !strings.Contains(err.Error(), "holds something already") {
			t.Errorf("restored over what is there: %v", err)
		}
		if is, err := s.Verify(ctx); err != nil || is.SHA256 != m.SHA256 {
			t.Errorf("the refusal changed it: %v", err)
		}
		if _, err := s.BackupTo(ctx, path); err == nil || !strings.Contains(err.Error(), "there already") {
			t.Errorf("a backup was written over: %v", err)
		}
	})
}

// A restore that is broken off, or whose file ends otherwise than it began, leaves an empty store that takes the next one.
func TestABrokenOffRestoreLeavesNothing(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		c, ctx := newClock(), t.Context()
		s := at(t, storetest.File(t), c)
		busy(t, s)
		path, m := backedUp(t, s)
		where := fresh()
		for _, after := range []int{0, 1, 7, 15, 22} {
			_, err := fill(ctx, where, m.Form, c.now, func(to taker) (Manifest, Manifest, error) {
				return s.pour(ctx, &breaking{taker: to, after: after})
			})
			if !errors.Is(err, errBroken) {
				t.Fatalf("after %d rows: %v", after, err)
			}
		}
		if _, err := fill(ctx, where, m.Form, c.now, func(to taker) (Manifest, Manifest, error) {
			sent, taken, err := s.pour(ctx, to)
			sent.SHA256 = "other"
			return sent, taken, err
		}); err == nil || !strings.Contains(err.Error(), "nothing of it was kept") {
			t.Errorf("what does not read back the same: %v", err)
		}
		if err := empty(ctx, where, c.now); err != nil {
			t.Errorf("something is left: %v", err)
		}
		if back, err := Restore(ctx, path, where, c.now); err != nil || back.SHA256 != m.SHA256 {
			t.Errorf("the next one: %v", err)
		}
	})
}

// A process that is killed while it restores leaves an empty store, or a whole one when it had come to its end.
func TestAKilledRestoreLeavesAllOrNothing(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		c, ctx := newClock(), t.Context()
		s := at(t, storetest.File(t), c)
		grown(t, s, 100, 5000, 5)
		path, m := backedUp(t, s)
		first := fresh()
		began := time.Now()
		if _, err := Restore(ctx, path, first, c.now); err != nil {
			t.Fatal(err)
		}
		takes := time.Since(began)
		empties := 0
		for i := range 8 {
			where := fresh()
			victim := exec.Command(os.Args[0], "-test.run=^$")
			victim.Env = append(os.Environ(), crashWhere+"="+where, crashFrom+"="+path)
			if err := victim.Start(); err != nil {
				t.Fatal(err)
			}
			time.Sleep(takes * time.Duration(i+1) / 9)
			_ = victim.Process.Kill()
			_ = victim.Wait() // killed
			if empty(ctx, where, c.now) == nil {
				empties++
				continue
			}
			if back, err := at(t, where, c).Verify(ctx); err != nil || back.SHA256 != m.SHA256 {
				t.Errorf("killed after %d/9: %+v, %v", i+1, back, err)
			}
		}
		if empties == 0 {
			t.Error("never killed in the middle")
		}
		t.Logf("%d of 8 left nothing, the others all", empties)
	})
}

// A backup taken while many write is of one moment: each job's chain of changes is whole in it.
func TestABackupIsOfOneMoment(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s, ctx := opened(t, newClock()), t.Context()
		for j := range 4 {
			must[Job](t)(s.Create(ctx, fmt.Sprint("j", j), map[string]any{}, About{}, ""))
		}
		done := make(chan struct{})
		var wait sync.WaitGroup
		for j := range 4 {
			wait.Go(func() {
				for i := 0; ; i++ {
					select {
					case <-done:
						return
					default:
					}
					if _, _, err := s.Apply(ctx, fmt.Sprint("j", j), entry("w", j, i), flat, nobody, nil); err != nil {
						t.Error(err)
						return
					}
				}
			})
		}
		seen := map[string]bool{}
		for range 5 {
			path, m := backedUp(t, s)
			seen[m.SHA256] = true
			if _, err := VerifyFile(ctx, path); err != nil {
				t.Error(err)
			}
		}
		close(done)
		wait.Wait()
		if len(seen) < 3 {
			t.Errorf("only %d of 5 backups differ: nobody wrote meanwhile", len(seen))
		}
	})
}

var errBroken = errors.New("broken off")

type breaking struct {
	taker
	after int
}

func (b *breaking) row(t *table, values []any) error {
	if b.after--; b.after < 0 {
		return errBroken
	}
	return b.taker.row(t, values)
}

// A backup of an older program is restored in its own form and brought up to date.
func TestABackupOfAnOlderFormIsBroughtUpToDate(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		c, ctx := newClock(), t.Context()
		old, err := openAt(ctx, storetest.File(t), 1, c.now)
		if err != nil {
			t.Fatal(err)
		}
		defer old.Close()
		if _, err := old.write.Exec(`INSERT INTO jobs VALUES ('a', '{"t":"5"}', 1, 1, 'Pad', '', '', '', 1, 1, '', NULL, '', '', '', 0)`); err != nil {
			t.Fatal(err)
		}
		path, m := backedUp(t, old)
		where := fresh()
		if _, err := Restore(ctx, path, where, c.now); err != nil || m.Form != 1 {
			t.Fatal(m.Form, err)
		}
		s := at(t, where, c)
		if found, _, err := s.List(ctx, Listing{Limit: 10}); err != nil || len(found) != 1 || found[0].Title != "Pad" {
			t.Errorf("%+v, %v", found, err)
		}
		change(t, s, "a", Change{ID: "c", Sets: set("/t", "6", "5")})
	})
}

// What does not hang together is found, in a store and in a backup of it, and told in words.
func TestVerifyFindsWhatDoesNotHangTogether(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		for says, spoil := range map[string]string{
			`change that made revision 3 is missing`:          `DELETE FROM changes WHERE job = 'Job-B1' AND revision = 3`,
			`the document of job "Job-B1" is not JSON`:        `UPDATE jobs SET document = '{"t":' WHERE id = 'Job-B1'`,
			`job "Job-B1" stands at revision 0`:               `UPDATE jobs SET revision = 0 WHERE id = 'Job-B1'`,
			`stands at revision 9, and`:                       `UPDATE jobs SET revision = 9 WHERE id = 'Job-B1'`,
			`put down whole at revision 77`:                   `UPDATE jobs SET base = 77 WHERE id = 'Job-B1'`,
			`made revision 99, which the job never had`:       `UPDATE changes SET revision = 99 WHERE job = 'Job-B1' AND revision = 4`,
			`change "c0" of job "Job-B1" cannot be read`:      `UPDATE changes SET sets = 'x' WHERE job = 'Job-B1' AND id = 'c0'`,
			`was answered with revision`:                      `UPDATE changes SET answer = '{"revision":5}' WHERE job = 'Job-B1' AND id = 'c0'`,
			`points at revision 55, which is not there`:       `UPDATE heads SET revision = 55 WHERE job = 'Job-B1'`,
			`was said of /t in job "Job-B1" cannot be read`:   `UPDATE heads SET value = 'x' WHERE job = 'Job-B1'`,
			`the file "f.bin" beside job "Job-B1" is not the`: `UPDATE attachments SET version = 'x' WHERE job = 'Job-B1'`,
			`print R1 of job "Job-B1" is of revision 40`:      `UPDATE prints SET revision = 40 WHERE job = 'Job-B1'`,
		} {
			s := opened(t, newClock())
			busy(t, s)
			if m, err := s.Verify(t.Context()); err != nil || m.Rows() == 0 {
				t.Fatalf("whole: %v", err)
			}
			if result, err := s.write.Exec(spoil); err != nil {
				t.Fatal(err)
			} else if n, _ := result.RowsAffected(); n == 0 {
				t.Fatalf("%s met nothing", spoil)
			}
			var unsound *Unsound
			if _, err := s.Verify(t.Context()); !errors.As(err, &unsound) || !strings.Contains(err.Error(), says) {
				t.Errorf("%s: %v", spoil, err)
			}
			path, _ := backedUp(t, s)
			if _, err := VerifyFile(t.Context(), path); !errors.As(err, &unsound) || !strings.Contains(err.Error(), says) {
				t.Errorf("%s, in the backup: %v", spoil, err)
			}
		}
	})
}

// Looking at a database makes nothing and changes nothing.
func TestLookingMakesNothing(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		where := fresh()
		if s, err := Look(t.Context(), where, newClock().now); err == nil {
			s.Close()
			t.Error("looked at nothing")
		}
		at(t, where, newClock()).Close()
		s, err := Look(t.Context(), where, newClock().now)
		if err != nil {
			t.Fatal(err)
		}
		s.Close()
	})
}
