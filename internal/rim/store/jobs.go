package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"

	"slabwright/internal/rim/fields"
)

// Job is a job as it stands.
type Job struct {
	ID       string
	Doc      fields.Value
	Revision int64
	Changed  time.Time
	Binned   bool
}

// Summary is what a list of jobs shows. Yards, Verdict and Trust are of the plan made last; Stale when the job has changed
// since.
type Summary struct {
	ID        string    `json:"id"`
	Title     string    `json:"title"`
	Number    string    `json:"number,omitempty"`
	Address   string    `json:"address,omitempty"`
	PourDate  string    `json:"pour_date,omitempty"`
	Revision  int64     `json:"revision"`
	Changed   time.Time `json:"changed"`
	ChangedBy string    `json:"changed_by,omitempty"`
	Binned    bool      `json:"binned,omitempty"`
	Answered
	Stale bool `json:"stale,omitempty"`
}

// Answered is what a plan adds to a job's summary.
type Answered struct {
	Yards      string `json:"yards,omitempty"`
	Verdict    string `json:"verdict,omitempty"`
	Trust      string `json:"trust,omitempty"`
	PoursOn    string `json:"pours_on,omitempty"`    // 2027-06-17; empty while nobody said a day
	FirstTruck string `json:"first_truck,omitempty"` // 07:00
	ReadyOn    string `json:"ready_on,omitempty"`    // first day of the load it is built for
	Known      string `json:"-"`                     // what else a week shows of it, in a form the store does not read
}

// Create puts down a new job under an id its author made. ErrThere when there is another document under it; the same document
// again is no error and changes nothing.
func (s *Store) Create(ctx context.Context, id string, doc fields.Value, about About, by string) (Job, error) {
	now := s.now()
	text, by := string(fields.Bytes(doc)), legible(by)
	about = about.legible()
	var job Job
	err := s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		job = Job{ID: id, Doc: doc, Revision: 1, Changed: now}
		result, err := tx.ExecContext(ctx, `INSERT INTO jobs (id, document, revision, base, title, number, address, pour_date, created, changed, changed_by, yards, verdict, trust, summary_of, pours_on, first_truck, crew, quoted_on, accepted_on, declined_on, words)
			VALUES ($1, $2, 1, 1, $3, $4, $5, $6, $7, $7, $8, '', '', '', 0, $9, $10, $11, $12, $13, $14, $15) ON CONFLICT (id) DO NOTHING`,
			id, text, about.Title, about.Number, about.Address, about.PourDate, micros(now), by, about.PoursOn, about.FirstTruck, about.Crew, about.Quoted, about.Accepted, about.Declined, about.words())
		if err != nil {
			return err
		}
		if made, err := result.RowsAffected(); err != nil || made == 1 {
			return err
		}
		if job, err = jobIn(ctx, tx, id, ""); err == nil && (job.Binned || string(fields.Bytes(job.Doc)) != text) {
			return ErrThere
		}
		return err
	})
	return job, err
}

// About is what a document says about itself, for lists.
type About struct {
	Title, Number, Address, PourDate string
	Crew                             string
	PoursOn, FirstTruck              string // 2027-06-17 and 07:00, where what was typed says so
	Quoted, Accepted, Declined       string // days, as PoursOn
}

func (a About) legible() About {
	for _, text := range []*string{&a.Title, &a.Number, &a.Address, &a.PourDate, &a.Crew, &a.PoursOn, &a.FirstTruck, &a.Quoted, &a.Accepted, &a.Declined} {
		*text = legible(*text)
	}
	return a
}

// longestWords bounds, in bytes, what a job is found by: an index holds no more.
const longestWords = 1000

// words are what a job is found by.
func (a About) words() string {
	words := strings.ToLower(a.Title + " " + a.Number + " " + a.Address)
	if len(words) > longestWords {
		words = words[:longestWords]
	}
	return strings.ToValidUTF8(words, "")
}

// legible puts the replacement character in place of what no column of text can hold: the zero character, and bytes that are
// no UTF-8. A document keeps them, written as JSON does.
func legible(text string) string {
	return strings.ToValidUTF8(strings.ReplaceAll(text, "\x00", "\uFFFD"), "\uFFFD")
}

// Job reads a job, from the bin too.
func (s *Store) Job(ctx context.Context, id string) (Job, error) { return jobIn(ctx, s.read, id, "") }

// held reads a job that is written next: no other process writes it before the transaction ends.
func (s *Store) held(ctx context.Context, tx *sql.Tx, id string) (Job, error) {
	return jobIn(ctx, tx, id, s.base.rowLock())
}

// querier is a database or a transaction.
type querier interface {
	QueryRowContext(context.Context, string, ...any) *sql.Row
	QueryContext(context.Context, string, ...any) (*sql.Rows, error)
}

func jobIn(ctx context.Context, q querier, id, lock string) (Job, error) {
	job, text, changed, binned := Job{ID: id}, "", int64(0), sql.NullInt64{}
	err := q.QueryRowContext(ctx, "SELECT document, revision, changed, binned FROM jobs WHERE id = $1"+lock, id).Scan(&text, &job.Revision, &changed, &binned)
	if errors.Is(err, sql.ErrNoRows) {
		return job, ErrAbsent
	}
	if err != nil {
		return job, err
	}
	if job.Doc, err = fields.Parse([]byte(text)); err != nil {
		return job, fmt.Errorf("the document of a job %w", err)
	}
	job.Changed, job.Binned = moment(changed), binned.Valid
	return job, nil
}

// Listing says which jobs a list shows.
type Listing struct {
	Find   string // words that its title, number or address all hold; empty: all
	After  string // the mark the list before ended with
	Limit  int
	Binned bool   // those in the bin, and only those
	From   string // that pour on this day or later: 2027-06-14
	Until  string // that pour on this day or earlier
}

// List gives jobs, last changed first, and the mark to go on after; empty at the end.
func (s *Store) List(ctx context.Context, l Listing) (found []Summary, next string, err error) {
	where, args := []string{"binned IS NULL"}, []any{}
	if l.Binned {
		where[0] = "binned IS NOT NULL"
	}
	arg := func(v any) string {
		args = append(args, v)
		return fmt.Sprintf("$%d", len(args))
	}
	if l.From != "" {
		where = append(where, "pours_on >= "+arg(l.From))
	}
	if l.Until != "" {
		where = append(where, "pours_on <> '' AND pours_on <= "+arg(l.Until))
	}
	for _, word := range strings.Fields(l.Find) {
		like := arg("%" + likeEscape.Replace(strings.ToLower(legible(word))) + "%")
		where = append(where, fmt.Sprintf(`words LIKE %s ESCAPE '\'`, like))
	}
	if l.After != "" {
		var changed int64
		var id string
		if _, err := fmt.Sscanf(l.After, "%d.%s", &changed, &id); err != nil {
			return nil, "", ErrAbsent
		}
		where = append(where, fmt.Sprintf("(changed < %[1]s OR changed = %[1]s AND id < %[2]s)", arg(changed), arg(id)))
	}
	rows, err := s.read.QueryContext(ctx, "SELECT "+summaryColumns+" FROM jobs WHERE "+strings.Join(where, " AND ")+" ORDER BY changed DESC, id DESC LIMIT "+arg(l.Limit+1), args...)
	if err != nil {
		return nil, "", err
	}
	defer rows.Close()
	for rows.Next() {
		var one Summary
		if err := one.scan(rows); err != nil {
			return nil, "", err
		}
		found = append(found, one)
	}
	if len(found) > l.Limit {
		found = found[:l.Limit]
		last := found[l.Limit-1]
		next = fmt.Sprintf("%d.%s", micros(last.Changed), last.ID)
	}
	return found, next, rows.Err()
}

// summaryColumns are what a Summary is read from.
const summaryColumns = "id, title, number, address, pour_date, revision, changed, changed_by, binned IS NOT NULL, yards, verdict, trust, pours_on, first_truck, ready_on, summary_of"

// scan reads the summary's columns, and more behind them.
func (one *Summary) scan(rows *sql.Rows, more ...any) error {
	var changed, summaryOf int64
	err := rows.Scan(append([]any{&one.ID, &one.Title, &one.Number, &one.Address, &one.PourDate, &one.Revision, &changed, &one.ChangedBy, &one.Binned,
		&one.Yards, &one.Verdict, &one.Trust, &one.PoursOn, &one.FirstTruck, &one.ReadyOn, &summaryOf}, more...)...)
	one.Changed, one.Stale = moment(changed), summaryOf != one.Revision
	return err
}

var likeEscape = strings.NewReplacer(`\`, `\\`, "%", `\%`, "_", `\_`)

// Summarise keeps what a plan of a revision found, for lists. An older plan never replaces a newer one.
func (s *Store) Summarise(ctx context.Context, id string, revision int64, a Answered) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `UPDATE jobs SET yards = $1, verdict = $2, trust = $3, pours_on = $4, first_truck = $5, summary_of = $6, ready_on = $8, summary = $9
			WHERE id = $7 AND summary_of <= $6 AND revision >= $6`, a.Yards, a.Verdict, a.Trust, a.PoursOn, a.FirstTruck, revision, id, a.ReadyOn, a.Known)
		return err
	})
}

// binFor is how long a job stays in the bin.
const binFor = 30 * 24 * time.Hour

// Bin moves a job to the bin, if it is at the revision given.
func (s *Store) Bin(ctx context.Context, id string, revision int64) error {
	return s.moved(ctx, "UPDATE jobs SET binned = $1 WHERE id = $2 AND revision = $3 AND binned IS NULL", id, micros(s.now()), id, revision)
}

// Restore takes a job out of the bin.
func (s *Store) Restore(ctx context.Context, id string) error {
	return s.moved(ctx, "UPDATE jobs SET binned = NULL WHERE id = $1", id, id)
}

// moved runs an update that must meet its job.
func (s *Store) moved(ctx context.Context, update, id string, args ...any) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, update, args...)
		if err != nil {
			return err
		}
		if n, err := result.RowsAffected(); err != nil || n == 1 {
			return err
		}
		if _, err := jobIn(ctx, tx, id, ""); err != nil {
			return err
		}
		return ErrChanged
	})
}

// EmptyBin forgets the jobs that have been in the bin for thirty days.
func (s *Store) EmptyBin(ctx context.Context) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "DELETE FROM jobs WHERE binned < $1", micros(s.now().Add(-binFor)))
		return err
	})
}
