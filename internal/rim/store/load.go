package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
)

// fill opens a store at the form of what is to come, puts all of it in within one transaction, reads it back from there, and only
// then keeps it and brings the tables up to date.
func fill(ctx context.Context, where string, form int64, now func() time.Time, source func(taker) (sent, taken Manifest, err error)) (m Manifest, err error) {
	if form < 1 {
		return m, damaged("it says no form of its tables")
	}
	if err := empty(ctx, where, now); err != nil {
		return m, err
	}
	s, err := openAt(ctx, where, form, now)
	if err != nil {
		return m, err
	}
	if m, err = s.fill(ctx, source); err != nil {
		return m, errors.Join(err, s.Close())
	}
	if err := s.Close(); err != nil {
		return m, err
	}
	if s, err = Open(ctx, where, now); err != nil { // the newest form
		return m, err
	}
	return m, s.Close()
}

// empty makes a store where there is none, and refuses one that holds something.
func empty(ctx context.Context, where string, now func() time.Time) error {
	s, err := Open(ctx, where, now)
	if err != nil {
		return err
	}
	err = s.reading(ctx, func(ctx context.Context, tx *sql.Tx) error {
		all, err := tables(ctx, s.base, tx)
		if err != nil {
			return err
		}
		return s.holdsNothing(ctx, tx, all)
	})
	return errors.Join(err, s.Close())
}

func (s *Store) holdsNothing(ctx context.Context, tx *sql.Tx, all []table) error {
	for _, t := range all {
		var some int
		err := tx.QueryRowContext(ctx, "SELECT 1 FROM "+quotedName(t.Name)+" LIMIT 1").Scan(&some)
		if err == nil {
			return fmt.Errorf("%s holds something already (in %s); name an empty database, or a file that is not there yet", s.Name(), t.Name)
		}
		if !errors.Is(err, sql.ErrNoRows) {
			return err
		}
	}
	return nil
}

func (s *Store) fill(ctx context.Context, source func(taker) (sent, taken Manifest, err error)) (m Manifest, err error) {
	tx, err := s.begin(ctx)
	if err != nil {
		return m, told(s.base, err)
	}
	defer tx.Rollback() //nolint:errcheck // after a commit nothing is left to take back
	all, err := tables(ctx, s.base, tx)
	if err != nil {
		return m, err
	}
	if err := errors.Join(s.base.hold(ctx, tx, all), s.holdsNothing(ctx, tx, all)); err != nil {
		return m, err
	}
	l := &loader{ctx: ctx, tx: tx, tables: all, atOnce: s.base.atOnce()}
	sent, m, err := source(l)
	if err == nil {
		err = l.flush()
	}
	if err != nil {
		return m, told(s.base, err)
	}
	back, err := dumpFrom(ctx, s.base, tx, io.Discard)
	if err != nil {
		return m, err
	}
	if back.SHA256 != m.SHA256 || sent.SHA256 != m.SHA256 {
		return m, fmt.Errorf("what was put into %s does not read back the same; nothing of it was kept", s.Name())
	}
	return m, told(s.base, tx.Commit())
}

// loader puts rows into the tables, as many at a time as the database likes.
type loader struct {
	ctx    context.Context
	tx     *sql.Tx
	tables []table
	atOnce int // arguments of one statement

	into     *table
	args     []any
	bytes    int
	insert   *sql.Stmt
	prepared int // how many arguments it takes
}

// mostBytes bounds what is held in memory before it is sent.
const mostBytes = 4 << 20

// begin refuses rows for other tables than there are: their names are never taken from a file.
func (l *loader) begin(h head) error {
	if !slices.EqualFunc(h.Tables, l.tables, func(a, b table) bool {
		return a.Name == b.Name && slices.Equal(a.Columns, b.Columns) && slices.Equal(a.Key, b.Key)
	}) {
		return errors.New("its tables are not those of a slabwright that this one knows; nothing was restored")
	}
	return nil
}

func (l *loader) row(t *table, values []any) error {
	if l.into == nil || l.into.Name != t.Name || len(l.args)+len(values) > l.atOnce || l.bytes > mostBytes {
		if err := l.flush(); err != nil {
			return err
		}
		if l.into == nil || l.into.Name != t.Name {
			l.into, l.prepared = t, 0
		}
	}
	l.args = append(l.args, values...)
	for _, v := range values {
		switch v := v.(type) {
		case string:
			l.bytes += len(v)
		case []byte:
			l.bytes += len(v)
		}
	}
	return nil
}

func (l *loader) flush() error {
	if len(l.args) == 0 {
		return nil
	}
	err := l.prepare()
	if err == nil {
		_, err = l.insert.ExecContext(l.ctx, l.args...)
	}
	l.args, l.bytes = l.args[:0], 0
	if err != nil {
		return fmt.Errorf("rows for the table %s were refused: %w", l.into.Name, err)
	}
	return nil
}

// prepare makes the statement for as many rows as wait, unless the last one was for as many.
func (l *loader) prepare() (err error) {
	if l.prepared == len(l.args) {
		return nil
	}
	if l.insert != nil {
		if err := l.insert.Close(); err != nil {
			return err
		}
	}
	var insert strings.Builder
	insert.WriteString("INSERT INTO " + quotedName(l.into.Name) + " (")
	for i, c := range l.into.Columns {
		if i > 0 {
			insert.WriteString(", ")
		}
		insert.WriteString(quotedName(c.Name))
	}
	for i := range l.args {
		switch {
		case i == 0:
			insert.WriteString(") VALUES ($1")
		case i%len(l.into.Columns) == 0:
			fmt.Fprintf(&insert, "), ($%d", i+1)
		default:
			fmt.Fprintf(&insert, ", $%d", i+1)
		}
	}
	insert.WriteString(")")
	l.insert, err = l.tx.PrepareContext(l.ctx, insert.String())
	l.prepared = len(l.args)
	return err
}
