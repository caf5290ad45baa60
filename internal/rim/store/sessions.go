package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// Session is one device that is signed in: of a person, or of a crew by its link.
type Session struct {
	ID      string    // hash of its token
	Person  string    // whose; empty: a crew's
	Link    string    // the crew link it came by
	Data    []byte    // what the face keeps in it
	Made    time.Time // when it was signed in
	Seen    time.Time // used last, within a minute
	Ends    time.Time // whatever happens
	Address string
	Agent   string // the browser, as it names itself
}

// idle is how long a person's session lasts unused. A crew's lasts as long as its link: phones lie in trucks for days.
const idle = 24 * time.Hour

// seenEvery is how often the use of a session is written down: not each of its requests waits for the disk.
const seenEvery = time.Minute

// KeepSession writes a session down.
func (s *Store) KeepSession(ctx context.Context, one Session) error {
	now := micros(s.now())
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO sessions (token, person, link, data, made, seen, ends, address, agent) VALUES ($1, $2, $3, $4, $5, $5, $6, $7, $8)
			ON CONFLICT (token) DO UPDATE SET data = excluded.data, ends = excluded.ends`, one.ID, one.Person, one.Link, one.Data, now, micros(one.Ends), one.Address, one.Agent)
		return err
	})
}

const sessionColumns = "token, person, link, data, made, seen, ends, address, agent"

func sessionIn(row interface{ Scan(...any) error }) (Session, error) {
	var one Session
	var made, seen, ends int64
	err := row.Scan(&one.ID, &one.Person, &one.Link, &one.Data, &made, &seen, &ends, &one.Address, &one.Agent)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrAbsent
	}
	one.Made, one.Seen, one.Ends = moment(made), moment(seen), moment(ends)
	return one, err
}

// Session finds one that has not ended, and notes that it is used.
func (s *Store) Session(ctx context.Context, id string) (Session, error) {
	one, err := sessionIn(s.read.QueryRowContext(ctx, "SELECT "+sessionColumns+" FROM sessions WHERE token = $1", id))
	if err != nil {
		return one, err
	}
	now := s.now()
	if !now.Before(one.Ends) || one.Person != "" && now.Sub(one.Seen) > idle {
		return Session{}, ErrAbsent
	}
	if now.Sub(one.Seen) > seenEvery {
		err = s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
			_, err := tx.ExecContext(ctx, "UPDATE sessions SET seen = $1 WHERE token = $2", micros(now), id)
			return err
		})
	}
	return one, err
}

// Sessions lists a person's, used last first.
func (s *Store) Sessions(ctx context.Context, person string) ([]Session, error) {
	now := s.now()
	rows, err := s.read.QueryContext(ctx, "SELECT "+sessionColumns+" FROM sessions WHERE person = $1 AND ends > $2 AND seen > $3 ORDER BY seen DESC, token", person, micros(now), micros(now.Add(-idle)))
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []Session
	for rows.Next() {
		one, err := sessionIn(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, one)
	}
	return out, rows.Err()
}

// EndSession ends one.
func (s *Store) EndSession(ctx context.Context, id string) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "DELETE FROM sessions WHERE token = $1", id)
		return err
	})
}

// EndSessions ends a person's but the one named; with an id that one only, if it is the person's.
func (s *Store) EndSessions(ctx context.Context, by Actor, person, only, but string) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, "DELETE FROM sessions WHERE person = $1 AND token <> $2 AND ($3 = '' OR token = $3)", person, but, only)
		if err != nil {
			return err
		}
		if n, err := result.RowsAffected(); err != nil || n == 0 {
			return err
		}
		return s.note(ctx, tx, by, "signed out on other devices", "")
	})
}

// TidyPeople forgets sessions and one-time links that have ended, and attempts of long ago.
func (s *Store) TidyPeople(ctx context.Context) error {
	now := s.now()
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		for _, statement := range []struct {
			text  string
			until time.Time
		}{
			{"DELETE FROM sessions WHERE ends < $1", now},
			{"DELETE FROM sessions WHERE person <> '' AND seen < $1", now.Add(-idle)},
			{"DELETE FROM one_time_links WHERE ends < $1", now.Add(-binFor)},
			{"DELETE FROM attempts WHERE latest < $1 AND failed < 100", now.Add(-forgiven)},
		} {
			if _, err := tx.ExecContext(ctx, statement.text, micros(statement.until)); err != nil {
				return err
			}
		}
		return nil
	})
}
