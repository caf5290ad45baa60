package api

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/rim/store"
	"slabwright/internal/rim/works"
	"slabwright/internal/trade/plan"
)

// mostPours is how many pours one day may have.
const mostPours = 100

// DaySheets sets the sheets chosen of every job that pours on a day, none: what a crew takes along. It counts as a print of each job:
// the sheets carry its number.
func (s *Server) DaySheets(ctx context.Context, day quantity.Date, names []string) (pack.Pack, error) {
	jobs, _, err := s.store.List(ctx, store.Listing{From: day.ISO(), Until: day.ISO(), Limit: mostPours})
	if err != nil {
		return pack.Pack{}, err
	}
	if len(jobs) == 0 {
		return pack.Pack{}, problem(http.StatusNotFound, "No job pours on "+day.String()+".", "Set the day of the pour in the job, or ask for another day.")
	}
	var plans []plan.Plan
	for _, j := range jobs {
		a, err := s.ask(ctx, j.ID, Question{Questions: plan.Names()})
		if err != nil {
			return pack.Pack{}, err
		}
		version, err := s.version(ctx, j.ID, a)
		if err != nil {
			return pack.Pack{}, err
		}
		print, err := s.store.Print(ctx, j.ID, a.revision, version)
		if err != nil {
			return pack.Pack{}, err
		}
		a.plan.Job.Revision = "R" + strconv.FormatInt(print.Number, 10)
		plans = append(plans, a.plan)
	}
	made, err := pack.Day(day, plans, names...)
	if err != nil {
		return pack.Pack{}, wrong("/only", err.Error()+".", "Choose from "+strings.Join(pack.Choices(), ", ")+".")
	}
	return made, nil
}

// dayAsked is the day and the sheets an address asks for.
func (s *Server) dayAsked(r *http.Request) (day quantity.Date, names []string, err error) {
	if _, err := day.ReadText(r.PathValue("day"), quantity.Box{Today: s.now()}); err != nil {
		return day, nil, problem(http.StatusBadRequest, "The day in the address is not a day.", "Send one like 2027-06-17, or tomorrow.")
	}
	for _, text := range r.URL.Query()["only"] {
		for name := range strings.SplitSeq(text, ",") {
			if name = strings.TrimSpace(name); name != "" {
				names = append(names, name)
			}
		}
	}
	return day, names, nil
}

func (s *Server) getDaySheets(w http.ResponseWriter, r *http.Request) error {
	day, names, err := s.dayAsked(r)
	if err != nil {
		return err
	}
	made, err := s.DaySheets(r.Context(), day, names)
	if err != nil {
		return err
	}
	whole := made.Files[0]
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", "inline; filename="+strconv.Quote(whole.Name))
	w.Header().Set("Cache-Control", "no-cache")
	_, _ = w.Write(whole.Data)
	return nil
}

func (s *Server) getDayPack(w http.ResponseWriter, r *http.Request) error {
	day, names, err := s.dayAsked(r)
	if err != nil {
		return err
	}
	made, err := s.DaySheets(r.Context(), day, names)
	if err != nil {
		return err
	}
	archive, err := works.Zip(made.Files, s.now())
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", `attachment; filename="sheets-`+day.ISO()+`.zip"`)
	_, _ = w.Write(archive)
	return nil
}
