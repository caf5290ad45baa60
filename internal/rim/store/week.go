package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"slabwright/internal/rim/fields"
)

// Placed is a job as a week shows it: the list's summary, what the document says of crew and quote, and what the last plan knew.
type Placed struct {
	Summary
	Crew                       string
	Quoted, Accepted, Declined string // 2027-06-17; empty: not said
	Known                      string // as Summarise was given it
	Planned                    bool   // it was given something
}

// Span is which days a week shows, and since when changes are told.
type Span struct {
	From, Until, Today string // 2027-06-14
	Poured             string // jobs poured from this day on may still wait for their load
	Since              time.Time
	Most               int // pours
}

// beside is how long each list beside a week's pours is: the next to be ready, the oldest quotes, the newest changes.
const beside = 200

// Around is what lies in and around a week.
type Around struct {
	Pours   []Placed    // that pour in it
	Ahead   []Placed    // poured, whose load must wait, the next to be ready first
	Quotes  []Placed    // quoted without an answer, the oldest first
	Changed []JobChange // the newest first
	Fresh   []string    // ids of jobs with a day whose plan is not of their last state, the newest change first
}

// JobChange is a change with the job it is of.
type JobChange struct {
	Job    string    `json:"job"`
	Title  string    `json:"title"`
	At     time.Time `json:"at"`
	By     string    `json:"by,omitempty"`
	Step   string    `json:"step,omitempty"`
	Fields []string  `json:"fields"` // pointers
}

// Around reads what lies in and around a week, as it stood at one moment.
func (s *Store) Around(ctx context.Context, span Span) (out Around, err error) {
	err = s.reading(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if out.Pours, err = placed(ctx, tx, "pours_on >= $1 AND pours_on <= $2 ORDER BY pours_on, first_truck, id", span.Most, span.From, span.Until); err != nil {
			return err
		}
		if out.Ahead, err = placed(ctx, tx, "ready_on > $1 AND pours_on <> '' AND pours_on <= $1 ORDER BY ready_on, id", beside, span.Today); err != nil {
			return err
		}
		if out.Quotes, err = placed(ctx, tx, "quoted_on <> '' AND accepted_on = '' AND declined_on = '' ORDER BY quoted_on, id", beside); err != nil {
			return err
		}
		if out.Fresh, err = unplanned(ctx, tx, span); err != nil {
			return err
		}
		out.Changed, err = changedSince(ctx, tx, span.Since, beside)
		return err
	})
	return out, err
}

func placed(ctx context.Context, q querier, where string, most int, args ...any) ([]Placed, error) {
	rows, err := q.QueryContext(ctx, fmt.Sprintf("SELECT %s, crew, quoted_on, accepted_on, declined_on, summary FROM jobs WHERE binned IS NULL AND %s LIMIT $%d", summaryColumns, where, len(args)+1), append(args, most)...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []Placed{}
	for rows.Next() {
		var p Placed
		if err := p.scan(rows, &p.Crew, &p.Quoted, &p.Accepted, &p.Declined, &p.Known); err != nil {
			return nil, err
		}
		p.Planned = p.Known != ""
		out = append(out, p)
	}
	return out, rows.Err()
}

// unplanned are the jobs in and near a week that are to be planned anew.
func unplanned(ctx context.Context, q querier, span Span) ([]string, error) {
	rows, err := q.QueryContext(ctx, `SELECT id FROM jobs WHERE binned IS NULL AND summary_of <> revision AND (pours_on >= $1 AND pours_on <= $2 OR pours_on >= $4 AND pours_on <= $5 OR quoted_on <> '' AND accepted_on = '' AND declined_on = '')
		ORDER BY changed DESC, id LIMIT $3`, span.From, span.Until, span.Most, max(span.Poured, "1"), span.Today)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []string{}
	for rows.Next() {
		var id string
		if err := rows.Scan(&id); err != nil {
			return nil, err
		}
		out = append(out, id)
	}
	return out, rows.Err()
}

func changedSince(ctx context.Context, q querier, since time.Time, most int) ([]JobChange, error) {
	rows, err := q.QueryContext(ctx, `SELECT changes.job, jobs.title, changes.received AS at, changes.said_by, changes.step, changes.sets, changes.revision FROM changes JOIN jobs ON jobs.id = changes.job
			WHERE changes.received >= $1 AND jobs.binned IS NULL
		UNION ALL SELECT id, title, created AS at, CASE WHEN revision = 1 THEN changed_by ELSE '' END, 'begun', '[]', 0 FROM jobs WHERE created >= $1 AND binned IS NULL
		ORDER BY 3 DESC, 1, 7 DESC LIMIT $2`, micros(since), most)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []JobChange{}
	for rows.Next() {
		var c JobChange
		var received, revision int64
		var text string
		if err := rows.Scan(&c.Job, &c.Title, &received, &c.By, &c.Step, &text, &revision); err != nil {
			return nil, err
		}
		var sets []fields.Set
		if err := decode(text, &sets); err != nil {
			return nil, err
		}
		for _, one := range sets {
			c.Fields = append(c.Fields, one.Pointer)
		}
		c.At, c.Fields = moment(received), nonNil(c.Fields)
		out = append(out, c)
	}
	return out, rows.Err()
}
