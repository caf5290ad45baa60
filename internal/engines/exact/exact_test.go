package exact

import (
	"errors"
	"math"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"
)

type inner struct {
	Name string
	At   [2]float64
	kept int
}

type outer struct {
	Yes    bool
	Small  int8
	Big    uint64
	Number float64
	Text   string
	List   []inner
	Lists  [][]float64
	There  *inner
	When   time.Time
	inner
	Inside inner
}

func floats() *rapid.Generator[float64] {
	return rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{0, math.Copysign(0, -1), math.Inf(1), math.Inf(-1), math.SmallestNonzeroFloat64, 0.1}))
}

func inners() *rapid.Generator[inner] {
	return rapid.Custom(func(t *rapid.T) inner {
		return inner{Name: rapid.String().Draw(t, "name"), At: [2]float64{floats().Draw(t, "x"), floats().Draw(t, "y")}}
	})
}

func list[T any](t *rapid.T, of *rapid.Generator[T], name string) []T {
	if rapid.Bool().Draw(t, name+" absent") {
		return nil
	}
	return rapid.SliceOfN(of, 0, 4).Draw(t, name)
}

func outers(t *rapid.T) outer {
	o := outer{Yes: rapid.Bool().Draw(t, "yes"), Small: rapid.Int8().Draw(t, "small"), Big: rapid.Uint64().Draw(t, "big"), Number: floats().Draw(t, "number"),
		Text: rapid.String().Draw(t, "text"), List: list(t, inners(), "list"), Inside: inners().Draw(t, "inside")}
	o.Lists = list(t, rapid.Custom(func(t *rapid.T) []float64 { return list(t, floats(), "row") }), "lists")
	if rapid.Bool().Draw(t, "there") {
		one := inners().Draw(t, "one")
		o.There = &one
	}
	if rapid.Bool().Draw(t, "when") {
		denver, err := time.LoadLocation("America/Denver")
		if err != nil {
			t.Fatal(err)
		}
		o.When = time.Unix(rapid.Int64Range(-1e9, 4e9).Draw(t, "at"), rapid.Int64Range(0, 999_999_999).Draw(t, "ns")).In(denver)
	}
	return o
}

func TestWhatIsWrittenIsReadBackToTheBit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		before := outers(t)
		text, err := Write(before)
		if err != nil {
			t.Fatal(err)
		}
		var after outer
		if err := Read(text, &after); err != nil {
			t.Fatal(err)
		}
		again, err := Write(after)
		if err != nil || string(again) != string(text) {
			t.Fatalf("%+v\nread back as\n%+v: %v", before, after, err)
		}
		if math.Signbit(before.Number) != math.Signbit(after.Number) || (before.List == nil) != (after.List == nil) || !before.When.Equal(after.When) || before.When.String() != after.When.String() || !reflect.DeepEqual(before, after) {
			t.Fatalf("%+v\nread back as\n%+v", before, after)
		}
	})
}

func TestBytesOfAnotherTypeOrCutShortAreRefused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, err := Write(outers(t))
		if err != nil {
			t.Fatal(err)
		}
		var other inner
		if err := Read(text, &other); !errors.Is(err, ErrShape) {
			t.Fatalf("another type was read: %v", err)
		}
		var same outer
		if err := Read(text[:rapid.IntRange(0, len(text)-1).Draw(t, "cut")], &same); !errors.Is(err, ErrShape) {
			t.Fatalf("cut short and read: %v", err)
		}
		if err := Read(append(text, 0), &same); !errors.Is(err, ErrShape) {
			t.Fatalf("went on after its end: %v", err)
		}
	})
}

func TestWhatCannotBeWrittenIsAnError(t *testing.T) {
	for _, value := range []any{struct{ F func() }{}, struct{ V any }{}, struct{ M map[string]int }{}} {
		if _, err := Write(value); err == nil {
			t.Errorf("%T was written", value)
		}
	}
}

func FuzzReadNeverPanics(f *testing.F) {
	text, err := Write(outer{List: []inner{{Name: "a"}}, There: &inner{}})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Fuzz(func(_ *testing.T, text []byte) {
		var o outer
		_ = Read(text, &o)
	})
}
