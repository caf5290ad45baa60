package intake

import (
	"strings"

	"github.com/invopop/jsonschema"

	"slabwright/internal/trade/shop"
)

// ShopSchemaID names the schema of a shop's lists.
const ShopSchemaID = "slabwright-shop.schema.json"

// ShopSchema is the JSON Schema (draft 2020-12) of a shop's lists: the job file's own fields, as far as a shop may set them.
func ShopSchema() *jsonschema.Schema {
	s := Schema(&shop.Shop{}, "shop")
	s.ID = ShopSchemaID
	s.Title = "slabwright shop"
	s.Description = "One shop's own lists: prices, rates, business figures, crews, plants. A job takes from them what it does not say itself."
	p := pruner{s, map[string]bool{}}
	top := p.named(s.Ref)
	for _, section := range []string{"price", "order", "pour", "access", "joints", "steel", "forms"} {
		if part, ok := top.Properties.Get(section); ok {
			p.prune(part, section)
		}
	}
	p.keep(s)
	for name := range s.Definitions {
		if !p.kept[name] {
			delete(s.Definitions, name)
		}
	}
	return s
}

// pruner takes what no shop can set out of a schema, and the definitions nothing refers to any more.
type pruner struct {
	root *jsonschema.Schema
	kept map[string]bool
}

const definitions = "#/$defs/"

// named is the object behind a reference; where it may also be written as a row, its form with names.
func (p pruner) named(ref string) *jsonschema.Schema {
	s := p.root.Definitions[strings.TrimPrefix(ref, definitions)]
	if s != nil && len(s.AnyOf) > 0 {
		s = s.AnyOf[0]
	}
	return s
}

func (p pruner) prune(part *jsonschema.Schema, path string) {
	s := p.named(part.Ref)
	if part.Ref == "" || s == nil || s.Properties == nil {
		return
	}
	var stray []string
	for pair := s.Properties.Oldest(); pair != nil; pair = pair.Next() {
		field := path + "." + pair.Key
		if !shop.Settable(field) {
			stray = append(stray, pair.Key)
			continue
		}
		p.prune(pair.Value, field)
	}
	for _, name := range stray {
		s.Properties.Delete(name)
	}
}

// keep marks every definition that a schema leads to.
func (p pruner) keep(s *jsonschema.Schema) {
	if s == nil {
		return
	}
	if name := strings.TrimPrefix(s.Ref, definitions); s.Ref != "" && !p.kept[name] {
		p.kept[name] = true
		p.keep(p.root.Definitions[name])
	}
	for _, one := range s.AnyOf {
		p.keep(one)
	}
	p.keep(s.Items)
	p.keep(s.AdditionalProperties)
	if s.Properties != nil {
		for pair := s.Properties.Oldest(); pair != nil; pair = pair.Next() {
			p.keep(pair.Value)
		}
	}
}
