package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"
)

// Actor is who does something, and from where.
type Actor struct {
	Who     string // as people call them; "command line" for commands
	Person  string // id; empty where nobody is signed in
	Address string // the network address the request came from
}

// Happening is one line of the list of who did what. Lines are added, never changed and never taken away.
type Happening struct {
	ID      string    `json:"id"`
	At      time.Time `json:"at"`
	Who     string    `json:"who"`
	Person  string    `json:"person,omitempty"`
	Address string    `json:"address,omitempty"`
	What    string    `json:"what"`
	About   string    `json:"about,omitempty"`
}

// The database itself refuses to change or take away a line of who did what, whoever asks. Each kind of database says so in its own
// words, which migrations shared by both cannot hold; saying it again changes nothing.
var (
	sealedSQLite = []string{
		`CREATE TRIGGER IF NOT EXISTS audit_stays BEFORE UPDATE ON audit BEGIN SELECT RAISE(ABORT, 'who did what is never changed'); END`,
		`CREATE TRIGGER IF NOT EXISTS audit_remains BEFORE DELETE ON audit BEGIN SELECT RAISE(ABORT, 'who did what is never taken away'); END`,
	}
	sealedPostgres = []string{
		`CREATE OR REPLACE FUNCTION audit_stays() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION 'who did what is never changed or taken away'; END $$`,
		`DO $$ BEGIN IF NOT EXISTS (SELECT 1 FROM pg_trigger WHERE tgname = 'audit_stays' AND tgrelid = 'audit'::regclass) THEN
			CREATE TRIGGER audit_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON audit FOR EACH STATEMENT EXECUTE FUNCTION audit_stays(); END IF; END $$`,
	}
)

// each runs statements one after the other.
func each(ctx context.Context, db *sql.DB, statements []string) error {
	for _, statement := range statements {
		if _, err := db.ExecContext(ctx, statement); err != nil {
			return err
		}
	}
	return nil
}

// note adds a line in the transaction of what it tells of: one is not there without the other.
func (s *Store) note(ctx context.Context, tx *sql.Tx, by Actor, what, about string) error {
	_, err := tx.ExecContext(ctx, "INSERT INTO audit (id, happened, who, person, address, what, about) VALUES ($1, $2, $3, $4, $5, $6, $7)",
		NewID(), micros(s.now()), by.Who, by.Person, by.Address, what, about)
	return err
}

// Note adds a line of its own.
func (s *Store) Note(ctx context.Context, by Actor, what, about string) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error { return s.note(ctx, tx, by, what, about) })
}

// Happened lists what was done, latest first, and the mark to go on after; empty at the end.
func (s *Store) Happened(ctx context.Context, after string, limit int) (out []Happening, next string, err error) {
	where, args := "", []any{limit + 1}
	if after != "" {
		var at int64
		var id string
		if _, err := fmt.Sscanf(after, "%d.%s", &at, &id); err != nil {
			return nil, "", ErrAbsent
		}
		where, args = "WHERE happened < $2 OR happened = $2 AND id < $3", append(args, at, id)
	}
	rows, err := s.read.QueryContext(ctx, "SELECT id, happened, who, person, address, what, about FROM audit "+where+" ORDER BY happened DESC, id DESC LIMIT $1", args...)
	if err != nil {
		return nil, "", err
	}
	defer rows.Close()
	for rows.Next() {
		var h Happening
		var at int64
		if err := rows.Scan(&h.ID, &at, &h.Who, &h.Person, &h.Address, &h.What, &h.About); err != nil {
			return nil, "", err
		}
		h.At = moment(at)
		out = append(out, h)
	}
	if len(out) > limit {
		out = out[:limit]
		next = fmt.Sprintf("%d.%s", micros(out[limit-1].At), out[limit-1].ID)
	}
	return out, next, rows.Err()
}
