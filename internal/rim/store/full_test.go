package store

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// tinyDisk is a folder on a disk of its own, of so many bytes.
func tinyDisk(t *testing.T, size int) string {
	t.Helper()
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", fmt.Sprintf("size=%d", size), "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("NOT TESTED ON A FULL DISK: none can be mounted here: %v %s", err, out)
	}
	t.Cleanup(func() {
		if out, err := exec.Command("umount", dir).CombinedOutput(); err != nil {
			t.Errorf("%v %s", err, out)
		}
	})
	return dir
}

// On a full disk a write is refused in words and leaves nothing; what was acknowledged can be read and backed up elsewhere, and once
// there is room the store goes on.
func TestAFullDiskLosesNothing(t *testing.T) {
	dir, ctx := tinyDisk(t, 8<<20), t.Context()
	ballast := filepath.Join(dir, "ballast")
	if err := os.WriteFile(ballast, make([]byte, 1<<20), 0o600); err != nil {
		t.Fatal(err)
	}
	s, err := Open(ctx, filepath.Join(dir, "shop.db"), newClock().now)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	kept := 0
	for ; kept < 5000; kept++ {
		if _, err = s.Create(ctx, fmt.Sprint("j", kept), map[string]any{"n": strings.Repeat("x", 4000)}, About{}, ""); err != nil {
			break
		}
	}
	if !errors.Is(err, ErrFull) || kept < 10 {
		t.Fatalf("%d jobs, then %v", kept, err)
	}
	whole := func() {
		t.Helper()
		m, err := s.Verify(ctx)
		if err != nil || m.Rows() != int64(kept) {
			t.Errorf("%d rows of %d jobs: %v", m.Rows(), kept, err)
		}
	}
	whole()
	if _, err := s.BackupTo(ctx, filepath.Join(dir, "full.backup")); err == nil {
		t.Error("a backup was written on a full disk")
	}
	elsewhere, m := backedUp(t, s)
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Create(ctx, "again", map[string]any{}, About{}, ""); err != nil {
		t.Errorf("with room again: %v", err)
	}
	kept++
	whole()
	left, err := filepath.Glob(filepath.Join(dir, "*"))
	hidden, _ := filepath.Glob(filepath.Join(dir, ".*.part"))
	if err != nil || len(hidden) > 0 || strings.Contains(strings.Join(left, " "), "backup") {
		t.Errorf("left %v %v %v", left, hidden, err)
	}
	smallDisk := tinyDisk(t, 2<<20)
	small := filepath.Join(smallDisk, "new.db")
	if _, err := Restore(ctx, elsewhere, small, newClock().now); !errors.Is(err, ErrFull) {
		t.Errorf("restored on a disk that is too small: %v", err)
	}
	if out, err := exec.Command("mount", "-o", "remount,size=32m", smallDisk).CombinedOutput(); err != nil {
		t.Fatalf("%v %s", err, out)
	}
	if err := empty(ctx, small, newClock().now); err != nil {
		t.Errorf("something is left: %v", err)
	}
	if back, err := Restore(ctx, elsewhere, filepath.Join(t.TempDir(), "new.db"), newClock().now); err != nil || back.SHA256 != m.SHA256 {
		t.Errorf("on another disk: %v", err)
	}
}

// A folder where nothing can be written, or that is not there, is refused before anything is made.
func TestAFolderThatTakesNothingIsRefused(t *testing.T) {
	s, ctx := opened(t, newClock()), t.Context()
	for _, dir := range []string{"/proc", filepath.Join(t.TempDir(), "none")} {
		if _, err := s.BackupTo(ctx, filepath.Join(dir, "x.backup")); err == nil {
			t.Errorf("a backup into %s", dir)
		}
		if s, err := Open(ctx, filepath.Join(dir, "x.db"), newClock().now); err == nil {
			s.Close()
			t.Errorf("a store in %s", dir)
		}
	}
}
