package api

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/store"
)

// Problem is an error as RFC 9457 writes it, with what to type instead.
type Problem struct {
	Type     string  `json:"type"`
	Title    string  `json:"title"`
	Status   int     `json:"status"`
	Detail   string  `json:"detail,omitempty"`
	Instance string  `json:"instance,omitempty"`
	Errors   []Wrong `json:"errors"`

	// Of a write that came too late: both versions.
	Here     fields.Value `json:"here,omitempty"`
	Revision int64        `json:"revision,omitempty"`
	Yours    fields.Value `json:"yours,omitempty"`
}

// Wrong is one thing that cannot be as it was given.
type Wrong struct {
	Pointer  string `json:"pointer"`
	Given    string `json:"given,omitempty"`
	Message  string `json:"message"`
	TypeThis string `json:"type_this"`
}

// Error is the problem as one line.
func (p *Problem) Error() string { return p.Title + ": " + p.Detail }

// problem makes one; instead says what to send.
func problem(status int, detail, instead string) *Problem {
	return &Problem{Type: "about:blank", Title: http.StatusText(status), Status: status, Detail: detail,
		Errors: []Wrong{{Message: detail, TypeThis: instead}}}
}

func wrong(pointer, message, instead string) *Problem {
	p := problem(http.StatusUnprocessableEntity, message, instead)
	p.Errors[0].Pointer = pointer
	return p
}

var errNoJob = problem(http.StatusNotFound, "There is no job under this address.", "Take the address from the list of jobs, /api/v1/jobs.")

// problemOf turns an error of the floors below into a problem. What is not a person's doing is told without its inside.
func (s *Server) problemOf(r *http.Request, err error) *Problem {
	var p *Problem
	var pointer *fields.PointerError
	var tooLarge *http.MaxBytesError
	err = s.store.Meant(err)
	switch {
	case errors.As(err, &p):
	case errors.As(err, &pointer):
		p = wrong(pointer.Pointer, pointer.Error()+".", "Set a field the job file has; its schema is at /api/v1/schema.")
	case errors.As(err, &tooLarge):
		p = problem(http.StatusRequestEntityTooLarge, fmt.Sprintf("This takes at most %d kB.", tooLarge.Limit>>10), "Send a smaller file.")
	case errors.Is(err, store.ErrAbsent):
		p = errNoJob
	case errors.Is(err, store.ErrThere):
		p = problem(http.StatusPreconditionFailed, "There is another job under this id.", "Make a new id.")
	case errors.Is(err, store.ErrAway):
		s.log.Error("the database does not answer", "route", r.Pattern, "error", err)
		p = problem(http.StatusServiceUnavailable, "The database does not answer.", "Send it again in a moment; the page keeps what was typed and does so by itself.")
	case errors.Is(err, store.ErrFull):
		s.log.Error("the disk is full", "route", r.Pattern, "error", err)
		p = problem(http.StatusInsufficientStorage, "The disk under the jobs is full; nothing of this was kept.", "Make room there, then send it again.")
	case r.Context().Err() != nil:
		p = problem(499, "The caller went away.", "Ask again.")
		p.Title = "Client closed request"
	default:
		s.log.Error("request failed", "method", r.Method, "route", r.Pattern, "error", err)
		p = problem(http.StatusInternalServerError, "Something went wrong here; what was acknowledged is safe.", "Try again; if it stays, look at the log of slabwright serve.")
	}
	out := *p
	out.Instance = r.URL.Path
	return &out
}

func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	p := s.problemOf(r, err)
	w.Header().Set("Content-Type", "application/problem+json")
	w.Header().Del("ETag")
	w.Header().Set("Cache-Control", "no-store")
	if p.Status == http.StatusServiceUnavailable {
		w.Header().Set("Retry-After", "2")
	}
	w.WriteHeader(p.Status)
	_ = json.NewEncoder(w).Encode(p) // the caller went away
}

func isAbsent(err error) bool { return errors.Is(err, store.ErrAbsent) }
