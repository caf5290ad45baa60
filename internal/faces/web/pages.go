package web

import (
	"bytes"
	"cmp"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"errors"
	"html/template"
	"io/fs"
	"net/http"
	"strings"
	"sync"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/api"
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/known"
)

// head is what every page begins with.
type head struct {
	Title string
	Build string
	Light string // bright or dark where the person chose; else as the device says
	Person
}

// Head is what a page of another face begins with, for the templates of Pages.
func Head(r *http.Request, title string) any { return (*Page)(nil).head(r, title) }

func (p *Page) head(r *http.Request, title string) head {
	h := head{Title: title, Build: assets().build, Person: personIn(r)}
	if c, err := r.Cookie("light"); err == nil && (c.Value == "bright" || c.Value == "dark") {
		h.Light = c.Value
	}
	return h
}

var pages = sync.OnceValue(func() *template.Template { return Pages(embedded, "pages/*.html") })

// Pages are the templates in some files, with the parts every page of the program is made of: top, plainbar, foot.
func Pages(files fs.FS, pattern string) *template.Template {
	all := template.Must(template.New("pages").Funcs(template.FuncMap{
		"asset": assetURL, "upper": upper, "join": strings.Join, "id": escapeID, "screens": func() []Screen { return screens },
		"glossary": func() []word { return glossary() },
		"add":      func(a, b int) int { return a + b }, "dict": dict,
	}).ParseFS(embedded, "pages/layout.html"))
	return template.Must(all.ParseFS(files, pattern))
}

// show writes a page whole or an error, never half of one.
func (p *Page) show(w http.ResponseWriter, name string, data any) {
	var out bytes.Buffer
	if err := pages().ExecuteTemplate(&out, name, data); err != nil {
		http.Error(w, "This page could not be written: "+err.Error(), http.StatusInternalServerError)
		return
	}
	if w.Header().Get("Content-Type") == "" {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
	}
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write(out.Bytes()) // the browser has gone when this fails
}

func (p *Page) fail(w http.ResponseWriter, r *http.Request, err error) {
	var known *api.Problem
	if errors.As(err, &known) && known.Status == http.StatusNotFound {
		p.missing(w, r)
		return
	}
	if errors.As(err, &known) && known.Status == http.StatusForbidden {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.WriteHeader(http.StatusForbidden)
		p.show(w, "notyours", map[string]any{"Head": p.head(r, "Not for your role")})
		return
	}
	w.WriteHeader(http.StatusInternalServerError)
	p.show(w, "failed", map[string]any{"Head": p.head(r, "Something went wrong"), "Says": err.Error()})
}

func (p *Page) missing(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(http.StatusNotFound)
	p.show(w, "missing", map[string]any{"Head": p.head(r, "Nothing here")})
}

// firstPage is the page a person meets first: three boxes, a picture, and the jobs there are.
type firstPage struct {
	head
	Units                         string
	Length, Width, Thickness, Use string
	Wrong                         []faultView
	Recent                        []store.Summary
}

func (p *Page) first(w http.ResponseWriter, r *http.Request) {
	if personIn(r).Is(string(store.Crew)) {
		http.Redirect(w, r, "/today", http.StatusSeeOther)
		return
	}
	recent, _, err := p.office.Jobs(r.Context(), store.Listing{Limit: 5})
	if err != nil {
		p.fail(w, r, err)
		return
	}
	units, _, err := p.office.NewJob(r.Context())
	if err != nil {
		p.fail(w, r, err)
		return
	}
	p.show(w, "first", firstPage{head: p.head(r, "How many yards?"), Units: cmp.Or(units, unitsFor(r)), Recent: recent})
}

// unitsFor guesses the units from the browser's language: feet where people speak US English, or say nothing.
func unitsFor(r *http.Request) string {
	if u := r.FormValue("units"); u == "us" || u == "metric" {
		return u
	}
	first, _, _ := strings.Cut(r.Header.Get("Accept-Language"), ",")
	if first == "" || strings.EqualFold(first, "en") || strings.HasSuffix(strings.ToUpper(first), "-US") || strings.HasPrefix(first, "*") {
		return "us"
	}
	return "metric"
}

// start makes a job from the three boxes and leads to it; what cannot be read is said beside its box.
func (p *Page) start(w http.ResponseWriter, r *http.Request) {
	in := firstPage{head: p.head(r, "How many yards?"), Units: unitsFor(r), Length: r.PostFormValue("length"), Width: r.PostFormValue("width"),
		Thickness: r.PostFormValue("thickness"), Use: r.PostFormValue("use")}
	doc := map[string]any{"units": in.Units}
	if _, zone, err := p.office.NewJob(r.Context()); err == nil && zone != "" {
		doc["time_zone"] = zone
	}
	system := quantity.US
	if in.Units == "metric" {
		system = quantity.Metric
	}
	for _, box := range []struct {
		pointer, text string
		must          bool
	}{{"/length", in.Length, true}, {"/width", in.Width, true}, {"/thickness", in.Thickness, false}, {"/use", in.Use, false}} {
		f, _ := fieldAt(box.pointer, system)
		if strings.TrimSpace(box.text) == "" {
			if box.must {
				in.Wrong = append(in.Wrong, faultView{Pointer: box.pointer, Label: labels[box.pointer], Why: "is missing.", Instead: "Type a length like 40 ft."})
			}
			continue
		}
		doc[box.pointer[1:]] = strings.TrimSpace(box.text)
		if box.pointer == "/use" {
			continue
		}
		var l known.Length
		if _, err := l.Read(box.text, quantity.Box{Name: f.Says, Unit: f.Unit, System: system}); err != nil {
			in.Wrong = append(in.Wrong, faultView{Pointer: box.pointer, Label: labels[box.pointer], Why: err.Error()})
		}
	}
	if len(in.Wrong) > 0 {
		w.WriteHeader(http.StatusUnprocessableEntity)
		p.show(w, "first", in)
		return
	}
	p.make(w, r, doc)
}

// file is a file that goes beside a new job.
type file struct {
	name string
	text []byte
}

// make keeps a new job with the files beside it and leads to its order.
func (p *Page) make(w http.ResponseWriter, r *http.Request, doc any, beside ...file) {
	id := newID()
	text, err := json.Marshal(doc)
	if err == nil {
		err = p.office.Create(r.Context(), id, text)
	}
	for _, f := range beside {
		if err == nil {
			err = p.office.Attach(r.Context(), id, f.name, f.text)
		}
	}
	if err != nil {
		p.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/jobs/"+id+"/order", http.StatusSeeOther)
}

func newID() string {
	var b [8]byte
	_, _ = rand.Read(b[:]) // never fails
	return hex.EncodeToString(b[:])
}

// escapeID makes a pointer fit for an element's id.
func escapeID(pointer string) string {
	return strings.NewReplacer("/", "-", " ", "_", ".", "-").Replace(pointer)
}

// dict hands several values to a part of a page by name.
func dict(pairs ...any) map[string]any {
	m := map[string]any{}
	for i := 0; i+1 < len(pairs); i += 2 {
		m[pairs[i].(string)] = pairs[i+1]
	}
	return m
}
