package api

import (
	"context"
	"encoding/json"
	"net/http"
	"path"
	"strings"
	"time"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/plan"
)

// Planned is a job with its plan, for a page that writes answers into HTML.
type Planned struct {
	Plan     plan.Plan
	Doc      fields.Value // as it was planned: without what could not be read
	Revision int64
	Faults   []Wrong
	Notes    []Note
}

// Plan answers the named stages of a job, with some fields tried but not stored. Deep stages answer from memory only; without
// names all but the deep ones answer. The error is a *Problem where it is the caller's.
func (s *Server) Plan(ctx context.Context, id string, sets []fields.Set, stages ...string) (Planned, error) {
	if err := knownStages(stages); err != nil {
		return Planned{}, err
	}
	a, err := s.ask(ctx, id, Question{Questions: stages, Sets: sets})
	if err != nil {
		return Planned{}, toCaller(err)
	}
	if len(stages) == 0 && len(sets) == 0 {
		s.summarise(ctx, id, a)
	}
	return Planned{a.plan, a.doc, a.revision, nonNil(a.faults), nonNil(a.notes)}, nil
}

// toCaller makes a *Problem of what the store says.
func toCaller(err error) error {
	if isAbsent(err) {
		return errNoJob
	}
	return err
}

// Job is a job's document as it stands, with its revision.
func (s *Server) Job(ctx context.Context, id string) (store.Job, error) {
	job, err := s.store.Job(ctx, id)
	return sieveOf(ctx).job(job), toCaller(err)
}

// Jobs lists jobs as store.Store.List does.
func (s *Server) Jobs(ctx context.Context, l store.Listing) ([]store.Summary, string, error) {
	return s.store.List(ctx, l)
}

// Create puts down a new job from the text of its document.
func (s *Server) Create(ctx context.Context, id string, text []byte) error {
	if !anID.MatchString(id) {
		return problem(http.StatusBadRequest, "This is not an id.", "Make one of letters, digits, dots, dashes; at most 80.")
	}
	doc, err := fields.Parse(text)
	if err == nil {
		doc, err = sound(doc)
	}
	if err != nil {
		return err
	}
	if err := sieveOf(ctx).mayPut(nil, doc); err != nil {
		return err
	}
	job, err := s.store.Create(ctx, id, doc, s.about(doc), by(ctx, ""))
	if err == nil {
		s.hub.tell(id, Event{Kind: "changed", Revision: job.Revision})
	}
	return err
}

// Attach puts a file beside a job.
func (s *Server) Attach(ctx context.Context, id, name string, text []byte) error {
	_, revision, err := s.store.Attach(ctx, id, store.Attachment{Name: name, Media: attachable[strings.ToLower(path.Ext(name))], Bytes: text})
	if err == nil {
		s.hub.tell(id, Event{Kind: "changed", Revision: revision})
	}
	return toCaller(err)
}

// Changes are all changes of a job, oldest first, as far as whoever asks sees them.
func (s *Server) Changes(ctx context.Context, id string) ([]store.Done, error) {
	all, err := s.store.Since(ctx, id, 0)
	return sieveOf(ctx).history(all), err
}

// Now is the clock of the program.
func (s *Server) Now() time.Time { return s.now() }

// Ranked gives what each guess moves, when that work has been done for the job as it stands.
func (s *Server) Ranked(ctx context.Context, id string) ([]plan.Mover, bool, error) {
	a, err := s.ask(ctx, id, Question{})
	if err != nil {
		return nil, false, toCaller(err)
	}
	movers, ok := s.ranked(a)
	return movers, ok, nil
}

// bare is a stage's result without its working and checks, which stand elsewhere in the answer.
func bare(result any) any {
	text, err := json.Marshal(result)
	var named map[string]json.RawMessage
	if err != nil || json.Unmarshal(text, &named) != nil {
		return nil
	}
	for name := range named {
		if strings.EqualFold(name, "working") || strings.EqualFold(name, "checks") {
			delete(named, name)
		}
	}
	return named
}
