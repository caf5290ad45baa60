package known

import (
	"fmt"
	"reflect"
)

// Lend gives into what a list has and nobody said: every known value that is given on the list and missing in into, and every list
// of entries that is empty there, as Listed. reason says, by a value's field path, which list it stands on. Both are pointers to
// the same struct type; other fields stay as they are.
func Lend(into, list any, reason func(field string) string) {
	l := lender{reason}
	l.lend(reflect.ValueOf(into).Elem(), reflect.ValueOf(list).Elem(), "")
}

type lender struct{ reason func(string) string }

func (l lender) lend(into, list reflect.Value, path string) {
	if k, ok := list.Interface().(given); ok {
		if k.Given() && !into.Interface().(given).Given() {
			into.Set(list)
			l.mark(into, path)
		}
		return
	}
	switch {
	case list.Kind() == reflect.Struct:
		l.fields(into, list, path)
	case list.Kind() == reflect.Slice && into.Len() == 0 && list.Len() > 0 && list.Type().Elem().Kind() == reflect.Struct:
		copied := reflect.MakeSlice(list.Type(), list.Len(), list.Len())
		for i := range list.Len() {
			l.lend(copied.Index(i), list.Index(i), fmt.Sprintf("%s[%d]", path, i+1))
		}
		into.Set(copied)
	}
}

func (l lender) fields(into, list reflect.Value, path string) {
	for i := range list.NumField() {
		if f := list.Type().Field(i); f.IsExported() {
			l.lend(into.Field(i), list.Field(i), join(path, FieldName(f)))
		}
	}
}

func (l lender) mark(value reflect.Value, path string) {
	value.FieldByName("Origin").Set(reflect.ValueOf(Listed))
	value.FieldByName("Reason").SetString(l.reason(path))
}
