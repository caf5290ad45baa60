package works

import (
	"context"
	"errors"
	"log/slog"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/intake"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/rim/store"
	"slabwright/internal/rim/store/storetest"
	"slabwright/internal/trade/plan"
)

// asOf is when the test's jobs are planned.
var asOf = time.Date(2027, 6, 1, 9, 0, 0, 0, time.UTC)

// hearing reads jobs of a store as a server does, without its care for what cannot be read.
func hearing(st *store.Store, memory func() plan.Memory) func(context.Context, string) (Heard, error) {
	planners := sync.Map{}
	return func(ctx context.Context, id string) (Heard, error) {
		stored, err := st.Job(ctx, id)
		if err != nil {
			return Heard{}, err
		}
		j, _, err := intake.JobWith("job", fields.Bytes(stored.Doc), asOf, func(name string, _ int64) ([]byte, error) {
			a, err := st.Attachment(ctx, id, name)
			return a.Bytes, err
		}, nil)
		planner, _ := planners.LoadOrStore(id, &plan.Planner{Memory: memory()})
		return Heard{Job: j, Revision: stored.Revision, Planner: planner.(*plan.Planner)}, err
	}
}

// shop is a store with some jobs, and as many processes as a test opens on it.
type shop struct {
	t     *testing.T
	where string
	store *store.Store
}

func newShop(t *testing.T, where string) shop {
	s := shop{t: t, where: where}
	s.store = s.open()
	return s
}

func (s shop) open() *store.Store {
	st, err := store.Open(s.t.Context(), s.where, time.Now)
	if err != nil {
		s.t.Fatal(err)
	}
	s.t.Cleanup(func() { st.Close() })
	return st
}

// process opens works on a handle of its own, as another process would.
func (s shop) process(places int, change ...func(*Options)) *Works {
	s.t.Helper()
	st := s.open()
	var w *Works
	o := Options{Store: st, Places: places, Lost: time.Second, Now: time.Now, Log: slog.New(slog.DiscardHandler)}
	o.Hear = hearing(st, func() plan.Memory { return w })
	o.Drawn = func(context.Context, string) (string, error) { return "as it is", nil }
	o.Draw = func(ctx context.Context, id string) (Packed, error) {
		h, err := o.Hear(ctx, id)
		if err != nil {
			return Packed{}, err
		}
		p := h.Planner.Make(h.Job)
		made, err := pack.Make(p, nil)
		return Packed{Pack: made, Plan: p}, err
	}
	for _, c := range change {
		c(&o)
	}
	w, err := Open(s.t.Context(), o)
	if err != nil {
		s.t.Fatal(err)
	}
	s.t.Cleanup(func() { w.Close(0) })
	return w
}

func (s shop) job(id, text string) {
	s.t.Helper()
	doc, err := fields.Parse([]byte(text))
	if err == nil {
		_, err = s.store.Create(s.t.Context(), id, doc, store.About{Title: id}, "")
	}
	if err != nil {
		s.t.Fatal(err)
	}
}

const threeNumbers = `{"length": "20 ft", "width": "12 ft", "thickness": "5 in"}`

// asked puts a question of the test's own into the table.
func put(t *testing.T, name string, do func(context.Context, *Works, kept) (finding, error)) {
	table.Lock()
	defer table.Unlock()
	if _, there := questions[name]; there {
		t.Fatalf("%s is there", name)
	}
	questions[name] = question{says: "Testing", keeps: time.Hour, do: do, key: func(_ context.Context, w *Works, k *kept) (string, error) { return w.key(name, k.id), nil }}
	t.Cleanup(func() { delete(questions, name) })
}

var table sync.Mutex

func (s shop) start(w *Works, job, id, question string) store.Work {
	s.t.Helper()
	one, err := w.Start(s.t.Context(), Ask{ID: id, Job: job, Question: question})
	if err != nil {
		s.t.Fatal(err)
	}
	return one
}

// until follows a work to a state, and looks that no state comes after a later one.
func (s shop) until(w *Works, job, id string, state string) store.Work {
	s.t.Helper()
	order := []string{store.WorkWaiting, store.WorkWorking, store.WorkDone, store.WorkFailed, store.WorkCancelled}
	at, percent := 0, 0.0
	for began := time.Now(); ; time.Sleep(5 * time.Millisecond) {
		one, err := w.Store.Work(s.t.Context(), job, id)
		if err != nil {
			s.t.Fatal(err)
		}
		now := slices.Index(order, one.State)
		if now < at || now > at && at >= 2 || one.Percent < percent {
			s.t.Fatalf("went from %s %g to %s %g", order[at], percent, one.State, one.Percent)
		}
		at, percent = now, one.Percent
		if one.State == state {
			return one
		}
		if now >= 2 || time.Since(began) > 60*time.Second {
			s.t.Fatalf("%s is %s after %s, not %s: %s", id, one.State, time.Since(began), state, one.Says)
		}
	}
}

func TestAWorkIsDoneOnceForAllWhoAskTheSame(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		s := newShop(t, fresh())
		s.job("one", threeNumbers)
		var did atomic.Int64
		put(t, "count", func(context.Context, *Works, kept) (finding, error) {
			time.Sleep(50 * time.Millisecond)
			did.Add(1)
			return finding{Result: store.Result{Bytes: []byte("found"), Name: "found.txt", Media: "text/plain"}}, nil
		})
		first, second := s.process(2), s.process(2)
		var all sync.WaitGroup
		for i := range 20 {
			all.Go(func() { s.start([]*Works{first, second}[i%2], "one", string(rune('a'+i)), "count") })
		}
		all.Wait()
		for i := range 20 {
			done := s.until(first, "one", string(rune('a'+i)), store.WorkDone)
			if r, err := second.Store.Result(t.Context(), done.Result); err != nil || string(r.Bytes) != "found" {
				t.Fatalf("the result is %q: %v", r.Bytes, err)
			}
		}
		if n := did.Load(); n != 1 {
			t.Errorf("it was done %d times", n)
		}
		if one := s.start(second, "one", "later", "count"); one.State != store.WorkDone {
			t.Errorf("what is known is %s", one.State)
		}
	})
}

func TestDeepAnswersAndRankingReachEveryProcess(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		s := newShop(t, fresh())
		s.job("one", threeNumbers)
		asks, works := s.process(0), s.process(1)
		for _, question := range []string{"hold", "backing", "assumed", "price-risk", "weather", "pack"} {
			s.start(asks, "one", question, question)
			done := s.until(asks, "one", question, store.WorkDone)
			if r, err := asks.Store.Result(t.Context(), done.Result); err != nil || len(r.Bytes) == 0 || IsFile(question) != (r.Name != "") {
				t.Errorf("%s found %d bytes called %q: %v", question, len(r.Bytes), r.Name, err)
			}
		}
		h, err := asks.Hear(t.Context(), "one")
		if err != nil {
			t.Fatal(err)
		}
		p := h.Planner.Kept(h.Job, plan.Names()...)
		for _, stage := range []string{"hold", "backing"} {
			if r, _ := p.Of(stage); !r.Answered() {
				t.Errorf("%s did not reach the one who asked: %v", stage, p.Unanswered())
			}
		}
		if movers, ok := asks.Ranked(p); !ok || len(movers) == 0 {
			t.Errorf("the ranking did not reach the one who asked")
		}
		if _, running := works.running["x"]; running || len(works.running) > 0 {
			t.Error("a work that ended is kept")
		}
	})
}

func TestACancelledWorkStopsSoonAndStaysCancelled(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		s := newShop(t, fresh())
		s.job("one", threeNumbers)
		began, stopped := make(chan bool, 9), make(chan time.Time, 9)
		put(t, "wait", func(ctx context.Context, _ *Works, _ kept) (finding, error) {
			began <- true
			<-ctx.Done()
			stopped <- time.Now()
			return finding{}, ctx.Err()
		})
		here, there := s.process(1), s.process(0)
		for id, from := range map[string]*Works{"a": here, "b": there} {
			s.start(here, "one", id, "wait")
			s.start(there, "one", id+"-too", "wait")
			<-began
			if one, err := from.Cancel(t.Context(), "one", id); err != nil || one.State != store.WorkCancelled {
				t.Fatalf("%s: %v", one.State, err)
			}
			select {
			case <-stopped:
				t.Fatal("it was stopped while another asked for the same")
			case <-time.After(400 * time.Millisecond):
			}
			if _, err := from.Cancel(t.Context(), "one", id+"-too"); err != nil {
				t.Fatal(err)
			}
			select {
			case <-stopped:
			case <-time.After(10 * time.Second):
				t.Fatal("it went on")
			}
			s.until(here, "one", id, store.WorkCancelled)
			if one, err := from.Cancel(t.Context(), "one", id); err != nil || one.State != store.WorkCancelled {
				t.Errorf("cancelled again it is %s: %v", one.State, err)
			}
		}
	})
}

func TestTroubleIsTriedAgainThenToldPlainlyAndTheWorkerGoesOn(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		s := newShop(t, fresh())
		s.job("one", threeNumbers)
		var times atomic.Int64
		put(t, "poison", func(context.Context, *Works, kept) (finding, error) {
			times.Add(1)
			panic("poison")
		})
		put(t, "twice", func(context.Context, *Works, kept) (finding, error) {
			if times.Load() < 2 {
				return finding{}, errors.New("the disk is away")
			}
			return finding{Result: store.Result{Bytes: []byte("x")}}, nil
		})
		put(t, "never", func(context.Context, *Works, kept) (finding, error) { return finding{}, cannot("There is no street.") })
		w := s.process(2)
		for _, q := range []string{"poison", "never", "twice"} {
			s.start(w, "one", q, q)
		}
		if one := s.until(w, "one", "never", store.WorkFailed); one.Says != "There is no street." {
			t.Errorf("it says %q", one.Says)
		}
		if one := s.until(w, "one", "poison", store.WorkFailed); times.Load() != tries || !strings.Contains(one.Says, "tried 3 times") {
			t.Errorf("after %d times it says %q", times.Load(), one.Says)
		}
		s.until(w, "one", "twice", store.WorkDone)
	})
}

func TestAWorkerThatGoesSilentLosesItsWorksToAnother(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		s := newShop(t, fresh())
		s.job("one", threeNumbers)
		var times atomic.Int64
		release := make(chan bool)
		put(t, "hang", func(ctx context.Context, w *Works, _ kept) (finding, error) {
			if times.Add(1) == 1 {
				<-release // silent, and deaf to its context
				return finding{Result: store.Result{Bytes: []byte("too late")}}, nil
			}
			return finding{Result: store.Result{Bytes: []byte("in time")}}, nil
		})
		dead := s.process(1)
		s.start(dead, "one", "a", "hang")
		s.until(dead, "one", "a", store.WorkWorking)
		dead.stop() // no beats any more
		dead.beside.Wait()
		alive := s.process(1)
		done := s.until(alive, "one", "a", store.WorkDone)
		close(release)
		if err := dead.Close(5 * time.Second); err != nil {
			t.Error(err)
		}
		if r, err := alive.Store.Result(t.Context(), done.Result); err != nil || string(r.Bytes) != "in time" {
			t.Errorf("the result is %q: %v", r.Bytes, err)
		}
		if again := s.until(alive, "one", "a", store.WorkDone); again.Result != done.Result || again.Ended != done.Ended {
			t.Error("it was done twice, visibly")
		}
	})
}

func TestAWorkerThatStopsHandsItsWorkBack(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		s := newShop(t, fresh())
		s.job("one", threeNumbers)
		var times atomic.Int64
		put(t, "back", func(ctx context.Context, _ *Works, _ kept) (finding, error) {
			if times.Add(1) == 1 {
				<-ctx.Done()
				return finding{}, ctx.Err()
			}
			return finding{Result: store.Result{Bytes: []byte("x")}}, nil
		})
		first := s.process(1)
		s.start(first, "one", "a", "back")
		s.until(first, "one", "a", store.WorkWorking)
		if err := first.Close(50 * time.Millisecond); err != nil {
			t.Fatal(err)
		}
		all, err := s.store.Workers(t.Context())
		if err != nil || len(all) != 0 {
			t.Errorf("%d workers are left: %v", len(all), err)
		}
		if one, err := s.store.Work(t.Context(), "one", "a"); err != nil || one.State != store.WorkWorking {
			t.Errorf("handed back it is %s: %v", one.State, err)
		}
		second := s.process(1)
		s.until(second, "one", "a", store.WorkDone)
	})
}

func TestWorksOutliveTheQueue(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		s := newShop(t, fresh())
		s.job("one", threeNumbers)
		put(t, "quick", func(context.Context, *Works, kept) (finding, error) {
			return finding{Result: store.Result{Bytes: []byte("x")}}, nil
		})
		asks := s.process(0)
		s.start(asks, "one", "a", "quick")
		if err := s.store.EmptyQueue(t.Context()); err != nil { // as a restored copy is: works, and nothing in the queue
			t.Fatal(err)
		}
		s.until(s.process(1), "one", "a", store.WorkDone)
	})
}

func TestAnotherEditionLeavesTheWorkAlone(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		s := newShop(t, fresh())
		s.job("one", threeNumbers)
		edition := func(name string) func(*Options) { return func(o *Options) { o.Edition = name } }
		var by sync.Map
		put(t, "which", func(_ context.Context, w *Works, k kept) (finding, error) {
			by.Store(k.id, w.Edition)
			return finding{Result: store.Result{Bytes: []byte("x")}}, nil
		})
		asks, old := s.process(0, edition("new")), s.process(1, edition("old"))
		s.start(asks, "one", "a", "which")
		if one := s.until(old, "one", "a", store.WorkFailed); !strings.Contains(one.Says, "runs slabwright new") {
			t.Errorf("it says %q", one.Says)
		}
		s.process(1, edition("new"))
		s.start(asks, "one", "b", "which")
		s.until(asks, "one", "b", store.WorkDone)
		if who, _ := by.Load("one"); who != "new" {
			t.Errorf("done by %v", who)
		}
	})
}
