package store

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"hash"
	"io"
	"unicode/utf8"
)

// Manifest says what a backup holds.
type Manifest struct {
	Form   int64   `json:"form"`   // of the tables: the number of the last migration
	Tables []Count `json:"tables"` // in the order of the backup
	SHA256 string  `json:"sha256"` // of all lines: two stores with equal ones hold the same
}

// Count is one table of a backup.
type Count struct {
	Table  string `json:"table"`
	Rows   int64  `json:"rows"`
	SHA256 string `json:"sha256"` // of the table's lines
}

// Rows is how many rows all tables have together.
func (m Manifest) Rows() (n int64) {
	for _, t := range m.Tables {
		n += t.Rows
	}
	return n
}

// lineFormat is the number of the lines' form, described in docs/store.md.
const lineFormat = 1

// head is the first line; after it come, for each table, a line {"table":…} and a line for each row, and at last a foot.
type head struct {
	Format int     `json:"slabwright_store"`
	Form   int64   `json:"form"`
	Tables []table `json:"tables"`
}

type tableLine struct {
	Table string `json:"table"`
}

type foot struct {
	Manifest []Count `json:"manifest"`
}

// lines writes lines and counts what it wrote.
type lines struct {
	to         *bufio.Writer
	all, table hash.Hash
	text       bytes.Buffer
	json       *json.Encoder
}

func newLines(w io.Writer) *lines {
	l := &lines{to: bufio.NewWriterSize(w, 1<<16), all: sha256.New(), table: sha256.New()}
	l.json = json.NewEncoder(&l.text)
	l.json.SetEscapeHTML(false)
	return l
}

func (l *lines) put(v any) error {
	l.text.Reset()
	if err := l.json.Encode(v); err != nil {
		return err
	}
	l.all.Write(l.text.Bytes())
	l.table.Write(l.text.Bytes())
	_, err := l.to.Write(l.text.Bytes())
	return err
}

func sum(h hash.Hash) string { return hex.EncodeToString(h.Sum(nil)) }

// dump writes all that the store holds as it was at one moment, line by line.
func (s *Store) dump(ctx context.Context, w io.Writer) (m Manifest, err error) {
	err = s.reading(ctx, func(ctx context.Context, tx *sql.Tx) error {
		m, err = dumpFrom(ctx, s.base, tx, w)
		return err
	})
	return m, err
}

func dumpFrom(ctx context.Context, b base, tx *sql.Tx, w io.Writer) (m Manifest, err error) {
	all, err := tables(ctx, b, tx)
	if err != nil {
		return m, err
	}
	if m.Form, err = formOf(ctx, tx); err != nil {
		return m, err
	}
	l := newLines(w)
	if err := l.put(head{lineFormat, m.Form, all}); err != nil {
		return m, err
	}
	for _, t := range all {
		count, err := l.dumpTable(ctx, tx, t, b)
		if err != nil {
			return m, err
		}
		m.Tables = append(m.Tables, count)
	}
	if err := l.put(foot{m.Tables}); err != nil {
		return m, err
	}
	m.SHA256 = sum(l.all)
	return m, l.to.Flush()
}

// formOf is the number of the last migration that a database has seen.
func formOf(ctx context.Context, q querier) (form int64, err error) {
	err = q.QueryRowContext(ctx, "SELECT max(version_id) FROM goose_db_version").Scan(&form)
	return form, err
}

func (l *lines) dumpTable(ctx context.Context, tx *sql.Tx, t table, b base) (Count, error) {
	count := Count{Table: t.Name}
	if err := l.put(tableLine{t.Name}); err != nil {
		return count, err
	}
	l.table.Reset()
	row := make([]any, len(t.Columns))
	err := eachRow(ctx, tx, t.inKeyOrder(b), func(rows *sql.Rows) error {
		for i, c := range t.Columns {
			row[i] = c.Kind.target()
		}
		if err := rows.Scan(row...); err != nil {
			return err
		}
		for i, c := range t.Columns {
			v, ok := value(row[i])
			if !ok {
				return fmt.Errorf("row %d of the table %s has bytes in %s that are no text (UTF-8)", count.Rows+1, t.Name, c.Name)
			}
			row[i] = v
		}
		count.Rows++
		return l.put(row)
	})
	count.SHA256 = sum(l.table)
	return count, err
}

// target is where the database puts a value of the kind.
func (k kind) target() any {
	switch k {
	case number:
		return new(sql.NullInt64)
	case octets:
		return new(any) // an empty value of bytes is not nothing
	}
	return new(sql.NullString)
}

// value is what stands in a target, as JSON writes it: bytes in base64 (RFC 4648), nothing as null.
func value(target any) (v any, ok bool) {
	switch target := target.(type) {
	case *sql.NullInt64:
		if target.Valid {
			return target.Int64, true
		}
	case *any:
		if raw, is := (*target).([]byte); is {
			return nonNil(raw), true
		}
	case *sql.NullString:
		if target.Valid {
			return target.String, utf8.ValidString(target.String)
		}
	}
	return nil, true
}
