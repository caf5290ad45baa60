package web_test

import (
	"context"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"slabwright/internal/faces/serve"
)

// CON-25: first visit, then the office is gone: the job opens, the outline is edited, stamps are taken; the office comes back
// and has everything once.
func TestNothingIsLostWhenTheOfficeIsGone(t *testing.T) {
	file := filepath.Join(t.TempDir(), "shop.db")
	begin := func(listen string) *serve.Server {
		s, err := serve.Start(context.Background(), serve.Options{Store: file, Listen: listen, Now: time.Now, AtOnce: 1, Log: slog.New(slog.DiscardHandler), Page: serve.Page})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	s := begin("127.0.0.1:0")
	b := screenOf(t, s, 390, 844)
	b.open("/")
	b.put("away", map[string]any{"units": "us", "length": "40 ft", "width": "14 ft", "thickness": "6 in"})
	b.open("/jobs/away/build")
	b.until(`navigator.serviceWorker.controller`)
	b.until(`(caches.match("/jobs/away/pour").then((r) => { window.kept = Boolean(r); }), window.kept)`)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	b.open("/jobs/away/build")
	if says := b.text("#offline"); !strings.Contains(says, "No signal") {
		t.Errorf("nothing says that the office is gone: %q", says)
	}
	b.fill("Thickness", "5 in")
	b.until(`slabwright.job.doc.thickness === "5 in"`)
	b.open("/jobs/away/pour")
	b.press("button", "Truck here")
	b.until(`slabwright.job.waiting === 2`)
	b.do(chromedp.Navigate("about:blank")) // the tab is killed
	again := begin(hostOf(t, s.URL))
	defer func() {
		if err := again.Close(); err != nil {
			t.Error(err)
		}
	}()
	b.open("/jobs/away/pour")
	b.settled()
	answer, err := http.Get(s.URL + "api/v1/jobs/away")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	var doc struct {
		Thickness string
		Pour      struct {
			Team struct{ Taps []struct{ What string } }
		}
	}
	if err := json.NewDecoder(answer.Body).Decode(&doc); err != nil {
		t.Fatal(err)
	}
	if doc.Thickness != "5 in" || len(doc.Pour.Team.Taps) != 1 || doc.Pour.Team.Taps[0].What != "truck here" {
		t.Errorf("the office has %+v", doc)
	}
}

// CON-26: four records are unsent when the program and what the page keeps are brought up to date: none is lost, none is twice.
func TestAnUpgradeLosesNothingUnsent(t *testing.T) {
	s := office(t)
	b := screenOf(t, s, 390, 844)
	b.open("/health") // no page, so nothing else keeps anything meanwhile
	b.put("older", map[string]any{"units": "us", "length": "40 ft", "width": "14 ft", "thickness": "6 in"})
	// What a page of the first form kept, as it kept it: no photos yet.
	if kept := get[float64](b, olderForm); kept != 4 {
		t.Fatalf("%v records are kept in the older form", kept)
	}
	b.open("/jobs/older/pour")
	b.settled()
	b.until(`document.querySelectorAll("#stamped li").length === 3`)
	answer := get[string](b, `fetch("/api/v1/jobs/older").then((r) => r.json()).then((d) => d.thickness + ": " + d.pour.team.taps.map((t) => t.what).join(", "))`)
	if answer != "5 in: truck here, struck off, bull floated" {
		t.Errorf("the office has %q", answer)
	}
	if form := get[float64](b, `indexedDB.databases().then((all) => all.find((d) => d.name === "slabwright").version)`); form < 2 {
		t.Errorf("what is kept has form %v", form)
	}
	b.open("/jobs/older/pour") // and once more: nothing goes twice
	b.settled()
	if n := get[float64](b, `fetch("/api/v1/jobs/older/changes").then((r) => r.json()).then((d) => d.changes.length)`); n != 4 {
		t.Errorf("%v changes came to the office", n)
	}
}

// olderForm fills a new database as the first page did: one thickness and three stamps, all unsent; it tells how many are there.
const olderForm = `new Promise((done, failed) => {
	indexedDB.deleteDatabase("slabwright").onsuccess = () => {
		const r = indexedDB.open("slabwright", 1);
		r.onupgradeneeded = () => {
			const changes = r.result.createObjectStore("changes", { keyPath: "n", autoIncrement: true });
			changes.createIndex("job", "job");
			changes.createIndex("unsent", ["unsent", "job"]);
			changes.createIndex("id", "id", { unique: true });
			r.result.createObjectStore("jobs", { keyPath: "job" });
			r.result.createObjectStore("small");
		};
		r.onerror = () => failed(r.error);
		r.onsuccess = () => {
			const t = r.result.transaction("changes", "readwrite");
			const s = t.objectStore("changes");
			const change = (id, step, set) => s.add({ id, job: "older", at: "2027-06-17T12:00:00Z", step, seen: 1, unsent: 1, sets: [set] });
			change("a1", "Thickness to 5 in", { pointer: "/thickness", value: "5 in", was: "6 in", place: "/thickness" });
			["truck here", "struck off", "bull floated"].forEach((what, i) =>
				change("b" + i, what, { pointer: "/pour/team/taps/-", value: { at: "2027-06-17T07:0" + i + ":00-05:00", what }, was: null, place: "/pour/team/taps/" + i }));
			t.oncomplete = () => {
				const n = r.result.transaction("changes").objectStore("changes").count();
				n.onsuccess = () => { r.result.close(); done(n.result); };
			};
		};
	};
})`

func hostOf(t *testing.T, address string) string {
	t.Helper()
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	return u.Host
}
