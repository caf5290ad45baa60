// Package bounds gathers what is wrong with a stage's input in one look: values that are missing, outside what can be, or
// words nobody knows, each with what to type instead.
package bounds

import (
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

// List is the faults found so far, told in the job's units.
type List struct {
	Units  quantity.System
	Faults check.Faults
}

// Add notes a fault: the field, what was given, why it cannot be, what to type.
func (l *List) Add(field, given, why, remedy string) {
	l.Faults = append(l.Faults, check.Fault{Field: field, Given: given, Why: why, Type: remedy})
}

// Word refuses a text that is not one of the allowed words; a missing one too.
func (l *List) Word(field string, k known.Text, allowed ...string) {
	if !slices.Contains(allowed, k.Value) {
		l.Add(field, k.Value, "is not a word known here.", "Type one of "+strings.Join(allowed, ", ")+".")
	}
}

// Answered refuses a yes-or-no that nobody answered or assumed.
func (l *List) Answered(field string, k known.Truth) {
	if !k.Given() {
		l.Add(field, "", "is not known.", "Answer yes or no.")
	}
}

// Number is a quantity a person can be told in a unit.
type Number interface {
	~float64
	quantity.Measured
}

// slack keeps a limit typed in another unit from refusing itself.
const slack = 1e-9

// Between refuses a number outside low to high, shown as kind, and one that is not a number. A missing value passes.
func Between[T Number](l *List, field string, k known.Known[T], low, high T, kind quantity.Kind) {
	room := T(slack) * max(-low, low, -high, high)
	if !k.Given() || k.Value >= low-room && k.Value <= high+room {
		return
	}
	given := k.Text
	if given == "" {
		given = quantity.Show(k.Value, kind).String(l.Units)
	}
	l.Add(field, given, "cannot be.", remedy(l, low, high, kind))
}

// Needed is Between for a value that may not be missing.
func Needed[T Number](l *List, field string, k known.Known[T], low, high T, kind quantity.Kind) {
	if !k.Given() {
		l.Add(field, "", "is not known.", remedy(l, low, high, kind))
		return
	}
	Between(l, field, k, low, high, kind)
}

func remedy[T Number](l *List, low, high T, kind quantity.Kind) string {
	show := func(x T) string { return quantity.Show(x, kind).String(l.Units) }
	return fmt.Sprintf("Type a value from %s to %s.", show(low), show(high))
}

// Within refuses a value that is missing, outside low to high, or not a number, in the words of the stage that asks.
func Within[T ~float64 | ~int](l *List, field string, k known.Known[T], low, high T, why, remedy string) {
	if !k.Given() || !(k.Value >= low) || !(k.Value <= high) {
		l.Add(field, k.Text, why, remedy)
	}
}
