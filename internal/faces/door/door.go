// Package door stands before the page and the interface of a shared server: it asks who comes, tells everything behind it who that is
// and in which role, and keeps everybody else out. What each role sees is decided behind it, in package api.
package door

import (
	"context"
	"embed"
	"errors"
	"html/template"
	"log/slog"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
	"time"

	"github.com/alexedwards/scs/v2"

	"slabwright/internal/faces/api"
	"slabwright/internal/faces/web"
	"slabwright/internal/rim/store"
)

//go:embed pages/*.html
var embedded embed.FS

// Options say how the server is reached.
type Options struct {
	Public *url.URL       // how people's browsers name it; nil: this machine only
	Behind []netip.Prefix // proxies in front of it, whose word on the caller's address is taken
	Now    func() time.Time
	Log    *slog.Logger
}

// Door asks who comes.
type Door struct {
	Options
	store    *store.Store
	sessions *scs.SessionManager
	pages    *template.Template
	open     *http.ServeMux // for those who have not signed in
	own      *http.ServeMux // for those who have
	inside   http.Handler
}

// New makes a door before what is inside.
func New(people *store.Store, o Options, inside http.Handler) *Door {
	d := &Door{Options: o, store: people, sessions: newSessions(people, o), pages: web.Pages(embedded, "pages/*.html"),
		open: http.NewServeMux(), own: http.NewServeMux(), inside: inside}
	for pattern, serve := range map[string]http.HandlerFunc{
		"GET /sign-in": d.signInPage, "POST /sign-in": d.signIn,
		"GET /crew": d.crewPage, "POST /crew": d.crewByNumber, "GET /crew/{token}": d.crewLinkPage, "POST /crew/{token}": d.crewByLink,
		"GET /start/{token}": d.invitedPage, "POST /start/{token}": d.invited,
	} {
		d.open.HandleFunc(pattern, serve)
	}
	for _, row := range d.rows() {
		d.own.HandleFunc(row.pattern, d.atLeast(row.least, row.serve))
	}
	return d
}

// row is an address of the door's own for those who are signed in.
type row struct {
	least   store.Role
	pattern string
	serve   http.HandlerFunc
}

func (d *Door) rows() []row {
	return []row{
		{store.Crew, "POST /sign-out", d.signOut},
		{store.Crew, "GET /you", d.you},
		{store.Foreman, "POST /you/password", d.changePassword},
		{store.Foreman, "POST /you/sessions", d.endSessions},
		{store.Owner, "GET /people", d.people}, {store.Owner, "POST /people", d.addPerson},
		{store.Owner, "POST /people/{id}/role", d.setRole}, {store.Owner, "POST /people/{id}/disabled", d.setDisabled}, {store.Owner, "POST /people/{id}/link", d.inviteAgain}, {store.Owner, "POST /people/{id}/out", d.signOutPerson},
		{store.Foreman, "GET /crews", d.crews}, {store.Foreman, "POST /crews", d.addCrew}, {store.Foreman, "POST /crews/{id}/shut", d.shutCrew},
		{store.Owner, "GET /who-did-what", d.happened},
	}
}

// unasked are the addresses that tell nothing of anybody's jobs: what every page is made of, and whether the server is there.
func unasked(path string) bool {
	return strings.HasPrefix(path, "/assets/") || path == "/sw.js" || path == "/manifest.webmanifest" || path == "/health"
}

// asks says whether people have to sign in: always on a shared server, and on one person's machine as soon as people were added.
func (d *Door) asks(ctx context.Context) (bool, error) {
	if d.Public != nil {
		return true, nil
	}
	return d.store.HasPeople(ctx)
}

// ServeHTTP lets in who may.
func (d *Door) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	asks, err := d.asks(r.Context())
	switch {
	case err != nil:
		d.trouble(w, r, err)
	case !asks || unasked(r.URL.Path):
		d.inside.ServeHTTP(w, r)
	default:
		d.sessions.LoadAndSave(http.HandlerFunc(d.asked)).ServeHTTP(w, r)
	}
}

func (d *Door) asked(w http.ResponseWriter, r *http.Request) {
	if _, pattern := d.open.Handler(r); pattern != "" {
		r.Body = http.MaxBytesReader(w, r.Body, mostForm)
		d.open.ServeHTTP(w, r)
		return
	}
	v, err := d.viewer(r)
	if errors.Is(err, store.ErrAbsent) {
		d.keptOut(w, r)
		return
	}
	if err != nil {
		d.trouble(w, r, err)
		return
	}
	ctx, done := context.WithCancel(api.As(r.Context(), v))
	defer done()
	if strings.HasSuffix(r.URL.Path, "/events") {
		go d.watch(ctx, r, done)
	}
	r = r.WithContext(ctx)
	if _, pattern := d.own.Handler(r); pattern != "" {
		r.Body = http.MaxBytesReader(w, r.Body, mostForm)
		d.own.ServeHTTP(w, r)
		return
	}
	d.inside.ServeHTTP(w, r)
}

// mostForm is how long a form of the door may be, in bytes.
const mostForm = 16 << 10

// watchEvery is how often a stream that stays open is asked whether its session still is.
const watchEvery = 15 * time.Second

// watch ends a stream whose session has ended meanwhile.
func (d *Door) watch(ctx context.Context, r *http.Request, done context.CancelFunc) {
	tick := time.NewTicker(watchEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			if _, err := d.store.Session(ctx, d.sessionID(r.Context())); errors.Is(err, store.ErrAbsent) {
				done()
				return
			}
		}
	}
}

// viewer is who is signed in; ErrAbsent where nobody is, or not any more.
func (d *Door) viewer(r *http.Request) (api.Viewer, error) {
	ctx := r.Context()
	who := store.Actor{Address: d.addressOf(r)}
	if id := d.sessions.GetString(ctx, keyPerson); id != "" {
		p, _, err := d.store.Person(ctx, id)
		if err == nil && p.Disabled {
			err = store.ErrAbsent
		}
		who.Who, who.Person = p.Name, p.ID
		return api.Viewer{Actor: who, Role: p.Role}, err
	}
	if id := d.sessions.GetString(ctx, keyLink); id != "" {
		l, err := d.store.CrewLink(ctx, id)
		if err == nil && !l.Live(d.Now()) {
			err = store.ErrAbsent
		}
		who.Who = l.Name
		if name := d.sessions.GetString(ctx, keyName); name != "" {
			who.Who = name + ", " + l.Name
		}
		return api.Viewer{Actor: who, Role: store.Crew, Link: l}, err
	}
	return api.Viewer{}, store.ErrAbsent
}

// keptOut leads a person to the sign-in and tells a program that it has to.
func (d *Door) keptOut(w http.ResponseWriter, r *http.Request) {
	mode := r.Header.Get("Sec-Fetch-Mode")
	page := mode == "navigate" || mode == "" && strings.Contains(r.Header.Get("Accept"), "text/html")
	if page && r.Method == http.MethodGet && !strings.HasPrefix(r.URL.Path, "/api/") {
		http.Redirect(w, r, "/sign-in?next="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
		return
	}
	w.Header().Set("Content-Type", "application/problem+json")
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("WWW-Authenticate", `Session realm="slabwright"`)
	w.WriteHeader(http.StatusUnauthorized)
	_, _ = w.Write([]byte(`{"type":"about:blank","title":"Unauthorized","status":401,"detail":"Nobody is signed in here.","errors":[{"pointer":"","message":"Nobody is signed in here.","type_this":"Sign in at /sign-in."}]}`))
}

// atLeast serves those who have at least a role.
func (d *Door) atLeast(least store.Role, serve http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if v, _ := api.ViewerOf(r.Context()); !v.Role.AtLeast(least) {
			d.Log.Warn("somebody asked for what is not for the role", "role", v.Role, "takes", least, "person", v.Person, "link", v.Link.ID, "address", v.Address)
			w.WriteHeader(http.StatusForbidden)
			d.show(w, "notyours", map[string]any{"Head": web.Head(r, "Not for your role")})
			return
		}
		serve(w, r)
	}
}

// trouble says that something went wrong, and nothing of what.
func (d *Door) trouble(w http.ResponseWriter, r *http.Request, err error) {
	if r.Context().Err() != nil {
		return // the caller went away
	}
	d.Log.Error("the door failed", "route", r.Pattern, "error", err)
	w.WriteHeader(http.StatusInternalServerError)
	d.show(w, "failed", map[string]any{"Head": web.Head(r, "Something went wrong"), "Says": "The people of this server cannot be read just now."})
}

// addressOf is the network address a request comes from: the connection's, or what a proxy in front says of it. Of what several
// proxies wrote one behind the other, the last that is no proxy of ours counts: what stands before it anybody may have written.
func (d *Door) addressOf(r *http.Request) string {
	at, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	address := at.Addr().Unmap()
	said := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for i := len(said) - 1; i >= 0 && d.proxy(address); i-- {
		one, err := netip.ParseAddr(strings.TrimSpace(said[i]))
		if err != nil {
			break
		}
		address = one.Unmap()
	}
	return address.String()
}

func (d *Door) proxy(address netip.Addr) bool {
	for _, p := range d.Behind {
		if p.Contains(address) {
			return true
		}
	}
	return false
}

// network is the part of an address that one caller cannot change at will: of an IPv6 address its first 64 bits.
func network(address string) string {
	a, err := netip.ParseAddr(address)
	if err != nil || a.Is4() {
		return address
	}
	p, err := a.WithZone("").Prefix(64)
	if err != nil {
		return address
	}
	return p.String()
}
