package intake

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// structure decodes a section (field: value) or, for small structs, a row of values in field order ([0, 40 ft]).
func (d *decoder) structure(n ast.Node, v reflect.Value, path string) {
	if row, ok := n.(*ast.SequenceNode); ok && len(ordered(v)) <= rowFields {
		d.row(row, v, path)
		return
	}
	m, ok := asMapping(n)
	if !ok {
		d.fault(n, path, given(n), "is a section, not one value.", "Put its lines below it, indented: "+strings.Join(head(fieldNames(v.Type()), 4), ", ")+" …")
		return
	}
	fields := fieldsByName(v)
	seen := map[string]bool{}
	for _, pair := range m.Values {
		key := keyOf(pair)
		field, ok := fields[key]
		switch {
		case !ok:
			d.unknown(pair, key, path, fieldNames(v.Type()))
		case seen[key]:
			d.fault(pair.Key, join(path, key), "", "stands twice.", "Keep one of the two lines.")
		default:
			d.value(pair.Value, field.value, field.tag, join(path, key))
		}
		seen[key] = true
	}
}

// given is what stands in a node, where that is one word and not a list or a section.
func given(n ast.Node) string {
	if _, scalar := n.(ast.ScalarNode); !scalar {
		return ""
	}
	return shortened(scalarText(n))
}

// shortened keeps a quotation readable.
func shortened(text string) string {
	if runes := []rune(text); len(runes) > 60 {
		return string(runes[:60]) + "…"
	}
	return text
}

func (d *decoder) unknown(pair *ast.MappingValueNode, key, path string, names []string) {
	instead := "Known here: " + strings.Join(names, ", ") + "."
	if key != "" && key[0] >= '0' && key[0] <= '9' && d.inBrackets(pair) {
		instead = "Inside { } and [ ] a comma parts two values: write 1100 lb, or put it in quotes: \"1,100 lb\"."
	} else if like := Nearest(key, names); like != "" {
		instead = fmt.Sprintf("Did you mean `%s`?", like)
	}
	d.fault(pair.Key, join(path, shortened(key)), "", "is not a line this file can have.", instead)
}

// inBrackets says whether a line of the file opens a bracket, so that a comma in it parts two values.
func (d *decoder) inBrackets(pair *ast.MappingValueNode) bool {
	line, _ := place(pair)
	return line <= len(d.lines) && strings.ContainsAny(d.lines[line-1], "{[")
}

func (d *decoder) row(n *ast.SequenceNode, v reflect.Value, path string) {
	fields := ordered(v)
	if len(n.Values) > len(fields) {
		d.fault(n, path, "", fmt.Sprintf("has %d values; at most %d fit.", len(n.Values), len(fields)), "The order is "+strings.Join(fieldNames(v.Type()), ", ")+".")
		return
	}
	for i, item := range n.Values {
		if _, skipped := item.(*ast.NullNode); !skipped {
			d.value(item, fields[i].value, fields[i].tag, join(path, fields[i].name))
		}
	}
}

type namedField struct {
	name  string
	value reflect.Value
	tag   reflect.StructTag
}

// ordered lists a struct's fields that a file may name, inlined structs unfolded; yaml:"-" hides one.
func ordered(v reflect.Value) []namedField {
	var out []namedField
	for i := range v.NumField() {
		f := v.Type().Field(i)
		name := known.FieldName(f)
		if !f.IsExported() || name == "-" {
			continue
		}
		if name == "" {
			out = append(out, ordered(v.Field(i))...)
			continue
		}
		out = append(out, namedField{name, v.Field(i), f.Tag})
	}
	return out
}

func fieldsByName(v reflect.Value) map[string]namedField {
	out := map[string]namedField{}
	for _, f := range ordered(v) {
		out[f.name] = f
	}
	return out
}

func fieldNames(t reflect.Type) []string {
	var out []string
	for _, f := range ordered(reflect.New(t).Elem()) {
		out = append(out, f.name)
	}
	return out
}

func head(names []string, n int) []string { return names[:min(n, len(names))] }

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func (d *decoder) list(n ast.Node, v reflect.Value, tag reflect.StructTag, path string) {
	sequence, ok := n.(*ast.SequenceNode)
	if !ok {
		d.fault(n, path, given(n), "is a list.", "Write each entry on its own line after a dash, or all in [brackets].")
		return
	}
	out := reflect.MakeSlice(v.Type(), len(sequence.Values), len(sequence.Values))
	for i, item := range sequence.Values {
		d.value(item, out.Index(i), tag, fmt.Sprintf("%s[%d]", path, i+1))
	}
	v.Set(out)
}

func (d *decoder) table(n ast.Node, v reflect.Value, tag reflect.StructTag, path string) {
	m, ok := asMapping(n)
	if !ok {
		d.fault(n, path, given(n), "is a section of name: value lines.", "Put them below it, indented.")
		return
	}
	out := reflect.MakeMap(v.Type())
	for _, pair := range m.Values {
		key := reflect.ValueOf(keyOf(pair)).Convert(v.Type().Key())
		if out.MapIndex(key).IsValid() {
			d.fault(pair.Key, join(path, keyOf(pair)), "", "stands twice.", "Keep one of the two lines.")
			continue
		}
		item := reflect.New(v.Type().Elem()).Elem()
		d.value(pair.Value, item, tag, join(path, keyOf(pair)))
		out.SetMapIndex(key, item)
	}
	v.Set(out)
}

// moment reads a point in time: with its offset from UTC, or in the site's time zone where the file names one.
func (d *decoder) moment(n ast.Node, v reflect.Value, path string) {
	text, ok := d.scalar(n, path)
	if !ok {
		return
	}
	t, err := readMoment(text, d.reading.Zone)
	if err != nil {
		d.fault(n, path, text, err.Error(), "Type it like 2027-06-17T07:00-05:00, or name the job's time_zone and type 2027-06-17 07:00.")
		return
	}
	v.Set(reflect.ValueOf(t))
}

func (d *decoder) plain(n ast.Node, v reflect.Value, path string) {
	text, ok := d.scalar(n, path)
	if !ok {
		return
	}
	switch v.Kind() {
	case reflect.String:
		d.word(n, v, text, path)
	case reflect.Bool:
		var k known.Truth
		if _, err := k.Read(text, quantity.Box{Name: lastWord(path)}); err != nil {
			d.fault(n, path, "", err.Error(), "")
			return
		}
		v.SetBool(k.Value)
	case reflect.Int:
		i, err := strconv.Atoi(text)
		if err != nil {
			d.fault(n, path, text, "is not a whole number.", "Type digits only, like 4.")
			return
		}
		v.SetInt(int64(i))
	case reflect.Float64:
		f, err := strconv.ParseFloat(text, 64)
		if err != nil || !quantity.Finite(f) {
			d.fault(n, path, text, "is not a number.", "Type digits with a point, like 12.5.")
			return
		}
		v.SetFloat(f)
	default:
		panic("intake: no way to read a " + v.Type().String())
	}
}

func (d *decoder) word(n ast.Node, v reflect.Value, text, path string) {
	choice, ok := v.Interface().(known.Choice)
	if !ok {
		v.SetString(text)
		return
	}
	word := strings.ToLower(strings.Join(strings.Fields(text), " "))
	for _, c := range choice.Choices() {
		if c == word {
			v.SetString(c)
			return
		}
	}
	d.fault(n, path, text, "is not one of the words for "+lastWord(path)+".", "Type one of: "+strings.Join(choice.Choices(), ", ")+".")
}
