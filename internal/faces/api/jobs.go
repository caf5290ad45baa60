package api

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/intake"
	"slabwright/internal/rim/store"
)

// JobList is one page of the list of jobs.
type JobList struct {
	Jobs []store.Summary `json:"jobs"`
	Next string          `json:"next,omitempty"`
}

// mostListed is how many jobs one page of a list may hold.
const mostListed = 10000

func (s *Server) listJobs(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	limit := 100
	if text := q.Get("limit"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > mostListed {
			return problem(http.StatusBadRequest, "`limit` is not a number of jobs.", fmt.Sprintf("Send 1 to %d.", mostListed))
		}
		limit = n
	}
	jobs, next, err := s.store.List(r.Context(), store.Listing{Find: q.Get("find"), After: q.Get("after"), Limit: limit, Binned: q.Get("binned") == "1", From: q.Get("from"), Until: q.Get("until")})
	if errors.Is(err, store.ErrAbsent) {
		return problem(http.StatusBadRequest, "`after` is not where a list ended.", "Send `next` of the list before, or leave it out.")
	}
	if err != nil {
		return err
	}
	if jobs == nil {
		jobs = []store.Summary{}
	}
	return reply(w, http.StatusOK, JobList{jobs, next})
}

// anID is what a client-made id may look like.
var anID = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]{0,79}$`)

func idOf(r *http.Request, name string) (string, error) {
	id := r.PathValue(name)
	if !anID.MatchString(id) {
		return "", problem(http.StatusBadRequest, "The "+name+" in the address is not an id.", "Make one of letters, digits, dots, dashes; at most 80.")
	}
	return id, nil
}

// document reads a job document from a body: JSON, or a job file in YAML.
func document(r *http.Request) (fields.Value, error) {
	text, err := io.ReadAll(r.Body)
	if err != nil {
		return nil, err
	}
	if strings.Contains(r.Header.Get("Content-Type"), "yaml") {
		return fromYAML(text)
	}
	doc, err := fields.Parse(text)
	if err != nil {
		return nil, problem(http.StatusBadRequest, "The job "+err.Error()+".", `Send a job as one JSON object, like {"length": "40 ft", "width": "14 ft", "thickness": "6 in"}.`)
	}
	return sound(doc)
}

// sound refuses a document that is no job: its lines are checked, its values may still wait for a better word.
func sound(doc fields.Value) (fields.Value, error) {
	if doc == nil {
		doc = map[string]any{}
	}
	if _, ok := doc.(map[string]any); !ok {
		return nil, problem(http.StatusBadRequest, "The job is not an object.", `Send a job as one JSON object, like {"length": "40 ft"}.`)
	}
	if len(fields.Bytes(doc)) > intake.MaxJob {
		return nil, problem(http.StatusRequestEntityTooLarge, "The job is longer than any job.", "Send long tables as attachments.")
	}
	for name := range doc.(map[string]any) {
		if err := inFile(fields.Pointer{name}, doc.(map[string]any)[name]); err != nil {
			return nil, err
		}
	}
	return doc, nil
}

// inFile refuses fields a job file does not have, however deep.
func inFile(at fields.Pointer, v fields.Value) error {
	section, err := shape(at)
	if err != nil {
		return &fields.PointerError{Pointer: at.String(), Why: err.Error()}
	}
	inner, ok := v.(map[string]any)
	if !section || !ok {
		return nil
	}
	for name, value := range inner {
		if err := inFile(append(at[:len(at):len(at)], name), value); err != nil {
			return err
		}
	}
	return nil
}

// shape is the job file's own shape.
func shape(p fields.Pointer) (bool, error) {
	f, err := intake.FieldAt(p)
	return err == nil && f.Section(), err
}

func fromYAML(text []byte) (fields.Value, error) {
	doc, err := intake.Values("job", text)
	var faults intake.Faults
	if errors.As(err, &faults) {
		p := problem(http.StatusBadRequest, "The job file cannot be read.", faults[0].Type)
		p.Errors[0].Message = faults.Error()
		return nil, p
	}
	if err != nil {
		return nil, err
	}
	return sound(doc)
}

func (s *Server) putJob(w http.ResponseWriter, r *http.Request) error {
	id, err := idOf(r, "job")
	if err != nil {
		return err
	}
	doc, err := document(r)
	if err != nil {
		return err
	}
	by := by(r.Context(), r.Header.Get("X-By"))
	if r.Header.Get("If-Match") != "" {
		return s.replaceJob(w, r, id, doc, by)
	}
	if err := sieveOf(r.Context()).mayPut(nil, doc); err != nil {
		return err
	}
	job, err := s.store.Create(r.Context(), id, doc, s.about(doc), by)
	if errors.Is(err, store.ErrThere) && r.Header.Get("If-None-Match") != "*" {
		return problem(http.StatusPreconditionRequired, "There is a job under this id already.", "To replace it send If-Match with its ETag; to change fields, PUT a change; for a new job make a new id.")
	}
	if err != nil {
		return err
	}
	s.hub.tell(id, Event{Kind: "changed", Revision: job.Revision})
	w.Header().Set("ETag", etag(job.Revision))
	w.Header().Set("Location", Prefix+"/jobs/"+id)
	return reply(w, http.StatusCreated, Put{Revision: job.Revision})
}

// Put says at which revision a job stands after a write.
type Put struct {
	Revision int64 `json:"revision"`
}

func (s *Server) replaceJob(w http.ResponseWriter, r *http.Request, id string, doc fields.Value, by string) error {
	revision, err := wanted(r)
	if err != nil {
		return err
	}
	stands, err := s.store.Job(r.Context(), id)
	if err != nil {
		return err
	}
	sees := sieveOf(r.Context())
	if stands.Revision != revision {
		return s.tooLate(r, id, doc)
	}
	if err := sees.mayPut(stands.Doc, doc); err != nil {
		return err
	}
	if doc, err = sees.carried(nil, stands.Doc, doc); err != nil {
		return err
	}
	at, err := s.store.Replace(r.Context(), id, doc, revision, s.about(doc), by)
	if errors.Is(err, store.ErrChanged) {
		return s.tooLate(r, id, doc)
	}
	if err != nil {
		return err
	}
	s.hub.tell(id, Event{Kind: "changed", Revision: at})
	w.Header().Set("ETag", etag(at))
	return reply(w, http.StatusOK, Put{at})
}

// tooLate is the answer to a write on an old revision: both versions, so that a person can choose.
func (s *Server) tooLate(r *http.Request, id string, yours fields.Value) error {
	job, err := s.Job(r.Context(), id)
	if err != nil {
		return err
	}
	p := problem(http.StatusPreconditionFailed, "The job has changed since it was read.", "Read it again, carry your change over, and send it with the new ETag.")
	p.Here, p.Revision, p.Yours = job.Doc, job.Revision, yours
	return p
}

func (s *Server) getJob(w http.ResponseWriter, r *http.Request) error {
	job, err := s.Job(r.Context(), r.PathValue("job"))
	if err != nil {
		return err
	}
	if fresh(w, r, etag(job.Revision)) {
		return nil
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-cache")
	_, _ = w.Write(fields.Bytes(job.Doc))
	return nil
}

func (s *Server) deleteJob(w http.ResponseWriter, r *http.Request) error {
	revision, err := wanted(r)
	if err != nil {
		return err
	}
	id := r.PathValue("job")
	err = s.store.Bin(r.Context(), id, revision)
	if errors.Is(err, store.ErrChanged) {
		if job, readErr := s.store.Job(r.Context(), id); readErr == nil && job.Binned {
			err = nil // it is there already: the same again
		} else {
			return s.tooLate(r, id, nil)
		}
	}
	if err != nil {
		return err
	}
	s.hub.tell(id, Event{Kind: "binned", Revision: revision})
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func (s *Server) restoreJob(w http.ResponseWriter, r *http.Request) error {
	if err := s.store.Restore(r.Context(), r.PathValue("job")); err != nil {
		return err
	}
	job, err := s.store.Job(r.Context(), r.PathValue("job"))
	if err != nil {
		return err
	}
	s.hub.tell(job.ID, Event{Kind: "changed", Revision: job.Revision})
	w.Header().Set("ETag", etag(job.Revision))
	return reply(w, http.StatusOK, Put{job.Revision})
}

// about is what a list shows of a document. Days and hours are there where what was typed says them.
func (s *Server) about(doc fields.Value) store.About {
	text := func(name string) string {
		switch v := fields.Get(doc, fields.Pointer{name}).(type) {
		case string:
			return v
		case fmt.Stringer:
			return v.String()
		case map[string]any: // the long form
			if typed, ok := v["value"].(string); ok {
				return typed
			}
		}
		return ""
	}
	reading := intake.Reading{Locale: text("locale"), Today: s.now()}
	if zone, err := time.LoadLocation(text("time_zone")); err == nil && text("time_zone") != "" {
		reading.Today = reading.Today.In(zone)
	}
	day := func(name string) string {
		var d quantity.Date
		if _, err := d.ReadText(text(name), quantity.Box{Locale: reading.Locale, Today: reading.Today}); err != nil {
			return ""
		}
		return d.ISO()
	}
	a := store.About{Title: text("name"), Number: text("number"), Address: text("address"), PourDate: text("pour_date"), Crew: text("crew"),
		PoursOn: day("pour_date"), Quoted: day("quoted_on"), Accepted: day("accepted_on"), Declined: day("declined_on")}
	var first quantity.Clock
	if _, err := first.ReadText(text("first_truck"), quantity.Box{Locale: reading.Locale}); err == nil {
		a.FirstTruck = first.String()
	}
	if a.Title == "" && text("length") != "" && text("width") != "" {
		a.Title = "Slab " + text("width") + " × " + text("length")
	}
	if a.Title == "" {
		a.Title = "Slab"
	}
	return a
}
