package intake

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/shop"
)

// Field is a place in a job file: a section, a list, or one value.
type Field struct {
	Path string // as faults call it: site.tapes[2].length
	Says string // what it is, in the trade's words
	what reflect.Type
	tag  reflect.StructTag
}

// FieldAt finds a field of the job file by the names and numbers on the way to it: site, tapes, 1, length. A list's dash is
// the place after its last entry. The error says what stands there instead.
func FieldAt(parts []string) (Field, error) {
	return fieldAt("a job file", reflect.TypeFor[job.Job](), parts)
}

// ShopFieldAt finds a field of a shop's lists in the same way. One that is a job's own is none of them.
func ShopFieldAt(parts []string) (Field, error) {
	f, err := fieldAt("a shop's list", reflect.TypeFor[shop.Shop](), parts)
	if err == nil && len(parts) > 1 && shop.IsSection(parts[0]) && !shop.Settable(f.Path) {
		err = fmt.Errorf("%s is one job's own; a shop's list cannot hold it", f.Path)
	}
	return f, err
}

func fieldAt(where string, root reflect.Type, parts []string) (Field, error) {
	f := Field{what: root}
	for _, part := range parts {
		for f.what.Kind() == reflect.Pointer {
			f.what = f.what.Elem()
		}
		if err := f.into(where, part); err != nil {
			return f, err
		}
	}
	return f, nil
}

func (f *Field) into(where, part string) error {
	switch {
	case f.One():
		return fmt.Errorf("%s is one value and has no %s inside", f.Path, shortened(part))
	case f.what.Kind() == reflect.Slice:
		i, err := strconv.ParseUint(part, 10, 31)
		if err != nil && part != "-" {
			return fmt.Errorf("%s is a list; its entries have numbers, not names like %s", f.Path, shortened(part))
		}
		f.what, f.Path = f.what.Elem(), fmt.Sprintf("%s[%d]", f.Path, i+1)
		return nil
	case f.what.Kind() == reflect.Map:
		f.what, f.Path = f.what.Elem(), join(f.Path, part)
		return nil
	}
	v := reflect.New(f.what).Elem()
	fields := ordered(v)
	for i, known := range fields {
		if known.name == part || strconv.Itoa(i) == part && len(fields) <= rowFields {
			*f = Field{Path: join(f.Path, known.name), Says: known.tag.Get("says"), what: known.value.Type(), tag: known.tag}
			return nil
		}
	}
	like := ""
	if near := Nearest(part, fieldNames(f.what)); near != "" {
		like = fmt.Sprintf("; did you mean %s?", near)
	}
	return fmt.Errorf("%s has no %s%s", where, shortened(join(f.Path, part)), like)
}

// Section says whether the field holds further named fields.
func (f Field) Section() bool { return !f.One() && f.what.Kind() != reflect.Slice }

// List says whether the field is a list.
func (f Field) List() bool { return !f.One() && f.what.Kind() == reflect.Slice }

// One says whether the field is one value.
func (f Field) One() bool { return !holds(f.what) && f.what.Kind() != reflect.Pointer }

// Heard is how text typed into a box is understood.
type Heard struct {
	quantity.Heard
	Number bool
	SI     float64 // the value, where it is a number
	Unit   string  // its SI unit; empty without one
	Text   string  // the value in words, where it is none
}

// Hear reads text as the box of the field does, without setting anything. An error says what was typed, why it cannot be and
// what to type instead.
func (f Field) Hear(text string, reading Reading) (Heard, error) {
	if !f.One() {
		return Heard{}, fmt.Errorf("%s is not one value that can be typed", f.Path)
	}
	d := decoder{reading: reading}
	v := reflect.New(f.what)
	box := d.box(f.tag, f.Path)
	switch typed := v.Interface().(type) {
	case typedReader:
		heard, err := typed.Read(text, box)
		return understood(heard, v.Elem().FieldByName("Value")), err
	case quantity.Typed:
		heard, err := typed.ReadText(text, box)
		return understood(heard, v.Elem()), err
	case *time.Time:
		at, err := readMoment(text, reading.Zone)
		if err != nil {
			return Heard{}, errors.New("`" + shortened(text) + "` is not a time that can be placed. Type it like 2027-06-17 07:00.")
		}
		return Heard{Heard: quantity.Heard{ReadBack: at.Format("Mon 2 Jan 2006, 15:04")}, Text: at.Format(time.RFC3339)}, nil
	}
	if f.Truth() {
		var truth known.Truth
		heard, err := truth.Read(text, box)
		return understood(heard, reflect.ValueOf(truth.Value)), err
	}
	var word known.Text
	heard, err := word.Read(text, box)
	if choice, ok := v.Elem().Interface().(known.Choice); ok && err == nil {
		return chosen(text, choice, box)
	}
	return understood(heard, reflect.ValueOf(word.Value)), err
}

func chosen(text string, choice known.Choice, box quantity.Box) (Heard, error) {
	word := strings.ToLower(strings.Join(strings.Fields(text), " "))
	for _, c := range choice.Choices() {
		if c == word {
			return Heard{Text: c, Heard: quantity.Heard{ReadBack: c}}, nil
		}
	}
	return Heard{}, quantity.CannotRead(text, "is not one of the words for "+box.Name+".", "Type one of: "+strings.Join(choice.Choices(), ", ")+".")
}

func understood(heard quantity.Heard, v reflect.Value) Heard {
	out := Heard{Heard: heard}
	switch v.Kind() {
	case reflect.Float64:
		out.SI, out.Number = v.Float(), true
		if m, ok := v.Interface().(quantity.Measured); ok {
			out.Unit = quantity.SIUnit(m.Dimension()).Symbol
		}
	case reflect.Bool:
		out.Text = map[bool]string{true: "yes", false: "no"}[v.Bool()]
	default:
		out.Text = fmt.Sprint(v.Interface())
	}
	if out.ReadBack == "" {
		out.ReadBack = out.Text
	}
	return out
}

// Column is the place of a named field in the row of values that a section may be written as.
func Column(parts []string, name string) (int, bool) {
	f, err := FieldAt(parts)
	if err != nil || !f.Section() {
		return 0, false
	}
	for f.what.Kind() == reflect.Pointer {
		f.what = f.what.Elem()
	}
	if f.what.Kind() != reflect.Struct {
		return 0, false
	}
	i := slices.Index(fieldNames(f.what), name)
	return i, i >= 0
}

// Box is the place where a person types the field.
func (f Field) Box(reading Reading) quantity.Box {
	d := decoder{reading: reading}
	return d.box(f.tag, f.Path)
}

// Words are those a person may choose from; none where anything may be typed.
func (f Field) Words() []string {
	if choice, ok := f.bare().(known.Choice); ok {
		return choice.Choices()
	}
	return nil
}

// Truth says whether the field is answered by yes or no.
func (f Field) Truth() bool {
	_, ok := f.bare().(bool)
	return ok
}

// bare is a zero value of the field, without how it is known.
func (f Field) bare() any {
	v := reflect.New(f.what)
	if _, ok := v.Interface().(typedReader); ok {
		return v.Elem().FieldByName("Value").Interface()
	}
	return v.Elem().Interface()
}

// Money says whether the field is an amount of money, or of money per something.
func (f Field) Money() bool {
	if !f.One() {
		return false
	}
	m, ok := f.bare().(quantity.Measured)
	return ok && strings.HasPrefix(string(m.Dimension()), string(quantity.MoneyDim))
}
