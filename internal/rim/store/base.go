package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"time"

	"github.com/pressly/goose/v3"
	"github.com/riverqueue/river/riverdriver"
)

// base is a kind of database: what SQLite and PostgreSQL each do in a way of their own. All else in this package is the same
// on both.
type base interface {
	// name is where the jobs are, for people: never with a password.
	name() string
	// open connects, looks whether the database can be used, and brings its tables to a form, one process at a time.
	open(ctx context.Context, form int64) (write, read *sql.DB, err error)
	// close lets go of what open took beside the two handles.
	close() error
	// check looks for damage.
	check(context.Context, *sql.DB) error
	// rowLock stands behind a SELECT that is followed by a write of the same row: no other process comes between.
	rowLock() string
	// sharing is said in a transaction that holds one piece of work before more join it: they must not wait long for rows while
	// others wait for theirs. "" where nothing needs saying.
	sharing() string
	// hold keeps other processes from writing while a transaction fills tables.
	hold(ctx context.Context, tx *sql.Tx, all []table) error
	// atOnce is how many arguments of one statement are quickest when many rows are put in.
	atOnce() int
	// tables are those of the database, in no order.
	tables(context.Context, *sql.Tx) ([]table, error)
	// bytewise stands behind a column of text that rows are ordered by.
	bytewise() string
	// snapshot are the options of a transaction that reads several things as they stood at one moment.
	snapshot() *sql.TxOptions
	// queue is the door of the queue of long works.
	queue(write *sql.DB) riverdriver.Driver[*sql.Tx]
	// kindOf says what an error of the database means: one of this package's errors, or nil.
	kindOf(error) error
	// stale says whether an error is of a connection that was no good before it was used: another will do.
	stale(error) bool
	// backupDaily keeps copies of the last days beside the database, where that is this program's task.
	backupDaily(ctx context.Context, write *sql.DB) error
}

// baseAt tells the kind of database by how it is named.
func baseAt(where string, now func() time.Time) (base, error) {
	if strings.HasPrefix(where, "postgres://") || strings.HasPrefix(where, "postgresql://") {
		return newPostgres(where)
	}
	if scheme, _, ok := strings.Cut(where, "://"); ok {
		return nil, fmt.Errorf("no jobs can be kept in %s://…; name a file, or a database like postgres://name@host:5432/shop", scheme)
	}
	return newSQLite(where, now)
}

// Forms of the tables that a database is opened at, beside the number of a migration.
const (
	newest int64 = -1
	asItIs int64 = 0 // whatever it is, if this program knows it; nothing is made or changed
)

// migrate brings the tables to a form; before runs ahead of changes to tables that hold something already. Going back is for
// empty tables only.
func migrate(ctx context.Context, kind goose.Dialect, db *sql.DB, form int64, before func() error) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	provider, err := goose.NewProvider(kind, db, files)
	if err != nil {
		return err
	}
	if form == asItIs {
		return known(ctx, db, provider)
	}
	current, target, err := provider.GetVersions(ctx)
	if err != nil {
		return err
	}
	if current > target {
		return newer(current, target)
	}
	if form == newest {
		form = target
	}
	if current > 0 && current < form {
		if err := before(); err != nil {
			return fmt.Errorf("no backup before the migration, so it is not begun: %w", err)
		}
	}
	switch {
	case current < form:
		_, err = provider.UpTo(ctx, form)
	case current > form:
		_, err = provider.DownTo(ctx, form)
	}
	return err
}

func newer(is, known int64) error {
	return fmt.Errorf("it was written by a newer slabwright (form %d, this one knows %d); use that one", is, known)
}

// known says whether a database holds tables of this program, in a form that it knows.
func known(ctx context.Context, db *sql.DB, provider *goose.Provider) error {
	form, err := formOf(ctx, db)
	if err != nil {
		return fmt.Errorf("it holds no jobs of slabwright (%w)", err)
	}
	if all := provider.ListSources(); form > all[len(all)-1].Version {
		return newer(form, all[len(all)-1].Version)
	}
	return nil
}

// errAgain is an error that goes away when the same is tried once more: another process was at the same rows.
var errAgain = errors.New("another process writes the same at this moment")

// Meant puts in front of an error of the database, however deep it is wrapped, the error of this package that it means: ErrAway,
// ErrFull and the like. Others stay as they are.
func (s *Store) Meant(err error) error { return told(s.base, err) }

// told is an error of the database with what it means in front, where that is known.
func told(b base, err error) error {
	if err == nil {
		return nil
	}
	if kind := b.kindOf(err); kind != nil && !errors.Is(err, kind) {
		return fmt.Errorf("%w (%w)", kind, err)
	}
	return err
}
