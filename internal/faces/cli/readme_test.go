package cli

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

var codeBlock = regexp.MustCompile("(?s)```(\\w+)\n(.*?)```")

// TestTheReadmeDoesWhatItSays runs every slabwright command in README.md's blocks, and compares the output where it shows one.
func TestTheReadmeDoesWhatItSays(t *testing.T) {
	readme, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	home, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	copyFolder(t, home+"/../../../examples", "examples")
	s, ran := newScript(t), 0
	for _, block := range codeBlock.FindAllStringSubmatch(string(readme), -1) {
		if block[1] != "sh" {
			continue
		}
		for line := range strings.Lines(block[2]) {
			line, _, _ = strings.Cut(strings.TrimSpace(line), " #")
			command, isRun := strings.CutPrefix(strings.TrimPrefix(line, "$ "), "go run ./cmd/slabwright ")
			switch {
			case isRun:
				s.exec(append([]string{"slabwright"}, s.words(command)...), Done)
				ran++
			case s.out != "" && strings.HasPrefix(block[2], "$ ") && line != strings.TrimSpace(s.out):
				t.Errorf("README shows %q; it prints %q", line, s.out)
			}
		}
	}
	if ran < 2 {
		t.Errorf("only %d commands found", ran)
	}
	if _, err := os.Stat("examples/boathouse-apron-sheets/sheets.pdf"); err != nil {
		t.Error(err)
	}
}

// TestTheReadmesJobFileIsRead holds the job file shown in README.md to the reader.
func TestTheReadmesJobFileIsRead(t *testing.T) {
	readme, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	shots, err := os.ReadFile("../../../examples/nursery-shots.csv")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	for _, block := range codeBlock.FindAllStringSubmatch(string(readme), -1) {
		if block[1] == "yaml" {
			s := newScript(t)
			s.write("pad.yaml", block[2])
			s.write("nursery-shots.csv", string(shots))
			s.exec([]string{"slabwright", "order", "pad.yaml", "-q"}, Done)
		}
	}
}
