package calc

// This file reads tables of check rows (see docs/check-rows.md for the format). A reader that skipped what
// it did not understand would let checks rot unseen: unknown columns, names, units, repeated ids and empty reasons are
// all refused, and the report says how many rows ran.

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// Row is one check: a calculation, what goes in, what must come out, how near, and who says so.
type Row struct {
	ID          string
	Calculation string
	Inputs      string // name=value unit; name=[v, v] unit; name="text"
	Expect      string // as Inputs; or fault="words of the refusal"
	Tolerance   string // exact | rel 1e-4 | abs 0.5; or per output: w: rel 2e-3; s: abs 0.01
	Why         string // why this tolerance
	Source      string // registry key or a citation in words
	Class       string // published | practice | memory | computed | exact
	Disputed    string // evidence that the row is wrong; empty: not disputed
	Line        int    // where the row stands in its file
}

var classes = []string{"published", "practice", "memory", "computed", "exact"}

// Complete holds a row of our own to more than the format asks: why its tolerance, after what source, of which class.
func (r Row) Complete() error {
	if r.Why == "" || r.Source == "" || !slices.Contains(classes, r.Class) {
		return fmt.Errorf("line %d: %s needs why, source and a class (%s)", r.Line, r.ID, strings.Join(classes, ", "))
	}
	return nil
}

// Columns are the column names of a table, in order; why and disputed may be left out of a table, the others not.
var Columns = []string{"id", "calculation", "inputs", "expect", "tolerance", "why", "source", "class", "disputed"}

var optionalColumns = []string{"why", "disputed", "source", "class"}

// ReadCSV reads a table in CSV form: separated by commas, or by semicolons or tabs when its header is. Lines that begin
// with # and lines of empty cells are skipped. Every complaint names its line.
func ReadCSV(r io.Reader) ([]Row, error) {
	src, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	text := strings.TrimPrefix(string(src), "\ufeff")
	switch {
	case !utf8.ValidString(text):
		return nil, errors.New("the table is not UTF-8; save it as CSV UTF-8")
	case strings.TrimSpace(text) == "":
		return nil, fmt.Errorf("the table is empty; its first line names the columns %s", strings.Join(Columns, ", "))
	}
	rows, err := readTable(text, false)
	if errors.Is(err, csv.ErrBareQuote) || errors.Is(err, csv.ErrQuote) { // soil="clay" in a cell without quotes round it
		rows, err = readTable(text, true)
	}
	if err != nil {
		return nil, err
	}
	return rows, Validate(rows)
}

func readTable(text string, lazyQuotes bool) ([]Row, error) {
	reader := csv.NewReader(strings.NewReader(text))
	reader.Comma = separator(text)
	reader.TrimLeadingSpace = reader.Comma != '\t'
	reader.Comment = '#'
	reader.LazyQuotes = lazyQuotes
	reader.FieldsPerRecord = -1
	header, err := reader.Read()
	if err != nil {
		return nil, fmt.Errorf("line 1: no header row: %w", err)
	}
	for len(header) > 0 && strings.TrimSpace(header[len(header)-1]) == "" {
		header = header[:len(header)-1]
	}
	if err := checkHeader(header); err != nil {
		return nil, err
	}
	var rows []Row
	for {
		record, err := reader.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, err
		}
		line, _ := reader.FieldPos(0)
		row, blank, err := rowOf(header, record, line)
		if err != nil {
			return nil, err
		}
		if !blank {
			rows = append(rows, row)
		}
	}
}

// separator is what stands between the columns of the header: the first line that is no comment.
func separator(text string) rune {
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "#") || strings.TrimSpace(line) == "" {
			continue
		}
		if at := strings.IndexAny(line, ",;\t"); at >= 0 {
			return rune(line[at])
		}
		break
	}
	return ','
}

// rowOf reads one record. Cells missing at its end are empty; a cell beyond the last column is a mistake.
func rowOf(header, record []string, line int) (row Row, blank bool, err error) {
	row, blank = Row{Line: line}, true
	for i, cell := range record {
		cell = strings.TrimSpace(cell)
		switch {
		case cell == "":
			continue
		case i >= len(header):
			return row, false, fmt.Errorf("line %d: %q stands beyond the last column; put quotes round a cell that holds a separator", line, cell)
		}
		blank = false
		*row.Column(header[i]) = cell
	}
	return row, blank, nil
}

func checkHeader(header []string) error {
	for i, column := range header {
		header[i] = strings.ToLower(strings.TrimSpace(column))
		if !slices.Contains(Columns, header[i]) {
			return fmt.Errorf("line 1: unknown column %q; the columns are %s", column, strings.Join(Columns, ", "))
		}
		if slices.Contains(header[:i], header[i]) {
			return fmt.Errorf("line 1: column %q stands twice", column)
		}
	}
	for _, column := range Columns {
		if !slices.Contains(header, column) && !slices.Contains(optionalColumns, column) {
			return fmt.Errorf("line 1: column %q is missing", column)
		}
	}
	return nil
}

// Column is the row's field for a column name; nil for a name that is none.
func (r *Row) Column(column string) *string {
	switch column {
	case "id":
		return &r.ID
	case "calculation":
		return &r.Calculation
	case "inputs":
		return &r.Inputs
	case "expect":
		return &r.Expect
	case "tolerance":
		return &r.Tolerance
	case "why":
		return &r.Why
	case "source":
		return &r.Source
	case "class":
		return &r.Class
	case "disputed":
		return &r.Disputed
	}
	return nil
}

// Validate refuses tables with empty or repeated ids and rows without a calculation or an expectation.
func Validate(rows []Row) error {
	seen := map[string]int{}
	for _, r := range rows {
		if r.ID == "" || r.Calculation == "" || r.Expect == "" {
			return fmt.Errorf("line %d: a row needs id, calculation and expect (%s)", r.Line, missing(r))
		}
		if first, twice := seen[r.ID]; twice {
			return fmt.Errorf("line %d: id %s stands already on line %d", r.Line, r.ID, first)
		}
		seen[r.ID] = r.Line
	}
	return nil
}

func missing(r Row) string {
	var names []string
	for _, column := range []string{"id", "calculation", "expect"} {
		if *r.Column(column) == "" {
			names = append(names, column)
		}
	}
	return "missing: " + strings.Join(names, ", ")
}
