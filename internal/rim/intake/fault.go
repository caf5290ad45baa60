// Package intake turns files into job fields: YAML and JSON job files, tables of check rows, weather tables. Whatever it
// refuses, it says where (file, line, column), what was given, why it cannot be and what to type instead; and it finds all
// faults of a file in one look.
package intake

import (
	"fmt"
	"strings"

	"slabwright/internal/trade/check"
)

// Fault is a fault with its place in a file.
type Fault struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	check.Fault
}

// Error is the fault in one line: file:line:column: what, why, what to type.
func (f Fault) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s", f.File, f.Line, f.Column, f.Fault.Error())
}

// Faults are all faults of one file, in the order of the file.
type Faults []Fault

// Error lists the faults, one a line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, one := range f {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// Note is an explanation of how something was read; work goes on.
type Note struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Field  string `json:"field"`
	Says   string `json:"says"`
}

// Nearest picks the candidate most like word, or "" when none is near: at most a third of the letters may differ.
func Nearest(word string, candidates []string) string {
	best, bestCost := "", len(word)/3+2
	for _, c := range candidates {
		if cost := edits(word, c); cost < bestCost {
			best, bestCost = c, cost
		}
	}
	return best
}

// edits is the least number of letters to insert, drop or change that turns a into b (Levenshtein 1966).
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
