// Package storetest gives each test of what is kept both databases to run on: SQLite files, and a real PostgreSQL server that it
// starts for the test binary and stops when the binary ends, however it ends.
package storetest

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// Both runs a test as "sqlite" and as "postgres". fresh names a new empty database each time it is called, for store.Open.
func Both(t *testing.T, test func(t *testing.T, fresh func() string)) {
	t.Helper()
	t.Run("sqlite", func(t *testing.T) { test(t, func() string { return File(t) }) })
	t.Run("postgres", func(t *testing.T) { test(t, func() string { return Postgres(t) }) })
}

// BothBench does for benchmarks what Both does for tests.
func BothBench(b *testing.B, bench func(b *testing.B, fresh func() string)) {
	b.Run("sqlite", func(b *testing.B) { bench(b, func() string { return File(b) }) })
	b.Run("postgres", func(b *testing.B) { bench(b, func() string { return Postgres(b) }) })
}

// File is a name for a new SQLite file.
func File(t testing.TB) string { return filepath.Join(t.TempDir(), "shop.db") }

// shared is the server of this test binary; it is quick and would lose all if the machine fell over.
var shared = sync.OnceValues(func() (*Server, error) { return start(false) })

var databases atomic.Int64

// Postgres is the address of a new database on a PostgreSQL server. The test is skipped, and says so, where none is installed.
func Postgres(t testing.TB) string {
	t.Helper()
	needed(t)
	s, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	return s.Database(t)
}

// must makes a missing server a failure: continuous integration sets it, so that skipping is no way to pass.
const must = "STORETEST_MUST"

// needed skips a test where PostgreSQL is not installed.
func needed(t testing.TB) {
	t.Helper()
	if _, err := programs(); err != nil && os.Getenv(must) != "" {
		t.Fatal(err)
	} else if err != nil {
		t.Skip(err)
	}
}

// Database makes a new database and gives its address; it is dropped when the test ends.
func (s *Server) Database(t testing.TB) string {
	t.Helper()
	name := fmt.Sprintf("shop%d", databases.Add(1))
	if err := s.admin("CREATE DATABASE " + name); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.admin("DROP DATABASE IF EXISTS " + name + " WITH (FORCE)") }) // the server may be gone
	return s.address(name)
}

// Password is the one of the test servers' user: tests look that it is never shown.
const Password = "p@ss/wörd#1"

func (s *Server) address(database string) string {
	return (&url.URL{Scheme: "postgres", User: url.UserPassword(user, Password), Host: fmt.Sprintf("127.0.0.1:%d", s.port), Path: "/" + database}).String()
}

func (s *Server) admin(command string) error {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	conn, err := pgx.Connect(ctx, s.address("postgres"))
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, command)
	return err
}
