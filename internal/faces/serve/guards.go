package serve

import (
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"
)

// policy lets the page load what this server sends and nothing else; nothing inline runs.
const policy = "default-src 'self'; img-src 'self' data: blob:; style-src 'self'; script-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// headers sets what every answer carries.
func headers(public *url.URL, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
		if public != nil && public.Scheme == "https" {
			h.Set("Strict-Transport-Security", "max-age=31536000; includeSubDomains")
		}
		next.ServeHTTP(w, r)
	})
}

// onlyHost answers only requests that name this machine, or the name the shop's people know it by, as their host. A page of somewhere
// else whose name was made to point here (DNS rebinding) names its own. A proxy that asks whether the server is there may name it as it
// likes.
func onlyHost(listening string, public *url.URL, next http.Handler) http.Handler {
	_, port, err := net.SplitHostPort(listening)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host, asked, splitErr := net.SplitHostPort(r.Host)
		ip := net.ParseIP(host)
		known := err == nil && splitErr == nil && asked == port && (host == "localhost" || ip != nil && ip.IsLoopback())
		if public != nil {
			known = strings.EqualFold(r.Host, public.Host) || r.URL.Path == "/health"
		}
		if !known {
			http.Error(w, "This address is not served here. Open the one that slabwright serve printed.", http.StatusMisdirectedRequest)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// logged writes one line a request: its route and how it went, nothing of what people typed.
func logged(log *slog.Logger, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began, seen := time.Now(), &witness{ResponseWriter: w, status: http.StatusOK}
		next.ServeHTTP(seen, r)
		level := slog.LevelDebug
		if seen.status >= http.StatusInternalServerError {
			level = slog.LevelWarn
		}
		log.Log(r.Context(), level, "request", "method", r.Method, "route", r.Pattern, "status", seen.status, "ms", time.Since(began).Milliseconds())
	})
}

// witness remembers the status of an answer.
type witness struct {
	http.ResponseWriter
	status int
}

// WriteHeader notes the status.
func (w *witness) WriteHeader(status int) {
	w.status = status
	w.ResponseWriter.WriteHeader(status)
}

// Unwrap lets a stream reach what is below.
func (w *witness) Unwrap() http.ResponseWriter { return w.ResponseWriter }
