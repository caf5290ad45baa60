package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"slabwright/internal/rim/fields"
)

// Change is what one person changed in one step, under an id made where it was made.
type Change struct {
	ID     string       `json:"id"`
	At     string       `json:"at,omitempty"` // by the clock of the device
	By     string       `json:"by,omitempty"`
	Device string       `json:"device,omitempty"`
	Seen   int64        `json:"seen,omitempty"` // the last revision the device knew
	Step   string       `json:"step,omitempty"` // what was done, in words
	Undoes string       `json:"undoes,omitempty"`
	Sets   []fields.Set `json:"sets"`
}

// Answer is what became of a change: the same again when it is sent again.
type Answer struct {
	Revision int64           `json:"revision"`
	Applied  []string        `json:"applied"`
	Differs  []DifferingView `json:"differs"`
}

// DifferingView is one field that two people said differently.
type DifferingView struct {
	Number  int64        `json:"n"`
	Pointer string       `json:"pointer"`
	Here    fields.Value `json:"here"`
	HereBy  string       `json:"here_by,omitempty"`
	HereAt  string       `json:"here_at,omitempty"`
	Theirs  fields.Value `json:"theirs"`
	By      string       `json:"by,omitempty"`
	At      string       `json:"at,omitempty"`
}

// Done is a change as it was taken in.
type Done struct {
	Change
	Revision int64     `json:"revision"`
	Received time.Time `json:"received"`
	Answer   Answer    `json:"answer"`
}

// Guard looks at a job as it is and as a change would leave it, and may refuse the change.
type Guard func(before, after fields.Value) error

// Apply takes a change in, once: the same id again gives the same answer and changes nothing. The answer is on the disk when
// Apply returns.
func (s *Store) Apply(ctx context.Context, job string, c Change, shape fields.Shape, about func(fields.Value) About, guard Guard) (answer Answer, again bool, err error) {
	sets := c.Sets
	c.At, c.By, c.Device, c.Step = legible(c.At), legible(c.By), legible(c.Device), legible(c.Step)
	err = s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		state, at, err := stateIn(ctx, tx, job, shape, s.base.rowLock())
		if err != nil {
			return err
		}
		answer, err = answered(ctx, tx, job, c.ID)
		if again = err == nil; again || !errors.Is(err, ErrAbsent) {
			return err
		}
		before := state.Doc
		revision := at + 1
		out, err := state.Apply(sets, fields.Author{Device: c.Device, Seen: c.Seen}, revision)
		if err != nil {
			return err
		}
		if guard != nil {
			if err := guard(before, state.Doc); err != nil {
				return err
			}
		}
		if err := s.put(ctx, tx, job, state, revision, about(state.Doc), c.By); err != nil {
			return err
		}
		for _, field := range out.Changed {
			if err := putHeads(ctx, tx, job, field, state.Heads[field]); err != nil {
				return err
			}
		}
		c.Sets = nonNil(out.Sets)
		answer = Answer{Revision: revision, Applied: nonNil(out.Applied), Differs: []DifferingView{}}
		if err := s.log(ctx, tx, job, c, answer); err != nil {
			return err
		}
		if len(out.Differs) > 0 {
			if answer.Differs, err = differing(ctx, tx, job, state, out.Differs); err != nil {
				return err
			}
			_, err = tx.ExecContext(ctx, "UPDATE changes SET answer = $1 WHERE job = $2 AND id = $3", jsonText(answer), job, c.ID)
		}
		return err
	})
	return answer, again, err
}

func nonNil[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// answered is the answer a change got before.
func answered(ctx context.Context, tx *sql.Tx, job, id string) (Answer, error) {
	var text string
	err := tx.QueryRowContext(ctx, "SELECT answer FROM changes WHERE job = $1 AND id = $2", job, id).Scan(&text)
	if errors.Is(err, sql.ErrNoRows) {
		return Answer{}, ErrAbsent
	}
	var a Answer
	if err == nil {
		err = decode(text, &a)
	}
	return a, err
}

// stateIn reads a job with the open words on its fields.
func stateIn(ctx context.Context, q querier, job string, shape fields.Shape, lock string) (*fields.State, int64, error) {
	j, err := jobIn(ctx, q, job, lock)
	if err != nil {
		return nil, 0, err
	}
	state := &fields.State{Doc: j.Doc, Shape: shape, Heads: map[string][]fields.Head{}}
	if err := q.QueryRowContext(ctx, "SELECT base FROM jobs WHERE id = $1", job).Scan(&state.Base); err != nil {
		return nil, 0, err
	}
	rows, err := q.QueryContext(ctx, "SELECT field, pointer, device, value, origin, revision, ordinal, stands FROM heads WHERE job = $1 ORDER BY field, place", job)
	if err != nil {
		return nil, 0, err
	}
	defer rows.Close()
	for rows.Next() {
		var h fields.Head
		var value, origin string
		if err := rows.Scan(&h.Key, &h.Pointer, &h.Device, &value, &origin, &h.Revision, &h.Order, &h.Stands); err != nil {
			return nil, 0, err
		}
		if h.Value, err = fields.Parse([]byte(value)); err != nil {
			return nil, 0, err
		}
		if h.Origin, err = fields.Parse([]byte(origin)); err != nil {
			return nil, 0, err
		}
		state.Heads[h.Key] = append(state.Heads[h.Key], h)
	}
	return state, j.Revision, rows.Err()
}

// put writes a job's document at a new revision; a job in the bin comes out of it.
func (s *Store) put(ctx context.Context, tx *sql.Tx, job string, state *fields.State, revision int64, about About, by string) error {
	doc := state.Doc
	if doc == nil {
		doc = map[string]any{}
	}
	about = about.legible()
	_, err := tx.ExecContext(ctx, `UPDATE jobs SET document = $1, revision = $2, base = $3, title = $4, number = $5, address = $6, pour_date = $7, changed = $8, changed_by = $9, binned = NULL,
		pours_on = $11, first_truck = $12, crew = $13, quoted_on = $14, accepted_on = $15, declined_on = $16, words = $17
		WHERE id = $10`, string(fields.Bytes(doc)), revision, state.Base, about.Title, about.Number, about.Address, about.PourDate, micros(s.now()), by, job,
		about.PoursOn, about.FirstTruck, about.Crew, about.Quoted, about.Accepted, about.Declined, about.words())
	return err
}

func putHeads(ctx context.Context, tx *sql.Tx, job, field string, heads []fields.Head) error {
	if _, err := tx.ExecContext(ctx, "DELETE FROM heads WHERE job = $1 AND field = $2", job, field); err != nil {
		return err
	}
	for i, h := range heads {
		_, err := tx.ExecContext(ctx, `INSERT INTO heads (job, field, place, pointer, device, value, origin, revision, ordinal, stands) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
			job, field, i, h.Pointer, h.Device, string(fields.Bytes(h.Value)), string(fields.Bytes(h.Origin)), h.Revision, h.Order, truth(h.Stands))
		if err != nil {
			return err
		}
	}
	return nil
}

func truth(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (s *Store) log(ctx context.Context, tx *sql.Tx, job string, c Change, a Answer) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO changes (job, id, revision, said_at, said_by, device, step, undoes, sets, answer, received) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
		job, c.ID, a.Revision, c.At, c.By, c.Device, c.Step, c.Undoes, jsonText(c.Sets), jsonText(a), micros(s.now()))
	return err
}

// decode reads what jsonText wrote, numbers as typed.
func decode(text string, into any) error {
	d := json.NewDecoder(strings.NewReader(text))
	d.UseNumber()
	return d.Decode(into)
}

func jsonText(v any) string { return string(fields.Bytes(v)) }

// differing adds to the open differences who said what and when.
func differing(ctx context.Context, q querier, job string, state *fields.State, only []string) ([]DifferingView, error) {
	out := []DifferingView{}
	for _, d := range state.Differences() {
		if only != nil && !slices.ContainsFunc(only, func(p string) bool {
			return p == d.Pointer || len(p) > len(d.Pointer) && p[:len(d.Pointer)+1] == d.Pointer+"/"
		}) {
			continue
		}
		v := DifferingView{Number: d.Number(), Pointer: d.Pointer, Here: d.Here, Theirs: d.Theirs}
		var err error
		if v.By, v.At, err = said(ctx, q, job, d.Head.Revision); err != nil {
			return nil, err
		}
		if v.HereBy, v.HereAt, err = said(ctx, q, job, d.Stands.Revision); err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

// said is who changed a job to a revision, and when by their clock; nobody for the revision it began with.
func said(ctx context.Context, q querier, job string, revision int64) (by, at string, err error) {
	err = q.QueryRowContext(ctx, "SELECT said_by, said_at FROM changes WHERE job = $1 AND revision = $2", job, revision).Scan(&by, &at)
	if errors.Is(err, sql.ErrNoRows) {
		return "", "", nil
	}
	return by, at, err
}

// Replace puts a whole document in place of a job's, if the job is at the revision given. Open differences end with it.
func (s *Store) Replace(ctx context.Context, job string, doc fields.Value, revision int64, about About, by string) (int64, error) {
	now, by := revision, legible(by)
	err := s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		j, err := s.held(ctx, tx, job)
		if err != nil {
			return err
		}
		if now = j.Revision; now != revision {
			return ErrChanged
		}
		if fields.Equal(j.Doc, doc) {
			return nil
		}
		now++
		if _, err := tx.ExecContext(ctx, "DELETE FROM heads WHERE job = $1", job); err != nil {
			return err
		}
		if err := s.put(ctx, tx, job, &fields.State{Doc: doc, Base: now}, now, about, by); err != nil {
			return err
		}
		c := Change{ID: fmt.Sprintf("whole-%d", now), By: by, Step: "put down whole", Sets: []fields.Set{{Value: doc, Was: j.Doc}}}
		return s.log(ctx, tx, job, c, Answer{Revision: now, Applied: []string{""}, Differs: []DifferingView{}})
	})
	return now, err
}

// Since gives the changes after a revision, oldest first.
func (s *Store) Since(ctx context.Context, job string, revision int64) ([]Done, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT id, revision, said_at, said_by, device, step, undoes, sets, answer, received FROM changes WHERE job = $1 AND revision > $2 ORDER BY revision", job, revision)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []Done{}
	for rows.Next() {
		var d Done
		var sets, answer string
		var received int64
		if err := rows.Scan(&d.ID, &d.Revision, &d.At, &d.By, &d.Device, &d.Step, &d.Undoes, &sets, &answer, &received); err != nil {
			return nil, err
		}
		d.Received = moment(received)
		if err := errors.Join(decode(sets, &d.Sets), decode(answer, &d.Answer)); err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, rows.Err()
}

// Differences lists what two people said differently in a job.
func (s *Store) Differences(ctx context.Context, job string) ([]DifferingView, error) {
	var open []DifferingView
	err := s.reading(ctx, func(ctx context.Context, tx *sql.Tx) error {
		state, _, err := stateIn(ctx, tx, job, nil, "")
		if err == nil {
			open, err = differing(ctx, tx, job, state, nil)
		}
		return err
	})
	return open, err
}

// Settle closes a difference. ErrAbsent when there is none of that number any more.
func (s *Store) Settle(ctx context.Context, job string, number int64, keep fields.Keep, by string, about func(fields.Value) About) (int64, error) {
	revision, by := int64(0), legible(by)
	err := s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		state, at, err := stateIn(ctx, tx, job, nil, s.base.rowLock())
		if err != nil {
			return err
		}
		sets, field, err := state.Settle(number, keep)
		if errors.Is(err, fields.ErrSettled) {
			return ErrAbsent
		}
		if err != nil {
			return err
		}
		revision = at + 1
		if err := s.put(ctx, tx, job, state, revision, about(state.Doc), by); err != nil {
			return err
		}
		if err := putHeads(ctx, tx, job, field, state.Heads[field]); err != nil {
			return err
		}
		c := Change{ID: fmt.Sprintf("settled-%d", number), By: by, Step: "kept " + string(keep), Sets: nonNil(sets)}
		return s.log(ctx, tx, job, c, Answer{Revision: revision, Applied: []string{}, Differs: []DifferingView{}})
	})
	return revision, err
}
