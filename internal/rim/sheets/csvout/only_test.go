package csvout_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every table that leaves for a spreadsheet goes through this package or xlsx, which make text harmless.
func TestNothingElseWritesSpreadsheets(t *testing.T) {
	seen := 0
	for _, root := range []string{"../../../../internal", "../../../../cmd"} {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			seen++
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			for writer, home := range map[string]string{"csv.NewWriter(": "sheets/csvout/", "excelize.NewFile(": "sheets/xlsx/"} {
				if strings.Contains(string(text), writer) && !strings.Contains(filepath.ToSlash(path), home) {
					t.Errorf("%s writes tables by itself: use csvout or xlsx", path)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if seen < 100 {
		t.Fatalf("looked at %d files", seen)
	}
}
