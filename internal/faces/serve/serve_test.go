package serve

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"log/slog"
	"net"
	"net/http"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// ask sends a request to a running server under a host name of the caller's choice.
func ask(t *testing.T, s *Server, method, path, host, body string, headers ...string) *http.Response {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, strings.TrimSuffix(s.URL, "/")+path, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if host != "" {
		r.Host = host
	}
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	answer, err := http.DefaultTransport.RoundTrip(r)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { answer.Body.Close() })
	return answer
}

func TestOnlyThisMachineByItsOwnName(t *testing.T) {
	s := started(t)
	_, port, err := net.SplitHostPort(strings.TrimSuffix(strings.TrimPrefix(s.URL, "http://"), "/"))
	if err != nil {
		t.Fatal(err)
	}
	for host, status := range map[string]int{"": 200, "localhost:" + port: 200, "127.0.0.1:" + port: 200, "[::1]:" + port: 200,
		"evil.example:" + port: 421, "localhost": 421, "127.0.0.1:1": 421, "10.0.0.1:" + port: 421, "localhost.evil.example:" + port: 421} {
		if a := ask(t, s, "GET", "/health", host, ""); a.StatusCode != status {
			t.Errorf("host %q: %d, want %d", host, a.StatusCode, status)
		}
	}
}

func TestNoOtherPageWrites(t *testing.T) {
	s := started(t)
	own := strings.TrimSuffix(s.URL, "/")
	for _, c := range []struct {
		headers []string
		status  int
	}{
		{nil, 201}, {[]string{"Sec-Fetch-Site", "same-origin"}, 201}, {[]string{"Origin", own}, 201},
		{[]string{"Sec-Fetch-Site", "cross-site"}, 403}, {[]string{"Sec-Fetch-Site", "same-site"}, 403}, {[]string{"Origin", "http://evil.example"}, 403}, {[]string{"Origin", "null"}, 403},
	} {
		if a := ask(t, s, "PUT", "/api/v1/jobs/a", "", `{"length":"40 ft"}`, c.headers...); a.StatusCode != c.status {
			t.Errorf("%v: %d, want %d", c.headers, a.StatusCode, c.status)
		}
	}
}

func TestEveryAnswerCarriesTheGuards(t *testing.T) {
	s := started(t)
	for _, path := range []string{"/", "/health", "/api/openapi.json", "/api/v1/nothing"} {
		h := ask(t, s, "GET", path, "", "").Header
		csp := h.Get("Content-Security-Policy")
		if !strings.Contains(csp, "default-src 'self'") || strings.Contains(csp, "unsafe") || h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Referrer-Policy") != "no-referrer" {
			t.Errorf("%s: %v", path, h)
		}
	}
}

func TestAnswersAreCompressedAndStreamsFlow(t *testing.T) {
	s := started(t)
	if a := ask(t, s, "GET", "/api/openapi.json", "", "", "Accept-Encoding", "gzip"); a.Header.Get("Content-Encoding") != "gzip" {
		t.Errorf("%v", a.Header)
	}
	ask(t, s, "PUT", "/api/v1/jobs/a", "", `{"length":"40 ft"}`)
	a := ask(t, s, "GET", "/api/v1/jobs/a/events", "", "", "Accept-Encoding", "gzip")
	if a.Header.Get("Content-Encoding") != "" || !strings.HasPrefix(a.Header.Get("Content-Type"), "text/event-stream") {
		t.Errorf("%v", a.Header)
	}
	line, err := bufio.NewReader(a.Body).ReadString('\n')
	if err != nil || line != "event: changed\n" {
		t.Errorf("%q, %v", line, err)
	}
}

func TestAddressesOthersCouldReachAreRefused(t *testing.T) {
	for listen, taken := range map[string]bool{"127.0.0.1:0": true, "localhost:0": true, "[::1]:0": true, "0.0.0.0:0": false, ":8147": false, "192.168.1.5:8147": false, "8147": false, "127.0.0.1:x": false, "example.com:80": false} {
		if _, err := listening(listen, nil); (err == nil) != taken {
			t.Errorf("%s: %v", listen, err)
		}
	}
}

func TestASecondServerSaysThatOneRuns(t *testing.T) {
	s := started(t)
	address := strings.TrimSuffix(strings.TrimPrefix(s.URL, "http://"), "/")
	_, err := Start(t.Context(), Options{Store: filepath.Join(t.TempDir(), "other.db"), Listen: address, Now: time.Now, Log: slog.New(slog.DiscardHandler)})
	if err == nil || !strings.Contains(err.Error(), "running already") || !strings.Contains(err.Error(), "--listen") {
		t.Error(err)
	}
}

// What was acknowledged before a stop is there after the next start, and an open stream does not hold the stop up.
func TestAStopAndAStartLoseNothing(t *testing.T) {
	file := filepath.Join(t.TempDir(), "shop.db")
	var log bytes.Buffer
	start := func() *Server {
		t.Helper()
		s, err := Start(t.Context(), Options{Store: file, Listen: "127.0.0.1:0", Now: time.Now, Log: slog.New(slog.NewTextHandler(&log, nil)), Page: Page})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	s := start()
	ask(t, s, "PUT", "/api/v1/jobs/a", "", `{"length":"40 ft"}`)
	ask(t, s, "GET", "/api/v1/jobs/a/events", "", "")
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- s.Wait(ctx) }()
	stop()
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	s = start()
	defer s.Close()
	text, err := io.ReadAll(ask(t, s, "GET", "/api/v1/jobs/a", "", "").Body)
	if err != nil || string(text) != `{"length":"40 ft"}` {
		t.Errorf("%s, %v", text, err)
	}
	if strings.Contains(log.String(), "ERROR") {
		t.Error(log.String())
	}
}
