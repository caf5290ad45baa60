package door

import (
	"errors"
	"net/http"

	"slabwright/internal/faces/api"
	"slabwright/internal/faces/web"
	"slabwright/internal/rim/store"
)

// youPage is what a person sees of itself.
type youPage struct {
	Head     any
	Who      api.Viewer
	Me       store.Person
	Sessions []sessionView
	Wrong    string
	Done     string
}

type sessionView struct {
	store.Session
	This bool
}

func (d *Door) you(w http.ResponseWriter, r *http.Request) {
	page := youPage{}
	if r.FormValue("changed") != "" {
		page.Done = "The new password holds. You are signed out everywhere else."
	}
	d.showYou(w, r, page)
}

func (d *Door) showYou(w http.ResponseWriter, r *http.Request, page youPage) {
	page.Who, _ = api.ViewerOf(r.Context())
	page.Head = web.Head(r, page.Who.Who)
	if page.Who.Person != "" {
		var err error
		if page.Me, _, err = d.store.Person(r.Context(), page.Who.Person); err != nil {
			d.trouble(w, r, err)
			return
		}
		all, err := d.store.Sessions(r.Context(), page.Who.Person)
		if err != nil {
			d.trouble(w, r, err)
			return
		}
		for _, one := range all {
			one.Made, one.Seen = one.Made.In(d.Now().Location()), one.Seen.In(d.Now().Location())
			page.Sessions = append(page.Sessions, sessionView{one, one.ID == d.sessionID(r.Context())})
		}
	}
	if page.Wrong != "" {
		w.WriteHeader(http.StatusUnprocessableEntity)
	}
	d.show(w, "you", page)
}

// changePassword takes the old password and a new one. It counts as an attempt: an open screen is no reason to guess without end.
func (d *Door) changePassword(w http.ResponseWriter, r *http.Request) {
	ctx := r.Context()
	v, _ := api.ViewerOf(ctx)
	p, hash, err := d.store.Person(ctx, v.Person)
	if err != nil {
		d.trouble(w, r, err)
		return
	}
	account := store.AboutAccount(p.SignIn)
	wait, shut, err := d.store.Attempt(ctx, store.Limit{About: account, Free: freeTries, Most: longest, Shut: mostTries})
	if err != nil {
		d.trouble(w, r, err)
		return
	}
	if wait > 0 || shut {
		why := "Too many tries. Wait " + waiting(wait) + ", then try again."
		if shut {
			why = triedTooOften
		}
		d.showYou(w, r, youPage{Wrong: why})
		return
	}
	ok, _, err := right(ctx, shortened(r.PostFormValue("old"), mostPassword+1), hash)
	var why string
	if err == nil && !ok {
		why = "The old password is not right."
	}
	if err == nil && why == "" {
		hash, why, err = newPassword(r, p)
	}
	if errors.Is(err, errBusy) {
		why, err = "Many people sign in at this moment. Try again in a few seconds.", nil
	}
	if err == nil && why != "" {
		d.showYou(w, r, youPage{Wrong: why})
		return
	}
	if err == nil {
		err = d.store.SetPassword(ctx, v.Actor, p.ID, hash, "")
	}
	if err == nil {
		err = d.begin(r, d.Now().Add(lasts), map[string]string{keyPerson: p.ID})
	}
	if err != nil {
		d.trouble(w, r, err)
		return
	}
	http.Redirect(w, r, "/you?changed=1", http.StatusSeeOther)
}

// endSessions signs this person out on another device, or on all others.
func (d *Door) endSessions(w http.ResponseWriter, r *http.Request) {
	v, _ := api.ViewerOf(r.Context())
	if err := d.store.EndSessions(r.Context(), v.Actor, v.Person, r.PostFormValue("session"), d.sessionID(r.Context())); err != nil {
		d.trouble(w, r, err)
		return
	}
	http.Redirect(w, r, "/you", http.StatusSeeOther)
}
