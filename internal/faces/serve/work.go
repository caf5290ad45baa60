package serve

import (
	"context"
	"errors"
	"time"

	"slabwright/internal/faces/api"
	"slabwright/internal/rim/store"
)

// patience is how long works that are going on have to end when a worker is stopped; then they are handed back.
const patience = 10 * time.Second

// Worker is a process that does long works and nothing else.
type Worker struct {
	Store string // where the jobs are kept, for people: no password in it
	api   *api.Server
	store *store.Store
}

// Work opens the store and begins to take works. Listen and Page of the options are not used.
func Work(ctx context.Context, o Options) (*Worker, error) {
	jobs, err := store.Open(ctx, o.Store, o.Now)
	if err != nil {
		return nil, err
	}
	answers, err := api.Open(ctx, jobs, api.Options{Log: o.Log, Now: o.Now, Edition: o.Edition, AtOnce: o.AtOnce, Lost: o.Lost, Patience: patience})
	if err != nil {
		return nil, errors.Join(err, jobs.Close())
	}
	return &Worker{jobs.Name(), answers, jobs}, nil
}

// Workshop says who works on what.
func (w *Worker) Workshop(ctx context.Context) (api.Workshop, error) { return w.api.Workshop(ctx) }

// Close takes no more works, lets those that are going on end or hands them back, and lets the store go.
func (w *Worker) Close() error { return errors.Join(w.api.Close(), w.store.Close()) }
