package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"sync"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/intake"
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/plan"
	ours "slabwright/internal/trade/shop"
)

// shopLists are the shop's own lists as the server last read them.
type shopLists struct {
	lock     sync.Mutex
	lists    *intake.Lists
	revision int64
	day      quantity.Date
}

// mostHistory is how many lines of the history are read: those of many years.
const mostHistory = 20000

// lists are the shop's own as they stand, with their revision.
func (s *Server) lists(ctx context.Context) (*intake.Lists, int64, error) {
	stored, err := s.store.Shop(ctx)
	if err != nil {
		return nil, 0, err
	}
	c := &s.shop
	c.lock.Lock()
	defer c.lock.Unlock()
	today := quantity.DateOf(s.now())
	if c.lists != nil && c.revision == stored.Revision && c.day == today {
		return c.lists, c.revision, nil
	}
	history, err := s.store.ShopHistory(ctx, mostHistory)
	if err != nil {
		return nil, 0, err
	}
	lists, _, err := intake.ShopOf(stored.Doc, s.entries(history), s.now())
	if err != nil {
		return nil, 0, fmt.Errorf("the shop's lists cannot be read: %w", err)
	}
	c.lists, c.revision, c.day = lists, stored.Revision, today
	return lists, stored.Revision, nil
}

// entries are the lines of the history as the trade reads them, on the days of the server's clock.
func (s *Server) entries(lines []store.ShopLine) []ours.Entry {
	var out []ours.Entry
	for _, l := range lines {
		at := l.Received.In(s.now().Location())
		out = append(out, ours.Entry{At: at, On: quantity.DateOf(at), By: l.By, Field: l.Field, Was: l.Was, Now: l.Now, Step: l.Step})
	}
	return out
}

// ShopView is the shop's own lists.
type ShopView struct {
	Revision int64          `json:"revision"`
	Document map[string]any `json:"document"`
	Lines    []ShopValue    `json:"lines"` // every value a shop may set, as it stands
}

// ShopValue is one value a shop may set: its own, or what is assumed until it is set.
type ShopValue struct {
	Pointer  string `json:"pointer"`
	Says     string `json:"says"`
	Origin   string `json:"origin,omitempty" jsonschema:"enum=,enum=listed,enum=assumed"`
	Text     string `json:"text,omitempty"`
	Invented bool   `json:"invented,omitempty"`
	On       string `json:"on,omitempty"`
	By       string `json:"by,omitempty"`
	Old      bool   `json:"old,omitempty"`
}

func (s *Server) getShop(w http.ResponseWriter, r *http.Request) error {
	lists, revision, err := s.lists(r.Context())
	if err != nil {
		return err
	}
	if fresh(w, r, etag(revision)) {
		return nil
	}
	now := lists.Now()
	out := ShopView{Revision: revision, Document: map[string]any{}, Lines: []ShopValue{}}
	if doc, ok := lists.Document().(map[string]any); ok {
		out.Document = doc
	}
	t := tongueOf(now)
	for _, l := range now.Lines(quantity.DateOf(s.now())) {
		v := ShopValue{Pointer: intake.PathOf(l.Field).String(), Says: l.Says, Origin: string(l.Origin), Invented: l.Invented, By: l.By, Old: l.Old}
		if l.Origin != "" {
			v.Text = t.Value(l.Value)
		}
		if !l.On.IsZero() {
			v.On = l.On.ISO()
		}
		out.Lines = append(out.Lines, v)
	}
	return reply(w, http.StatusOK, out)
}

// ShopChange sets values on the shop's lists in one named step.
type ShopChange struct {
	By   string       `json:"by,omitempty"`
	Step string       `json:"step,omitempty"`
	Sets []fields.Set `json:"sets"`
}

func (s *Server) putShopChange(w http.ResponseWriter, r *http.Request) error {
	id, err := idOf(r, "change")
	if err != nil {
		return err
	}
	var body ShopChange
	if err := read(r, &body); err != nil {
		return err
	}
	revision, err := s.SetShop(r.Context(), id, body)
	if err != nil {
		return err
	}
	w.Header().Set("ETag", etag(revision))
	return reply(w, http.StatusOK, Put{revision})
}

// SetShop changes the shop's lists, once for each id: every value is read as a box would, and a plain slab is planned with the whole.
// The error is a *Problem where it is the caller's.
func (s *Server) SetShop(ctx context.Context, id string, c ShopChange) (int64, error) {
	if err := s.May(ctx, store.Office); err != nil {
		return 0, err
	}
	if len(c.Sets) == 0 || len(c.Sets) > mostSets {
		return 0, wrong("/sets", fmt.Sprintf("A change sets one value or more, not %d.", len(c.Sets)), `Send sets like {"pointer": "/price/labour/wage", "value": "36"}.`)
	}
	stored, err := s.store.Shop(ctx)
	if err != nil {
		return 0, err
	}
	if _, lists, err := s.set(stored.Doc, c.Sets); err != nil {
		return 0, err
	} else if faults := plan.Tried(lists.Now(), s.now()); len(faults) > 0 {
		return 0, wrongShop(faults)
	}
	out, err := s.store.SetShop(ctx, id, by(ctx, c.By), func(doc fields.Value) (fields.Value, []store.ShopLine, error) {
		after, _, err := s.set(doc, c.Sets)
		if err != nil {
			return nil, nil, err
		}
		var lines []store.ShopLine
		for _, e := range intake.ShopChanges(doc, after) {
			lines = append(lines, store.ShopLine{Field: e.Field, Was: e.Was, Now: e.Now, Step: c.Step})
		}
		return after, lines, nil
	})
	if err == nil {
		s.hub.tell(shopEvents, Event{Kind: "changed", Revision: out.Revision})
	}
	return out.Revision, err
}

// shopEvents is where the changes of the shop's lists are told.
const shopEvents = "the shop's lists"

// set lays values over a document of the shop and reads it. A set that says what stood there must be right about it.
func (s *Server) set(doc fields.Value, sets []fields.Set) (fields.Value, *intake.Lists, error) {
	for _, one := range sets {
		p, err := fields.ParsePointer(one.Pointer)
		if err == nil && len(p) == 0 {
			err = errors.New("a value is set by its place")
		}
		if err == nil {
			_, err = intake.ShopFieldAt(p)
		}
		if err != nil {
			return nil, nil, wrong(one.Pointer, err.Error()+".", "Set a field of the shop's lists; its schema is at /api/v1/shop/schema.")
		}
		if stands := fields.Get(doc, p); one.Was != nil && !fields.Equal(stands, one.Was) {
			p := problem(http.StatusConflict, "Somebody set "+one.Pointer+" meanwhile.", "Look at what stands there, and set it again.")
			p.Errors[0].Pointer, p.Here, p.Yours = one.Pointer, stands, one.Value
			return nil, nil, p
		}
		if doc, err = intake.PutAt(doc, p, one.Value); err != nil {
			return nil, nil, wrong(one.Pointer, err.Error()+".", "Lists are filled in order.")
		}
	}
	lists, _, err := intake.ShopOf(doc, nil, s.now())
	var faults intake.Faults
	if errors.As(err, &faults) {
		var bare check.Faults
		for _, f := range faults {
			bare = append(bare, f.Fault)
		}
		err = wrongShop(bare)
	}
	return doc, lists, err
}

// wrongShop is what cannot stand on the shop's lists, by its place.
func wrongShop(faults check.Faults) error {
	p := problem(http.StatusUnprocessableEntity, "This cannot stand on the shop's lists.", "")
	p.Errors = nil
	for _, f := range faults {
		p.Errors = append(p.Errors, wrongAt(intake.PathOf(f.Field), f))
	}
	return p
}

// ShopHistory is what was set on the shop's lists, newest first.
type ShopHistory struct {
	Lines []store.ShopLine `json:"lines"`
}

func (s *Server) listShopHistory(w http.ResponseWriter, r *http.Request) error {
	lines, err := s.store.ShopHistory(r.Context(), 1000)
	if err != nil {
		return err
	}
	return reply(w, http.StatusOK, ShopHistory{lines})
}

func (s *Server) getShopSchema(w http.ResponseWriter, _ *http.Request) error {
	w.Header().Set("Cache-Control", "max-age=3600")
	return reply(w, http.StatusOK, intake.ShopSchema())
}

// Shop gives a page the shop's own lists with their revision; what is on them is for the office and the owner.
func (s *Server) Shop(ctx context.Context) (*intake.Lists, int64, error) {
	if err := s.May(ctx, store.Office); err != nil {
		return nil, 0, err
	}
	return s.lists(ctx)
}

// NewJob is what a new job begins with, as the shop's lists say: its units and time zone; empty where they do not.
func (s *Server) NewJob(ctx context.Context) (units, zone string, err error) {
	lists, _, err := s.lists(ctx)
	if err != nil {
		return "", "", err
	}
	text := func(name string) string {
		said, _ := fields.Get(lists.Document(), fields.Pointer{name}).(string)
		return said
	}
	if text("units") != "" {
		units = lists.Now().Units.String()
	}
	return units, text("time_zone"), nil
}
