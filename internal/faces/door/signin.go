package door

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"slabwright/internal/faces/api"
	"slabwright/internal/faces/web"
	"slabwright/internal/rim/store"
)

// show writes a page of the door whole. Nothing of it is kept by anybody.
func (d *Door) show(w http.ResponseWriter, name string, data any) {
	var out bytes.Buffer
	if err := d.pages.ExecuteTemplate(&out, name, data); err != nil {
		d.Log.Error("a page of the door could not be written", "page", name, "error", err)
		out.Reset()
		out.WriteString("This page could not be written.")
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write(out.Bytes()) // the browser has gone when this fails
}

// form is what the pages of those who come in show.
type form struct {
	Head  any
	Wrong string
	Next  string
	Name  string
	Out   bool
	Token string
	Crew  string
	First bool // the first owner
	For   store.Person
}

// local is where to go after signing in: an address of this server only.
func local(next string) string {
	u, err := url.Parse(next)
	if err != nil || u.Scheme != "" || u.Host != "" || !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") || strings.ContainsAny(next, "\\\r\n\t") || strings.HasPrefix(u.Path, "/sign-") {
		return "/"
	}
	return next
}

func (d *Door) signInPage(w http.ResponseWriter, r *http.Request) {
	d.show(w, "signin", form{Head: web.Head(r, "Sign in"), Next: local(r.FormValue("next")), Out: r.FormValue("out") != ""})
}

// Limits of what may be tried.
const (
	freeTries = 5  // on one account from one place
	freeAll   = 20 // on one account from anywhere
	freePlace = 30 // from one place, whatever is tried
	mostTries = 100
	longest   = 15 * time.Minute
)

// triedTooOften is said where waiting does not help.
const triedTooOften = "This has been tried too often. Ask the owner for a new link."

// tried counts an attempt and says whether it may be looked at; where not, it has answered.
func (d *Door) tried(w http.ResponseWriter, r *http.Request, page string, f form, limits ...store.Limit) bool {
	wait, shut, err := d.store.Attempt(r.Context(), limits...)
	switch {
	case err != nil:
		d.trouble(w, r, err)
		return false
	case shut:
		f.Wrong = triedTooOften
	case wait > 0:
		f.Wrong = "Too many tries. Wait " + waiting(wait) + ", then try again."
	default:
		return true
	}
	if wait > 0 {
		w.Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(wait.Seconds()))))
	}
	w.WriteHeader(http.StatusTooManyRequests)
	d.show(w, page, f)
	return false
}

func waiting(wait time.Duration) string {
	if wait <= time.Minute {
		return fmt.Sprintf("%d s", int(math.Ceil(wait.Seconds())))
	}
	return fmt.Sprintf("%d min", int(math.Ceil(wait.Minutes())))
}

// refused answers who typed something wrong.
func (d *Door) refused(w http.ResponseWriter, page string, f form, why string) {
	f.Wrong = why
	w.WriteHeader(http.StatusUnprocessableEntity)
	d.show(w, page, f)
}

// busy answers when hashes have to wait too long.
func (d *Door) busy(w http.ResponseWriter, r *http.Request, page string, f form, err error) {
	if !errors.Is(err, errBusy) {
		d.trouble(w, r, err)
		return
	}
	w.Header().Set("Retry-After", "5")
	f.Wrong = "Many people sign in at this moment. Try again in a few seconds."
	w.WriteHeader(http.StatusServiceUnavailable)
	d.show(w, page, f)
}

func (d *Door) place(r *http.Request) string { return "place " + network(d.addressOf(r)) }

func (d *Door) signIn(w http.ResponseWriter, r *http.Request) {
	f := form{Head: web.Head(r, "Sign in"), Next: local(r.PostFormValue("next")), Name: shortened(r.PostFormValue("name"), 200)}
	account, place := store.AboutAccount(f.Name), d.place(r)
	here := account + " " + place
	if !d.tried(w, r, "signin", f, store.Limit{About: here, Free: freeTries, Most: longest}, store.Limit{About: account, Free: freeAll, Most: longest, Shut: mostTries}, store.Limit{About: place, Free: freePlace, Most: longest}) {
		return
	}
	ctx := r.Context()
	p, hash, err := d.store.PersonCalled(ctx, f.Name)
	if err != nil && !errors.Is(err, store.ErrAbsent) {
		d.trouble(w, r, err)
		return
	}
	password := shortened(r.PostFormValue("password"), mostPassword+1)
	ok, weak, err := right(ctx, password, hash)
	if err != nil {
		d.busy(w, r, "signin", f, err)
		return
	}
	who := store.Actor{Who: p.Name, Person: p.ID, Address: d.addressOf(r)}
	if !ok || p.Disabled {
		if who.Who == "" {
			who.Who = "an unknown name" // not the name as typed: it may be a password in the wrong box
		}
		if err := d.store.Note(ctx, who, "sign-in refused", ""); err != nil {
			d.Log.Error("a refusal could not be written down", "error", err)
		}
		d.refused(w, "signin", f, "The name or the password is not right.")
		return
	}
	if weak {
		if hash, err := Hash(ctx, password); err == nil {
			err = d.store.Rehash(ctx, p.ID, hash)
			if err != nil {
				d.Log.Warn("a password keeps its older hash", "error", err)
			}
		}
	}
	if err := errors.Join(d.store.Forgive(ctx, account, here), d.store.Took(ctx, place), d.welcome(r, who)); err != nil {
		d.trouble(w, r, err)
		return
	}
	http.Redirect(w, r, f.Next, http.StatusSeeOther)
}

// welcome signs a person in on this device and writes it down.
func (d *Door) welcome(r *http.Request, who store.Actor) error {
	if err := d.begin(r, d.Now().Add(lasts), map[string]string{keyPerson: who.Person}); err != nil {
		return err
	}
	return d.store.Note(r.Context(), who, "signed in", "")
}

func (d *Door) signOut(w http.ResponseWriter, r *http.Request) {
	v, _ := api.ViewerOf(r.Context())
	if err := errors.Join(d.store.Note(r.Context(), v.Actor, "signed out", ""), d.sessions.Destroy(r.Context())); err != nil {
		d.trouble(w, r, err)
		return
	}
	w.Header().Set("Clear-Site-Data", `"cache"`) // not "storage": changes that wait for signal stay
	http.Redirect(w, r, "/sign-in?out=1", http.StatusSeeOther)
}

// invitedPage is where a one-time link leads. Opening it uses nothing up: programs that look at links before people do are common.
func (d *Door) invitedPage(w http.ResponseWriter, r *http.Request) {
	f, ok := d.invitation(w, r)
	if ok {
		d.show(w, "invited", f)
	}
}

func (d *Door) invitation(w http.ResponseWriter, r *http.Request) (form, bool) {
	f := form{Head: web.Head(r, "Set your password"), Token: r.PathValue("token"), Name: shortened(r.PostFormValue("name"), 100)}
	p, err := d.store.Invited(r.Context(), store.TokenHash(f.Token))
	switch {
	case errors.Is(err, store.ErrAbsent):
		w.WriteHeader(http.StatusNotFound)
		d.show(w, "linkgone", form{Head: web.Head(r, "This link is used up")})
		return f, false
	case err != nil:
		d.trouble(w, r, err)
		return f, false
	}
	f.For, f.First = p, p.ID == ""
	return f, true
}

func (d *Door) invited(w http.ResponseWriter, r *http.Request) {
	f, ok := d.invitation(w, r)
	if !ok {
		return
	}
	who := f.For
	if f.First {
		who = store.Person{ID: store.NewID(), Name: strings.TrimSpace(f.Name), SignIn: store.SignInName(shortened(r.PostFormValue("sign_in"), 200)), Role: store.Owner}
		f.For = who
		if why := nameFault(who); why != "" {
			d.refused(w, "invited", f, why)
			return
		}
	}
	hash, why, err := newPassword(r, who)
	if why != "" {
		d.refused(w, "invited", f, why)
		return
	}
	if err != nil {
		d.busy(w, r, "invited", f, err)
		return
	}
	p, err := d.store.Redeem(r.Context(), store.Actor{Address: d.addressOf(r)}, store.TokenHash(f.Token), hash, who)
	if errors.Is(err, store.ErrAbsent) {
		w.WriteHeader(http.StatusNotFound)
		d.show(w, "linkgone", form{Head: web.Head(r, "This link is used up")})
		return
	}
	if err == nil {
		err = d.welcome(r, store.Actor{Who: p.Name, Person: p.ID, Address: d.addressOf(r)})
	}
	if err != nil {
		d.trouble(w, r, err)
		return
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

// newPassword reads the two boxes of a new password: its hash, or why it will not do.
func newPassword(r *http.Request, p store.Person) (hash, why string, err error) {
	password := r.PostFormValue("new")
	if password != r.PostFormValue("again") {
		return "", "The two passwords are not the same.", nil
	}
	if why := PasswordFault(password, p.Name, p.SignIn); why != "" {
		return "", why, nil
	}
	hash, err = Hash(r.Context(), password)
	return hash, "", err
}

// nameFault says why somebody cannot be called so.
func nameFault(p store.Person) string {
	switch {
	case p.Name == "":
		return "Type a name, as others see it beside changes."
	case p.SignIn == "":
		return "Type an e-mail address or a name to sign in with."
	case strings.ContainsFunc(p.Name+p.SignIn, func(r rune) bool { return r < ' ' || r == 0x7f }):
		return "A name has letters, digits and signs, on one line."
	}
	return ""
}
