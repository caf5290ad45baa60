package web

import (
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strings"
	"time"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/api"
	"slabwright/internal/faces/speak"
	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/week"
)

// weekPage is everything the week shows.
type weekPage struct {
	head
	First, Before, After, Today string
	Days                        []weekDay
	Rows                        []weekRow
	Crews                       []string
	Clashes                     []weekClash
	Plants                      []weekPlant
	Ahead, Quotes, Rough        []weekJob
	Changed                     []weekChange
	Since                       string
	Fresh                       int
	Choices                     []sheetChoice
	Tomorrow                    string
}

type weekDay struct {
	Name, Date string
	Today      bool
	Pours      int
}

type weekRow struct {
	Crew, Name, Foreman string
	People              int
	Cells               []weekCell
}

type weekCell struct {
	Date, Name string
	Slots      []weekJob
}

// weekJob is a job as the week writes it.
type weekJob struct {
	week.Job
	Day, Hours, Yards, Word, Level, Ready, CarOn, QuotedOn, HoldsUntil, Total string
	Over                                                                      bool // the quoted price holds no more
	Days                                                                      int  // since it was quoted
	In                                                                        []weekClash
	Crews                                                                     []string // to choose from
}

type weekClash struct {
	N                      int
	Level, Word, Day, Says string
	Jobs                   []weekJob
}

type weekPlant struct {
	Title, Says string
	Markup      template.HTML
	Table       drawing.Table
}

type weekChange struct {
	Job, Title, When, By, Step string
}

type sheetChoice struct {
	Name, Title string
	Chosen      bool
}

// week shows who pours what on which day of one week, and what cannot be.
func (p *Page) week(w http.ResponseWriter, r *http.Request) {
	today := quantity.DateOf(p.office.Now())
	first := week.Monday(today)
	if text := r.FormValue("from"); text != "" {
		var d quantity.Date
		if _, err := d.ReadText(text, quantity.Box{Today: p.office.Now()}); err == nil {
			first = week.Monday(d)
		}
	}
	around, err := p.office.Week(r.Context(), first, 7)
	if err != nil {
		p.fail(w, r, err)
		return
	}
	v := weekPage{head: p.head(r, "Week"), First: first.ISO(), Before: first.Add(-7).ISO(), After: first.Add(7).ISO(), Today: today.ISO(), Tomorrow: today.Add(1).ISO(),
		Since: around.Since.Format("Mon Jan 2, 15:04"), Fresh: around.Fresh}
	v.fill(around, roomFor(r))
	p.show(w, "week", v)
}

func (v *weekPage) fill(a api.Around, room int) {
	for _, row := range a.Rows {
		if row.Crew != "" {
			v.Crews = append(v.Crews, row.Crew)
		}
	}
	for i, c := range a.Clashes {
		v.Clashes = append(v.Clashes, weekClash{N: i + 1, Level: c.Level.Word(), Word: upper(c.Level.String()), Day: dayName(c.On), Says: c.Says})
	}
	byID := map[string]weekJob{}
	pours := make([]int, len(a.Days))
	for _, row := range a.Rows {
		out := weekRow{Crew: row.Crew, Name: row.Crew, Foreman: row.Foreman, People: row.People}
		if row.Crew == "" {
			out.Name = "No crew named"
		}
		for i, cell := range row.Cells {
			c := weekCell{Date: a.Days[i].ISO(), Name: a.Days[i].Time().Format("Mon Jan 2")}
			for _, s := range cell {
				one := v.job(s.Job, a.Today)
				for _, n := range s.In {
					one.In = append(one.In, v.Clashes[n-1])
				}
				byID[s.ID] = one
				c.Slots = append(c.Slots, one)
			}
			pours[i] += len(cell)
			out.Cells = append(out.Cells, c)
		}
		v.Rows = append(v.Rows, out)
	}
	for i, d := range a.Days {
		v.Days = append(v.Days, weekDay{Name: d.Time().Format("Mon Jan 2"), Date: d.ISO(), Today: d == a.Today, Pours: pours[i]})
	}
	for i, c := range a.Clashes {
		for _, id := range c.Jobs {
			v.Clashes[i].Jobs = append(v.Clashes[i].Jobs, byID[id])
		}
	}
	for _, p := range a.Plants {
		v.plant(p, a.Units, room)
	}
	v.Ahead, v.Quotes, v.Rough = v.jobs(a.Ahead, a.Today), v.jobs(a.Quotes, a.Today), v.jobs(a.Rough, a.Today)
	for _, c := range a.Changed {
		v.Changed = append(v.Changed, weekChange{c.Job, c.Title, c.At.In(a.Since.Location()).Format("Mon 15:04"), c.By, c.Step})
	}
	for _, name := range pack.Choices() {
		v.Choices = append(v.Choices, sheetChoice{name, upper(strings.ReplaceAll(name, "-", " ")), contains(pack.Carried(), name)})
	}
}

func contains(list []string, name string) bool {
	for _, one := range list {
		if one == name {
			return true
		}
	}
	return false
}

func (v *weekPage) plant(p week.PlantDay, units quantity.System, room int) {
	pic := p.Picture(units)
	out := weekPlant{Title: pic.Title, Says: pic.Says, Table: pic.Table}
	if markup, _, err := onScreen(pic, min(room, 460), units); err == nil {
		out.Markup = trusted(markup)
	}
	v.Plants = append(v.Plants, out)
}

func (v *weekPage) jobs(list []week.Job, today quantity.Date) []weekJob {
	var out []weekJob
	for _, j := range list {
		out = append(out, v.job(j, today))
	}
	return out
}

func (v *weekPage) job(j week.Job, today quantity.Date) weekJob {
	currency := j.Currency
	if currency == "" {
		currency = "$"
	}
	t := speak.Of(job.Job{Units: j.Units, Currency: currency})
	out := weekJob{Job: j, Day: dayName(j.On), Ready: dayName(j.Load), CarOn: dayName(j.Car), QuotedOn: dayName(j.Quoted), HoldsUntil: dayName(j.Holds), Crews: v.Crews, Level: "unknown", Word: "Not planned yet"}
	out.Hours = j.First.String()
	if j.Last > 0 {
		about := ""
		if j.About {
			about = "about "
		}
		out.Hours += " to " + about + quantity.Clock(int(j.Last)%(24*60)).String()
	}
	if j.Concrete > 0 {
		out.Yards = t.Value(quantity.Show(j.Concrete, quantity.AsVolume))
	}
	if j.Money > 0 {
		out.Total = t.Headline(quantity.Show(j.Money, quantity.AsMoney))
	}
	if j.Planned {
		out.Word = "Not judged"
		for _, l := range []check.Level{check.Good, check.Care, check.Stop} {
			if l.Word() == j.Verdict {
				out.Level, out.Word = j.Verdict, verdictOf(l)
			}
		}
	}
	if !j.Quoted.IsZero() {
		out.Days = today.DaysSince(j.Quoted)
		out.Over = !j.Holds.IsZero() && j.Holds.Before(today)
	}
	return out
}

func dayName(d quantity.Date) string {
	if d.IsZero() {
		return ""
	}
	return d.Time().Format("Mon Jan 2, 2006")
}

// moveJob puts a job on another day or to another crew, where no script does it.
func (p *Page) moveJob(w http.ResponseWriter, r *http.Request) {
	id, day, crew := r.PostFormValue("job"), strings.TrimSpace(r.PostFormValue("day")), strings.TrimSpace(r.PostFormValue("crew"))
	stands, err := p.office.Job(r.Context(), id)
	if err != nil {
		p.fail(w, r, err)
		return
	}
	doc := document{stands.Doc}
	var sets []fields.Set
	for _, one := range []struct{ pointer, text string }{{"/pour_date", day}, {"/crew", crew}} {
		if one.text == doc.text(one.pointer) {
			continue
		}
		set := fields.Set{Pointer: one.pointer, Was: doc.at(one.pointer)}
		if one.text != "" {
			set.Value = one.text
		}
		sets = append(sets, set)
	}
	if len(sets) > 0 {
		_, err = p.office.Change(r.Context(), id, store.Change{ID: newID(), At: p.office.Now().Format(time.RFC3339), Step: fmt.Sprintf("Moved to %s, crew %s", day, crew), Seen: stands.Revision, Sets: sets})
	}
	if err != nil {
		p.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/week?"+url.Values{"from": {day}}.Encode()+"#job-"+id, http.StatusSeeOther)
}

// daySheets leads to the sheets of a day as a person chose them.
func (p *Page) daySheets(w http.ResponseWriter, r *http.Request) {
	form := "sheets.pdf"
	if r.FormValue("form") == "folder" {
		form = "sheets.zip"
	}
	q := url.Values{}
	if only := r.URL.Query()["only"]; len(only) > 0 {
		q.Set("only", strings.Join(only, ","))
	}
	http.Redirect(w, r, "/api/v1/days/"+url.PathEscape(r.FormValue("day"))+"/"+form+"?"+q.Encode(), http.StatusSeeOther)
}
