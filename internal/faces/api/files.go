package api

import (
	"io"
	"net/http"
	"path"
	"regexp"
	"strconv"
	"strings"

	"slabwright/internal/rim/intake"
	"slabwright/internal/rim/store"
)

// Attachments lists the files beside a job.
type Attachments struct {
	Attachments []store.Attachment `json:"attachments"`
}

// aFileName is what a file beside a job may be called: no folders, nothing hidden.
var aFileName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9 ._()-]{0,119}$`)

// attachable are the kinds of file that go beside a job, by their ending.
var attachable = map[string]string{".csv": "text/csv; charset=utf-8", ".txt": "text/plain; charset=utf-8", ".xml": "application/xml", ".dxf": "image/vnd.dxf", ".json": "application/json"}

// maxAttachment is the largest file beside a job, in bytes.
const maxAttachment = 4 << 20

func (s *Server) putAttachment(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("name")
	media := attachable[strings.ToLower(path.Ext(name))]
	if !aFileName.MatchString(name) || media == "" {
		return problem(http.StatusBadRequest, "The file cannot have this name.", "Name it like forecast.csv: letters, digits, dots and dashes, ending in .csv, .txt, .xml, .dxf or .json.")
	}
	text, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	if len(text) == 0 {
		return problem(http.StatusBadRequest, "The file is empty.", "Send what is in it as the body.")
	}
	a, revision, err := s.store.Attach(r.Context(), r.PathValue("job"), store.Attachment{Name: name, Media: media, Bytes: text})
	if err != nil {
		return err
	}
	s.hub.tell(r.PathValue("job"), Event{Kind: "changed", Revision: revision})
	w.Header().Set("ETag", strconv.Quote(a.Version))
	return reply(w, http.StatusOK, a)
}

func (s *Server) getAttachment(w http.ResponseWriter, r *http.Request) error {
	a, err := s.store.Attachment(r.Context(), r.PathValue("job"), r.PathValue("name"))
	if err != nil {
		return err
	}
	if fresh(w, r, strconv.Quote(a.Version)) {
		return nil
	}
	w.Header().Set("Content-Type", a.Media)
	w.Header().Set("Content-Disposition", "attachment; filename="+strconv.Quote(a.Name))
	_, _ = w.Write(a.Bytes)
	return nil
}

func (s *Server) listAttachments(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.store.Job(r.Context(), r.PathValue("job")); err != nil {
		return err
	}
	all, err := s.store.Attachments(r.Context(), r.PathValue("job"))
	if err != nil {
		return err
	}
	return reply(w, http.StatusOK, Attachments{all})
}

func (s *Server) getSchema(w http.ResponseWriter, _ *http.Request) error {
	w.Header().Set("Cache-Control", "max-age=3600")
	return reply(w, http.StatusOK, intake.JobSchema())
}

// Health says that the server is there and its file can be read.
type Health struct {
	Status string `json:"status"`
}

func (s *Server) health(w http.ResponseWriter, r *http.Request) error {
	if _, _, err := s.store.List(r.Context(), store.Listing{Limit: 1}); err != nil {
		return err
	}
	return reply(w, http.StatusOK, Health{"ok"})
}
