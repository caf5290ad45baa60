package intake

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// MaxJob is the largest job file read, in bytes, and longestJob in lines: a thousand shots take a twentieth of either. The
// YAML reader's work grows with the square of the lines.
const (
	MaxJob     = 512 << 10
	longestJob = 20000
)

// deepest is how many sections and lists may stand inside each other; a job needs five.
const deepest = 40

// guard refuses a file that no person wrote before the YAML reader, whose work grows with the square of the depth, sees it.
func (d *decoder) guard(src []byte) error {
	if !d.rowsOnly && (len(src) > MaxJob || len(d.lines) > longestJob) {
		return d.whole(1, 1, fmt.Sprintf("is longer than %d kB or %d lines; a job file is a few pages.", MaxJob>>10, longestJob), "Check that this is the file you mean.")
	}
	if len(src) > MaxSize {
		return d.whole(1, 1, fmt.Sprintf("is longer than %d MB.", MaxSize>>20), "Write a table of that size as CSV.")
	}
	if line, column, found := notText(d.lines); found {
		return d.whole(line, column, "holds bytes that are no text.", "Save the file as UTF-8.")
	}
	if line, column, found := tooDeep(d.lines); found {
		return d.whole(line, column, fmt.Sprintf("has more than %d lists or sections inside each other here.", deepest), "Close each bracket that is opened.")
	}
	return nil
}

// byteOrderMark is what some editors put before the first letter.
var byteOrderMark = []byte("\ufeff")

// linesOf parts a file into lines, without a byte order mark.
func linesOf(src []byte) []string {
	return strings.Split(string(bytes.TrimPrefix(src, byteOrderMark)), "\n")
}

// notText finds the first byte that is not UTF-8 text.
func notText(lines []string) (line, column int, found bool) {
	for i, text := range lines {
		for at, r := range text {
			if _, size := utf8.DecodeRuneInString(text[at:]); r == utf8.RuneError && size == 1 || r == 0 {
				return i + 1, utf8.RuneCountInString(text[:at]) + 1, true
			}
		}
	}
	return 0, 0, false
}

// tooDeep finds where brackets, or dashes at the head of one line, stand deeper inside each other than any job needs. Quoted
// text and comments do not count; a quote begins a text only where a value begins, so that 34' 0" is no quote.
func tooDeep(lines []string) (line, column int, found bool) {
	depth, quote, begins := 0, byte(0), true
	for i, text := range lines {
		if heads := len(text) - len(strings.TrimLeft(text, "-? \t")); strings.Count(text[:heads], "-")+strings.Count(text[:heads], "?") > deepest && strings.Contains(text[:heads], " ") {
			return i + 1, 1, true
		}
		for j := range len(text) {
			c := text[j]
			if quote != 0 {
				if c == quote && (quote == '\'' || j == 0 || text[j-1] != '\\') {
					quote = 0
				}
				continue
			}
			if c == '#' && (j == 0 || text[j-1] == ' ') {
				break
			}
			switch c {
			case '[', '{':
				depth++
			case ']', '}':
				depth = max(0, depth-1)
			case '"', '\'':
				if begins {
					quote = c
				}
			}
			if depth > deepest {
				return i + 1, j + 1, true
			}
			if c != ' ' && c != '\r' {
				begins = strings.IndexByte("[{,:-?", c) >= 0
			}
		}
		begins = true
	}
	return 0, 0, false
}

// unprintable finds control signs and those that turn the direction of the text after them.
func unprintable(r rune) bool { return unicode.IsControl(r) || r >= 0x202a && r <= 0x202e }
