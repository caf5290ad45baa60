package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"

	"slabwright/internal/rim/store"
)

// storeCommand is what is done with the jobs as a whole.
type storeCommand struct {
	Backup  backupCommand  `cmd:"" help:"Write all jobs into one file, while others go on working."`
	Restore restoreCommand `cmd:"" help:"Bring a backup into an empty store."`
	Verify  verifyStore    `cmd:"" help:"Look whether a backup, or the store itself, is whole."`
	Move    moveCommand    `cmd:"" help:"Bring all jobs from one store into an empty other one."`
}

// Help shows how it is used.
func (storeCommand) Help() string {
	return `Examples:
  slabwright store backup                              all jobs into slabwright-2027-06-17.backup
  slabwright store verify slabwright-2027-06-17.backup
  slabwright store restore slabwright-2027-06-17.backup --file new.db
  slabwright store move --from jobs.db --to postgres://shop@db.example:5432/shop
A file or a PostgreSQL database, either way. Say a password by PGPASSWORD or in ~/.pgpass.`
}

type backupCommand struct {
	Kept
	Path string `arg:"" optional:"" name:"to" help:"The new file; a name with the day when left out."`
}

// Help shows how it is used.
func (backupCommand) Help() string {
	return `Examples:
  slabwright store backup
  slabwright store backup friday.backup --store postgres://shop@db.example:5432/shop
The file is read back before it gets its name. One that is there already is not written over.`
}

// Run writes the backup.
func (c backupCommand) Run(s *session) error {
	where, err := c.where(s)
	if err != nil {
		return err
	}
	path := c.Path
	if path == "" {
		path = "slabwright-" + s.Now().Format("2006-01-02") + ".backup"
	}
	return s.onStore(func(ctx context.Context) error {
		from, err := store.Look(ctx, where, s.Now)
		if err != nil {
			return err
		}
		m, err := from.BackupTo(ctx, path)
		if err = errors.Join(err, from.Close()); err != nil {
			return err
		}
		return s.held("Written and read back", path, m)
	})
}

type restoreCommand struct {
	Kept
	Path string `arg:"" name:"from" help:"The backup." type:"existingfile"`
}

// Help shows how it is used.
func (restoreCommand) Help() string {
	return `Examples:
  slabwright store restore friday.backup --file new.db
  slabwright store restore friday.backup --store postgres://shop@db.example:5432/shop
It comes whole or not at all, and never over jobs that are there.`
}

// Run restores the backup.
func (c restoreCommand) Run(s *session) error {
	where, err := c.where(s)
	if err != nil {
		return err
	}
	return s.onStore(func(ctx context.Context) error {
		m, err := store.Restore(ctx, c.Path, where, s.Now)
		if err != nil {
			return err
		}
		return s.held("Restored and read back", c.Path, m)
	})
}

type verifyStore struct {
	Kept
	Path string `arg:"" optional:"" name:"backup" help:"A backup; the store itself when left out." type:"existingfile"`
}

// Help shows how it is used.
func (verifyStore) Help() string {
	return `Examples:
  slabwright store verify friday.backup
  slabwright store verify --file jobs.db
Every hash, every document, and each job's changes as one unbroken chain. Exit code 3 when something is not whole.`
}

// Run verifies the backup or the store.
func (c verifyStore) Run(s *session) error {
	where, err := c.where(s)
	if err != nil {
		return err
	}
	return s.onStore(func(ctx context.Context) error {
		name, m, err := c.Path, store.Manifest{}, error(nil)
		if c.Path != "" {
			m, err = store.VerifyFile(ctx, c.Path)
		} else {
			var one *store.Store
			if one, err = store.Look(ctx, where, s.Now); err != nil {
				return err
			}
			name = one.Name()
			m, err = one.Verify(ctx)
			err = errors.Join(err, one.Close())
		}
		if unsound := (*store.Unsound)(nil); errors.As(err, &unsound) || errors.Is(err, store.ErrDamaged) {
			return exit{code: AnsweredNo, err: err, hint: "Keep it, and go back to the newest backup that is whole; see docs/store.md."}
		}
		if err != nil {
			return err
		}
		return s.held("Whole", name, m)
	})
}

type moveCommand struct {
	From string `required:"" help:"The store that is: a file, or a PostgreSQL database." placeholder:"WHERE"`
	To   string `required:"" help:"The store that is to be: a new file, or an empty PostgreSQL database." placeholder:"WHERE"`
}

// Help shows how it is used.
func (moveCommand) Help() string {
	return `Examples:
  slabwright store move --from jobs.db --to postgres://shop@db.example:5432/shop
  slabwright store move --from postgres://shop@db.example:5432/shop --to jobs.db
End slabwright serve and slabwright work first. The old store stays as it is.`
}

// Run moves the jobs.
func (c moveCommand) Run(s *session) error {
	return s.onStore(func(ctx context.Context) error {
		m, err := store.Move(ctx, c.From, c.To, s.Now)
		if err != nil {
			return err
		}
		return s.held("Moved and read back", "the new store", m)
	})
}

// onStore runs work that an interrupt breaks off in order: nothing half stays.
func (s *session) onStore(work func(context.Context) error) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	s.writing.Lock()
	defer s.writing.Unlock()
	err := work(ctx)
	if ctx.Err() != nil {
		return exit{code: Interrupted, err: errors.New("broken off; nothing half was kept")}
	}
	if errors.Is(err, os.ErrNotExist) {
		return exit{code: NotFound, err: err, hint: "Name the store: --file shop.db, or --store postgres://name@host:5432/shop"}
	}
	return err
}

// held prints what a backup or a store holds.
func (s *session) held(said, what string, m store.Manifest) error {
	if s.JSON {
		return s.printJSON(struct {
			Where string `json:"where"`
			store.Manifest
		}{what, m})
	}
	for _, t := range m.Tables {
		if s.Plain {
			s.fields(t.Table, fmt.Sprint(t.Rows), t.SHA256)
		}
	}
	if s.Plain {
		s.fields("all", fmt.Sprint(m.Rows()), m.SHA256)
		return nil
	}
	if s.Quiet {
		return nil
	}
	fmt.Fprintf(s.Out, "%s: %s\n", said, filepath.ToSlash(what))
	for _, t := range m.Tables {
		if t.Rows > 0 {
			fmt.Fprintf(s.Out, "%10d %s\n", t.Rows, t.Table)
		}
	}
	fmt.Fprintf(s.Out, "%10d rows, SHA-256 %s\n", m.Rows(), m.SHA256)
	return nil
}
