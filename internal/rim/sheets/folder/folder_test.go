package folder_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"slabwright/internal/rim/sheets/folder"
)

func names(t *testing.T, path string) []string {
	t.Helper()
	entries, err := os.ReadDir(path)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func read(t *testing.T, parts ...string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(parts...))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func set(pairs ...string) []folder.File {
	var out []folder.File
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, folder.File{Name: pairs[i], Data: []byte(pairs[i+1])})
	}
	return out
}

func TestReplacesItsOwnFilesOnly(t *testing.T) {
	parent := t.TempDir()
	path := filepath.Join(parent, "deep", "sheets")
	if err := folder.Write(path, set("a.txt", "1", "b.txt", "1")); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(path, "mine.jpg"), []byte("photo"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := folder.Write(path, set("b.txt", "2", "c.txt", "2")); err != nil {
		t.Fatal(err)
	}
	if got, want := names(t, path), []string{"b.txt", "c.txt", folder.Contents, "mine.jpg"}; !slices.Equal(got, want) {
		t.Errorf("folder holds %v, want %v", got, want)
	}
	if read(t, path, "b.txt") != "2" || read(t, path, "mine.jpg") != "photo" {
		t.Error("wrong contents after the second set")
	}
	if got := names(t, filepath.Dir(path)); !slices.Equal(got, []string{"sheets"}) {
		t.Errorf("left beside the folder: %v", got)
	}
}

func TestNothingChangesOnFailure(t *testing.T) {
	path := filepath.Join(t.TempDir(), "sheets")
	if err := folder.Write(path, set("a.txt", "old", "b.txt", "old")); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(path, "z.txt"), 0o755); err != nil {
		t.Fatal(err)
	}
	before := names(t, path)
	err := folder.Write(path, set("a.txt", "new", "z.txt", "new"))
	if err == nil || !strings.Contains(err.Error(), "as it was") {
		t.Fatalf("error %v, want one that says the folder is as it was", err)
	}
	if got := names(t, path); !slices.Equal(got, before) || read(t, path, "a.txt") != "old" || read(t, path, "b.txt") != "old" {
		t.Errorf("folder changed to %v", got)
	}
	if got := names(t, filepath.Dir(path)); !slices.Equal(got, []string{"sheets"}) {
		t.Errorf("left beside the folder: %v", got)
	}
}

func TestForeignContentsListIsNotObeyed(t *testing.T) {
	path := t.TempDir()
	for name, says := range map[string]string{"contents.txt": "thesis.txt\n", "thesis.txt": "years of work"} {
		if err := os.WriteFile(filepath.Join(path, name), []byte(says), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := folder.Write(path, set("a.txt", "1")); err != nil {
		t.Fatal(err)
	}
	if read(t, path, "thesis.txt") != "years of work" {
		t.Error("a file of someone else is gone")
	}
}

func TestRefusesNames(t *testing.T) {
	for _, name := range []string{"", ".", "..", "a/b", `a\b`, "a\nb", folder.Contents} {
		if err := folder.Write(filepath.Join(t.TempDir(), "x"), set(name, "")); err == nil {
			t.Errorf("%q was taken for a file name", name)
		}
	}
	if err := folder.Write(filepath.Join(t.TempDir(), "x"), set("a", "", "a", "")); err == nil {
		t.Error("one name twice was taken")
	}
}
