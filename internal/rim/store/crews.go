package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"math/big"
	"time"
)

// CrewLink lets a crew in without accounts, until a day: by a link, or by its number and a PIN.
type CrewLink struct {
	ID      string    `json:"id"`
	Number  string    `json:"number"` // three digits, said before the PIN
	Name    string    `json:"name"`   // the crew's, beside what it stamps
	Job     string    `json:"job"`    // the one job it may see; empty: the crew's jobs of the day
	Crew    string    `json:"crew,omitempty"`
	Made    time.Time `json:"made"`
	MadeBy  string    `json:"made_by"`
	Ends    time.Time `json:"ends"`
	Revoked bool      `json:"revoked"`
}

// Live says whether the link lets anybody in at a time.
func (l CrewLink) Live(now time.Time) bool { return !l.Revoked && now.Before(l.Ends) }

// mostCrewLinks is how many may be open at once: their numbers have three digits.
const mostCrewLinks = 500

// ErrCrewLinks says that no more crew links can be open at once.
var ErrCrewLinks = errors.New("too many crew links are open; shut some first")

// Digits makes a number of so many digits that cannot be guessed.
func Digits(n int) string {
	most := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil)
	d, err := rand.Int(rand.Reader, most)
	if err != nil {
		panic("store: no random numbers: " + err.Error()) // the system's source never fails
	}
	return fmt.Sprintf("%0*d", n, d)
}

// AddCrewLink keeps a crew link with the hashes of its token and its PIN, and gives it a number that no open link has.
func (s *Store) AddCrewLink(ctx context.Context, by Actor, l CrewLink, token, pin string) (CrewLink, error) {
	l.ID, l.Made, l.MadeBy = NewID(), s.now(), by.Who
	err := s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if l.Job != "" {
			if _, err := s.held(ctx, tx, l.Job); err != nil {
				return err
			}
		}
		// A number is free again once its link has ended: nothing that was counted under it, and no PIN, comes back with it.
		if _, err := tx.ExecContext(ctx, "UPDATE crew_links SET number = id WHERE (ends < $1 OR revoked IS NOT NULL) AND number <> id", micros(l.Made)); err != nil {
			return err
		}
		var open int64
		if err := tx.QueryRowContext(ctx, "SELECT COUNT(*) FROM crew_links WHERE number <> id").Scan(&open); err != nil {
			return err
		}
		if open >= mostCrewLinks {
			return ErrCrewLinks
		}
		for done := false; !done; {
			l.Number = Digits(3)
			result, err := tx.ExecContext(ctx, `INSERT INTO crew_links (id, number, name, job, crew, token, pin, made, made_by, ends) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)
				ON CONFLICT (number) DO NOTHING`, l.ID, l.Number, l.Name, l.Job, l.Crew, token, pin, micros(l.Made), l.MadeBy, micros(l.Ends))
			if err != nil {
				return err
			}
			n, err := result.RowsAffected()
			if err != nil {
				return err
			}
			done = n == 1
		}
		if _, err := tx.ExecContext(ctx, "DELETE FROM attempts WHERE about = $1", AboutCrew(l.Number)); err != nil {
			return err
		}
		return s.note(ctx, tx, by, "crew link made", l.Name)
	})
	return l, err
}

// AboutCrew is what the attempts on a crew's number are counted under.
func AboutCrew(number string) string { return "crew " + number }

const crewColumns = "id, number, name, job, crew, pin, made, made_by, ends, revoked"

func crewIn(row interface{ Scan(...any) error }) (l CrewLink, pin string, err error) {
	var made, ends int64
	var revoked sql.NullInt64
	err = row.Scan(&l.ID, &l.Number, &l.Name, &l.Job, &l.Crew, &pin, &made, &l.MadeBy, &ends, &revoked)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrAbsent
	}
	l.Made, l.Ends, l.Revoked = moment(made), moment(ends), revoked.Valid
	return l, pin, err
}

// CrewLink finds one by its id, whether it still lets anybody in or not.
func (s *Store) CrewLink(ctx context.Context, id string) (CrewLink, error) {
	l, _, err := crewIn(s.read.QueryRowContext(ctx, "SELECT "+crewColumns+" FROM crew_links WHERE id = $1", id))
	return l, err
}

// CrewLinkBy finds an open one by the hash of its token.
func (s *Store) CrewLinkBy(ctx context.Context, token string) (CrewLink, error) {
	l, _, err := crewIn(s.read.QueryRowContext(ctx, "SELECT "+crewColumns+" FROM crew_links WHERE token = $1", token))
	if err == nil && !l.Live(s.now()) {
		err = ErrAbsent
	}
	return l, err
}

// CrewLinkOf finds an open one by its number, with the hash of its PIN.
func (s *Store) CrewLinkOf(ctx context.Context, number string) (CrewLink, string, error) {
	l, pin, err := crewIn(s.read.QueryRowContext(ctx, "SELECT "+crewColumns+" FROM crew_links WHERE number = $1", number))
	if err == nil && !l.Live(s.now()) {
		err = ErrAbsent
	}
	return l, pin, err
}

// CrewLinks lists those made since a time, newest first.
func (s *Store) CrewLinks(ctx context.Context, since time.Time) ([]CrewLink, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT "+crewColumns+" FROM crew_links WHERE made > $1 OR ends > $1 ORDER BY made DESC, id", micros(since))
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []CrewLink{}
	for rows.Next() {
		l, _, err := crewIn(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, l)
	}
	return out, rows.Err()
}

// RevokeCrewLink shuts a link, at once on every phone that came by it.
func (s *Store) RevokeCrewLink(ctx context.Context, by Actor, id string) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		l, _, err := crewIn(tx.QueryRowContext(ctx, "SELECT "+crewColumns+" FROM crew_links WHERE id = $1", id))
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "UPDATE crew_links SET revoked = $1 WHERE id = $2 AND revoked IS NULL", micros(s.now()), id); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "DELETE FROM sessions WHERE link = $1", id); err != nil {
			return err
		}
		return s.note(ctx, tx, by, "crew link shut", l.Name)
	})
}

// Summary is a job as a list shows it; ErrAbsent in the bin.
func (s *Store) Summary(ctx context.Context, job string) (Summary, error) {
	one := Summary{ID: job}
	err := s.read.QueryRowContext(ctx, "SELECT title, number, address, pour_date, yards, verdict, trust, pours_on, first_truck FROM jobs WHERE id = $1 AND binned IS NULL", job).
		Scan(&one.Title, &one.Number, &one.Address, &one.PourDate, &one.Yards, &one.Verdict, &one.Trust, &one.PoursOn, &one.FirstTruck)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrAbsent
	}
	return one, err
}
