package calc

import (
	"errors"
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"

	"slabwright/internal/engines/quantity"
)

// parseValues reads `name=value unit; name=[1, 2] m; name=[[0, 0], [1, 2]] ft; name="text"; name=true` for the given ports.
// Names match in any letter case, with spaces or hyphens for underscores. The numbers stay as written, with their unit
// (united); inPort turns them into the ports' units.
func parseValues(text string, ports []Port) (Values, error) {
	out := Values{}
	for _, part := range splitOutside(text, ';') {
		if strings.TrimSpace(part) == "" {
			continue
		}
		name, written, ok := strings.Cut(part, "=")
		name, written = strings.TrimSpace(name), strings.TrimSpace(written)
		if !ok || written == "" {
			return nil, fmt.Errorf("%q is not name=value", strings.TrimSpace(part))
		}
		p, known := namedPort(ports, name)
		if !known {
			return nil, fmt.Errorf("no value is named %q here; there is %s", name, portNames(ports))
		}
		if _, twice := out[p.Name]; twice {
			return nil, fmt.Errorf("%s is given twice", p.Name)
		}
		v, err := p.parse(written)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", p.Name, err)
		}
		out[p.Name] = v
	}
	return out, nil
}

// namedPort finds a port by its name as a person may write it.
func namedPort(ports []Port, name string) (Port, bool) {
	if p, ok := FindPort(ports, name); ok {
		return p, true
	}
	return FindPort(ports, strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(name)))
}

func (p Port) parse(text string) (any, error) {
	switch p.Form {
	case Text:
		return unquote(text), nil
	case Truth:
		return parseTruth(text)
	case Names:
		return parseNames(text)
	case Number:
		return p.parseNumber(text)
	}
	list, symbol := text, ""
	if end := strings.LastIndexByte(text, ']'); end >= 0 {
		list, symbol = text[:end+1], strings.TrimSpace(text[end+1:])
	}
	unit, err := p.unitWritten(symbol)
	if err != nil {
		return nil, err
	}
	if p.Form == List {
		values, err := p.parseList(list, unit)
		return united{values, unit}, err
	}
	inner, err := brackets(list)
	if err != nil {
		return nil, err
	}
	rows := [][]float64{}
	for _, part := range splitOutside(inner, ',') {
		row, err := p.parseList(part, unit)
		if err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	return united{rows, unit}, nil
}

func parseTruth(text string) (bool, error) {
	switch strings.ToLower(unquote(text)) {
	case "true", "yes", "1":
		return true, nil
	case "false", "no", "0":
		return false, nil
	}
	return false, fmt.Errorf("%q is not true or false", text)
}

// unitWritten is the unit of the port's dimension that symbol names; the port's own for none.
func (p Port) unitWritten(symbol string) (quantity.Unit, error) {
	if symbol == "" {
		return p.Unit, nil
	}
	return quantity.UnitOf(p.Unit.Dim, symbol)
}

func (p Port) parseNumber(text string) (united, error) {
	value, symbol, err := splitNumber(text)
	if err != nil {
		return united{}, err
	}
	if run, err := strconv.ParseFloat(strings.TrimPrefix(symbol, ":"), 64); err == nil && symbol[0] == ':' && run > 0 {
		value, symbol = value/run, "1" // a slope of 1:48
	}
	unit, err := p.unitWritten(symbol)
	return united{value, unit}, err
}

// parseList reads [1, 2, 3] into numbers of unit; a member may carry a unit of its own.
func (p Port) parseList(text string, unit quantity.Unit) ([]float64, error) {
	inner, err := brackets(text)
	if err != nil {
		return nil, err
	}
	list := []float64{}
	for _, part := range splitOutside(inner, ',') {
		value, symbol, err := splitNumber(part)
		if err != nil {
			return nil, err
		}
		if symbol != "" {
			own, err := p.unitWritten(symbol)
			if err != nil {
				return nil, err
			}
			value = unit.From(own.SI(value))
		}
		list = append(list, value)
	}
	return list, nil
}

var (
	decimalForm  = regexp.MustCompile(`^[+-]?(?:\d{1,3}(?:,\d{3})+|\d+)?(?:\.\d*)?(?:[eE][+-]?\d+)?`)
	fractionForm = regexp.MustCompile(`^([+-]?)(?:(\d+)[ -])?(\d+)/(\d+)`)
)

// splitNumber reads the number that text begins with and gives what follows it, its unit: 20e3 Pa, 1,250 psi, 3 1/2 in,
// 50%. A comma groups thousands; it is no decimal mark.
func splitNumber(text string) (value float64, unit string, err error) {
	text = strings.TrimSpace(strings.ReplaceAll(text, "−", "-"))
	end := 0
	if m := fractionForm.FindStringSubmatch(text); m != nil {
		end = len(m[0])
		value, err = fraction(m[2], m[3], m[4])
		if m[1] == "-" {
			value = -value
		}
	} else {
		end = len(decimalForm.FindString(text))
		value, err = strconv.ParseFloat(strings.ReplaceAll(text[:end], ",", ""), 64)
	}
	if err != nil || !quantity.Finite(value) {
		return 0, "", fmt.Errorf("%q is not a number", text)
	}
	rest := text[end:]
	if rest != "" && strings.ContainsRune(",.0123456789", rune(rest[0])) {
		return 0, "", fmt.Errorf("%q is not a number; the decimal mark is a point, a comma groups thousands", text)
	}
	return value, strings.TrimSpace(rest), nil
}

func fraction(whole, over, under string) (float64, error) {
	w := 0.0
	if whole != "" {
		w, _ = strconv.ParseFloat(whole, 64)
	}
	o, _ := strconv.ParseFloat(over, 64)
	u, _ := strconv.ParseFloat(under, 64)
	if u == 0 {
		return 0, errors.New("over zero")
	}
	return w + o/u, nil
}

func parseNames(text string) ([]string, error) {
	inner, err := brackets(text)
	if err != nil {
		return nil, err
	}
	names := []string{}
	for _, part := range splitOutside(inner, ',') {
		names = append(names, unquote(strings.TrimSpace(part)))
	}
	return names, nil
}

func brackets(text string) (string, error) {
	text = strings.TrimSpace(text)
	if len(text) < 2 || text[0] != '[' || text[len(text)-1] != ']' {
		return "", fmt.Errorf("%q is not a list; write [1, 2, 3]", text)
	}
	return text[1 : len(text)-1], nil
}

func unquote(text string) string {
	if len(text) >= 2 && text[0] == '"' && text[len(text)-1] == '"' {
		return text[1 : len(text)-1]
	}
	return text
}

// splitOutside splits at sep where it stands outside quotes and brackets; an empty text has no parts.
func splitOutside(text string, sep byte) []string {
	if strings.TrimSpace(text) == "" {
		return nil
	}
	var parts []string
	depth, quoted, start := 0, false, 0
	for i := range len(text) {
		switch c := text[i]; {
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '[':
			depth++
		case c == ']':
			depth--
		case c == sep && depth == 0:
			parts = append(parts, text[start:i])
			start = i + 1
		}
	}
	return append(parts, text[start:])
}

// inPort turns parsed inputs into plain values in the ports' units.
func inPort(values Values, ports []Port) Values {
	out := Values{}
	for name, v := range values {
		u, ok := v.(united)
		if !ok {
			out[name] = v
			continue
		}
		p, _ := FindPort(ports, name)
		out[name] = convert(u.value, func(x float64) float64 { return p.Unit.From(u.unit.SI(x)) })
	}
	return out
}

func convert(v any, f func(float64) float64) any {
	switch v := v.(type) {
	case float64:
		return f(v)
	case []float64:
		out := make([]float64, len(v))
		for i := range v {
			out[i] = f(v[i])
		}
		return out
	case [][]float64:
		out := make([][]float64, len(v))
		for i := range v {
			out[i] = convert(v[i], f).([]float64)
		}
		return out
	}
	return v
}

// show writes values as a row would, name=value unit, sorted by name. A value stands in the unit that asked writes it in;
// else in its port's.
func show(values, asked Values, ports []Port) string {
	parts := make([]string, 0, len(values))
	for name, v := range values {
		p, _ := FindPort(ports, name)
		unit := p.Unit
		if u, ok := asked[name].(united); ok {
			unit = u.unit
			v = convert(v, func(x float64) float64 { return unit.From(p.Unit.SI(x)) })
		}
		parts = append(parts, strings.TrimRight(fmt.Sprintf("%s=%s %s", name, showValue(v), unit.Symbol), " "))
	}
	sort.Strings(parts)
	return strings.Join(parts, "; ")
}

func showValue(v any) string {
	switch v := v.(type) {
	case float64:
		return strconv.FormatFloat(v, 'g', 7, 64)
	case []float64:
		parts := make([]string, len(v))
		for i := range v {
			parts[i] = showValue(v[i])
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case [][]float64:
		parts := make([]string, len(v))
		for i := range v {
			parts[i] = showValue(v[i])
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	return fmt.Sprint(v)
}
