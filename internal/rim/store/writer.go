package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// errClosed is what a writer gets that comes after the store was closed.
var errClosed = errors.New("the store is closed")

// most is how many pieces of work one transaction may hold.
const most = 64

// work is one piece of writing that waits for its transaction.
type work struct {
	do   func(context.Context, *sql.Tx) error
	done chan error
}

// within runs work on the writer: all of it is on the disk when within returns nil, none of it otherwise. What many people
// write at the same time shares a transaction, since waiting for the disk is what takes long.
func (s *Store) within(ctx context.Context, do func(context.Context, *sql.Tx) error) error {
	w := work{do, make(chan error, 1)}
	select {
	case s.queue <- w:
	case <-ctx.Done():
		return ctx.Err()
	case <-s.closing:
		return errClosed
	}
	return <-w.done
}

// writer takes work from the queue until the store is closed.
func (s *Store) writer() {
	defer close(s.closed)
	for {
		select {
		case first := <-s.queue:
			s.together(first)
		case <-s.closing:
			return
		}
	}
}

// together writes one piece of work and all that waits behind it in one transaction. Each piece stands or falls alone; when the
// transaction does not come to the disk, all fall.
func (s *Store) together(first work) {
	ctx := context.Background() // a caller who leaves must not take the others' work along
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		first.done <- err
		return
	}
	var whole []work
	for next, more := first, true; more; {
		if err := alone(ctx, tx, next.do); err != nil {
			next.done <- err
		} else {
			whole = append(whole, next)
		}
		if more = len(whole) < most; more {
			select {
			case next = <-s.queue:
			default:
				more = false
			}
		}
	}
	err = tx.Commit()
	for _, w := range whole {
		w.done <- err
	}
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
