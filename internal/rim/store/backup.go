package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// keptBackups is how many daily backups stay; those made before a migration all stay.
const keptBackups = 14

// Backup writes a copy of the whole file into a folder beside it, checks that the copy can be read, and names it. The copy is
// there whole or not at all.
func (s *Store) Backup(ctx context.Context, why string) (string, error) {
	dir := s.backupDir()
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", err
	}
	path := filepath.Join(dir, fmt.Sprintf("%s-%s.db", s.now().UTC().Format("20060102T150405.000000"), why))
	part := path + ".part"
	defer os.Remove(part)
	if _, err := s.write.ExecContext(ctx, "VACUUM INTO $1", part); err != nil {
		return "", err
	}
	if err := readable(ctx, part); err != nil {
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

func readable(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", dsn(path, "query_only(1)"))
	if err != nil {
		return err
	}
	copied := &Store{write: db}
	return errors.Join(copied.Check(ctx), copied.Close())
}

// BackupDaily makes a backup when the newest daily one is a day old, and takes away those nobody keeps.
func (s *Store) BackupDaily(ctx context.Context) error {
	daily := s.daily()
	if n := len(daily); n > 0 {
		info, err := os.Stat(daily[n-1])
		if err == nil && s.now().Sub(info.ModTime()) < 24*time.Hour {
			return nil
		}
	}
	if _, err := s.Backup(ctx, dailyName); err != nil {
		return err
	}
	daily = s.daily()
	for len(daily) > keptBackups {
		if err := os.Remove(daily[0]); err != nil {
			return err
		}
		daily = daily[1:]
	}
	return nil
}

const dailyName = "daily"

func (s *Store) daily() []string {
	return slices.DeleteFunc(s.backups(), func(path string) bool { return !strings.HasSuffix(path, "-"+dailyName+".db") })
}

func (s *Store) backupDir() string {
	return strings.TrimSuffix(s.path, filepath.Ext(s.path)) + "-backups"
}

// backups lists them, oldest first.
func (s *Store) backups() []string {
	all, _ := filepath.Glob(filepath.Join(globbed(s.backupDir()), "*.db"))
	slices.Sort(all)
	return all
}

// globbed is a folder's name without meaning to a pattern.
func globbed(dir string) string {
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "?", `\?`, "[", `\[`).Replace(dir)
}
