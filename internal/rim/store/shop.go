package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"slabwright/internal/rim/fields"
)

// theShop is the row of the shop whose jobs these are.
const theShop = "shop"

// Shop is the shop's own lists as they stand.
type Shop struct {
	Doc      fields.Value // nil while nothing is set
	Revision int64        // 0 while nothing is set
	Changed  time.Time
}

// ShopLine is one line of the history of the shop's lists.
type ShopLine struct {
	Revision int64     `json:"revision"`
	Field    string    `json:"field"`
	Was      string    `json:"was,omitempty"`
	Now      string    `json:"now,omitempty"`
	Step     string    `json:"why,omitempty"`
	By       string    `json:"by,omitempty"`
	Received time.Time `json:"at"`
}

// Shop reads the shop's lists.
func (s *Store) Shop(ctx context.Context) (Shop, error) { return shopIn(ctx, s.read, "") }

func shopIn(ctx context.Context, q querier, lock string) (Shop, error) {
	var out Shop
	var text string
	var changed int64
	err := q.QueryRowContext(ctx, "SELECT document, revision, changed FROM shop WHERE id = $1"+lock, theShop).Scan(&text, &out.Revision, &changed)
	if errors.Is(err, sql.ErrNoRows) {
		return Shop{}, nil
	}
	if err != nil {
		return out, err
	}
	out.Changed = moment(changed)
	out.Doc, err = fields.Parse([]byte(text))
	return out, err
}

// ShopHistory reads what was set on the shop's lists, the last setting first. Nothing of it is ever changed or taken out.
func (s *Store) ShopHistory(ctx context.Context, most int) ([]ShopLine, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT revision, field, was, now, step, said_by, received FROM shop_history WHERE shop = $1 ORDER BY revision DESC, place DESC LIMIT $2", theShop, most)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []ShopLine{}
	for rows.Next() {
		var l ShopLine
		var received int64
		if err := rows.Scan(&l.Revision, &l.Field, &l.Was, &l.Now, &l.Step, &l.By, &received); err != nil {
			return nil, err
		}
		l.Received = moment(received)
		out = append(out, l)
	}
	return out, rows.Err()
}

// SetShop changes the shop's lists, once: the same id again changes nothing. change gets the document as it stands and gives the new
// one with the lines of the history it makes; its error refuses the whole. No lines: nothing is written.
func (s *Store) SetShop(ctx context.Context, id, by string, change func(fields.Value) (fields.Value, []ShopLine, error)) (out Shop, err error) {
	by = legible(by)
	err = s.within(ctx, func(ctx context.Context, tx *sql.Tx) error {
		now := s.now()
		if _, err := tx.ExecContext(ctx, "INSERT INTO shop (id, document, revision, changed) VALUES ($1, '{}', 0, $2) ON CONFLICT (id) DO NOTHING", theShop, micros(now)); err != nil {
			return err
		}
		if out, err = shopIn(ctx, tx, s.base.rowLock()); err != nil {
			return err
		}
		var before int
		if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM shop_history WHERE shop = $1 AND change = $2", theShop, id).Scan(&before); err != nil || before > 0 {
			return err
		}
		doc, lines, err := change(out.Doc)
		if err != nil || len(lines) == 0 {
			return err
		}
		out = Shop{Doc: doc, Revision: out.Revision + 1, Changed: now}
		text := "{}"
		if doc != nil {
			text = string(fields.Bytes(doc))
		}
		if _, err := tx.ExecContext(ctx, "UPDATE shop SET document = $1, revision = $2, changed = $3 WHERE id = $4", text, out.Revision, micros(now), theShop); err != nil {
			return err
		}
		for i, l := range lines {
			if _, err := tx.ExecContext(ctx, `INSERT INTO shop_history (shop, revision, place, change, field, was, now, step, said_by, received) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
				theShop, out.Revision, i, id, legible(l.Field), legible(l.Was), legible(l.Now), legible(l.Step), by, micros(now)); err != nil {
				return err
			}
		}
		return nil
	})
	return out, err
}
