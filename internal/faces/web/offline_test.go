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
		s, err := serve.Start(context.Background(), serve.Options{Store: file, Listen: listen, Now: time.Now, Log: slog.New(slog.DiscardHandler), Page: serve.Page})
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

func hostOf(t *testing.T, address string) string {
	t.Helper()
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	return u.Host
}
