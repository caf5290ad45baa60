package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// Limit is how many failed attempts something may have, and how long the next must wait. It is kept in the database, so that several
// servers share it.
type Limit struct {
	About string        // what is counted: an account, an address, a crew's number
	Free  int64         // attempts without a wait
	Most  time.Duration // longest wait; each attempt beyond the free ones doubles it, from one second
	Shut  int64         // attempts after which no more are taken, until somebody sets it right; 0: never
}

// forgiven is after how long without an attempt the count begins anew.
const forgiven = 24 * time.Hour

// AboutAccount is what the attempts on a name to sign in with are counted under, whether somebody has that name or not.
func AboutAccount(signIn string) string { return "account " + TokenHash(SignInName(signIn))[:32] }

// Attempt counts one attempt under each limit before it is looked at, so that many at once do not slip through. wait says how long
// to wait where one of them has no more; then nothing is counted under it. shut says that waiting does not help.
func (s *Store) Attempt(ctx context.Context, limits ...Limit) (wait time.Duration, shut bool, err error) {
	now := s.now()
	err = s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		wait, shut = 0, false
		for _, l := range limits {
			left, closed, err := s.attempt(ctx, tx, l, now)
			if err != nil {
				return err
			}
			wait, shut = max(wait, left), shut || closed
		}
		return nil
	})
	return wait, shut, err
}

func (s *Store) attempt(ctx context.Context, tx *sql.Tx, l Limit, now time.Time) (wait time.Duration, shut bool, err error) {
	shutAt := l.Shut
	if shutAt == 0 {
		shutAt = 1 << 62
	}
	var failed int64
	err = tx.QueryRowContext(ctx, `INSERT INTO attempts (about, failed, latest, until) VALUES ($1, 1, $2, 0)
		ON CONFLICT (about) DO UPDATE SET failed = CASE WHEN attempts.latest < $3 AND attempts.failed < $4 THEN 1 ELSE attempts.failed + 1 END, latest = $2
		WHERE attempts.until <= $2 AND attempts.failed < $4 RETURNING failed`, l.About, micros(now), micros(now.Add(-forgiven)), shutAt).Scan(&failed)
	if errors.Is(err, sql.ErrNoRows) {
		var until int64
		err = tx.QueryRowContext(ctx, "SELECT failed, until FROM attempts WHERE about = $1", l.About).Scan(&failed, &until)
		return max(time.Second, moment(until).Sub(now)), failed >= shutAt, err
	}
	if err != nil || failed < l.Free {
		return 0, false, err
	}
	next := min(time.Second<<min(failed-l.Free, 30), l.Most)
	_, err = tx.ExecContext(ctx, "UPDATE attempts SET until = $1 WHERE about = $2", micros(now.Add(next)), l.About)
	return 0, false, err
}

// Took takes one attempt back from the count, and lets the next come: it was the right one. What else was counted stays.
func (s *Store) Took(ctx context.Context, about string) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "UPDATE attempts SET failed = failed - 1, until = 0 WHERE about = $1 AND failed > 0", about)
		return err
	})
}

// Forgive forgets the attempts counted about some things: the right one came.
func (s *Store) Forgive(ctx context.Context, about ...string) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		for _, a := range about {
			if _, err := tx.ExecContext(ctx, "DELETE FROM attempts WHERE about = $1", a); err != nil {
				return err
			}
		}
		return nil
	})
}
