package api

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"sync"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/speak"
	"slabwright/internal/rim/sheets/csvout"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/job"
	ours "slabwright/internal/trade/shop"
	"slabwright/internal/trade/week"
)

// hardening is how many days a poured slab is looked after in the week: most may carry their load by then.
const hardening = 90

// mostInWeek is how many jobs each list of a week may hold.
const mostInWeek = 500

// Around is a week of the shop with what lies around it.
type Around struct {
	week.Week
	Today   quantity.Date
	Ahead   []week.Job // poured, and not ready for their load
	Quotes  []week.Job // without an answer
	Changed []store.JobChange
	Since   time.Time // of the changes
	Fresh   int       // jobs that are being planned anew
}

// Week reads a week from summaries, and has the jobs planned anew in the background whose summaries are old.
func (s *Server) Week(ctx context.Context, first quantity.Date, days int) (Around, error) {
	if err := s.May(ctx, store.Foreman); err != nil {
		return Around{}, err
	}
	lists, _, err := s.lists(ctx)
	if err != nil {
		return Around{}, err
	}
	now := s.now()
	out := Around{Today: quantity.DateOf(now), Since: lastNight(now)}
	read, err := s.store.Around(ctx, store.Span{From: first.ISO(), Until: first.Add(days - 1).ISO(), Today: out.Today.ISO(), Poured: out.Today.Add(-hardening).ISO(), Since: out.Since, Most: mostInWeek})
	if err != nil {
		return Around{}, err
	}
	out.Week = week.Make(first, days, weekJobs(read.Pours), lists.Now())
	out.Ahead, out.Quotes, out.Changed, out.Fresh = week.Undrivable(weekJobs(read.Ahead), out.Today), week.Waiting(weekJobs(read.Quotes)), read.Changed, len(read.Fresh)
	s.refresh.want(s, read.Fresh)
	sieveOf(ctx).around(&out)
	return out, nil
}

// around is what these eyes see of a week: no money, and no words of a change that touched something hidden.
func (s sieve) around(a *Around) {
	if s.whole() {
		return
	}
	for _, jobs := range [][]week.Job{a.Ahead, a.Quotes, a.Rough} {
		for i := range jobs {
			jobs[i].Money = 0
		}
	}
	for _, r := range a.Rows {
		for _, cell := range r.Cells {
			for i := range cell {
				cell[i].Money = 0
			}
		}
	}
	for i, c := range a.Changed {
		seen := slices.DeleteFunc(slices.Clone(c.Fields), s.hidesText)
		if len(seen) < len(c.Fields) {
			a.Changed[i].Fields, a.Changed[i].Step = seen, "changed something you do not see"
		}
	}
}

// lastNight is six in the evening of the day before.
func lastNight(now time.Time) time.Time {
	y, m, d := now.Date()
	return time.Date(y, m, d-1, 18, 0, 0, 0, now.Location())
}

// weekJobs are summaries as the week reads them: what the document says itself stands over what the last plan knew.
func weekJobs(placed []store.Placed) []week.Job {
	out := make([]week.Job, 0, len(placed))
	for _, p := range placed {
		var j week.Job
		if p.Known != "" {
			_ = json.Unmarshal([]byte(p.Known), &j) // of another version of the program: as if it were not planned yet
		}
		j.ID, j.Title, j.Number, j.Address, j.Stale = p.ID, p.Title, p.Number, p.Address, p.Stale
		if p.Crew != "" {
			j.Crew = p.Crew
		}
		j.On, j.Quoted, j.Accepted, j.Declined = day(p.PoursOn), day(p.Quoted), day(p.Accepted), day(p.Declined)
		var at quantity.Clock
		if _, err := at.ReadText(p.FirstTruck, quantity.Box{}); err == nil {
			if j.Last > 0 {
				j.Last += at - j.First
			}
			j.First = at
		}
		out = append(out, j)
	}
	return out
}

func day(text string) quantity.Date {
	var d quantity.Date
	_ = d.UnmarshalText([]byte(text)) // written by this program
	return d
}

// refresher plans jobs in the background, one at a time, so that lists show them as they are.
type refresher struct {
	lock    sync.Mutex
	waiting []string
	running bool
	stopped bool
	done    sync.WaitGroup
}

// want asks for jobs to be planned; those that wait already are not asked for twice.
func (f *refresher) want(s *Server, ids []string) {
	f.lock.Lock()
	defer f.lock.Unlock()
	waits := map[string]bool{}
	for _, id := range f.waiting {
		waits[id] = true
	}
	for _, id := range ids {
		if !waits[id] && len(f.waiting) < mostInWeek {
			f.waiting = append(f.waiting, id)
		}
	}
	if len(f.waiting) > 0 && !f.running && !f.stopped {
		f.running = true
		f.done.Go(func() { f.run(s) })
	}
}

func (f *refresher) run(s *Server) {
	for {
		f.lock.Lock()
		if len(f.waiting) == 0 || f.stopped {
			f.running = false
			f.lock.Unlock()
			return
		}
		id := f.waiting[0]
		f.waiting = f.waiting[1:]
		f.lock.Unlock()
		if a, err := s.ask(context.Background(), id, Question{}); err == nil {
			s.summarise(context.Background(), id, a)
		}
	}
}

// Planned waits until the jobs that were to be planned in the background are.
func (s *Server) Planned() { s.refresh.done.Wait() }

// close waits for the job under way.
func (f *refresher) close() {
	f.lock.Lock()
	f.stopped = true
	f.lock.Unlock()
	f.done.Wait()
}

// tongueOf is how the shop's people say values.
func tongueOf(s ours.Shop) speak.Tongue {
	currency := s.Currency
	if currency == "" {
		currency = "$"
	}
	return speak.Of(job.Job{Units: s.Units, Currency: currency})
}

// mostDays is how many days one look at the week may span.
const mostDays = 28

func (s *Server) spanOf(r *http.Request) (quantity.Date, int, error) {
	first, days := week.Monday(quantity.DateOf(s.now())), 7
	if text := r.URL.Query().Get("from"); text != "" {
		if _, err := first.ReadText(text, quantity.Box{Today: s.now()}); err != nil {
			return first, days, problem(http.StatusBadRequest, "`from` is not a day.", "Send one like 2027-06-14.")
		}
	}
	if text := r.URL.Query().Get("days"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > mostDays {
			return first, days, problem(http.StatusBadRequest, "`days` is not a number of days.", "Send 1 to "+strconv.Itoa(mostDays)+".")
		}
		days = n
	}
	return first, days, nil
}

func (s *Server) getWeek(w http.ResponseWriter, r *http.Request) error {
	first, days, err := s.spanOf(r)
	if err != nil {
		return err
	}
	around, err := s.Week(r.Context(), first, days)
	if err != nil {
		return err
	}
	return reply(w, http.StatusOK, weekView(around))
}

func (s *Server) getWeekTable(w http.ResponseWriter, r *http.Request) error {
	first, days, err := s.spanOf(r)
	if err != nil {
		return err
	}
	around, err := s.Week(r.Context(), first, days)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := csvout.Write(&b, pack.WeekTable(around.Week)); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="week-`+first.ISO()+`.csv"`)
	_, _ = w.Write(b.Bytes())
	return nil
}
