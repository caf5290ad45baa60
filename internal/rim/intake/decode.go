package intake

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

// MaxSize is the largest table or forecast read, in bytes.
const MaxSize = 4 << 20

// Reading says how bare numbers and day words in a file are meant.
type Reading struct {
	Units  quantity.System
	Locale string
	Today  time.Time
	Zone   *time.Location // of times without an offset; nil: such times are refused
	Day    time.Time      // of a table's first time that is a clock alone; zero: such a time is refused
}

// Decode reads YAML (or JSON, which is YAML too) into the struct that into points to. Fields are found by their yaml tags;
// values of type known.Known and typed quantities are read as a person would type them, bare numbers in the unit of the
// field's unit tag. A top-level `units` line decides the system before anything else is read.
//
// All faults of the file come back together as Faults; notes say how something was read.
func Decode(file string, src []byte, into any, reading Reading) ([]Note, error) {
	d := &decoder{file: file, reading: reading, forSheets: true}
	root, err := d.parse(src)
	if err != nil {
		return nil, err
	}
	return d.decode(root, into)
}

func (d *decoder) decode(root ast.Node, into any) ([]Note, error) {
	mapping, ok := asMapping(root)
	if !ok {
		line, column := place(root)
		return nil, d.whole(line, column, "is not made of `name: value` lines.", "Begin with `length: 40 ft`, without a dash before it.")
	}
	d.readUnits(mapping)
	d.value(root, reflect.ValueOf(into).Elem(), "", "")
	if len(d.faults) > 0 {
		return d.notes, d.faults
	}
	return d.notes, nil
}

type decoder struct {
	file    string
	reading Reading
	lines   []string // of the source
	faults  Faults
	notes   []Note
	open    Attached // what the job names beside itself

	rowsOnly  bool // a table of check rows: longer than a job
	forSheets bool // values are printed on sheets: long ones do not fit
}

func (d *decoder) parse(src []byte) (ast.Node, error) {
	d.lines = linesOf(src)
	if err := d.guard(src); err != nil {
		return nil, err
	}
	file, err := parser.ParseBytes(bytes.TrimPrefix(src, byteOrderMark), 0, parser.AllowDuplicateMapKey())
	if err != nil {
		return nil, d.syntax(err)
	}
	if len(file.Docs) == 0 || file.Docs[0].Body == nil {
		return nil, d.whole(1, 1, "the file says nothing.", "Type at least `length: 40 ft`, `width: 14 ft` and `thickness: 6 in`.")
	}
	if len(file.Docs) > 1 {
		line, column := place(file.Docs[1].Body)
		return nil, d.whole(line, column, "a second document begins here.", "Keep one job in one file; take the `---` line out.")
	}
	return file.Docs[0].Body, nil
}

func (d *decoder) whole(line, column int, why, instead string) Faults {
	return Faults{{File: d.file, Line: line, Column: column, Fault: check.Fault{Field: "file", Why: why, Type: instead}}}
}

func (d *decoder) syntax(err error) Faults {
	line, column, why := 1, 1, err.Error()
	if e := (yaml.Error)(nil); errors.As(err, &e) {
		why = e.GetMessage()
		if t := e.GetToken(); t != nil && t.Position != nil {
			line, column = t.Position.Line, t.Position.Column
		}
	}
	return d.whole(line, column, "cannot be read as YAML: "+strings.TrimSuffix(why, ".")+".",
		"Write `name: value`, one a line, with the same indent inside one section.")
}

func (d *decoder) readUnits(m *ast.MappingNode) {
	for _, pair := range m.Values {
		if keyOf(pair) == "units" {
			_, err := d.reading.Units.ReadText(scalarText(pair.Value), quantity.Box{Name: "units"})
			_ = err // the same line is read again with its field, and complains there
		}
	}
}

func (d *decoder) fault(n ast.Node, field, given, why, instead string) {
	line, column := place(n)
	d.faults = append(d.faults, Fault{File: d.file, Line: line, Column: column,
		Fault: check.Fault{Field: field, Given: given, Why: why, Type: instead}})
}

func place(n ast.Node) (line, column int) {
	if n == nil || n.GetToken() == nil || n.GetToken().Position == nil {
		return 1, 1
	}
	p := n.GetToken().Position
	if m, ok := n.(*ast.MappingNode); ok && len(m.Values) > 0 {
		return place(m.Values[0].Key)
	}
	if m, ok := n.(*ast.MappingValueNode); ok {
		return place(m.Key)
	}
	return p.Line, p.Column
}

// typedReader is a known value: it reads text as said by a person.
type typedReader interface {
	Read(text string, box quantity.Box) (quantity.Heard, error)
}

var timeType = reflect.TypeFor[time.Time]()

// value decodes one node into v; tag is the field's struct tag, path its name from the top.
func (d *decoder) value(n ast.Node, v reflect.Value, tag reflect.StructTag, path string) {
	if _, empty := n.(*ast.NullNode); empty && path != "" && holds(v.Type()) && !strings.HasSuffix(path, "]") {
		return // a section or list with nothing below it: nothing is said
	}
	switch n.(type) {
	case *ast.AliasNode, *ast.AnchorNode, *ast.MergeKeyNode:
		d.fault(n, path, "", "points to another place in the file.", "Write the value out.")
		return
	case *ast.TagNode:
		d.fault(n, path, "", "carries a YAML tag.", "Write the plain value.")
		return
	}
	if reader, ok := v.Addr().Interface().(typedReader); ok {
		d.known(n, v, reader, tag, path)
		return
	}
	if typed, ok := v.Addr().Interface().(quantity.Typed); ok {
		d.typed(n, typed.ReadText, tag, path, false)
		return
	}
	switch {
	case v.Kind() == reflect.Pointer:
		inner := reflect.New(v.Type().Elem())
		d.value(n, inner.Elem(), tag, path)
		v.Set(inner)
	case v.Type() == timeType:
		d.moment(n, v, path)
	case v.Kind() == reflect.Struct:
		d.structure(n, v, path)
	case v.Kind() == reflect.Slice:
		d.list(n, v, tag, path)
	case v.Kind() == reflect.Map:
		d.table(n, v, tag, path)
	default:
		d.plain(n, v, path)
	}
}

// holds says whether a type holds further lines: a section, a list or a table, not one value.
func holds(t reflect.Type) bool {
	v := reflect.New(t).Interface()
	if _, one := v.(typedReader); one {
		return false
	}
	if _, one := v.(quantity.Typed); one {
		return false
	}
	return t != timeType && (t.Kind() == reflect.Struct || t.Kind() == reflect.Slice || t.Kind() == reflect.Map)
}

func (d *decoder) known(n ast.Node, v reflect.Value, reader typedReader, tag reflect.StructTag, path string) {
	m, ok := asMapping(n)
	if !ok {
		d.typed(n, reader.Read, tag, path, false)
		return
	}
	said, ok := d.saying(m, path)
	if !ok {
		return
	}
	d.typed(said.value, func(text string, box quantity.Box) (quantity.Heard, error) {
		return reader.Read(strings.TrimSpace(text+" "+said.unit), box)
	}, tag, path, said.sure)
	if origin := v.FieldByName("Origin"); said.origin != "" && origin.String() != "" {
		origin.SetString(said.origin)
		v.FieldByName("Reason").SetString(said.reason)
	}
}

// saying is the long form of a known value: {value: 6 in, origin: measured, sure: yes}.
type saying struct {
	value                ast.Node
	unit, origin, reason string
	sure                 bool
}

var sayingKeys = []string{"value", "unit", "origin", "reason", "sure", "low", "high", "source", "text", "notes"}

func (d *decoder) saying(m *ast.MappingNode, path string) (s saying, ok bool) {
	for _, pair := range m.Values {
		text := scalarText(pair.Value)
		switch key := keyOf(pair); key {
		case "value":
			s.value = pair.Value
		case "unit":
			s.unit = text
		case "origin":
			s.origin = text
		case "reason":
			s.reason = text
		case "sure":
			s.sure = text == "yes" || text == "true"
		case "low", "high", "source", "text", "notes":
		default:
			d.fault(pair.Key, path+"."+key, "", "is not part of a value.", "Type one of: "+strings.Join(sayingKeys, ", ")+".")
			return s, false
		}
	}
	if s.value == nil {
		d.fault(m, path, "", "has no value.", "Type the value itself, or {value: …, origin: measured}.")
		return s, false
	}
	switch known.Origin(s.origin) {
	case known.Missing, known.Said, known.Measured, known.Listed, known.Computed, known.Assumed:
		return s, true
	}
	d.fault(m, path+".origin", s.origin, "is not a way a value is known.", "Type said or measured.")
	return s, false
}

func (d *decoder) typed(n ast.Node, read func(string, quantity.Box) (quantity.Heard, error), tag reflect.StructTag, path string, sure bool) {
	text, ok := d.scalar(n, path)
	if !ok {
		return
	}
	heard, err := read(text, d.box(tag, path))
	if err != nil {
		d.fault(n, path, "", err.Error(), "")
		return
	}
	if heard.Ask != nil && !sure {
		d.ask(n, path, text, *heard.Ask)
		return
	}
	line, column := place(n)
	for _, note := range heard.Notes {
		d.notes = append(d.notes, Note{File: d.file, Line: line, Column: column, Field: path, Says: note})
	}
}

// ask turns a question into a fault: a file cannot answer, its writer can.
func (d *decoder) ask(n ast.Node, path, text string, q quantity.Question) {
	instead := fmt.Sprintf("To keep it, write {value: %s, sure: yes}.", text)
	if len(q.Choices) > 1 {
		instead = fmt.Sprintf("Type `%s` if you meant that. %s", q.Choices[0], instead)
	}
	d.fault(n, path, text, q.Says, instead)
}

// box describes the place a value is typed into, from the field's tags: `unit:"in|mm" usual:"2..24|50..600"`.
func (d *decoder) box(tag reflect.StructTag, path string) quantity.Box {
	box := quantity.Box{Name: lastWord(path), Unit: d.bySystem(tag.Get("unit")), System: d.reading.Units,
		Locale: d.reading.Locale, Today: d.reading.Today, Kind: quantity.Kind(tag.Get("show"))}
	low, high, ok := strings.Cut(d.bySystem(tag.Get("usual")), "..")
	if ok {
		box.Low, _ = strconv.ParseFloat(low, 64)
		box.High, _ = strconv.ParseFloat(high, 64)
	}
	return box
}

func (d *decoder) bySystem(both string) string {
	us, metric, two := strings.Cut(both, "|")
	if two && d.reading.Units == quantity.Metric {
		return metric
	}
	return us
}

func lastWord(path string) string {
	word := path[strings.LastIndexByte(path, '.')+1:]
	if i := strings.IndexByte(word, '['); i > 0 {
		word = word[:i]
	}
	return strings.ReplaceAll(word, "_", " ")
}

// scalar gives a node's text as typed; anything else is a fault.
func (d *decoder) scalar(n ast.Node, path string) (string, bool) {
	switch n := n.(type) {
	case *ast.NullNode:
		d.fault(n, path, "", "has nothing after the colon.", d.hashHint(n))
		return "", false
	case ast.ScalarNode:
		return d.printable(n, path)
	}
	d.fault(n, path, "", "wants one value here, not a list or a section.", "")
	return "", false
}

// longest is how many letters a value may have: a long address, not a letter.
const longest = 300

// pastedTables are the lines that hold a whole table: it is read, not printed.
var pastedTables = map[string]bool{"forecast_table": true}

// printable gives a scalar's text on one line; what no sheet could print is a fault.
func (d *decoder) printable(n ast.Node, path string) (string, bool) {
	if pastedTables[path] {
		return scalarText(n), true
	}
	text := lineBreaks.Replace(strings.TrimSpace(scalarText(n)))
	if letters := utf8.RuneCountInString(text); d.forSheets && letters > longest {
		d.fault(n, path, "", fmt.Sprintf("has %d letters; at most %d fit on a sheet.", letters, longest), "Say it shorter.")
		return "", false
	}
	if i := strings.IndexFunc(text, unprintable); i >= 0 {
		d.fault(n, path, "", fmt.Sprintf("holds a sign that cannot be printed after %q.", text[:i]), "Type the line again without it.")
		return "", false
	}
	return text, true
}

var lineBreaks = strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ", "\t", " ")

// hashHint spots `bars: #4 @ 18`: to YAML the rest of that line is a comment.
func (d *decoder) hashHint(n ast.Node) string {
	line, _ := place(n)
	if line <= len(d.lines) {
		if _, comment, ok := strings.Cut(d.lines[line-1], "#"); ok {
			return fmt.Sprintf("A # begins a comment. Put the value in quotes: \"#%s\".", strings.TrimSpace(comment))
		}
	}
	return "Type a value or take the line out."
}

func scalarText(n ast.Node) string {
	switch n := n.(type) {
	case *ast.StringNode:
		return n.Value
	case *ast.LiteralNode:
		return n.Value.Value
	}
	if t := n.GetToken(); t != nil {
		return strings.TrimSpace(t.Value)
	}
	return ""
}

func asMapping(n ast.Node) (*ast.MappingNode, bool) {
	switch n := n.(type) {
	case *ast.MappingNode:
		return n, true
	case *ast.MappingValueNode:
		return &ast.MappingNode{Values: []*ast.MappingValueNode{n}, BaseNode: n.BaseNode, Start: n.GetToken()}, true
	}
	return nil, false
}

func keyOf(pair *ast.MappingValueNode) string { return scalarText(pair.Key) }
