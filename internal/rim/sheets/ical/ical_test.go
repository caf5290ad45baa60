package ical_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	goical "github.com/emersion/go-ical"

	"slabwright/internal/rim/sheets/ical"
)

var (
	asOf  = time.Date(2026, 6, 10, 18, 30, 0, 0, time.UTC)
	place = time.FixedZone("site", -6*3600)
)

func events() []ical.Event {
	return []ical.Event{
		{Task: "pour", Says: "Pour; check rain, wind", Details: strings.Repeat("Bring the long screed, gloves; rinse. ", 6) + "\nSecond line",
			Place: "12 Shore Road", Start: time.Date(2026, 6, 11, 7, 0, 0, 0, place), End: time.Date(2026, 6, 11, 15, 0, 0, 0, place), Remind: 12 * time.Hour},
		{Task: "load car", Says: "Car may park", Start: time.Date(2026, 6, 22, 0, 0, 0, 0, place), Day: true},
	}
}

func written(t *testing.T, at time.Time) string {
	t.Helper()
	var b bytes.Buffer
	if err := ical.Write(&b, "Job 26-014", "Boathouse apron", at, events()); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// CON-06: CRLF, lines of at most 75 octets, stable identifiers, DTSTAMP, hours in UTC, days as days.
func TestRFC5545(t *testing.T) {
	text := written(t, asOf)
	if strings.Contains(strings.ReplaceAll(text, "\r\n", ""), "\n") {
		t.Error("a line ends in a bare line feed")
	}
	for _, line := range strings.Split(text, "\r\n") {
		if len(line) > 75 {
			t.Errorf("line of %d octets: %q", len(line), line)
		}
	}
	for _, want := range []string{"DTSTART:20260611T130000Z", "DTEND:20260611T210000Z", "DTSTART;VALUE=DATE:20260622", "DTEND;VALUE=DATE:20260623",
		"DTSTAMP:20260610T183000Z", "UID:job-26-014-pour@slabwright.invalid", "UID:job-26-014-load-car@slabwright.invalid", "TRIGGER:-PT720M"} {
		if !strings.Contains(text, want+"\r\n") {
			t.Errorf("no line %q", want)
		}
	}
}

func TestReadBack(t *testing.T) {
	c, err := goical.NewDecoder(strings.NewReader(written(t, asOf))).Decode()
	if err != nil {
		t.Fatal(err)
	}
	got := c.Events()
	if len(got) != 2 {
		t.Fatalf("%d events came back, want 2", len(got))
	}
	for i, want := range events() {
		if says, _ := got[i].Props.Text(goical.PropSummary); says != want.Says {
			t.Errorf("summary %q, want %q", says, want.Says)
		}
		if details, _ := got[i].Props.Text(goical.PropDescription); details != want.Details {
			t.Errorf("description %q, want %q", details, want.Details)
		}
		start, err := got[i].DateTimeStart(place)
		if err != nil || !start.Equal(want.Start) {
			t.Errorf("starts %v (%v), want %v", start, err, want.Start)
		}
	}
}

func TestLaterPlanMovesTheSameEvents(t *testing.T) {
	uids := func(text string) (out []string) {
		for _, line := range strings.Split(text, "\r\n") {
			if strings.HasPrefix(line, "UID:") {
				out = append(out, line)
			}
		}
		return out
	}
	a, b := written(t, asOf), written(t, asOf.Add(time.Hour))
	if strings.Join(uids(a), " ") != strings.Join(uids(b), " ") || a == b {
		t.Error("a later plan must keep the identifiers and raise the sequence")
	}
}

func TestRefuses(t *testing.T) {
	backwards := events()[0]
	backwards.End = backwards.Start
	for _, list := range [][]ical.Event{{backwards}, {events()[1], events()[1]}} {
		var b bytes.Buffer
		if err := ical.Write(&b, "x", "x", asOf, list); err == nil || b.Len() > 0 {
			t.Errorf("wrote %d bytes, error %v; want a refusal and nothing written", b.Len(), err)
		}
	}
}
