package api

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"time"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/store"
)

// Viewer is who asks. Where nobody signs in there is none: the page of one person on one machine shows all.
type Viewer struct {
	store.Actor
	Role store.Role
	Link store.CrewLink // of a crew
}

type viewerKey struct{}

// As is a context in which a viewer asks.
func As(ctx context.Context, v Viewer) context.Context { return context.WithValue(ctx, viewerKey{}, v) }

// ViewerOf is who asks in a context; false where nobody signs in.
func ViewerOf(ctx context.Context) (Viewer, bool) {
	v, ok := ctx.Value(viewerKey{}).(Viewer)
	return v, ok
}

// by is who a change is by: whoever is signed in; where nobody signs in, as the caller says.
func by(ctx context.Context, said string) string {
	if v, ok := ViewerOf(ctx); ok {
		return v.Who
	}
	return said
}

// ErrNotYours is the answer to whoever asks for what another role sees.
var ErrNotYours = problem(http.StatusForbidden, "This is not for your role.", "Ask the owner to change your role if you need it.")

// May says whether whoever asks has at least a role; anybody where nobody signs in. An error is a *Problem.
func (s *Server) May(ctx context.Context, least store.Role) error {
	v, ok := ViewerOf(ctx)
	if !ok || v.Role.AtLeast(least) {
		return nil
	}
	s.log.Warn("somebody asked for what is not for the role", "role", v.Role, "takes", least, "person", v.Person, "link", v.Link.ID, "address", v.Address)
	return ErrNotYours
}

// MaySee says whether whoever asks may see a job at all: a crew the jobs of its link only. Of others it does not learn that they
// are there.
func (s *Server) MaySee(ctx context.Context, job string) error {
	v, ok := ViewerOf(ctx)
	if !ok || v.Role != store.Crew {
		return nil
	}
	jobs, err := s.CrewJobs(ctx, v.Link)
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(jobs, func(j store.Summary) bool { return j.ID == job }) {
		return errNoJob
	}
	return nil
}

// CrewJobs are the jobs a crew link shows: its one job, or those its crew has today.
func (s *Server) CrewJobs(ctx context.Context, l store.CrewLink) ([]store.Summary, error) {
	if l.Job != "" {
		one, err := s.store.Summary(ctx, l.Job)
		if isAbsent(err) {
			return nil, nil
		}
		return []store.Summary{one}, err
	}
	today := s.now().Format(time.DateOnly)
	all, _, err := s.store.List(ctx, store.Listing{From: today, Until: today, Limit: mostListed})
	if err != nil {
		return nil, err
	}
	var out []store.Summary
	for _, one := range all {
		job, err := s.store.Job(ctx, one.ID)
		if err != nil {
			return nil, err
		}
		if crew, _ := fields.Get(job.Doc, fields.Pointer{"crew"}).(string); l.Crew != "" && strings.EqualFold(strings.TrimSpace(crew), l.Crew) {
			out = append(out, one)
		}
	}
	return out, nil
}

// allowed says whether whoever asks may use a route, on the job it names.
func (s *Server) allowed(r *http.Request, route string) error {
	least, ok := rights[route]
	if !ok {
		least = store.Owner // nobody said who may: a test fails until somebody does
	}
	if err := s.May(r.Context(), least); err != nil {
		return err
	}
	if job := r.PathValue("job"); job != "" {
		return s.MaySee(r.Context(), job)
	}
	return nil
}

// audited are the uses of the interface that stand in the list of who did what, in its words. What was changed inside a job stands in
// the job's own history.
var audited = map[string]string{"putJob": "job put down", "binJob": "job moved to the bin", "restoreJob": "job taken out of the bin", "putAttachment": "file put beside a job", "putPhoto": "photo put to the record",
	"getPack": "all sheets taken", "putShopChange": "shop's lists set", "getDaySheets": "sheets of a day taken", "getDayPack": "sheets of a day taken",
	"getResult": "file of a long work taken", "getShopResult": "all sheets of a day taken"}

// noted writes down what whoever is signed in has done.
func (s *Server) noted(r *http.Request, route string) {
	v, ok := ViewerOf(r.Context())
	what := audited[route]
	if !ok || what == "" {
		return
	}
	if err := s.store.Note(context.WithoutCancel(r.Context()), v.Actor, what, r.PathValue("job")); err != nil {
		s.log.Error("what was done could not be written down", "what", what, "error", err)
	}
}

// rights says which role at least a route of the interface takes, by its name. What an answer shows a role is sifted besides: see
// sieve.go.
var rights = map[string]store.Role{
	"health": store.Crew, "describe": store.Foreman, "schema": store.Foreman, "boxes": store.Foreman, "read": store.Foreman,
	"getShop": store.Office, "putShopChange": store.Office, "listShopHistory": store.Office, "shopSchema": store.Foreman,
	"getWeek": store.Foreman, "getWeekTable": store.Foreman, "getDaySheets": store.Foreman, "getDayPack": store.Foreman,
	"listJobs": store.Foreman, "putJob": store.Foreman, "getJob": store.Crew, "binJob": store.Foreman, "restoreJob": store.Foreman,
	"putChange": store.Crew, "listChanges": store.Crew, "settleDifference": store.Foreman,
	"ask": store.Foreman, "getAnswer": store.Foreman, "getPicture": store.Foreman, "tryPicture": store.Foreman, "why": store.Foreman, "listAssumed": store.Foreman,
	"startWork": store.Foreman, "getWork": store.Foreman, "cancelWork": store.Foreman, "getResult": store.Foreman,
	"listWorks": store.Office, "startShopWork": store.Office, "getShopWork": store.Office, "cancelShopWork": store.Office, "getShopResult": store.Office, "events": store.Crew,
	"listAttachments": store.Foreman, "putAttachment": store.Foreman, "getAttachment": store.Foreman,
	"listPhotos": store.Crew, "putPhoto": store.Crew, "getPhoto": store.Crew,
	"listSheets": store.Crew, "getSheet": store.Crew, "getPack": store.Foreman,
}
