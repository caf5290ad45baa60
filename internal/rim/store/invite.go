package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// Invite keeps the hash of a one-time link with which a person sets a password until the end. Earlier links of the person are void.
// An empty person stands for the first owner, who is not there yet.
func (s *Store) Invite(ctx context.Context, by Actor, person, token string, ends time.Time) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		name := "the first owner"
		if person != "" {
			p, _, err := personIn(tx.QueryRowContext(ctx, "SELECT "+personColumns+" FROM people WHERE id = $1", person))
			if err != nil {
				return err
			}
			name = p.Name
		}
		if _, err := tx.ExecContext(ctx, "UPDATE one_time_links SET used = $1 WHERE person = $2 AND used IS NULL", micros(s.now()), person); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO one_time_links (token, person, made, ends) VALUES ($1, $2, $3, $4)", token, person, micros(s.now()), micros(ends)); err != nil {
			return err
		}
		return s.note(ctx, tx, by, "one-time link made", name)
	})
}

// Invited says whom a one-time link is for; ErrAbsent where it was used, has ended, or never was. A zero Person is the first owner.
func (s *Store) Invited(ctx context.Context, token string) (Person, error) {
	return s.invited(ctx, s.read, token)
}

func (s *Store) invited(ctx context.Context, q querier, token string) (Person, error) {
	var person string
	err := q.QueryRowContext(ctx, "SELECT person FROM one_time_links WHERE token = $1 AND used IS NULL AND ends > $2", token, micros(s.now())).Scan(&person)
	if errors.Is(err, sql.ErrNoRows) {
		return Person{}, ErrAbsent
	}
	if err != nil || person == "" {
		return Person{}, err
	}
	p, _, err := personIn(q.QueryRowContext(ctx, "SELECT "+personColumns+" FROM people WHERE id = $1", person))
	return p, err
}

// Redeem uses a one-time link up: it sets the password of whom it is for. first is who the first owner says to be; it is only
// looked at while there are no people.
func (s *Store) Redeem(ctx context.Context, by Actor, token, hash string, first Person) (Person, error) {
	var p Person
	err := s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, "UPDATE one_time_links SET used = $1 WHERE token = $2 AND used IS NULL AND ends > $1", micros(s.now()), token)
		if err != nil {
			return err
		}
		if n, err := result.RowsAffected(); err != nil {
			return err
		} else if n == 0 {
			return ErrAbsent
		}
		var person string
		if err := tx.QueryRowContext(ctx, "SELECT person FROM one_time_links WHERE token = $1", token).Scan(&person); err != nil {
			return err
		}
		if person != "" {
			if p, _, err = personIn(tx.QueryRowContext(ctx, "SELECT "+personColumns+" FROM people WHERE id = $1", person)); err != nil {
				return err
			}
			by.Who, by.Person = p.Name, p.ID
			return s.setPassword(ctx, tx, by, p, hash, "")
		}
		var there int64
		if err := tx.QueryRowContext(ctx, "SELECT COUNT(*) FROM people").Scan(&there); err != nil {
			return err
		}
		if there > 0 {
			return ErrAbsent // somebody was first
		}
		p = first
		p.Role = Owner
		by.Who, by.Person = p.Name, p.ID
		return s.addPerson(ctx, tx, by, p, hash)
	})
	return p, err
}
