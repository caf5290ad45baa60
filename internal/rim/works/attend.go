package works

import (
	"context"
	"errors"
	"time"

	"slabwright/internal/rim/store"
)

// attend tells the store how far the works here are, and stops those that are no longer wanted.
func (w *Works) attend(ctx context.Context) {
	for every(ctx, tick) {
		if err := w.attendOnce(ctx); err != nil && ctx.Err() == nil {
			w.Log.Warn("the store was not told how far the works are", "error", err)
		}
	}
}

// every waits; false when the context has ended.
func every(ctx context.Context, d time.Duration) bool {
	select {
	case <-ctx.Done():
		return false
	case <-time.After(d):
		return true
	}
}

// leastStep is the progress that is worth telling, in percent.
const leastStep = 1

func (w *Works) attendOnce(ctx context.Context) error {
	percents, all := map[store.Hold]float64{}, []*run{}
	w.lock.Lock()
	for _, r := range w.running {
		all = append(all, r)
		if r.percent >= r.told+leastStep {
			percents[r.hold] = r.percent
		}
	}
	w.lock.Unlock()
	if len(all) == 0 {
		return nil
	}
	wanted, err := w.Store.Held(ctx, w.worker.ID)
	if err != nil {
		return err
	}
	var gone []store.Hold
	if len(percents) > 0 {
		if gone, err = w.Store.Progress(ctx, percents); err != nil {
			return err
		}
		defer w.Changed()
	}
	for _, h := range gone {
		delete(wanted, h)
	}
	w.lock.Lock()
	defer w.lock.Unlock()
	for _, r := range all {
		if percent, told := percents[r.hold]; told {
			r.told = percent
		}
		if !wanted[r.hold] {
			r.cancel(store.ErrLost)
		}
	}
	return nil
}

// heard is what a process has seen of another's beats.
type heardBeats struct {
	beats int64
	since time.Time // by this process's own clock: hosts need not agree on the time
}

// watch beats for this worker, strikes off those whose beats stand still, and enqueues again what nobody works on any more.
func (w *Works) watch(ctx context.Context) {
	others, orphaned := map[string]heardBeats{}, map[store.Orphan]bool{}
	for {
		if err := w.watchOnce(ctx, others, &orphaned); err != nil && ctx.Err() == nil {
			w.Log.Warn("the workers could not be watched", "error", err)
		}
		if !every(ctx, w.Lost/5) {
			return
		}
	}
}

func (w *Works) watchOnce(ctx context.Context, others map[string]heardBeats, orphaned *map[store.Orphan]bool) error {
	if w.Places > 0 {
		if err := w.Store.Beat(ctx, w.worker); err != nil {
			return err
		}
	}
	all, err := w.Store.Workers(ctx)
	if err != nil {
		return err
	}
	now := time.Now()
	for _, other := range all {
		last, known := others[other.ID]
		switch {
		case !known || last.beats != other.Beats:
			others[other.ID] = heardBeats{other.Beats, now}
		case now.Sub(last.since) > w.Lost:
			w.Log.Warn("a worker is silent; others take its works over", "worker", other.ID)
			if err := w.Store.Gone(ctx, other.ID, other.Beats); err != nil {
				return err
			}
			delete(others, other.ID)
		}
	}
	return w.adopt(ctx, orphaned)
}

// adopt enqueues orphans that were orphans at the last look too: between the queue and the row lies a moment.
func (w *Works) adopt(ctx context.Context, before *map[store.Orphan]bool) error {
	found, err := w.Store.Orphans(ctx)
	if err != nil {
		return err
	}
	now, errs := map[store.Orphan]bool{}, []error{}
	for _, o := range found {
		now[o] = true
		if (*before)[o] {
			errs = append(errs, w.Store.Adopt(ctx, o, takeovers, "Every program that worked on it ended while it did. It is not tried again; ask for it anew if you think it was chance.", w.enqueue(begunAlready)))
		}
	}
	*before = now
	return errors.Join(errs...)
}
