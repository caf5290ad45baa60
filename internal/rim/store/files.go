package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"time"

	"slabwright/internal/rim/fields"
)

// Attachment is a file that belongs to a job: a forecast, a survey.
type Attachment struct {
	Name    string    `json:"name"`
	Media   string    `json:"media"`
	Bytes   []byte    `json:"-"`
	Version string    `json:"version"` // other version, other bytes
	Changed time.Time `json:"changed"`
}

// versionOf tells bytes from others: the first eight bytes of their SHA-256.
func versionOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:8])
}

// Attach puts a file beside a job, in place of one of the same name, as a change of the job. The same bytes again change
// nothing.
func (s *Store) Attach(ctx context.Context, job string, a Attachment) (Attachment, int64, error) {
	a.Bytes = nonNil(a.Bytes)
	a.Version, a.Changed = versionOf(a.Bytes), s.now()
	var revision int64
	err := s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		j, err := s.held(ctx, tx, job)
		if err != nil {
			return err
		}
		revision = j.Revision
		result, err := tx.ExecContext(ctx, `INSERT INTO attachments (job, name, media, bytes, version, changed) VALUES ($1, $2, $3, $4, $5, $6)
			ON CONFLICT (job, name) DO UPDATE SET media = excluded.media, bytes = excluded.bytes, version = excluded.version, changed = excluded.changed
			WHERE attachments.version <> excluded.version`, job, a.Name, a.Media, a.Bytes, a.Version, micros(a.Changed))
		if err != nil {
			return err
		}
		if n, err := result.RowsAffected(); err != nil || n == 0 {
			return err
		}
		revision++
		if _, err := tx.ExecContext(ctx, "UPDATE jobs SET revision = $1, changed = $2 WHERE id = $3", revision, micros(a.Changed), job); err != nil {
			return err
		}
		return s.log(ctx, tx, job, Change{ID: fmt.Sprintf("attached-%d", revision), Step: "attached " + a.Name, Sets: []fields.Set{}},
			Answer{Revision: revision, Applied: []string{}, Differs: []DifferingView{}})
	})
	return a, revision, err
}

// Attachment reads a file beside a job.
func (s *Store) Attachment(ctx context.Context, job, name string) (Attachment, error) {
	a, changed := Attachment{Name: name}, int64(0)
	err := s.read.QueryRowContext(ctx, "SELECT media, bytes, version, changed FROM attachments WHERE job = $1 AND name = $2", job, name).
		Scan(&a.Media, &a.Bytes, &a.Version, &changed)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrAbsent
	}
	a.Changed = moment(changed)
	return a, err
}

// Attachments lists the files beside a job, without their bytes.
func (s *Store) Attachments(ctx context.Context, job string) ([]Attachment, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT name, media, version, changed FROM attachments WHERE job = $1 ORDER BY name", job)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []Attachment{}
	for rows.Next() {
		var a Attachment
		var changed int64
		if err := rows.Scan(&a.Name, &a.Media, &a.Version, &changed); err != nil {
			return nil, err
		}
		a.Changed = moment(changed)
		out = append(out, a)
	}
	return out, rows.Err()
}

// Print is a set of sheets that went out: the crew holds R<number>.
type Print struct {
	Number   int64     `json:"number"`
	Revision int64     `json:"revision"` // of the job
	Printed  time.Time `json:"printed"`
}

// Print gives the number under which a job at a revision goes out: the last one again where the revision and the version (the
// day the plan is made for, the files beside the job) are the same, else the next.
func (s *Store) Print(ctx context.Context, job string, revision int64, version string) (Print, error) {
	var p Print
	err := s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		p = Print{Revision: revision, Printed: s.now()}
		j, err := s.held(ctx, tx, job)
		if err != nil {
			return err
		}
		var last Print
		var lastVersion string
		var printed int64
		err = tx.QueryRowContext(ctx, "SELECT number, revision, version, printed FROM prints WHERE job = $1 ORDER BY number DESC LIMIT 1", job).
			Scan(&last.Number, &last.Revision, &lastVersion, &printed)
		if err != nil && !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		if err == nil && last.Revision == revision && lastVersion == version {
			p.Number, p.Printed = last.Number, moment(printed)
			return nil
		}
		p.Number = last.Number + 1
		from := ""
		if j.Revision == revision {
			from = string(fields.Bytes(j.Doc))
		}
		_, err = tx.ExecContext(ctx, "INSERT INTO prints (job, number, revision, version, printed, document) VALUES ($1, $2, $3, $4, $5, $6)", job, p.Number, revision, version, micros(p.Printed), from)
		return err
	})
	return p, err
}

// PrintedFrom is the document a print was made from. ErrAbsent where there is no such print, or it was not kept.
func (s *Store) PrintedFrom(ctx context.Context, job string, number int64) (fields.Value, error) {
	var text string
	err := s.read.QueryRowContext(ctx, "SELECT document FROM prints WHERE job = $1 AND number = $2", job, number).Scan(&text)
	if errors.Is(err, sql.ErrNoRows) || err == nil && text == "" {
		return nil, ErrAbsent
	}
	if err != nil {
		return nil, err
	}
	return fields.Parse([]byte(text))
}

// Prints lists the sets of sheets that went out of a job, newest first.
func (s *Store) Prints(ctx context.Context, job string) ([]Print, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT number, revision, printed FROM prints WHERE job = $1 ORDER BY number DESC", job)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []Print{}
	for rows.Next() {
		var p Print
		var printed int64
		if err := rows.Scan(&p.Number, &p.Revision, &printed); err != nil {
			return nil, err
		}
		p.Printed = moment(printed)
		out = append(out, p)
	}
	return out, rows.Err()
}
