package api

import (
	"context"
	"net/http"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/intake"
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/plan"
)

// A sieve is what whoever asks sees of a job. Everything that leaves this package about a job has gone through one.
type sieve struct {
	role store.Role // empty: all is seen
}

func sieveOf(ctx context.Context) sieve {
	v, _ := ViewerOf(ctx)
	return sieve{v.Role}
}

// whole says whether everything is seen.
func (s sieve) whole() bool { return s.role == "" || s.role.AtLeast(store.Office) }

// crewSees are the fields a crew is shown: who and where, when, and what it stamped itself.
var crewSees = []fields.Pointer{{"name"}, {"number"}, {"address"}, {"shop"}, {"phone"}, {"crew"}, {"foreman"}, {"practice"}, {"units"}, {"locale"}, {"time_zone"}, {"pour_date"},
	{"first_truck"}, {"pour", "team", "taps"}, {"record", "log"}, {"record", "photos"}}

// crewAdds are the lists a crew may add to.
var crewAdds = []fields.Pointer{{"pour", "team", "taps"}, {"record", "log"}, {"record", "photos"}}

// crewSheets are the sheets a crew is handed, by name without ending.
var crewSheets = []string{"crew-sheet", "what-changed", "stake-sheet", "before-the-pour", "pour-day", "ticket-form", "daily-log"}

// hides says whether a field is not for these eyes: to a foreman the price and every amount of money, to a crew all but its own.
func (s sieve) hides(p fields.Pointer) bool {
	if s.whole() || len(p) == 0 {
		return false
	}
	if s.role == store.Crew && !slices.ContainsFunc(crewSees, func(seen fields.Pointer) bool {
		n := min(len(p), len(seen))
		return slices.Equal(p[:n], seen[:n])
	}) {
		return true
	}
	if p[0] == "price" {
		return true
	}
	f, err := intake.FieldAt(p)
	return err == nil && f.Money()
}

// Sees says whether whoever asks sees a field, by its pointer: /price/materials/concrete.
func Sees(ctx context.Context, pointer string) bool {
	p, err := fields.ParsePointer(pointer)
	return err == nil && !sieveOf(ctx).hides(p)
}

// strip is what these eyes see of a value that stands at a pointer.
func (s sieve) strip(at fields.Pointer, v fields.Value) fields.Value {
	if s.whole() {
		return v
	}
	if s.hides(at) {
		return nil
	}
	switch v := v.(type) {
	case map[string]any:
		out := map[string]any{}
		for name, inner := range v {
			if seen := s.strip(within(at, name), inner); seen != nil {
				out[name] = seen
			}
		}
		if len(out) == 0 && len(v) > 0 && len(at) > 0 {
			return nil
		}
		return out
	case []any:
		out := make([]any, len(v))
		for i, inner := range v {
			out[i] = s.strip(within(at, strconv.Itoa(i)), inner) // a place that is hidden stays as an empty one: rows keep their columns
		}
		return out
	}
	return v
}

func within(at fields.Pointer, name string) fields.Pointer { return append(slices.Clip(at), name) }

// job is what these eyes see of a job.
func (s sieve) job(j store.Job) store.Job {
	j.Doc = s.strip(nil, j.Doc)
	return j
}

// history is what these eyes see of what happened to a job. The words of a change that touched something hidden may tell it, so they
// are replaced.
func (s sieve) history(all []store.Done) []store.Done {
	if s.whole() {
		return all
	}
	out := make([]store.Done, len(all))
	for i, d := range all {
		hidden := false
		sets := []fields.Set{}
		for _, set := range d.Sets {
			p, err := fields.ParsePointer(set.Pointer)
			if err != nil || s.hides(p) {
				hidden = true
				continue
			}
			seen := fields.Set{Pointer: set.Pointer, Value: s.strip(p, set.Value), Was: s.strip(p, set.Was)}
			hidden = hidden || !reflect.DeepEqual(seen, set)
			sets = append(sets, seen)
		}
		d.Sets = sets
		if hidden && d.Step != "put down whole" {
			d.Step = "changed something you do not see"
		}
		d.Answer = s.answer(d.Answer)
		out[i] = d
	}
	return out
}

func (s sieve) answer(a store.Answer) store.Answer {
	if s.whole() {
		return a
	}
	applied := []string{}
	for _, pointer := range a.Applied {
		if p, err := fields.ParsePointer(pointer); err == nil && !s.hides(p) {
			applied = append(applied, pointer)
		}
	}
	a.Applied, a.Differs = applied, s.differences(a.Differs)
	return a
}

func (s sieve) differences(all []store.DifferingView) []store.DifferingView {
	out := []store.DifferingView{}
	for _, d := range all {
		p, err := fields.ParsePointer(d.Pointer)
		if err != nil || s.hides(p) {
			continue
		}
		d.Here, d.Theirs = s.strip(p, d.Here), s.strip(p, d.Theirs)
		out = append(out, d)
	}
	return out
}

// plan is what these eyes see of a plan.
func (s sieve) plan(p plan.Plan) plan.Plan {
	if s.whole() {
		return p
	}
	return p.Unpriced()
}

func (s sieve) movers(all []plan.Mover) []plan.Mover {
	if s.whole() {
		return all
	}
	return plan.UnpricedMovers(all)
}

// wrongs are the faults and notes about fields these eyes see.
func (s sieve) wrongs(all []Wrong) []Wrong {
	return slices.DeleteFunc(slices.Clone(all), func(w Wrong) bool { return s.hidesText(w.Pointer) })
}

func (s sieve) notes(all []Note) []Note {
	return slices.DeleteFunc(slices.Clone(all), func(n Note) bool { return s.hidesText(n.Pointer) })
}

func (s sieve) hidesText(pointer string) bool {
	p, err := fields.ParsePointer(pointer)
	return err == nil && s.hides(p)
}

// sheet says whether a file of a job's pack is for these eyes. That none of them tells a price to whom it is hidden follows from the
// plan they are made of; of the sheets a crew sees its own.
func (s sieve) sheet(name string) bool {
	stem, _, _ := strings.Cut(name, ".")
	return s.role != store.Crew || slices.Contains(crewSheets, stem) && strings.HasSuffix(name, ".pdf")
}

func notYours(pointer string) *Problem {
	p := problem(http.StatusForbidden, "Your role does not change this.", "Ask the office to set it.")
	p.Errors[0].Pointer = pointer
	return p
}

// mayChange lets the sets of a change through that these eyes may make on a job as it stands; what they do not see of the same
// places is carried along, so that nothing hidden is lost.
func (s sieve) mayChange(doc fields.Value, sets []fields.Set) ([]fields.Set, error) {
	if s.whole() {
		return sets, nil
	}
	out := make([]fields.Set, len(sets))
	for i, set := range sets {
		p, err := fields.ParsePointer(set.Pointer)
		if err != nil {
			return nil, &fields.PointerError{Pointer: set.Pointer, Why: err.Error()}
		}
		if s.hides(p) || !fields.Equal(s.strip(p, set.Value), set.Value) || s.role == store.Crew && !crewMay(p, set) {
			return nil, notYours(set.Pointer)
		}
		out[i] = set
		stands := fields.Get(doc, p)
		if fields.Equal(s.strip(p, stands), stands) {
			continue // nothing hidden there
		}
		if set.Value == nil {
			return nil, notYours(set.Pointer) // it would take away what is not seen
		}
		if !fields.Equal(s.strip(p, stands), set.Was) {
			return nil, problem(http.StatusConflict, "This row has changed since you saw it.", "Read the job again and make the change on what it says now.")
		}
		if out[i].Value, err = s.carried(p, stands, set.Value); err != nil {
			return nil, err
		}
		out[i].Was = stands
	}
	return out, nil
}

// crewMay says whether a crew may make a set: add to a list of the record, or take back a stamp. Both stay in the job's history.
func crewMay(p fields.Pointer, set fields.Set) bool {
	if len(p) == 0 {
		return false
	}
	list, last := p[:len(p)-1], p[len(p)-1]
	if last == "-" {
		return set.Value != nil && slices.ContainsFunc(crewAdds, func(a fields.Pointer) bool { return slices.Equal(a, list) })
	}
	_, err := strconv.Atoi(last)
	return err == nil && set.Value == nil && slices.Equal(list, crewAdds[0])
}

// carried is a value these eyes put in place of another, with what they do not see of the old one. What would take something hidden
// away is refused.
func (s sieve) carried(at fields.Pointer, old, put fields.Value) (fields.Value, error) {
	kept := s.carry(at, old, put)
	if s.hiddenIn(at, kept) < s.hiddenIn(at, old) {
		return nil, notYours(at.String())
	}
	return kept, nil
}

func (s sieve) carry(at fields.Pointer, old, put fields.Value) fields.Value {
	if s.hides(at) {
		return old
	}
	switch was := old.(type) {
	case map[string]any:
		now, ok := put.(map[string]any)
		if put != nil && !ok {
			return put
		}
		out := map[string]any{}
		for name, inner := range now {
			out[name] = s.carry(within(at, name), was[name], inner)
		}
		for name, inner := range was {
			if _, there := now[name]; there {
				continue
			}
			if kept := s.carry(within(at, name), inner, nil); kept != nil {
				out[name] = kept
			}
		}
		if len(out) == 0 && put == nil {
			return nil
		}
		return out
	case []any:
		now, ok := put.([]any)
		if !ok {
			return put
		}
		if f, err := intake.FieldAt(at); err == nil && f.Section() { // a row of values: each in its place
			out := slices.Clone(now)
			for i := range was {
				if i < len(out) {
					out[i] = s.carry(within(at, strconv.Itoa(i)), was[i], now[i])
				}
			}
			return out
		}
		return s.carryList(at, was, now)
	}
	return put
}

// carryList finds for each entry the one it was by what is seen of it, else the one in its place.
func (s sieve) carryList(at fields.Pointer, was, now []any) []any {
	used := make([]bool, len(was))
	out := make([]any, len(now))
	left := []int{}
	for i, entry := range now {
		j := slices.IndexFunc(was, func(w any) bool { return fields.Equal(s.strip(within(at, "0"), w), entry) })
		for j >= 0 && used[j] {
			next := slices.IndexFunc(was[j+1:], func(w any) bool { return fields.Equal(s.strip(within(at, "0"), w), entry) })
			if next < 0 {
				j = -1
				break
			}
			j += 1 + next
		}
		if j < 0 {
			left = append(left, i)
			continue
		}
		used[j], out[i] = true, was[j]
	}
	for _, i := range left {
		out[i] = now[i]
		if i < len(was) && !used[i] {
			used[i], out[i] = true, s.carry(within(at, strconv.Itoa(i)), was[i], now[i])
		}
	}
	return out
}

// hiddenIn counts the values under a pointer that these eyes do not see.
func (s sieve) hiddenIn(at fields.Pointer, v fields.Value) int {
	if v == nil {
		return 0
	}
	inner := 0
	switch v := v.(type) {
	case map[string]any:
		for name, one := range v {
			inner += s.hiddenIn(within(at, name), one)
		}
	case []any:
		for i, one := range v {
			inner += s.hiddenIn(within(at, strconv.Itoa(i)), one)
		}
	default:
		if s.hides(at) {
			inner = 1
		}
	}
	return inner
}

// mayPut refuses a whole document that says something these eyes do not see otherwise than it stands.
func (s sieve) mayPut(stands, doc fields.Value) error {
	if s.whole() {
		return nil
	}
	var wrong *Problem
	var look func(at fields.Pointer, was, now fields.Value)
	look = func(at fields.Pointer, was, now fields.Value) {
		switch {
		case now == nil || wrong != nil || fields.Equal(was, now):
		case s.hides(at):
			wrong = notYours(at.String())
		default:
			switch now := now.(type) {
			case map[string]any:
				for name, inner := range now {
					look(within(at, name), fields.Get(was, fields.Pointer{name}), inner)
				}
			case []any:
				for i, inner := range now {
					look(within(at, strconv.Itoa(i)), fields.Get(was, fields.Pointer{strconv.Itoa(i)}), inner)
				}
			}
		}
	}
	look(nil, stands, doc)
	if wrong != nil {
		return wrong
	}
	return nil
}

// kind parts what is made once and kept: what two sieves of a kind see is the same.
func (s sieve) kind() store.Role {
	if s.whole() {
		return ""
	}
	return s.role
}
