package fields

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// Set is one field given a new value. Was is what the person saw in its place; nil means absent, for both.
type Set struct {
	Pointer string `json:"pointer"`
	Value   Value  `json:"value"`
	Was     Value  `json:"was,omitempty"`
}

// UnmarshalJSON reads a set with its values as Parse does.
func (s *Set) UnmarshalJSON(text []byte) error {
	var raw struct {
		Pointer *string         `json:"pointer"`
		Value   json.RawMessage `json:"value"`
		Was     json.RawMessage `json:"was"`
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&raw); err != nil {
		return err
	}
	if raw.Pointer == nil {
		return errors.New("a set has no pointer")
	}
	s.Pointer, s.Value, s.Was = *raw.Pointer, nil, nil
	for _, part := range []struct {
		from json.RawMessage
		into *Value
	}{{raw.Value, &s.Value}, {raw.Was, &s.Was}} {
		if len(part.from) == 0 {
			continue
		}
		v, err := Parse(part.from)
		if err != nil {
			return fmt.Errorf("%s %w", s.Pointer, err)
		}
		*part.into = v
	}
	return nil
}

// Author is who changes, on what, and up to which revision of the job it was seen there. Seen 0: not said.
type Author struct {
	Device string
	Seen   int64
}

// Head is the last word of one device on one field that no later word has replaced. The one that Stands is in the document;
// another with a different value is a difference between two people.
type Head struct {
	Key      string // the field, or the entry of a list, it is about
	Pointer  string // the field or the list
	Device   string
	Value    Value
	Origin   Value // of an entry of a list: the entry as it was before anybody changed it
	Revision int64 // of the job, when the word came
	Order    int   // among the sets of its change
	Stands   bool
}

// State is a job's document with the open words on its fields.
type State struct {
	Doc   Value
	Shape Shape
	Base  int64 // the revision at which the document was put down whole
	Heads map[string][]Head
}

// Outcome is what became of the sets of one change.
type Outcome struct {
	Applied []string // pointers whose value now stands
	Differs []string // pointers where another value stands
	Sets    []Set    // as they were weighed: sections parted into fields, Was what stood there
	Changed []string // keys of Heads that changed
}

// Apply lays a change over the state, set by set, and says what became of each. A set takes the place of the words its author
// had seen; beside a word the author had not seen, the value that stands stays and the new one is kept as a difference.
// revision is the job's, once the change is in. The same changes leave the same open words whatever the order in which
// devices deliver them.
func (s *State) Apply(sets []Set, by Author, revision int64) (Outcome, error) {
	var out Outcome
	order := 0
	for _, set := range sets {
		p, err := ParsePointer(set.Pointer)
		if err != nil {
			return out, &PointerError{set.Pointer, err.Error()}
		}
		parts, err := s.Shape.parted(p, set)
		if err != nil {
			return out, err
		}
		for _, one := range parts {
			u, err := s.unitOf(one)
			if err != nil {
				return out, err
			}
			s.say(u, by, revision, order, &out)
			order++
		}
	}
	return out, nil
}

// PointerError is a pointer that no set can have.
type PointerError struct{ Pointer, Why string }

// Error says which and why.
func (e *PointerError) Error() string { return e.Pointer + ": " + e.Why }

// place is a set with its pointer read.
type place struct {
	at  Pointer
	set Set
}

// parted parts a set of a whole section into sets of its fields; an entry of a list is one value.
func (shape Shape) parted(p Pointer, set Set) ([]place, error) {
	if entry(p) {
		return []place{{p, set}}, nil
	}
	value, was := map[string]Value{}, map[string]Value{}
	if err := shape.leaves(set.Value, p, value); err != nil {
		return nil, err
	}
	if err := shape.leaves(set.Was, p, was); err != nil {
		return nil, err
	}
	keys := maps.Clone(value)
	maps.Copy(keys, was)
	if len(keys) <= 1 {
		if _, same := keys[set.Pointer]; same || len(keys) == 0 {
			return []place{{p, set}}, nil
		}
	}
	var out []place
	for _, key := range slices.Sorted(maps.Keys(keys)) {
		at, _ := ParsePointer(key)
		out = append(out, place{at, Set{key, value[key], was[key]}})
	}
	return out, nil
}

// entry says whether a pointer ends in a list: a number or the dash after the last entry.
func entry(p Pointer) bool {
	if len(p) == 0 {
		return false
	}
	last := p[len(p)-1]
	_, err := strconv.ParseUint(last, 10, 31)
	return last == "-" || err == nil
}

// wholeLists are lists whose order is a shape: they are one value.
var wholeLists = []string{"/site/corners"}

// unit is what one set is about: a field, or an entry of a list found by what it was.
type unit struct {
	place
	key   string
	list  Pointer // of an entry
	index int     // where the entry was seen; -1: after the last
}

// unitOf finds the field or the entry a set is about.
func (s *State) unitOf(one place) (unit, error) {
	p := one.at
	if len(p) == 0 {
		return unit{}, &PointerError{one.set.Pointer, "names the whole job; name a field, or put the job down whole"}
	}
	for i := range p[:len(p)-1] {
		if entry(p[:i+1]) {
			return unit{}, &PointerError{one.set.Pointer, "leads into an entry of a list; an entry is one value: set " + p[:i+1].String() + " with all of it"}
		}
	}
	if !through(s.Doc, p) && !entry(p) {
		return unit{}, &PointerError{one.set.Pointer, "leads into a value that is written in one piece here; set the whole of it"}
	}
	if !entry(p) {
		return unit{place: one, key: p.String()}, nil
	}
	list := p[:len(p)-1]
	if len(list) == 0 {
		return unit{}, &PointerError{one.set.Pointer, "a job is no list"}
	}
	if slices.Contains(wholeLists, list.String()) {
		return unit{}, &PointerError{one.set.Pointer, "is a part of a shape; a shape is one value: set " + list.String() + " with all of it"}
	}
	if _, is := Get(s.Doc, list).([]any); !through(s.Doc, list) || !is && Get(s.Doc, list) != nil {
		return unit{}, &PointerError{one.set.Pointer, list.String() + " is no list here"}
	}
	u := unit{place: one, list: list, index: -1}
	if last := p[len(p)-1]; last != "-" {
		u.index, _ = strconv.Atoi(last)
	}
	return u, nil
}

// say takes one word in.
func (s *State) say(u unit, by Author, revision int64, order int, out *Outcome) {
	if s.Heads == nil {
		s.Heads = map[string][]Head{}
	}
	if u.list != nil {
		s.sayEntry(u, by, revision, order, out)
		return
	}
	current := Get(s.Doc, u.at)
	out.Sets = append(out.Sets, Set{u.set.Pointer, u.set.Value, current})
	stands := s.weigh(u, by, Head{Key: u.key, Pointer: u.key, Device: by.Device, Value: u.set.Value, Revision: revision, Order: order}, current)
	if stands {
		s.Doc = Put(s.Doc, u.at, u.set.Value)
	}
	out.tell(u.set.Pointer, u.key, stands || Equal(current, u.set.Value))
}

func (o *Outcome) tell(pointer, key string, applied bool) {
	if applied {
		o.Applied = append(o.Applied, pointer)
	} else {
		o.Differs = append(o.Differs, pointer)
	}
	if !slices.Contains(o.Changed, key) {
		o.Changed = append(o.Changed, key)
	}
}

// weigh replaces the words the author had seen by the new one and says whether it takes the standing place.
func (s *State) weigh(u unit, by Author, word Head, current Value) (stands bool) {
	heads := s.Heads[word.Key]
	if len(heads) == 0 { // nobody has changed it since the document was put down: the document's own word
		heads = []Head{{Key: word.Key, Pointer: word.Pointer, Value: current, Origin: word.Origin, Revision: s.Base, Stands: true}}
	}
	own := slices.ContainsFunc(heads, func(h Head) bool { return h.Device == by.Device })
	left := slices.DeleteFunc(slices.Clone(heads), func(h Head) bool {
		seen := h.Device == by.Device ||
			by.Seen > 0 && h.Revision <= by.Seen ||
			by.Seen == 0 && !own && Equal(h.Value, u.set.Was)
		stands = stands || seen && h.Stands
		return seen
	})
	word.Stands = stands
	s.Heads[word.Key] = append(left, word)
	return stands
}

// sayEntry takes in a word on an entry of a list: added, changed or taken away.
func (s *State) sayEntry(u unit, by Author, revision int64, order int, out *Outcome) {
	list, _ := Get(s.Doc, u.list).([]any)
	if u.set.Was == nil { // a new entry: nobody can have meant another by it
		out.Sets = append(out.Sets, Set{u.set.Pointer, u.set.Value, nil})
		at := len(list)
		if u.index >= 0 {
			at = min(u.index, at)
		}
		if u.set.Value != nil {
			s.Doc = Put(s.Doc, u.list, slices.Insert(slices.Clone(list), at, u.set.Value))
		}
		out.Applied = append(out.Applied, u.set.Pointer)
		return
	}
	key, origin := s.lineage(u, by)
	current := origin
	for _, h := range s.Heads[key] {
		if h.Stands {
			current = h.Value
		}
	}
	at := find(list, current, u.index)
	if at < 0 {
		current = nil
	}
	out.Sets = append(out.Sets, Set{u.set.Pointer, u.set.Value, current})
	word := Head{Key: key, Pointer: u.list.String(), Device: by.Device, Value: u.set.Value, Origin: origin, Revision: revision, Order: order}
	stands := s.weigh(u, by, word, current)
	if stands {
		s.Doc = Put(s.Doc, u.list, replaced(list, at, u.set.Value))
	}
	out.tell(u.set.Pointer, key, stands || Equal(current, u.set.Value))
}

// lineage finds the entry that a word is about by what it was: the author's own last word on it, the one that stands, or
// what it was before others changed it.
func (s *State) lineage(u unit, by Author) (key string, origin Value) {
	pointer := u.list.String()
	for _, meant := range []func(Head) bool{
		func(h Head) bool { return h.Device == by.Device && Equal(h.Value, u.set.Was) },
		func(h Head) bool { return h.Stands && Equal(h.Value, u.set.Was) },
		func(h Head) bool { return Equal(h.Origin, u.set.Was) },
	} {
		for _, k := range slices.Sorted(maps.Keys(s.Heads)) {
			for _, h := range s.Heads[k] {
				if h.Pointer == pointer && h.Origin != nil && meant(h) {
					return k, h.Origin
				}
			}
		}
	}
	sum := sha256.Sum256(Bytes(u.set.Was))
	return pointer + "#" + hex.EncodeToString(sum[:8]), u.set.Was
}

// find is the place of an entry in a list: where it was seen, or else the first like it; -1 when there is none.
func find(list []any, entry Value, seen int) int {
	if entry == nil {
		return -1
	}
	if seen >= 0 && seen < len(list) && Equal(list[seen], entry) {
		return seen
	}
	return slices.IndexFunc(list, func(v any) bool { return Equal(v, entry) })
}

// replaced is the list with another entry in a place; nil takes the entry away, and an empty list is none. An entry that had
// gone from the list comes back at its end.
func replaced(list []any, at int, value Value) Value {
	out := slices.Clone(list)
	switch {
	case at < 0 && value == nil:
	case at < 0:
		out = append(out, value)
	case value == nil:
		out = slices.Delete(out, at, at+1)
	default:
		out[at] = value
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

// Difference is a word that does not stand beside the one that does.
type Difference struct {
	Pointer string `json:"pointer"`
	Here    Value  `json:"here"`
	Theirs  Value  `json:"theirs"`
	Head    Head   `json:"-"`
	Stands  Head   `json:"-"`
}

// Differences lists what two people said differently, oldest first.
func (s *State) Differences() []Difference {
	var out []Difference
	for _, heads := range s.Heads {
		i := slices.IndexFunc(heads, func(h Head) bool { return h.Stands })
		for _, h := range heads {
			if h.Stands || i >= 0 && Equal(h.Value, heads[i].Value) {
				continue
			}
			d := Difference{Pointer: h.Pointer, Theirs: h.Value, Head: h}
			if i >= 0 {
				d.Here, d.Stands = heads[i].Value, heads[i]
			}
			out = append(out, d)
		}
	}
	slices.SortFunc(out, func(a, b Difference) int {
		if a.Head.Revision != b.Head.Revision {
			return int(a.Head.Revision - b.Head.Revision)
		}
		return a.Head.Order - b.Head.Order
	})
	return out
}

// Number names a difference: later words on the same field have other numbers.
func (d Difference) Number() int64 { return d.Head.Revision*perRevision + int64(d.Head.Order) }

// perRevision is the most sets one change may have, sections parted into their fields.
const perRevision = 10000

// Keep says which of two values a person keeps.
type Keep string

// What can be kept of a difference. Both is for entries of lists only.
const (
	Here   Keep = "here"
	Theirs Keep = "theirs"
	Both   Keep = "both"
)

// Settle closes a difference and says which sets that was, for the record.
func (s *State) Settle(number int64, keep Keep) ([]Set, string, error) {
	for _, d := range s.Differences() {
		if d.Number() != number {
			continue
		}
		sets, err := s.settled(d, keep)
		if err != nil {
			return nil, "", err
		}
		s.Heads[d.Head.Key] = slices.DeleteFunc(slices.Clone(s.Heads[d.Head.Key]), func(h Head) bool { return h.Device == d.Head.Device })
		return sets, d.Head.Key, nil
	}
	return nil, "", ErrSettled
}

// ErrSettled is returned for a difference that is not there any more.
var ErrSettled = fmt.Errorf("that difference is settled already")

// OneValueError is returned when both values of a field that holds one are to be kept.
type OneValueError struct{ Pointer string }

// Error says which field.
func (e *OneValueError) Error() string { return e.Pointer + " is one value" }

func (s *State) settled(d Difference, keep Keep) ([]Set, error) {
	p, _ := ParsePointer(d.Pointer)
	isEntry := strings.Contains(d.Head.Key, "#")
	set := Set{Pointer: d.Pointer, Value: d.Theirs, Was: d.Here}
	switch {
	case keep == Here:
		return nil, nil
	case keep == Both && !isEntry:
		return nil, &OneValueError{d.Pointer}
	case keep != Both && keep != Theirs:
		return nil, fmt.Errorf("%q is not here, theirs or both", keep)
	}
	if !isEntry {
		s.Doc = Put(s.Doc, p, d.Theirs)
	} else {
		list, _ := Get(s.Doc, p).([]any)
		at := find(list, d.Here, -1)
		set.Pointer += "/-"
		if at >= 0 {
			set.Pointer = d.Pointer + "/" + strconv.Itoa(at)
		}
		if keep == Both {
			at, set.Was, set.Pointer = -1, nil, d.Pointer+"/-"
		}
		s.Doc = Put(s.Doc, p, replaced(list, at, d.Theirs))
	}
	if keep == Theirs {
		for i, h := range s.Heads[d.Head.Key] {
			if h.Stands {
				s.Heads[d.Head.Key][i].Value = d.Theirs
			}
		}
	}
	return []Set{set}, nil
}
