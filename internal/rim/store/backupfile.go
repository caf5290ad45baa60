package store

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// A backup file is an opening line, the lines of dump compressed as gzip does (RFC 1952), and a last line with the hash of all
// that stands before it. The same content makes the same bytes.
const (
	opening    = "slabwright store 1\n"
	closeWords = "\nsha256 "
	closeSize  = len(closeWords) + 2*sha256.Size + 1
)

// BackupTo writes all that the store holds into one file, from one moment, while others go on working with it. The file is read
// back before it gets its name: it is there whole or not at all. One that is there already is never written over.
func (s *Store) BackupTo(ctx context.Context, path string) (m Manifest, err error) {
	if _, err := os.Lstat(path); err == nil {
		return m, fmt.Errorf("%s is there already; name a new file", path)
	} else if !errors.Is(err, fs.ErrNotExist) {
		return m, err
	}
	part, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*.part")
	if err != nil {
		return m, fmt.Errorf("no backup can be written there: %w", err)
	}
	defer os.Remove(part.Name())
	m, err = s.backupInto(ctx, part)
	if err = errors.Join(err, part.Close()); err != nil {
		return m, fmt.Errorf("no backup was written: %w", err)
	}
	if again, err := readBack(part.Name()); err != nil || again.SHA256 != m.SHA256 {
		return m, fmt.Errorf("no backup was written: it does not read back as it should: %w", errors.Join(err, ErrDamaged))
	}
	if err := os.Rename(part.Name(), path); err != nil {
		return m, err
	}
	return m, syncedFolder(filepath.Dir(path))
}

func (s *Store) backupInto(ctx context.Context, f *os.File) (m Manifest, err error) {
	hash := sha256.New()
	w := io.MultiWriter(f, hash)
	if _, err := io.WriteString(w, opening); err != nil {
		return m, err
	}
	zip := gzip.NewWriter(w)
	if m, err = s.dump(ctx, zip); err != nil {
		return m, err
	}
	if err := zip.Close(); err != nil {
		return m, err
	}
	if _, err := fmt.Fprintf(f, "%s%s\n", closeWords, sum(hash)); err != nil {
		return m, err
	}
	return m, f.Sync()
}

// syncedFolder brings a new name to the disk, where folders can be synced.
func syncedFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	_ = d.Sync() // not every system can
	return d.Close()
}

// backupFile is a backup whose hash has been found right.
type backupFile struct {
	file *os.File
	size int64 // of the compressed lines
}

func openBackup(path string) (b *backupFile, err error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			f.Close()
		}
	}()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	start := make([]byte, len(opening))
	if _, err := io.ReadFull(f, start); err != nil || string(start) != opening {
		return nil, fmt.Errorf("%s is no backup of slabwright, or its beginning is damaged", path)
	}
	size := info.Size() - int64(len(opening)+closeSize)
	end := make([]byte, closeSize)
	if _, err := f.ReadAt(end, max(0, info.Size()-int64(closeSize))); size < 0 || err != nil || !bytes.HasPrefix(end, []byte(closeWords)) {
		return nil, fmt.Errorf("%s: %w: its end is missing, as when a copy was cut short", path, ErrDamaged)
	}
	hash := sha256.New()
	hash.Write(start)
	if _, err := io.Copy(hash, io.LimitReader(f, size)); err != nil {
		return nil, err
	}
	if want := closeWords + hex.EncodeToString(hash.Sum(nil)) + "\n"; want != string(end) {
		return nil, fmt.Errorf("%s: %w: its bytes are not those that were written", path, ErrDamaged)
	}
	return &backupFile{f, size}, nil
}

func (b *backupFile) close() { _ = b.file.Close() } // only read

// read goes through the lines.
func (b *backupFile) read(to taker) (Manifest, error) {
	zip, err := gzip.NewReader(io.NewSectionReader(b.file, int64(len(opening)), b.size))
	if err != nil {
		return Manifest{}, damaged("it cannot be unpacked")
	}
	return readLines(zip, to)
}

// readBack holds a backup file to its hashes and counts.
func readBack(path string) (Manifest, error) {
	b, err := openBackup(path)
	if err != nil {
		return Manifest{}, err
	}
	defer b.close()
	return b.read(nobodysTaker{})
}

type nobodysTaker struct{}

func (nobodysTaker) begin(head) error        { return nil }
func (nobodysTaker) row(*table, []any) error { return nil }

// VerifyFile reads a backup file whole: its hash, its counts, and what it holds as Verify does.
func VerifyFile(ctx context.Context, path string) (Manifest, error) {
	b, err := openBackup(path)
	if err != nil {
		return Manifest{}, err
	}
	defer b.close()
	check := newChecker(ctx)
	m, err := b.read(check)
	if err != nil {
		return m, fmt.Errorf("%s: %w", path, err)
	}
	return m, check.found()
}

// Verify reads all that an open store holds, as it is at one moment, and looks that it hangs together: every document can be read,
// each job's changes are an unbroken chain, and what refers to a revision refers to one that is there.
func (s *Store) Verify(ctx context.Context) (Manifest, error) {
	if err := s.Check(ctx); err != nil {
		return Manifest{}, err
	}
	check := newChecker(ctx)
	m, _, err := s.pour(ctx, check)
	return m, errors.Join(err, check.found())
}

// pour sends all that the store holds at one moment to a taker, and gives what was sent and what was taken.
func (s *Store) pour(ctx context.Context, to taker) (sent, taken Manifest, err error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	r, w := io.Pipe()
	done := make(chan error, 1)
	go func() {
		var err error
		sent, err = s.dump(ctx, w)
		w.CloseWithError(err)
		done <- err
	}()
	taken, err = readLines(r, to)
	stop()
	r.CloseWithError(errors.New("the taker stopped"))
	if read := <-done; err == nil {
		err = read
	}
	return sent, taken, err
}

// Restore brings a backup file into an empty store, whole or not at all.
func Restore(ctx context.Context, path, where string, now func() time.Time) (Manifest, error) {
	b, err := openBackup(path)
	if err != nil {
		return Manifest{}, err
	}
	defer b.close()
	h, err := b.head()
	if err != nil {
		return Manifest{}, fmt.Errorf("%s: %w", path, err)
	}
	return fill(ctx, where, h.Form, now, func(to taker) (Manifest, Manifest, error) {
		m, err := b.read(to)
		return m, m, err
	})
}

// head reads the first line only.
func (b *backupFile) head() (head, error) {
	first := &firstLine{}
	if _, err := b.read(first); err != nil && !errors.Is(err, errEnough) {
		return head{}, err
	}
	return first.head, nil
}

var errEnough = errors.New("that was enough")

type firstLine struct{ head head }

func (f *firstLine) begin(h head) error {
	f.head = h
	return errEnough
}

func (f *firstLine) row(*table, []any) error { return errEnough }

// Move brings all that one store holds into an empty other one, whole or not at all, and leaves the first as it is. It fails, and
// says so, when the first was written to meanwhile.
func Move(ctx context.Context, from, to string, now func() time.Time) (Manifest, error) {
	old, err := Look(ctx, from, now)
	if err != nil {
		return Manifest{}, err
	}
	defer old.Close()
	form, err := formOf(ctx, old.read)
	if err != nil {
		return Manifest{}, err
	}
	m, err := fill(ctx, to, form, now, func(to taker) (Manifest, Manifest, error) { return old.pour(ctx, to) })
	if err != nil {
		return m, err
	}
	if still, err := old.dump(ctx, io.Discard); err != nil || still.SHA256 != m.SHA256 {
		return m, errors.Join(fmt.Errorf("%w in %s while it was moved, so the new store lacks that: end slabwright serve and slabwright work, empty the new one and move again", ErrChanged, old.Name()), err)
	}
	return m, nil
}
