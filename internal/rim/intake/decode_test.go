package intake

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

type soil string

func (soil) Choices() []string { return []string{"clay", "sand and gravel"} }

type spot struct {
	X    known.Length `yaml:"x" unit:"ft|m"`
	Y    known.Length `yaml:"y" unit:"ft|m"`
	Name string       `yaml:"name"`
}

type lot struct {
	Units  quantity.System   `yaml:"units"`
	Length known.Length      `yaml:"length" unit:"ft|m" usual:"1..400|0.3..120"`
	Thick  known.Length      `yaml:"thickness" unit:"in|mm" usual:"2..24|50..600" show:"thickness"`
	Soil   known.Known[soil] `yaml:"soil"`
	Frost  known.Truth       `yaml:"freezing"`
	Bars   known.Text        `yaml:"bars"`
	Spots  []spot            `yaml:"spots"`
	When   time.Time         `yaml:"when"`
	Share  float64           `yaml:"share"`
	Prices map[string]string `yaml:"prices"`
}

func decode(t *testing.T, text string) (lot, []Note, Faults) {
	t.Helper()
	var l lot
	notes, err := Decode("pad.yaml", []byte(text), &l, Reading{})
	var faults Faults
	if err != nil && !errors.As(err, &faults) {
		t.Fatalf("not faults: %v", err)
	}
	return l, notes, faults
}

func TestAFileIsReadAsPeopleType(t *testing.T) {
	l, notes, faults := decode(t, `
units: us
length: 12 7 3/8
thickness: {value: 6 in, origin: measured, reason: four pins}
soil: Sand  and gravel
freezing: yes
spots:
  - [0, 14' 6", A]
  - {x: 3, y: 2.5 m}
when: 2027-06-17 07:00-05:00
share: 0.25
prices: {stone: "38", yard: 165}
bars: "#4 @ 18 ew"
`)
	if faults != nil {
		t.Fatal(faults)
	}
	if got := l.Length.Value.Inches(); got < 151.374999 || got > 151.375001 || l.Length.Origin != known.Said || l.Length.Text != "12 7 3/8" {
		t.Errorf("length %+v", l.Length)
	}
	if l.Thick.Origin != known.Measured || l.Thick.Reason != "four pins" || math.Abs(l.Thick.Value.Inches()-6) > 1e-9 {
		t.Errorf("thickness %+v", l.Thick)
	}
	if l.Soil.Value != "sand and gravel" || !l.Frost.Value || l.Prices["yard"] != "165" || l.Bars.Value != "#4 @ 18 ew" {
		t.Errorf("words %+v %+v %+v", l.Soil, l.Frost, l.Prices)
	}
	if len(l.Spots) != 2 || l.Spots[0].Name != "A" || l.Spots[0].Y.Value.Inches() != 174 || l.Spots[1].X.Value.Inches() != 36 {
		t.Errorf("spots %+v", l.Spots)
	}
	if l.When.UTC().Hour() != 12 || len(notes) != 0 {
		t.Errorf("when %v, notes %v", l.When, notes)
	}
}

func TestBareNumbersFollowTheSystem(t *testing.T) {
	l, _, faults := decode(t, "thickness: 150\nlength: 12\nunits: metric\n")
	if faults != nil || l.Thick.Value.Millimetres() != 150 || l.Length.Value.Metres() != 12 {
		t.Errorf("thickness %v, length %v, %v", l.Thick.Value, l.Length.Value, faults)
	}
}

// TestEveryFaultHasItsPlace holds the form of refusals: file:line:column, what was given, why not, what to type.
func TestEveryFaultHasItsPlace(t *testing.T) {
	for _, c := range []struct{ text, place, says string }{
		{"length: 40 ft\nthickness: 12 1/3", "pad.yaml:2:12", "a tape has halves"},
		{"lenght: 40 ft", "pad.yaml:1:1", "Did you mean `length`?"},
		{"length: -12", "pad.yaml:1:9", "longer than zero"},
		{"thickness: 6'", "pad.yaml:1:12", "sure: yes"},
		{"thickness: 6 psi", "pad.yaml:1:12", "6 psi"},
		{"soil: gumbo", "pad.yaml:1:7", "clay, sand and gravel"},
		{"bars: #4 @ 18 ew", "pad.yaml:1:", `"#4 @ 18 ew"`},
		{"spots:\n  - [1, 2, A, 4]", "pad.yaml:2:", "at most 3"},
		{"spots: 3", "pad.yaml:1:8", "is a list"},
		{"length: [1, 2]", "pad.yaml:1:", "one value here"},
		{"length: &a 3\nthickness: *a", "pad.yaml:1:", "Write the value out"},
		{"when: tuesday", "pad.yaml:1:7", "2027-06-17T07:00-05:00"},
		{"share: much", "pad.yaml:1:8", "not a number"},
		{"share: .inf", "pad.yaml:1:8", "not a number"},
		{"length: {value: 3 ft, sur: yes}", "pad.yaml:1:", "is not part of a value"},
		{"", "pad.yaml:1:1", "says nothing"},
		{"length: 1\n---\nlength: 2", "pad.yaml:3:", "second document"},
		{"length: \"3", "pad.yaml:1:", "YAML"},
		{"units: furlongs", "pad.yaml:1:8", "furlongs"},
	} {
		_, _, faults := decode(t, c.text)
		if len(faults) == 0 {
			t.Errorf("%q: read without complaint", c.text)
			continue
		}
		if got := faults.Error(); !strings.Contains(got, c.place) || !strings.Contains(got, c.says) {
			t.Errorf("%q: %s\n  wants %s … %s", c.text, got, c.place, c.says)
		}
	}
}

func TestAllFaultsComeInOneLook(t *testing.T) {
	_, _, faults := decode(t, "length: -1\nthickness: 0\nsoil: mud\nwidth: 3\n")
	if len(faults) != 4 {
		t.Errorf("%d faults: %v", len(faults), faults)
	}
}

func FuzzDecode(f *testing.F) {
	f.Add("length: 40 ft\nspots: [[1, 2], {x: 3}]\n")
	f.Add("thickness: {value: 6 in, sure: yes}\nbars: #4\n")
	f.Add("a: &x {b: *x}\n")
	f.Fuzz(func(t *testing.T, text string) {
		var l lot
		if _, err := Decode("pad.yaml", []byte(text), &l, Reading{}); err != nil && err.Error() == "" {
			t.Error("a refusal without words")
		}
	})
}
