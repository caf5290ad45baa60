package api

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"sync"
	"time"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/intake"
	"slabwright/internal/rim/store"
	"slabwright/internal/rim/works"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/plan"
)

// desk is where one job's questions are answered: its planner remembers what was worked out before, and knows which question
// of a device is the newest.
type desk struct {
	planner plan.Planner
	used    time.Time

	lock   sync.Mutex
	newest map[string]int64 // by device

	heard map[[32]byte]heard // by document and moment: a page asks several things of one

	ranked    []plan.Mover // what each guess moves
	rankedFor string       // the key of that

	summarised moment // of which the list of jobs shows the summary

	packs map[store.Role]works.Packed // the sheets made last, as each kind of eyes sees them
}

// moment is a state of a job at a time: equal moments have equal plans.
type moment struct {
	revision int64
	lists    int64 // the shop's
	asOf     time.Time
}

func (a asked) moment() moment { return moment{a.revision, a.lists, a.job.AsOf} }

func (m moment) equal(o moment) bool {
	return m.revision == o.revision && m.lists == o.lists && m.asOf.Equal(o.asOf)
}

// mostHeard is how many documents stay read.
const mostHeard = 8

// hear reads a document, or gives what was read of the same one before. The revision counts too, and that of the shop's lists: files
// beside the job may have changed, and prices.
func (d *desk) hear(asOf time.Time, revision, lists int64, doc fields.Value, read func() (heard, error)) (heard, error) {
	key := sha256.Sum256(fmt.Appendf(fields.Bytes(doc), "\n%d %d %d", revision, lists, asOf.Unix()))
	d.lock.Lock()
	h, ok := d.heard[key]
	d.lock.Unlock()
	if ok {
		return h, nil
	}
	h, err := read()
	if err != nil {
		return h, err
	}
	d.lock.Lock()
	defer d.lock.Unlock()
	if d.heard == nil || len(d.heard) >= mostHeard {
		d.heard = map[[32]byte]heard{}
	}
	d.heard[key] = h
	return h, nil
}

// summarise says whether a summary of the moment is still to be kept, once.
func (d *desk) summarise(m moment) bool {
	d.lock.Lock()
	defer d.lock.Unlock()
	if d.summarised.equal(m) {
		return false
	}
	d.summarised = m
	return true
}

// ranked gives what each guess moves, when that has been worked out, by whomever, as far as whoever asks sees it.
func (s *Server) ranked(a asked) ([]plan.Mover, bool) {
	key := a.whole.RankingKey()
	a.desk.lock.Lock()
	kept, same := a.desk.ranked, key != "" && a.desk.rankedFor == key
	a.desk.lock.Unlock()
	if same {
		return a.sees.movers(kept), true
	}
	movers, ok := s.works.Ranked(a.whole)
	if ok {
		a.desk.lock.Lock()
		a.desk.ranked, a.desk.rankedFor = movers, key
		a.desk.lock.Unlock()
	}
	return a.sees.movers(movers), ok
}

// mostDesks is how many jobs' answers are remembered; the one unused for longest is forgotten.
const mostDesks = 64

// desks are those in use.
type desks struct {
	lock   sync.Mutex
	all    map[string]*desk
	memory plan.Memory
}

func (d *desks) of(job string, now time.Time) *desk {
	d.lock.Lock()
	defer d.lock.Unlock()
	if d.all == nil {
		d.all = map[string]*desk{}
	}
	one, ok := d.all[job]
	if !ok {
		if len(d.all) >= mostDesks {
			d.forgetOne()
		}
		one = &desk{newest: map[string]int64{}, planner: plan.Planner{Memory: d.memory}}
		d.all[job] = one
	}
	one.used = now
	return one
}

func (d *desks) forgetOne() {
	oldest := ""
	for id, one := range d.all {
		if oldest == "" || one.used.Before(d.all[oldest].used) {
			oldest = id
		}
	}
	delete(d.all, oldest)
}

// newestFrom notes a question's number and says whether a newer one of the same device has come before it.
func (d *desk) newestFrom(device string, seq int64) bool {
	d.lock.Lock()
	defer d.lock.Unlock()
	if seq < d.newest[device] {
		return false
	}
	if len(d.newest) > 100 { // devices of long ago
		clear(d.newest)
	}
	d.newest[device] = seq
	return true
}

// passed says whether a newer question of the device has come meanwhile.
func (d *desk) passed(device string, seq int64) bool {
	d.lock.Lock()
	defer d.lock.Unlock()
	return seq < d.newest[device]
}

func (d *desk) packedAt(version string, sees sieve) (works.Packed, bool) {
	d.lock.Lock()
	defer d.lock.Unlock()
	p, ok := d.packs[sees.kind()]
	return p, ok && p.Version == version
}

func (d *desk) keepPack(p works.Packed, sees sieve) {
	d.lock.Lock()
	defer d.lock.Unlock()
	if d.packs == nil {
		d.packs = map[store.Role]works.Packed{}
	}
	d.packs[sees.kind()] = p
}

// heard is a job read from its document, with what could not be read and was left out.
type heard struct {
	job    job.Job
	doc    fields.Value
	faults []Wrong
	notes  []Note
}

// Note says how a field was read, where that needs saying.
type Note struct {
	Pointer string `json:"pointer"`
	Says    string `json:"says"`
}

// planStep is how long a plan's "now" stays the same, so that equal questions within it get kept answers.
const planStep = 15 * time.Minute

// mostReadings is how many times a document is read anew without what could not be read.
const mostReadings = 8

// hear reads the job in a document. What cannot be read is left out and told, so that the rest is still answered.
func (s *Server) hear(ctx context.Context, id string, doc fields.Value, lists *intake.Lists) (heard, error) {
	h := heard{doc: doc}
	open := func(name string, _ int64) ([]byte, error) {
		a, err := s.store.Attachment(ctx, id, name)
		if errors.Is(err, store.ErrAbsent) {
			err = fs.ErrNotExist
		}
		return a.Bytes, err
	}
	for range mostReadings {
		text := fields.Bytes(h.doc)
		now := s.now()
		if zone := intake.ZoneIn(text); zone != nil {
			now = now.In(zone)
		}
		if h.doc == nil {
			text = []byte("{}")
		}
		j, notes, err := intake.JobWith("job", text, now.Truncate(planStep), open, lists)
		var faults intake.Faults
		if errors.As(err, &faults) {
			before := len(h.faults)
			for _, f := range faults {
				h.doc = h.without(f.Fault)
			}
			if len(h.faults) == before {
				return h, wrong("", faults.Error(), "Put the job down again.")
			}
			continue
		}
		var bare check.Faults
		if errors.As(err, &bare) {
			for _, f := range bare {
				h.doc = h.without(f)
			}
			continue
		}
		if err != nil {
			return h, err
		}
		for _, n := range notes {
			h.notes = append(h.notes, Note{pointerOf(h.doc, n.Field).String(), n.Says})
		}
		h.job = j
		return h, nil
	}
	return h, wrong("", "Too much of the job cannot be read.", "Mend what is listed first.")
}

// without notes a fault and gives the document without the field, or the whole list, it is about.
func (h *heard) without(f check.Fault) fields.Value {
	at := pointerOf(h.doc, f.Field)
	h.faults = append(h.faults, wrongAt(at, f))
	for i := range at {
		if _, list := fields.Get(h.doc, at[:i]).([]any); list {
			at = at[:i]
			break
		}
	}
	if len(at) == 0 {
		return h.doc
	}
	return fields.Put(h.doc, at, nil)
}

func wrongAt(at fields.Pointer, f check.Fault) Wrong {
	w := Wrong{Pointer: at.String(), Given: f.Given, Message: f.Why, TypeThis: f.Type}
	if w.TypeThis == "" {
		w.TypeThis = "Type another value, or take it out."
	}
	return w
}
