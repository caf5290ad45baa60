package fields

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// anyShape is a document whose sections are a, b and site; everything else is a value.
func anyShape(p Pointer) (bool, error) {
	for i, part := range p {
		if strings.HasPrefix(part, "no") {
			return false, fmt.Errorf("no field %s", part)
		}
		if i == len(p)-1 {
			return slices.Contains([]string{"a", "b", "site"}, part), nil
		}
	}
	return true, nil
}

func parsed(t interface{ Fatal(...any) }, text string) Value {
	v, err := Parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func state(t *testing.T, text string) *State {
	t.Helper()
	return &State{Doc: parsed(t, text), Shape: anyShape, Base: 1}
}

// step is one change in a table.
type step struct {
	device string
	seen   int64
	sets   string
}

func apply(t *testing.T, s *State, revision int64, c step) Outcome {
	t.Helper()
	var sets []Set
	if err := json.Unmarshal([]byte(c.sets), &sets); err != nil {
		t.Fatal(err)
	}
	out, err := s.Apply(sets, Author{Device: c.device, Seen: c.seen}, revision)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestChangesMergeByField(t *testing.T) {
	for _, c := range []struct {
		name, doc string
		steps     []step
		want      string
		differs   []string // pointer here theirs
	}{
		{"a field set on what was seen", `{"thick":"5 in"}`, []step{{"d1", 0, `[{"pointer":"/thick","value":"6 in","was":"5 in"}]`}}, `{"thick":"6 in"}`, nil},
		{"two fields by two people", `{"thick":"5 in","use":"boat"}`, []step{{"d1", 1, `[{"pointer":"/thick","value":"6 in"}]`}, {"d2", 1, `[{"pointer":"/use","value":"van"}]`}},
			`{"thick":"6 in","use":"van"}`, nil},
		{"one field by two people: what stands stays", `{"thick":"5 in"}`, []step{{"d1", 1, `[{"pointer":"/thick","value":"6 in"}]`}, {"d2", 1, `[{"pointer":"/thick","value":"4 in"}]`}},
			`{"thick":"6 in"}`, []string{`/thick "6 in" "4 in"`}},
		{"both say the same", `{"thick":"5 in"}`, []step{{"d1", 1, `[{"pointer":"/thick","value":"6 in"}]`}, {"d2", 1, `[{"pointer":"/thick","value":"6 in"}]`}}, `{"thick":"6 in"}`, nil},
		{"the second had seen the first", `{"thick":"5 in"}`, []step{{"d1", 1, `[{"pointer":"/thick","value":"6 in"}]`}, {"d2", 2, `[{"pointer":"/thick","value":"4 in"}]`}}, `{"thick":"4 in"}`, nil},
		{"seen by value where no revision is said", `{"thick":"5 in"}`, []step{{"d1", 0, `[{"pointer":"/thick","value":"6 in","was":"5 in"}]`}, {"d2", 0, `[{"pointer":"/thick","value":"4 in","was":"6 in"}]`}}, `{"thick":"4 in"}`, nil},
		{"a device goes on from its own word", `{"thick":"5 in"}`, []step{{"d1", 1, `[{"pointer":"/thick","value":"6 in"}]`}, {"d2", 1, `[{"pointer":"/thick","value":"4 in"}]`}, {"d2", 1, `[{"pointer":"/thick","value":"4 1/2 in","was":"4 in"}]`}},
			`{"thick":"6 in"}`, []string{`/thick "6 in" "4 1/2 in"`}},
		{"whoever has seen both settles it", `{"thick":"5 in"}`, []step{{"d1", 1, `[{"pointer":"/thick","value":"6 in"}]`}, {"d2", 1, `[{"pointer":"/thick","value":"4 in"}]`}, {"d1", 3, `[{"pointer":"/thick","value":"5 1/2 in"}]`}},
			`{"thick":"5 1/2 in"}`, nil},
		{"taken out and changed", `{"a":{"x":1,"y":2}}`, []step{{"d1", 1, `[{"pointer":"/a/x","value":null,"was":1}]`}, {"d2", 1, `[{"pointer":"/a/x","value":3,"was":1}]`}}, `{"a":{"y":2}}`, []string{`/a/x null 3`}},
		{"an empty section goes", `{"a":{"x":1}}`, []step{{"d1", 1, `[{"pointer":"/a/x","value":null,"was":1}]`}}, `null`, nil},
		{"a section is parted into its fields", `{"a":{"x":1,"y":2}}`, []step{{"d1", 1, `[{"pointer":"/a/x","value":9}]`}, {"d2", 1, `[{"pointer":"/a","value":{"x":1,"y":3},"was":{"x":1,"y":2}}]`}},
			`{"a":{"x":9,"y":3}}`, []string{`/a/x 9 1`}},
		{"two people add to a list", `{"l":[1]}`, []step{{"d1", 1, `[{"pointer":"/l/-","value":2}]`}, {"d2", 1, `[{"pointer":"/l/-","value":3}]`}}, `{"l":[1,2,3]}`, nil},
		{"an entry is found by what it was", `{"l":["p","q","r"]}`, []step{{"d1", 1, `[{"pointer":"/l/0","value":null,"was":"p"}]`}, {"d2", 1, `[{"pointer":"/l/2","value":"R","was":"r"}]`}}, `{"l":["q","R"]}`, nil},
		{"one entry by two people", `{"l":["p"]}`, []step{{"d1", 1, `[{"pointer":"/l/0","value":"one","was":"p"}]`}, {"d2", 1, `[{"pointer":"/l/0","value":"two","was":"p"}]`}}, `{"l":["one"]}`, []string{`/l "one" "two"`}},
		{"an entry taken away and changed", `{"l":["p"]}`, []step{{"d1", 1, `[{"pointer":"/l/0","value":null,"was":"p"}]`}, {"d2", 1, `[{"pointer":"/l/0","value":"two","was":"p"}]`}}, `null`, []string{`/l null "two"`}},
		{"an entry put in its place", `{"l":["p","r"]}`, []step{{"d1", 1, `[{"pointer":"/l/1","value":"q"}]`}}, `{"l":["p","q","r"]}`, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := state(t, c.doc)
			for i, one := range c.steps {
				apply(t, s, int64(i+2), one)
			}
			if got := string(Bytes(s.Doc)); got != c.want {
				t.Errorf("document %s, want %s", got, c.want)
			}
			var differs []string
			for _, d := range s.Differences() {
				differs = append(differs, fmt.Sprintf("%s %s %s", d.Pointer, Bytes(d.Here), Bytes(d.Theirs)))
			}
			if !slices.Equal(differs, c.differs) {
				t.Errorf("differences %q, want %q", differs, c.differs)
			}
		})
	}
}

func TestPointersThatNoSetCanHave(t *testing.T) {
	for pointer, why := range map[string]string{
		"": "whole job", "thick": "begins with a slash", "/nowhere": "no field", "/l/0/x": "an entry is one value", "/site/corners/1": "a shape is one value", "/thick/x": "written in one piece", "/a/0": "no list here", "/0": "a job is no list",
	} {
		s := state(t, `{"a":{"x":1},"thick":"5 in","l":[{"x":1}],"site":{"corners":[[0,0],[1,1]]}}`)
		before := string(Bytes(s.Doc))
		_, err := s.Apply([]Set{{Pointer: pointer, Value: "x"}}, Author{Device: "d"}, 2)
		if err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("%q: %v", pointer, err)
		}
		if string(Bytes(s.Doc)) != before {
			t.Errorf("%q changed the document", pointer)
		}
	}
}

func TestSettlingKeepsWhatAPersonPicks(t *testing.T) {
	for _, c := range []struct {
		keep     Keep
		doc      string
		set      string
		want     string
		refused  bool
		original string
	}{
		{Here, "", "/thick", `{"thick":"6 in"}`, false, `"5 in"`},
		{Theirs, "", "/thick", `{"thick":"4 in"}`, false, `"5 in"`},
		{Both, "", "/thick", `{"thick":"6 in"}`, true, `"5 in"`},
		{Theirs, `{"l":["p"]}`, "/l/0", `{"l":["4 in"]}`, false, `"p"`},
		{Both, `{"l":["p"]}`, "/l/0", `{"l":["6 in","4 in"]}`, false, `"p"`},
	} {
		if c.doc == "" {
			c.doc = `{"thick":"5 in"}`
		}
		s := state(t, c.doc)
		for i, value := range []string{"6 in", "4 in"} {
			apply(t, s, int64(i+2), step{fmt.Sprint(i), 1, fmt.Sprintf(`[{"pointer":%q,"value":%q,"was":%s}]`, c.set, value, c.original)})
		}
		_, _, err := s.Settle(s.Differences()[0].Number(), c.keep)
		if (err != nil) != c.refused {
			t.Errorf("keep %s: %v", c.keep, err)
		}
		if got := string(Bytes(s.Doc)); got != c.want {
			t.Errorf("keep %s left %s, want %s", c.keep, got, c.want)
		}
		if open := len(s.Differences()); !c.refused && open != 0 {
			t.Errorf("keep %s left %d differences", c.keep, open)
		}
		if _, _, err := s.Settle(99, Here); err != ErrSettled {
			t.Errorf("an unknown difference: %v", err)
		}
	}
}

// words is what anybody has last said on a field: the value that stands and those that differ from it.
func words(s *State) map[string][]string {
	out := map[string][]string{}
	for key, heads := range s.Heads {
		for _, h := range heads {
			if text := string(Bytes(h.Value)); !slices.Contains(out[key], text) {
				out[key] = append(out[key], text)
			}
		}
		slices.Sort(out[key])
	}
	return out
}

// Two devices change fields and entries without hearing of each other; the office gets their changes in any order that keeps
// each device's own. The same words must be open in the end, the last word of each device among them, and adding to a list
// must lose nothing.
func TestAnyOrderOfArrivalLeavesTheSameWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		doc := parsed(t, `{"thick":"0","a":{"x":"0","y":"0"},"l":["e0","e1","e2"]}`)
		byDevice := [2][]Set{}
		last := map[string]string{}
		added := 0
		for d := range byDevice {
			own := &State{Doc: doc, Shape: anyShape, Base: 1}
			for i := range rapid.IntRange(1, 6).Draw(t, "changes") {
				set := drawn(t, own, fmt.Sprintf("%d.%d", d, i))
				if strings.HasSuffix(set.Pointer, "/-") {
					added++
				}
				byDevice[d] = append(byDevice[d], set)
				if _, err := own.Apply([]Set{set}, Author{Device: fmt.Sprint(d)}, int64(i+2)); err != nil {
					t.Fatal(err)
				}
				if !strings.HasPrefix(set.Pointer, "/l") {
					last[fmt.Sprint(d)+set.Pointer] = string(Bytes(set.Value))
				}
			}
		}
		withSeen := rapid.Bool().Draw(t, "seen")
		var first map[string][]string
		for range 3 {
			merged := merge(t, doc, byDevice, withSeen)
			got := words(merged)
			if first == nil {
				first = got
			}
			if !maps.EqualFunc(first, got, slices.Equal) {
				t.Fatalf("one order leaves %v, another %v", first, got)
			}
			for key, value := range last {
				if !slices.Contains(got[key[1:]], value) {
					t.Fatalf("device %s said %s for %s; open are %v", key[:1], value, key[1:], got[key[1:]])
				}
			}
			list, _ := Get(merged.Doc, Pointer{"l"}).([]any)
			if left := slices.DeleteFunc(slices.Clone(list), func(v any) bool { return !strings.HasPrefix(v.(string), "new") }); len(left) != added {
				t.Fatalf("%d entries were added, %d are there: %v", added, len(left), list)
			}
			for key, heads := range merged.Heads {
				standing := 0
				for _, h := range heads {
					if h.Stands {
						standing++
					}
				}
				if standing != 1 {
					t.Fatalf("%d words stand on %s", standing, key)
				}
			}
		}
	})
}

// drawn is a change somebody could make on what they see.
func drawn(t *rapid.T, own *State, mark string) Set {
	switch kind := rapid.SampledFrom([]string{"/thick", "/a/x", "/a/y", "add", "entry", "drop"}).Draw(t, "what"); kind {
	case "add":
		return Set{Pointer: "/l/-", Value: "new" + mark}
	case "entry", "drop":
		list, _ := Get(own.Doc, Pointer{"l"}).([]any)
		i := rapid.IntRange(0, 2).Draw(t, "which")
		if i >= len(list) || strings.HasPrefix(list[i].(string), "new") {
			return Set{Pointer: "/l/-", Value: "new" + mark}
		}
		set := Set{Pointer: fmt.Sprintf("/l/%d", i), Value: "changed" + mark, Was: list[i]}
		if kind == "drop" {
			set.Value = nil
		}
		return set
	default:
		p, _ := ParsePointer(kind)
		// both devices may say the same word
		return Set{Pointer: kind, Value: rapid.SampledFrom([]string{"1", "2", mark}).Draw(t, "value"), Was: Get(own.Doc, p)}
	}
}

// merge delivers the changes of two devices in an order that is drawn.
func merge(t *rapid.T, doc Value, byDevice [2][]Set, withSeen bool) *State {
	s := &State{Doc: doc, Shape: anyShape, Base: 1}
	next := [2]int{}
	for revision := int64(2); next[0] < len(byDevice[0]) || next[1] < len(byDevice[1]); revision++ {
		d := rapid.IntRange(0, 1).Draw(t, "next")
		if next[d] == len(byDevice[d]) {
			d = 1 - d
		}
		by := Author{Device: fmt.Sprint(d)}
		if withSeen {
			by.Seen = 1
		}
		if _, err := s.Apply([]Set{byDevice[d][next[d]]}, by, revision); err != nil {
			t.Fatal(err)
		}
		next[d]++
	}
	return s
}

func TestADocumentReadsBackToTheSameBytes(t *testing.T) {
	text := `{"a":{"x":12.60,"y":-0.0},"l":[[0,0,"A"],{"k":"34' 0 1/8\""}],"thick":"12-7 3/8","z":"<&> ü ½"}`
	v := parsed(t, text)
	if got := string(Bytes(v)); got != text {
		t.Errorf("%s became %s", text, got)
	}
	for _, bad := range []string{"", "{", `{"a":1} {"b":2}`, strings.Repeat("[", 60) + strings.Repeat("]", 60), "nonsense"} {
		if _, err := Parse([]byte(bad)); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
}

func FuzzApply(f *testing.F) {
	f.Add(`{"thick":"5 in","l":["p",{"x":1}],"a":{"x":1}}`, `[{"pointer":"/a","value":{"x":2},"was":{"x":1}},{"pointer":"/l/0","value":null,"was":"p"}]`, "d", int64(1))
	f.Add(`{}`, `[{"pointer":"/l/-","value":[]}]`, "", int64(0))
	f.Add(`{"l":{"0":1}}`, `[{"pointer":"/l/0","value":2,"was":1}]`, "d", int64(-1))
	f.Fuzz(func(t *testing.T, doc, sets, device string, seen int64) {
		v, err := Parse([]byte(doc))
		if err != nil {
			return
		}
		var all []Set
		if json.Unmarshal([]byte(sets), &all) != nil {
			return
		}
		s := &State{Doc: v, Shape: anyShape, Base: 1}
		before := string(Bytes(v))
		for revision := range int64(3) {
			if _, err := s.Apply(all, Author{Device: device, Seen: seen}, revision+2); err != nil {
				break
			}
			for _, d := range s.Differences() {
				if Equal(d.Here, d.Theirs) {
					t.Fatalf("a difference between equal values: %s", Bytes(d.Here))
				}
			}
		}
		if again := string(Bytes(v)); again != before {
			t.Fatalf("the document before was changed in place: %s, was %s", again, before)
		}
		if _, err := Parse(Bytes(s.Doc)); err != nil {
			t.Fatalf("%s does not read back: %v", Bytes(s.Doc), err)
		}
	})
}
