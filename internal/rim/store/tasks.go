package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"
)

// ErrLost is what a worker gets that writes to a task which is no longer its own: cancelled, ended, or taken over.
var ErrLost = errors.New("this work is another's now, or nobody's")

// Hold is a worker's hold on a task. A task that is taken over has another number in the queue, so the old hold writes nothing.
type Hold struct {
	Task    string
	Queued  int64
	Attempt int64
	Worker  string
}

// Task is what a worker does.
type Task struct {
	Key, Job, Question, Day, Edition string
	Revision                         int64
}

// args are those of held, and more behind them.
func (h Hold) args(more ...any) []any {
	return append([]any{h.Task, h.Queued, h.Attempt, h.Worker}, more...)
}

// held stands behind WHERE: the task is still the worker's.
const held = "id = $1 AND queued = $2 AND attempt = $3 AND worker = $4 AND state = 'working'"

// Take makes a task the worker's; ErrLost when it is not to be worked out any more, or not under this number.
func (s *Store) Take(ctx context.Context, h Hold) (t Task, err error) {
	err = s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		job := sql.NullString{}
		err := tx.QueryRowContext(ctx, `UPDATE tasks SET state = 'working', attempt = $3, worker = $4, began = COALESCE(began, $5) WHERE id = $1 AND queued = $2 AND state IN `+live+`
			RETURNING key, job, question, day, edition, revision`, h.args(micros(s.now()))...).Scan(&t.Key, &job, &t.Question, &t.Day, &t.Edition, &t.Revision)
		t.Job = job.String
		return lost(err)
	})
	return t, err
}

func lost(err error) error {
	if errors.Is(err, sql.ErrNoRows) {
		return ErrLost
	}
	return err
}

// changed runs an update that must meet the task.
func (s *Store) changed(ctx context.Context, tx *sql.Tx, update string, args ...any) error {
	result, err := tx.ExecContext(ctx, update, args...)
	if err != nil {
		return err
	}
	if n, err := result.RowsAffected(); err != nil || n == 1 {
		return err
	}
	return ErrLost
}

// Progress notes how far tasks are, in percent; it never goes back. It gives those that are no longer the worker's.
func (s *Store) Progress(ctx context.Context, percents map[Hold]float64) (gone []Hold, err error) {
	err = s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		gone = nil
		for h, percent := range percents {
			err := s.changed(ctx, tx, "UPDATE tasks SET permyriad = CASE WHEN permyriad < $5 THEN $5 ELSE permyriad END WHERE "+held, h.args(int64(percent*whole/100))...)
			if errors.Is(err, ErrLost) {
				gone = append(gone, h)
			} else if err != nil {
				return err
			}
		}
		return nil
	})
	return gone, err
}

// Held gives those of the holds that are still the worker's.
func (s *Store) Held(ctx context.Context, worker string) (map[Hold]bool, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT id, queued, attempt FROM tasks WHERE worker = $1 AND state = 'working'", worker)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := map[Hold]bool{}
	for rows.Next() {
		h := Hold{Worker: worker}
		if err := rows.Scan(&h.Task, &h.Queued, &h.Attempt); err != nil {
			return nil, err
		}
		out[h] = true
	}
	return out, rows.Err()
}

// Finish puts down what a task found, and that it is done: both or neither. A result that is there already stays.
func (s *Store) Finish(ctx context.Context, h Hold, r Result, revision int64) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := s.changed(ctx, tx, "UPDATE tasks SET state = 'done', permyriad = 10000, ended = $5, result = $6, revision = $7 WHERE "+held, h.args(micros(s.now()), r.Key, revision)...); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO results (key, job, question, name, media, bytes, made, until) VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT (key) DO NOTHING`,
			r.Key, nullable(r.Job), r.Question, r.Name, r.Media, r.Bytes, micros(s.now()), micros(r.Until))
		return err
	})
}

// Fail puts down that a task cannot be done, and why.
func (s *Store) Fail(ctx context.Context, h Hold, says string) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		return s.changed(ctx, tx, "UPDATE tasks SET state = 'failed', ended = $5, says = $6 WHERE "+held, h.args(micros(s.now()), says)...)
	})
}

// HandBack leaves a task to whoever takes it next under the same number.
func (s *Store) HandBack(ctx context.Context, h Hold) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		return s.changed(ctx, tx, "UPDATE tasks SET worker = '' WHERE "+held, h.args()...)
	})
}

// Orphan is a task that nobody works on and nothing in the queue leads to.
type Orphan struct {
	Task   string
	Queued int64
}

// Orphans lists tasks whose worker is gone, and those that wait without a place in the queue.
func (s *Store) Orphans(ctx context.Context) ([]Orphan, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT t.id, t.queued FROM tasks t WHERE t.state IN `+live+`
		AND NOT EXISTS (SELECT 1 FROM workers w WHERE w.id = t.worker)
		AND (t.worker <> '' OR NOT EXISTS (SELECT 1 FROM river_job r WHERE r.id = t.queued AND r.state IN ('available', 'retryable', 'scheduled', 'pending')))
		ORDER BY t.asked, t.id`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []Orphan
	for rows.Next() {
		var o Orphan
		if err := rows.Scan(&o.Task, &o.Queued); err != nil {
			return nil, err
		}
		out = append(out, o)
	}
	return out, rows.Err()
}

// Adopt enqueues an orphan again, unless another has done so. One that was with a worker which went more than most times is
// given up, and says why.
func (s *Store) Adopt(ctx context.Context, o Orphan, most int, says string, enqueue Enqueue) error {
	err := s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		var taken int
		if err := tx.QueryRowContext(ctx, "UPDATE tasks SET taken = taken + CASE WHEN worker = '' THEN 0 ELSE 1 END, worker = '' WHERE id = $1 AND queued = $2 AND state IN "+live+" RETURNING taken", o.Task, o.Queued).Scan(&taken); err != nil {
			return lost(err)
		}
		if taken > most {
			return s.changed(ctx, tx, "UPDATE tasks SET state = 'failed', ended = $2, says = $3 WHERE id = $1", o.Task, micros(s.now()), says)
		}
		queued, err := enqueue(ctx, tx, o.Task)
		if err != nil {
			return err
		}
		return s.changed(ctx, tx, "UPDATE tasks SET queued = $2 WHERE id = $1", o.Task, queued)
	})
	if errors.Is(err, ErrLost) {
		return nil
	}
	return err
}

// Worker is a process that takes long works.
type Worker struct {
	ID, Host, Edition string
	PID, Places       int64
	Began, Seen       time.Time
	Beats             int64
}

// Beat puts down that a worker lives.
func (s *Store) Beat(ctx context.Context, w Worker) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO workers (id, host, pid, edition, places, began, seen, beats) VALUES ($1, $2, $3, $4, $5, $6, $7, 1)
			ON CONFLICT (id) DO UPDATE SET seen = excluded.seen, beats = workers.beats + 1`, w.ID, w.Host, w.PID, w.Edition, w.Places, micros(w.Began), micros(s.now()))
		return err
	})
}

// Workers lists the processes that take long works, oldest first.
func (s *Store) Workers(ctx context.Context) ([]Worker, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT id, host, pid, edition, places, began, seen, beats FROM workers ORDER BY began, id")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []Worker{}
	for rows.Next() {
		var w Worker
		var began, seen int64
		if err := rows.Scan(&w.ID, &w.Host, &w.PID, &w.Edition, &w.Places, &began, &seen, &w.Beats); err != nil {
			return nil, err
		}
		w.Began, w.Seen = moment(began), moment(seen)
		out = append(out, w)
	}
	return out, rows.Err()
}

// Gone strikes a worker off the list whose beats stand still; one that beats after all comes back. beats below zero: it says so itself.
func (s *Store) Gone(ctx context.Context, worker string, beats int64) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "DELETE FROM workers WHERE id = $1 AND (beats = $2 OR $2 < 0)", worker, beats)
		return err
	})
}

// Standing is how a job stands, for those who listen.
type Standing struct {
	Job      string
	Revision int64
	Binned   bool
	Works    []Work // under way, and those that ended since
}

// Standings says how the jobs named stand, with their works that are under way or ended since a moment.
func (s *Store) Standings(ctx context.Context, jobs []string, since time.Time) ([]Standing, error) {
	if len(jobs) == 0 {
		return nil, nil
	}
	marks, args := make([]string, len(jobs)), make([]any, len(jobs))
	for i, id := range jobs {
		marks[i], args[i] = placeholder(i+1), id
	}
	list := "(" + strings.Join(marks, ", ") + ")"
	rows, err := s.read.QueryContext(ctx, "SELECT id, revision, binned IS NOT NULL FROM jobs WHERE id IN "+list, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []Standing
	at := map[string]int{}
	for rows.Next() {
		var one Standing
		if err := rows.Scan(&one.Job, &one.Revision, &one.Binned); err != nil {
			return nil, err
		}
		at[one.Job] = len(out)
		out = append(out, one)
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	all, err := works(ctx, s.read, "t.job IN "+list+" AND (t.state IN "+live+" OR t.ended >= "+placeholder(len(jobs)+1)+") ORDER BY w.asked, w.id", append(args, micros(since))...)
	for _, w := range all {
		if i, ok := at[w.Job]; ok {
			out[i].Works = append(out[i].Works, w)
		}
	}
	return out, err
}

func placeholder(n int) string { return fmt.Sprintf("$%d", n) }
