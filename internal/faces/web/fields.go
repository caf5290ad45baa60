package web

import (
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/intake"
)

// Field is one line of the job's document as the page asks for it.
type Field struct {
	Pointer string
	Says    string
	Head    string   // over a column of a list: a word or two
	Unit    string   // of a bare number, in the job's units
	Choices []string // the words it takes, when it takes only some
}

// Stage is the stage whose section the field stands in, and its path there; the lines at the top belong to the stage that
// uses them.
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
	"/pour_date": {"order", "day"}, "/first_truck": {"order", "start"},
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

// fieldAt finds the line a pointer leads to; false when a job has none there that can be typed.
func fieldAt(pointer string, units quantity.System) (Field, bool) {
	parts, err := fields.ParsePointer(pointer)
	if err != nil {
		return Field{}, false
	}
	f, err := intake.FieldAt(parts)
	if err != nil || !f.One() {
		return Field{}, false
	}
	return asked(f, pointer, parts, units), true
}

// asked is a field as the page asks for it.
func asked(f intake.Field, pointer string, parts fields.Pointer, units quantity.System) Field {
	out := Field{Pointer: pointer, Says: f.Says, Unit: f.Box(intake.Reading{Units: units}).Unit, Choices: f.Words()}
	if f.Truth() {
		out.Choices = []string{"yes", "no"}
	}
	if out.Says == "" {
		out.Says = strings.ReplaceAll(parts[len(parts)-1], "_", " ")
	}
	return out
}
