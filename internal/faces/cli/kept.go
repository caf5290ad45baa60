package cli

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
)

// Kept says where the jobs are kept; every command that opens them takes it.
type Kept struct {
	File  string `help:"The file that keeps the jobs; made when it is not there." placeholder:"FILE"`
	Store string `help:"Where the jobs are kept: a file, or a PostgreSQL database like postgres://name@host:5432/shop; also read from SLABWRIGHT_STORE." placeholder:"WHERE"`
}

// where is as asked, or a file in the person's data folder (XDG base directory specification).
func (c Kept) where(s *session) (string, error) {
	if c.File != "" && c.Store != "" {
		return "", exit{code: WrongUsage, err: errors.New("--file and --store both say where the jobs are kept"), hint: "Give one of them."}
	}
	for _, said := range []string{c.File, c.Store, s.Getenv("SLABWRIGHT_STORE")} {
		if said != "" {
			return said, nil
		}
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
