package web

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/api"
	"slabwright/internal/faces/speak"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// figureView is one answer in the strip or the list.
type figureView struct {
	Name, Says, Text string
	Long             bool // words, not a number: written smaller
}

// checkView is one verdict with its word, shape and class.
type checkView struct {
	Level, Word, Says, Where, Source string
	Then                             []string
}

// guessView is one assumed value with what it would move.
type guessView struct {
	Stage, Screen, Pointer, Says, Value, Range, Reason, Source, Moves string
	Box                                                               *boxView
}

// faultView is what keeps a stage from answering.
type faultView struct {
	Stage, Pointer, Href, Label, Given, Why, Instead string
}

// boxView is one box to type in.
type boxView struct {
	Field
	ID       string
	Label    string
	Typed    string
	Guess    string // what is assumed while nobody types
	Computed bool   // that guess is worked out by another question
	Listed   string // the list of the shop's it stands on
	Reason   string
	Range    string
	Source   string
}

// say writes a value as the job's people say it.
func say(p plan.Plan, a quantity.Any) string { return speak.Of(p.Job).Value(a) }

// strip are a screen's figures that could be worked out, the answer first.
func strip(p plan.Plan, s Screen) []figureView {
	var out []figureView
	for _, name := range s.Strip {
		if step, ok := p.Figure(name); ok {
			out = append(out, figure(p, name, step))
		}
	}
	return out
}

func figure(p plan.Plan, name string, step working.Step) figureView {
	text := speak.Of(p.Job).Headline(step.Value)
	return figureView{Name: name, Says: step.Says, Text: text, Long: utf8.RuneCountInString(text) > 22}
}

// figures are all answers of the screen's stages.
func figures(p plan.Plan, s Screen) map[string][]figureView {
	out := map[string][]figureView{}
	for _, name := range s.Stages {
		if r, ok := p.Of(name); ok {
			for _, step := range r.Figures() {
				out[name] = append(out[name], figure(p, name+"."+step.Name, step))
			}
		}
	}
	return out
}

// judged parts the checks of some stages into those that say something and those that are good, cautions for people first.
func judged(p plan.Plan, stages []string) (loud, good, safety []checkView) {
	for _, r := range p.Stages {
		if !slices.Contains(stages, r.Name) {
			continue
		}
		for _, c := range r.Checks {
			v := checked(p, c)
			switch {
			case c.Safety:
				safety = append(safety, v)
			case c.Level == check.Good:
				good = append(good, v)
			default:
				loud = append(loud, v)
			}
		}
	}
	worse := func(a, b checkView) int { return cmp.Compare(rank(b.Level), rank(a.Level)) }
	slices.SortStableFunc(loud, worse)
	slices.SortStableFunc(safety, worse)
	return loud, good, safety
}

func rank(level string) int {
	return slices.Index([]string{"unknown", "good", "care", "stop"}, level)
}

func checked(p plan.Plan, c check.Check) checkView {
	v := checkView{Level: levelClass(c.Level), Word: c.Level.String(), Says: speak.Of(p.Job).Says(c.Says), Where: c.Where, Source: c.Source.String()}
	for _, t := range c.Then {
		v.Then = append(v.Then, speak.Of(p.Job).Says(t))
	}
	return v
}

func levelClass(l check.Level) string {
	if l == check.NotComputed {
		return "unknown"
	}
	return l.Word()
}

// verdictOf is the word a foreman says of the pour, by the gravest check.
func verdictOf(l check.Level) string {
	switch l {
	case check.Good:
		return "Looks good"
	case check.Care:
		return "Take care"
	case check.Stop:
		return "Don't, as it stands"
	}
	return "Not worked out"
}

// faults are what keeps the screen's stages from answering, with the box that mends it.
func faults(p plan.Plan, unread []api.Wrong, stages []string) []faultView {
	var out []faultView
	seen := map[string]bool{}
	for _, w := range unread {
		v := faultView{Pointer: w.Pointer, Given: w.Given, Why: w.Message, Instead: w.TypeThis}
		if field, ok := fieldAt(w.Pointer, p.Job.Units); ok {
			v.Label = field.Says
		}
		out = append(out, v)
	}
	for _, r := range p.Stages {
		if !slices.Contains(stages, r.Name) || r.Answered() {
			continue
		}
		for _, f := range r.Faults() {
			stage, path, _ := strings.Cut(f.Field, ".")
			v := faultView{Stage: r.Name, Pointer: pointerOf(stage, path), Given: f.Given, Why: f.Why, Instead: f.Type}
			if field, ok := fieldAt(v.Pointer, p.Job.Units); ok {
				v.Label = field.Says
			}
			if !seen[v.Pointer+v.Why] {
				out = append(out, v)
			}
			seen[v.Pointer+v.Why] = true
		}
		if len(r.Faults()) == 0 && r.Fault != nil {
			out = append(out, faultView{Stage: r.Name, Why: r.Fault.Error()})
		}
	}
	return out
}

// waits names the questions that must be answered first.
func waits(p plan.Plan, stages []string) []Screen {
	var out []Screen
	for _, r := range p.Stages {
		if !slices.Contains(stages, r.Name) {
			continue
		}
		for _, w := range r.Waits {
			s, ok := find(screenOf(w))
			if ok && w != r.Name && !slices.ContainsFunc(out, func(o Screen) bool { return o.Slug == s.Slug }) {
				out = append(out, s)
			}
		}
	}
	return out
}

// guesses of some stages; with movers, those that move the outcome first.
func guessed(p plan.Plan, stages []string, movers []plan.Mover) []guessView {
	var out []guessView
	at := map[string]int{}
	for i, m := range movers {
		at[m.Stage+"."+m.Field] = i + 1
	}
	for _, g := range p.Guesses() {
		if len(stages) > 0 && !slices.Contains(stages, g.Stage) {
			continue
		}
		v := guessView{Stage: g.Stage, Screen: screenOf(g.Stage), Pointer: pointerOf(g.Stage, g.Field), Says: g.Says, Value: say(p, g.Value),
			Reason: g.Reason, Source: g.Source.String()}
		if g.Ranged {
			v.Range = speak.Of(p.Job).Span(g.Low, g.High)
		}
		if i := at[g.Stage+"."+g.Field]; i > 0 {
			v.Moves = speak.Of(p.Job).Says(movers[i-1].Moves(p.Job.Units))
		}
		out = append(out, v)
	}
	place := func(v guessView) int {
		for i, m := range movers {
			if m.Stage == v.Stage && pointerOf(m.Stage, m.Field) == v.Pointer {
				return i
			}
		}
		return len(movers)
	}
	if len(movers) > 0 {
		slices.SortStableFunc(out, func(a, b guessView) int { return cmp.Compare(place(a), place(b)) })
	}
	return out
}

// labels are shorter words than the job file's own, where a box has room for few.
var labels = map[string]string{
	"/crew": "Crew", "/foreman": "Foreman", "/order/plant": "Plant", "/quoted_on": "Quote given on", "/accepted_on": "Owner said yes on", "/declined_on": "Owner said no on",
	"/length": "Length", "/width": "Width", "/thickness": "Thickness", "/use": "What stands on it", "/units": "Units",
	"/grade/drain": "Water runs", "/grade/least_slope": "Least fall", "/site/bench_mark/elevation": "Bench mark level", "/site/bench_mark/backsight": "Rod reading on it",
	"/slab/soil": "Ground", "/slab/base_thickness": "Stone under it", "/site/locate/ticket": "811 ticket number", "/site/locate/legal_start": "Digging is legal from",
	"/site/locate/private_lines_found": "Private lines looked for", "/slab/weight": "Weight, loaded", "/slab/passes": "How often it drives on",
	"/joints/prefer": "Prefer", "/joints/saw": "Joints are made by", "/steel/kind": "Steel", "/steel/bars": "Bars", "/forms/board": "Form board",
	"/mix/asked": "Concrete asked for", "/mix/freezing": "Does it freeze there", "/mix/deicers": "Salt on it in winter", "/order/truck_holds": "A truck brings", "/order/haul": "Drive from the plant",
	"/order/allowance": "Added to the neat yards", "/price/materials/concrete": "Concrete", "/price/materials/stone": "Stone, delivered", "/price/labour/wage": "Wage",
	"/price/business/overhead": "Overhead", "/price/business/margin": "Profit", "/access/gate": "Narrowest gap", "/access/chute_reach": "Chute reach",
	"/access/over_drive": "Crosses a drive or a septic", "/backing/vehicle": "What backs in", "/backing/street/width": "Street width", "/pour_date": "Day of the pour",
	"/first_truck": "First truck on site", "/pour/finishers": "Hands that finish", "/pour/concrete_temperature": "Concrete at the chute", "/pour/covers": "Blankets on site",
	"/cure/later_air": "Air after the forecast", "/cure/later_swing": "Day to night swing", "/cure/covers": "Blankets on site", "/cure/salted": "Road salt in winter",
	"/pour/reading/air": "Air", "/pour/reading/humidity": "Humidity", "/pour/reading/wind": "Wind", "/pour/reading/concrete": "Concrete",
}

// heads are the words over the columns of lists.
var heads = map[string]string{
	"x": "Right", "y": "Up", "rod": "Rod", "at": "When", "elevation": "Level", "name": "Name", "kind": "What", "across": "Across", "depth": "Depth", "height": "Height",
	"from": "From", "to": "To", "length": "Tape said", "corner": "Corner", "side": "Side", "step": "Step", "number": "Ticket", "truck": "Truck", "volume": "Yards", "batched": "Batched",
	"arrived": "On site", "emptied": "Empty", "slump": "Slump", "air": "Air", "temperature": "Warm", "water_added": "Water added", "value": "Reading",
	"says": "What", "by": "Who", "age": "Age", "strength": "Strength", "task": "Task", "people": "People", "time": "Hours", "money": "Money", "agreed_by": "Agreed by", "who": "Who", "what": "What",
}

// columnHead is the word over a column of a list: its own, or what the field says of itself. On the site a thing is at a corner, in the
// record at a time.
func columnHead(list, column, says string) string {
	if column == "at" && strings.HasPrefix(list, "/site/") || column == "at" && strings.HasPrefix(list, "/grade/") {
		return "Corner"
	}
	if list == "/cure/slab_temperatures" {
		return map[string]string{"time": "When", "temperature": "Probe said"}[column]
	}
	if word, ok := heads[column]; ok {
		return word
	}
	return upper(says)
}

// href leads to the box of a pointer: on this screen where it has one, else on the screen that does.
func href(job string, here Screen, pointer string) string {
	box := "#box" + escapeID(pointer)
	asks := func(s Screen) bool { return slices.Contains(s.Boxes, pointer) || slices.Contains(s.More, pointer) }
	if asks(here) {
		return box
	}
	if i := slices.IndexFunc(screens, asks); i >= 0 {
		return "/jobs/" + job + "/" + screens[i].Slug + box
	}
	for _, s := range screens {
		for _, l := range s.Lists {
			if strings.HasPrefix(pointer, l.Pointer) {
				return "/jobs/" + job + "/" + s.Slug + "#list" + escapeID(l.Pointer)
			}
		}
	}
	return "/jobs/" + job + "/assumed" + box
}

// upper makes the first letter of a label large.
func upper(text string) string {
	if text == "" {
		return text
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// boxes are what a screen asks, each with what was typed or what is assumed.
func boxes(p plan.Plan, doc document, pointers []string) []boxView {
	var out []boxView
	for _, pointer := range pointers {
		if b, ok := boxOf(p, doc, pointer); ok {
			out = append(out, b)
		}
	}
	return out
}

func boxOf(p plan.Plan, doc document, pointer string) (boxView, bool) {
	field, ok := fieldAt(pointer, p.Job.Units)
	if !ok {
		return boxView{}, false
	}
	b := boxView{Field: field, ID: "box" + strings.ReplaceAll(pointer, "/", "-"), Label: labels[pointer], Typed: doc.text(pointer)}
	if b.Label == "" {
		b.Label = upper(field.Says)
	}
	stage, path := field.Stage()
	report, ok := p.Of(stage)
	if !ok || report.Input == nil {
		return b, true
	}
	for _, e := range entriesOf(report.Input) {
		if e.Field != path || e.Origin == known.Missing {
			continue
		}
		if b.Typed == "" {
			b.Guess, b.Computed = say(p, e.Value), e.Origin == known.Computed
			if e.Origin == known.Listed {
				b.Listed = e.Reason
			}
		}
		if e.Origin == known.Assumed {
			b.Reason, b.Source = e.Reason, e.Source.String()
		}
		if e.Ranged {
			b.Range = speak.Of(p.Job).Span(e.Low, e.High)
		}
	}
	return b, true
}

// stepView is one line of a working.
type stepView struct {
	Name, Says, Symbol, Formula, Text, Known, Source string
}

func stepsOf(p plan.Plan, steps []working.Step) []stepView {
	var out []stepView
	for _, s := range steps {
		v := stepView{Name: s.Name, Says: s.Says, Symbol: s.Symbol, Formula: s.Formula, Text: say(p, s.Value), Source: sourceOf(s.Source)}
		switch s.Origin {
		case known.Assumed:
			v.Known = "assumed: " + s.Reason
		case known.Said, known.Measured:
			v.Known = string(s.Origin)
			if s.Typed != "" {
				v.Known = fmt.Sprintf("%s: %s", s.Origin, s.Typed)
			}
		case known.Listed:
			v.Known = "on " + s.Reason
		case known.Computed:
			v.Known = "from " + s.Reason
		}
		out = append(out, v)
	}
	return out
}

func sourceOf(k sources.Key) string {
	if k == "" {
		return ""
	}
	return k.String()
}
