package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"time"
)

// errClosed is what a writer gets that comes after the store was closed.
var errClosed = errors.New("the store is closed")

const (
	most  = 64 // pieces of work in one transaction
	tries = 10 // of a piece that meets another process at the same rows
)

// work is one piece of writing that waits for its transaction.
type work struct {
	do    func(context.Context, *sql.Tx) error
	done  chan error
	tries int
}

// within runs work on the writer: all of it is on the disk when within returns nil, none of it otherwise. What many people
// write at the same time shares a transaction, since waiting for the disk is what takes long. Work may be run several times, when
// another process was at the same rows: each run must begin from what the transaction shows, and set what it gives back anew.
func (s *Store) within(ctx context.Context, do func(context.Context, *sql.Tx) error) error {
	w := work{do: do, done: make(chan error, 1)}
	select {
	case s.queue <- w:
	case <-ctx.Done():
		return ctx.Err()
	case <-s.closing:
		return errClosed
	}
	return told(s.base, <-w.done)
}

// writer takes work from the queue until the store is closed.
func (s *Store) writer() {
	defer close(s.closed)
	for {
		select {
		case first := <-s.queue:
			again := s.together(first, most)
			for len(again) > 0 { // each in a transaction of its own, so that it waits for nobody while others wait for it
				time.Sleep(time.Duration(1+rand.IntN(20)) * time.Millisecond)
				again = append(again[1:], s.together(again[0], 1)...)
			}
		case <-s.closing:
			return
		}
	}
}

// together writes one piece of work and, up to so many, what waits behind it in one transaction. Each piece stands or falls
// alone; when the transaction does not come to the disk, all fall. It gives back what is to be tried again.
func (s *Store) together(first work, upTo int) (again []work) {
	ctx := context.Background() // a caller who leaves must not take the others' work along
	tx, err := s.begin(ctx)
	if err != nil {
		return s.fell(first, err)
	}
	var whole []work
	for next, more := first, true; more; {
		if err := alone(ctx, tx, next.do); err != nil {
			again = append(again, s.fell(next, err)...)
		} else {
			whole = append(whole, next)
		}
		if more = len(whole) < upTo && len(again) == 0; more {
			if next, more = s.joins(); more && len(whole) == 1 {
				if err := s.share(ctx, tx); err != nil {
					next.done <- err
					break
				}
			}
		}
	}
	err = tx.Commit()
	for _, w := range whole {
		if err != nil {
			again = append(again, s.fell(w, err)...)
		} else {
			w.done <- nil
		}
	}
	return again
}

// begin begins a transaction that writes, on a connection that works.
func (s *Store) begin(ctx context.Context) (tx *sql.Tx, err error) {
	for range writeConns + 1 {
		if tx, err = s.write.BeginTx(ctx, nil); err == nil || !s.base.stale(err) {
			break
		}
	}
	return tx, err
}

// joins is a piece of work that waits at this moment.
func (s *Store) joins() (next work, waits bool) {
	select {
	case next = <-s.queue:
		return next, true
	default:
		return next, false
	}
}

// share makes a transaction fit for more than one piece of work.
func (s *Store) share(ctx context.Context, tx *sql.Tx) error {
	if setting := s.base.sharing(); setting != "" {
		_, err := tx.ExecContext(ctx, setting)
		return err
	}
	return nil
}

// fell tells a piece's author why it did not come to the disk, or gives it back to be tried again.
func (s *Store) fell(w work, err error) (again []work) {
	if w.tries++; w.tries < tries && errors.Is(told(s.base, err), errAgain) {
		return []work{w}
	}
	w.done <- err
	return nil
}

// alone runs one piece of work in a transaction shared with others: an error takes back what it wrote, and only that.
func alone(ctx context.Context, tx *sql.Tx, do func(context.Context, *sql.Tx) error) (err error) {
	if _, err := tx.ExecContext(ctx, "SAVEPOINT piece"); err != nil {
		return err
	}
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("a mistake in the program: %v", p)
		}
		if err != nil {
			if _, back := tx.ExecContext(ctx, "ROLLBACK TO SAVEPOINT piece"); back != nil {
				err = errors.Join(err, back)
			}
		}
		if _, released := tx.ExecContext(ctx, "RELEASE SAVEPOINT piece"); released != nil {
			err = errors.Join(err, released)
		}
	}()
	return do(ctx, tx)
}
