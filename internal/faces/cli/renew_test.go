package cli

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"
)

// A weather service on this machine alone: asked when a person says so, its answer kept beside the job, and the kept answer used when
// it is away.
func TestRenewKeepsWhatTheServiceAnswered(t *testing.T) {
	answer, err := os.ReadFile("../../rim/intake/testdata/service-periods.json")
	if err != nil {
		t.Fatal(err)
	}
	asked, away := 0, false
	service := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked++
		if away {
			w.WriteHeader(http.StatusServiceUnavailable)
			return
		}
		if r.URL.Query().Get("lat") != "41.90" || len(r.Header.Get("User-Agent")) == 0 {
			t.Errorf("asked %s by %q", r.URL, r.Header.Get("User-Agent"))
		}
		_, _ = w.Write(answer)
	}))
	defer service.Close()
	t.Chdir(t.TempDir())
	job := "length: 30 ft\nwidth: 20 ft\nthickness: 5 in\ntime_zone: America/Chicago\nlatitude: 41.9\npour_date: 2027-06-17\nforecast_service: " + service.URL + "/?lat={latitude}\n"
	if err := os.WriteFile("pad.yaml", []byte(job), 0o600); err != nil {
		t.Fatal(err)
	}
	run := func(args ...string) (out, errs string) {
		var a, b bytes.Buffer
		Main(append([]string{"day", "pad.yaml", "-q"}, args...), World{In: strings.NewReader(""), Out: &a, Err: &b, Getenv: func(string) string { return "" },
			Now: func() time.Time { return time.Date(2027, 6, 17, 10, 0, 0, 0, time.UTC) }})
		return a.String(), b.String()
	}
	if run(); asked != 0 {
		t.Fatal("asked without being told to")
	}
	if _, errs := run("--renew", "--yes"); asked != 1 || !strings.Contains(errs, "GET "+service.URL) {
		t.Fatalf("asked %d times: %s", asked, errs)
	}
	kept, err := os.ReadFile("pad-forecast.json")
	if err != nil || !strings.Contains(string(kept), `"asked": "2027-06-17T10:00:00Z"`) {
		t.Fatalf("%v: %.200s", err, kept)
	}
	if text, _ := os.ReadFile("pad.yaml"); string(text) != job+"forecast_file: pad-forecast.json\n" {
		t.Errorf("the job file became\n%s", text)
	}
	away = true
	if _, errs := run("--renew"); asked != 2 || !strings.Contains(errs, "answer kept from Thu Jun 17, 5:00 am is used") {
		t.Errorf("asked %d times: %s", asked, errs)
	}
	if now, _ := os.ReadFile("pad-forecast.json"); !bytes.Equal(now, kept) {
		t.Error("the kept answer was written over")
	}
}
