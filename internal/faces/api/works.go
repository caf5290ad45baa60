package api

import (
	"context"
	"net/http"
	"strings"
	"sync"
	"time"

	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/working"
)

// Work is a long piece of work on a job.
type Work struct {
	ID       string   `json:"id"`
	Question string   `json:"question"`
	State    string   `json:"state" jsonschema:"enum=waiting,enum=working,enum=done,enum=failed,enum=cancelled"`
	Percent  float64  `json:"percent"`
	Left     *float64 `json:"left_s,omitempty"` // seconds, where it can be said
	Says     string   `json:"says"`
	Revision int64    `json:"revision"` // of the job it works on
}

// Start asks for a long piece of work: a deep stage, or "assumed" for what each guess moves.
type Start struct {
	Question string `json:"question"`
}

// running is a work under way.
type running struct {
	Work
	job    string
	began  time.Time
	cancel context.CancelFunc
}

// works are those of all jobs; as many go on at once as there are places.
type works struct {
	server *Server
	lock   sync.Mutex
	all    map[string]*running // by job and id
	places chan struct{}
	closed bool
}

// Long works share the machine with everything else.
const (
	worksAtOnce = 1
	mostWorks   = 200
)

// whatWorks says what each long work does, in words.
var whatWorks = map[string]string{
	"hold": "Checking the wheels in every place on the real panels", "backing": "Backing the trailer in past what is in the way",
	"assumed": "Taking each guess to both ends of its range",
}

func (s *Server) putWork(w http.ResponseWriter, r *http.Request) error {
	id, err := idOf(r, "work")
	if err != nil {
		return err
	}
	var start Start
	if err := read(r, &start); err != nil {
		return err
	}
	if whatWorks[start.Question] == "" {
		return wrong("/question", "`"+start.Question+"` is no long work.", "Ask for hold, backing or assumed; all else is answered at once.")
	}
	a, err := s.ask(r.Context(), r.PathValue("job"), Question{Questions: []string{"site"}})
	if err != nil {
		return err
	}
	work, err := s.works.start(a, r.PathValue("job"), id, start.Question)
	if err != nil {
		return err
	}
	w.Header().Set("Location", Prefix+"/jobs/"+r.PathValue("job")+"/works/"+id)
	return reply(w, http.StatusAccepted, work)
}

func (ws *works) start(a asked, job, id, question string) (Work, error) {
	ws.lock.Lock()
	defer ws.lock.Unlock()
	if ws.all == nil {
		ws.all, ws.places = map[string]*running{}, make(chan struct{}, worksAtOnce)
	}
	if one, again := ws.all[job+"/"+id]; again {
		return one.Work, nil
	}
	if ws.closed || ws.makeRoom() >= mostWorks {
		return Work{}, problem(http.StatusServiceUnavailable, "Too many long works wait already.", "Cancel some, or try again later.")
	}
	ctx, cancel := context.WithCancel(context.Background())
	one := &running{Work: Work{ID: id, Question: question, State: "waiting", Says: whatWorks[question], Revision: a.revision}, job: job, cancel: cancel}
	ws.all[job+"/"+id] = one
	go ws.run(ctx, a, one)
	return one.Work, nil
}

// makeRoom forgets finished works when there are many, and says how many are left.
func (ws *works) makeRoom() int {
	if len(ws.all) >= mostWorks {
		for key, one := range ws.all {
			if one.State != "waiting" && one.State != "working" {
				delete(ws.all, key)
			}
		}
	}
	return len(ws.all)
}

func (ws *works) run(ctx context.Context, a asked, one *running) {
	select {
	case ws.places <- struct{}{}:
		defer func() { <-ws.places }()
	case <-ctx.Done():
		return
	}
	ws.note(one, func() { one.State, one.began = "working", ws.server.now() })
	done := make(chan string, 1)
	go func() {
		done <- work(ctx, a, one.Question, func(share float64) { ws.note(one, func() { one.Percent = 100 * share }) })
	}()
	select {
	case <-ctx.Done():
		<-done // its place is free once it has stopped
	case trouble := <-done:
		ws.note(one, func() {
			if one.State != "working" {
				return
			}
			if one.State, one.Percent = "done", 100; trouble != "" {
				one.State, one.Says = "failed", trouble
			}
		})
	}
}

// progress notes how far a work is; it never goes back.
func (ws *works) progress(one *running, share float64) {
	ws.note(one, func() {
		if one.State == "working" {
			one.Percent = max(one.Percent, 100*share)
		}
	})
}

// work does one; what it finds is remembered by the job's planner and stands in the answers from then on.
func work(ctx context.Context, a asked, question string, tell func(share float64)) (trouble string) {
	if question == "assumed" {
		a.desk.keepRanking(a.moment(), a.desk.planner.Make(a.job).Movers())
		return ""
	}
	p := a.desk.planner.Work(working.WithProgress(ctx, tell), a.job, question)
	r, _ := p.Of(question)
	if !r.Answered() {
		return strings.Join(p.Unanswered(), "; ")
	}
	return ""
}

// note changes a work under way and tells who listens.
func (ws *works) note(one *running, change func()) {
	ws.lock.Lock()
	change()
	ws.estimate(one)
	now := one.Work
	ws.lock.Unlock()
	ws.server.hub.tell(one.job, Event{Kind: "work", Work: &now})
}

func (ws *works) estimate(one *running) {
	one.Left = nil
	if one.State == "working" && one.Percent > 1 {
		left := ws.server.now().Sub(one.began).Seconds() * (100 - one.Percent) / one.Percent
		one.Left = &left
	}
}

func (s *Server) getWork(w http.ResponseWriter, r *http.Request) error {
	s.works.lock.Lock()
	one, ok := s.works.all[r.PathValue("job")+"/"+r.PathValue("work")]
	var now Work
	if ok {
		s.works.estimate(one)
		now = one.Work
	}
	s.works.lock.Unlock()
	if !ok {
		return problem(http.StatusNotFound, "There is no such work; a new start forgets them.", "Start it again.")
	}
	return reply(w, http.StatusOK, now)
}

func (s *Server) deleteWork(w http.ResponseWriter, r *http.Request) error {
	s.works.lock.Lock()
	one, ok := s.works.all[r.PathValue("job")+"/"+r.PathValue("work")]
	s.works.lock.Unlock()
	if !ok {
		return problem(http.StatusNotFound, "There is no such work.", "It may have ended with the last start of the server.")
	}
	s.works.note(one, func() {
		if one.State == "waiting" || one.State == "working" {
			one.State = "cancelled"
		}
	})
	one.cancel()
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func (ws *works) close() {
	ws.lock.Lock()
	defer ws.lock.Unlock()
	ws.closed = true
	for _, one := range ws.all {
		one.cancel()
	}
}

// Why is the working of one figure.
type Why struct {
	Stage    string `json:"stage"`
	Question string `json:"question"`
	Steps    []Step `json:"steps"`
}

// Step is one line of a calculation sheet.
type Step struct {
	Name    string   `json:"name"`
	Says    string   `json:"says"`
	Symbol  string   `json:"symbol,omitempty"`
	Formula string   `json:"formula,omitempty"`
	Result  Value    `json:"result"`
	From    []string `json:"from,omitempty"`
	Origin  string   `json:"origin,omitempty"`
	Typed   string   `json:"typed,omitempty"`
	Reason  string   `json:"reason,omitempty"`
	Range   string   `json:"range,omitempty"`
	Source  string   `json:"source,omitempty"` // spelled out
}

func (s *Server) getWhy(w http.ResponseWriter, r *http.Request) error {
	what := r.PathValue("figure")
	names := plan.Usual()
	if plan.IsDeep(what) {
		names = plan.Names()
	}
	a, err := s.ask(r.Context(), r.PathValue("job"), Question{Questions: names})
	if err != nil {
		return err
	}
	report, steps, err := a.plan.Why(what)
	if err != nil {
		return problem(http.StatusNotFound, "Nothing here is called `"+what+"`, or it has no answer yet.", "Ask for a stage like order, or a figure like order.yards.")
	}
	if r.URL.Query().Get("deep") == "1" {
		steps = a.plan.Deep(report, steps)
	}
	out := Why{report.Name, report.Question, []Step{}}
	for _, step := range steps {
		out.Steps = append(out.Steps, a.step(step))
	}
	return reply(w, http.StatusOK, out)
}
