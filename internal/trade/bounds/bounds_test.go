package bounds

import (
	"math"
	"testing"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

func TestNumbersAreHeldToTheirLimits(t *testing.T) {
	low, high := quantity.Inches(2), quantity.Inches(24)
	for name, c := range map[string]struct {
		value known.Length
		want  string
	}{
		"inside":             {known.Say(quantity.Inches(6)), ""},
		"on the lower limit": {known.Say(quantity.Millimetres(50.8)), ""},
		"on the upper limit": {known.Say(quantity.Feet(2)), ""},
		"above":              {known.Length{Value: quantity.Feet(6), Origin: known.Said, Text: "6'"}, "thickness `6'`: cannot be. Type a value from 2 in to 24 in."},
		"below":              {known.Say(quantity.Inches(1)), "thickness `1 in`: cannot be. Type a value from 2 in to 24 in."},
		"not a number":       {known.Say(quantity.Length(math.NaN())), "thickness `not a number`: cannot be. Type a value from 2 in to 24 in."},
		"missing":            {known.Length{}, "thickness: is not known. Type a value from 2 in to 24 in."},
	} {
		var l List
		Needed(&l, "thickness", c.value, low, high, quantity.AsThickness)
		if got := l.Faults.Error(); got != c.want {
			t.Errorf("%s: %q, not %q", name, got, c.want)
		}
	}
	var l List
	if Between(&l, "thickness", known.Length{}, low, high, quantity.AsThickness); l.Faults.Err() != nil {
		t.Error("a value that may be missing was asked for")
	}
}

func TestWordsAndAnswers(t *testing.T) {
	var l List
	l.Word("method", known.Say("chute"), "chute", "buggy")
	l.Answered("freezing", known.Say(false))
	if l.Faults.Err() != nil {
		t.Fatal(l.Faults)
	}
	l.Word("method", known.Say("crane"), "chute", "buggy")
	l.Answered("freezing", known.Truth{})
	if want := "method `crane`: is not a word known here. Type one of chute, buggy.\nfreezing: is not known. Answer yes or no."; l.Faults.Error() != want {
		t.Errorf("%q", l.Faults.Error())
	}
}
