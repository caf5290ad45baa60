package door

import (
	"errors"
	"net/http"
	"strings"
	"time"

	"slabwright/internal/faces/api"
	"slabwright/internal/faces/web"
	"slabwright/internal/rim/store"
)

// A crew's number: three digits name the link, the rest is its PIN.
const (
	numberDigits = 3
	pinDigits    = 6
	pinTries     = 20 // on one number, then it is shut: one chance in fifty thousand
)

// LongestLink is how long a crew link may last.
const LongestLink = 60 * 24 * time.Hour

func (d *Door) crewPage(w http.ResponseWriter, r *http.Request) {
	d.show(w, "crewin", form{Head: web.Head(r, "Crew")})
}

// crewByNumber lets a crew in by the nine digits the foreman gave it.
func (d *Door) crewByNumber(w http.ResponseWriter, r *http.Request) {
	f := form{Head: web.Head(r, "Crew"), Name: strings.TrimSpace(shortened(r.PostFormValue("name"), 60))}
	digits := strings.Map(func(c rune) rune {
		if c < '0' || c > '9' {
			return -1
		}
		return c
	}, shortened(r.PostFormValue("number"), 40))
	if len(digits) != numberDigits+pinDigits {
		d.refused(w, "crewin", f, "The number has nine digits. The foreman has it.")
		return
	}
	number, pin := digits[:numberDigits], digits[numberDigits:]
	about, place := store.AboutCrew(number), d.place(r)
	if !d.tried(w, r, "crewin", f, store.Limit{About: about, Free: freeTries, Most: longest, Shut: pinTries}, store.Limit{About: place, Free: freePlace, Most: longest}) {
		return
	}
	l, hash, err := d.store.CrewLinkOf(r.Context(), number)
	if err != nil && !errors.Is(err, store.ErrAbsent) {
		d.trouble(w, r, err)
		return
	}
	if err != nil {
		hash = ""
	}
	ok, _, err := right(r.Context(), pin, hash)
	if err != nil {
		d.busy(w, r, "crewin", f, err)
		return
	}
	if !ok {
		if err := d.store.Note(r.Context(), store.Actor{Who: "a crew's number", Address: d.addressOf(r)}, "sign-in refused", ""); err != nil {
			d.Log.Error("a refusal could not be written down", "error", err)
		}
		d.refused(w, "crewin", f, "This number is not right, or its time is over. The foreman has the right one.")
		return
	}
	if err := errors.Join(d.store.Forgive(r.Context(), about), d.store.Took(r.Context(), place)); err != nil {
		d.trouble(w, r, err)
		return
	}
	d.crewIn(w, r, l, f.Name)
}

// crewLinkPage is where a crew's link leads. It asks for one tap more, so that programs that look at links do not come in.
func (d *Door) crewLinkPage(w http.ResponseWriter, r *http.Request) {
	if l, ok := d.crewLink(w, r); ok {
		d.show(w, "crewlink", form{Head: web.Head(r, "Crew"), Token: r.PathValue("token"), Crew: l.Name})
	}
}

func (d *Door) crewLink(w http.ResponseWriter, r *http.Request) (store.CrewLink, bool) {
	l, err := d.store.CrewLinkBy(r.Context(), store.TokenHash(r.PathValue("token")))
	switch {
	case errors.Is(err, store.ErrAbsent):
		w.WriteHeader(http.StatusNotFound)
		d.show(w, "crewgone", form{Head: web.Head(r, "This link is shut")})
		return l, false
	case err != nil:
		d.trouble(w, r, err)
		return l, false
	}
	return l, true
}

func (d *Door) crewByLink(w http.ResponseWriter, r *http.Request) {
	if l, ok := d.crewLink(w, r); ok {
		d.crewIn(w, r, l, strings.TrimSpace(shortened(r.PostFormValue("name"), 60)))
	}
}

func (d *Door) crewIn(w http.ResponseWriter, r *http.Request, l store.CrewLink, name string) {
	err := d.begin(r, l.Ends, map[string]string{keyLink: l.ID, keyName: name})
	if err == nil {
		who := l.Name
		if name != "" {
			who = name + ", " + l.Name
		}
		err = d.store.Note(r.Context(), store.Actor{Who: who, Address: d.addressOf(r)}, "crew came in", l.Name)
	}
	if err != nil {
		d.trouble(w, r, err)
		return
	}
	http.Redirect(w, r, "/today", http.StatusSeeOther)
}

// crewsPage lists crew links for who runs jobs.
type crewsPage struct {
	Head   any
	Links  []crewView
	Jobs   []store.Summary
	Wrong  string
	Made   *store.CrewLink // just now: its link and its number are shown once
	Link   string
	Number string
	Until  string
	Name   string
}

type crewView struct {
	store.CrewLink
	Live bool
	What string // what it shows
}

func (d *Door) crews(w http.ResponseWriter, r *http.Request) { d.showCrews(w, r, crewsPage{}) }

func (d *Door) showCrews(w http.ResponseWriter, r *http.Request, page crewsPage) {
	now := d.Now()
	links, err := d.store.CrewLinks(r.Context(), now.Add(-LongestLink))
	if err != nil {
		d.trouble(w, r, err)
		return
	}
	if page.Jobs, _, err = d.store.List(r.Context(), store.Listing{From: now.Format(time.DateOnly), Limit: 200}); err != nil {
		d.trouble(w, r, err)
		return
	}
	for _, l := range links {
		v := crewView{CrewLink: l, Live: l.Live(now), What: "jobs of " + l.Crew + " on their day"}
		v.Ends = l.Ends.In(now.Location())
		if l.Job != "" {
			v.What = "a job in the bin"
			if one, err := d.store.Summary(r.Context(), l.Job); err == nil {
				v.What = one.Title
			}
		}
		page.Links = append(page.Links, v)
	}
	page.Head = web.Head(r, "Crews")
	if page.Until == "" {
		page.Until = now.AddDate(0, 0, 3).Format(time.DateOnly)
	}
	if page.Wrong != "" {
		w.WriteHeader(http.StatusUnprocessableEntity)
	}
	d.show(w, "crews", page)
}

// addCrew makes a crew link and shows it, this once.
func (d *Door) addCrew(w http.ResponseWriter, r *http.Request) {
	v, _ := api.ViewerOf(r.Context())
	page := crewsPage{Name: strings.TrimSpace(shortened(r.PostFormValue("name"), 60)), Until: r.PostFormValue("until")}
	now := d.Now()
	day, err := time.ParseInLocation(time.DateOnly, page.Until, now.Location())
	ends := day.AddDate(0, 0, 1)
	switch {
	case page.Name == "" || strings.ContainsFunc(page.Name, func(c rune) bool { return c < ' ' }):
		page.Wrong = "Type what the crew is called, like Crew 2."
	case err != nil || !ends.After(now):
		page.Wrong = "Type the last day it is good for, today or later."
	case ends.Sub(now) > LongestLink:
		page.Wrong = "A crew link lasts sixty days at the most."
	}
	if page.Wrong != "" {
		page.Until = ""
		d.showCrews(w, r, page)
		return
	}
	l, link, number, err := NewCrewLink(r.Context(), d.store, v.Actor, store.CrewLink{Name: page.Name, Job: r.PostFormValue("job"), Crew: page.Name, Ends: ends})
	switch {
	case errors.Is(err, store.ErrAbsent):
		page.Wrong = "That job is not there any more."
	case errors.Is(err, store.ErrCrewLinks):
		page.Wrong = "Too many crew links are open. Shut some first."
	case errors.Is(err, errBusy):
		page.Wrong = "Many people sign in at this moment. Try again in a few seconds."
	case err != nil:
		d.trouble(w, r, err)
		return
	default:
		l.Ends = l.Ends.In(now.Location())
		page = crewsPage{Made: &l, Link: d.address(r, link), Number: number}
	}
	d.showCrews(w, r, page)
}

func (d *Door) shutCrew(w http.ResponseWriter, r *http.Request) {
	v, _ := api.ViewerOf(r.Context())
	err := d.store.RevokeCrewLink(r.Context(), v.Actor, r.PathValue("id"))
	if err != nil && !errors.Is(err, store.ErrAbsent) {
		d.trouble(w, r, err)
		return
	}
	http.Redirect(w, r, "/crews", http.StatusSeeOther)
}
