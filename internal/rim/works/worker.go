package works

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"time"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/rivertype"

	"slabwright/internal/rim/store"
	"slabwright/internal/trade/working"
)

// args is what stands in the queue: which task; all else is its row.
type args struct {
	Task string `json:"task"`
}

// Kind names the queue's only kind of job.
func (args) Kind() string { return "work" }

// retry waits a second after the first trouble, four after the second.
type retry struct{}

func (retry) NextRetry(j *rivertype.JobRow) time.Time {
	return time.Now().Add(time.Duration(j.Attempt*j.Attempt) * time.Second)
}

// run is a task under way in this process.
type run struct {
	hold    store.Hold
	cancel  context.CancelCauseFunc
	percent float64 // as far as it is
	told    float64 // as far as the store knows
}

// doer does tasks from the queue.
type doer struct {
	river.WorkerDefaults[args]
	works *Works
}

// errHandedBack is why a work stops when its process does.
var errHandedBack = errors.New("the program ends")

// Work does one task. What comes of it stands in the task's row; the queue is told only whether to bring it again.
func (d *doer) Work(ctx context.Context, j *river.Job[args]) error {
	w := d.works
	hold := store.Hold{Task: j.Args.Task, Queued: j.ID, Attempt: int64(j.Attempt), Worker: w.worker.ID}
	task, err := w.Store.Take(ctx, hold)
	if errors.Is(err, store.ErrLost) {
		return nil // cancelled, done or with another
	}
	if err != nil {
		return err
	}
	if task.Edition != w.Edition {
		return w.otherEdition(ctx, hold, task)
	}
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	r := &run{hold: hold, cancel: cancel}
	w.lock.Lock()
	w.running[hold.Task] = r
	w.lock.Unlock()
	w.Changed()
	w.Log.Info("working", "question", task.Question, "task", short(hold.Task))
	began := time.Now()
	found, err := w.do(working.WithProgress(ctx, func(share float64) { w.progress(r, share) }), task)
	w.lock.Lock()
	delete(w.running, hold.Task)
	closing := w.closing
	w.lock.Unlock()
	defer w.Changed()
	err = w.ended(context.WithoutCancel(ctx), j.JobRow, hold, found, err, closing)
	w.Log.Info("ended", "question", task.Question, "task", short(hold.Task), "took", time.Since(began).Round(time.Millisecond), "as", outcome(ctx, err))
	return err
}

// outcome says in a word how a work ended, for the log.
func outcome(ctx context.Context, err error) string {
	switch {
	case context.Cause(ctx) != nil:
		return context.Cause(ctx).Error()
	case err != nil:
		return "to be tried again"
	}
	return "told"
}

func short(task string) string { return task[:min(8, len(task))] }

// ended puts down what came of a work.
func (w *Works) ended(ctx context.Context, j *rivertype.JobRow, hold store.Hold, found finding, err error, closing bool) error {
	var plain cannot
	switch {
	case err == nil:
		err = w.Store.Finish(ctx, hold, found.Result, found.revision)
	case errors.As(err, &plain):
		err = w.Store.Fail(ctx, hold, plain.Error())
	case errors.Is(err, context.Canceled) && closing:
		err = errors.Join(w.Store.HandBack(ctx, hold), river.JobSnooze(0))
	case errors.Is(err, context.Canceled):
		return nil // nobody asks for it any more, or another has it
	case errors.Is(err, context.DeadlineExceeded):
		err = w.Store.Fail(ctx, hold, fmt.Sprintf("It was not done after %.0f minutes and was stopped. Ask again; if it stays so, the job is too large for this question.", mostTime.Minutes()))
	case j.Attempt >= tries:
		err = w.Store.Fail(ctx, hold, fmt.Sprintf("It was tried %d times and met trouble each time: %v. Ask again; the answers before stay.", tries, err))
	default:
		w.Log.Warn("a work met trouble and is tried again", "task", short(hold.Task), "attempt", j.Attempt)
		return err // it stays this worker's until whoever takes it next
	}
	if errors.Is(err, store.ErrLost) {
		return nil // cancelled at the last moment, or taken over: what stands stays
	}
	return err
}

// otherEdition leaves a task to a worker that runs the program of who asked.
func (w *Works) otherEdition(ctx context.Context, hold store.Hold, task store.Task) error {
	all, err := w.Store.Workers(ctx)
	if err != nil {
		return err
	}
	if slices.ContainsFunc(all, func(other store.Worker) bool { return other.Edition == task.Edition }) {
		return errors.Join(w.Store.HandBack(ctx, hold), river.JobSnooze(time.Second))
	}
	return w.Store.Fail(ctx, hold, fmt.Sprintf("The server runs slabwright %s, and the workers run %s. Start a worker of the same version, then ask again.", task.Edition, w.Edition))
}

// do works a task out. A mistake of the program is an error like any other trouble: the worker goes on.
func (w *Works) do(ctx context.Context, task store.Task) (found finding, err error) {
	defer func() {
		if p := recover(); p != nil {
			w.Log.Error("a mistake in the program", "question", task.Question, "panic", p, "stack", string(debug.Stack()))
			err = fmt.Errorf("a mistake in the program: %v", p)
		}
	}()
	q, ok := questions[task.Question]
	if !ok {
		return found, cannot("This worker does not know the question.")
	}
	k, err := w.kept(ctx, q, task.Job, task.Day)
	if errors.Is(err, store.ErrAbsent) {
		return found, cannot("The job is gone.")
	}
	if err != nil {
		return found, err
	}
	found, err = q.do(ctx, w, k)
	found.Key, found.Job, found.Question, found.Until, found.revision = k.key, task.Job, task.Question, w.Now().Add(q.keeps), k.revision
	if err == nil {
		err = ctx.Err()
	}
	return found, err
}

func (w *Works) progress(r *run, share float64) {
	w.lock.Lock()
	defer w.lock.Unlock()
	r.percent = max(r.percent, min(100*share, 99))
}
