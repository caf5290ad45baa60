package known

import (
	"encoding/json"
	"testing"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

type base struct {
	Thick Length `yaml:"thickness" show:"thickness" says:"stone under the slab"`
	Name  string `yaml:"name"`
}

type input struct {
	Base  base    `yaml:"base"`
	Waste Percent `yaml:"waste"`
	Shots []base  `yaml:"shots"`
}

func sample() input {
	return input{
		Base:  base{Thick: Assume(quantity.Inches(4), quantity.Inches(3), quantity.Inches(6), "usual", sources.CommonPractice)},
		Waste: Guess(quantity.Percent(0.07), "usual", sources.CommonPractice),
		Shots: []base{{Thick: Say(quantity.Inches(5))}},
	}
}

func TestEntriesNameEveryKnownValue(t *testing.T) {
	in := sample()
	entries := Entries(&in)
	want := []string{"base.thickness", "waste", "shots[1].thickness"}
	if len(entries) != len(want) {
		t.Fatalf("%d entries", len(entries))
	}
	for i, e := range entries {
		if e.Field != want[i] {
			t.Errorf("entry %d is %s", i, e.Field)
		}
	}
	if e := entries[0]; !e.Ranged || e.Says != "stone under the slab" || e.Value.String(quantity.US) != "4 in" {
		t.Errorf("base thickness came out as %+v", e)
	}
	if entries[1].Ranged {
		t.Error("a guess without a range claims one")
	}
}

func TestSetKeepsTheOrigin(t *testing.T) {
	in := sample()
	if !Set(&in, "base.thickness", 0.2) || in.Base.Thick.Value != 0.2 || in.Base.Thick.Origin != Assumed {
		t.Errorf("set left %+v", in.Base.Thick)
	}
	if Set(&in, "base.depth", 1) {
		t.Error("set a field that is not there")
	}
}

func TestMergeLaysWhatWasSaidOverTheGuesses(t *testing.T) {
	in := sample()
	Merge(&in, &input{Base: base{Name: "crushed stone"}, Waste: Say(quantity.Percent(0.1))})
	if in.Base.Thick.Origin != Assumed || in.Base.Name != "crushed stone" || in.Waste.Origin != Said || len(in.Shots) != 1 {
		t.Errorf("merged into %+v", in)
	}
}

func TestFeedNeverOverridesAPerson(t *testing.T) {
	said, guessed := Say(quantity.Inches(6)), Guess(quantity.Inches(4), "usual", sources.CommonPractice)
	Feed(&said, quantity.Inches(5), "slab.thickness")
	Feed(&guessed, quantity.Inches(5), "slab.thickness")
	if said.Value != quantity.Inches(6) || guessed.Value != quantity.Inches(5) || guessed.Origin != Computed {
		t.Errorf("said %+v, guessed %+v", said, guessed)
	}
}

func TestMissingIsNullAndNothingIsLost(t *testing.T) {
	out, err := json.Marshal(sample())
	if err != nil {
		t.Fatal(err)
	}
	want := `{"Base":{"Thick":{"value":0.1016,"unit":"m","origin":"assumed","low":0.07619999999999999,"high":0.15239999999999998,"reason":"usual","source":"common-practice"},"Name":""},` +
		`"Waste":{"value":0.07,"unit":"1","origin":"assumed","reason":"usual","source":"common-practice"},"Shots":[{"Thick":{"value":0.127,"unit":"m","origin":"said"},"Name":""}]}`
	if string(out) != want {
		t.Errorf("got  %s\nwant %s", out, want)
	}
	if none, _ := json.Marshal(Length{}); string(none) != "null" {
		t.Errorf("missing is %s", none)
	}
}
