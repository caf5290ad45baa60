// Package fields keeps a job as a document of named fields, as typed, and merges what several people change in it. The document
// is the job file as JSON: what is exported is the job file, and reads back to the same bytes.
package fields

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Value is a JSON value: map[string]any, []any, string, json.Number, bool, or nil for what is not there. Values are never
// changed in place: setting a field makes a new document that shares the rest.
type Value = any

// deepest is how many lists and objects may stand inside each other, as in a job file.
const deepest = 40

// Parse reads one JSON value, numbers as typed. Fields that are null are taken away: nothing is said of them.
func Parse(src []byte) (Value, error) {
	d := json.NewDecoder(bytes.NewReader(src))
	d.UseNumber()
	var v Value
	if err := d.Decode(&v); err != nil {
		return nil, fmt.Errorf("is not JSON: %w", err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("has more after its end")
	}
	return tidy(v, 0)
}

// tidy takes null fields away and refuses what is nested deeper than any job.
func tidy(v Value, depth int) (Value, error) {
	if depth > deepest {
		return nil, fmt.Errorf("has more than %d lists or sections inside each other", deepest)
	}
	switch v := v.(type) {
	case map[string]any:
		for key, inner := range v {
			clean, err := tidy(inner, depth+1)
			if err != nil {
				return nil, err
			}
			if v[key] = clean; clean == nil {
				delete(v, key)
			}
		}
	case []any:
		for i, inner := range v {
			clean, err := tidy(inner, depth+1)
			if err != nil {
				return nil, err
			}
			v[i] = clean
		}
	}
	return v, nil
}

// Bytes writes a value as JSON with its keys in order: equal values give equal bytes.
func Bytes(v Value) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		panic("fields: " + err.Error()) // a Value holds nothing that JSON cannot write
	}
	return bytes.TrimRight(b.Bytes(), "\n")
}

// Equal says whether two values are written the same.
func Equal(a, b Value) bool { return reflect.DeepEqual(a, b) }

// Pointer is a place in a document: the names and numbers on the way to it.
type Pointer []string

var unescape = strings.NewReplacer("~1", "/", "~0", "~")
var escape = strings.NewReplacer("~", "~0", "/", "~1")

// ParsePointer reads a JSON pointer (RFC 6901).
func ParsePointer(text string) (Pointer, error) {
	if text == "" {
		return nil, nil
	}
	if text[0] != '/' {
		return nil, fmt.Errorf("a pointer begins with a slash, like /%s", text)
	}
	if strings.ContainsRune(text, 0) || !utf8.ValidString(text) {
		return nil, errors.New("holds a character that no name has")
	}
	p := Pointer(strings.Split(text[1:], "/"))
	for i := range p {
		p[i] = unescape.Replace(p[i])
	}
	return p, nil
}

// String writes the pointer as RFC 6901 does.
func (p Pointer) String() string {
	var b strings.Builder
	for _, part := range p {
		b.WriteByte('/')
		b.WriteString(escape.Replace(part))
	}
	return b.String()
}

// Get is what stands at a pointer; nil when nothing does.
func Get(v Value, p Pointer) Value {
	for _, part := range p {
		switch inner := v.(type) {
		case map[string]any:
			v = inner[part]
		case []any:
			i, err := strconv.Atoi(part)
			if err != nil || i < 0 || i >= len(inner) {
				return nil
			}
			v = inner[i]
		default:
			return nil
		}
	}
	return v
}

// through says whether a pointer's way leads through objects only, as far as there is something on it.
func through(v Value, p Pointer) bool {
	for _, part := range p[:len(p)-1] {
		section, ok := v.(map[string]any)
		if !ok {
			return v == nil
		}
		v = section[part]
	}
	_, ok := v.(map[string]any)
	return ok || v == nil
}

// Put is the document with value at a pointer whose way leads through objects only; nil takes the field away, and the
// sections above it that are left empty.
func Put(doc Value, p Pointer, value Value) Value {
	if len(p) == 0 {
		return value
	}
	section, _ := doc.(map[string]any)
	inner := Put(section[p[0]], p[1:], value)
	out := make(map[string]any, len(section)+1)
	for key, v := range section {
		out[key] = v
	}
	out[p[0]] = inner
	if inner == nil {
		delete(out, p[0])
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

// Shape says which places of a document are sections, which are parted into their fields. An error says that there is no such
// place.
type Shape func(p Pointer) (section bool, err error)

// leaves lists the fields of a value at a pointer: whatever is not a section.
func (shape Shape) leaves(v Value, at Pointer, out map[string]Value) error {
	section, err := shape(at)
	if err != nil {
		return &PointerError{at.String(), err.Error()}
	}
	inner, ok := v.(map[string]any)
	if !section || !ok {
		if v != nil {
			out[at.String()] = v
		}
		return nil
	}
	for key, value := range inner {
		if err := shape.leaves(value, append(slices.Clip(at), key), out); err != nil {
			return err
		}
	}
	return nil
}

// Leaves lists a document's fields by pointer. What stands where the shape has no place is left out.
func (shape Shape) Leaves(doc Value) map[string]Value {
	out := map[string]Value{}
	_ = shape.leaves(doc, nil, out) // an unknown place ends its branch only
	return out
}
