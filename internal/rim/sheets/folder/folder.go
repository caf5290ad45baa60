// Package folder puts a set of files into a folder whole or not at all: everything is written beside the folder first, and
// only then moved to its place. A file of an earlier set that the new one no longer has is taken away, so that no sheet of
// an old plan lies among the new ones; files it did not write are never touched.
package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// File is one file of a set.
type File struct {
	Name string // without folders
	Data []byte
}

// Contents names the file that lists the set, one name a line under a line that says whose list it is.
const Contents = "contents.txt"

const ours = "Files of one plan, written together by slabwright:"

// Write puts the files into the folder at path, which is made when it is not there. An error leaves the folder as it was.
func Write(path string, files []File) error {
	files, err := listed(files)
	if err != nil {
		return err
	}
	parent := filepath.Dir(filepath.Clean(path))
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return fmt.Errorf("folder: %w", err)
	}
	stage, err := os.MkdirTemp(parent, ".writing-")
	if err != nil {
		return fmt.Errorf("folder: %w", err)
	}
	defer os.RemoveAll(stage)
	fresh, kept := filepath.Join(stage, "new"), filepath.Join(stage, "old")
	if err := fill(fresh, files); err != nil {
		return fmt.Errorf("folder: %w", err)
	}
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		if err := os.Rename(fresh, path); err != nil {
			return fmt.Errorf("folder: %w", err)
		}
		return nil
	}
	if err := os.Mkdir(kept, 0o755); err != nil {
		return fmt.Errorf("folder: %w", err)
	}
	if err := exchange(path, fresh, kept, files); err != nil {
		return fmt.Errorf("folder: %s is as it was: %w", path, err)
	}
	return nil
}

// listed checks the names and adds the list of contents.
func listed(files []File) ([]File, error) {
	var names []string
	for _, f := range files {
		if !plain(f.Name) || f.Name == Contents {
			return nil, fmt.Errorf("folder: %q is no name for a file here", f.Name)
		}
		if slices.Contains(names, f.Name) {
			return nil, fmt.Errorf("folder: two files are named %q", f.Name)
		}
		names = append(names, f.Name)
	}
	return append(slices.Clone(files), File{Contents, []byte(ours + "\n" + strings.Join(names, "\n") + "\n")}), nil
}

// plain says whether a name is that of a file in the folder itself.
func plain(name string) bool {
	return name != "" && name == filepath.Base(name) && !strings.ContainsAny(name, "/\\\r\n") && name != "." && name != ".."
}

func fill(path string, files []File) error {
	if err := os.Mkdir(path, 0o755); err != nil {
		return err
	}
	for _, f := range files {
		if err := writeSynced(filepath.Join(path, f.Name), f.Data); err != nil {
			return err
		}
	}
	return nil
}

func writeSynced(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// move is one renaming that can be taken back.
type move struct{ from, to string }

// exchange moves the old set's files out to kept and the new ones in; when one cannot be moved, all go back.
func exchange(path, fresh, kept string, files []File) error {
	var done []move
	rename := func(from, to string) error {
		if err := os.Rename(from, to); err != nil {
			return err
		}
		done = append(done, move{from, to})
		return nil
	}
	if err := moveAll(path, fresh, kept, files, rename); err != nil {
		for _, m := range slices.Backward(done) {
			err = errors.Join(err, os.Rename(m.to, m.from))
		}
		return err
	}
	return nil
}

func moveAll(path, fresh, kept string, files []File, rename func(from, to string) error) error {
	out := earlier(path)
	for _, f := range files {
		if !slices.Contains(out, f.Name) {
			out = append(out, f.Name)
		}
	}
	for _, name := range out {
		info, err := os.Lstat(filepath.Join(path, name))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return err
		}
		if info.IsDir() {
			return fmt.Errorf("%s is a folder where a file must go", filepath.Join(path, name))
		}
		if err := rename(filepath.Join(path, name), filepath.Join(kept, name)); err != nil {
			return err
		}
	}
	for _, f := range files {
		if err := rename(filepath.Join(fresh, f.Name), filepath.Join(path, f.Name)); err != nil {
			return err
		}
	}
	return nil
}

// earlier lists the files of the set that was written before; none when there is no list.
func earlier(path string) []string {
	data, err := os.ReadFile(filepath.Join(path, Contents))
	list, isOurs := strings.CutPrefix(string(data), ours+"\n")
	if err != nil || !isOurs {
		return nil
	}
	var names []string
	for name := range strings.Lines(list) {
		if name = strings.TrimSuffix(name, "\n"); plain(name) {
			names = append(names, name)
		}
	}
	return names
}
