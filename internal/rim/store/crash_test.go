package store

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"slabwright/internal/rim/fields"
)

// crashEnv makes this test binary the victim: it writes to the named file as fast as it can and says on its output what was
// acknowledged, until it is killed.
const crashEnv = "STORE_CRASH_FILE"

func TestMain(m *testing.M) {
	if path := os.Getenv(crashEnv); path != "" {
		victim(path, os.Getenv("STORE_CRASH_ROUND"))
		return
	}
	os.Exit(m.Run())
}

func victim(path, round string) {
	ctx := context.Background()
	s, err := Open(ctx, path, time.Now)
	if err != nil {
		fmt.Println("failed", err)
		return
	}
	_, err = s.Create(ctx, "a", map[string]any{}, About{}, "")
	for i := 0; err == nil || err == ErrThere; i++ {
		id := fmt.Sprintf("%s-%d", round, i)
		c := Change{ID: id, Device: "d", Sets: []fields.Set{{Pointer: "/last", Value: id}, {Pointer: "/all/-", Value: id}}}
		if _, _, err = s.Apply(ctx, "a", c, flat, nobody, nil); err == nil {
			fmt.Println("done", id)
		}
		if i%20 == 19 {
			_, _ = file(s).backup(ctx, s.write, dailyName) // a kill may fall into it
		}
	}
	fmt.Println("failed", err)
}

// The process is killed at a random moment, many times over on the same file. Whatever it had acknowledged must be there, once,
// in order; of what it had not acknowledged at most the last is.
func TestNoAcknowledgedChangeIsLostWhenTheProcessIsKilled(t *testing.T) {
	const rounds = 25
	path := filepath.Join(t.TempDir(), "shop.db")
	random := rand.New(rand.NewPCG(20270617, 9))
	var acknowledged []string
	for round := range rounds {
		acknowledged = append(acknowledged, killed(t, path, round, time.Duration(30+random.IntN(120))*time.Millisecond)...)
	}
	if len(acknowledged) < rounds {
		t.Fatalf("only %d changes were acknowledged in %d rounds", len(acknowledged), rounds)
	}
	s := at(t, path, newClock())
	list, _ := fields.Get(must[Job](t)(s.Job(t.Context(), "a")).Doc, fields.Pointer{"all"}).([]any)
	extra, next := 0, 0
	for _, entry := range list {
		if next < len(acknowledged) && entry == acknowledged[next] {
			next++
		} else {
			extra++
		}
	}
	if next != len(acknowledged) {
		t.Errorf("%s was acknowledged and is not there in its place", acknowledged[next])
	}
	if extra > rounds {
		t.Errorf("%d changes are there that were not acknowledged", extra)
	}
	if err := s.Check(t.Context()); err != nil {
		t.Error(err)
	}
	for _, backup := range file(s).backups() {
		if err := file(s).readable(t.Context(), backup); err != nil {
			t.Errorf("%s: %v", backup, err)
		}
	}
	t.Logf("%d acknowledged, %d beyond, %d backups", len(acknowledged), extra, len(file(s).backups()))
}

// killed runs the victim, kills it that long after its first word, and returns what it had acknowledged.
func killed(t *testing.T, path string, round int, after time.Duration) []string {
	t.Helper()
	victim := exec.Command(os.Args[0], "-test.run=^$")
	victim.Env = append(os.Environ(), crashEnv+"="+path, fmt.Sprintf("STORE_CRASH_ROUND=%d", round))
	out, err := victim.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := victim.Start(); err != nil {
		t.Fatal(err)
	}
	var done []string
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if len(done) == 0 {
			time.AfterFunc(after, func() { _ = victim.Process.Kill() })
		}
		var word, id string
		if _, err := fmt.Sscan(lines.Text(), &word, &id); err != nil || word != "done" {
			_ = victim.Process.Kill()
			t.Fatalf("the victim says %q", lines.Text())
		}
		done = append(done, id)
	}
	_ = victim.Wait() // killed
	return done
}
