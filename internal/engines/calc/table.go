package calc

// This file reads tables of check rows (see docs/check-rows.md for the format) and runs them. A reader that skipped what
// it did not understand would let checks rot unseen: unknown columns, names, units, repeated ids and empty reasons are
// all refused, and the report says how many rows ran.

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"slabwright/internal/engines/quantity"
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

// Outcome is what a row gave.
type Outcome struct {
	Row
	Got    string
	Error  string // largest error over its tolerance, in words: "2.1e-5 of 1e-4"
	Pass   bool
	Failed string // why it did not pass, in words
}

// Run runs one row against the calculations.
func Run(row Row, known map[string]Calculation) Outcome {
	out := Outcome{Row: row}
	c, ok := known[row.Calculation]
	if !ok {
		c, ok = known[strings.ToLower(row.Calculation)]
	}
	if !ok {
		out.Failed = fmt.Sprintf("no calculation is named %q; `slabwright verify --list` names them all", row.Calculation)
		return out
	}
	inputs, err := parseValues(row.Inputs, c.Inputs)
	if err != nil {
		out.Failed = "inputs: " + err.Error()
		return out
	}
	inputs = inPort(inputs, c.Inputs)
	if fault, ok := expectedFault(row.Expect); ok {
		return runFault(out, c, inputs, fault)
	}
	expect, err := parseValues(row.Expect, c.Outputs)
	if err != nil {
		out.Failed = "expect: " + err.Error()
		return out
	}
	got, err := c.Run(inputs)
	if err != nil {
		out.Failed = err.Error()
		return out
	}
	out.compare(c, expect, got)
	return out
}

var faultForm = regexp.MustCompile(`^(?i:fault)\s*(?:=\s*(.*))?$`)

// expectedFault reads fault="words": a refusal that says these words. Without words any refusal will do.
func expectedFault(expect string) (string, bool) {
	m := faultForm.FindStringSubmatch(strings.TrimSpace(expect))
	if m == nil {
		return "", false
	}
	return unquote(strings.TrimSpace(m[1])), true
}

func runFault(out Outcome, c Calculation, inputs Values, words string) Outcome {
	got, err := c.Run(inputs)
	switch {
	case err == nil:
		out.Got = show(got, nil, c.Outputs)
		out.Failed = "a refusal was expected and an answer came"
	case !strings.Contains(strings.ToLower(err.Error()), strings.ToLower(words)):
		out.Got = err.Error()
		out.Failed = "refused, in other words"
	default:
		out.Got, out.Pass = err.Error(), true
	}
	return out
}

func (o *Outcome) compare(c Calculation, expect, got Values) {
	o.Got = show(pick(got, expect), expect, c.Outputs)
	if err := knownTolerances(o.Tolerance, c.Outputs); err != nil {
		o.Failed = "tolerance: " + err.Error()
		return
	}
	worst := -1.0
	for _, p := range c.Outputs {
		want, ok := expect[p.Name]
		if !ok {
			continue
		}
		size, words, err := difference(want, got[p.Name], p, o.Tolerance)
		if err != nil {
			o.Failed = "tolerance: " + err.Error()
			return
		}
		if size > worst {
			worst, o.Error = size, words
		}
	}
	o.Pass = worst >= 0 && worst <= 1
	if !o.Pass {
		o.Failed = o.Error
	}
}

func pick(values, names Values) Values {
	out := Values{}
	for name := range names {
		out[name] = values[name]
	}
	return out
}

// tolerance is absolute (in the unit the expected value is written in, or its own) or relative to the expected value.
type tolerance struct {
	relative bool
	size     float64
	unit     string
}

// knownTolerances refuses tolerances of outputs that are none.
func knownTolerances(text string, outputs []Port) error {
	if !strings.Contains(text, ":") {
		return nil
	}
	for _, part := range strings.Split(text, ";") {
		name, _, ok := strings.Cut(part, ":")
		if name = strings.TrimSpace(name); !ok && name != "" {
			return fmt.Errorf("%q names no output; write name: %s", name, name)
		}
		if _, known := namedPort(outputs, name); !known && name != "*" && name != "" {
			return fmt.Errorf("no output is named %q; there is %s", name, portNames(outputs))
		}
	}
	return nil
}

func toleranceOf(text string, port Port) (tolerance, error) {
	chosen := strings.TrimSpace(text)
	if strings.Contains(text, ":") {
		chosen = ""
		for _, part := range strings.Split(text, ";") {
			name, value, _ := strings.Cut(part, ":")
			name = strings.TrimSpace(name)
			if p, ok := namedPort([]Port{port}, name); (ok && p.Name == port.Name) || (name == "*" && chosen == "") {
				chosen = strings.TrimSpace(value)
			}
		}
		if chosen == "" {
			return tolerance{}, fmt.Errorf("none given for %s", port.Name)
		}
	}
	if strings.EqualFold(chosen, "exact") {
		return tolerance{}, nil
	}
	word, number, _ := strings.Cut(chosen, " ")
	word = strings.ToLower(word)
	size, unit, err := splitNumber(number)
	if err != nil || size < 0 || (word != "rel" && word != "abs") || (word == "rel" && unit != "" && unit != "%") {
		return tolerance{}, fmt.Errorf("%q is not a tolerance; write exact, rel 1e-4, rel 0.5 %% or abs 0.5", chosen)
	}
	if word == "rel" && unit == "%" {
		size /= 100
	}
	return tolerance{relative: word == "rel", size: size, unit: unit}, nil
}

// in is the tolerance with its size in the unit of the expected value.
func (t tolerance) in(written quantity.Unit) (tolerance, error) {
	if t.relative || t.unit == "" {
		return t, nil
	}
	dim := written.Dim
	if dim == quantity.TempDim {
		dim = quantity.TempDiffDim
	}
	own, err := quantity.UnitOf(dim, t.unit)
	t.size *= own.Factor / written.Factor
	return t, err
}

// united is an expected or given value before conversion, kept with the unit it was written in: absolute tolerances are
// in that unit.
type united struct {
	value any
	unit  quantity.Unit
}

// difference says how large the error is as a share of the tolerance (at most 1 passes) and in words. Text and truth have
// no tolerance: text matches in any letter case.
func difference(want, got any, p Port, tolerances string) (float64, string, error) {
	same := false
	switch w := want.(type) {
	case united:
		tol, err := toleranceOf(tolerances, p)
		if err == nil {
			tol, err = tol.in(w.unit)
		}
		if err != nil {
			return 0, "", err
		}
		size, words := numericDifference(w, got, p, tol)
		return size, words, nil
	case string:
		g, _ := got.(string)
		same = strings.EqualFold(g, w)
	case bool:
		g, _ := got.(bool)
		same = g == w
	case []string:
		g, _ := got.([]string)
		same = slices.EqualFunc(g, w, strings.EqualFold)
	}
	if same {
		return 0, "same", nil
	}
	return math.Inf(1), fmt.Sprintf("%s is %v, not %v", p.Name, got, want), nil
}

func numericDifference(want united, got any, p Port, tol tolerance) (float64, string) {
	w, g := flatten(want.value), flatten(got)
	if len(w) != len(g) {
		return math.Inf(1), fmt.Sprintf("%s has %d values, not %d", p.Name, len(g), len(w))
	}
	worst, at := 0.0, 0
	for i := range w {
		share := math.Abs(want.unit.From(p.Unit.SI(g[i]))-w[i]) / allowance(w[i], want.unit, tol)
		if share > worst {
			worst, at = share, i
		}
	}
	if len(w) == 0 {
		return 0, "same"
	}
	gotHere := want.unit.From(p.Unit.SI(g[at]))
	return worst, fmt.Sprintf("%s off by %.3g %s (%.2g of the tolerance)", p.Name, gotHere-w[at], want.unit.Symbol, worst)
}

// rounding is the error allowed to an "exact" value: a few units in the last place, since a value may pass through a
// unit conversion on its way in and out.
const rounding = 1e-12

func allowance(want float64, unit quantity.Unit, tol tolerance) float64 {
	allowed := tol.size
	if tol.relative {
		allowed *= math.Abs(want)
	}
	scale := math.Max(math.Abs(want), math.Abs(unit.Offset))
	if scale == 0 {
		scale = 1
	}
	return math.Max(allowed, rounding*scale)
}

func flatten(v any) []float64 {
	switch v := v.(type) {
	case float64:
		return []float64{v}
	case []float64:
		return v
	case [][]float64:
		return slices.Concat(v...)
	}
	return nil
}
