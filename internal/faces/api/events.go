package api

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"sync"
	"time"
)

// Event is something that happened to a job: changed, binned, work.
type Event struct {
	Kind     string `json:"kind"`
	Revision int64  `json:"revision,omitempty"`
	Change   string `json:"change,omitempty"`
	Work     *Work  `json:"work,omitempty"`
}

// hub carries events from those who make them to the streams that show them.
type hub struct {
	lock    sync.Mutex
	streams map[string]map[chan Event]bool
	told    map[string]int64 // the last revision told of a job that somebody listens to
	poke    chan struct{}    // look now what changed
	closed  bool
}

// waiting is how many events a slow stream may be behind before it is closed; it catches up by asking for changes.
const waiting = 64

// mostStreams is how many streams may be open at once.
const mostStreams = 500

func (h *hub) join(job string) (chan Event, bool) {
	h.lock.Lock()
	defer h.lock.Unlock()
	open := 0
	for _, all := range h.streams {
		open += len(all)
	}
	if h.closed || open >= mostStreams {
		return nil, false
	}
	if h.streams == nil {
		h.streams, h.told = map[string]map[chan Event]bool{}, map[string]int64{}
	}
	if h.streams[job] == nil {
		h.streams[job] = map[chan Event]bool{}
	}
	c := make(chan Event, waiting)
	h.streams[job][c] = true
	return c, true
}

func (h *hub) leave(job string, c chan Event) {
	h.lock.Lock()
	defer h.lock.Unlock()
	h.drop(job, c)
}

func (h *hub) drop(job string, c chan Event) {
	if h.streams[job][c] {
		delete(h.streams[job], c)
		close(c)
	}
	if len(h.streams[job]) == 0 {
		delete(h.streams, job)
		delete(h.told, job)
	}
}

// tell hands an event to every stream of the job. One that is too far behind is closed.
func (h *hub) tell(job string, e Event) {
	h.lock.Lock()
	defer h.lock.Unlock()
	h.send(job, e)
}

func (h *hub) send(job string, e Event) {
	if len(h.streams[job]) > 0 {
		h.told[job] = max(h.told[job], e.Revision)
	}
	for c := range h.streams[job] {
		select {
		case c <- e:
		default:
			h.drop(job, c)
		}
	}
}

// tellNewer tells of a revision that was not told yet: what is changed here is told at once, what others change is found.
func (h *hub) tellNewer(job string, revision int64) {
	h.lock.Lock()
	defer h.lock.Unlock()
	if revision > h.told[job] {
		h.send(job, Event{Kind: "changed", Revision: revision})
	}
}

// knows notes that a stream has been told a revision.
func (h *hub) knows(job string, revision int64) {
	h.lock.Lock()
	defer h.lock.Unlock()
	if len(h.streams[job]) > 0 {
		h.told[job] = max(h.told[job], revision)
	}
}

// heardOf lists the jobs that somebody listens to.
func (h *hub) heardOf() []string {
	h.lock.Lock()
	defer h.lock.Unlock()
	return slices.Sorted(maps.Keys(h.streams))
}

// look asks for a look at what changed, soon.
func (h *hub) look() {
	select {
	case h.poke <- struct{}{}:
	default:
	}
}

func (h *hub) close() {
	h.lock.Lock()
	defer h.lock.Unlock()
	h.closed = true
	for job, all := range h.streams {
		for c := range all {
			h.drop(job, c)
		}
	}
}

// heartbeat keeps a quiet stream open through whatever stands between.
const heartbeat = 20 * time.Second

func (s *Server) events(w http.ResponseWriter, r *http.Request) error {
	job, err := s.store.Job(r.Context(), r.PathValue("job"))
	if err != nil {
		return err
	}
	stream, ok := s.hub.join(job.ID)
	if !ok {
		w.Header().Set("Retry-After", "10")
		return problem(http.StatusServiceUnavailable, "Too many pages listen at once.", "Close pages that are not needed, or try again.")
	}
	defer s.hub.leave(job.ID, stream)
	if job, err = s.store.Job(r.Context(), job.ID); err != nil { // again: it may have changed before anybody listened
		return err
	}
	s.hub.knows(job.ID, job.Revision)
	s.hub.look()
	out := http.NewResponseController(w)
	if err := out.SetWriteDeadline(time.Time{}); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(http.StatusOK)
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	send(w, Event{Kind: "changed", Revision: job.Revision})
	for {
		if err := out.Flush(); err != nil {
			return nil // the page went away
		}
		select {
		case <-r.Context().Done():
			return nil
		case e, open := <-stream:
			if !open {
				return nil
			}
			send(w, e)
		case <-beat.C:
			fmt.Fprint(w, ": still here\n\n")
		}
	}
}

func send(w http.ResponseWriter, e Event) {
	text, err := json.Marshal(e)
	if err != nil {
		return // an Event has nothing that cannot be written
	}
	fmt.Fprintf(w, "event: %s\ndata: %s\n\n", e.Kind, text)
}
