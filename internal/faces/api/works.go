package api

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/store"
	"slabwright/internal/rim/works"
)

// Work is a long piece of work.
type Work struct {
	ID       string   `json:"id"`
	Question string   `json:"question"`
	Day      string   `json:"day,omitempty"`
	State    string   `json:"state" jsonschema:"enum=waiting,enum=working,enum=done,enum=failed,enum=cancelled"`
	Percent  float64  `json:"percent"`
	Left     *float64 `json:"left_s,omitempty"` // seconds, where it can be said
	Says     string   `json:"says"`
	Revision int64    `json:"revision"`         // of the job it works on; 0: of the shop
	Result   string   `json:"result,omitempty"` // the address of what it found, where that is a file
}

// Start asks for a long piece of work. A deep stage and "assumed" stand in the job's answers when they are done; the others find a
// file.
type Start struct {
	Question string `json:"question"`
	Day      string `json:"day,omitempty"` // packs: whose sheets, like 2027-06-17
}

// work is a work as this interface shows it.
func (s *Server) work(w store.Work) Work {
	out := Work{ID: w.ID, Question: w.Question, Day: w.Day, State: w.State, Percent: w.Percent, Says: w.Says, Revision: w.Revision}
	if w.State == store.WorkDone && works.IsFile(w.Question) {
		out.Result = workPath(w.Job, w.ID) + "/result"
	}
	if spent := s.now().Sub(w.Began).Seconds(); w.State == store.WorkWorking && w.Percent > 1 && !w.Began.IsZero() && spent > 0 {
		left := spent * (100 - w.Percent) / w.Percent
		out.Left = &left
	}
	return out
}

// workPath is the address of a work of a job, or of the shop.
func workPath(job, id string) string {
	if job == "" {
		return Prefix + "/works/" + id
	}
	return Prefix + "/jobs/" + job + "/works/" + id
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
	job := r.PathValue("job")
	if err := start.check(job == ""); err != nil {
		return err
	}
	if err := s.May(r.Context(), mayAsk(start.Question)); err != nil {
		return err
	}
	work, err := s.works.Start(r.Context(), works.Ask{ID: id, Job: job, Question: start.Question, Day: start.Day, By: by(r.Context(), r.Header.Get("X-By"))})
	if errors.Is(err, store.ErrBusy) {
		w.Header().Set("Retry-After", "10")
		return problem(http.StatusServiceUnavailable, "Too many long works wait already.", "Cancel some, or try again later.")
	}
	if err != nil {
		return err
	}
	w.Header().Set("Location", workPath(job, id))
	return reply(w, http.StatusAccepted, s.work(work))
}

// mayAsk is the role a long work takes at least: what it finds tells prices to whoever fetches it, but for a foreman's own questions,
// whose answers are sifted.
func mayAsk(question string) store.Role {
	if slices.Contains([]string{"hold", "backing", "assumed", "weather"}, question) {
		return store.Foreman
	}
	return store.Office
}

// check refuses what is no question, or lacks its day.
func (a Start) check(ofShop bool) error {
	known := works.Questions(ofShop)
	for _, name := range known {
		if name != a.Question {
			continue
		}
		var day quantity.Date
		if err := day.UnmarshalText([]byte(a.Day)); name == "packs" && (err != nil || day.ISO() != a.Day) {
			return wrong("/day", "`"+a.Day+"` is no day.", "Send a day like 2027-06-17.")
		}
		return nil
	}
	return wrong("/question", "`"+a.Question+"` is no long work.", "Ask for "+strings.Join(known, ", ")+"; all else is answered at once.")
}

func (s *Server) workOf(r *http.Request) (store.Work, error) {
	w, err := s.works.Store.Work(r.Context(), r.PathValue("job"), r.PathValue("work"))
	if errors.Is(err, store.ErrAbsent) {
		return w, problem(http.StatusNotFound, "There is no such work; they are forgotten after a month.", "Start it again.")
	}
	return w, err
}

func (s *Server) getWork(w http.ResponseWriter, r *http.Request) error {
	work, err := s.workOf(r)
	if err != nil {
		return err
	}
	return reply(w, http.StatusOK, s.work(work))
}

func (s *Server) deleteWork(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.workOf(r); err != nil {
		return err
	}
	if _, err := s.works.Cancel(r.Context(), r.PathValue("job"), r.PathValue("work")); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// getResult hands over the file a work found, whole.
func (s *Server) getResult(w http.ResponseWriter, r *http.Request) error {
	work, err := s.workOf(r)
	if err != nil {
		return err
	}
	if err := s.May(r.Context(), mayAsk(work.Question)); err != nil {
		return err
	}
	if !works.IsFile(work.Question) {
		return problem(http.StatusNotFound, "What this work finds is no file.", "It stands in the job's answers once the work is done.")
	}
	if work.State != store.WorkDone {
		return problem(http.StatusNotFound, "The work is "+work.State+", so there is no file.", "Wait until it is done, or start it again.")
	}
	found, err := s.works.Store.Result(r.Context(), work.Result)
	if errors.Is(err, store.ErrAbsent) {
		return problem(http.StatusNotFound, "The file was kept for a while and is gone.", "Start the work again.")
	}
	if err != nil {
		return err
	}
	if fresh(w, r, strconv.Quote(short8([]byte(found.Key)))) {
		return nil
	}
	w.Header().Set("Content-Type", found.Media)
	w.Header().Set("Content-Disposition", "attachment; filename="+strconv.Quote(found.Name))
	w.Header().Set("Content-Length", strconv.Itoa(len(found.Bytes)))
	w.Header().Set("Cache-Control", "no-cache")
	_, _ = w.Write(found.Bytes)
	return nil
}

// Workshop is who works on what.
type Workshop struct {
	Works   []ListedWork `json:"works"` // under way, and of the last day; newest first
	Workers []Worker     `json:"workers"`
}

// ListedWork is a work in the list of all.
type ListedWork struct {
	Job string `json:"job,omitempty"`
	Work
	Asked  time.Time `json:"asked"`
	By     string    `json:"by,omitempty"`
	Worker string    `json:"worker,omitempty"`
}

// Worker is a process that does long works.
type Worker struct {
	ID      string    `json:"id"`
	Host    string    `json:"host"`
	Version string    `json:"version,omitempty"`
	AtOnce  int64     `json:"at_once"`
	Since   time.Time `json:"since"`
	Seen    time.Time `json:"seen"`
	Doing   []string  `json:"doing"` // questions
}

func (s *Server) listWorks(w http.ResponseWriter, r *http.Request) error {
	out, err := s.Workshop(r.Context())
	if err != nil {
		return err
	}
	return reply(w, http.StatusOK, out)
}

// Workshop says who works on what.
func (s *Server) Workshop(ctx context.Context) (Workshop, error) {
	out := Workshop{Works: []ListedWork{}, Workers: []Worker{}}
	all, err := s.works.Store.Works(ctx, s.now().AddDate(0, 0, -1))
	if err != nil {
		return out, err
	}
	doing := map[string]map[string]string{} // by worker: questions by task
	for _, one := range all {
		listed := ListedWork{Job: one.Job, Work: s.work(one), Asked: one.Asked, By: one.By}
		if one.State == store.WorkWorking {
			listed.Worker = one.Worker
			if doing[one.Worker] == nil {
				doing[one.Worker] = map[string]string{}
			}
			doing[one.Worker][one.Task] = one.Question
		}
		out.Works = append(out.Works, listed)
	}
	workers, err := s.works.Store.Workers(ctx)
	for _, one := range workers {
		worker := Worker{ID: one.ID, Host: one.Host, Version: one.Edition, AtOnce: one.Places, Since: one.Began, Seen: one.Seen, Doing: []string{}}
		for _, question := range doing[one.ID] {
			worker.Doing = append(worker.Doing, question)
		}
		out.Workers = append(out.Workers, worker)
	}
	return out, err
}
