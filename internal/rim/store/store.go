// Package store keeps jobs in a database: documents with every change that made them, what two people said differently,
// attached files and prints. Whatever it has acknowledged is on the disk. The SQL keeps to what SQLite and PostgreSQL share.
package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/pressly/goose/v3"
	_ "modernc.org/sqlite" // the database driver "sqlite"
)

//go:embed migrations/*.sql
var migrations embed.FS

// What the store answers when it cannot do as asked.
var (
	ErrAbsent  = errors.New("there is no such thing here")
	ErrThere   = errors.New("there is one of that name already")
	ErrChanged = errors.New("somebody else changed it meanwhile")
)

// Store is an open database. It is safe for use from several goroutines.
type Store struct {
	write, read *sql.DB
	path        string // of an SQLite file
	now         func() time.Time

	queue           chan work
	closing, closed chan struct{}
	once            sync.Once
}

// Open opens an SQLite file, makes it when it is not there, and brings an older one up to date after a backup beside it. An
// error says what is wrong with the file and where the last backup is.
func Open(ctx context.Context, path string, now func() time.Time) (*Store, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	if err := onOwnDisk(filepath.Dir(path)); err != nil {
		return nil, err
	}
	s := &Store{path: path, now: now}
	if err := s.open(ctx); err != nil {
		return nil, errors.Join(s.damaged(err), s.Close())
	}
	s.queue, s.closing, s.closed = make(chan work), make(chan struct{}), make(chan struct{})
	go s.writer()
	return s, nil
}

func (s *Store) open(ctx context.Context) error {
	info, err := os.Stat(s.path)
	fresh := errors.Is(err, fs.ErrNotExist)
	if err == nil && info.IsDir() {
		return fmt.Errorf("%s is a folder; name a file in it", s.path)
	}
	if s.write, err = sql.Open("sqlite", dsn(s.path, "synchronous(FULL)")); err != nil {
		return err
	}
	s.write.SetMaxOpenConns(1)
	if s.read, err = sql.Open("sqlite", dsn(s.path, "query_only(1)")); err != nil {
		return err
	}
	if !fresh {
		if err := s.Check(ctx); err != nil {
			return err
		}
	}
	return s.migrate(ctx, fresh)
}

// dsn names the file for the driver: a journal beside it, readers never wait for the writer, writers wait for each other.
func dsn(path, more string) string {
	q := url.Values{"_pragma": {"journal_mode(WAL)", "busy_timeout(5000)", "foreign_keys(1)", more}, "_txlock": {"immediate"}}
	return "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + q.Encode()
}

// Close lets the file go, once what is being written is on the disk. It may be called again.
func (s *Store) Close() error {
	s.once.Do(func() {
		if s.closing != nil {
			close(s.closing)
			<-s.closed
		}
	})
	var errs []error
	for _, db := range []*sql.DB{s.read, s.write} {
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return errors.Join(errs...)
}

// Check looks through the whole file for damage.
func (s *Store) Check(ctx context.Context) error {
	var verdict string
	if err := s.write.QueryRowContext(ctx, "PRAGMA quick_check(1)").Scan(&verdict); err != nil {
		return err
	}
	if verdict != "ok" {
		return fmt.Errorf("the file is damaged: %s", verdict)
	}
	return nil
}

// damaged adds to an error of opening where the newest backup is.
func (s *Store) damaged(err error) error {
	if all := s.backups(); len(all) > 0 {
		return fmt.Errorf("cannot open %s: %w. The newest backup is %s; copy it over the file to go on from there", s.path, err, all[len(all)-1])
	}
	return fmt.Errorf("cannot open %s: %w", s.path, err)
}

// migrate brings the tables up to date, after a backup of a file that holds something.
func (s *Store) migrate(ctx context.Context, fresh bool) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	provider, err := goose.NewProvider(goose.DialectSQLite3, s.write, files)
	if err != nil {
		return err
	}
	pending, err := provider.HasPending(ctx)
	if err != nil {
		return err
	}
	if current, target, err := provider.GetVersions(ctx); err == nil && current > target {
		return fmt.Errorf("it was written by a newer slabwright (form %d, this one knows %d); use that one", current, target)
	}
	if !pending {
		return nil
	}
	if !fresh {
		if _, err := s.Backup(ctx, "before-migration"); err != nil {
			return fmt.Errorf("no backup before the migration, so it is not begun: %w", err)
		}
	}
	_, err = provider.Up(ctx)
	return err
}

func micros(t time.Time) int64 { return t.UnixMicro() }

func moment(us int64) time.Time { return time.UnixMicro(us).UTC() }
