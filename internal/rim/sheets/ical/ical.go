// Package ical writes dates of a job as an iCalendar file (RFC 5545): hours in UTC, days as days. An event keeps its
// identifier over every new plan of the job, so that a calendar moves it instead of doubling it.
package ical

import (
	"fmt"
	"io"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"
)

// Event is one date. A day has no hours: End is not used.
type Event struct {
	Task    string // stays the same over plans: "pour", "load-car"
	Says    string
	Details string
	Place   string
	Start   time.Time
	End     time.Time
	Day     bool
	Remind  time.Duration // before the start; zero: no reminder
}

// Write renders the events of the job named by key (letters that stay the same over its life). asOf is when the plan was
// made; it stamps every event and, in seconds, counts as its sequence. Nothing is written when it fails.
func Write(w io.Writer, key, title string, asOf time.Time, events []Event) error {
	c := ics.NewCalendar()
	c.SetMethod(ics.MethodPublish)
	c.SetProductId("-//slabwright//EN")
	c.SetXWRCalName(title)
	seen := map[string]bool{}
	for _, e := range events {
		uid := fmt.Sprintf("%s-%s@slabwright.invalid", slug(key), slug(e.Task))
		if seen[uid] {
			return fmt.Errorf("ical: two events are named %q", e.Task)
		}
		seen[uid] = true
		if !e.Day && !e.End.After(e.Start) {
			return fmt.Errorf("ical: %q ends at %s, not after its start at %s", e.Task, e.End.Format(time.RFC3339), e.Start.Format(time.RFC3339))
		}
		add(c, uid, asOf, e)
	}
	_, err := io.WriteString(w, c.Serialize(ics.WithNewLineWindows))
	return err
}

func add(c *ics.Calendar, uid string, asOf time.Time, e Event) {
	v := c.AddEvent(uid)
	v.SetDtStampTime(asOf.UTC())
	v.SetSequence(int(max(asOf.Unix(), 0) % (1 << 31)))
	v.SetSummary(clean(e.Says))
	if e.Details != "" {
		v.SetDescription(clean(e.Details))
	}
	if e.Place != "" {
		v.SetLocation(clean(e.Place))
	}
	if e.Day {
		v.SetAllDayStartAt(e.Start)
		v.SetAllDayEndAt(e.Start.AddDate(0, 0, 1))
	} else {
		v.SetStartAt(e.Start.UTC())
		v.SetEndAt(e.End.UTC())
	}
	if e.Remind > 0 {
		a := v.AddAlarm()
		a.SetAction(ics.ActionDisplay)
		a.SetTrigger("-PT" + fmt.Sprintf("%dM", int(e.Remind.Minutes())))
		a.SetProperty(ics.ComponentPropertyDescription, clean(e.Says))
	}
}

// clean drops what no calendar text may hold; line breaks stay and are escaped by the writer.
func clean(says string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' {
			return -1
		}
		return r
	}, strings.ToValidUTF8(says, "?"))
}

// slug is a name in letters, digits and dashes.
func slug(name string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r == '-':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, name)
}
