package store

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strings"
)

// table is a table of the database as it is, found by asking the database: one that a migration adds is in the next backup.
type table struct {
	Name    string   `json:"name"`
	Columns []column `json:"columns"`
	Key     []string `json:"key"` // columns of its primary key, in order

	parents []string // tables that must hold what this one refers to
}

type column struct {
	Name string `json:"name"`
	Kind kind   `json:"kind"`
}

// kind is what a column holds, in the subset that both databases share.
type kind string

const (
	text   kind = "text"
	number kind = "number" // whole
	octets kind = "bytes"
)

// kinds reads a column's type as either database names it.
var kinds = map[string]kind{"text": text, "bigint": number, "integer": number, "bytea": octets}

// notKept are tables that hold nothing of a person's: what the migrations and the queue of works keep for themselves. The works
// that people asked for are in a table of their own.
func notKept(name string) bool {
	return name == "goose_db_version" || name == "workers" || strings.HasPrefix(name, "river_") || strings.HasPrefix(name, "sqlite_")
}

// tables gives those of a database that hold something of a person's, each after the tables it refers to.
func tables(ctx context.Context, b base, tx *sql.Tx) ([]table, error) {
	all, err := b.tables(ctx, tx)
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(t table) bool { return notKept(t.Name) })
	slices.SortFunc(all, func(a, b table) int { return strings.Compare(a.Name, b.Name) })
	for _, t := range all {
		if len(t.Key) == 0 {
			return nil, fmt.Errorf("the table %s has no primary key, so its rows have no order", t.Name)
		}
	}
	return parentsFirst(all)
}

func parentsFirst(all []table) ([]table, error) {
	var ordered []table
	placed := map[string]bool{}
	for len(all) > 0 {
		next := slices.IndexFunc(all, func(t table) bool {
			return !slices.ContainsFunc(t.parents, func(p string) bool { return p != t.Name && !placed[p] })
		})
		if next < 0 {
			return nil, fmt.Errorf("the tables from %s on refer to each other in a ring", all[0].Name)
		}
		placed[all[next].Name] = true
		ordered = append(ordered, all[next])
		all = slices.Delete(all, next, next+1)
	}
	return ordered, nil
}

// gathered builds tables from rows of (table, column, type, place in the key or 0), in the columns' order, and from pairs of
// (table, parent).
func gathered(ctx context.Context, tx *sql.Tx, columns, parents string) ([]table, error) {
	var all []table
	err := eachRow(ctx, tx, columns, func(rows *sql.Rows) error {
		var name, of, kindName string
		var key int
		if err := rows.Scan(&name, &of, &kindName, &key); err != nil {
			return err
		}
		if n := len(all); n == 0 || all[n-1].Name != name {
			all = append(all, table{Name: name})
		}
		t := &all[len(all)-1]
		k, ok := kinds[strings.ToLower(kindName)]
		if !ok && !notKept(name) {
			return fmt.Errorf("the column %s of the table %s is %s, which cannot be in a backup", of, name, kindName)
		}
		t.Columns = append(t.Columns, column{of, k})
		if key > 0 {
			t.Key = append(t.Key, make([]string, max(0, key-len(t.Key)))...)
			t.Key[key-1] = of
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return all, eachRow(ctx, tx, parents, func(rows *sql.Rows) error {
		var name, parent string
		if err := rows.Scan(&name, &parent); err != nil {
			return err
		}
		if i := slices.IndexFunc(all, func(t table) bool { return t.Name == name }); i >= 0 {
			all[i].parents = append(all[i].parents, parent)
		}
		return nil
	})
}

func eachRow(ctx context.Context, tx *sql.Tx, query string, do func(*sql.Rows) error) error {
	rows, err := tx.QueryContext(ctx, query)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := do(rows); err != nil {
			return err
		}
	}
	return rows.Err()
}

func (f *sqliteFile) tables(ctx context.Context, tx *sql.Tx) ([]table, error) {
	return gathered(ctx, tx,
		`SELECT t.name, c.name, c.type, c.pk FROM sqlite_master t JOIN pragma_table_info(t.name) c WHERE t.type = 'table' ORDER BY t.name, c.cid`,
		`SELECT t.name, f."table" FROM sqlite_master t JOIN pragma_foreign_key_list(t.name) f WHERE t.type = 'table'`)
}

func (p *postgres) tables(ctx context.Context, tx *sql.Tx) ([]table, error) {
	return gathered(ctx, tx,
		`SELECT t.relname::text, a.attname::text, format_type(a.atttypid, NULL), coalesce(array_position(k.indkey::int2[], a.attnum), -1) + 1
			FROM pg_class t JOIN pg_attribute a ON a.attrelid = t.oid AND a.attnum > 0 AND NOT a.attisdropped
			LEFT JOIN pg_index k ON k.indrelid = t.oid AND k.indisprimary
			WHERE t.relkind = 'r' AND t.relnamespace = current_schema()::regnamespace ORDER BY t.relname COLLATE "C", a.attnum`,
		`SELECT conrelid::regclass::text, confrelid::regclass::text FROM pg_constraint WHERE contype = 'f' AND connamespace = current_schema()::regnamespace`)
}

// inKeyOrder reads a table's rows in the order of its key, byte by byte, the same in both databases.
func (t table) inKeyOrder(b base) string {
	names, order := make([]string, len(t.Columns)), make([]string, len(t.Key))
	for i, c := range t.Columns {
		names[i] = quotedName(c.Name)
	}
	for i, key := range t.Key {
		order[i] = quotedName(key)
		if j := slices.IndexFunc(t.Columns, func(c column) bool { return c.Name == key }); t.Columns[j].Kind == text {
			order[i] += b.bytewise()
		}
	}
	return "SELECT " + strings.Join(names, ", ") + " FROM " + quotedName(t.Name) + " ORDER BY " + strings.Join(order, ", ")
}

func quotedName(name string) string { return `"` + strings.ReplaceAll(name, `"`, `""`) + `"` }
