package web

import (
	"net/http"
	"net/url"

	"slabwright/internal/rim/store"
)

// pageOfJobs is how many jobs one page of the list shows.
const pageOfJobs = 100

func (p *Page) jobs(w http.ResponseWriter, r *http.Request) {
	looking, after := r.FormValue("find"), r.FormValue("after")
	list, next, err := p.office.Jobs(r.Context(), store.Listing{Find: looking, After: after, Limit: pageOfJobs})
	if err != nil {
		p.fail(w, r, err)
		return
	}
	more := ""
	if next != "" {
		more = "/jobs?" + url.Values{"find": {looking}, "after": {next}}.Encode()
	}
	p.show(w, "jobs", map[string]any{"Head": p.head(r, "Jobs"), "Find": looking, "Jobs": list, "More": more})
}

func (p *Page) words(w http.ResponseWriter, r *http.Request) {
	p.show(w, "words", map[string]any{"Head": p.head(r, "Words")})
}
