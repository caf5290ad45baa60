package web

import (
	"reflect"
	"strconv"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
)

// Field is one line of the job's document as the page asks for it.
type Field struct {
	Pointer string
	Says    string
	Unit    string   // of a bare number, in the job's units
	Choices []string // the words it takes, when it takes only some
	Numeric bool     // a number with or without a unit: a phone shows its number keys beside letters
}

// Stage is the stage whose section the field stands in, and its path there; the three numbers and the use belong to the
// stage that uses them.
func (f Field) Stage() (stage, path string) {
	if alias, ok := aliases[f.Pointer]; ok {
		return alias[0], alias[1]
	}
	stage, path, _ = strings.Cut(strings.TrimPrefix(f.Pointer, "/"), "/")
	return stage, strings.ReplaceAll(path, "/", ".")
}

// aliases are the lines at the top of a job that stand for a stage's own.
var aliases = map[string][2]string{
	"/length": {"site", "length"}, "/width": {"site", "width"}, "/thickness": {"slab", "thickness"}, "/use": {"slab", "vehicle"},
}

// pointerOf is the document pointer of a stage's own field path: site, shots[2].rod gives /site/shots/2/rod.
func pointerOf(stage, path string) string {
	for pointer, alias := range aliases {
		if alias[0] == stage && alias[1] == path {
			return pointer
		}
	}
	return "/" + stage + "/" + strings.NewReplacer(".", "/", "[", "/", "]", "").Replace(path)
}

// fieldAt finds the line a pointer leads to. List places are numbers, or "-" for the next.
func fieldAt(pointer string, units quantity.System) (Field, bool) {
	t := reflect.TypeFor[job.Job]()
	tag := reflect.StructTag("")
	for _, part := range strings.Split(strings.TrimPrefix(pointer, "/"), "/") {
		if t.Kind() == reflect.Slice {
			if _, err := strconv.Atoi(part); err != nil && part != "-" {
				return Field{}, false
			}
			t = t.Elem()
			continue
		}
		f, ok := member(t, part)
		if !ok {
			return Field{}, false
		}
		t, tag = f.Type, f.Tag
	}
	field := Field{Pointer: pointer, Says: tag.Get("says"), Unit: unitOf(tag, units)}
	if field.Says == "" {
		field.Says = strings.ReplaceAll(pointer[strings.LastIndexByte(pointer, '/')+1:], "_", " ")
	}
	describe(&field, t)
	return field, true
}

// member is the struct field of a name, looked for inside inlined structs too.
func member(t reflect.Type, name string) (reflect.StructField, bool) {
	if t.Kind() != reflect.Struct {
		return reflect.StructField{}, false
	}
	for i := range t.NumField() {
		f := t.Field(i)
		if !f.IsExported() || f.Tag.Get("yaml") == "-" {
			continue
		}
		own := known.FieldName(f)
		if own == name {
			return f, true
		}
		if own == "" {
			if inner, ok := member(f.Type, name); ok {
				return inner, true
			}
		}
	}
	return reflect.StructField{}, false
}

// unitOf picks the unit of the job's system from a tag like "ft|m".
func unitOf(tag reflect.StructTag, units quantity.System) string {
	us, metric, both := strings.Cut(tag.Get("unit"), "|")
	if both && units == quantity.Metric {
		return metric
	}
	return us
}

// describe says what a type takes: words of a list, yes or no, or a number.
func describe(f *Field, t reflect.Type) {
	if t.Kind() == reflect.Struct {
		if value, ok := t.FieldByName("Origin"); ok && value.Type == reflect.TypeFor[known.Origin]() {
			inner, _ := t.FieldByName("Value")
			t = inner.Type
		}
	}
	if choice, ok := reflect.New(t).Elem().Interface().(known.Choice); ok {
		f.Choices = choice.Choices()
		return
	}
	switch {
	case t == reflect.TypeFor[quantity.System]():
		f.Choices = []string{"us", "metric"}
	case t.Kind() == reflect.Bool:
		f.Choices = []string{"yes", "no"}
	case t.Kind() == reflect.Float64 || t.Kind() == reflect.Int:
		f.Numeric = true
	}
}
