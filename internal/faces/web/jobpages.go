package web

import (
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/faces/api"
	"slabwright/internal/faces/speak"
	"slabwright/internal/trade/backing"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/site"
)

// jobPage is everything a screen of a job shows.
type jobPage struct {
	head
	ID       string
	Revision int64
	Screen   Screen
	Before   *Screen
	After    *Screen
	Index    []indexRow

	JobTitle, Number, Address string
	Practice                  bool
	DoNotDig                  bool
	Printed                   string
	Units                     string
	Zone                      string // of the site

	Trust, Next     string
	Count           int
	Verdict         checkView
	Strip           []figureView
	Figures         []stageFigures
	Loud, Good      []checkView
	Safety          []checkView
	Faults          []faultView
	Waits           []Screen
	Guesses         []guessView
	Movers          []guessView
	Boxes, More     []boxView
	Lists           []listView
	Pictures        []pictureView
	Deep            string
	Answered        bool
	Ranked          bool
	Empty           bool // nothing is drawn yet
	Sheets          []sheetRow
	Crew, NextPrint string // the print the crew has; what the next one is called where the job has changed since
	Replaces        string // the print that the next one replaces
	Changed         []changedView
	Written         []writtenLine
	Vehicle         string // what parks: its length and width in metres, to draw it
}

type indexRow struct {
	Screen
	Here bool
	N    int
}

type stageFigures struct {
	Stage, Question string
	Figures         []figureView
}

type listView struct {
	List
	ID     string
	Fields []Field
	Rows   [][]string
}

type pictureView struct {
	Name, Title, Says string
	Table             drawing.Table
	Markup            template.HTML // of the first picture, so that the page is whole at once
	Wide              int           // pixels it was laid out for
}

// screen answers with one screen of a job.
func (p *Page) screen(w http.ResponseWriter, r *http.Request) {
	s, ok := find(r.PathValue("screen"))
	if !ok {
		p.missing(w, r)
		return
	}
	if !personIn(r).showsScreen(s.Slug) {
		p.fail(w, r, api.ErrNotYours)
		return
	}
	v, err := p.view(r, s)
	if err != nil {
		p.fail(w, r, err)
		return
	}
	p.show(w, "job", v)
}

// enter leads into a job at its first question.
func (p *Page) enter(w http.ResponseWriter, r *http.Request) {
	slug := "build"
	if !personIn(r).showsScreen(slug) {
		slug = "pour"
	}
	http.Redirect(w, r, "/jobs/"+r.PathValue("id")+"/"+slug, http.StatusSeeOther)
}

// asked are the stages a screen's page asks: its own, and the lot, on which the trust rests and whether one may dig.
func (s Screen) asked() []string {
	if len(s.Stages) == 0 {
		return nil
	}
	return append(slices.Clone(s.Stages), "site")
}

func (p *Page) view(r *http.Request, s Screen) (jobPage, error) {
	id := r.PathValue("id")
	stored, err := p.office.Job(r.Context(), id)
	if err != nil {
		return jobPage{}, err
	}
	planned, err := p.office.Plan(r.Context(), id, nil, s.asked()...)
	if err != nil {
		return jobPage{}, err
	}
	made := planned.Plan
	doc := document{stored.Doc}
	v := jobPage{head: p.head(r, s.Title+" · "+made.Job.Title()), ID: id, Revision: stored.Revision, Screen: s, JobTitle: made.Job.Title(), Number: made.Job.Number,
		Address: made.Job.Address, Practice: made.Job.Practice, Printed: made.Job.Revision, Units: made.Job.Units.String(), Zone: made.Job.Zone,
		Trust: string(made.Trust()), Next: made.TrustReason(), Strip: strip(made, s), Faults: faults(made, planned.Faults, s.Stages), Waits: waits(made, s.Stages)}
	v.place(s)
	v.tidy(made, doc)
	stages := s.Stages
	v.Loud, v.Good, v.Safety = judged(made, stages)
	v.Count = len(guessed(made, stages, nil))
	if len(stages) > 0 {
		v.Guesses = guessed(made, stages, nil)
	}
	if v.Crew, v.NextPrint, err = p.office.Crew(r.Context(), id, stored.Revision); err != nil {
		return v, err
	}
	v.Boxes, v.More = boxes(made, doc, v.Screen.Boxes), boxes(made, doc, s.More)
	v.Verdict = verdict(made, stages)
	v.Answered = len(v.Strip) > 0
	v.Deep = s.Deep
	v.dig(made)
	named := figures(made, s)
	for _, stage := range stages {
		if report, ok := made.Of(stage); ok && len(named[stage]) > 0 {
			v.Figures = append(v.Figures, stageFigures{stage, report.Question, named[stage]})
		}
	}
	v.parked(made)
	v.lists(made, doc, s)
	v.pictures(made, s, roomFor(r))
	switch s.Slug {
	case "assumed":
		var movers []plan.Mover
		if movers, v.Ranked, err = p.office.Ranked(r.Context(), id); err == nil && !v.Ranked && r.FormValue("ranked") != "" {
			movers, v.Ranked = made.Movers(), true
		}
		v.assumed(made, doc, movers)
	case "record":
		v.Written, err = p.written(r.Context(), id, made.Job)
	case "sheets":
		err = p.sheets(r, &v)
	}
	v.narrow(r)
	return v, err
}

// tidy leads each fault to its box, and asks for the outline in one sentence where nothing is drawn yet.
func (v *jobPage) tidy(p plan.Plan, doc document) {
	unsized := func(f faultView) bool { return f.Pointer == "/length" || f.Pointer == "/width" }
	if v.Screen.Slug == "build" && !slices.ContainsFunc(v.Faults, func(f faultView) bool { return !unsized(f) }) {
		v.Empty, v.Faults = len(v.Faults) > 0, nil
	}
	for i := range v.Faults {
		v.Faults[i].Href = href(v.ID, v.Screen, v.Faults[i].Pointer)
	}
	if doc.at("/site/corners") != nil || doc.at("/site/tapes") != nil { // the outline is drawn: its sides are typed beside it
		v.Screen.Boxes = slices.DeleteFunc(slices.Clone(v.Screen.Boxes), func(p string) bool { return p == "/length" || p == "/width" })
	}
}

func (v *jobPage) place(s Screen) {
	for _, row := range screens {
		v.Index = append(v.Index, indexRow{Screen: row, Here: row.Slug == s.Slug})
	}
}

// neighbours are the screens before and after this one, of those in the index.
func (v *jobPage) neighbours() {
	i := slices.IndexFunc(v.Index, func(row indexRow) bool { return row.Here })
	if i > 0 {
		v.Before = &v.Index[i-1].Screen
	}
	if i+1 < len(v.Index) {
		v.After = &v.Index[i+1].Screen
	}
}

func (v *jobPage) dig(p plan.Plan) {
	if report, ok := p.Of("site"); ok {
		if lot, ok := report.Result.(site.Result); ok {
			v.DoNotDig = lot.DoNotDig
		}
	}
}

func (v *jobPage) parked(p plan.Plan) {
	if report, ok := p.Of("backing"); ok {
		if in, ok := report.Input.(backing.Input); ok {
			length, width := in.Standing()
			v.Vehicle = fmt.Sprintf("%.2f %.2f", length.Metres(), width.Metres())
		}
	}
}

// verdict is the gravest thing the stages say of the work itself; what people are warned of stands elsewhere.
func verdict(p plan.Plan, stages []string) checkView {
	var all []check.Check
	for _, r := range p.Stages {
		if slices.Contains(stages, r.Name) {
			all = append(all, slices.DeleteFunc(slices.Clone(r.Checks), func(c check.Check) bool { return c.Safety })...)
		}
	}
	worst := check.Worst(all)
	return checkView{Level: levelClass(worst), Word: verdictOf(worst)}
}

// changedView is a figure that is not what it was on the crew's print.
type changedView struct{ Says, Was, Now string }

// sheets lists what can be printed, and what has changed since the print the crew has, with the plan on which it is ringed.
func (p *Page) sheets(r *http.Request, v *jobPage) error {
	names, now, err := p.office.Sheets(r.Context(), v.ID)
	if err != nil {
		return err
	}
	v.Sheets, v.Replaces = sheetRows(names, now), now.Replaces
	tongue := speak.Of(now.Job)
	for _, c := range now.Changes {
		one := changedView{Says: c.Says, Was: "not there", Now: "gone"}
		if !c.New {
			one.Was = tongue.Value(c.Was)
		}
		if !c.Gone {
			one.Now = tongue.Value(c.Now)
		}
		v.Changed = append(v.Changed, one)
	}
	if pic, ok := pictureNamed(now, "joint-plan"); ok && now.Replaces != "" {
		one := pictureView{Name: pic.Name, Title: "What changed since " + now.Replaces, Says: pic.Says, Table: pic.Table, Wide: roomFor(r)}
		if markup, _, err := onScreen(pic, one.Wide, now.Job.Units); err == nil {
			one.Markup = trusted(markup)
			v.Pictures = append(v.Pictures, one)
		}
	}
	return nil
}

// sheetRow is one sheet with the forms it comes in.
type sheetRow struct {
	Title string
	Files []sheetForm
}

type sheetForm struct{ Name, Form string }

// sheetRows gathers the files of a pack by what they show; drawings are called by what they find.
func sheetRows(names []string, p plan.Plan) []sheetRow {
	titles := map[string]string{}
	for _, r := range p.Stages {
		for _, pic := range r.Drawn() {
			if len(pic.Marks) > 0 && titles[pic.Name] == "" {
				titles[pic.Name] = pic.Title
			}
		}
	}
	var out []sheetRow
	for _, name := range names {
		stem, form, _ := strings.Cut(name, ".")
		title := titles[stem]
		if title == "" {
			title = upper(strings.ReplaceAll(stem, "-", " "))
		}
		if n := len(out); n > 0 && out[n-1].Title == title {
			out[n-1].Files = append(out[n-1].Files, sheetForm{name, strings.ToUpper(form)})
			continue
		}
		out = append(out, sheetRow{title, []sheetForm{{name, strings.ToUpper(form)}}})
	}
	return out
}

func (v *jobPage) lists(p plan.Plan, doc document, s Screen) {
	for _, l := range s.Lists {
		one := listView{List: l, ID: "list" + escapeID(l.Pointer), Rows: doc.rows(l)}
		columns := l.Columns
		if len(columns) == 0 {
			columns = []string{""}
		}
		for _, c := range columns {
			pointer := l.Pointer + "/-"
			if c != "" {
				pointer += "/" + c
			}
			if f, ok := fieldAt(pointer, p.Job.Units); ok {
				f.Head = columnHead(l.Pointer, c, f.Says)
				one.Fields = append(one.Fields, f)
			}
		}
		if len(one.Fields) == len(columns) {
			v.Lists = append(v.Lists, one)
		}
	}
}

func (v *jobPage) pictures(p plan.Plan, s Screen, room int) {
	for _, pic := range s.shown(p) {
		one := pictureView{Name: pic.Name, Title: pic.Title, Says: pic.Says, Table: pic.Table}
		if len(v.Pictures) == 0 && s.Tool == "" {
			if markup, _, err := onScreen(pic, room, p.Job.Units); err == nil {
				one.Markup, one.Wide = trusted(markup), room
			}
		}
		v.Pictures = append(v.Pictures, one)
	}
}

// shown are the screen's pictures in its order, then whatever else its stages draw that no screen names.
func (s Screen) shown(p plan.Plan) []drawing.Picture {
	var out []drawing.Picture
	for _, name := range s.Pictures {
		if pic, ok := pictureNamed(p, name); ok {
			out = append(out, pic)
		}
	}
	for _, r := range p.Stages {
		if screenOf(r.Name) != s.Slug {
			continue
		}
		for _, pic := range r.Pictures() {
			if !listed(pic.Name) && len(pic.Marks) > 0 {
				out = append(out, pic)
			}
		}
	}
	return out
}

// roomFor is how wide a drawing stands on the person's screen, as their last page said; before that, a phone's or a desk's.
func roomFor(r *http.Request) int {
	if c, err := r.Cookie("room"); err == nil {
		if n, err := strconv.Atoi(c.Value); err == nil {
			return min(max(n, narrowest), widest)
		}
	}
	if r.Header.Get("Sec-CH-UA-Mobile") == "?1" {
		return 320
	}
	return 640
}

// assumed fills the list of all guesses, each with the box that sets it. Ranking them by what they move takes seconds, so the
// page comes without it first.
func (v *jobPage) assumed(p plan.Plan, doc document, movers []plan.Mover) {
	v.Guesses = guessed(p, nil, movers)
	v.Count = len(v.Guesses)
	for i := range v.Guesses {
		if b, ok := boxOf(p, doc, v.Guesses[i].Pointer); ok {
			v.Guesses[i].Box = &b
		}
	}
	v.Movers = v.Guesses[:min(len(movers), len(v.Guesses))]
	v.Guesses = v.Guesses[len(v.Movers):]
}

// why answers with the working behind a figure, down to what was said and assumed.
func (p *Page) why(w http.ResponseWriter, r *http.Request) {
	id, what := r.PathValue("id"), r.PathValue("figure")
	stage, _, _ := strings.Cut(what, ".")
	planned, err := p.office.Plan(r.Context(), id, nil, stage)
	if err != nil {
		p.fail(w, r, err)
		return
	}
	made := planned.Plan
	report, steps, err := made.Why(what)
	if err != nil {
		http.Error(w, err.Error(), http.StatusNotFound)
		return
	}
	title := report.Question
	if step, ok := made.Figure(what); ok {
		title = upper(step.Says) + ": " + figure(made, what, step).Text
	}
	p.show(w, "why", map[string]any{"Head": p.head(r, "Why? "+title), "ID": id, "Title": title, "Question": report.Question,
		"Back": screenOf(report.Name), "Steps": stepsOf(made, made.Deep(report, steps)), "JobTitle": made.Job.Title()})
}

// trusted marks markup this program made itself.
func trusted(markup []byte) template.HTML { return template.HTML(markup) }
