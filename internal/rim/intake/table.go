package intake

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
)

// column is one column of a table: its names without the unit, and how a cell is read into the row.
type column[T any] struct {
	names []string
	units []string // as they may follow the name: air_f, air_c; the first is the unit of a bare name in a US job
	read  func(row *T, text string, box quantity.Box) error
}

// tableKind is a table; its rows each have a time where times names its column.
type tableKind[T any] struct {
	field   string // what faults are about
	times   []string
	columns []column[T]
	at      func(row *T) *time.Time
	example string               // of a header
	among   string               // the columns, in words
	loose   bool                 // other columns are passed over, and rows may be of any length
	free    bool                 // rows may stand in any order
	many    bool                 // columns may stand several times, numbered: cylinder_1, cylinder_2
	blank   func() T             // a row before its cells are read
	judge   func(row T) []wrongs // what cannot be in a row
}

// wrongs is one value that cannot be: its column, as given, why, what to type.
type wrongs struct{ column, given, why, instead string }

// tableReader reads one table.
type tableReader[T any] struct {
	tableKind[T]
	file    string
	reading Reading
	csv     *csv.Reader
	spaced  bool         // cells are parted by runs of spaces
	cells   []*column[T] // of each cell; nil: none
	units   []string
	time    int // the cell of the time
	last    time.Time
	faults  Faults
}

// manyFaults is when the reading of a table stops: the rest is likely wrong in the same way.
const manyFaults = 20

// table reads a table: a header of column names with their units, and rows. Cells are parted as the header parts them: by commas,
// tabs, semicolons or bars, as tables are saved and as they are pasted, else by runs of two or more spaces, as they are copied from a
// screen: there a single space belongs to its cell ("9 pm"). Empty cells are unknown. Every fault names line and column.
func table[T any](kind tableKind[T], file string, src []byte, reading Reading) ([]T, error) {
	f := &tableReader[T]{tableKind: kind, file: file, reading: reading, time: -1}
	if len(src) > MaxSize {
		return nil, f.whole(nil, fmt.Sprintf("is larger than %d MB.", MaxSize>>20), "Give the part that is about this job.")
	}
	mark := parter(src)
	if f.spaced = mark == ' '; f.spaced {
		src, mark = tabbed(src), '\t'
	}
	f.csv = csv.NewReader(bytes.NewReader(src))
	f.csv.Comment, f.csv.FieldsPerRecord, f.csv.Comma = '#', -1, mark
	f.csv.TrimLeadingSpace, f.csv.LazyQuotes = mark != '\t', f.spaced // an empty cell between tabs is not space; 0.1" is not a quotation
	header, err := f.csv.Read()
	if err != nil {
		return nil, f.whole(err, "has no header row.", "Begin with: "+f.example)
	}
	if err := f.heads(header); err != nil {
		return nil, err
	}
	var rows []T
	for len(f.faults) < manyFaults {
		record, err := f.csv.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, f.whole(err, "cannot be read as a table.", "Put text with commas in double quotes, and double a quote inside it.")
		}
		if !ruled(record) {
			rows = append(rows, f.row(record))
		}
	}
	if len(f.faults) > 0 {
		return nil, f.faults
	}
	return rows, nil
}

// parter is what parts the cells of the header; a space: runs of two or more.
func parter(src []byte) rune {
	for line := range strings.Lines(string(src)) {
		text := strings.TrimSpace(line)
		if text == "" || strings.HasPrefix(text, "#") {
			continue
		}
		for _, mark := range "\t;|" {
			if strings.ContainsRune(line, mark) {
				return mark
			}
		}
		if !strings.Contains(text, ",") && spaceRuns.MatchString(text) {
			return ' '
		}
		break
	}
	return ','
}

// spaceRuns are two or more spaces, also those that a page does not break at.
var spaceRuns = regexp.MustCompile(`[ \x{a0}]{2,}`)

// tabbed parts the cells of a table by tabs in place of the runs of spaces; every byte keeps its line, every tab ends its run.
func tabbed(src []byte) []byte {
	var out bytes.Buffer
	for line := range bytes.Lines(src) {
		text := bytes.TrimRight(line, " \u00a0\t\r\n")
		body := bytes.TrimLeft(text, " \u00a0")
		out.Write(text[:len(text)-len(body)])
		out.Write(spaceRuns.ReplaceAllFunc(body, func(run []byte) []byte {
			return append(bytes.Repeat([]byte(" "), len(run)-1), '\t')
		}))
		out.WriteByte('\n')
	}
	return out.Bytes()
}

// ruled says whether a row holds nothing: spaces, or the line drawn under a header.
func ruled(record []string) bool {
	text := strings.TrimSpace(strings.Join(record, ""))
	return text == "" && len(record) == 1 || strings.Contains(text, "--") && strings.Trim(text, "-+: ") == ""
}

func (f *tableReader[T]) whole(err error, why, instead string) Faults {
	line, col := 1, 1
	if where := (*csv.ParseError)(nil); errors.As(err, &where) {
		line, col = where.Line, where.Column
	}
	return Faults{{File: f.file, Line: line, Column: col, Fault: check.Fault{Field: f.field, Why: why, Type: instead}}}
}

// heads understands the header: each name a known column, with or without its unit.
func (f *tableReader[T]) heads(header []string) error {
	for i, cell := range header {
		name := strings.ToLower(strings.TrimSpace(strings.TrimPrefix(cell, "\ufeff")))
		f.cells, f.units = append(f.cells, nil), append(f.units, "")
		if slices.Contains(f.times, name) && f.time < 0 {
			f.time = i
			continue
		}
		c, unit := f.find(name)
		if c == nil && name != "" && !f.loose {
			f.fault(i, shortened(cell), fmt.Sprintf("is not a column of %s.", f.among), "Columns: "+f.example+f.suffixed()+".")
		}
		f.cells[i], f.units[i] = c, unit
	}
	if f.time < 0 && len(f.times) > 0 {
		f.fault(0, "", "no column is named "+f.times[0]+".", "Begin with: "+f.example)
	}
	if len(f.faults) > 0 {
		return f.faults
	}
	return nil
}

// suffixed says that columns may carry other units, where some of this kind of table may.
func (f *tableReader[T]) suffixed() string {
	if len(f.times) == 0 {
		return ""
	}
	return " (or _c, _kmh, _ms, _mm)"
}

func (f *tableReader[T]) find(name string) (*column[T], string) {
	for i := range f.columns {
		c := &f.columns[i]
		for _, called := range c.names {
			if name == called {
				return f.column(c)
			}
			if suffix, ok := strings.CutPrefix(name, called+"_"); ok {
				for _, u := range c.units {
					if suffixes[suffix] == u {
						return c, u
					}
				}
				if _, err := strconv.Atoi(suffix); err == nil && f.many {
					return f.column(c)
				}
			}
		}
	}
	return nil, ""
}

// column is a column with the unit its bare numbers have in the job.
func (f *tableReader[T]) column(c *column[T]) (*column[T], string) {
	if len(c.units) == 0 {
		return c, ""
	}
	return c, c.units[min(int(f.reading.Units), len(c.units)-1)]
}

func (f *tableReader[T]) row(record []string) T {
	row := f.blank()
	if len(record) != len(f.cells) && !f.loose {
		given, instead := strings.Join(record, ","), "Leave an unknown cell empty, but keep its comma."
		if f.spaced {
			given, instead = strings.Join(record, " "), "Part the cells by two spaces or more, and type na for what is not known."
		}
		f.fault(0, shortened(given), fmt.Sprintf("has %d cells; the header has %d.", len(record), len(f.cells)), instead)
		return row
	}
	before := len(f.faults)
	for i, cell := range record[:min(len(record), len(f.cells))] {
		if cell = strings.TrimSpace(cell); cell == "" || strings.EqualFold(cell, "na") {
			continue
		}
		switch c := f.cells[i]; {
		case i == f.time:
			f.moment(&row, i, cell)
		case c != nil:
			if err := c.read(&row, cell, quantity.Box{Unit: f.units[i], Kind: quantity.AsElevation, Locale: f.reading.Locale, Today: f.reading.Today}); err != nil {
				f.fault(i, "", c.names[0]+" "+strings.TrimSuffix(err.Error(), ".")+".", "")
			}
		}
	}
	if len(f.faults) > before {
		return row
	}
	if f.at != nil && f.at(&row).IsZero() {
		f.fault(min(f.time, len(record)-1), "", "has no time.", "Type it like 2027-06-17 07:00.")
		return row
	}
	if f.judge != nil {
		for _, w := range f.judge(row) {
			f.fault(f.cellOf(w.column, len(record)), w.given, w.column+": "+w.why, w.instead)
		}
	}
	return row
}

// moment reads a row's time; of an hour that comes twice in the night the clocks go back, the second after the first.
func (f *tableReader[T]) moment(row *T, cell int, text string) {
	t, err := f.reading.moment(text, f.last)
	if err != nil {
		f.fault(cell, shortened(text), err.Error(), "Type it like 2027-06-17T07:00-05:00, or name the job's time_zone.")
		return
	}
	if again := t.Add(time.Hour); !t.After(f.last) && again.After(f.last) && again.Format("15:04") == t.Format("15:04") {
		t = again
	}
	if !f.free && !f.last.IsZero() && !t.After(f.last) {
		f.fault(cell, "", "is not later than the row before.", "Sort the rows by time and take repeats out.")
		return
	}
	*f.at(row), f.last = t, t
}

// cellOf is the cell of a column, else the first.
func (f *tableReader[T]) cellOf(name string, cells int) int {
	i := slices.IndexFunc(f.cells, func(c *column[T]) bool { return c != nil && slices.Contains(c.names, name) })
	if i < 0 || i >= cells {
		return 0
	}
	return i
}

func (f *tableReader[T]) fault(cell int, given, why, instead string) {
	line, col := f.csv.FieldPos(cell)
	f.faults = append(f.faults, Fault{File: f.file, Line: line, Column: col, Fault: check.Fault{Field: f.field, Given: given, Why: why, Type: instead}})
}

// suffixes are the units as a header writes them.
var suffixes = map[string]string{"f": "°F", "c": "°C", "pct": "%", "mph": "mph", "kmh": "km/h", "ms": "m/s", "in": "in", "mm": "mm", "share": "1", "min": "min"}

func read[T any](into *T, text string, box quantity.Box) error {
	typed, ok := any(into).(quantity.Typed)
	if !ok {
		return fmt.Errorf("cannot read %q", text)
	}
	_, err := typed.ReadText(text, box)
	return err
}

func readNew[T any](into **T, text string, box quantity.Box) error {
	var v T
	if err := read(&v, text, box); err != nil {
		return err
	}
	*into = &v
	return nil
}
