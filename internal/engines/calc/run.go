package calc

// This file runs check rows against the calculations they name.

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"slabwright/internal/engines/quantity"
)

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
