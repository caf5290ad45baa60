package api

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strconv"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/intake"
	"slabwright/internal/rim/store"
)

// mostSets is how many fields one change may set.
const mostSets = 500

func (s *Server) putChange(w http.ResponseWriter, r *http.Request) error {
	id, err := idOf(r, "change")
	if err != nil {
		return err
	}
	var body Change
	if err := read(r, &body); err != nil {
		return err
	}
	c := store.Change{ID: id, At: body.At, By: body.By, Device: body.Device, Seen: body.Seen, Step: body.Step, Undoes: body.Undoes, Sets: body.Sets}
	if len(c.Sets) == 0 || len(c.Sets) > mostSets {
		return wrong("/sets", "A change sets one field or more, not "+strconv.Itoa(len(c.Sets))+".", `Send sets like {"pointer": "/thickness", "value": "6 in", "was": null}.`)
	}
	answer, err := s.Change(r.Context(), r.PathValue("job"), c)
	if err != nil {
		return err
	}
	w.Header().Set("ETag", etag(answer.Revision))
	return reply(w, http.StatusOK, sieveOf(r.Context()).answer(answer))
}

// Change takes a change of a job in, as far as whoever asks may make it, and tells who listens.
func (s *Server) Change(ctx context.Context, job string, c store.Change) (store.Answer, error) {
	c.By = by(ctx, c.By)
	if sees := sieveOf(ctx); !sees.whole() {
		stands, err := s.store.Job(ctx, job)
		if err != nil {
			return store.Answer{}, toCaller(err)
		}
		if c.Sets, err = sees.mayChange(stands.Doc, c.Sets); err != nil {
			return store.Answer{}, err
		}
	}
	answer, again, err := s.store.Apply(ctx, job, c, shape, s.about, short)
	if err == nil && !again {
		s.hub.tell(job, Event{Kind: "changed", Revision: answer.Revision, Change: c.ID})
	}
	return answer, err
}

// short refuses a change that makes a job longer than any.
func short(_, after fields.Value) error {
	if len(fields.Bytes(after)) > intake.MaxJob {
		return problem(http.StatusRequestEntityTooLarge, "With this the job is longer than any job.", "Send long tables as attachments.")
	}
	return nil
}

// History is what happened to a job since a revision.
type History struct {
	Revision    int64                 `json:"revision"`
	Changes     []store.Done          `json:"changes"`
	Differences []store.DifferingView `json:"differences"`
}

func (s *Server) listChanges(w http.ResponseWriter, r *http.Request) error {
	since := int64(0)
	if text := r.URL.Query().Get("since"); text != "" {
		n, err := strconv.ParseInt(text, 10, 64)
		if err != nil || n < 0 {
			return problem(http.StatusBadRequest, "`since` is not a revision.", "Send the number of the last revision you know, or leave it out.")
		}
		since = n
	}
	job, err := s.store.Job(r.Context(), r.PathValue("job"))
	if err != nil {
		return err
	}
	done, err := s.store.Since(r.Context(), job.ID, since)
	if err != nil {
		return err
	}
	differences, err := s.store.Differences(r.Context(), job.ID)
	if err != nil {
		return err
	}
	w.Header().Set("ETag", etag(job.Revision))
	sees := sieveOf(r.Context())
	return reply(w, http.StatusOK, History{job.Revision, sees.history(done), sees.differences(differences)})
}

// Kept says which of two values a person keeps.
type Kept struct {
	Keep fields.Keep `json:"keep" jsonschema:"enum=here,enum=theirs,enum=both"`
	By   string      `json:"by,omitempty"`
}

func (s *Server) settle(w http.ResponseWriter, r *http.Request) error {
	number, err := strconv.ParseInt(r.PathValue("n"), 10, 64)
	if err != nil {
		return problem(http.StatusNotFound, "There is no difference under this address.", "Take its number from the job's changes.")
	}
	var k Kept
	if err := read(r, &k); err != nil {
		return err
	}
	if k.Keep != fields.Here && k.Keep != fields.Theirs && k.Keep != fields.Both {
		return wrong("/keep", "`"+string(k.Keep)+"` is not a choice.", "Send here, theirs or both.")
	}
	job := r.PathValue("job")
	if sees := sieveOf(r.Context()); !sees.whole() {
		open, err := s.store.Differences(r.Context(), job)
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(sees.differences(open), func(d store.DifferingView) bool { return d.Number == number }) {
			return problem(http.StatusNotFound, "There is no such difference.", "Read the job's changes again.")
		}
	}
	revision, err := s.store.Settle(r.Context(), job, number, k.Keep, by(r.Context(), k.By), s.about)
	var both *fields.OneValueError
	switch {
	case errors.As(err, &both):
		return wrong("/keep", both.Error()+".", "Send here or theirs.")
	case errors.Is(err, store.ErrAbsent):
		return problem(http.StatusNotFound, "That difference is settled already.", "Read the job's changes again.")
	case err != nil:
		return err
	}
	s.hub.tell(job, Event{Kind: "changed", Revision: revision})
	w.Header().Set("ETag", etag(revision))
	return reply(w, http.StatusOK, Put{revision})
}
