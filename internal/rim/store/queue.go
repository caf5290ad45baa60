package store

import (
	"context"
	"database/sql"
	"fmt"
	"log/slog"

	"github.com/riverqueue/river/riverdriver"
	"github.com/riverqueue/river/rivermigrate"
)

// Queue is the door of the queue of long works, which lives in the same database: what enters it does so in the transaction of
// whatever it belongs to.
func (s *Store) Queue() riverdriver.Driver[*sql.Tx] { return s.base.queue(s.write) }

// migrateQueue brings the queue's own tables up to date.
func migrateQueue(ctx context.Context, queue riverdriver.Driver[*sql.Tx]) error {
	m, err := rivermigrate.New(queue, &rivermigrate.Config{Logger: slog.New(slog.DiscardHandler)})
	if err != nil {
		return err
	}
	if _, err := m.Migrate(ctx, rivermigrate.DirectionUp, nil); err != nil {
		return fmt.Errorf("the tables of the queue: %w", err)
	}
	return nil
}

// EmptyQueue takes everything out of the queue. Works that wait are put in again by whoever does works next: a store that was
// brought from elsewhere has none of its queue with it.
func (s *Store) EmptyQueue(ctx context.Context) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		for _, table := range []string{"river_job", "workers"} {
			if _, err := tx.ExecContext(ctx, "DELETE FROM "+table); err != nil {
				return err
			}
		}
		_, err := tx.ExecContext(ctx, "UPDATE tasks SET queued = 0, worker = '' WHERE state IN "+live)
		return err
	})
}
