package web_test

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"slabwright/internal/faces/door"
	"slabwright/internal/rim/store"
)

// signedIn types name and password as a person does.
func (b *tab) signedIn(role store.Role) {
	b.Helper()
	b.open("/sign-in")
	b.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`(document.getElementById("name").value = %q, document.getElementById("password").value = %q, document.querySelector("form button[type=submit]").click())`, role, fmt.Sprintf(secretOf, role))))
	b.until(`location.pathname === "/"`)
}

// TestThePagesAtTheDoorAreForEverybody holds the pages where people come in to the same checker as the screens, and to what a
// password manager needs; every page says who is signed in and leads to the way out.
func TestThePagesAtTheDoorAreForEverybody(t *testing.T) {
	axe, err := os.ReadFile("testdata/third_party/axe-core/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	s := sharedShop(t)
	invite, link := s.links(t)
	for _, width := range []int64{1280, 320} {
		b := screenOf(t, s.Server, width, 900)
		look := func(path string) {
			t.Helper()
			b.open(path)
			b.size(width, int64(get[float64](b, `document.scrollingElement.scrollHeight + 80`)))
			b.do(chromedp.Evaluate[chromedp.Void](string(axe)))
			if wide := get[float64](b, `document.scrollingElement.scrollWidth`); wide > float64(width) {
				t.Errorf("%s scrolls sideways: %v px on %d: %s", path, wide, width, get[string](b, widest))
			}
			if list := get[[]string](b, small); len(list) > 0 {
				t.Errorf("%s: too small for a thumb: %s", path, strings.Join(list[:min(4, len(list))], "\n"))
			}
			for _, light := range []string{"light", "dark"} {
				b.light(map[string]string{"prefers-color-scheme": light})
				for _, v := range get[[]violation](b, fmt.Sprintf(runAxe, everyRule)) {
					t.Errorf("%s, %d, %s: %s (%s)\n%s", path, width, light, v.ID, v.Impact, nodes(v))
				}
			}
			b.light(map[string]string{"prefers-color-scheme": "light"})
			b.size(width, 900)
			if os.Getenv("PICTURES") != "" {
				b.picture(fmt.Sprintf("door-%d-%s", width, strings.ReplaceAll(strings.Trim(strings.Split(path, "/start/")[0]+path[:min(7, len(path))], "/"), "/", "_")))
			}
			if bad := get[[]string](b, `[...document.querySelectorAll("input[type=password]")].filter((i) => !/^(current|new)-password$/.test(i.autocomplete) || i.onpaste || i.readOnly).map((i) => i.outerHTML)`); len(bad) > 0 {
				t.Errorf("%s: no manager fills %v", path, bad)
			}
		}
		for _, path := range []string{"/sign-in", "/crew", invite, link} {
			look(path)
		}
		b.signedIn(store.Owner)
		for _, path := range []string{"/you", "/people", "/crews", "/who-did-what"} {
			look(path)
		}
		for _, path := range []string{"/jobs", "/week", "/jobs/court/build", "/people"} {
			b.open(path)
			if !get[bool](b, `[...document.querySelectorAll('a[href="/you"]')].some((a) => a.textContent.includes("The owner"))`) {
				t.Errorf("%s does not lead to the way out", path)
			}
		}
	}
}

// links are a one-time link for a new person and a crew's link, as paths.
func (s shop) links(t *testing.T) (invite, crew string) {
	t.Helper()
	people, err := store.Open(t.Context(), s.file, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	defer people.Close()
	p := store.Person{ID: "mia", Name: "Mia", SignIn: "mia", Role: store.Office}
	if err := people.AddPerson(t.Context(), store.Actor{}, p, ""); err != nil {
		t.Fatal(err)
	}
	if invite, err = door.NewInvite(t.Context(), people, store.Actor{}, p.ID, time.Now()); err != nil {
		t.Fatal(err)
	}
	if _, crew, _, err = door.NewCrewLink(t.Context(), people, store.Actor{}, store.CrewLink{Name: "Crew 3", Job: "court", Ends: time.Now().Add(time.Hour)}); err != nil {
		t.Fatal(err)
	}
	return invite, crew
}

func TestSigningOutLeavesNothingOnTheDevice(t *testing.T) {
	s := sharedShop(t)
	b := screenOf(t, s.Server, 1280, 900)
	b.signedIn(store.Owner)
	b.open("/jobs/court/order")
	b.until(`(async () => (await caches.keys()).length > 0 && (await indexedDB.databases()).length > 0)()`)
	b.open("/you")
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('form[action="/sign-out"] button').click()`))
	b.until(`location.pathname === "/sign-in"`)
	b.until(`(async () => (await caches.keys()).length === 0)()`)
	b.until(`new Promise((done) => { const r = indexedDB.open("slabwright"); r.onsuccess = () => { const a = r.result.transaction("jobs").objectStore("jobs").count(); a.onsuccess = () => done(a.result === 0); }; })`)
	b.open("/jobs/court/order")
	if at := get[string](b, `location.pathname`); at != "/sign-in" {
		t.Errorf("the job is still shown at %s", at)
	}
}
