package cli

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"time"

	"golang.org/x/term"
)

// World is everything outside the program that a command may touch.
type World struct {
	In       io.Reader
	Out, Err io.Writer
	Now      func() time.Time
	Getenv   func(string) string
	Colour   bool                   // Out is a terminal that shows colour
	Width    int                    // columns of the terminal Out is; 0: no terminal, lines are not broken
	Terminal bool                   // In is a terminal: prompting is allowed
	ErrTerm  bool                   // Err is a terminal: progress may be drawn
	Hidden   func() (string, error) // reads a line from the terminal without showing it; nil: there is no terminal
	Client   *http.Client           // asks a weather service; nil: one that waits ten seconds
}

// System is the world the program really runs in.
func System() World {
	w := World{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Getenv: os.Getenv, Terminal: isTerminal(os.Stdin), ErrTerm: isTerminal(os.Stderr)}
	if w.Terminal {
		w.Hidden = func() (string, error) {
			line, err := term.ReadPassword(int(os.Stdin.Fd()))
			return string(line), err
		}
	}
	if isTerminal(os.Stdout) {
		w.Width, _, _ = term.GetSize(int(os.Stdout.Fd()))
	}
	w.Colour = coloured(isTerminal(os.Stdout), os.Getenv)
	w.Now = func() time.Time { return time.Now().In(here(os.Getenv, time.Now())) }
	return w
}

// coloured says whether colour may be written: to a terminal that knows it, and nobody said no.
func coloured(terminal bool, getenv func(string) string) bool {
	return terminal && getenv("NO_COLOR") == "" && getenv("TERM") != "dumb"
}

func isTerminal(f *os.File) bool { return term.IsTerminal(int(f.Fd())) }

// zoneLink is where Unix keeps the machine's time zone, by name.
const zoneLink = "/etc/localtime"

// here is the machine's time zone under a name that can be written down and read again: the plan goes to other machines.
// A zone without a name becomes the fixed one with its offset of now.
func here(getenv func(string) string, now time.Time) *time.Location {
	name := strings.TrimPrefix(getenv("TZ"), ":")
	if name == "" {
		link, _ := filepath.EvalSymlinks(zoneLink)
		_, name, _ = strings.Cut(link, "zoneinfo/")
	}
	if zone, err := time.LoadLocation(name); err == nil && name != "" && name != "Local" {
		return zone
	}
	_, offset := now.Zone()
	if zone, err := time.LoadLocation(fmt.Sprintf("Etc/GMT%+d", -offset/3600)); err == nil && offset%3600 == 0 {
		return zone
	}
	return time.UTC
}

// sink is an output that remembers its first failure, so that an answer nobody could read does not end in success.
type sink struct {
	to  io.Writer
	err error
}

func (s *sink) Write(p []byte) (int, error) {
	n, err := s.to.Write(p)
	if s.err == nil && err != nil {
		s.err = fmt.Errorf("the answer could not be written: %w", errors.Unwrap(err))
	}
	return n, err
}
