// Package web is the page: the questions of a job as screens, in plain HTML that works by itself, made live by small scripts.
// Screens are data; answers come from the same plan as every other face. No rule of the trade lives here.
package web

import (
	"net/http"

	"slabwright/internal/faces/api"
)

// Page serves the screens.
type Page struct {
	office *api.Server
	mux    *http.ServeMux
}

// New is the page over the interface of a running program.
func New(office *api.Server) *Page {
	p := &Page{office: office, mux: http.NewServeMux()}
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

// ServeHTTP answers for every address of the page.
func (p *Page) ServeHTTP(w http.ResponseWriter, r *http.Request) { p.mux.ServeHTTP(w, r) }
