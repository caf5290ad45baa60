package web

import (
	"fmt"
	"reflect"

	"slabwright/internal/rim/fields"
	"slabwright/internal/trade/known"
)

// document is a job's document read for showing: what was typed, by pointer.
type document struct{ root fields.Value }

func (d document) at(pointer string) fields.Value {
	p, err := fields.ParsePointer(pointer)
	if err != nil {
		return nil
	}
	return fields.Get(d.root, p)
}

// text is a scalar as typed; of a value in its long form, the value.
func (d document) text(pointer string) string {
	switch v := d.at(pointer).(type) {
	case nil, []any:
		return ""
	case map[string]any:
		return d.text(pointer + "/value")
	case bool:
		if v {
			return "yes"
		}
		return "no"
	default:
		return fmt.Sprint(v)
	}
}

// rows are the entries of a list as typed, column by column. A row written as a list stands in the order of the columns.
func (d document) rows(list List) [][]string {
	entries, _ := d.at(list.Pointer).([]any)
	var out [][]string
	for i := range entries {
		var row []string
		for j, column := range list.Columns {
			cell := d.text(fmt.Sprintf("%s/%d/%s", list.Pointer, i, column))
			if _, short := entries[i].([]any); short {
				cell = d.text(fmt.Sprintf("%s/%d/%d", list.Pointer, i, j))
			}
			row = append(row, cell)
		}
		if len(list.Columns) == 0 {
			row = append(row, d.text(fmt.Sprintf("%s/%d", list.Pointer, i)))
		}
		out = append(out, row)
	}
	return out
}

// entriesOf lists the known values of a stage's input.
func entriesOf(input any) []known.Entry {
	v := reflect.New(reflect.TypeOf(input))
	v.Elem().Set(reflect.ValueOf(input))
	return known.Entries(v.Interface())
}
