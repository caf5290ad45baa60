package cli

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"path/filepath"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/api"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/trade/plan"
)

// dayWord reads a day as a person types it, counted from today.
func (s *session) dayWord(option, text string) (quantity.Date, error) {
	today, err := s.today(nil)
	if err != nil {
		return quantity.Date{}, err
	}
	var d quantity.Date
	if _, err := d.ReadText(text, quantity.Box{Name: option, Today: today}); err != nil {
		return d, exit{code: WrongUsage, err: fmt.Errorf("--%s %w", option, err)}
	}
	return d, nil
}

// ofDay writes the sheets of all jobs that pour on a day.
func (c sheetsCommand) ofDay(s *session) error {
	day, err := s.dayWord("day", c.Day)
	if err != nil {
		return err
	}
	if len(c.Files) == 0 {
		return c.ofStore(s, day)
	}
	s.progress("Planning the jobs")
	plans, err := s.pouring(c.Files, day)
	if err != nil {
		return err
	}
	if len(plans) == 0 {
		return exit{code: NotFound, err: fmt.Errorf("none of %s pours on %s", counted(len(c.Files), "job", "jobs"), day), hint: "The day of a pour is the line `pour_date` of its job file."}
	}
	s.progress("Drawing the sheets")
	made, err := pack.Day(day, plans, c.Only...)
	if err != nil {
		return exit{code: WrongUsage, err: err}
	}
	return s.sheetsMade(made, c.dayFolder(day), c.DryRun)
}

func (c sheetsCommand) dayFolder(day quantity.Date) string {
	if c.Out != "" {
		return c.Out
	}
	return "sheets-" + day.ISO()
}

// ofStore writes the sheets of the jobs that are kept and pour on a day.
func (c sheetsCommand) ofStore(s *session, day quantity.Date) error {
	office, done, err := c.office(context.Background(), s)
	if err != nil {
		return err
	}
	defer done()
	s.progress("Planning the jobs and drawing their sheets")
	made, err := office.DaySheets(context.Background(), day, c.Only)
	var known *api.Problem
	if errors.As(err, &known) {
		code := WrongUsage
		if known.Status == http.StatusNotFound {
			code = NotFound
		}
		return exit{code: code, err: errors.New(known.Detail)}
	}
	if err != nil {
		return err
	}
	return s.sheetsMade(made, c.dayFolder(day), c.DryRun)
}

// pouring plans the jobs of some files that pour on a day.
func (s *session) pouring(files []string, day quantity.Date) ([]plan.Plan, error) {
	var plans []plan.Plan
	for _, file := range files {
		if filepath.Base(file) == shopFile {
			continue
		}
		o, err := s.open(jobFile{File: file})
		if err != nil {
			return nil, err
		}
		if at, said := o.job.PourAt(); !said || quantity.DateOf(at) != day {
			continue
		}
		p, err := o.played().planned()
		if err != nil {
			return nil, err
		}
		plans = append(plans, p)
	}
	return plans, nil
}
