// Package works does what takes long as durable jobs: who asks is answered at once and follows how far it is, and any number of
// processes on any hosts that share the store do the work. A process may end at any moment: another takes over what it did, and
// nobody sees that it was done twice. The queue is river, in the store's own database.
package works

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"strconv"
	"sync"
	"time"

	"github.com/riverqueue/river"

	"slabwright/internal/rim/store"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/plan"
)

// Heard is a job as it stands, read and ready to be planned.
type Heard struct {
	Job      job.Job
	Revision int64
	Planner  *plan.Planner
}

// Options say whose works are done, and how.
type Options struct {
	Store   *store.Store
	Hear    func(ctx context.Context, id string) (Heard, error)  // reads a job
	Drawn   func(ctx context.Context, id string) (string, error) // which sheets Draw would draw: equal for equal ones
	Draw    func(ctx context.Context, id string) (Packed, error) // draws all sheets of a job as they go out
	Edition string                                               // of the program: only the same one reads what was found
	Places  int                                                  // works done at once by this process; 0: others do them
	Lost    time.Duration                                        // a worker that is silent for so long is taken for gone; 0: usual
	Most    int                                                  // works that may wait or go on in all; 0: usual
	Now     func() time.Time
	Log     *slog.Logger
	Changed func() // told when a work of this process moves on; nil: nobody
}

// Usual limits.
const (
	UsualLost = 15 * time.Second
	usualMost = 500
	pollEvery = 100 * time.Millisecond // of the queue
	tick      = 200 * time.Millisecond // between two looks at whether the works here are still wanted
	mostTime  = 30 * time.Minute       // of one work
	tries     = 3                      // of a work that meets trouble
	takeovers = 10                     // of a work whose worker went each time
)

// Works is the door to the long works of one store.
type Works struct {
	Options
	worker store.Worker
	client *river.Client[*sql.Tx]

	lock    sync.Mutex
	running map[string]*run // by task
	closing bool
	stop    context.CancelFunc
	beside  sync.WaitGroup
}

// Open joins the store's queue, and begins to take works where there are places.
func Open(ctx context.Context, o Options) (*Works, error) {
	if o.Lost == 0 {
		o.Lost = UsualLost
	}
	if o.Most == 0 {
		o.Most = usualMost
	}
	if o.Changed == nil {
		o.Changed = func() {}
	}
	w := &Works{Options: o, running: map[string]*run{}}
	host, _ := os.Hostname() // for people only
	w.worker = store.Worker{ID: fmt.Sprintf("%s-%d-%s", host, os.Getpid(), rand.Text()[:6]), Host: host, PID: int64(os.Getpid()), Edition: o.Edition, Places: int64(o.Places), Began: o.Now()}
	config := &river.Config{ID: w.worker.ID, PollOnly: true, FetchPollInterval: pollEvery, FetchCooldown: pollEvery / 2, MaxAttempts: tries, RetryPolicy: retry{},
		JobTimeout: mostTime, RescueStuckJobsAfter: 2 * mostTime, Logger: slog.New(slog.DiscardHandler), Workers: river.NewWorkers()}
	if err := river.AddWorkerSafely(config.Workers, &doer{works: w}); err != nil {
		return nil, err
	}
	if o.Places > 0 {
		config.Queues = map[string]river.QueueConfig{river.QueueDefault: {MaxWorkers: o.Places}}
	}
	var err error
	if w.client, err = river.NewClient(o.Store.Queue(), config); err != nil {
		return nil, fmt.Errorf("the queue of long works: %w", err)
	}
	if o.Places > 0 {
		if err := o.Store.Beat(ctx, w.worker); err != nil {
			return nil, err
		}
		if err := w.client.Start(context.WithoutCancel(ctx)); err != nil {
			return nil, fmt.Errorf("the queue of long works: %w", err)
		}
	}
	beside, stop := context.WithCancel(context.WithoutCancel(ctx))
	w.stop = stop
	w.beside.Go(func() { w.attend(beside) })
	w.beside.Go(func() { w.watch(beside) })
	return w, nil
}

// ID names this process among the workers.
func (w *Works) ID() string { return w.worker.ID }

// Close takes no more works, leaves those that are going on a moment to end, hands the others back, and lets go.
func (w *Works) Close(patience time.Duration) error {
	var errs []error
	if w.Places > 0 {
		ctx, cancel := context.WithTimeout(context.Background(), patience)
		if err := w.client.Stop(ctx); err != nil {
			w.lock.Lock()
			w.closing = true
			w.lock.Unlock()
			hard, done := context.WithTimeout(context.Background(), 10*time.Second)
			errs = append(errs, w.client.StopAndCancel(hard))
			done()
		}
		cancel()
	}
	w.stop()
	w.beside.Wait()
	if w.Places > 0 {
		errs = append(errs, w.Store.Gone(context.Background(), w.worker.ID, -1))
	}
	return errors.Join(errs...)
}

// key is the hash of what a question is asked with. Another edition of the program may find another answer.
func (w *Works) key(question string, parts ...string) string {
	hash := sha256.New()
	for _, part := range append([]string{w.Edition, question}, parts...) {
		fmt.Fprintf(hash, "%d %s\n", len(part), part)
	}
	return hex.EncodeToString(hash.Sum(nil))
}

// answerKey is the key of an answer that a plan recalls by its input.
func (w *Works) answerKey(input string) string { return w.key("answer", input) }

// Recall finds what a long work found for an input, whoever did it: a planner's memory.
func (w *Works) Recall(input string) ([]byte, bool) {
	if input == "" {
		return nil, false
	}
	r, err := w.Store.Result(context.Background(), w.answerKey(input))
	if err != nil && !errors.Is(err, store.ErrAbsent) {
		w.Log.Warn("an answer was not recalled", "error", err)
	}
	return r.Bytes, err == nil
}

// Ranked finds what each guess of a plan moves, if that has been worked out. The plan keeps it.
func (w *Works) Ranked(p plan.Plan) ([]plan.Mover, bool) {
	written, ok := w.Recall(p.RankingKey())
	if !ok {
		return nil, false
	}
	movers, err := p.ReadMovers(written)
	return movers, err == nil
}

// Unknown is the error of a question that is no long work.
type Unknown struct{ Question string }

func (u Unknown) Error() string { return strconv.Quote(u.Question) + " is no long work" }

// Ask is somebody's asking for a long work.
type Ask struct {
	ID, Job, Question, Day, By string
}

// Start asks for a long work. The same id again is the same work; what somebody else has asked already with the same input is not
// done twice. Errors: Unknown, store.ErrAbsent, store.ErrBusy.
func (w *Works) Start(ctx context.Context, a Ask) (store.Work, error) {
	q, ok := questions[a.Question]
	if !ok || q.ofShop != (a.Job == "") {
		return store.Work{}, Unknown{a.Question}
	}
	if one, err := w.Store.Work(ctx, a.Job, a.ID); !errors.Is(err, store.ErrAbsent) {
		return one, err
	}
	k, err := w.kept(ctx, q, a.Job, a.Day)
	if err != nil {
		return store.Work{}, err
	}
	one, err := w.Store.StartWork(ctx, store.Ask{ID: a.ID, Job: a.Job, Question: a.Question, Day: a.Day, Key: k.key, Edition: w.Edition, Says: q.says, Revision: k.revision,
		By: a.By, Most: w.Most}, w.enqueue(q.place()))
	if err == nil {
		w.Changed()
	}
	return one, err
}

// Places in the queue: what was begun already comes first, then what somebody looks at, then files.
const (
	begunAlready = 1
	lookedAt     = 2
	fetchedLater = 3
)

func (w *Works) enqueue(place int) store.Enqueue {
	return func(ctx context.Context, tx *sql.Tx, task string) (int64, error) {
		inserted, err := w.client.InsertTx(ctx, tx, args{Task: task}, &river.InsertOpts{Priority: place})
		if err != nil {
			return 0, err
		}
		return inserted.Job.ID, nil
	}
}

// Cancel takes an asking back. The work stops at its next step when nobody else asks for the same.
func (w *Works) Cancel(ctx context.Context, job, id string) (store.Work, error) {
	one, stopped, err := w.Store.CancelWork(ctx, job, id)
	if err != nil {
		return one, err
	}
	w.lock.Lock()
	if r, here := w.running[stopped]; here {
		r.cancel(store.ErrLost)
	}
	w.lock.Unlock()
	w.Changed()
	return one, nil
}

// Tidy forgets works that ended a month ago and results nobody need keep.
func (w *Works) Tidy(ctx context.Context) error {
	return w.Store.ForgetWorks(ctx, w.Now().AddDate(0, -1, 0))
}
