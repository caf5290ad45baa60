package intake

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/fields"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/shop"
)

// Lists are a shop's own lists as they stand and as they stood on any day of their history.
type Lists struct {
	now   shop.Shop
	doc   fields.Value
	today time.Time

	lock sync.Mutex
	past map[quantity.Date]shop.Shop // as it was asked for
}

// Shop reads a shop's lists from a file. Faults say where; a field that is one job's own is one.
func Shop(file string, src []byte, today time.Time) (*Lists, []Note, error) {
	l := &Lists{doc: map[string]any{}, today: today, past: map[quantity.Date]shop.Shop{}}
	if saysNothing(src) {
		return l, nil, nil
	}
	d := &decoder{file: file, forSheets: true}
	root, err := d.parse(src)
	if err != nil {
		return nil, nil, err
	}
	d.reading = Reading{Units: unitsIn(root), Today: today}
	notes, err := d.decode(root, &l.now)
	if err != nil {
		return nil, notes, err
	}
	for _, field := range l.now.Stray() {
		n, _ := lookUp(root, field)
		d.fault(n, field, "", "is one job's own; a shop's list cannot hold it.", "Put it into the job file.")
	}
	for i, e := range l.now.History {
		if e.On.IsZero() {
			n, _ := lookUp(root, fmt.Sprintf("history[%d]", i+1))
			d.fault(n, fmt.Sprintf("history[%d].on", i+1), "", "is missing.", "Type the day it was set, like 2027-05-03.")
		}
	}
	if l.doc, err = Values(file, src); err != nil {
		return nil, notes, err
	}
	return l, notes, d.found()
}

// ShopOf reads the lists of a document as kept in a store, with its history, newest first.
func ShopOf(doc fields.Value, history []shop.Entry, today time.Time) (*Lists, []Note, error) {
	src := fields.Bytes(doc)
	if doc == nil || fields.Equal(doc, map[string]any{}) {
		src = nil
	}
	l, notes, err := Shop("shop", src, today)
	if err == nil {
		l.now.History = history
	}
	return l, notes, err
}

// Now is the shop as its lists stand.
func (l *Lists) Now() shop.Shop { return l.now }

// Document is the lists as typed.
func (l *Lists) Document() fields.Value { return l.doc }

// For is the shop whose money a job is planned with: as it stands, or as it stood on the day the job was quoted, so that a quote
// stays what it was.
func (l *Lists) For(j job.Job) (shop.Shop, error) {
	if !j.Quoted.Given() {
		return l.now, nil
	}
	return l.On(j.Quoted.Value)
}

// On is the shop as its lists stood at the end of a day: what the history says was set later is taken back.
func (l *Lists) On(day quantity.Date) (shop.Shop, error) {
	later := slices.IndexFunc(l.now.History, func(e shop.Entry) bool { return !day.Before(e.On) })
	if later < 0 {
		later = len(l.now.History)
	}
	if later == 0 {
		return l.now, nil
	}
	l.lock.Lock()
	defer l.lock.Unlock()
	if s, ok := l.past[day]; ok {
		return s, nil
	}
	doc := l.doc
	for _, e := range l.now.History[:later] {
		var err error
		if doc, err = PutAt(doc, PathOf(e.Field), parsed(e.Was)); err != nil {
			return shop.Shop{}, fmt.Errorf("the history of %s cannot be taken back: %w", e.Field, err)
		}
	}
	then, _, err := ShopOf(fields.Put(doc, fields.Pointer{"history"}, nil), l.now.History[later:], l.today)
	if err != nil {
		return shop.Shop{}, fmt.Errorf("the lists of %s cannot be read: %v", day, err) // its faults have no place in a job
	}
	if len(l.past) > 100 {
		clear(l.past)
	}
	l.past[day] = then.now
	return then.now, nil
}

// written is a value in the history: a text as typed, else JSON.
func written(v fields.Value) string {
	switch v := v.(type) {
	case nil:
		return ""
	case string:
		return v
	}
	return string(fields.Bytes(v))
}

// parsed is what written wrote.
func parsed(text string) fields.Value {
	if text == "" {
		return nil
	}
	if strings.ContainsAny(text[:1], "[{") || text == "true" || text == "false" || aNumber.MatchString(text) {
		if v, err := fields.Parse([]byte(text)); err == nil {
			return v
		}
	}
	return text
}

// PathOf is the way to a field named like plants[2].haul: names, and numbers from zero.
func PathOf(field string) fields.Pointer {
	var p fields.Pointer
	for _, part := range strings.Split(field, ".") {
		name, index, listed := strings.Cut(strings.TrimSuffix(part, "]"), "[")
		p = append(p, name)
		if n, err := strconv.Atoi(index); listed && err == nil {
			p = append(p, strconv.Itoa(n-1))
		}
	}
	return p
}

// FieldOf names a field as PathOf reads it.
func FieldOf(p fields.Pointer) string {
	var b strings.Builder
	for _, part := range p {
		if n, err := strconv.Atoi(part); err == nil {
			fmt.Fprintf(&b, "[%d]", n+1)
			continue
		}
		if b.Len() > 0 {
			b.WriteByte('.')
		}
		b.WriteString(part)
	}
	return b.String()
}

// putAt is a document with a value at a place, through lists too; nil takes it away.
func PutAt(v fields.Value, p fields.Pointer, value fields.Value) (fields.Value, error) {
	if len(p) == 0 {
		return value, nil
	}
	list, isList := v.([]any)
	i, err := strconv.Atoi(p[0])
	if !isList && err != nil {
		section, _ := v.(map[string]any)
		inner, err := PutAt(section[p[0]], p[1:], value)
		if err != nil {
			return nil, err
		}
		return fields.Put(v, p[:1], inner), nil
	}
	if err != nil || i < 0 || i > len(list) {
		return nil, fmt.Errorf("there is no entry %s", p[0])
	}
	var inner fields.Value
	if i < len(list) {
		inner = list[i]
	}
	if inner, err = PutAt(inner, p[1:], value); err != nil {
		return nil, err
	}
	out := slices.Clone(list)
	switch {
	case inner == nil && i == len(list):
	case inner == nil:
		out = slices.Delete(out, i, i+1)
	case i == len(list):
		out = append(out, inner)
	default:
		out[i] = inner
	}
	if len(out) == 0 {
		return nil, nil
	}
	return out, nil
}

// ShopChanges are the fields that differ between two documents of a shop, as lines of its history without day and name. Entries of
// a list are told one by one, as long as none was taken out.
func ShopChanges(before, after fields.Value) []shop.Entry {
	var out []shop.Entry
	differing(before, after, nil, &out)
	return slices.DeleteFunc(out, func(e shop.Entry) bool { return e.Field == "history" || strings.HasPrefix(e.Field, "history[") })
}

func differing(before, after fields.Value, at fields.Pointer, out *[]shop.Entry) {
	if fields.Equal(before, after) {
		return
	}
	under := func(part string, was, now fields.Value) { differing(was, now, append(slices.Clip(at), part), out) }
	was, isSection := before.(map[string]any)
	now, staysSection := after.(map[string]any)
	whole := inList(at) && (before == nil || after == nil) // an entry of a list comes and goes as a whole
	if (isSection || before == nil) && (staysSection || after == nil) && !whole {
		for _, key := range keysOf(was, now) {
			under(key, was[key], now[key])
		}
		return
	}
	old, isList := before.([]any)
	fresh, staysList := after.([]any)
	if (isList || before == nil) && staysList && len(fresh) >= len(old) {
		for i := range fresh {
			var was fields.Value
			if i < len(old) {
				was = old[i]
			}
			under(strconv.Itoa(i), was, fresh[i])
		}
		return
	}
	*out = append(*out, shop.Entry{Field: FieldOf(at), Was: written(before), Now: written(after)})
}

// inList says whether a place is an entry of a list.
func inList(at fields.Pointer) bool {
	if len(at) == 0 {
		return false
	}
	_, err := strconv.Atoi(at[len(at)-1])
	return err == nil
}

func keysOf(sections ...map[string]any) []string {
	var keys []string
	for _, s := range sections {
		for key := range s {
			keys = append(keys, key)
		}
	}
	slices.Sort(keys)
	return slices.Compact(keys)
}
