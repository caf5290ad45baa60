package web

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/job"
)

// writtenLine is one thing written down of the day: who said it and when, what it says now and what stood there before.
type writtenLine struct{ When, Who, What, Now, Before string }

// recorded are the parts of a job that are its record.
var recorded = []string{"/record", "/order/tickets", "/order/depths", "/pour/team/taps", "/cure/cylinders", "/cure/slab_temperatures"}

// written is the whole record of a job as it grew, oldest first: the store keeps every change.
func (p *Page) written(ctx context.Context, id string, j job.Job) ([]writtenLine, error) {
	changes, err := p.office.Changes(ctx, id)
	if err != nil {
		return nil, err
	}
	zone, err := j.Location()
	if err != nil {
		zone = p.office.Now().Location()
	}
	var out []writtenLine
	for _, c := range changes {
		for _, s := range c.Sets {
			if !slices.ContainsFunc(recorded, func(part string) bool { return strings.HasPrefix(s.Pointer, part) }) {
				continue
			}
			who := c.By
			if who == "" {
				who = "not said"
			}
			now, before := differing(s.Value, s.Was)
			out = append(out, writtenLine{When: saidAt(c, zone), Who: who, What: c.Step, Now: inWords(now), Before: inWords(before)})
		}
	}
	return out, nil
}

// differing are of two rows the fields in which they differ; of other values both whole.
func differing(now, before fields.Value) (fields.Value, fields.Value) {
	a, isRow := now.(map[string]any)
	b, wasRow := before.(map[string]any)
	if !isRow || !wasRow {
		return now, before
	}
	a, b = maps.Clone(a), maps.Clone(b)
	for name, v := range a {
		if w, ok := b[name]; ok && fields.Equal(v, w) {
			delete(a, name)
			delete(b, name)
		}
	}
	return a, b
}

// saidAt is when somebody said a thing by the clock of their device, else when the office heard of it.
func saidAt(c store.Done, zone *time.Location) string {
	at, err := time.Parse(time.RFC3339, c.At)
	if err != nil {
		at = c.Received
	}
	return at.In(zone).Format("2006-01-02 15:04")
}

// inWords writes a value of a job as a person would on a line.
func inWords(v fields.Value) string {
	switch v := v.(type) {
	case nil:
		return ""
	case bool:
		return map[bool]string{true: "yes", false: "no"}[v]
	case string:
		return v
	case json.Number:
		return v.String()
	case []any:
		var parts []string
		for _, one := range v {
			parts = append(parts, inWords(one))
		}
		return strings.Join(parts, "; ")
	case map[string]any:
		names := make([]string, 0, len(v))
		for name := range v {
			names = append(names, name)
		}
		slices.Sort(names)
		var parts []string
		for _, name := range names {
			parts = append(parts, strings.ReplaceAll(name, "_", " ")+" "+inWords(v[name]))
		}
		return strings.Join(parts, ", ")
	}
	return fmt.Sprint(v)
}
