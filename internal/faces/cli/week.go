package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"path/filepath"
	"text/tabwriter"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/api"
	"slabwright/internal/faces/speak"
	"slabwright/internal/rim/sheets/csvout"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/shop"
	"slabwright/internal/trade/week"
)

// weekCommand lays jobs over crews and days.
type weekCommand struct {
	Files []string `arg:"" optional:"" name:"job" help:"Job files; without any, the jobs that are kept." predictor:"job"`
	From  string   `help:"First day, like mon or 2027-06-14; this week's Monday if left out." placeholder:"DAY"`
	Days  int      `help:"How many days." default:"7"`
	CSV   bool     `name:"csv" help:"Print the days as CSV, one row a job."`
	Kept
}

// Help shows how it is used.
func (weekCommand) Help() string {
	return `Examples:
  slabwright week jobs/*.yaml               crews by day, clashes, plants by the hour, quotes that wait
  slabwright week --store shop.db --from mon  the jobs the page keeps
  slabwright week jobs/*.yaml --csv > week.csv`
}

// around is a week with what lies around it.
type around struct {
	week.Week
	today         quantity.Date
	ahead, quotes []week.Job
	changed       []store.JobChange
}

// Run prints the week.
func (c weekCommand) Run(s *session) error {
	if c.Days < 1 || c.Days > 28 {
		return exit{code: WrongUsage, err: fmt.Errorf("--days %d is not a number of days from 1 to 28", c.Days)}
	}
	first := week.Monday(quantity.DateOf(s.asOf()))
	if c.From != "" {
		var err error
		if first, err = s.dayWord("from", c.From); err != nil {
			return err
		}
	}
	look := c.ofStore
	if len(c.Files) > 0 {
		look = c.ofFiles
	}
	a, err := look(s, first)
	if err != nil {
		return err
	}
	switch {
	case c.CSV || s.Plain:
		var b bytes.Buffer
		if err := csvout.Write(&b, pack.WeekTable(a.Week)); err != nil {
			return err
		}
		_, err := s.Out.Write(b.Bytes())
		return err
	case s.JSON:
		return s.printJSON(map[string]any{"week": a.Week, "not_ready_for_their_load": nonNil(a.ahead), "quotes_waiting": nonNil(a.quotes), "changed": nonNil(a.changed)})
	}
	s.weekDays(a)
	s.weekRest(a)
	return nil
}

// ofFiles plans the jobs of some files. The shop's lists may lie among them.
func (c weekCommand) ofFiles(s *session, first quantity.Date) (around, error) {
	a := around{today: quantity.DateOf(s.asOf())}
	var jobs []week.Job
	var lists shop.Shop
	s.progress("Planning the jobs")
	for _, file := range c.Files {
		if filepath.Base(file) == shopFile {
			continue
		}
		o, err := s.open(jobFile{File: file})
		if err != nil {
			return a, err
		}
		p, err := o.planned()
		if err != nil {
			return a, err
		}
		j := week.Of(p)
		j.ID = file
		jobs = append(jobs, j)
		if l, err := s.lists(file); err == nil && l != nil {
			lists = l.Now()
		}
	}
	if len(jobs) == 0 {
		return a, exit{code: WrongUsage, err: errors.New("there is no job among these files")}
	}
	a.Week, a.ahead, a.quotes = week.Make(first, c.Days, jobs, lists), week.Undrivable(jobs, a.today), week.Waiting(jobs)
	return a, nil
}

// office opens the jobs that are kept.
func (c Kept) office(ctx context.Context, s *session) (*api.Server, func(), error) {
	where, err := c.where(s)
	if err != nil {
		return nil, nil, err
	}
	jobs, err := store.Open(ctx, where, s.Now)
	if err != nil {
		return nil, nil, exit{code: Failed, err: err}
	}
	office, err := api.Open(ctx, jobs, api.Options{Log: slog.New(slog.NewTextHandler(s.Err, &slog.HandlerOptions{Level: slog.LevelWarn})), Now: s.Now})
	if err != nil {
		return nil, nil, errors.Join(exit{code: Failed, err: err}, jobs.Close())
	}
	return office, func() { _ = errors.Join(office.Close(), jobs.Close()) }, nil // all is on the disk
}

// ofStore reads the week of the jobs that are kept, once those that want it are planned anew.
func (c weekCommand) ofStore(s *session, first quantity.Date) (around, error) {
	ctx := context.Background()
	office, done, err := c.office(ctx, s)
	if err != nil {
		return around{}, err
	}
	defer done()
	read, err := office.Week(ctx, first, c.Days)
	if err == nil && read.Fresh > 0 {
		s.progress(fmt.Sprintf("Planning %s", counted(read.Fresh, "job", "jobs")))
		office.Planned()
		read, err = office.Week(ctx, first, c.Days)
	}
	return around{read.Week, read.Today, read.Ahead, read.Quotes, read.Changed}, err
}

// weekDays prints the days with their jobs, crew by crew.
func (s *session) weekDays(a around) {
	for i, day := range a.Days {
		fmt.Fprintln(s.Out, s.strong(day.String()))
		w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
		pours := 0
		for _, r := range a.Rows {
			for _, slot := range r.Cells[i] {
				pours++
				fmt.Fprintf(w, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\n", orWord(r.Crew, "no crew"), hoursOf(slot.Job), slot.Title, amountOf(slot.Job), slot.Plant, verdictWord(slot.Job), numbersOf(slot.In))
			}
		}
		w.Flush()
		if pours == 0 {
			fmt.Fprintln(s.Out, "  nothing")
		}
	}
}

func orWord(text, other string) string {
	if text == "" {
		return other
	}
	return text
}

func hoursOf(j week.Job) string {
	if j.Last == 0 {
		return j.First.String()
	}
	about := ""
	if j.About {
		about = "about "
	}
	return j.First.String() + " to " + about + quantity.Clock(int(j.Last)%(24*60)).String()
}

func amountOf(j week.Job) string {
	if !(j.Concrete > 0) {
		return ""
	}
	return speak.Of(job.Job{Units: j.Units, Currency: orDollar(j.Currency)}).Value(quantity.Show(j.Concrete, quantity.AsVolume))
}

func verdictWord(j week.Job) string {
	switch {
	case !j.Planned:
		return "not planned yet"
	case j.Verdict == "":
		return "not judged"
	}
	return map[string]string{"good": "● looks good", "care": "▲ take care", "stop": "⬣ don't"}[j.Verdict]
}

func numbersOf(in []int) string {
	out := ""
	for _, n := range in {
		out += fmt.Sprintf(" (%d)", n)
	}
	return out
}

// weekRest prints what is to be settled, what the plants must send, and what waits.
func (s *session) weekRest(a around) {
	if len(a.Clashes) > 0 {
		fmt.Fprintf(s.Out, "\n%s\n", s.strong("To settle"))
	}
	for i, c := range a.Clashes {
		s.line(fmt.Sprintf("  (%d) %s ", i+1, shape(c.Level)), c.On.String()+": "+c.Says)
	}
	if len(a.Plants) > 0 {
		fmt.Fprintf(s.Out, "\n%s\n", s.strong("What the plants must send"))
	}
	for _, p := range a.Plants {
		s.line("  ", p.Picture(a.Units).Title)
	}
	s.jobsWaiting("Not ready for their load yet", a.ahead, func(j week.Job) string { return "load from " + j.Load.String() })
	s.jobsWaiting("Quotes waiting", a.quotes, func(j week.Job) string {
		says := fmt.Sprintf("quoted %s, %d days ago", j.Quoted, a.today.DaysSince(j.Quoted))
		if !j.Holds.IsZero() && j.Holds.Before(a.today) {
			says += ", the price holds no more"
		}
		return says
	})
	s.jobsWaiting("This week's answers that rest on guesses", a.Rough, func(j week.Job) string { return fmt.Sprintf("%s, %d assumed", j.Trust, j.Guesses) })
	if len(a.changed) > 0 {
		fmt.Fprintf(s.Out, "\n%s\n", s.strong("Changed since last night"))
		for _, c := range a.changed {
			s.line("  ", c.At.In(s.Now().Location()).Format(time.DateTime)+" "+c.Title+": "+c.Step+" ("+orWord(c.By, "nobody named")+")")
		}
	}
}

func (s *session) jobsWaiting(title string, jobs []week.Job, says func(week.Job) string) {
	if len(jobs) == 0 {
		return
	}
	fmt.Fprintf(s.Out, "\n%s\n", s.strong(title))
	for _, j := range jobs {
		s.line("  ", j.Title+": "+says(j))
	}
}
