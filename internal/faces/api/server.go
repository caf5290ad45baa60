// Package api is the program over HTTP: jobs and their changes, answers, pictures, sheets, long works and events, described by
// an OpenAPI document that is made from the same table as the routes.
package api

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"strconv"
	"strings"
	"time"

	"slabwright/internal/rim/store"
	"slabwright/internal/rim/works"
)

// Prefix is where the interface stands.
const Prefix = "/api/v1"

// Server answers for the jobs of one store.
type Server struct {
	store    *store.Store
	log      *slog.Logger
	now      func() time.Time
	desks    desks
	hub      hub
	works    *works.Works
	watch    context.CancelFunc
	patience time.Duration

	darkroom chan struct{} // holds the photo that is being taken in
	shop     shopLists     // as last read

	refresh refresher
}

// Options say how a server works.
type Options struct {
	Log     *slog.Logger
	Now     func() time.Time // with the machine's time zone
	Edition string           // of the program
	AtOnce  int              // long works done here at once; 0: other processes do them
	Lost    time.Duration    // silence after which another process that does long works is taken for gone; 0: usual

	Patience time.Duration // works that are going on when the server ends have so long to end; 0: usual
}

// Open makes a server for the jobs of a store, and takes its part in the long works.
func Open(ctx context.Context, jobs *store.Store, o Options) (*Server, error) {
	s := &Server{store: jobs, log: o.Log, now: o.Now, patience: cmp.Or(o.Patience, worksEnd), darkroom: make(chan struct{}, 1)}
	s.hub.poke = make(chan struct{}, 1)
	var err error
	s.works, err = works.Open(ctx, works.Options{Store: jobs, Hear: s.heard, Drawn: s.drawn, Draw: s.made, Edition: o.Edition, Places: o.AtOnce, Lost: o.Lost, Now: o.Now, Log: o.Log, Changed: s.hub.look})
	if err != nil {
		return nil, err
	}
	s.desks.memory = s.works
	watching, stop := context.WithCancel(context.WithoutCancel(ctx))
	s.watch = stop
	go s.watchOthers(watching)
	return s, nil
}

// worksEnd is how long works that are going on usually have to end when the server does; then they are handed back.
const worksEnd = 2 * time.Second

// Close hands back the long works and ends the streams of events.
func (s *Server) Close() error {
	s.watch()
	s.refresh.close()
	s.hub.close()
	return s.works.Close(s.patience)
}

// Tidy forgets long works of long ago.
func (s *Server) Tidy(ctx context.Context) error { return s.works.Tidy(ctx) }

// Handler serves the whole interface.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	for _, r := range s.routes() {
		mux.Handle(r.method+" "+r.path, s.serve(r))
	}
	mux.HandleFunc("/api/", func(w http.ResponseWriter, r *http.Request) {
		s.fail(w, r, s.astray(mux, r))
	})
	return mux
}

// astray says why no route took a request: the address is unknown, or takes other methods.
func (s *Server) astray(mux *http.ServeMux, r *http.Request) error {
	var allowed []string
	for _, method := range []string{http.MethodGet, http.MethodPut, http.MethodPost, http.MethodDelete} {
		probe := r.Clone(r.Context())
		probe.Method = method
		if _, pattern := mux.Handler(probe); pattern != "" && pattern != "/api/" {
			allowed = append(allowed, method)
		}
	}
	if len(allowed) > 0 {
		return problem(http.StatusMethodNotAllowed, "This address does not take "+strconv.Quote(r.Method)+".", "Use "+strings.Join(allowed, " or ")+".")
	}
	return problem(http.StatusNotFound, "There is nothing at this address.", "What there is stands in /api/openapi.json.")
}

// serve runs one route within its limits and tells its errors.
func (s *Server) serve(route route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			if p := recover(); p != nil && p != http.ErrAbortHandler { //nolint:errorlint // a panic's value
				s.log.Error("a mistake in the program", "route", r.Pattern, "panic", p)
				s.fail(w, r, errors.New("panic"))
			}
		}()
		if err := s.allowed(r, route.name); err != nil {
			s.fail(w, r, err)
			return
		}
		limit := route.limit
		if limit == 0 {
			limit = maxBody
		}
		r.Body = http.MaxBytesReader(w, r.Body, limit)
		if !route.stream {
			ctx, cancel := context.WithTimeout(r.Context(), requestTime)
			defer cancel()
			r = r.WithContext(ctx)
		}
		if err := route.handle(w, r); err != nil {
			s.fail(w, r, err)
			return
		}
		s.noted(r, route.name)
	})
}

// Limits of one request.
const (
	maxBody     = 1 << 20
	requestTime = 60 * time.Second
)

// reply writes a value as JSON.
func reply(w http.ResponseWriter, status int, value any) error {
	text, err := json.Marshal(value)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	if w.Header().Get("Cache-Control") == "" {
		w.Header().Set("Cache-Control", "no-cache")
	}
	w.WriteHeader(status)
	_, _ = w.Write(text) // the caller went away
	return nil
}

// read decodes the body of a request.
func read(r *http.Request, into any) error {
	text, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	if len(text) == 0 {
		return problem(http.StatusBadRequest, "There is no body.", "Send a JSON object.")
	}
	d := json.NewDecoder(strings.NewReader(string(text)))
	d.DisallowUnknownFields()
	d.UseNumber()
	if err := d.Decode(into); err != nil {
		return problem(http.StatusBadRequest, "The body cannot be read: "+said(err)+".", "Send one JSON object as /api/openapi.json describes it.")
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return problem(http.StatusBadRequest, "The body goes on after its end.", "Send one JSON object.")
	}
	return nil
}

// said is what a JSON error says, without the names of the program's types.
func said(err error) string {
	var kind *json.UnmarshalTypeError
	if errors.As(err, &kind) {
		return "`" + kind.Field + "` is not of the right kind"
	}
	return strings.TrimPrefix(err.Error(), "json: ")
}

// etag writes a job's revision as an entity tag.
func etag(revision int64) string { return `"r` + strconv.FormatInt(revision, 10) + `"` }

// wanted reads the revision a write was made on. Without one the write is not taken: it could undo what nobody saw.
func wanted(r *http.Request) (int64, error) {
	text := r.Header.Get("If-Match")
	if text == "" {
		return 0, problem(http.StatusPreconditionRequired, "This replaces what is there, so it must say which revision it was made on.", "Send If-Match with the ETag the job was read with.")
	}
	number, ok := strings.CutPrefix(strings.Trim(text, `"`), "r")
	revision, err := strconv.ParseInt(number, 10, 64)
	if !ok || err != nil {
		return 0, problem(http.StatusPreconditionFailed, "If-Match is not an ETag of a job.", "Send it as it was received, like \"r12\".")
	}
	return revision, nil
}

// fresh says whether the caller has this version already, and answers so.
func fresh(w http.ResponseWriter, r *http.Request, tag string) bool {
	w.Header().Set("ETag", tag)
	for _, have := range strings.Split(r.Header.Get("If-None-Match"), ",") {
		if strings.TrimPrefix(strings.TrimSpace(have), "W/") == tag {
			w.WriteHeader(http.StatusNotModified)
			return true
		}
	}
	return false
}
