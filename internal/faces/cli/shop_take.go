package cli

import (
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/trade/plan"
)

type shopTake struct {
	Files []string `arg:"" name:"job" help:"Job files with a record, oldest first." type:"existingfile"`
	Field []string `help:"What to take over, like price.rates.forms; without it nothing is written, only shown." placeholder:"FIELD"`
	All   bool     `help:"Take over all that differs from what is planned with."`
	By    string   `help:"Who takes it over." placeholder:"NAME"`
}

// Help shows how it is used.
func (shopTake) Help() string {
	return `Examples:
  slabwright shop take done/*.yaml                                    only shows what the jobs say
  slabwright shop take done/*.yaml --field price.rates.forms --by Ada  writes that line into the shop's lists
  slabwright shop take done/*.yaml --all --by Ada                      writes all that differ`
}

// Run shows what finished jobs say, and writes what the person names.
func (c shopTake) Run(s *session) error {
	done, err := s.finished(c.Files)
	if err != nil {
		return err
	}
	lessons := plan.Lessons(done)
	latest := done[len(done)-1]
	if len(c.Field) == 0 && !c.All {
		s.lessons(latest, lessons, len(done))
		return nil
	}
	for _, f := range c.Field {
		if !slices.ContainsFunc(lessons, func(l plan.Lesson) bool { return l.Field == f }) {
			return exit{code: NotFound, err: fmt.Errorf("the jobs say nothing of %s", f), hint: "They say something of " + strings.Join(fieldsOf(lessons), ", ") + "."}
		}
	}
	var settings []setting
	jobs := 0
	for _, l := range lessons {
		if c.All && l.Differs || slices.Contains(c.Field, l.Field) {
			settings = append(settings, setting{l.Field, l.Offered.String(latest.Job.Units)})
			jobs = max(jobs, l.Jobs)
		}
	}
	if len(settings) == 0 {
		fmt.Fprintln(s.Out, "Nothing differs from what is planned with.")
		return nil
	}
	return s.changeShop(c.By, "learnt from "+counted(jobs, "job", "jobs"), settings)
}

func fieldsOf(lessons []plan.Lesson) []string {
	out := make([]string, len(lessons))
	for i, l := range lessons {
		out[i] = l.Field
	}
	return out
}
