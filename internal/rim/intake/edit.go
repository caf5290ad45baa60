package intake

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"slabwright/internal/rim/fields"
	"slabwright/internal/trade/shop"
)

// SetLine puts a value, as typed, at a field of a YAML file; all other lines stay as they are, comments too. An empty text is an
// error: lines are taken out by hand. What stands there already must be one value on one line.
func SetLine(file string, src []byte, field, text string) ([]byte, error) {
	if strings.TrimSpace(text) == "" {
		return nil, fmt.Errorf("%s has no value; type one", field)
	}
	if saysNothing(src) {
		return append(slices.Clone(src), newLines(PathOf(field), 0, text)...), nil
	}
	d := &decoder{file: file}
	root, err := d.parse(src)
	if err != nil {
		return nil, err
	}
	e := editing{lines: strings.SplitAfter(string(src), "\n"), field: field}
	if err := e.set(root, PathOf(field), text); err != nil {
		return nil, err
	}
	return []byte(strings.Join(e.lines, "")), nil
}

// saysNothing says whether a file holds no more than comments.
func saysNothing(src []byte) bool {
	for line := range strings.Lines(string(src)) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			return false
		}
	}
	return true
}

type editing struct {
	lines []string // with their ends
	field string
}

// set follows the path as far as the file goes, then replaces the value or inserts the rest of the path.
func (e *editing) set(n ast.Node, path fields.Pointer, text string) error {
	if len(path) == 0 {
		return e.replace(n, text)
	}
	if list, ok := n.(*ast.SequenceNode); ok {
		i, err := strconv.Atoi(path[0])
		if err != nil || i < 0 || i >= len(list.Values) {
			return fmt.Errorf("%s: the list has %d entries; add one to the file by hand", e.field, len(list.Values))
		}
		return e.set(list.Values[i], path[1:], text)
	}
	m, ok := asMapping(n)
	if !ok || len(m.Values) == 0 {
		return fmt.Errorf("%s: %s stands where a section should; mend the file by hand", e.field, given(n))
	}
	i := slices.IndexFunc(m.Values, func(pair *ast.MappingValueNode) bool { return keyOf(pair) == path[0] })
	if i < 0 {
		return e.insert(m, path, text)
	}
	if _, empty := m.Values[i].Value.(*ast.NullNode); empty {
		return fmt.Errorf("%s: %s has nothing after it; write its value by hand", e.field, path[0])
	}
	return e.set(m.Values[i].Value, path[1:], text)
}

// replace writes a new text over one value. The long form of a value keeps its other parts.
func (e *editing) replace(n ast.Node, text string) error {
	if m, ok := asMapping(n); ok {
		i := slices.IndexFunc(m.Values, func(pair *ast.MappingValueNode) bool { return keyOf(pair) == "value" })
		if i < 0 {
			return fmt.Errorf("%s is a section, not one value", e.field)
		}
		return e.replace(m.Values[i].Value, text)
	}
	scalar, ok := n.(ast.ScalarNode)
	if !ok {
		return fmt.Errorf("%s is a list, not one value; change it in the file", e.field)
	}
	line, column := place(scalar)
	written := strings.TrimSpace(scalar.GetToken().Origin)
	row := []rune(e.lines[line-1])
	if strings.Contains(written, "\n") || column < 1 || column-1+len([]rune(written)) > len(row) || string(row[column-1:column-1+len([]rune(written))]) != written {
		return fmt.Errorf("%s stands on more than one line; change it in the file", e.field)
	}
	e.lines[line-1] = string(row[:column-1]) + quoted(text) + string(row[column-1+len([]rune(written)):])
	return nil
}

// insert writes the rest of a path before the first line of a section, or first inside its braces.
func (e *editing) insert(m *ast.MappingNode, path fields.Pointer, text string) error {
	if slices.ContainsFunc(path, func(part string) bool { _, err := strconv.Atoi(part); return err == nil }) {
		return fmt.Errorf("%s: there is no such list in the file; write it by hand", e.field)
	}
	line, column := place(m.Values[0].Key)
	row := []rune(e.lines[line-1])
	if m.IsFlowStyle {
		inside := strings.Join(path, ": {") + ": " + quoted(text) + strings.Repeat("}", len(path)-1) + ", "
		e.lines[line-1] = string(row[:column-1]) + inside + string(row[column-1:])
		return nil
	}
	lead := string(row[:column-1])
	if strings.TrimSpace(lead) == "" {
		e.lines[line-1] = newLines(path, column-1, text) + e.lines[line-1]
		return nil
	}
	// The first line of an entry of a list, after its dash: the new line takes its place behind the dash.
	e.lines[line-1] = lead + strings.TrimLeft(newLines(path, column-1, text), " ") + strings.Repeat(" ", column-1) + string(row[column-1:])
	return nil
}

// newLines are the lines of a path that is not in a file yet.
func newLines(path fields.Pointer, indent int, text string) string {
	var b strings.Builder
	for i, part := range path {
		b.WriteString(strings.Repeat(" ", indent+2*i) + part + ":")
		if i == len(path)-1 {
			b.WriteString(" " + quoted(text))
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// Remember puts lines on top of the history of a shop's file, the last of them first: it is taken back first.
func Remember(file string, src []byte, entries ...shop.Entry) ([]byte, error) {
	var b strings.Builder
	for _, e := range slices.Backward(entries) {
		b.WriteString("  - {on: " + e.On.ISO())
		for _, part := range []struct{ name, text string }{{"by", e.By}, {"field", e.Field}, {"was", e.Was}, {"now", e.Now}, {"why", e.Step}} {
			if part.text != "" {
				b.WriteString(", " + part.name + `: "` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(part.text) + `"`)
			}
		}
		b.WriteString("}\n")
	}
	root, err := (&decoder{file: file}).parse(src)
	if err != nil {
		return nil, err
	}
	n, there := lookUp(root, "history")
	if !there {
		return []byte(strings.TrimRight(string(src), "\n") + "\n\nhistory:\n" + b.String()), nil
	}
	list, ok := n.(*ast.SequenceNode)
	if !ok || list.IsFlowStyle || len(list.Values) == 0 {
		return nil, fmt.Errorf("%s: the history is not a list with a line for each entry; mend it by hand", file)
	}
	line, column := place(list)
	lines := strings.SplitAfter(string(src), "\n")
	fresh := strings.ReplaceAll("\n"+b.String(), "\n  - ", "\n"+strings.Repeat(" ", column-1)+"- ")[1:]
	lines[line-1] = fresh + lines[line-1]
	return []byte(strings.Join(lines, "")), nil
}
