package web

import (
	"net/http"
	"net/url"
	"time"

	"slabwright/internal/rim/store"
)

// pageOfJobs is how many jobs one page of the list shows.
const pageOfJobs = 100

func (p *Page) jobs(w http.ResponseWriter, r *http.Request) {
	looking, after := r.FormValue("find"), r.FormValue("after")
	list, next, err := p.office.Jobs(r.Context(), store.Listing{Find: looking, After: after, Limit: pageOfJobs})
	if err != nil {
		p.fail(w, r, err)
		return
	}
	more := ""
	if next != "" {
		more = "/jobs?" + url.Values{"find": {looking}, "after": {next}}.Encode()
	}
	p.show(w, "jobs", map[string]any{"Head": p.head(r, "Jobs"), "Find": looking, "Jobs": list, "More": more})
}

// dayOfWeek is one column of the week.
type dayOfWeek struct {
	Name, Date string
	Jobs       []store.Summary
}

// week shows who pours what on which day of one week.
func (p *Page) week(w http.ResponseWriter, r *http.Request) {
	first := monday(p.office.Now())
	if t, err := time.Parse(time.DateOnly, r.FormValue("from")); err == nil {
		first = monday(t)
	}
	var days []dayOfWeek
	for i := range 7 {
		d := first.AddDate(0, 0, i)
		days = append(days, dayOfWeek{Name: d.Format("Mon Jan 2"), Date: d.Format(time.DateOnly)})
	}
	list, _, err := p.office.Jobs(r.Context(), store.Listing{From: days[0].Date, Until: days[6].Date, Limit: 1000})
	if err != nil {
		p.fail(w, r, err)
		return
	}
	for _, j := range list {
		for i := range days {
			if days[i].Date == j.PoursOn {
				days[i].Jobs = append(days[i].Jobs, j)
			}
		}
	}
	p.show(w, "week", map[string]any{"Head": p.head(r, "Week"), "Days": days,
		"Before": first.AddDate(0, 0, -7).Format(time.DateOnly), "After": first.AddDate(0, 0, 7).Format(time.DateOnly)})
}

func monday(t time.Time) time.Time {
	y, m, d := t.Date()
	day := time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	return day.AddDate(0, 0, -(int(day.Weekday())+6)%7)
}

func (p *Page) settings(w http.ResponseWriter, r *http.Request) {
	p.show(w, "settings", map[string]any{"Head": p.head(r, "Settings")})
}

func (p *Page) words(w http.ResponseWriter, r *http.Request) {
	p.show(w, "words", map[string]any{"Head": p.head(r, "Words")})
}
