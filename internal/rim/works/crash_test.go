package works

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"slabwright/internal/rim/store"
	"slabwright/internal/rim/store/storetest"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/working"
)

// make crash asks for more.
var (
	crashes    = flag.Int("crashes", 8, "how many times a worker is killed, on each database")
	crashWorks = flag.Int("crash-works", 16, "how many works are asked for meanwhile, on each database")
	crashSeed  = flag.Uint64("crash-seed", 20270617, "who is killed, and when")
)

// crashWhere makes this test binary a worker on a store, until it is killed.
const crashWhere = "WORKS_CRASH_WHERE"

func TestMain(m *testing.M) {
	if where := os.Getenv(crashWhere); where != "" {
		if err := victim(where); err != nil {
			fmt.Println("broken", err)
		}
		return
	}
	os.Exit(m.Run())
}

// victim is a worker that says each work it begins.
func victim(where string) error {
	st, err := store.Open(context.Background(), where, time.Now)
	if err != nil {
		return err
	}
	var w *Works
	crashQuestions()
	o := Options{Store: st, Places: 1, Lost: lostInCrash, Now: time.Now, Log: slog.New(slog.DiscardHandler)}
	o.Hear = hearing(st, func() plan.Memory { return w })
	if w, err = Open(context.Background(), o); err != nil {
		return err
	}
	fmt.Println("ready")
	select {}
}

const lostInCrash = 2 * time.Second

// burst is how many works wait at least while workers are killed.
const burst = 8

// crashQuestions are two works that take a little: one finds something, one always breaks.
func crashQuestions() {
	key := func(_ context.Context, w *Works, k *kept) (string, error) { return w.key("crash", k.id), nil }
	questions["slow"] = question{says: "Testing", keeps: time.Hour, key: key, do: func(ctx context.Context, _ *Works, k kept) (finding, error) {
		fmt.Println("begun", k.id)
		for i := range 5 {
			working.Tell(ctx, float64(i)/5)
			if !every(ctx, 60*time.Millisecond) {
				return finding{}, ctx.Err()
			}
		}
		return finding{Result: store.Result{Bytes: []byte("of " + k.id)}}, nil
	}}
	questions["poison"] = question{says: "Testing", keeps: time.Hour, key: key, do: func(context.Context, *Works, kept) (finding, error) { panic("poison") }}
}

// worker is a process that does works.
type worker struct {
	command *exec.Cmd
	ready   chan bool
}

func (s shop) worker(begun *atomic.Int64) worker {
	s.t.Helper()
	w := worker{exec.Command(os.Args[0], "-test.run=^$"), make(chan bool, 1)}
	w.command.Env = append(os.Environ(), crashWhere+"="+s.where)
	out, err := w.command.StdoutPipe()
	if err != nil {
		s.t.Fatal(err)
	}
	if err := w.command.Start(); err != nil {
		s.t.Fatal(err)
	}
	go func() {
		for lines := bufio.NewScanner(out); lines.Scan(); {
			switch {
			case lines.Text() == "ready":
				w.ready <- true
			case strings.HasPrefix(lines.Text(), "begun "):
				begun.Add(1)
			}
		}
		close(w.ready)
		_ = w.command.Wait() // killed
	}()
	return w
}

func (w worker) kill() { _ = w.command.Process.Kill() }

// followed is what a client that asks all the time has seen of a work.
type followed struct {
	state   int
	percent float64
	ended   time.Time
	result  string
}

// follow asks for all works until the context ends, and looks that nothing goes back and nothing that has ended changes.
func (s shop) follow(ctx context.Context, st *store.Store) {
	order := map[string]int{store.WorkWaiting: 0, store.WorkWorking: 1, store.WorkDone: 2, store.WorkFailed: 3, store.WorkCancelled: 4}
	seen := map[string]followed{}
	for every(ctx, 10*time.Millisecond) {
		all, err := st.Works(ctx, time.Time{})
		if err != nil {
			if ctx.Err() == nil {
				s.t.Error(err)
			}
			return
		}
		for _, w := range all {
			was, now := seen[w.ID], followed{order[w.State], w.Percent, w.Ended, w.Result}
			if now.state < was.state || now.percent < was.percent || was.state >= 2 && now != was {
				s.t.Errorf("%s went from %+v to %+v", w.ID, was, now)
			}
			seen[w.ID] = now
		}
	}
}

func TestKilledWorkersLoseNothingAndDoNothingTwice(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		t.Logf("seed %d", *crashSeed)
		random := rand.New(rand.NewPCG(*crashSeed, 1))
		s := newShop(t, fresh())
		crashQuestions()
		t.Cleanup(func() { delete(questions, "slow"); delete(questions, "poison") })
		servers := []*Works{s.process(0, func(o *Options) { o.Lost = lostInCrash }), s.process(0, func(o *Options) { o.Lost = lostInCrash })}
		ctx, stop := context.WithCancel(t.Context())
		var clients sync.WaitGroup
		for _, server := range servers {
			clients.Go(func() { s.follow(ctx, server.Store) })
		}
		var begun atomic.Int64
		workers := []worker{s.worker(&begun), s.worker(&begun), s.worker(&begun)}
		for _, w := range workers {
			if !<-w.ready {
				t.Fatal("a worker does not start")
			}
		}
		asked, killed := 0, 0
		cancelled := map[string]bool{}
		for asked < *crashWorks || killed < *crashes {
			if ahead := asked - killed**crashWorks / *crashes; asked < *crashWorks && (ahead < burst || killed >= *crashes) {
				id, question := fmt.Sprint("w", asked), "slow"
				if asked%10 == 9 {
					question = "poison"
				}
				s.job(id, threeNumbers)
				s.start(servers[asked%2], id, id, question)
				if random.IntN(6) == 0 {
					one, err := servers[(asked+1)%2].Cancel(t.Context(), id, id)
					if err != nil {
						t.Fatal(err)
					}
					if one.State == store.WorkCancelled {
						cancelled[id] = true
					}
				}
				asked++
				continue
			}
			time.Sleep(time.Duration(50+random.IntN(300)) * time.Millisecond)
			which := random.IntN(len(workers))
			workers[which].kill()
			workers[which] = s.worker(&begun)
			<-workers[which].ready
			killed++
		}
		for i := range asked {
			id, want := fmt.Sprint("w", i), store.WorkDone
			switch {
			case cancelled[id]:
				want = store.WorkCancelled
			case i%10 == 9:
				want = store.WorkFailed
			}
			end := s.until(servers[0], id, id, want)
			if want == store.WorkFailed && !strings.Contains(end.Says, "trouble") {
				t.Errorf("%s says %q", id, end.Says)
			}
			if want == store.WorkDone {
				if r, err := servers[1].Store.Result(t.Context(), end.Result); err != nil || string(r.Bytes) != "of "+id {
					t.Errorf("%s found %q: %v", id, r.Bytes, err)
				}
			}
		}
		time.Sleep(500 * time.Millisecond) // whoever comes too late would show now
		stop()
		clients.Wait()
		for _, w := range workers {
			w.kill()
		}
		t.Logf("%d works, %d kills, %d begun, %d cancelled", asked, killed, begun.Load(), len(cancelled))
	})
}

func BenchmarkFromAskedToDone(b *testing.B) {
	storetest.BothBench(b, func(b *testing.B, fresh func() string) {
		st, err := store.Open(b.Context(), fresh(), time.Now)
		if err != nil {
			b.Fatal(err)
		}
		defer st.Close()
		var begun time.Time
		var waits time.Duration
		asked := make(chan time.Time, 1)
		questions["quick"] = question{says: "Testing", keeps: time.Hour,
			key: func(_ context.Context, w *Works, k *kept) (string, error) {
				return w.key("quick", time.Now().String()), nil
			},
			do: func(context.Context, *Works, kept) (finding, error) {
				begun = time.Now()
				waits += begun.Sub(<-asked)
				return finding{Result: store.Result{Bytes: []byte("x")}}, nil
			}}
		defer delete(questions, "quick")
		o := Options{Store: st, Places: 1, Now: time.Now, Log: slog.New(slog.DiscardHandler)}
		o.Hear = func(context.Context, string) (Heard, error) { return Heard{Planner: &plan.Planner{}}, nil }
		w, err := Open(b.Context(), o)
		if err != nil {
			b.Fatal(err)
		}
		defer w.Close(0)
		if _, err := st.Create(b.Context(), "one", map[string]any{}, store.About{}, ""); err != nil {
			b.Fatal(err)
		}
		n := 0
		for b.Loop() {
			id := fmt.Sprint(n)
			n++
			asked <- time.Now()
			if _, err := w.Start(b.Context(), Ask{ID: id, Job: "one", Question: "quick"}); err != nil {
				b.Fatal(err)
			}
			for one := (store.Work{}); one.State != store.WorkDone; time.Sleep(time.Millisecond) {
				if one, err = st.Work(b.Context(), "one", id); err != nil {
					b.Fatal(err)
				}
			}
		}
		b.ReportMetric(float64(waits.Milliseconds())/float64(n), "ms-to-begin")
	})
}
