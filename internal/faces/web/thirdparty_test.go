package web_test

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

// brought is what was copied into the repository from elsewhere.
type brought struct {
	Name, Version, Licence, From string
	Files                        map[string]string // SHA-256 by file
}

func TestWhatIsBroughtFromElsewhereIsUnchanged(t *testing.T) {
	const place = "testdata/third_party"
	text, err := os.ReadFile(filepath.Join(place, "manifest.json"))
	if err != nil {
		t.Fatal(err)
	}
	var all []brought
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	listed := map[string]bool{"manifest.json": true}
	for _, b := range all {
		if b.Name == "" || b.Version == "" || b.Licence == "" {
			t.Errorf("%+v does not say what it is", b)
		}
		for name, want := range b.Files {
			path := filepath.Join(b.Name, name)
			listed[path] = true
			got, err := os.ReadFile(filepath.Join(place, path))
			if err != nil {
				t.Error(err)
				continue
			}
			if sum := sha256.Sum256(got); hex.EncodeToString(sum[:]) != want {
				t.Errorf("%s is not the file of %s %s", path, b.Name, b.Version)
			}
		}
	}
	err = filepath.WalkDir(place, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		if rel, _ := filepath.Rel(place, path); !listed[rel] {
			t.Errorf("%s is not in the manifest", rel)
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}
