package cli

import (
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/speak"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/working"
)

// question is what a person asks by name: which stages answer it, and the figures that are said first, in the order people
// ask for them.
type question struct {
	stages  []string
	answers []string
	example string
	more    func(*session, plan.Plan) error // printed after the answer
	beside  []string                        // stages that more reads and nobody asked
}

var questions = map[string]question{
	"levels":  {[]string{"site", "grade"}, []string{"grade.fall_direction", "grade.least_slope", "grade.dig_depth", "grade.cut", "grade.base_order", "grade.haul_loads"}, "which way the water runs, dig, stone and haul", nil, nil},
	"load":    {[]string{"slab", "cure"}, []string{"slab.thickness", "slab.governs", "cure.foot", "cure.car", "cure.trailer", "cure.truck"}, "thickness, and the day each load may stand on it", nil, nil},
	"joints":  {[]string{"joints", "steel", "forms"}, []string{"joints.panels", "joints.saw_depth", "joints.saw_length", "joints.isolation", "steel.grid", "steel.sticks", "forms.boards", "forms.stakes"}, "panels, cuts, bars, boards", (*session).layouts, []string{"cure"}},
	"order":   {[]string{"order", "mix", "access"}, []string{"order.yards", "mix.ask_the_plant", "order.loads", "order.largest_load", "order.spacing", "access.method"}, "what to say on the phone", nil, nil},
	"day":     {[]string{"pour"}, []string{"pour.verdict", "pour.start", "pour.finished_by"}, "pour or not; the exit code says it too", nil, nil},
	"hold":    {[]string{"hold"}, []string{"hold.utilisation", "hold.governs", "hold.chance", "hold.thinnest", "hold.buys_most"}, "the worst place on the real panels, and what buys most", nil, nil},
	"backing": {[]string{"backing"}, []string{"backing.how_hard", "backing.pull_forwards", "backing.tightest", "backing.pad_width"}, "the way in and out, and where it is tight", nil, nil},
	"record":  {[]string{"record"}, []string{"record.used", "record.over_drawing", "record.worked", "record.priced", "record.least_thickness", "record.extra"}, "yards used, hours worked, the slab as it lies", nil, nil},
	"price":   {[]string{"price"}, []string{"price.price", "price.eight_in_ten", "price.cost", "price.hours"}, "price to quote, cost, hours", (*session).money, nil},
}

// askCommand answers one question of a job.
type askCommand struct {
	jobFile
	Question string `kong:"-"`
}

// Help shows how it is used.
func (c askCommand) Help() string {
	return fmt.Sprintf("Examples:\n  slabwright %[1]s pad.yaml           %[2]s\n  slabwright %[1]s pad.yaml -q        the answer only\n  slabwright %[1]s pad.yaml --json    for scripts, with working\nWhy any of it: slabwright why pad.yaml %[3]s",
		c.Question, questions[c.Question].example, questions[c.Question].answers[0])
}

// Run prints the answers of the question's stages. A "don't" of the day question is exit code 3.
func (c askCommand) Run(s *session) error {
	o, err := s.open(c.jobFile)
	if err != nil {
		return err
	}
	return s.ask(o, c.Question)
}

// ask answers a question of a job.
func (s *session) ask(o atHand, name string) error {
	q := questions[name]
	p, err := o.planned(slices.Concat(q.stages, q.beside)...)
	if err != nil {
		return err
	}
	var reports []plan.Report
	for _, name := range q.stages {
		if r, ok := p.Of(name); ok {
			reports = append(reports, r)
		}
	}
	if err := s.answer(p, reports, q); err != nil {
		return err
	}
	if err := lacking(p.Stages); err != nil {
		return err
	}
	return verdict(name, reports)
}

func (s *session) answer(p plan.Plan, reports []plan.Report, q question) error {
	if s.JSON {
		views := map[string]any{}
		for _, r := range reports {
			views[r.Name] = r.View(p.Job.Units)
		}
		if r, ok := p.Of("price"); ok && r.Answered() {
			doubt, err := s.doubt(p)
			if err != nil {
				return err
			}
			views["doubt"] = doubt
		}
		if r, ok := p.Of("joints"); ok && slices.ContainsFunc(reports, func(o plan.Report) bool { return o.Name == r.Name }) {
			views["layout_risks"] = p.LayoutRisks()
		}
		return s.printJSON(views)
	}
	if s.Plain {
		for _, r := range reports {
			s.plainFigures(r, speak.Of(p.Job))
		}
		return nil
	}
	fmt.Fprintln(s.Out, s.strong(p.Job.Title()))
	var first []working.Step
	for _, name := range q.answers {
		if step, ok := p.Figure(name); ok {
			first = append(first, step)
		}
	}
	s.rows(first, speak.Of(p.Job).Headline)
	if s.Quiet {
		return nil
	}
	for _, r := range reports {
		s.report(p, r, q.answers)
	}
	if q.more != nil {
		return q.more(s, p)
	}
	return nil
}

// report prints the rest of one stage: its question, the figures not said yet, what to mind.
func (s *session) report(p plan.Plan, r plan.Report, said []string) {
	if !r.Answered() {
		return
	}
	fmt.Fprintf(s.Out, "\n%s\n", s.strong(r.Question))
	figures := r.Figures()
	s.rows(slices.DeleteFunc(figures, func(f working.Step) bool {
		return slices.Contains(said, r.Name+"."+f.Name) || alsoDated(figures, f)
	}), speak.Of(p.Job).Value)
	s.checks(p, r.Checks)
	fmt.Fprintf(s.Out, "  %s, %s. Why: slabwright why FILE %s\n", counted(levelled(r.Checks, check.Good), "check looks", "checks look")+" good", counted(len(r.Assumed), "value", "values")+" assumed", r.Name)
}

// alsoDated says whether an age stands beside the date it comes to.
func alsoDated(figures []working.Step, f working.Step) bool {
	dated, isAge := strings.CutSuffix(f.Name, "_days")
	return isAge && slices.ContainsFunc(figures, func(other working.Step) bool { return other.Name == dated })
}

// rows prints figures in two columns.
func (s *session) rows(figures []working.Step, say func(quantity.Any) string) {
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	for _, f := range figures {
		fmt.Fprintf(w, "  %s\t%s\n", f.Says, say(f.Value))
	}
	w.Flush()
}

func counted(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}

func levelled(checks []check.Check, level check.Level) int {
	n := 0
	for _, c := range checks {
		if c.Level == level {
			n++
		}
	}
	return n
}

// verdict gives the exit code of an answered question: a "don't" where the answer is a verdict.
func verdict(question string, reports []plan.Report) error {
	if question != "day" {
		return nil
	}
	for _, r := range reports {
		if worst := check.Worst(r.Checks); worst == check.Stop || !judged(r) {
			return exit{code: AnsweredNo}
		}
	}
	return nil
}

// judged says whether the day was judged at all: without weather there is no yes.
func judged(r plan.Report) bool { return levelled(r.Checks, check.NotComputed) == 0 }

// lacking tells what keeps stages from answering, each reason once, and which others wait for them.
func lacking(reports []plan.Report) error {
	code := Missing
	var lines, waiting []string
	for _, r := range reports {
		switch {
		case len(r.Faults()) > 0:
			for _, f := range r.Faults() {
				lines = append(lines, f.Error())
			}
		case r.Fault != nil:
			code = Uncomputed
			lines = append(lines, r.Fault.Error())
		case len(r.Waits) > 0:
			waiting = append(waiting, r.Name)
		}
	}
	if len(waiting) > 0 {
		lines = append(lines, "not worked out before that: "+strings.Join(waiting, ", "))
	}
	if len(lines) == 0 {
		return nil
	}
	return exit{code: code, err: fmt.Errorf("cannot be answered yet\n  %s", strings.Join(lines, "\n  "))}
}
