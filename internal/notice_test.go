package internal

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

var (
	required = regexp.MustCompile(`(?m)^\s+(\S+\.\S+/\S+|\S+\.\S+) (v\S+)(?: // indirect)?$`)
	noticed  = regexp.MustCompile(`(?m)^\| (\S+\.\S+) \| (v\S+) \| ([^|]+) \| ([^|]+) \|$`)
)

// TestEveryModuleStandsInTheNotice holds NOTICE.md to go.mod: each module with its version, and a licence that may be passed on.
func TestEveryModuleStandsInTheNotice(t *testing.T) {
	read := func(path string) string {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	in := map[string]string{}
	for _, m := range noticed.FindAllStringSubmatch(read("../NOTICE.md"), -1) {
		in[m[1]] = m[2]
		if !strings.ContainsAny(m[3], "ABCDEFGHIJKLMNOPQRSTUVWXYZ") {
			t.Errorf("%s has no licence in NOTICE.md", m[1])
		}
		if strings.HasPrefix(m[3], "GPL") || strings.HasPrefix(m[3], "AGPL") {
			t.Errorf("%s is under %s, which the whole program would be under too", m[1], m[3])
		}
	}
	modules := required.FindAllStringSubmatch(read("../go.mod"), -1)
	if len(modules) < 50 {
		t.Fatalf("only %d modules read in go.mod", len(modules))
	}
	for _, m := range modules {
		if in[m[1]] != m[2] {
			t.Errorf("NOTICE.md has %s at %q, go.mod at %s: look at its licence and write it there", m[1], in[m[1]], m[2])
		}
		delete(in, m[1])
	}
	for name := range in {
		t.Errorf("NOTICE.md names %s, which go.mod does not", name)
	}
}
