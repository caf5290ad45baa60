package store

import (
	"bufio"
	"context"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/store/storetest"
)

// crashes is how many times each database is killed; make crash asks for 500.
var (
	crashes   = flag.Int("crashes", 8, "how many times processes are killed in the middle of writes, on each database")
	crashSeed = flag.Uint64("crash-seed", 20270617, "when they are killed")
)

// Variables that make this test binary a victim: it writes as fast as it can and says on its output what was acknowledged, until
// it is killed.
const (
	crashWhere = "STORE_CRASH_WHERE"
	crashName  = "STORE_CRASH_NAME"
	crashJob   = "STORE_CRASH_JOB"
	crashFrom  = "STORE_CRASH_FROM" // a backup: the victim restores it instead
)

func TestMain(m *testing.M) {
	if where, from := os.Getenv(crashWhere), os.Getenv(crashFrom); from != "" {
		if _, err := Restore(context.Background(), from, where, time.Now); err == nil {
			fmt.Println("restored")
		}
		return
	}
	if where := os.Getenv(crashWhere); where != "" {
		victim(where, os.Getenv(crashName), os.Getenv(crashJob))
		return
	}
	os.Exit(m.Run())
}

// hands is how many people write in one victim at the same time: their work shares transactions.
const hands = 4

func victim(where, name, job string) {
	ctx := context.Background()
	s, err := Open(ctx, where, time.Now)
	if err != nil {
		return // the server may be gone by now
	}
	if _, err := s.Create(ctx, job, map[string]any{}, About{}, ""); err != nil && !errors.Is(err, ErrThere) {
		return
	}
	fmt.Println("job")
	var wait sync.WaitGroup
	for hand := range hands {
		wait.Go(func() {
			for i := 0; ; i++ {
				if _, _, err := s.Apply(ctx, job, entry(name, hand, i), flat, nobody, nil); err != nil {
					return
				}
				fmt.Println("change", hand, i)
				if f, is := s.base.(*sqliteFile); is && hand == 0 && i%50 == 20 {
					_, _ = f.backup(ctx, s.write, dailyName) // a kill may fall into it
				}
				if i%5 == 4 {
					file := fmt.Sprint(name, "-", hand)
					if _, _, err := s.Attach(ctx, job, Attachment{Name: file, Media: "text/plain", Bytes: []byte(strconv.Itoa(i))}); err != nil {
						return
					}
					fmt.Println("file", hand, i)
				}
			}
		})
	}
	wait.Wait()
}

// entry is the change that a hand of a victim makes as its nth.
func entry(name string, hand, n int) Change {
	id := fmt.Sprintf("%s-%d-%d", name, hand, n)
	return Change{ID: id, Device: fmt.Sprint(name, hand), Sets: []fields.Set{{Pointer: "/last", Value: id}, {Pointer: "/all/-", Value: id}}}
}

// acknowledged is what a victim said was acknowledged before it was killed: of each hand how many changes, and the last file.
type acknowledged struct {
	name    string
	job     bool
	changes [hands]int
	files   [hands]int
}

// launch starts a victim; kill ends it by SIGKILL, and heard waits for its end and tells what it had said.
func launch(t *testing.T, where, name, job string) (first <-chan struct{}, kill func(), heard func() acknowledged) {
	t.Helper()
	c := exec.Command(os.Args[0], "-test.run=^$")
	c.Env = append(os.Environ(), crashWhere+"="+where, crashName+"="+name, crashJob+"="+job)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	began, ended := make(chan struct{}), make(chan struct{})
	a := acknowledged{name: name, files: [hands]int{-1, -1, -1, -1}}
	go func() {
		defer close(ended)
		var once sync.Once
		for in := bufio.NewReader(out); ; {
			line, err := in.ReadString('\n')
			if err != nil {
				break // a line that was cut short was not said
			}
			var hand, n int
			word, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
			_, _ = fmt.Sscan(rest, &hand, &n)
			switch word {
			case "job":
				a.job = true
			case "change":
				a.changes[hand] = n + 1
				once.Do(func() { close(began) })
			case "file":
				a.files[hand] = n
			}
		}
		once.Do(func() { close(began) })
		_ = c.Wait() // killed
	}()
	return began, func() { _ = c.Process.Kill() }, func() acknowledged { <-ended; return a }
}

// tally sums what was seen over all crashes.
type tally struct{ acknowledged, beyond, servers, pairs int }

// crashOnce lets one or two processes write one job and kills them, or the server under them, at a moment by chance. Then what was
// acknowledged must be there, once, and nothing half; sent again it is still there once.
func crashOnce(t *testing.T, random *rand.Rand, where string, server *storetest.Server, round int, sum *tally) {
	t.Helper()
	job := fmt.Sprint("j", round)
	names := []string{fmt.Sprint(round, "a"), fmt.Sprint(round, "b")}[:1+random.IntN(2)]
	sum.pairs += len(names) - 1
	var kills []func()
	var heard []func() acknowledged
	for _, name := range names {
		began, kill, hear := launch(t, where, name, job)
		kills, heard = append(kills, kill), append(heard, hear)
		if random.IntN(8) > 0 { // else it is killed while it opens the store
			<-began
		}
	}
	time.Sleep(time.Duration(random.IntN(60)) * time.Millisecond)
	if server != nil && random.IntN(5) == 0 {
		sum.servers++
		crash := server.Kill
		if random.IntN(2) == 0 {
			crash = server.Crash
		}
		if err := crash(); err != nil {
			t.Fatal(err)
		}
	} else {
		server = nil // it goes on
	}
	for _, kill := range kills {
		kill()
	}
	var said []acknowledged
	for _, hear := range heard {
		said = append(said, hear())
	}
	if server != nil {
		if err := server.Start(); err != nil {
			t.Fatal(err)
		}
	}
	s, err := Open(context.Background(), where, time.Now)
	if err != nil {
		t.Fatalf("round %d: %v", round, err)
	}
	defer s.Close()
	for _, a := range said {
		afterCrash(t, s, job, a, sum)
	}
}

// afterCrash looks at what one victim left.
func afterCrash(t *testing.T, s *Store, job string, a acknowledged, sum *tally) {
	t.Helper()
	ctx := context.Background()
	if !a.job {
		return // killed before it had said anything
	}
	there := entries(t, s, job)
	for hand, n := range a.changes {
		for i := range n {
			if there[entry(a.name, hand, i).ID] != 1 {
				t.Errorf("%s: change %d of hand %d was acknowledged and is there %d times", a.name, i, hand, there[entry(a.name, hand, i).ID])
			}
		}
		sum.acknowledged += n
		sum.beyond += there[entry(a.name, hand, n).ID]
		if extra := there[entry(a.name, hand, n+1).ID]; extra != 0 {
			t.Errorf("%s: hand %d had not yet sent change %d and it is there", a.name, hand, n+1)
		}
		if last := a.files[hand]; last >= 0 {
			file, err := s.Attachment(ctx, job, fmt.Sprint(a.name, "-", hand))
			if is, _ := strconv.Atoi(string(file.Bytes)); err != nil || is < last {
				t.Errorf("%s: file %d of hand %d was acknowledged, there is %q: %v", a.name, last, hand, file.Bytes, err)
			}
		}
		for i := max(0, n-1); i <= n; i++ { // the device sends again what it has no answer to
			c := entry(a.name, hand, i)
			if _, again, err := s.Apply(ctx, job, c, flat, nobody, nil); err != nil || again != (there[c.ID] == 1) {
				t.Errorf("%s sent again: %v, %v", c.ID, again, err)
			}
		}
	}
	for id, n := range entries(t, s, job) {
		if n != 1 {
			t.Errorf("%s is there %d times", id, n)
		}
	}
}

// entries counts the entries of a job's list; each must have its change, and each change its entry.
func entries(t *testing.T, s *Store, job string) map[string]int {
	t.Helper()
	ctx := context.Background()
	there := map[string]int{}
	list, _ := fields.Get(must[Job](t)(s.Job(ctx, job)).Doc, fields.Pointer{"all"}).([]any)
	for _, id := range list {
		there[id.(string)]++
	}
	changes := 0
	for _, done := range must[[]Done](t)(s.Since(ctx, job, 0)) {
		if len(done.Sets) == 0 {
			continue // a file
		}
		if changes++; there[done.ID] != 1 {
			t.Errorf("change %s has %d entries", done.ID, there[done.ID])
		}
	}
	if changes != len(list) {
		t.Errorf("%d changes and %d entries", changes, len(list))
	}
	return there
}

// Processes that write are killed at moments by chance, alone and two at a time on one database, many times over; on PostgreSQL
// the server is killed under them too. What was acknowledged is there, once; nothing is half. (The machine's power stays on: that
// the disk keeps what it has said it wrote is the disk's word.)
func TestNoAcknowledgedInputIsLostWhenProcessesAreKilled(t *testing.T) {
	crash := func(t *testing.T, where string, server *storetest.Server) {
		random := rand.New(rand.NewPCG(*crashSeed, 9))
		var sum tally
		for round := range *crashes {
			crashOnce(t, random, where, server, round, &sum)
		}
		s := at(t, where, newClock())
		if _, err := s.Verify(t.Context()); err != nil {
			t.Error(err)
		}
		if f, is := s.base.(*sqliteFile); is {
			for _, backup := range f.backups() {
				if err := f.readable(t.Context(), backup); err != nil {
					t.Errorf("%s: %v", backup, err)
				}
			}
		}
		if sum.acknowledged < *crashes {
			t.Errorf("only %d changes were acknowledged in %d rounds", sum.acknowledged, *crashes)
		}
		t.Logf("seed %d: killed %d times, %d of them the server, %d with two processes: %d changes acknowledged, none lost or doubled; %d more were kept that nobody had been told of",
			*crashSeed, *crashes, sum.servers, sum.pairs, sum.acknowledged, sum.beyond)
	}
	t.Run("sqlite", func(t *testing.T) { crash(t, storetest.File(t), nil) })
	t.Run("postgres", func(t *testing.T) {
		server := storetest.Durable(t)
		crash(t, server.Database(t), server)
	})
}
