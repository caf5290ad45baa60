package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// keptBackups is how many daily backups stay; those made before a migration all stay.
const keptBackups = 14

// BackupDaily keeps copies of the last fourteen days beside an SQLite file: one is made when the newest is a day old. A
// PostgreSQL server is backed up by who keeps it; nothing is done for it here.
func (s *Store) BackupDaily(ctx context.Context) error { return s.base.backupDaily(ctx, s.write) }

// backup writes a copy of the whole file into a folder beside it, checks that the copy can be read, and names it. The copy is
// there whole or not at all.
func (f *sqliteFile) backup(ctx context.Context, write *sql.DB, why string) (string, error) {
	dir := f.backupDir()
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", err
	}
	path := filepath.Join(dir, fmt.Sprintf("%s-%s.db", f.now().UTC().Format("20060102T150405.000000"), why))
	part := path + ".part"
	defer os.Remove(part)
	if _, err := write.ExecContext(ctx, "VACUUM INTO $1", part); err != nil {
		return "", err
	}
	if err := f.readable(ctx, part); err != nil {
		return "", err
	}
	if err := synced(part); err != nil {
		return "", err
	}
	return path, os.Rename(part, path)
}

func synced(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

func (f *sqliteFile) readable(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", dsn(path, "query_only(1)", "deferred"))
	if err != nil {
		return err
	}
	return errors.Join(f.check(ctx, db), db.Close())
}

// backupDaily makes a backup when the newest daily one is a day old, and takes away those nobody keeps.
func (f *sqliteFile) backupDaily(ctx context.Context, write *sql.DB) error {
	daily := f.daily()
	if n := len(daily); n > 0 {
		info, err := os.Stat(daily[n-1])
		if err == nil && f.now().Sub(info.ModTime()) < 24*time.Hour {
			return nil
		}
	}
	if _, err := f.backup(ctx, write, dailyName); err != nil {
		return err
	}
	daily = f.daily()
	for len(daily) > keptBackups {
		if err := os.Remove(daily[0]); err != nil && !errors.Is(err, fs.ErrNotExist) { // another process may tidy too
			return err
		}
		daily = daily[1:]
	}
	return nil
}

const dailyName = "daily"

func (f *sqliteFile) daily() []string {
	return slices.DeleteFunc(f.backups(), func(path string) bool { return !strings.HasSuffix(path, "-"+dailyName+".db") })
}

func (f *sqliteFile) backupDir() string {
	return strings.TrimSuffix(f.path, filepath.Ext(f.path)) + "-backups"
}

// backups lists them, oldest first.
func (f *sqliteFile) backups() []string {
	all, _ := filepath.Glob(filepath.Join(globbed(f.backupDir()), "*.db"))
	slices.Sort(all)
	return all
}

// globbed is a folder's name without meaning to a pattern.
func globbed(dir string) string {
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "?", `\?`, "[", `\[`).Replace(dir)
}
