package api

import (
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/week"
)

// WeekView is a week as scripts read it.
type WeekView struct {
	Today      string            `json:"today"`
	Days       []string          `json:"days"`
	Rows       []WeekRow         `json:"rows"`
	Clashes    []WeekClash       `json:"clashes"`
	Plants     []WeekPlant       `json:"plants"`
	Undrivable []week.Job        `json:"not_ready_for_their_load"`
	Quotes     []week.Job        `json:"quotes_waiting"`
	Rough      []week.Job        `json:"rest_on_guesses"`
	Changed    []store.JobChange `json:"changed"`
	Since      string            `json:"changed_since"`
	Replanned  int               `json:"being_planned"`
}

// WeekRow is one crew's days.
type WeekRow struct {
	Crew    string       `json:"crew"`
	Foreman string       `json:"foreman,omitempty"`
	People  int          `json:"people,omitempty"`
	Cells   [][]WeekSlot `json:"cells"` // by day
}

// WeekSlot is a job on its day, with the numbers of the clashes it is in, from 1.
type WeekSlot struct {
	week.Job
	In []int `json:"in_clashes"`
}

// WeekClash is what cannot be, or wants a look.
type WeekClash struct {
	Kind  string   `json:"kind"`
	Level string   `json:"level"`
	On    string   `json:"on"`
	Says  string   `json:"says"`
	Jobs  []string `json:"jobs"`
}

// WeekPlant is what one plant must send on one day.
type WeekPlant struct {
	Plant string     `json:"plant"`
	On    string     `json:"on"`
	Limit float64    `json:"limit_m3_per_h,omitempty"`
	Hours []WeekHour `json:"hours"`
}

// WeekHour is the concrete placed in one hour of the clock.
type WeekHour struct {
	From   int      `json:"from"`
	Volume float64  `json:"m3"`
	Over   bool     `json:"over,omitempty"`
	Jobs   []string `json:"jobs"`
}

func weekView(a Around) WeekView {
	out := WeekView{Today: a.Today.ISO(), Days: []string{}, Rows: []WeekRow{}, Clashes: []WeekClash{}, Plants: []WeekPlant{}, Undrivable: nonNil(a.Ahead), Quotes: nonNil(a.Quotes),
		Rough: nonNil(a.Rough), Changed: nonNil(a.Changed), Since: a.Since.Format("2006-01-02T15:04Z07:00"), Replanned: a.Fresh}
	for _, d := range a.Days {
		out.Days = append(out.Days, d.ISO())
	}
	for _, r := range a.Rows {
		row := WeekRow{Crew: r.Crew, Foreman: r.Foreman, People: r.People, Cells: [][]WeekSlot{}}
		for _, cell := range r.Cells {
			slots := []WeekSlot{}
			for _, s := range cell {
				slots = append(slots, WeekSlot{s.Job, nonNil(s.In)})
			}
			row.Cells = append(row.Cells, slots)
		}
		out.Rows = append(out.Rows, row)
	}
	for _, c := range a.Clashes {
		out.Clashes = append(out.Clashes, WeekClash{c.Kind, c.Level.Word(), c.On.ISO(), c.Says, nonNil(c.Jobs)})
	}
	for _, p := range a.Plants {
		plant := WeekPlant{Plant: p.Plant, On: p.On.ISO(), Limit: 3600 * float64(p.Limit), Hours: []WeekHour{}}
		for _, h := range p.Hours {
			plant.Hours = append(plant.Hours, WeekHour{h.At, float64(h.Volume), p.Over(h), nonNil(h.Jobs)})
		}
		out.Plants = append(out.Plants, plant)
	}
	return out
}
