// Package exact writes values as bytes and reads them back to the bit: floats with their sign of zero, slices that are empty and
// slices that are not there. It writes the exported fields of structs, so a type says by its names what of it lasts. Bytes are
// read by the same type only: another shape is refused.
package exact

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"time"
)

// ErrShape is what reading gives for bytes that were written from another type, or are damaged.
var ErrShape = errors.New("written from another type, or damaged")

// Write is a value as bytes. Channels, functions and interfaces in an exported field are an error.
func Write(value any) ([]byte, error) {
	v := reflect.ValueOf(value)
	print, err := shape(v.Type())
	if err != nil {
		return nil, err
	}
	w := writer{}
	w.Write(print)
	w.value(v)
	return w.Bytes(), nil
}

// Read fills the value that into points at with what Write wrote of one of its type. What it does not write stays as it is.
func Read(text []byte, into any) (err error) {
	v := reflect.ValueOf(into).Elem()
	print, err := shape(v.Type())
	if err != nil {
		return err
	}
	if !bytes.HasPrefix(text, print) {
		return ErrShape
	}
	r := reader{text[len(print):]}
	if err := r.value(v); err != nil {
		return err
	}
	if len(r.rest) > 0 {
		return ErrShape
	}
	return nil
}

// shape is a print of a type: the names and kinds of all it is made of.
func shape(t reflect.Type) ([]byte, error) {
	hash := sha256.New()
	if err := describe(hash, t, map[reflect.Type]bool{}); err != nil {
		return nil, err
	}
	return hash.Sum(nil)[:8], nil
}

var instant = reflect.TypeFor[time.Time]()

func describe(to io.Writer, t reflect.Type, seen map[reflect.Type]bool) error {
	fmt.Fprintf(to, "%s %s;", t, t.Kind())
	if t == instant || seen[t] {
		return nil
	}
	seen[t] = true
	switch t.Kind() {
	case reflect.Bool, reflect.String, reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64,
		reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Float32, reflect.Float64:
		return nil
	case reflect.Slice, reflect.Pointer:
		return describe(to, t.Elem(), seen)
	case reflect.Array:
		fmt.Fprint(to, t.Len())
		return describe(to, t.Elem(), seen)
	case reflect.Struct:
		for i := range t.NumField() {
			if f := t.Field(i); f.IsExported() {
				fmt.Fprintf(to, "%s ", f.Name)
				if err := describe(to, f.Type, seen); err != nil {
					return fmt.Errorf("%s.%s: %w", t, f.Name, err)
				}
			}
		}
		return nil
	}
	return fmt.Errorf("a %s cannot be written", t)
}

type writer struct{ bytes.Buffer }

func (w *writer) number(n uint64) { w.Write(binary.AppendUvarint(nil, n)) }

func (w *writer) value(v reflect.Value) {
	switch {
	case v.Type() == instant:
		w.instant(v.Interface().(time.Time))
		return
	case v.CanFloat():
		w.Write(binary.LittleEndian.AppendUint64(nil, math.Float64bits(v.Float())))
		return
	case v.CanInt():
		w.Write(binary.AppendVarint(nil, v.Int()))
		return
	case v.CanUint():
		w.number(v.Uint())
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		w.number(uint64(map[bool]int{true: 1}[v.Bool()]))
	case reflect.String:
		w.number(uint64(v.Len()))
		w.WriteString(v.String())
	case reflect.Pointer:
		if v.IsNil() {
			w.number(0)
			return
		}
		w.number(1)
		w.value(v.Elem())
	case reflect.Slice:
		if v.IsNil() {
			w.number(0)
			return
		}
		w.number(uint64(v.Len()) + 1)
		w.all(v)
	case reflect.Array:
		w.all(v)
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				w.value(v.Field(i))
			}
		}
	}
}

func (w *writer) all(list reflect.Value) {
	for i := range list.Len() {
		w.value(list.Index(i))
	}
}

// instant writes a time with its zone: the offset at that time, and the name under which the zone is found again.
func (w *writer) instant(t time.Time) {
	name, offset := t.Zone()
	w.value(reflect.ValueOf([]int64{t.Unix(), int64(t.Nanosecond()), int64(offset)}))
	w.value(reflect.ValueOf([]string{t.Location().String(), name}))
}

type reader struct{ rest []byte }

func (r *reader) number() (uint64, error) {
	n, used := binary.Uvarint(r.rest)
	if used <= 0 {
		return 0, ErrShape
	}
	r.rest = r.rest[used:]
	return n, nil
}

func (r *reader) take(n uint64) ([]byte, error) {
	if n > uint64(len(r.rest)) {
		return nil, ErrShape
	}
	out := r.rest[:n]
	r.rest = r.rest[n:]
	return out, nil
}

func (r *reader) value(v reflect.Value) error {
	switch {
	case v.Type() == instant:
		return r.instant(v)
	case v.CanFloat():
		text, err := r.take(8)
		if err == nil {
			v.SetFloat(math.Float64frombits(binary.LittleEndian.Uint64(text)))
		}
		return err
	case v.CanInt():
		n, used := binary.Varint(r.rest)
		if used <= 0 || v.OverflowInt(n) {
			return ErrShape
		}
		r.rest = r.rest[used:]
		v.SetInt(n)
		return nil
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				if err := r.value(v.Field(i)); err != nil {
					return err
				}
			}
		}
		return nil
	case v.Kind() == reflect.Array:
		return r.all(v)
	}
	n, err := r.number()
	if err != nil {
		return err
	}
	return r.counted(v, n)
}

// counted reads a value that begins with a number: itself, a length, or whether it is there.
func (r *reader) counted(v reflect.Value, n uint64) error {
	switch {
	case v.CanUint():
		if v.OverflowUint(n) {
			return ErrShape
		}
		v.SetUint(n)
	case v.Kind() == reflect.Bool:
		v.SetBool(n == 1)
	case v.Kind() == reflect.String:
		text, err := r.take(n)
		if err != nil {
			return err
		}
		v.SetString(string(text))
	case n == 0: // a slice or pointer that is not there
		v.SetZero()
	case v.Kind() == reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return r.value(v.Elem())
	default:
		return r.slice(v, n-1)
	}
	return nil
}

// slice reads n elements; each takes a byte at least.
func (r *reader) slice(v reflect.Value, n uint64) error {
	if n > uint64(len(r.rest)) {
		return ErrShape
	}
	v.Set(reflect.MakeSlice(v.Type(), int(n), int(n)))
	return r.all(v)
}

func (r *reader) all(list reflect.Value) error {
	for i := range list.Len() {
		if err := r.value(list.Index(i)); err != nil {
			return err
		}
	}
	return nil
}

func (r *reader) instant(v reflect.Value) error {
	var at []int64
	var zone []string
	for _, into := range []any{&at, &zone} {
		if err := r.value(reflect.ValueOf(into).Elem()); err != nil {
			return err
		}
	}
	if len(at) != 3 || len(zone) != 2 {
		return ErrShape
	}
	t := time.Unix(at[0], at[1])
	where, err := time.LoadLocation(zone[0])
	if _, offset := t.In(where).Zone(); err != nil || int64(offset) != at[2] {
		where = time.FixedZone(zone[1], int(at[2]))
	}
	if zero := (time.Time{}); t.Equal(zero) && where == time.UTC {
		t = zero
	} else {
		t = t.In(where)
	}
	v.Set(reflect.ValueOf(t))
	return nil
}
