// Package web is the page: the questions of a job as screens, in plain HTML that works by itself, made live by small scripts.
// Screens are data; answers come from the same plan as every other face. No rule of the trade lives here.
package web

import (
	"net/http"

	"slabwright/internal/faces/api"
	"slabwright/internal/rim/store"
)

// Page serves the screens.
type Page struct {
	office *api.Server
	mux    *http.ServeMux
	rights map[string]store.Role // by pattern: the role it takes at least
}

// New is the page over the interface of a running program.
func New(office *api.Server) *Page {
	p := &Page{office: office, mux: http.NewServeMux(), rights: map[string]store.Role{}}
	p.on(store.Crew, "GET /{$}", p.first)
	p.on(store.Foreman, "POST /start", p.start)
	p.on(store.Foreman, "POST /practice", p.practice)
	p.on(store.Crew, "GET /today", p.today)
	p.on(store.Foreman, "GET /jobs", p.jobs)
	p.on(store.Crew, "GET /jobs/{id}", p.enter)
	p.on(store.Crew, "GET /jobs/{id}/{screen}", p.screen)
	p.on(store.Crew, "GET /jobs/{id}/pictures/{name}", p.picture)
	p.on(store.Foreman, "GET /jobs/{id}/why/{figure}", p.why)
	p.on(store.Office, "GET /jobs/{id}/doubt", p.doubt)
	p.on(store.Foreman, "GET /week", p.week)
	p.on(store.Office, "POST /week/move", p.moveJob)
	p.on(store.Foreman, "GET /week/sheets", p.daySheets)
	p.on(store.Foreman, "GET /settings", p.settings)
	p.on(store.Office, "POST /settings/shop", p.setShop)
	p.on(store.Crew, "GET /words", p.words)
	p.on(store.Crew, "GET /assets/{build}/{file...}", serveAsset)
	p.on(store.Crew, "GET /sw.js", serveWorker)
	p.on(store.Crew, "GET /manifest.webmanifest", serveManifest)
	return p
}

// ServeHTTP answers for every address of the page.
func (p *Page) ServeHTTP(w http.ResponseWriter, r *http.Request) { p.mux.ServeHTTP(w, r) }
