package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// The states of a long work. It goes from waiting to working to one of the three others, and never back.
const (
	WorkWaiting   = "waiting"
	WorkWorking   = "working"
	WorkDone      = "done"
	WorkFailed    = "failed"
	WorkCancelled = "cancelled"
)

// ErrBusy is what asks for more long works than may wait.
var ErrBusy = errors.New("too many long works wait already")

// Ask is one person's asking for a long work.
type Ask struct {
	ID       string // made by who asks; the same again is the same work
	Job      string // empty: of the shop
	Question string
	Day      string // of a question about a day: 2027-06-17
	Key      string // hash of all it is asked with: equal keys are worked out once
	Edition  string // of the program that asks
	Says     string // what is done, in words
	Revision int64  // of the job
	By       string
	Most     int // works that may wait or go on at once
}

// Work is a long work as whoever asked for it sees it.
type Work struct {
	ID, Job, Question, Day string
	State                  string
	Percent                float64
	Says                   string
	Revision               int64
	Asked, Began, Ended    time.Time // zero: not yet
	Result                 string    // key of what was found; empty until it is done
	By, Worker             string
	Task                   string
}

// Enqueue puts a task into the queue, within the transaction, and gives the number it has there.
type Enqueue func(ctx context.Context, tx *sql.Tx, task string) (int64, error)

// whole is a task that is done, in the parts the table counts.
const whole = 10_000

// live are the states of a task that somebody still works for.
const live = "('waiting', 'working')"

// StartWork puts down that somebody asks for a long work, and enqueues it unless the same is under way or found already.
func (s *Store) StartWork(ctx context.Context, a Ask, enqueue Enqueue) (w Work, err error) {
	err = s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if w, err = workIn(ctx, tx, a.Job, a.ID); !errors.Is(err, ErrAbsent) {
			return err
		}
		if a.Job != "" {
			if _, err := jobIn(ctx, tx, a.Job, ""); err != nil {
				return err
			}
		}
		task, err := s.taskFor(ctx, tx, a, enqueue)
		if err != nil {
			return err
		}
		if err := first(tx.ExecContext(ctx, "INSERT INTO works (place, id, task, asked, asked_by) VALUES ($1, $2, $3, $4, $5) ON CONFLICT DO NOTHING", a.Job, a.ID, task, micros(s.now()), a.By)); err != nil {
			return err
		}
		w, err = workIn(ctx, tx, a.Job, a.ID)
		return err
	})
	return w, err
}

// taskFor finds the task under way for an ask, or makes one: done already where the result is known.
func (s *Store) taskFor(ctx context.Context, tx *sql.Tx, a Ask, enqueue Enqueue) (task string, err error) {
	err = tx.QueryRowContext(ctx, "UPDATE tasks SET wanted = wanted + 1 WHERE key = $1 AND state IN "+live+" RETURNING id", a.Key).Scan(&task)
	if !errors.Is(err, sql.ErrNoRows) {
		return task, err
	}
	var before, waiting int
	var known bool
	if err := tx.QueryRowContext(ctx, "SELECT (SELECT count(*) FROM tasks WHERE key = $1), (SELECT count(*) FROM tasks WHERE state IN "+live+"), EXISTS (SELECT 1 FROM results WHERE key = $1)", a.Key).
		Scan(&before, &waiting, &known); err != nil {
		return "", err
	}
	task = fmt.Sprintf("%s.%d", a.Key, before+1)
	now, state, permyriad, result, ended := micros(s.now()), WorkWaiting, 0, "", sql.NullInt64{}
	if known {
		state, permyriad, result, ended = WorkDone, whole, a.Key, sql.NullInt64{Int64: now, Valid: true}
	} else if waiting >= a.Most {
		return "", ErrBusy
	}
	if err := first(tx.ExecContext(ctx, `INSERT INTO tasks (id, key, job, question, day, revision, edition, state, permyriad, says, wanted, queued, attempt, taken, worker, asked, ended, result)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, 1, 0, 0, 0, '', $11, $12, $13) ON CONFLICT DO NOTHING`,
		task, a.Key, nullable(a.Job), a.Question, a.Day, a.Revision, a.Edition, state, permyriad, a.Says, now, ended, result)); err != nil || known {
		return task, err
	}
	queued, err := enqueue(ctx, tx, task)
	if err != nil {
		return "", err
	}
	_, err = tx.ExecContext(ctx, "UPDATE tasks SET queued = $1 WHERE id = $2", queued, task)
	return task, err
}

// first is errAgain where another process has put down the same at this moment.
func first(result sql.Result, err error) error {
	if err != nil {
		return err
	}
	if n, err := result.RowsAffected(); err != nil || n == 1 {
		return err
	}
	return errAgain
}

func nullable(text string) sql.NullString { return sql.NullString{String: text, Valid: text != ""} }

// Work reads a long work of a job, or of the shop where the job is empty.
func (s *Store) Work(ctx context.Context, job, id string) (Work, error) {
	return workIn(ctx, s.read, job, id)
}

// workColumns are those of tasks t and works w that scanWork reads.
const workColumns = `w.id, w.place, t.question, t.day, CASE WHEN w.cancelled IS NULL THEN t.state ELSE 'cancelled' END, t.permyriad, t.says, t.revision,
	w.asked, t.began, t.ended, t.result, w.asked_by, t.worker, t.id`

func scanWork(row interface{ Scan(...any) error }) (w Work, err error) {
	var asked, permyriad int64
	var began, ended sql.NullInt64
	err = row.Scan(&w.ID, &w.Job, &w.Question, &w.Day, &w.State, &permyriad, &w.Says, &w.Revision, &asked, &began, &ended, &w.Result, &w.By, &w.Worker, &w.Task)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrAbsent
	}
	w.Asked, w.Percent = moment(asked), 100*float64(permyriad)/whole
	for _, at := range []struct {
		to   *time.Time
		from sql.NullInt64
	}{{&w.Began, began}, {&w.Ended, ended}} {
		if at.from.Valid {
			*at.to = moment(at.from.Int64)
		}
	}
	return w, err
}

func workIn(ctx context.Context, q querier, job, id string) (Work, error) {
	return scanWork(q.QueryRowContext(ctx, "SELECT "+workColumns+" FROM works w JOIN tasks t ON t.id = w.task WHERE w.place = $1 AND w.id = $2", job, id))
}

// Works lists long works that wait or go on, and those asked for since a moment, newest first.
func (s *Store) Works(ctx context.Context, since time.Time) ([]Work, error) {
	return works(ctx, s.read, "t.state IN "+live+" OR w.asked >= $1 ORDER BY w.asked DESC, w.id", micros(since))
}

func works(ctx context.Context, q querier, where string, args ...any) ([]Work, error) {
	rows, err := q.QueryContext(ctx, "SELECT "+workColumns+" FROM works w JOIN tasks t ON t.id = w.task WHERE "+where, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []Work{}
	for rows.Next() {
		w, err := scanWork(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, w)
	}
	return out, rows.Err()
}

// CancelWork takes back an asking. The task is stopped when nobody else asks for the same: stopped names it then. What has ended
// stays as it ended.
func (s *Store) CancelWork(ctx context.Context, job, id string) (w Work, stopped string, err error) {
	err = s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		stopped = ""
		if w, err = workIn(ctx, tx, job, id); err != nil || w.State != WorkWaiting && w.State != WorkWorking {
			return err
		}
		now, state := micros(s.now()), ""
		err := tx.QueryRowContext(ctx, "UPDATE tasks SET wanted = wanted - 1, state = CASE WHEN wanted <= 1 THEN 'cancelled' ELSE state END, ended = CASE WHEN wanted <= 1 THEN $1 ELSE ended END WHERE id = $2 AND state IN "+live+" RETURNING state",
			now, w.Task).Scan(&state)
		if errors.Is(err, sql.ErrNoRows) { // it has ended meanwhile
			w, err = workIn(ctx, tx, job, id)
			return err
		}
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "UPDATE works SET cancelled = $1 WHERE place = $2 AND id = $3", now, job, id); err != nil {
			return err
		}
		if state == WorkCancelled {
			stopped = w.Task
		}
		w.State = WorkCancelled
		return nil
	})
	return w, stopped, err
}

// ForgetWorks takes away works that ended long ago, and results that need not be kept any longer.
func (s *Store) ForgetWorks(ctx context.Context, endedBefore time.Time) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "DELETE FROM tasks WHERE state IN ('done', 'failed', 'cancelled') AND ended < $1", micros(endedBefore)); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, "DELETE FROM results WHERE until < $1", micros(s.now()))
		return err
	})
}

// Result is what a long work found.
type Result struct {
	Key, Job, Question string
	Name, Media        string // of a file to carry away; empty: an answer of the program's own
	Bytes              []byte
	Made, Until        time.Time // Until: it may be forgotten after
}

// Result reads what was found under a key.
func (s *Store) Result(ctx context.Context, key string) (Result, error) {
	r, job, made, until := Result{Key: key}, sql.NullString{}, int64(0), int64(0)
	err := s.read.QueryRowContext(ctx, "SELECT job, question, name, media, bytes, made, until FROM results WHERE key = $1", key).
		Scan(&job, &r.Question, &r.Name, &r.Media, &r.Bytes, &made, &until)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrAbsent
	}
	r.Job, r.Made, r.Until = job.String, moment(made), moment(until)
	return r, err
}
