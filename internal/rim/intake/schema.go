package intake

import (
	"reflect"
	"strings"
	"time"

	"github.com/invopop/jsonschema"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
)

// SchemaID names the job file's schema.
const SchemaID = "slabwright-job.schema.json"

// JobSchema is the JSON Schema (draft 2020-12) of a job file, made from the types that read it.
func JobSchema() *jsonschema.Schema {
	s := Schema(&job.Job{}, "job")
	s.ID = SchemaID
	s.Title = "slabwright job"
	s.Description = "One slab: three numbers or as much as is known. What is left out is assumed and marked so."
	return s
}

// Schema is the JSON Schema of the struct that into points to.
func Schema(into any, title string) *jsonschema.Schema {
	r := &jsonschema.Reflector{FieldNameTag: "yaml", RequiredFromJSONSchemaTags: true, Mapper: scalarSchema, LookupComment: fieldSays,
		Anonymous: true, Namer: definitionName}
	s := r.Reflect(into)
	s.Title = title
	loosen(s)
	return s
}

// definitionName names a type's definition by its package and name, in letters that a reference can carry.
func definitionName(t reflect.Type) string {
	return strings.Trim(strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, strings.ReplaceAll(t.String(), "[]", "list-of-")), "-")
}

// fieldSays is a field's description: its says tag, with the unit of a bare number.
func fieldSays(t reflect.Type, field string) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if field == "" || t.Kind() != reflect.Struct {
		return ""
	}
	f, ok := t.FieldByName(field)
	if !ok {
		return ""
	}
	says := f.Tag.Get("says")
	if unit := f.Tag.Get("unit"); unit != "" && says != "" {
		us, metric, two := strings.Cut(unit, "|")
		says += " (a bare number is in " + us
		if two && metric != us {
			says += ", in a metric job in " + metric
		}
		says += ")"
	}
	return says
}

// scalarSchema maps what people type to text or a number, or the long form with its origin; nil for sections and lists.
func scalarSchema(t reflect.Type) *jsonschema.Schema {
	v := reflect.New(t)
	switch {
	case t == reflect.TypeFor[time.Time]():
		return &jsonschema.Schema{Type: "string", Description: "a time with its offset, like 2027-06-17T07:00-05:00"}
	case t == reflect.TypeFor[quantity.System]():
		return &jsonschema.Schema{Type: "string", Enum: []any{"us", "metric"}}
	}
	if _, ok := v.Interface().(typedReader); ok {
		return knownSchema(v.Elem().FieldByName("Value").Interface())
	}
	if _, ok := v.Interface().(quantity.Typed); ok {
		return typedText()
	}
	if choice, ok := v.Elem().Interface().(known.Choice); ok && t.Kind() == reflect.String {
		return words(choice)
	}
	if t.Kind() == reflect.Bool {
		return truth()
	}
	return nil
}

// truth is yes or no in the words the reader takes.
func truth() *jsonschema.Schema {
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{{Type: "boolean"}, {Type: "string", Enum: []any{"yes", "no", "y", "n", "on", "off", "true", "false"}}}}
}

func typedText() *jsonschema.Schema {
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{{Type: "string", MinLength: one()}, {Type: "number"}}}
}

func one() *uint64 {
	n := uint64(1)
	return &n
}

func words(c known.Choice) *jsonschema.Schema {
	s := &jsonschema.Schema{Type: "string"}
	for _, w := range c.Choices() {
		s.Enum = append(s.Enum, w)
	}
	return s
}

func knownSchema(value any) *jsonschema.Schema {
	short := typedText()
	switch v := value.(type) {
	case known.Choice:
		short = words(v)
	case bool:
		short = truth()
	}
	long := &jsonschema.Schema{Type: "object", Required: []string{"value"}, Properties: jsonschema.NewProperties(), AdditionalProperties: jsonschema.FalseSchema}
	long.Properties.Set("value", short)
	for _, key := range sayingKeys[1:] {
		long.Properties.Set(key, &jsonschema.Schema{})
	}
	return &jsonschema.Schema{AnyOf: append(append([]*jsonschema.Schema{}, flat(short)...), long)}
}

func flat(s *jsonschema.Schema) []*jsonschema.Schema {
	if len(s.AnyOf) > 0 {
		return s.AnyOf
	}
	return []*jsonschema.Schema{s}
}

// loosen lets every struct of the schema also be written as a row of values in field order, as the reader does, and makes
// nothing required: what is left out is assumed.
func loosen(root *jsonschema.Schema) {
	for name, s := range root.Definitions {
		s.Required = nil
		if s.Type == "object" && s.Properties != nil && s.Properties.Len() <= rowFields {
			root.Definitions[name] = &jsonschema.Schema{AnyOf: []*jsonschema.Schema{s, {Type: "array", MaxItems: length(s)}}}
		}
	}
	root.Required = nil
}

// rowFields is how many fields a struct may have to be written as a row; more cannot be read by a person.
const rowFields = 6

func length(s *jsonschema.Schema) *uint64 {
	n := uint64(s.Properties.Len())
	return &n
}
