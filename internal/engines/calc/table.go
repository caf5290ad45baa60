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
	"strconv"
	"strings"

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

// ReadCSV reads a table in CSV form. Every complaint names its line.
func ReadCSV(r io.Reader) ([]Row, error) {
	reader := csv.NewReader(r)
	reader.TrimLeadingSpace = true
	reader.Comment = '#'
	header, err := reader.Read()
	if err != nil {
		return nil, fmt.Errorf("line 1: no header row: %w", err)
	}
	if err := checkHeader(header); err != nil {
		return nil, err
	}
	var rows []Row
	for {
		record, err := reader.Read()
		if errors.Is(err, io.EOF) {
			return rows, Validate(rows)
		}
		if err != nil {
			return nil, err
		}
		line, _ := reader.FieldPos(0)
		row := Row{Line: line}
		for i, column := range header {
			*row.Column(column) = strings.TrimSpace(record[i])
		}
		rows = append(rows, row)
	}
}

func checkHeader(header []string) error {
	for i, column := range header {
		header[i] = strings.TrimPrefix(strings.TrimSpace(column), "\ufeff")
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
			return fmt.Errorf("line %d: a row needs id, calculation and expect", r.Line)
		}
		if first, twice := seen[r.ID]; twice {
			return fmt.Errorf("line %d: id %s stands already on line %d", r.Line, r.ID, first)
		}
		seen[r.ID] = r.Line
	}
	return nil
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

var faultForm = regexp.MustCompile(`^fault\s*=\s*"(.*)"$`)

func expectedFault(expect string) (string, bool) {
	m := faultForm.FindStringSubmatch(strings.TrimSpace(expect))
	if m == nil {
		return "", false
	}
	return m[1], true
}

func runFault(out Outcome, c Calculation, inputs Values, words string) Outcome {
	got, err := c.Run(inputs)
	switch {
	case err == nil:
		out.Got = show(got, c.Outputs)
		out.Failed = "a refusal was expected and an answer came"
	case !strings.Contains(err.Error(), words):
		out.Got = err.Error()
		out.Failed = "refused, in other words"
	default:
		out.Got, out.Pass = err.Error(), true
	}
	return out
}

func (o *Outcome) compare(c Calculation, expect, got Values) {
	o.Got = show(pick(got, expect), c.Outputs)
	worst := -1.0
	for _, p := range c.Outputs {
		want, ok := expect[p.Name]
		if !ok {
			continue
		}
		tol, err := toleranceOf(o.Tolerance, p.Name)
		if err != nil {
			o.Failed = "tolerance: " + err.Error()
			return
		}
		size, words := difference(want, got[p.Name], p, tol)
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

// tolerance is absolute (in the unit the expected value is written in) or relative to the expected value.
type tolerance struct {
	relative bool
	size     float64
}

func toleranceOf(text, port string) (tolerance, error) {
	chosen := strings.TrimSpace(text)
	if strings.Contains(text, ":") {
		chosen = ""
		for _, part := range strings.Split(text, ";") {
			name, value, _ := strings.Cut(part, ":")
			if n := strings.TrimSpace(name); n == port || (n == "*" && chosen == "") {
				chosen = strings.TrimSpace(value)
			}
		}
		if chosen == "" {
			return tolerance{}, fmt.Errorf("none given for %s", port)
		}
	}
	if chosen == "exact" {
		return tolerance{}, nil
	}
	word, number, _ := strings.Cut(chosen, " ")
	size, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if err != nil || size < 0 || (word != "rel" && word != "abs") {
		return tolerance{}, fmt.Errorf("%q is not a tolerance; write exact, rel 1e-4 or abs 0.5", chosen)
	}
	return tolerance{relative: word == "rel", size: size}, nil
}

// united is an expected or given value before conversion, kept with the unit it was written in: absolute tolerances are
// in that unit.
type united struct {
	value any
	unit  quantity.Unit
}

// difference says how large the error is as a share of the tolerance (at most 1 passes) and in words.
func difference(want, got any, p Port, tol tolerance) (float64, string) {
	switch w := want.(type) {
	case united:
		return numericDifference(w, got, p, tol)
	case string:
		if g, _ := got.(string); g == w {
			return 0, "same"
		}
	case bool:
		if g, ok := got.(bool); ok && g == w {
			return 0, "same"
		}
	case []string:
		if g, ok := got.([]string); ok && slices.Equal(g, w) {
			return 0, "same"
		}
	}
	return math.Inf(1), fmt.Sprintf("%s is %v, not %v", p.Name, got, want)
}

func numericDifference(want united, got any, p Port, tol tolerance) (float64, string) {
	w, g := flatten(want.value), flatten(got)
	if len(w) != len(g) {
		return math.Inf(1), fmt.Sprintf("%s has %d values, not %d", p.Name, len(g), len(w))
	}
	worst, at := 0.0, 0
	for i := range w {
		if share := shareOfTolerance(w[i], want.unit.From(p.Unit.SI(g[i])), tol); share > worst || math.IsNaN(share) {
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

func shareOfTolerance(want, got float64, tol tolerance) float64 {
	allowed := tol.size
	if tol.relative {
		allowed *= math.Abs(want)
	}
	allowed = math.Max(allowed, rounding*math.Max(1, math.Abs(want)))
	return math.Abs(got-want) / allowed
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
