package known

import (
	"reflect"
	"time"
)

// Merge lays what a person said over the starting guesses: every known value that is given, every list, text, number or
// time that is not empty replaces what stands in into. Both are pointers to the same struct type.
func Merge(into, said any) {
	merge(reflect.ValueOf(into).Elem(), reflect.ValueOf(said).Elem())
}

type given interface{ Given() bool }

func merge(into, said reflect.Value) {
	switch value := said.Interface().(type) {
	case given:
		if value.Given() {
			into.Set(said)
		}
		return
	case time.Time:
		if !value.IsZero() {
			into.Set(said)
		}
		return
	}
	if said.Kind() != reflect.Struct {
		if !said.IsZero() {
			into.Set(said)
		}
		return
	}
	for i := range said.NumField() {
		if said.Type().Field(i).IsExported() {
			merge(into.Field(i), said.Field(i))
		}
	}
}

// Feed gives an input the value that another stage computed, unless a person stands behind another.
func Feed[T any](into *Known[T], value T, figure string) {
	if into.Origin.Firm() {
		return
	}
	*into = From(value, figure)
}
