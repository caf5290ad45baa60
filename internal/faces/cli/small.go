package cli

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"slices"
	"strings"
	"text/tabwriter"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/speak"
	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/sources"
)

type sizeCommand struct {
	Size []string `arg:"" help:"Width x length x thickness, like 14x40x6in or 4x12x150mm. Bare sides are feet (metres when the thickness is metric)."`
	Sure bool     `help:"Keep a size that looks unusual."`
}

// Help shows how it is used.
func (sizeCommand) Help() string {
	return `Examples:
  slabwright size 14x40x6in
  slabwright size 14 x 40 x 6in
  slabwright size "12'6x30x5in"
  slabwright size 4.2x12x150mm --json`
}

// Run answers with the yards to call in.
func (c sizeCommand) Run(s *session) error {
	today, err := s.today(nil)
	if err != nil {
		return err
	}
	j, err := intake.Size(strings.Join(c.Size, " "), c.Sure, today)
	if err != nil {
		return exit{code: WrongUsage, err: err}
	}
	var planner plan.Planner
	p := planner.Ask(j, "order")
	if _, ok := p.Figure("order.yards"); !ok {
		return unanswered(p)
	}
	switch {
	case s.JSON:
		return s.printJSON(p.SizeView())
	case s.Plain:
		for _, name := range []string{"yards", "neat"} {
			step, _ := p.Figure("order." + name)
			s.fields(append([]string{"order", name}, speak.Of(j).Plain(step.Value)...)...)
		}
		return nil
	}
	fmt.Fprintln(s.Out, p.SizeLine())
	return nil
}

type stageCommand struct {
	Name  string `arg:"" help:"Which stage; without one they are listed." optional:""`
	Shape bool   `help:"Print the JSON Schema of the stage's input."`
}

// Help shows how it is used.
func (stageCommand) Help() string {
	return `Examples:
  slabwright stage                                      list the stages
  echo "thickness: 6 in" | slabwright stage joints      one stage, guesses for the rest
  slabwright stage slab --shape                         what its input may hold`
}

// Run runs one stage alone.
func (c stageCommand) Run(s *session) error {
	if c.Name == "" {
		return s.listStages()
	}
	stage, ok := plan.Find(c.Name)
	if !ok {
		hint := "The stages are " + strings.Join(plan.Names(), ", ") + "."
		if like := intake.Nearest(c.Name, plan.Names()); like != "" {
			hint = fmt.Sprintf("Did you mean %q? ", like) + hint
		}
		return exit{code: NotFound, err: fmt.Errorf("there is no stage %q", c.Name), hint: hint}
	}
	if c.Shape {
		return s.printJSON(intake.Schema(stage.Shape(), c.Name))
	}
	report, units, err := s.alone(stage)
	if err != nil {
		return err
	}
	if s.Plain {
		s.plainFigures(report, speak.Tongue{Units: units})
	} else if err := s.printJSON(report.View(units)); err != nil {
		return err
	}
	return lacking([]plan.Report{report})
}

// alone reads a stage's input and runs it; without any input all is guessed.
func (s *session) alone(stage plan.Stage) (plan.Report, quantity.System, error) {
	today, err := s.today(nil)
	if err != nil {
		return plan.Report{}, quantity.US, err
	}
	if s.Terminal {
		fmt.Fprintln(s.Err, "Type the stage's input; end with Ctrl-D.")
	}
	src, err := intake.All(s.In)
	if err != nil {
		return plan.Report{}, quantity.US, err
	}
	report, err := stage.Alone(func(into any) error {
		if len(bytes.TrimSpace(src)) == 0 {
			return nil
		}
		_, err := intake.Decode("standard input", src, into, intake.Reading{Today: today, Zone: today.Location()})
		return err
	})
	return report, intake.UnitsIn(src), err
}

func (s *session) listStages() error {
	if s.JSON {
		return s.printJSON(stageViews())
	}
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	for _, stage := range plan.Stages() {
		if s.Plain {
			s.fields(stage.Name, stage.Question, strings.Join(stage.Needs, ","))
			continue
		}
		fmt.Fprintf(w, "%s\t%s\tafter %s\n", stage.Name, stage.Question, orNothing(stage.Needs))
	}
	return w.Flush()
}

type stageRow struct {
	Name     string   `json:"name"`
	Question string   `json:"question"`
	After    []string `json:"after"`
}

func stageViews() []stageRow {
	rows := []stageRow{}
	for _, stage := range plan.Stages() {
		rows = append(rows, stageRow{stage.Name, stage.Question, append([]string{}, stage.Needs...)})
	}
	return rows
}

func orNothing(names []string) string {
	if len(names) == 0 {
		return "nothing"
	}
	return strings.Join(names, ", ")
}

type schemaCommand struct{}

// Help shows how it is used.
func (schemaCommand) Help() string {
	return `Examples:
  slabwright schema > slabwright-job.schema.json
An editor that knows YAML schemas completes and checks a job file that begins with
  # yaml-language-server: $schema=slabwright-job.schema.json`
}

// Run prints the schema of a job file.
func (schemaCommand) Run(s *session) error {
	return s.printJSON(intake.JobSchema())
}

type sourceCommand struct {
	Match string `arg:"" optional:"" help:"Only sources with this in their title or key."`
}

// Help shows how it is used.
func (sourceCommand) Help() string {
	return `Examples:
  slabwright sources           all of them
  slabwright sources curing    those with this word`
}

// Run lists the registry.
func (c sourceCommand) Run(s *session) error {
	list := slices.DeleteFunc(sources.All(), func(x sources.Source) bool {
		return !strings.Contains(strings.ToLower(string(x.Key)+" "+x.Title), strings.ToLower(c.Match))
	})
	if len(list) == 0 {
		return exit{code: NotFound, err: fmt.Errorf("no source has %q in its title or key", c.Match), hint: "List them all with `slabwright sources`."}
	}
	if s.JSON {
		return s.printJSON(sourceViews(list))
	}
	for _, x := range list {
		if s.Plain {
			s.fields(string(x.Key), string(x.Standing), x.Title)
			continue
		}
		fmt.Fprintf(s.Out, "%s  (%s, %s)\n", x.Title, x.Standing, string(x.Key))
	}
	return nil
}

type sourceRow struct {
	Key      string `json:"key"`
	Standing string `json:"standing"`
	Title    string `json:"title"`
}

func sourceViews(list []sources.Source) []sourceRow {
	rows := []sourceRow{}
	for _, x := range list {
		rows = append(rows, sourceRow{string(x.Key), string(x.Standing), x.Title})
	}
	return rows
}

type newCommand struct {
	File      string `arg:"" help:"The job file to start."`
	Name      string `help:"What the job is called."`
	Length    string `help:"Long side, like 40 ft."`
	Width     string `help:"Short side, like 14 ft."`
	Thickness string `help:"Thickness, like 6 in; leave out if --use says what stands on it."`
	Use       string `help:"What stands on it, like 'travel trailer'."`
	Units     string `help:"us or metric." default:"us"`
	Force     bool   `help:"Replace the file if it is there."`
}

// Help shows how it is used.
func (newCommand) Help() string {
	return `Examples:
  slabwright new pad.yaml --length "40 ft" --width "14 ft" --thickness 6in
  slabwright new court.yaml --units metric --length 12 --width 6 --use "delivery van"
On a terminal it asks for what is left out; in a script it never asks.`
}

// Run writes the file.
func (c newCommand) Run(s *session) error {
	if _, err := os.Stat(c.File); err == nil && !c.Force {
		return exit{code: WrongUsage, err: fmt.Errorf("%s is there already", c.File), hint: "Give another name, or --force to replace it."}
	}
	units, err := unitsOf(c.Units)
	if err != nil {
		return exit{code: WrongUsage, err: err}
	}
	answers := intake.Start{Name: c.Name, Units: units, Length: c.Length, Width: c.Width, Thickness: c.Thickness, Use: c.Use}
	if s.Terminal {
		s.fill(&answers)
	}
	if lacks := answers.Lacks(); len(lacks) > 0 {
		return exit{code: Missing, err: fmt.Errorf("a job starts from three numbers; %s not given", strings.Join(lacks, ", ")),
			hint: `Type it like: slabwright new ` + c.File + ` --length "40 ft" --width "14 ft" --thickness 6in`}
	}
	today, err := s.today(nil)
	if err != nil {
		return err
	}
	text, err := intake.StartJob(c.File, answers, today)
	if err != nil {
		return err
	}
	if err := intake.WriteWhole(c.File, text); err != nil {
		return exit{code: Failed, err: err}
	}
	if s.JSON {
		return s.printJSON(map[string]string{"file": c.File})
	}
	fmt.Fprintln(s.Out, c.File)
	if !s.Quiet && !s.Plain {
		fmt.Fprintf(s.Out, "Next: slabwright plan %s\n", c.File)
	}
	return nil
}

// fill asks for what was not given, one line each.
func (s *session) fill(a *intake.Start) {
	in := bufio.NewReader(s.In)
	for _, q := range []struct {
		into  *string
		asked string
	}{{&a.Length, "Length (40 ft)? "}, {&a.Width, "Width (14 ft)? "}, {&a.Thickness, "Thickness (6 in; empty if you only know what stands on it)? "}, {&a.Use, "What stands on it (empty if nothing heavy)? "}} {
		if *q.into == "" {
			fmt.Fprint(s.Err, q.asked)
			*q.into = intake.Line(in)
		}
	}
}
