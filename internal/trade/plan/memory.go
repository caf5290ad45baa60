package plan

import (
	"context"
	"errors"
	"maps"
	"sync"
)

// Planner makes plans and remembers each stage's last answers, so that a change recomputes only what it touches. The zero
// value is ready, and safe for use from several goroutines.
type Planner struct {
	Memory Memory // asked for deep answers that the planner has not itself; nil: nobody

	lock   sync.Mutex
	recent shelf // what the usual stages answered
	deep   shelf // what took seconds: kept apart, so that many small edits do not push it out
}

// Sizes of the two shelves: the last twenty edits of a job at least, and a few long works.
const (
	recentSize = 256
	deepSize   = 8
)

// Memory keeps what long work found beyond the life of one planner, under the hash of its input: whoever worked it out, all find it.
type Memory interface {
	Recall(key string) (written []byte, ok bool)
}

// shelf keeps answers under the hash of their input. Once it holds its size, what has not been asked for since the last time
// it was full is dropped.
type shelf struct{ now, before map[[32]byte]Report }

func (s *shelf) find(key [32]byte, size int) (Report, bool) {
	if report, ok := s.now[key]; ok {
		return report, true
	}
	report, ok := s.before[key]
	if ok {
		s.put(key, report, size)
	}
	return report, ok
}

func (s *shelf) put(key [32]byte, report Report, size int) {
	if len(s.now) >= size {
		s.before, s.now = s.now, nil
	}
	if s.now == nil {
		s.now = map[[32]byte]Report{}
	}
	s.now[key] = report
}

// recall gives the answer kept for an input, or works it out and keeps it. again makes a report of a written result.
func (p *Planner) recall(name string, deep bool, in any, again func(written []byte) (Report, error), answer func() Report) Report {
	key, err := fingerprint(name, in)
	if err != nil {
		return Report{Name: name, Input: in, Fault: err}
	}
	place, size := &p.recent, recentSize
	if deep {
		place, size = &p.deep, deepSize
	}
	p.lock.Lock()
	kept, ok := place.find(key, size)
	p.lock.Unlock()
	if ok {
		return kept
	}
	report, found := Report{}, false
	if deep && p.Memory != nil {
		if written, ok := p.Memory.Recall(keyText(key)); ok {
			report, err = again(written)
			found = err == nil // what cannot be read any more is worked out anew
		}
	}
	if !found {
		report = answer()
	}
	report.key = key
	if len(report.Waits) > 0 || errors.Is(report.Fault, context.Canceled) || errors.Is(report.Fault, context.DeadlineExceeded) {
		// nothing was worked out
		return report
	}
	p.lock.Lock()
	defer p.lock.Unlock()
	place.put(key, report, size)
	return report
}

// copied is a planner that remembers the same and then goes its own way.
func (p *Planner) copied() *Planner {
	p.lock.Lock()
	defer p.lock.Unlock()
	return &Planner{recent: shelf{maps.Clone(p.recent.now), maps.Clone(p.recent.before)}}
}

// Answers is how many answers are remembered.
func (p *Planner) Answers() int {
	p.lock.Lock()
	defer p.lock.Unlock()
	return len(p.recent.now) + len(p.recent.before) + len(p.deep.now) + len(p.deep.before)
}
