package cli

import (
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/speak"
	"slabwright/internal/trade/plan"
)

// lessonsCommand learns from jobs that were poured.
type lessonsCommand struct {
	Files []string `arg:"" name:"job" help:"Job files with a record, oldest first." type:"existingfile"`
}

// Help shows how it is used.
func (lessonsCommand) Help() string {
	return `Examples:
  slabwright lessons done/*.yaml          what your own jobs say of rates, waste and bases
  slabwright lessons done/*.yaml --json   for scripts
Nothing changes by itself: paste the lines you agree with into the next job file, or take them over for all jobs: slabwright shop take.`
}

// Run prints the lessons, and the lines to paste.
func (c lessonsCommand) Run(s *session) error {
	done, err := s.finished(c.Files)
	if err != nil {
		return err
	}
	lessons := plan.Lessons(done)
	latest := done[len(done)-1]
	switch {
	case s.JSON:
		return s.printJSON(latest.LessonViews(lessons))
	case s.Plain:
		for _, l := range lessons {
			s.fields(append([]string{l.Field, strconv.Itoa(l.Jobs)}, speak.Of(latest.Job).Plain(l.Offered)...)...)
		}
		return nil
	}
	s.lessons(latest, lessons, len(done))
	return nil
}

// finished plans the jobs that were poured and written down.
func (s *session) finished(files []string) ([]plan.Plan, error) {
	var done []plan.Plan
	for _, file := range files {
		p, err := s.made(jobFile{File: file}, "record", "pour")
		if err != nil {
			return nil, err
		}
		if err := lacking(p.Stages); err != nil {
			return nil, err
		}
		if p.Results.Record.Begun {
			done = append(done, p)
		}
	}
	if len(done) == 0 {
		return nil, exit{code: Missing, err: fmt.Errorf("none of %s has a record yet; write hours, tickets or depths under `record:` and `order:`", counted(len(files), "job", "jobs"))}
	}
	return done, nil
}

func (s *session) lessons(latest plan.Plan, lessons []plan.Lesson, jobs int) {
	t := speak.Of(latest.Job)
	fmt.Fprintf(s.Out, "%s\n", s.strong(fmt.Sprintf("What %s say", counted(jobs, "job", "jobs"))))
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	var paste []plan.Lesson
	for _, l := range lessons {
		mark := "as planned"
		if l.Differs {
			mark = "differs"
			paste = append(paste, l)
		}
		fmt.Fprintf(w, "  %s\t%s planned\t%s learnt (%s)\t%s\t%s\n", l.Says, t.Value(l.Now), t.Value(l.Offered), t.Span(l.Low, l.High), counted(l.Jobs, "job", "jobs"), mark)
	}
	w.Flush()
	s.line("  ", "Four in five lie in the range. Between what is usual and what the jobs say, more jobs weigh more.")
	if len(paste) == 0 {
		return
	}
	fmt.Fprintf(s.Out, "\n%s\n%s", s.strong("To plan with it, paste what you agree with"), pasted(paste, latest.Job.Units))
}

// pasted writes lessons as lines of a job file, sections opened once.
func pasted(lessons []plan.Lesson, units quantity.System) string {
	var b strings.Builder
	var open []string
	for _, l := range lessons {
		path := strings.Split(l.Field, ".")
		shared := 0
		for shared < len(path)-1 && shared < len(open) && open[shared] == path[shared] {
			shared++
		}
		for i := shared; i < len(path)-1; i++ {
			fmt.Fprintf(&b, "%s%s:\n", strings.Repeat("  ", i), path[i])
		}
		open = path[:len(path)-1]
		fmt.Fprintf(&b, "%s%s: %s  # %s\n", strings.Repeat("  ", len(path)-1), path[len(path)-1], l.Offered.String(units), counted(l.Jobs, "job of our own", "jobs of our own"))
	}
	return b.String()
}
