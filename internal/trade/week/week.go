package week

import (
	"cmp"
	"slices"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/shop"
)

// Week is some days of a shop.
type Week struct {
	Days    []quantity.Date
	Rows    []Row
	Clashes []Clash // by day, the worse first
	Plants  []PlantDay
	Rough   []Job // whose answers rest on guesses, by day
	Units   quantity.System
}

// Row is one crew's days.
type Row struct {
	Crew    string // "" for jobs without one
	Foreman string
	People  int
	Listed  bool // the shop's lists have it
	Cells   [][]Slot
}

// Slot is a job on its day, with the clashes it is in: numbers into Clashes, from 1.
type Slot struct {
	Job
	In []int
}

// enough is the trust at which nothing that moves the order is guessed.
const enough = "good enough to order"

// Monday is the first day of a day's week.
func Monday(d quantity.Date) quantity.Date { return d.Add(-(int(d.Weekday()) + 6) % 7) }

// Make lays jobs over so many days from first on. Jobs of other days are left out. The order of the jobs does not matter.
func Make(first quantity.Date, days int, jobs []Job, s shop.Shop) Week {
	w := Week{Units: s.Units}
	for i := range days {
		w.Days = append(w.Days, first.Add(i))
	}
	jobs = slices.DeleteFunc(slices.Clone(jobs), func(j Job) bool { return j.On.IsZero() || w.column(j.On) < 0 })
	slices.SortStableFunc(jobs, func(a, b Job) int {
		return cmp.Or(a.On.DaysSince(b.On), cmp.Compare(a.First, b.First), cmp.Compare(a.Title, b.Title), cmp.Compare(a.ID, b.ID))
	})
	w.Plants = plantDays(jobs, s)
	w.Clashes = clashes(jobs, s, w.Plants)
	w.rows(jobs, s)
	for _, j := range jobs {
		if j.Planned && j.Trust != enough {
			w.Rough = append(w.Rough, j)
		}
	}
	return w
}

// column is a day's place; −1 when it is not one of the week's.
func (w Week) column(d quantity.Date) int {
	if i := d.DaysSince(w.Days[0]); i >= 0 && i < len(w.Days) {
		return i
	}
	return -1
}

// rows has the shop's crews in its order, then crews that only jobs name, then the jobs without one.
func (w *Week) rows(jobs []Job, s shop.Shop) {
	for _, c := range s.Crews {
		w.Rows = append(w.Rows, Row{Crew: c.Name.Value, Foreman: c.Foreman.Value, People: int(c.People.Value), Listed: true})
	}
	var others []string
	for _, j := range jobs {
		if j.Crew != "" && w.row(j.Crew) < 0 && !slices.ContainsFunc(others, func(o string) bool { return strings.EqualFold(o, j.Crew) }) {
			others = append(others, j.Crew)
		}
	}
	slices.Sort(others)
	for _, name := range append(others, "") {
		w.Rows = append(w.Rows, Row{Crew: name})
	}
	for i := range w.Rows {
		w.Rows[i].Cells = make([][]Slot, len(w.Days))
	}
	for _, j := range jobs {
		cell := &w.Rows[w.row(j.Crew)].Cells[w.column(j.On)]
		*cell = append(*cell, Slot{j, w.in(j)})
	}
}

func (w Week) row(crew string) int {
	return slices.IndexFunc(w.Rows, func(r Row) bool { return strings.EqualFold(r.Crew, crew) })
}

// in are the clashes of a job.
func (w Week) in(j Job) []int {
	var out []int
	for i, c := range w.Clashes {
		if slices.Contains(c.Jobs, j.ID) {
			out = append(out, i+1)
		}
	}
	return out
}

// Waiting are the jobs whose quotes have no answer, the oldest first.
func Waiting(jobs []Job) []Job {
	out := slices.DeleteFunc(slices.Clone(jobs), func(j Job) bool { return !j.Waiting() })
	slices.SortStableFunc(out, func(a, b Job) int { return cmp.Or(a.Quoted.DaysSince(b.Quoted), cmp.Compare(a.Title, b.Title)) })
	return out
}

// Undrivable are the slabs that may not carry their load yet, the next to be ready first.
func Undrivable(jobs []Job, today quantity.Date) []Job {
	out := slices.DeleteFunc(slices.Clone(jobs), func(j Job) bool { return !j.Undrivable(today) })
	slices.SortStableFunc(out, func(a, b Job) int { return cmp.Or(a.Load.DaysSince(b.Load), cmp.Compare(a.Title, b.Title)) })
	return out
}
