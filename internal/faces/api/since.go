package api

import (
	"context"
	"errors"
	"strconv"

	"slabwright/internal/rim/store"
	"slabwright/internal/trade/plan"
)

// printName is what a print is called on paper: R2.
func printName(number int64) string { return "R" + strconv.FormatInt(number, 10) }

// since is a plan with what changed since a print of its job; as it is where nobody kept what that print was made from.
func (s *Server) since(ctx context.Context, id string, a asked, number int64) (plan.Plan, error) {
	doc, err := s.store.PrintedFrom(ctx, id, number)
	if errors.Is(err, store.ErrAbsent) {
		return a.plan, nil
	}
	if err != nil {
		return plan.Plan{}, err
	}
	lists, _, err := s.lists(ctx)
	if err != nil {
		return plan.Plan{}, err
	}
	h, err := s.hear(ctx, id, doc, lists)
	if err != nil {
		return plan.Plan{}, err
	}
	h.job.Revision = printName(number)
	return a.plan.Since(a.sees.plan(a.desk.planner.Kept(h.job, plan.Names()...))), nil
}

// Sheets are the files of a job's pack that whoever asks may have, and the plan they are of, against the print they replace; Replaces
// is empty where there is none.
func (s *Server) Sheets(ctx context.Context, id string) ([]string, plan.Plan, error) {
	a, _, err := s.sinceLast(ctx, id)
	if err != nil {
		return nil, plan.Plan{}, toCaller(err)
	}
	return a.sheetNames(), a.plan, nil
}

// sinceLast is what is asked of a job's plan as it goes out next, and the prints that went out.
func (s *Server) sinceLast(ctx context.Context, id string) (asked, []store.Print, error) {
	a, err := s.ask(ctx, id, Question{Questions: plan.Names()})
	if err != nil {
		return asked{}, nil, err
	}
	prints, err := s.store.Prints(ctx, id)
	if err != nil {
		return asked{}, nil, err
	}
	next := int64(1)
	if len(prints) > 0 {
		if next = prints[0].Number; prints[0].Revision != a.revision {
			next++
		}
	}
	a.plan.Job.Revision = printName(next)
	a.plan, err = s.since(ctx, id, a, next-1)
	return a, prints, err
}

// Crew names the print the crew has, like R2, and, where the job has changed since, what the next one will be called; empty while
// nothing was printed.
func (s *Server) Crew(ctx context.Context, id string, revision int64) (has, next string, err error) {
	prints, err := s.store.Prints(ctx, id)
	if err != nil || len(prints) == 0 {
		return "", "", err
	}
	if prints[0].Revision != revision {
		next = printName(prints[0].Number + 1)
	}
	return printName(prints[0].Number), next, nil
}
