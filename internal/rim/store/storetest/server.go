package storetest

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// user is who owns the test servers' databases.
const user = "shop"

// Server is a PostgreSQL server on a free port of this machine, with a data folder of its own.
type Server struct {
	port  int
	dir   string // holds the data, its log and the password file
	data  string
	tools string // the folder of the programs
	sure  bool   // waits for the disk
	life  io.WriteCloser
}

// Durable starts a server that waits for the disk as one in use does, for tests that kill it. It is stopped when the test ends.
func Durable(t testing.TB) *Server {
	t.Helper()
	needed(t)
	s, err := start(true)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.stop)
	return s
}

// programs is the folder of initdb and postgres.
func programs() (string, error) {
	places, _ := filepath.Glob("/usr/lib/postgresql/*/bin")
	slices.Reverse(places) // the newest first
	if found, err := exec.LookPath("initdb"); err == nil {
		if found, err = filepath.EvalSymlinks(found); err == nil {
			places = append(places, filepath.Dir(found))
		}
	}
	for _, dir := range places {
		if _, err := os.Stat(filepath.Join(dir, "postgres")); err == nil {
			return dir, nil
		}
	}
	return "", errors.New("NOT TESTED ON POSTGRESQL: it is not installed here; tools/setup installs it")
}

func start(sure bool) (*Server, error) {
	tools, err := programs()
	if err != nil {
		return nil, err
	}
	s := &Server{tools: tools, sure: sure}
	made, err := as("mktemp -d " + quoted(filepath.Join(os.TempDir(), "slabwright-postgres-XXXXXX"))).Output()
	if err != nil {
		return nil, fmt.Errorf("no folder for the server: %w", err)
	}
	s.dir = strings.TrimSpace(string(made))
	s.data = filepath.Join(s.dir, "data")
	secret := filepath.Join(s.dir, "secret")
	if err := os.WriteFile(secret, []byte(Password), 0o644); err != nil {
		return nil, err
	}
	if out, err := as(fmt.Sprintf("%s -D %s -U %s -A scram-sha-256 --pwfile=%s -E UTF8 --locale=C.UTF-8 --no-sync", quoted(filepath.Join(tools, "initdb")), quoted(s.data), user, quoted(secret))).CombinedOutput(); err != nil {
		return nil, fmt.Errorf("initdb: %w: %s", err, out)
	}
	return s, s.Start()
}

// Start starts the server, again where it was killed, and returns once it answers.
func (s *Server) Start() error {
	if s.port == 0 {
		free, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			return err
		}
		s.port = free.Addr().(*net.TCPAddr).Port
		if err := free.Close(); err != nil {
			return err
		}
	}
	settings := fmt.Sprintf("-p %d -c listen_addresses=127.0.0.1 -c unix_socket_directories='' -c max_connections=200 -c shared_buffers=64MB", s.port)
	if !s.sure {
		settings += " -c fsync=off -c synchronous_commit=off -c full_page_writes=off"
	}
	for tries := 1; ; tries++ {
		if err := s.launch(settings); err != nil {
			return err
		}
		// after a kill the old server's processes may need a moment to go, and the new one gives up at once
		err := s.answers(10 * time.Second)
		if err == nil || tries == 5 {
			return err
		}
		if err := s.life.Close(); err != nil {
			return err
		}
	}
}

func (s *Server) launch(settings string) error {
	// The shell's input is held by this process: when it ends, in whatever way, the server is stopped and the folder goes.
	script := fmt.Sprintf(`%s -D %s %s >>%s 2>&1 </dev/null & server=$!; cat >/dev/null; kill -QUIT $server 2>/dev/null; wait $server`,
		quoted(filepath.Join(s.tools, "postgres")), quoted(s.data), settings, quoted(filepath.Join(s.dir, "log")))
	if !s.sure {
		script += "; rm -rf " + quoted(s.dir)
	}
	shell := as(script)
	life, err := shell.StdinPipe()
	if err != nil {
		return err
	}
	if err := shell.Start(); err != nil {
		return err
	}
	go shell.Wait() //nolint:errcheck // it ends when the server does
	s.life = life
	return nil
}

// answers waits until the server does.
func (s *Server) answers(within time.Duration) error {
	ctx, cancel := context.WithTimeout(context.Background(), within)
	defer cancel()
	for {
		conn, err := pgx.Connect(ctx, s.address("postgres"))
		if err == nil {
			return conn.Close(ctx)
		}
		select {
		case <-ctx.Done():
			log, _ := os.ReadFile(filepath.Join(s.dir, "log"))
			return fmt.Errorf("the server does not start: %w\n%s", err, log)
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// Kill ends the server's first process by SIGKILL, as a failing machine would; the others see it and go too. It returns once the
// data folder is free.
func (s *Server) Kill() error {
	text, err := os.ReadFile(filepath.Join(s.data, "postmaster.pid"))
	if err != nil {
		return err
	}
	first, _, _ := strings.Cut(string(text), "\n")
	pid, err := strconv.Atoi(first)
	if err != nil {
		return err
	}
	process, err := os.FindProcess(pid)
	if err != nil {
		return err
	}
	if err := process.Kill(); err != nil {
		return err
	}
	return s.life.Close()
}

// Crash stops the server at once, without writing down what it holds: it recovers from its journal at the next start.
func (s *Server) Crash() error {
	out, err := as(fmt.Sprintf("%s -D %s -m immediate -w stop", quoted(filepath.Join(s.tools, "pg_ctl")), quoted(s.data))).CombinedOutput()
	if err != nil {
		return fmt.Errorf("%w: %s", err, out)
	}
	return s.life.Close()
}

func (s *Server) stop() {
	_ = s.life.Close() // it may be stopped already
	for range 500 {
		if _, err := os.Stat(filepath.Join(s.data, "postmaster.pid")); err != nil {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	_ = os.RemoveAll(s.dir)
}

// as is a shell of the user who may run a PostgreSQL server: root may not.
func as(script string) *exec.Cmd {
	var c *exec.Cmd
	if os.Geteuid() == 0 {
		c = exec.Command("su", "postgres", "-s", "/bin/sh", "-c", script)
	} else {
		c = exec.Command("/bin/sh", "-c", script)
	}
	c.Dir = "/"
	return c
}

func quoted(path string) string { return "'" + strings.ReplaceAll(path, "'", `'\''`) + "'" }
