package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Scripts under testdata/script are text archives: commands first, then `-- name --` and the file's text. The commands are a
// part of those of Go's own script tests:
//
//	exec slabwright …      runs the program; it must end in success
//	exits N slabwright …   runs it; it must end with exit code N
//	stdin FILE             what the next run reads
//	stdout, stderr RE      the last run wrote a match (! none)
//	cmp A B                two files are the same, stdout and stderr among them (! differ)
//	cp A B, mkdir, exists  files and folders (! exists)
//	env NAME=VALUE         for the runs after it
//	terminal               the runs after it write to a terminal of 80 columns
func TestScripts(t *testing.T) {
	paths, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil || len(paths) == 0 {
		t.Fatalf("%d scripts, %v", len(paths), err)
	}
	for i, path := range paths {
		paths[i], _ = filepath.Abs(path)
	}
	examples, _ := filepath.Abs("../../../examples")
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			t.Chdir(t.TempDir())
			copyFolder(t, examples, "examples")
			newScript(t).run(string(text))
		})
	}
}

// scriptNow is the moment of every script: Monday evening in Chicago.
var scriptNow = time.Date(2027, 6, 14, 23, 0, 0, 0, time.UTC)

type script struct {
	*testing.T
	env      map[string]string
	terminal bool
	stdin    string
	out, err string
	line     int
}

func newScript(t *testing.T) *script { return &script{T: t, env: map[string]string{}} }

var fileMark = regexp.MustCompile(`(?m)^-- (.+) --\n`)

// run writes the archive's files and obeys its commands.
func (s *script) run(archive string) {
	marks := fileMark.FindAllStringSubmatchIndex(archive, -1)
	commands := archive
	if len(marks) > 0 {
		commands = archive[:marks[0][0]]
	}
	for i, m := range marks {
		end := len(archive)
		if i+1 < len(marks) {
			end = marks[i+1][0]
		}
		s.write(archive[m[2]:m[3]], archive[m[1]:end])
	}
	for i, line := range strings.Split(commands, "\n") {
		s.line = i + 1
		if words := s.words(line); len(words) > 0 {
			s.obey(words)
		}
	}
}

func (s *script) write(name, text string) {
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		s.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
		s.Fatal(err)
	}
}

// words parts a line at blanks; a single-quoted part is one word, and two quotes inside it are one.
func (s *script) words(line string) []string {
	var words []string
	line = strings.TrimSpace(line)
	for line != "" && line[0] != '#' {
		if line[0] != '\'' {
			word, rest, _ := strings.Cut(line, " ")
			words, line = append(words, word), strings.TrimSpace(rest)
			continue
		}
		end := 1
		for ; end < len(line) && (line[end] != '\'' || strings.HasPrefix(line[end:], "''")); end++ {
			if line[end] == '\'' {
				end++
			}
		}
		if end >= len(line) {
			s.fail("a quote is not closed")
		}
		words, line = append(words, strings.ReplaceAll(line[1:end], "''", "'")), strings.TrimSpace(line[end+1:])
	}
	return words
}

func (s *script) fail(format string, args ...any) {
	s.Helper()
	s.Fatalf("line %d: %s\n--- stdout\n%.3000s\n--- stderr\n%.2000s", s.line, fmt.Sprintf(format, args...), s.out, s.err)
}

func (s *script) obey(words []string) {
	s.Helper()
	not := words[0] == "!"
	if not {
		words = words[1:]
	}
	switch name, args := words[0], words[1:]; name {
	case "exec":
		s.exec(args, Done)
	case "exits":
		code, err := strconv.Atoi(args[0])
		if err != nil {
			s.fail("%s is no exit code", args[0])
		}
		s.exec(args[1:], code)
	case "stdin":
		s.stdin = s.text(args[0])
	case "stdout", "stderr":
		s.matches(s.text(name), args[0], not)
	case "cmp":
		if a, b := s.text(args[0]), s.text(args[1]); (a == b) == not {
			s.fail("%s and %s: same %v\n--- %s\n%.2000s", args[0], args[1], a == b, args[1], b)
		}
	case "cp":
		s.write(args[1], s.text(args[0]))
	case "mkdir":
		if err := os.MkdirAll(args[0], 0o755); err != nil {
			s.fail("%v", err)
		}
	case "exists":
		if _, err := os.Stat(args[0]); (err == nil) == not {
			s.fail("%s: %v", args[0], err)
		}
	case "env":
		key, value, _ := strings.Cut(args[0], "=")
		s.env[key] = value
	case "terminal":
		s.terminal = true
	default:
		s.fail("no command %q", name)
	}
}

func (s *script) text(name string) string {
	switch name {
	case "stdout":
		return s.out
	case "stderr":
		return s.err
	}
	text, err := os.ReadFile(name)
	if err != nil {
		s.fail("%v", err)
	}
	return string(text)
}

func (s *script) matches(text, pattern string, not bool) {
	s.Helper()
	re, err := regexp.Compile("(?m)" + pattern)
	if err != nil {
		s.fail("%v", err)
	}
	if re.MatchString(text) == not {
		s.fail("match for `%s`: %v", pattern, !not)
	}
}

// exec runs the program in this process.
func (s *script) exec(args []string, want int) {
	s.Helper()
	if args[0] != "slabwright" {
		s.fail("only slabwright can be run")
	}
	var out, errs bytes.Buffer
	getenv := func(name string) string { return s.env[name] }
	w := World{In: strings.NewReader(s.stdin), Out: &out, Err: &errs, Getenv: getenv, Now: func() time.Time { return scriptNow },
		Colour: coloured(s.terminal, getenv), ErrTerm: s.terminal}
	if s.terminal {
		w.Width = 80
	}
	code := Main(args[1:], w)
	s.out, s.err, s.stdin = out.String(), errs.String(), ""
	if code != want {
		s.fail("exit code %d, not %d", code, want)
	}
	for _, never := range []string{"panic", "mistake in the program", "%!", "quantity.", "reflect.", "<nil>", "NaN"} {
		if strings.Contains(s.err, never) || strings.Contains(s.out, never) && !strings.HasPrefix(s.out, "{") {
			s.fail("%q was written", never)
		}
	}
}

func copyFolder(t *testing.T, from, to string) {
	t.Helper()
	if err := os.CopyFS(to, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
}
