// Package known keeps a value together with how it is known: said by a person, measured, on the shop's own list, computed by
// another stage, or assumed by the program with a reason and a plausible range. Nothing the program guesses can pass for something it was
// told.
package known

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// Origin says where a value comes from. The zero value is Missing: a forgotten field is a fault, never a silent guess.
type Origin string

// The origins.
const (
	Missing  Origin = ""
	Assumed  Origin = "assumed"
	Computed Origin = "computed" // by another stage of the plan
	Listed   Origin = "listed"   // on the shop's own list, which Reason names
	Measured Origin = "measured"
	Said     Origin = "said"
)

// Firm says whether a person stands behind the value: said, measured, or put on the shop's list.
func (o Origin) Firm() bool { return o == Said || o == Measured || o == Listed }

// Known is a value and how it is known.
type Known[T any] struct {
	Value  T
	Origin Origin
	Low    T           // plausible range of an assumed value; equal ends: no range stated
	High   T           //
	Text   string      // as typed
	Reason string      // why assumed; which stage computed it; or which list it is on
	Source sources.Key // of an assumed value
	Notes  []string    // how the typed text was read, when that needs saying
}

// Short names for the values most inputs hold.
type (
	Length      = Known[quantity.Length]
	Area        = Known[quantity.Area]
	Volume      = Known[quantity.Volume]
	Slope       = Known[quantity.Slope]
	Mass        = Known[quantity.Mass]
	Force       = Known[quantity.Force]
	Stress      = Known[quantity.Stress]
	Subgrade    = Known[quantity.SubgradeModulus]
	Density     = Known[quantity.Density]
	Temp        = Known[quantity.Temp]
	TempDiff    = Known[quantity.TempDiff]
	Time        = Known[quantity.Time]
	Speed       = Known[quantity.Speed]
	Evaporation = Known[quantity.Evaporation]
	Insulation  = Known[quantity.Insulation]
	VolumeRate  = Known[quantity.VolumeRate]
	AreaRate    = Known[quantity.AreaRate]
	LengthRate  = Known[quantity.LengthRate]
	MassRate    = Known[quantity.MassRate]
	Money       = Known[quantity.Money]
	MoneyRate   = Known[quantity.MoneyRate]
	MoneyVolume = Known[quantity.MoneyVolume]
	MoneyMass   = Known[quantity.MoneyMass]
	MoneyLength = Known[quantity.MoneyLength]
	MoneyArea   = Known[quantity.MoneyArea]
	Ratio       = Known[quantity.Ratio]
	Percent     = Known[quantity.Percent]
	Number      = Known[quantity.Number]
	Text        = Known[string]
	Truth       = Known[bool]
)

// Assume makes a guess with its plausible range, reason and source.
func Assume[T any](value, low, high T, reason string, source sources.Key) Known[T] {
	return Known[T]{Value: value, Origin: Assumed, Low: low, High: high, Reason: reason, Source: source}
}

// Guess is Assume for a value without a range: a word, a yes or no.
func Guess[T any](value T, reason string, source sources.Key) Known[T] {
	return Assume(value, value, value, reason, source)
}

// Say makes a value as a person gave it.
func Say[T any](value T) Known[T] { return Known[T]{Value: value, Origin: Said} }

// From makes a value computed by another stage: From(thickness, "slab.thickness").
func From[T any](value T, figure string) Known[T] {
	return Known[T]{Value: value, Origin: Computed, Reason: figure}
}

// Given says whether the value is known at all.
func (k Known[T]) Given() bool { return k.Origin != Missing }

// Or is k if it is known, and otherwise the other value.
func (k Known[T]) Or(other Known[T]) Known[T] {
	if k.Given() {
		return k
	}
	return other
}

// Read sets k from typed text, as said by a person. Notes and questions come back in Heard; a text that cannot be a value
// is an error and leaves k as it was.
func (k *Known[T]) Read(text string, box quantity.Box) (quantity.Heard, error) {
	value, heard, err := read[T](text, box)
	if err != nil {
		return heard, err
	}
	*k = Known[T]{Value: value, Origin: Said, Text: strings.TrimSpace(text), Notes: heard.Notes}
	return heard, nil
}

func read[T any](text string, box quantity.Box) (value T, heard quantity.Heard, err error) {
	switch p := any(&value).(type) {
	case quantity.Typed:
		heard, err = p.ReadText(text, box)
	case *string:
		*p = strings.TrimSpace(text)
		if *p == "" {
			err = fmt.Errorf("%s is empty; type a word or leave the line out", box.Name)
		}
	case *bool:
		*p, err = readTruth(text, box.Name)
	default:
		value, err = readWord[T](text, box.Name)
	}
	return value, heard, err
}

// Choice is met by text types with a fixed list of words: soil classes, vehicle classes.
type Choice interface{ Choices() []string }

func readWord[T any](text, name string) (value T, err error) {
	field := reflect.ValueOf(&value).Elem()
	choice, ok := any(value).(Choice)
	if !ok || field.Kind() != reflect.String {
		return value, fmt.Errorf("known: %T cannot be typed", value)
	}
	word := strings.ToLower(strings.Join(strings.Fields(text), " "))
	if !slices.Contains(choice.Choices(), word) {
		return value, fmt.Errorf("`%s` is not one of the words for %s. Type one of: %s", text, name, strings.Join(choice.Choices(), ", "))
	}
	field.SetString(word)
	return value, nil
}

func readTruth(text, name string) (bool, error) {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "yes", "y", "true", "on":
		return true, nil
	case "no", "n", "false", "off":
		return false, nil
	}
	return false, fmt.Errorf("%q does not answer %s; type yes or no", text, name)
}

// Entry is one known value seen without its type: what lists of assumptions and workings need.
type Entry struct {
	Field   string // path in the stage's input, e.g. "base.thickness"
	Says    string // the field's `says` tag: what it is, in the trade's words
	Origin  Origin
	Value   quantity.Any
	Low     quantity.Any
	High    quantity.Any
	Ranged  bool // Low and High differ and are numbers
	Settled bool // tagged `measure:"no"`: a convention or a constant of the trade that nobody on a site can measure
	Text    string
	Reason  string
	Source  sources.Key
}

// IsMoney says whether the value is a price: money, or money for something.
func (e Entry) IsMoney() bool { return strings.HasPrefix(e.Value.Unit(quantity.US), "$") }

// entrant is how Entries and Set meet a Known of any type.
type entrant interface {
	entry(kind quantity.Kind) Entry
	put(si float64) bool
}

func (k *Known[T]) entry(kind quantity.Kind) Entry {
	e := Entry{Origin: k.Origin, Text: k.Text, Reason: k.Reason, Source: k.Source}
	e.Value, e.Low, e.High = shown(k.Value, kind), shown(k.Low, kind), shown(k.High, kind)
	e.Ranged = e.Low.Kind != quantity.AsText && e.Low.SI != e.High.SI
	return e
}

// put replaces the value of an assumed number, keeping all else; false if it is not a number.
func (k *Known[T]) put(si float64) bool {
	v := reflect.ValueOf(&k.Value).Elem()
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(si)
	case reflect.Int:
		v.SetInt(int64(si))
	default:
		return false
	}
	return true
}

func shown(value any, kind quantity.Kind) quantity.Any {
	if word, ok := value.(fmt.Stringer); ok {
		return quantity.Words(word.String())
	}
	v := reflect.ValueOf(value)
	if kind == "" {
		kind = quantity.AsRatio
		if m, ok := value.(quantity.Measured); ok {
			kind = quantity.UsualKind(m.Dimension())
		}
	}
	switch v.Kind() {
	case reflect.Float64:
		return quantity.Plain(v.Float(), kind)
	case reflect.Int:
		return quantity.Counted(int(v.Int()))
	case reflect.Bool:
		if v.Bool() {
			return quantity.Words("yes")
		}
		return quantity.Words("no")
	}
	return quantity.Words(fmt.Sprint(value))
}

// Show is the value ready to be shown; kind empty: the usual kind of its dimension.
func (k Known[T]) Show(kind quantity.Kind) quantity.Any { return shown(k.Value, kind) }

// Entries lists every known value of a stage's input, in field order, nested structs and slices included. in is a pointer
// to the input struct. Field names are yaml tags; `says` tags give the words, `show` tags the quantity.Kind.
func Entries(in any) []Entry {
	var out []Entry
	walk(reflect.ValueOf(in).Elem(), "", func(path string, tag reflect.StructTag, k entrant) bool {
		e := k.entry(quantity.Kind(tag.Get("show")))
		e.Field, e.Says, e.Settled = path, tag.Get("says"), tag.Get("measure") == "no"
		if e.Says == "" {
			e.Says = strings.ReplaceAll(path, "_", " ")
		}
		out = append(out, e)
		return true
	})
	return out
}

// Set replaces the number at a field path of a stage's input, keeping its origin: how a plan asks "what if". It says
// whether the path names a known number.
func Set(in any, field string, si float64) bool {
	done := false
	walk(reflect.ValueOf(in).Elem(), "", func(path string, _ reflect.StructTag, k entrant) bool {
		if path == field {
			done = k.put(si)
			return false
		}
		return true
	})
	return done
}

func walk(v reflect.Value, path string, visit func(string, reflect.StructTag, entrant) bool) bool {
	t := v.Type()
	for i := range t.NumField() {
		f := t.Field(i)
		if !f.IsExported() {
			continue
		}
		if !walkField(v.Field(i), join(path, FieldName(f)), f.Tag, visit) {
			return false
		}
	}
	return true
}

func walkField(v reflect.Value, path string, tag reflect.StructTag, visit func(string, reflect.StructTag, entrant) bool) bool {
	if v.CanAddr() {
		if k, ok := v.Addr().Interface().(entrant); ok {
			return visit(path, tag, k)
		}
	}
	switch v.Kind() {
	case reflect.Struct:
		return walk(v, path, visit)
	case reflect.Slice:
		for i := range v.Len() {
			if !walkField(v.Index(i), fmt.Sprintf("%s[%d]", path, i+1), tag, visit) {
				return false
			}
		}
	}
	return true
}

func join(path, name string) string {
	if path == "" || name == "" {
		return path + name
	}
	return path + "." + name
}

// FieldName is a struct field's name as people type it: its yaml tag, or its Go name in lower case.
func FieldName(f reflect.StructField) string {
	name, opts, _ := strings.Cut(f.Tag.Get("yaml"), ",")
	if opts == "inline" {
		return ""
	}
	if name == "" {
		return strings.ToLower(f.Name)
	}
	return name
}
