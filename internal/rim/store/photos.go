package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// Photo is a photo of a job. Once it is there it stays as it is.
type Photo struct {
	Name     string    `json:"name"`
	Version  string    `json:"version"` // other version, other bytes
	Width    int       `json:"width"`   // pixels
	Height   int       `json:"height"`
	Taken    string    `json:"taken,omitempty"` // by the camera's clock, where the person kept it
	Place    string    `json:"place,omitempty"` // latitude and longitude in degrees, where the person kept it
	By       string    `json:"by,omitempty"`
	Received time.Time `json:"received"`
	Full     []byte    `json:"-"`
	Small    []byte    `json:"-"`
}

// MostPhotos is how many photos one job may have.
const MostPhotos = 500

// ErrPhotos is what a job answers that has MostPhotos photos.
var ErrPhotos = fmt.Errorf("the job has %d photos, as many as it may", MostPhotos)

// AddPhoto keeps a photo of a job under a name its author made. The same name again with the same bytes is once; with others it is
// ErrThere.
func (s *Store) AddPhoto(ctx context.Context, job string, p Photo) (added Photo, again bool, err error) {
	p.Version, p.Received = versionOf(p.Full), s.now()
	err = s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if _, err := s.held(ctx, tx, job); err != nil {
			return err
		}
		there, err := photoIn(ctx, tx, job, p.Name, false)
		if err == nil {
			if again = there.Version == p.Version; !again {
				return ErrThere
			}
			p = there
			return nil
		}
		if !errors.Is(err, ErrAbsent) {
			return err
		}
		var count int
		if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM photos WHERE job = $1", job).Scan(&count); err != nil {
			return err
		}
		if count >= MostPhotos {
			return ErrPhotos
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO photos (job, name, bytes, small, version, width, height, taken, place, said_by, received)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`, job, p.Name, p.Full, p.Small, p.Version, p.Width, p.Height, p.Taken, p.Place, p.By, micros(p.Received))
		return err
	})
	return p, again, err
}

// Photo reads a photo of a job: its full bytes, or those of its small copy.
func (s *Store) Photo(ctx context.Context, job, name string, small bool) (Photo, error) {
	return photoIn(ctx, s.read, job, name, small)
}

const photoColumns = "name, version, width, height, taken, place, said_by, received"

func photoIn(ctx context.Context, q querier, job, name string, small bool) (Photo, error) {
	bytes := "bytes"
	if small {
		bytes = "small"
	}
	var p Photo
	var received int64
	into := &p.Full
	if small {
		into = &p.Small
	}
	err := q.QueryRowContext(ctx, "SELECT "+photoColumns+", "+bytes+" FROM photos WHERE job = $1 AND name = $2", job, name).
		Scan(&p.Name, &p.Version, &p.Width, &p.Height, &p.Taken, &p.Place, &p.By, &received, into)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrAbsent
	}
	p.Received = moment(received)
	return p, err
}

// Photos lists the photos of a job as they came, without their bytes.
func (s *Store) Photos(ctx context.Context, job string) ([]Photo, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT "+photoColumns+" FROM photos WHERE job = $1 ORDER BY received, name", job)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []Photo{}
	for rows.Next() {
		var p Photo
		var received int64
		if err := rows.Scan(&p.Name, &p.Version, &p.Width, &p.Height, &p.Taken, &p.Place, &p.By, &received); err != nil {
			return nil, err
		}
		p.Received = moment(received)
		out = append(out, p)
	}
	return out, rows.Err()
}
