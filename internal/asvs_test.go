package internal

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var (
	testNamed = regexp.MustCompile(`\b(?:Test|Fuzz)[A-Z]\w+`)
	testThere = regexp.MustCompile(`(?m)^func ((?:Test|Fuzz)\w+)\(`)
)

// TestEverySecurityTestThatIsNamedIsThere holds docs/security to the tests: each that a requirement or a threat names exists, and each
// requirement that is met names one or says how it is met.
func TestEverySecurityTestThatIsNamedIsThere(t *testing.T) {
	there := map[string]bool{}
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		for _, m := range testThere.FindAllStringSubmatch(string(text), -1) {
			there[m[1]] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	named := 0
	for _, page := range []string{"threat-model.md", "asvs.md"} {
		text, err := os.ReadFile("../docs/security/" + page)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range testNamed.FindAllString(string(text), -1) {
			named++
			if !there[name] {
				t.Errorf("%s names %s, which is no test", page, name)
			}
		}
		for line := range strings.Lines(string(text)) {
			cells := strings.Split(line, "|")
			if page == "asvs.md" && len(cells) == 7 && strings.TrimSpace(cells[3]) == "met" && strings.TrimSpace(cells[4])+strings.TrimSpace(cells[5]) == "" {
				t.Errorf("asvs.md says %s is met, and nothing of how", strings.TrimSpace(cells[1]))
			}
		}
	}
	if named < 100 {
		t.Fatalf("only %d tests named", named)
	}
}
