package store

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"strings"
	"time"
)

// Role says what a person may see and do.
type Role string

// The roles: the owner everything; the office everything but people; a foreman everything of jobs but money; a crew its job of
// today.
const (
	Owner   Role = "owner"
	Office  Role = "office"
	Foreman Role = "foreman"
	Crew    Role = "crew"
)

// Roles are those a person with a password may have. A crew comes by a link or a PIN.
func Roles() []Role { return []Role{Owner, Office, Foreman} }

// Person is somebody who signs in.
type Person struct {
	ID       string    `json:"id"`
	Name     string    `json:"name"`
	SignIn   string    `json:"sign_in"` // an e-mail address or a name, in small letters
	Role     Role      `json:"role"`
	Disabled bool      `json:"disabled"`
	Waiting  bool      `json:"waiting"` // has not set a password yet
	Made     time.Time `json:"made"`
}

// ErrLastOwner is the answer to what would leave the shop without an owner who can sign in.
var ErrLastOwner = errors.New("this is the last owner")

// SignInName is a name as it is looked up: without spaces around it, in small letters.
func SignInName(text string) string { return strings.ToLower(strings.TrimSpace(text)) }

// NewToken makes a secret that cannot be guessed (256 bits), and the hash the store keeps of it.
func NewToken() (token, hash string) {
	var b [32]byte
	_, _ = rand.Read(b[:]) // never fails
	token = base64.RawURLEncoding.EncodeToString(b[:])
	return token, TokenHash(token)
}

// TokenHash is what the store keeps of a token. A plain hash is enough: a token has more to guess than any hash.
func TokenHash(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// NewID makes an id nobody else makes.
func NewID() string {
	var b [12]byte
	_, _ = rand.Read(b[:]) // never fails
	return hex.EncodeToString(b[:])
}

const personColumns = "id, name, sign_in, role, hash, disabled, made"

func personIn(row interface{ Scan(...any) error }) (p Person, hash string, err error) {
	var disabled, made int64
	err = row.Scan(&p.ID, &p.Name, &p.SignIn, &p.Role, &hash, &disabled, &made)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrAbsent
	}
	p.Disabled, p.Waiting, p.Made = disabled == 1, hash == "", moment(made)
	return p, hash, err
}

// HasPeople says whether anybody can sign in or has been asked to.
func (s *Store) HasPeople(ctx context.Context) (bool, error) {
	var n int64
	err := s.read.QueryRowContext(ctx, "SELECT COUNT(*) FROM people").Scan(&n)
	return n > 0, err
}

// People lists everybody, by name.
func (s *Store) People(ctx context.Context) ([]Person, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT "+personColumns+" FROM people ORDER BY lower(name), id")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []Person{}
	for rows.Next() {
		p, _, err := personIn(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, rows.Err()
}

// Person finds one by id, with the hash of the password; empty while none is set.
func (s *Store) Person(ctx context.Context, id string) (Person, string, error) {
	return personIn(s.read.QueryRowContext(ctx, "SELECT "+personColumns+" FROM people WHERE id = $1", id))
}

// PersonCalled finds one by the name typed to sign in, with the hash of the password.
func (s *Store) PersonCalled(ctx context.Context, signIn string) (Person, string, error) {
	return personIn(s.read.QueryRowContext(ctx, "SELECT "+personColumns+" FROM people WHERE sign_in = $1", SignInName(signIn)))
}

// AddPerson adds somebody. hash may be empty: then a one-time link lets the person set a password. ErrThere: the name to sign in
// with is taken.
func (s *Store) AddPerson(ctx context.Context, by Actor, p Person, hash string) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error { return s.addPerson(ctx, tx, by, p, hash) })
}

func (s *Store) addPerson(ctx context.Context, tx *sql.Tx, by Actor, p Person, hash string) error {
	result, err := tx.ExecContext(ctx, "INSERT INTO people (id, name, sign_in, role, hash, disabled, made) VALUES ($1, $2, $3, $4, $5, 0, $6) ON CONFLICT (sign_in) DO NOTHING",
		p.ID, p.Name, SignInName(p.SignIn), string(p.Role), hash, micros(s.now()))
	if err != nil {
		return err
	}
	if n, err := result.RowsAffected(); err != nil {
		return err
	} else if n == 0 {
		return ErrThere
	}
	return s.note(ctx, tx, by, "person added", p.Name+" ("+string(p.Role)+")")
}

// SetRole gives a person another role. Sessions end, so that nothing seen under the old one goes on. The last owner stays owner.
func (s *Store) SetRole(ctx context.Context, by Actor, id string, role Role) error {
	return s.changePerson(ctx, by, id, "role set to "+string(role), "UPDATE people SET role = $1 WHERE id = $2", string(role), id)
}

// SetDisabled shuts a person out, at once on every device, or lets them in again. The last owner stays.
func (s *Store) SetDisabled(ctx context.Context, by Actor, id string, disabled bool) error {
	what := "let in again"
	if disabled {
		what = "shut out"
	}
	return s.changePerson(ctx, by, id, what, "UPDATE people SET disabled = $1 WHERE id = $2", truth(disabled), id)
}

// changePerson runs an update that must leave an owner, and ends the person's sessions.
func (s *Store) changePerson(ctx context.Context, by Actor, id, what, update string, args ...any) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := s.holdOwners(ctx, tx); err != nil {
			return err
		}
		p, _, err := personIn(tx.QueryRowContext(ctx, "SELECT "+personColumns+" FROM people WHERE id = $1"+s.base.rowLock(), id))
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, update, args...); err != nil {
			return err
		}
		var owners int64
		if err := tx.QueryRowContext(ctx, "SELECT COUNT(*) FROM people WHERE role = $1 AND disabled = 0", string(Owner)).Scan(&owners); err != nil {
			return err
		}
		if owners == 0 && p.Role == Owner {
			return ErrLastOwner
		}
		if _, err := tx.ExecContext(ctx, "DELETE FROM sessions WHERE person = $1", id); err != nil {
			return err
		}
		return s.note(ctx, tx, by, what, p.Name)
	})
}

// holdOwners keeps other processes from changing owners until the transaction ends: two that each take one of two owners away must
// not both be right.
func (s *Store) holdOwners(ctx context.Context, tx *sql.Tx) error {
	rows, err := tx.QueryContext(ctx, "SELECT id FROM people WHERE role = $1 ORDER BY id"+s.base.rowLock(), string(Owner))
	if err != nil {
		return err
	}
	for rows.Next() {
	}
	return errors.Join(rows.Err(), rows.Close())
}

// SetPassword keeps a new password's hash. All sessions of the person end but the one named by its hash; what was asked for by
// one-time link is void; failed attempts are forgotten.
func (s *Store) SetPassword(ctx context.Context, by Actor, id, hash, keep string) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		p, _, err := personIn(tx.QueryRowContext(ctx, "SELECT "+personColumns+" FROM people WHERE id = $1", id))
		if err != nil {
			return err
		}
		return s.setPassword(ctx, tx, by, p, hash, keep)
	})
}

func (s *Store) setPassword(ctx context.Context, tx *sql.Tx, by Actor, p Person, hash, keep string) error {
	for _, statement := range []struct {
		text string
		args []any
	}{
		{"UPDATE people SET hash = $1 WHERE id = $2", []any{hash, p.ID}},
		{"DELETE FROM sessions WHERE person = $1 AND token <> $2", []any{p.ID, keep}},
		{"UPDATE one_time_links SET used = $1 WHERE person = $2 AND used IS NULL", []any{micros(s.now()), p.ID}},
		{"DELETE FROM attempts WHERE about = $1", []any{AboutAccount(p.SignIn)}},
	} {
		if _, err := tx.ExecContext(ctx, statement.text, statement.args...); err != nil {
			return err
		}
	}
	return s.note(ctx, tx, by, "password set", p.Name)
}

// Rehash keeps the same password under a newer hash.
func (s *Store) Rehash(ctx context.Context, id, hash string) error {
	return s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "UPDATE people SET hash = $1 WHERE id = $2", hash, id)
		return err
	})
}

// rank orders the roles: each sees and may all that the one before does.
var rank = map[Role]int{Crew: 1, Foreman: 2, Office: 3, Owner: 4}

// AtLeast says whether a role sees and may what the other does. An unknown role never does.
func (r Role) AtLeast(other Role) bool {
	return rank[r] > 0 && rank[other] > 0 && rank[r] >= rank[other]
}
