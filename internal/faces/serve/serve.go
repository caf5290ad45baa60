// Package serve puts the interface and the page under one roof: one listener, one store, the guards every request passes, and
// the work that goes on beside them (backups, the bin).
package serve

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"github.com/klauspost/compress/gzhttp"
	"golang.org/x/net/netutil"

	"slabwright/internal/faces/api"
	"slabwright/internal/faces/door"
	"slabwright/internal/rim/store"
)

// Options say where to serve what.
type Options struct {
	Store   string        // of the jobs: a file, or the address of a PostgreSQL database
	Listen  string        // address and port; others than this machine's own only with Shared.Public
	Edition string        // of the program
	AtOnce  int           // long works done by this process at once; 0: others do them
	Lost    time.Duration // silence after which another process's works are taken over; 0: usual
	Now     func() time.Time
	Log     *slog.Logger
	Page    func(*api.Server) http.Handler // makes the page; nil: the interface only
	Shared
}

// Server is a running program.
type Server struct {
	URL   string
	Store string // where the jobs are kept, for people: no password in it
	First string // the one-time link under which the first owner of a shared server comes in; empty once there are people

	address string // where it listens
	reached reached

	api   *api.Server
	store *store.Store
	http  *http.Server
	log   *slog.Logger
	stop  context.CancelFunc
	done  chan error
}

// Start opens the store and listens. It returns once the page can be opened.
func Start(ctx context.Context, o Options) (*Server, error) {
	reached, err := o.Shared.read()
	if err != nil {
		return nil, err
	}
	address, err := listening(o.Listen, reached.public)
	if err != nil {
		return nil, err
	}
	jobs, err := store.Open(ctx, o.Store, o.Now)
	if err != nil {
		return nil, err
	}
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return nil, errors.Join(fmt.Errorf("cannot listen on %s: %w; is slabwright serve running already? Name another port: --listen 127.0.0.1:8148", address, unwrapped(err)), jobs.Close())
	}
	answers, err := api.Open(ctx, jobs, api.Options{Log: o.Log, Now: o.Now, Edition: o.Edition, AtOnce: o.AtOnce, Lost: o.Lost})
	if err != nil {
		return nil, errors.Join(err, listener.Close(), jobs.Close())
	}
	s := &Server{URL: "http://" + listener.Addr().String() + "/", Store: jobs.Name(), api: answers, store: jobs, log: o.Log, done: make(chan error, 1)}
	s.address, s.reached = listener.Addr().String(), reached
	if reached.public != nil {
		s.URL = reached.public.JoinPath("/").String()
		if s.First, err = door.StartLink(ctx, jobs, reached.public, o.Now()); err != nil {
			return nil, errors.Join(err, listener.Close(), answers.Close(), jobs.Close())
		}
	}
	handler, err := Handler(s.api, o, reached, s.address, jobs)
	if err != nil {
		return nil, errors.Join(err, listener.Close(), answers.Close(), jobs.Close())
	}
	beside, stop := context.WithCancel(context.WithoutCancel(ctx))
	s.stop = stop
	s.http = &http.Server{Handler: handler, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 60 * time.Second, WriteTimeout: 120 * time.Second,
		IdleTimeout: 120 * time.Second, MaxHeaderBytes: 32 << 10, ErrorLog: slog.NewLogLogger(o.Log.Handler(), slog.LevelWarn)}
	go s.housekeeping(beside)
	s.http.TLSConfig = reached.tls
	go func() { s.done <- s.serve(netutil.LimitListener(listener, mostConnections)) }()
	return s, nil
}

// mostConnections is how many may be open at once; the next waits. A page holds two or three.
const mostConnections = 2000

func (s *Server) serve(l net.Listener) error {
	if s.http.TLSConfig != nil {
		return s.http.ServeTLS(l, "", "")
	}
	return s.http.Serve(l)
}

func unwrapped(err error) error {
	var op *net.OpError
	if errors.As(err, &op) {
		return op.Err
	}
	return err
}

// listening refuses an address that other machines could reach, unless people sign in there.
func listening(listen string, public *url.URL) (string, error) {
	host, port, err := net.SplitHostPort(listen)
	if err != nil {
		return "", fmt.Errorf("`%s` is no address to listen on. Type it like 127.0.0.1:8147", listen)
	}
	if n, err := strconv.ParseUint(port, 10, 16); err != nil {
		return "", fmt.Errorf("`%s` is no port. Type 1024 to 65535, or 0 for any free one", port)
	} else if host == "localhost" {
		host = "127.0.0.1"
		return net.JoinHostPort(host, strconv.FormatUint(n, 10)), nil
	}
	if ip := net.ParseIP(host); (ip == nil || !ip.IsLoopback()) && (public == nil || public.Scheme != "https") {
		return "", fmt.Errorf("`%s` can be reached from other machines, and everybody there could read and change your jobs. Listen on 127.0.0.1; or, for a shop's people who sign in, say how they reach it: --public https://slabs.example", host)
	}
	return listen, nil
}

// Wait blocks until the context ends or the listener fails, then closes in order: no new requests, the open ones to their end,
// then the store.
func (s *Server) Wait(ctx context.Context) error {
	select {
	case err := <-s.done:
		return errors.Join(err, s.Close())
	case <-ctx.Done():
		return s.Close()
	}
}

// closing is how long open requests have to end.
const closing = 5 * time.Second

// Close stops the server.
func (s *Server) Close() error {
	s.stop()
	worked := s.api.Close()
	ctx, cancel := context.WithTimeout(context.Background(), closing)
	defer cancel()
	err := s.http.Shutdown(ctx)
	if err != nil {
		err = errors.Join(err, s.http.Close())
	}
	return errors.Join(err, worked, s.store.Close())
}

// housekeeping backs the file up each day and empties the bin.
func (s *Server) housekeeping(ctx context.Context) {
	tick := time.NewTicker(time.Hour)
	defer tick.Stop()
	for {
		if err := s.store.BackupDaily(ctx); err != nil && ctx.Err() == nil {
			s.log.Error("no backup today", "error", err)
		}
		if err := s.api.Tidy(ctx); err != nil && ctx.Err() == nil {
			s.log.Error("long works of long ago were not forgotten", "error", err)
		}
		if err := s.store.EmptyBin(ctx); err != nil && ctx.Err() == nil {
			s.log.Error("the bin was not emptied", "error", err)
		}
		if err := s.store.TidyPeople(ctx); err != nil && ctx.Err() == nil {
			s.log.Error("ended sessions were not forgotten", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

// Handler is everything under its guards.
func Handler(a *api.Server, o Options, reached reached, host string, people *store.Store) (http.Handler, error) {
	mux := http.NewServeMux()
	mux.Handle("/api/", a.Handler())
	mux.Handle("/health", a.Handler())
	if o.Page != nil {
		mux.Handle("/", o.Page(a))
	}
	before := door.New(people, door.Options{Public: reached.public, Behind: reached.behind, Now: o.Now, Log: o.Log}, mux)
	compress, err := gzhttp.NewWrapper(gzhttp.MinSize(1024), gzhttp.ExceptContentTypes([]string{"text/event-stream", "image/png", "application/pdf", "application/zip"}))
	if err != nil {
		return nil, err
	}
	return logged(o.Log, onlyHost(host, reached.public, headers(reached.public, http.NewCrossOriginProtection().Handler(compress(before))))), nil
}
