package api

import (
	"strconv"
	"strings"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/intake"
)

// shortNames says where the job file has a stage's field under a shorter name at the top.
var shortNames = map[string]string{"site.length": "length", "site.width": "width", "slab.thickness": "thickness", "slab.vehicle": "use",
	"order.day": "pour_date", "order.start": "first_truck"}

// pointerOf is the place in a document that a fault or a guess names as site.tapes[2].length. A row of values has numbers
// where a section has names. A field the document does not have points to where it would stand.
func pointerOf(doc fields.Value, field string) fields.Pointer {
	if short := shortNames[field]; short != "" && fields.Get(doc, pathOf(doc, field)) == nil {
		field = short
	}
	return pathOf(doc, field)
}

func pathOf(doc fields.Value, field string) fields.Pointer {
	var p fields.Pointer
	for _, part := range strings.Split(field, ".") {
		name, index, listed := strings.Cut(strings.TrimSuffix(part, "]"), "[")
		if _, row := fields.Get(doc, p).([]any); row {
			if i, ok := intake.Column(p, name); ok {
				name = strconv.Itoa(i)
			}
		}
		p = append(p, name)
		if n, err := strconv.Atoi(index); listed && err == nil {
			p = append(p, strconv.Itoa(n-1))
		}
	}
	return p
}
