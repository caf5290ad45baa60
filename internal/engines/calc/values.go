package calc

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"slabwright/internal/engines/quantity"
)

// parseValues reads `name=value unit; name=[1, 2] m; name=[[0, 0], [1, 2]] ft; name="text"; name=true` for the given ports.
// For inputs the numbers come back in each port's unit; for expectations they stay as written, with their unit (united).
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
		p, known := FindPort(ports, name)
		if !known {
			return nil, fmt.Errorf("no value is named %q here; there is %s", name, portNames(ports))
		}
		if _, twice := out[name]; twice {
			return nil, fmt.Errorf("%s is given twice", name)
		}
		v, err := p.parse(written)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		out[name] = v
	}
	return out, nil
}

func (p Port) parse(text string) (any, error) {
	switch p.Form {
	case Text:
		return unquote(text), nil
	case Truth:
		b, err := strconv.ParseBool(text)
		if err != nil {
			return nil, fmt.Errorf("%q is not true or false", text)
		}
		return b, nil
	case Names:
		return parseNames(text)
	}
	number, symbol := splitUnit(text)
	unit := p.Unit
	if symbol != "" {
		u, err := quantity.UnitOf(p.Unit.Dim, symbol)
		if err != nil {
			return nil, err
		}
		unit = u
	}
	value, err := parseNumbers(number, p.Form)
	if err != nil {
		return nil, err
	}
	return united{value, unit}, nil
}

// splitUnit parts `[1, 2] m` into `[1, 2]` and `m`, `20 kN` into `20` and `kN`.
func splitUnit(text string) (number, symbol string) {
	if end := strings.LastIndexByte(text, ']'); end >= 0 {
		return text[:end+1], strings.TrimSpace(text[end+1:])
	}
	number, symbol, _ = strings.Cut(text, " ")
	return number, strings.TrimSpace(symbol)
}

func parseNumbers(text string, form Form) (any, error) {
	switch form {
	case Number:
		return parseNumber(text)
	case List:
		return parseList(text)
	}
	inner, err := brackets(text)
	if err != nil {
		return nil, err
	}
	rows := [][]float64{}
	for _, part := range splitOutside(inner, ',') {
		row, err := parseList(strings.TrimSpace(part))
		if err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	return rows, nil
}

func parseNumber(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || !quantity.Finite(v) {
		return 0, fmt.Errorf("%q is not a number", text)
	}
	return v, nil
}

func parseList(text string) ([]float64, error) {
	inner, err := brackets(text)
	if err != nil {
		return nil, err
	}
	list := []float64{}
	for _, part := range splitOutside(inner, ',') {
		v, err := parseNumber(part)
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	return list, nil
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

// show writes values as a row would: name=value unit; sorted by name.
func show(values Values, ports []Port) string {
	parts := make([]string, 0, len(values))
	for name, v := range values {
		p, _ := FindPort(ports, name)
		parts = append(parts, strings.TrimRight(fmt.Sprintf("%s=%s %s", name, showValue(v), p.Unit.Symbol), " "))
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
