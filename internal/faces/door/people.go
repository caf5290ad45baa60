package door

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"slabwright/internal/faces/api"
	"slabwright/internal/faces/web"
	"slabwright/internal/rim/store"
)

// inviteLasts is how long a one-time link may be used.
const inviteLasts = 72 * time.Hour

// peoplePage lists everybody for the owner.
type peoplePage struct {
	Head   any
	People []store.Person
	Roles  []store.Role
	Wrong  string
	Link   string // made just now, shown once
	For    string
	Name   string // as typed
	SignIn string
	Me     string
}

func (d *Door) people(w http.ResponseWriter, r *http.Request) { d.showPeople(w, r, peoplePage{}) }

func (d *Door) showPeople(w http.ResponseWriter, r *http.Request, page peoplePage) {
	all, err := d.store.People(r.Context())
	if err != nil {
		d.trouble(w, r, err)
		return
	}
	v, _ := api.ViewerOf(r.Context())
	page.Head, page.People, page.Roles, page.Me = web.Head(r, "People"), all, store.Roles(), v.Person
	if page.Wrong != "" {
		w.WriteHeader(http.StatusUnprocessableEntity)
	}
	d.show(w, "people", page)
}

func (d *Door) addPerson(w http.ResponseWriter, r *http.Request) {
	v, _ := api.ViewerOf(r.Context())
	p := store.Person{ID: store.NewID(), Name: strings.TrimSpace(shortened(r.PostFormValue("name"), 100)), SignIn: store.SignInName(shortened(r.PostFormValue("sign_in"), 200)), Role: store.Role(r.PostFormValue("role"))}
	page := peoplePage{Name: p.Name, SignIn: p.SignIn}
	page.Wrong = nameFault(p)
	if page.Wrong == "" && !slices.Contains(store.Roles(), p.Role) {
		page.Wrong = "Pick a role."
	}
	if page.Wrong == "" {
		switch err := d.store.AddPerson(r.Context(), v.Actor, p, ""); {
		case errors.Is(err, store.ErrThere):
			page.Wrong = "Somebody signs in as " + p.SignIn + " already."
		case err != nil:
			d.trouble(w, r, err)
			return
		}
	}
	if page.Wrong != "" {
		d.showPeople(w, r, page)
		return
	}
	d.showInvite(w, r, v.Actor, p)
}

// showInvite makes a one-time link and shows it, this once.
func (d *Door) showInvite(w http.ResponseWriter, r *http.Request, by store.Actor, p store.Person) {
	link, err := NewInvite(r.Context(), d.store, by, p.ID, d.Now())
	if err != nil {
		d.trouble(w, r, err)
		return
	}
	d.showPeople(w, r, peoplePage{Link: d.address(r, link), For: p.Name})
}

// address is a path of this server as others open it.
func (d *Door) address(r *http.Request, path string) string {
	base := url.URL{Scheme: "http", Host: r.Host}
	if d.Public != nil {
		base = url.URL{Scheme: d.Public.Scheme, Host: d.Public.Host}
	}
	return base.JoinPath(path).String()
}

// someone reads whom a form is about, and who sends it.
func (d *Door) someone(w http.ResponseWriter, r *http.Request) (store.Person, store.Actor, bool) {
	v, _ := api.ViewerOf(r.Context())
	p, _, err := d.store.Person(r.Context(), r.PathValue("id"))
	if errors.Is(err, store.ErrAbsent) {
		w.WriteHeader(http.StatusNotFound)
		d.show(w, "missing", map[string]any{"Head": web.Head(r, "Nothing here")})
		return p, v.Actor, false
	}
	if err != nil {
		d.trouble(w, r, err)
		return p, v.Actor, false
	}
	return p, v.Actor, true
}

func (d *Door) setRole(w http.ResponseWriter, r *http.Request) {
	p, by, ok := d.someone(w, r)
	if !ok {
		return
	}
	role := store.Role(r.PostFormValue("role"))
	if !slices.Contains(store.Roles(), role) {
		d.showPeople(w, r, peoplePage{Wrong: "Pick a role."})
		return
	}
	d.changed(w, r, d.store.SetRole(r.Context(), by, p.ID, role))
}

func (d *Door) setDisabled(w http.ResponseWriter, r *http.Request) {
	if p, by, ok := d.someone(w, r); ok {
		d.changed(w, r, d.store.SetDisabled(r.Context(), by, p.ID, r.PostFormValue("disabled") == "yes"))
	}
}

func (d *Door) inviteAgain(w http.ResponseWriter, r *http.Request) {
	if p, by, ok := d.someone(w, r); ok {
		d.showInvite(w, r, by, p)
	}
}

// signOutPerson ends all of somebody's sessions: a lost phone.
func (d *Door) signOutPerson(w http.ResponseWriter, r *http.Request) {
	if p, by, ok := d.someone(w, r); ok {
		d.changed(w, r, d.store.EndSessions(r.Context(), by, p.ID, "", d.sessionID(r.Context())))
	}
}

func (d *Door) changed(w http.ResponseWriter, r *http.Request, err error) {
	switch {
	case errors.Is(err, store.ErrLastOwner):
		d.showPeople(w, r, peoplePage{Wrong: "The last owner stays owner. Make somebody else owner first."})
	case err != nil:
		d.trouble(w, r, err)
	default:
		http.Redirect(w, r, "/people", http.StatusSeeOther)
	}
}

// linesOfPage is how many lines of who did what one page shows.
const linesOfPage = 200

func (d *Door) happened(w http.ResponseWriter, r *http.Request) {
	lines, next, err := d.store.Happened(r.Context(), r.FormValue("after"), linesOfPage)
	if errors.Is(err, store.ErrAbsent) {
		http.Redirect(w, r, "/who-did-what", http.StatusSeeOther)
		return
	}
	if err != nil {
		d.trouble(w, r, err)
		return
	}
	zone := d.Now().Location()
	for i := range lines {
		lines[i].At = lines[i].At.In(zone)
	}
	d.show(w, "happened", map[string]any{"Head": web.Head(r, "Who did what"), "Lines": lines, "Next": next})
}
