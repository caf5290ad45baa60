package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"github.com/pressly/goose/v3"
	"github.com/riverqueue/river/riverdriver"
	"github.com/riverqueue/river/riverdriver/riversqlite"
	"modernc.org/sqlite"
	codes "modernc.org/sqlite/lib"
)

// sqliteFile is a database in one file. Several processes of one machine may open it at the same time: a writer waits for the
// other's transaction to end, and nobody keeps anything of it in memory.
type sqliteFile struct {
	path string
	now  func() time.Time
}

func newSQLite(path string, now func() time.Time) (base, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	return &sqliteFile{path, now}, onOwnDisk(filepath.Dir(path))
}

func (f *sqliteFile) name() string { return f.path }

func (f *sqliteFile) rowLock() string { return "" } // a transaction that writes holds the whole file

func (f *sqliteFile) hold(context.Context, *sql.Tx, []table) error { return nil } // a transaction that writes does

func (f *sqliteFile) atOnce() int { return 1 } // one row: it looks each argument up among all of them

func (f *sqliteFile) stale(error) bool { return false }

func (f *sqliteFile) bytewise() string { return "" } // it knows no other order

func (f *sqliteFile) sharing() string { return "" }

func (f *sqliteFile) snapshot() *sql.TxOptions { return &sql.TxOptions{ReadOnly: true} }

func (f *sqliteFile) queue(write *sql.DB) riverdriver.Driver[*sql.Tx] { return riversqlite.New(write) }

func (f *sqliteFile) close() error { return nil }

func (f *sqliteFile) open(ctx context.Context, form int64) (write, read *sql.DB, err error) {
	info, err := os.Stat(f.path)
	if err == nil && info.IsDir() {
		return nil, nil, fmt.Errorf("%s is a folder; name a file in it", f.path)
	}
	if err != nil && form == asItIs {
		return nil, nil, err
	}
	release, err := f.alone(ctx)
	if err != nil {
		return nil, nil, err
	}
	defer release()
	_, err = os.Stat(f.path)
	fresh := errors.Is(err, fs.ErrNotExist)
	if write, err = sql.Open("sqlite", dsn(f.path, "synchronous(FULL)", "immediate")); err != nil {
		return nil, nil, err
	}
	write.SetMaxOpenConns(1)
	if read, err = sql.Open("sqlite", dsn(f.path, "query_only(1)", "deferred")); err != nil {
		return write, nil, err
	}
	if !fresh {
		if err := f.check(ctx, write); err != nil {
			return write, read, f.unopened(err)
		}
	}
	err = migrate(ctx, goose.DialectSQLite3, write, form, func() error {
		_, err := f.backup(ctx, write, "before-migration")
		return err
	})
	if err == nil && form == newest {
		err = migrateQueue(ctx, f.queue(write))
	}
	if err == nil && form == newest {
		err = each(ctx, write, sealedSQLite)
	}
	return write, read, f.unopened(err)
}

// dsn names the file for the driver: a journal beside it, readers never wait for the writer, writers wait for each other.
func dsn(path, pragma, begin string) string {
	q := url.Values{"_pragma": {"journal_mode(WAL)", "busy_timeout(5000)", "foreign_keys(1)", pragma}, "_txlock": {begin}}
	return "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + q.Encode()
}

// alone holds off other processes that open the file, until it is released or this process ends. An empty file beside the
// database stays behind.
func (f *sqliteFile) alone(ctx context.Context) (release func(), err error) {
	gate, err := sql.Open("sqlite", "file:"+(&url.URL{Path: f.path + "-lock"}).EscapedPath()+"?_pragma=busy_timeout(120000)&_txlock=exclusive")
	if err != nil {
		return nil, err
	}
	tx, err := gate.BeginTx(ctx, nil)
	if err != nil {
		return nil, errors.Join(err, gate.Close())
	}
	return func() {
		_ = tx.Rollback() // nothing was written
		_ = gate.Close()
	}, nil
}

// unopened adds to an error of opening where the newest backup is.
func (f *sqliteFile) unopened(err error) error {
	if err == nil {
		return nil
	}
	if all := f.backups(); len(all) > 0 {
		return fmt.Errorf("%w. The newest backup is %s; copy it over the file to go on from there", err, all[len(all)-1])
	}
	return err
}

func (f *sqliteFile) check(ctx context.Context, db *sql.DB) error {
	var verdict string
	if err := db.QueryRowContext(ctx, "PRAGMA quick_check(1)").Scan(&verdict); err != nil {
		return err
	}
	if verdict != "ok" {
		return fmt.Errorf("the file is damaged: %s", verdict)
	}
	return nil
}

func (f *sqliteFile) kindOf(err error) error {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return nil
	}
	switch e.Code() {
	case codes.SQLITE_CONSTRAINT_UNIQUE, codes.SQLITE_CONSTRAINT_PRIMARYKEY:
		return ErrThere
	case codes.SQLITE_CONSTRAINT_FOREIGNKEY:
		return ErrAbsent
	}
	switch e.Code() & 0xff {
	case codes.SQLITE_BUSY, codes.SQLITE_LOCKED:
		return errAgain
	case codes.SQLITE_FULL:
		return ErrFull
	}
	return nil
}
