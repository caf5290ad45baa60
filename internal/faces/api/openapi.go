package api

import (
	"encoding"
	"encoding/json"
	"net/http"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/invopop/jsonschema"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/fields"
)

// Change is the body of a change.
type Change struct {
	At     string       `json:"at,omitempty"`
	By     string       `json:"by,omitempty"`
	Device string       `json:"device,omitempty"`
	Seen   int64        `json:"seen,omitempty"`
	Step   string       `json:"step,omitempty"`
	Undoes string       `json:"undoes,omitempty"`
	Sets   []fields.Set `json:"sets"`
}

// getOpenAPI writes the description of the interface, OpenAPI 3.1, from the table of routes.
func (s *Server) getOpenAPI(w http.ResponseWriter, _ *http.Request) error {
	return reply(w, http.StatusOK, s.OpenAPI())
}

// object is a JSON object of the description.
type object = map[string]any

// OpenAPI describes every route.
func (s *Server) OpenAPI() map[string]any {
	d := &describer{schemas: object{}}
	paths := object{}
	for _, r := range s.routes() {
		at, _ := paths[r.path].(object)
		if at == nil {
			at = object{}
			paths[r.path] = at
		}
		at[strings.ToLower(r.method)] = d.operation(r)
	}
	return object{
		"openapi": "3.1.0",
		"info":    object{"title": "slabwright", "version": "1", "summary": "Plans an outdoor concrete slab: jobs, changes, answers, sheets."},
		"servers": []object{{"url": "/"}}, "paths": paths,
		"components": object{"schemas": d.schemas},
	}
}

type describer struct{ schemas object }

var pathPart = regexp.MustCompile(`\{(\w+)\}`)

func (d *describer) operation(r route) object {
	op := object{"operationId": r.name, "summary": r.says}
	parameters := []object{}
	for _, part := range pathPart.FindAllStringSubmatch(r.path, -1) {
		parameters = append(parameters, object{"name": part[1], "in": "path", "required": true, "schema": object{"type": "string"}})
	}
	for _, q := range r.query {
		parameters = append(parameters, object{"name": q.name, "in": "query", "description": q.says, "schema": object{"type": "string"}})
	}
	if r.match != "" {
		parameters = append(parameters, object{"name": r.match, "in": "header", "description": "the ETag the job was read with", "schema": object{"type": "string"}})
	}
	if len(parameters) > 0 {
		op["parameters"] = parameters
	}
	if r.body != nil {
		media := r.media
		if media == "" {
			media = "application/json"
		}
		op["requestBody"] = object{"required": true, "content": object{media: object{"schema": d.schema(r.body)}}}
	}
	op["responses"] = d.responses(r)
	return op
}

func (d *describer) responses(r route) object {
	status := r.status
	if status == 0 {
		status = http.StatusOK
	}
	usual := object{"description": http.StatusText(status)}
	switch {
	case r.answer != nil:
		usual["content"] = object{"application/json": object{"schema": d.schema(r.answer)}}
	case r.produces != "":
		usual["content"] = object{r.produces: object{}}
	}
	out := object{strconv.Itoa(status): usual,
		"default": object{"description": "what was wrong, and what to send instead", "content": object{"application/problem+json": object{"schema": d.schema(Problem{})}}}}
	if r.replaced {
		out["200"] = usual
	}
	if r.tagged {
		out["304"] = object{"description": "The caller has it already: If-None-Match."}
	}
	return out
}

// schema gives a type's schema by reference, and keeps it among the others.
func (d *describer) schema(example any) object {
	t := reflect.TypeOf(example)
	if t.Name() == "" {
		return object{"type": "object"}
	}
	if t.Kind() == reflect.String {
		return object{"type": "string"}
	}
	reflector := jsonschema.Reflector{Anonymous: true, Mapper: d.special, ExpandedStruct: false}
	text, err := json.Marshal(reflector.ReflectFromType(t))
	if err != nil {
		panic("api: " + err.Error())
	}
	var s struct {
		Defs map[string]any `json:"$defs"`
	}
	if err := json.Unmarshal([]byte(strings.ReplaceAll(string(text), "#/$defs/", "#/components/schemas/")), &s); err != nil {
		panic("api: " + err.Error())
	}
	for name, one := range s.Defs {
		d.schemas[name] = one
	}
	return object{"$ref": "#/components/schemas/" + t.Name()}
}

// special maps types that are written otherwise than their fields say.
func (d *describer) special(t reflect.Type) *jsonschema.Schema {
	switch t {
	case reflect.TypeFor[Figures]():
		d.schema(Figure{})
		return &jsonschema.Schema{Type: "object", AdditionalProperties: &jsonschema.Schema{Ref: "#/components/schemas/Figure"}}
	case reflect.TypeFor[fields.Value]():
		return jsonschema.TrueSchema
	}
	if t.PkgPath() == reflect.TypeFor[quantity.Date]().PkgPath() && reflect.PointerTo(t).Implements(reflect.TypeFor[encoding.TextMarshaler]()) {
		return &jsonschema.Schema{Type: "string"}
	}
	return nil
}

// served lists every method and address, for tests and for people.
func (s *Server) served() []string {
	var out []string
	for _, r := range s.routes() {
		out = append(out, r.method+" "+r.path)
	}
	slices.Sort(out)
	return out
}
