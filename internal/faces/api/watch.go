package api

import (
	"context"
	"time"

	"slabwright/internal/rim/store"
)

// Other servers and workers change the same store. What they do is found by looking, at most so often; only while somebody listens.
const (
	lookEvery = 500 * time.Millisecond
	lookPause = 50 * time.Millisecond
)

// endedFor is how long an ended work is looked at; longer than clocks of several hosts differ.
const endedFor = 10 * time.Minute

// seen is what the streams were told of the jobs that somebody listens to.
type seen struct {
	binned map[string]bool
	works  map[string]store.Work // by place and id
}

// watchOthers tells the streams what changed through other processes, and how far the long works are.
func (s *Server) watchOthers(ctx context.Context) {
	var before seen
	for {
		select {
		case <-ctx.Done():
			return
		case <-s.hub.poke:
		case <-time.After(lookEvery):
		}
		jobs := s.hub.heardOf()
		if len(jobs) == 0 {
			before = seen{}
			continue
		}
		all, err := s.store.Standings(ctx, jobs, s.now().Add(-endedFor))
		if err != nil {
			if ctx.Err() == nil {
				s.log.Warn("what others changed was not found", "error", err)
			}
			continue
		}
		before = s.compare(before, all)
		time.Sleep(lookPause) // what was changed here has been told by then, with its change
		for _, job := range all {
			s.hub.tellNewer(job.Job, job.Revision)
		}
	}
}

// compare tells what is new since the last look, and gives this one.
func (s *Server) compare(before seen, all []store.Standing) seen {
	now := seen{map[string]bool{}, map[string]store.Work{}}
	for _, job := range all {
		now.binned[job.Job] = job.Binned
		was, known := before.binned[job.Job]
		switch {
		case known && job.Binned && !was:
			s.hub.tell(job.Job, Event{Kind: "binned", Revision: job.Revision})
		case known && was && !job.Binned:
			s.hub.tell(job.Job, Event{Kind: "changed", Revision: job.Revision})
		}
		for _, w := range job.Works {
			key := w.Job + "/" + w.ID
			now.works[key] = w
			last, told := before.works[key]
			over := w.State != store.WorkWaiting && w.State != store.WorkWorking
			if told && last.State == w.State && last.Percent == w.Percent || !told && over && !known {
				continue
			}
			work := s.work(w)
			s.hub.tell(w.Job, Event{Kind: "work", Work: &work})
		}
	}
	return now
}
