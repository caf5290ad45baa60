// Package web is the page: the questions of a job as screens, in plain HTML that works by itself, made live by small scripts.
// Screens are data; answers come from the same plan as every other face. No rule of the trade lives here.
package web

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"time"

	"slabwright/internal/trade/plan"
)

// ErrNotFound is what an Office answers when it has no job of that name.
var ErrNotFound = errors.New("web: no such job")

// Set is one value put into a job's document; a nil Value takes the line out.
type Set struct {
	Pointer string          `json:"pointer"`
	Value   json.RawMessage `json:"value"`
}

// Summary is one job of the list.
type Summary struct {
	ID, Title, Number, Address string
	PourDate                   string // 2027-06-17, empty while nobody said one
	Yards                      string // "11.50 yd³"
	Verdict                    string // good, care, stop; empty: not computed
	Trust                      string
	Crew                       string
	Revision                   int64
	Changed                    time.Time
}

// Office is where jobs are kept and planned.
type Office interface {
	// Document is the job as it stands, with its revision.
	Document(ctx context.Context, id string) (json.RawMessage, int64, error)
	// Plan answers the named stages of a job with some values set for the question only. Faults of the document come back as the error.
	Plan(ctx context.Context, id string, sets []Set, stages ...string) (plan.Plan, int64, error)
	// Jobs lists jobs whose words match find, latest change first, after a place in the list.
	Jobs(ctx context.Context, find, after string, limit int) (page []Summary, next string, err error)
	// Create keeps a new job.
	Create(ctx context.Context, id string, document json.RawMessage) error
	// Sheets names the files of a job that can be printed or sent.
	Sheets(ctx context.Context, id string) ([]SheetFile, error)
}

// SheetFile is one printable file of a job.
type SheetFile struct{ Name, Title string }

// Page serves the screens.
type Page struct {
	office Office
	mux    *http.ServeMux
	now    func() time.Time
}

// New is the page over an office; now is the clock.
func New(office Office, now func() time.Time) *Page {
	p := &Page{office: office, mux: http.NewServeMux(), now: now}
	p.mux.HandleFunc("GET /{$}", p.first)
	p.mux.HandleFunc("POST /start", p.start)
	p.mux.HandleFunc("POST /practice", p.practice)
	p.mux.HandleFunc("GET /jobs", p.jobs)
	p.mux.HandleFunc("GET /jobs/{id}", p.enter)
	p.mux.HandleFunc("GET /jobs/{id}/{screen}", p.screen)
	p.mux.HandleFunc("GET /jobs/{id}/pictures/{name}", p.picture)
	p.mux.HandleFunc("GET /jobs/{id}/why/{figure}", p.why)
	p.mux.HandleFunc("GET /week", p.week)
	p.mux.HandleFunc("GET /settings", p.settings)
	p.mux.HandleFunc("GET /words", p.words)
	p.mux.HandleFunc("GET /assets/{build}/{file...}", serveAsset)
	p.mux.HandleFunc("GET /sw.js", serveWorker)
	p.mux.HandleFunc("GET /manifest.webmanifest", serveManifest)
	return p
}

// policy lets the page load only what it brings itself.
const policy = "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// ServeHTTP answers with headers that keep everything foreign out.
func (p *Page) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	p.mux.ServeHTTP(w, r)
}
