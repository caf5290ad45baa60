package cli

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"syscall"

	"slabwright/internal/faces/serve"
)

type serveCommand struct {
	File    string `help:"The file that keeps the jobs; made when it is not there." placeholder:"FILE"`
	Listen  string `help:"Address and port on this machine." default:"127.0.0.1:8147"`
	NoOpen  bool   `help:"Do not open the browser."`
	Verbose bool   `help:"Say each request on standard error; never what was typed."`
}

// Help shows how it is used.
func (serveCommand) Help() string {
	return `Examples:
  slabwright serve                        opens the page; jobs in your data folder
  slabwright serve --file shop.db         jobs in a file of your own; backups beside it, in shop-backups/
  slabwright serve --listen 127.0.0.1:0   on any free port
Only this machine can open it. End it with Ctrl-C; nothing typed is lost.`
}

// Run serves until it is interrupted.
func (c serveCommand) Run(s *session) error {
	file, err := c.file(s)
	if err != nil {
		return err
	}
	level := slog.LevelWarn
	if c.Verbose {
		level = slog.LevelDebug
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	server, err := serve.Start(ctx, serve.Options{File: file, Listen: c.Listen, Now: s.Now, Log: slog.New(slog.NewTextHandler(s.Err, &slog.HandlerOptions{Level: level})), Page: serve.Page})
	if err != nil {
		return exit{code: Failed, err: err}
	}
	if s.JSON {
		err = s.printJSON(map[string]string{"url": server.URL, "file": file})
	} else {
		fmt.Fprintln(s.Out, server.URL)
	}
	if err != nil {
		return err
	}
	if !s.Quiet && !s.JSON && !s.Plain {
		fmt.Fprintf(s.Err, "Jobs are kept in %s. End with Ctrl-C.\n", file)
	}
	if !c.NoOpen && s.Terminal {
		opened(server.URL)
	}
	s.writing.Lock() // an interrupt waits until the store is closed
	defer s.writing.Unlock()
	return server.Wait(ctx)
}

// file is where the jobs are kept: as asked, or in the person's data folder (XDG base directory specification).
func (c serveCommand) file(s *session) (string, error) {
	if c.File != "" {
		return c.File, nil
	}
	dir := s.Getenv("XDG_DATA_HOME")
	if dir == "" {
		home, err := os.UserHomeDir()
		if err != nil {
			return "", exit{code: Missing, err: err, hint: "Name a file: slabwright serve --file shop.db"}
		}
		dir = filepath.Join(home, ".local", "share")
		if runtime.GOOS == "windows" || runtime.GOOS == "darwin" {
			if dir, err = os.UserConfigDir(); err != nil {
				return "", exit{code: Missing, err: err, hint: "Name a file: slabwright serve --file shop.db"}
			}
		}
	}
	dir = filepath.Join(dir, "slabwright")
	return filepath.Join(dir, "jobs.db"), os.MkdirAll(dir, 0o700)
}

// opened asks the desktop to show the page. Where there is none, the printed address does.
func opened(url string) {
	command := map[string][]string{"darwin": {"open"}, "windows": {"rundll32", "url.dll,FileProtocolHandler"}}[runtime.GOOS]
	if command == nil {
		command = []string{"xdg-open"}
	}
	browser := exec.Command(command[0], append(command[1:], url)...)
	if browser.Start() == nil {
		go browser.Wait() //nolint:errcheck // the browser's own business
	}
}
