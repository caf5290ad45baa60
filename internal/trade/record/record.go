// Package record answers: what did we do, and what is missing from the record?
//
// It holds what was written down of the day against what was planned: yards used against ordered, hours against priced, the slab as
// it lies against the slab as drawn. Nothing in a record is changed: a mistake stays, and its correction is a new line.
package record

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Input is what was written down, and what was planned.
type Input struct {
	Units quantity.System `yaml:"units" says:"us or metric"`

	Hours      []Worked       `yaml:"hours" says:"who worked on what, and how long"`
	LeftOver   known.Volume   `yaml:"left_over" says:"concrete sent back or dumped" unit:"yd3|m3" usual:"0..5|0..4" show:"volume"`
	BaseDepths []known.Length `yaml:"base_depths" says:"top of slab down to the base, shot at points before the pour; the depths of the order if left out" unit:"in|mm" usual:"2..24|50..600" show:"thickness"`
	Thickness  []known.Length `yaml:"thickness" says:"thickness pinned while fresh, or cored" unit:"in|mm" usual:"2..24|50..600" show:"thickness"`
	Weather    []Seen         `yaml:"weather" says:"weather as it was, by the hour"`
	Changes    []Change       `yaml:"changes" says:"changes agreed while the job ran"`
	Photos     []Photo        `yaml:"photos" says:"photos, with their place on the plan"`
	Signed     []Signature    `yaml:"signed" says:"who signed what"`
	Log        []Entry        `yaml:"log" says:"whatever else happened, oldest first; a correction is a new line"`

	Planned Planned `yaml:"planned" says:"what was planned; it comes from the other stages"`
}

// Worked is a task with the people on it.
type Worked struct {
	Task   known.Text   `yaml:"task" says:"the task as the price names it: dig_trim, forms, steel, place, float, edge, broom, cure, saw, strip, moving, waiting or barrow"`
	People known.Number `yaml:"people" says:"people on it"`
	Time   known.Time   `yaml:"time" says:"how long they were on it" unit:"h" usual:"0..24"`
}

// Seen is the weather of one hour.
type Seen struct {
	At       known.Known[quantity.Clock] `yaml:"at" says:"time"`
	Air      known.Temp                  `yaml:"air" says:"air temperature" unit:"°F|°C" usual:"-20..120|-30..50" show:"temperature"`
	Humidity known.Percent               `yaml:"humidity" says:"relative humidity" unit:"%" usual:"0..100" show:"percent"`
	Wind     known.Speed                 `yaml:"wind" says:"wind at the slab" unit:"mph|km/h" usual:"0..60|0..100"`
}

// Change is something agreed while the job ran.
type Change struct {
	At     known.Known[quantity.Date] `yaml:"at" says:"day"`
	Says   known.Text                 `yaml:"says" says:"what was agreed"`
	Money  known.Money                `yaml:"money" says:"what it adds to the price; below zero: takes off" unit:"$"`
	Agreed known.Text                 `yaml:"agreed_by" says:"who agreed"`
}

// Photo is a photo with its place.
type Photo struct {
	File   known.Text                  `yaml:"file" says:"name of the file"`
	Of     known.Text                  `yaml:"of" says:"what it shows: base, forms, steel, ticket, surface"`
	At     known.Known[quantity.Clock] `yaml:"at" says:"time"`
	X      known.Length                `yaml:"x" says:"to the right on the plan" unit:"ft|m" show:"distance"`
	Y      known.Length                `yaml:"y" says:"up the plan" unit:"ft|m" show:"distance"`
	Says   known.Text                  `yaml:"says" says:"what there is to say of it"`
	By     known.Text                  `yaml:"by" says:"who took it"`
	Ticket known.Text                  `yaml:"ticket" says:"number of the delivery ticket it shows"`
}

// Signature is a name under something.
type Signature struct {
	Who  known.Text                 `yaml:"who" says:"name"`
	What known.Text                 `yaml:"what" says:"what was signed: quote, inspection, before the pour, tickets, hand-over"`
	At   known.Known[quantity.Date] `yaml:"at" says:"day"`
}

// Entry is a line of the log.
type Entry struct {
	At   known.Known[quantity.Clock] `yaml:"at" says:"time"`
	Says known.Text                  `yaml:"says" says:"what happened"`
	By   known.Text                  `yaml:"by" says:"who wrote it"`
}

// Planned is what the record is held against.
type Planned struct {
	Neat      known.Volume `yaml:"neat" says:"concrete by the drawing" unit:"yd3|m3" show:"volume"`
	Ordered   known.Volume `yaml:"ordered" says:"concrete ordered" unit:"yd3|m3" show:"volume"`
	Came      known.Volume `yaml:"came" says:"concrete on the tickets" unit:"yd3|m3" show:"volume"`
	Tickets   known.Number `yaml:"tickets" says:"tickets typed"`
	Loads     known.Number `yaml:"loads" says:"loads ordered"`
	Taps      known.Number `yaml:"stamps" says:"times stamped on the pour day"`
	Cylinders known.Number `yaml:"cylinders" says:"samples with results"`
	Thickness known.Length `yaml:"thickness" says:"thickness as drawn" unit:"in|mm" show:"thickness"`
	Tolerance known.Length `yaml:"tolerance" says:"how much thinner a place may be" unit:"in|mm" show:"thickness"`
	Tasks     []Task       `yaml:"tasks" says:"hours as priced"`
	Digging   known.Truth  `yaml:"dig" says:"is ground dug"`
	Located   known.Truth  `yaml:"located" says:"was a locate ticket typed"`
}

// Task is a task with its hours as priced.
type Task struct {
	Name  string        `json:"name"`
	Says  string        `json:"says"`
	Hours quantity.Time `json:"hours"` // of one person
}

// Defaults are the starting guesses.
func Defaults() Input {
	return Input{Planned: Planned{Tolerance: known.Assume(quantity.Inches(0.375), quantity.Inches(0.25), quantity.Inches(0.75), "usual tolerance of slabs on ground", sources.CommonPractice)}}
}

// Spent is a task as it went.
type Spent struct {
	Task
	Worked quantity.Time `json:"worked"` // of one person; zero: not written down
}

// Result is the record held against the plan.
type Result struct {
	Begun   bool             `json:"begun"` // anything was written down
	Used    quantity.Volume  `json:"used"`  // zero: not known
	Waste   quantity.Percent `json:"waste"` // used over the drawing, less one
	Tasks   []Spent          `json:"tasks"`
	Worked  quantity.Time    `json:"worked"`
	Priced  quantity.Time    `json:"priced"` // of the tasks written down
	Mean    quantity.Length  `json:"mean_thickness"`
	Least   quantity.Length  `json:"least_thickness"`
	BaseLow quantity.Length  `json:"base_low"` // how much lower than drawn the base lies on average
	Extra   quantity.Money   `json:"extra"`    // of changes agreed
	Gaps    []string         `json:"gaps"`
	working.Answer
}

// Design holds the record against the plan.
func Design(in Input) (Result, error) {
	if err := in.Validate().Err(); err != nil {
		return Result{}, err
	}
	r := Result{Begun: in.begun()}
	r.concrete(in)
	r.hours(in)
	r.asBuilt(in)
	r.changes(in)
	if r.Begun {
		r.gaps(in)
	}
	return r, nil
}

func (in Input) begun() bool {
	return len(in.Hours)+len(in.Thickness)+len(in.Weather)+len(in.Photos)+len(in.Log)+len(in.Changes)+len(in.Signed) > 0 ||
		in.Planned.Tickets.Value > 0 || in.Planned.Taps.Value > 0 || in.LeftOver.Given()
}

// concrete is what was used: what came, less what was left over.
func (r *Result) concrete(in Input) {
	p := in.Planned
	if !(p.Came.Value > 0) {
		return
	}
	came := working.Given(&r.Working, "came", "", "concrete on the tickets", p.Came, quantity.AsVolume)
	from := []string{came}
	if in.LeftOver.Given() {
		from = append(from, working.Given(&r.Working, "left_over", "", "sent back or dumped", in.LeftOver, quantity.AsVolume))
	}
	r.Used = p.Came.Value - in.LeftOver.Value
	r.Working.Answer(working.Step{Name: "used", Says: "concrete used", Formula: "came − left over", Value: quantity.Show(r.Used, quantity.AsVolume), From: from, Source: sources.Arithmetic})
	if p.Neat.Value > 0 {
		neat := working.Given(&r.Working, "neat", "", "concrete by the drawing", p.Neat, quantity.AsVolume)
		r.Waste = quantity.Percent(r.Used/p.Neat.Value - 1)
		r.Working.Answer(working.Step{Name: "over_drawing", Says: "used over the drawing", Formula: "used / neat − 1", Value: quantity.Show(r.Waste, quantity.AsPercent), From: []string{"used", neat}, Source: sources.Arithmetic})
	}
	if p.Ordered.Value > 0 {
		r.Check(check.AtMost("record.over-order", quantity.Show(r.Used, quantity.AsVolume), quantity.Show(p.Ordered.Value, quantity.AsVolume), check.Care,
			"The order was enough.", fmt.Sprintf("More was used than ordered: %s over.", quantity.Show(r.Used-p.Ordered.Value, quantity.AsVolume).String(in.Units)),
			sources.Arithmetic, "Look at the base depths: a low base takes it."))
	}
}

// hours sums what was worked by task, beside what was priced.
func (r *Result) hours(in Input) {
	worked := map[string]quantity.Time{}
	for _, h := range in.Hours {
		worked[h.Task.Value] += quantity.Time(float64(h.Time.Value) * float64(max(1, h.People.Value)))
	}
	for _, t := range in.Planned.Tasks {
		spent := Spent{t, worked[t.Name]}
		r.Tasks = append(r.Tasks, spent)
		if spent.Worked > 0 {
			r.Worked, r.Priced = r.Worked+spent.Worked, r.Priced+t.Hours
		}
	}
	if r.Worked == 0 {
		return
	}
	r.Working.Answer(working.Step{Name: "worked", Says: "hours worked, of the tasks written down", Formula: "Σ people · time", Value: quantity.Show(r.Worked, quantity.AsHours), Origin: known.Measured, Source: sources.Arithmetic})
	r.Working.Answer(working.Step{Name: "priced", Says: "hours priced for those tasks", Formula: "Σ tasks", Value: quantity.Show(r.Priced, quantity.AsHours), Origin: known.Computed, Source: sources.Arithmetic})
	r.Check(check.AtMost("record.hours", quantity.Show(r.Worked, quantity.AsHours), quantity.Show(r.Priced, quantity.AsHours), check.Care,
		"The hours stayed within what was priced.", fmt.Sprintf("The tasks took %s, priced were %s.", quantity.Show(r.Worked, quantity.AsHours).String(in.Units), quantity.Show(r.Priced, quantity.AsHours).String(in.Units)),
		sources.Arithmetic, "Let the next job's rates learn from it: slabwright lessons."))
}

// asBuilt is the slab as it lies: thickness where it was pinned, base where it was shot.
func (r *Result) asBuilt(in Input) {
	p := in.Planned
	if n := len(in.Thickness); n > 0 {
		r.Mean, r.Least = meanOf(in.Thickness), leastOf(in.Thickness)
		r.Working.Answer(working.Step{Name: "mean_thickness", Says: fmt.Sprintf("thickness on average of %d places", n), Value: quantity.Show(r.Mean, quantity.AsDrop), Origin: known.Measured, Source: sources.Arithmetic})
		r.Working.Answer(working.Step{Name: "least_thickness", Says: "thinnest place", Value: quantity.Show(r.Least, quantity.AsDrop), Origin: known.Measured, Source: sources.Arithmetic})
		if p.Thickness.Value > 0 {
			r.Check(check.AtLeast("record.thin", quantity.Show(r.Least, quantity.AsDrop), quantity.Show(p.Thickness.Value-p.Tolerance.Value, quantity.AsDrop), check.Stop,
				"No place is thinner than its tolerance allows.", fmt.Sprintf("The thinnest place has %s; drawn are %s.", quantity.Show(r.Least, quantity.AsDrop).String(in.Units), quantity.Show(p.Thickness.Value, quantity.AsDrop).String(in.Units)),
				sources.CommonPractice, "Ask the slab's designer what this place may carry.", "Mark the place on the plan and keep loads off it until then."))
		}
	}
	if n := len(in.BaseDepths); n > 0 && p.Thickness.Value > 0 {
		r.BaseLow = meanOf(in.BaseDepths) - p.Thickness.Value
		r.Working.Answer(working.Step{Name: "base_low", Says: fmt.Sprintf("base lower than drawn, on average of %d points", n), Formula: "mean depth − thickness", Value: quantity.Show(r.BaseLow, quantity.AsDrop), Origin: known.Measured, Source: sources.Arithmetic})
	}
}

func meanOf(all []known.Length) quantity.Length {
	sum := quantity.Length(0)
	for _, k := range all {
		sum += k.Value
	}
	return sum / quantity.Length(len(all))
}

func leastOf(all []known.Length) quantity.Length {
	least := quantity.Length(math.Inf(1))
	for _, k := range all {
		least = min(least, k.Value)
	}
	return least
}

// changes sums what was agreed, and asks for a name under each.
func (r *Result) changes(in Input) {
	unsigned := 0
	for _, c := range in.Changes {
		r.Extra += c.Money.Value
		if c.Agreed.Value == "" {
			unsigned++
		}
	}
	if len(in.Changes) == 0 {
		return
	}
	r.Working.Answer(working.Step{Name: "extra", Says: "changes agreed, on the price", Formula: "Σ changes", Value: quantity.Show(r.Extra, quantity.AsMoney), Origin: known.Said, Source: sources.Arithmetic})
	r.Check(check.AtMost("record.agreed", quantity.Counted(unsigned), quantity.Counted(0), check.Care, "Every change has a name under it.",
		fmt.Sprintf("%d of %d changes have nobody's name under them.", unsigned, len(in.Changes)), sources.CommonPractice, "Have the owner sign, or at least answer in writing, before the work."))
}

// gap is something a record must hold, and whether it does.
type gap struct {
	missing bool
	says    string
}

// gaps lists what the record lacks to settle an argument.
func (r *Result) gaps(in Input) {
	p := in.Planned
	for _, g := range []gap{
		{p.Digging.Value && !p.Located.Value, "the locate ticket"},
		{p.Tickets.Value < p.Loads.Value, fmt.Sprintf("delivery tickets: %.0f of %.0f typed", float64(p.Tickets.Value), float64(p.Loads.Value))},
		{p.Taps.Value == 0, "times stamped on the day"},
		{len(in.BaseDepths) < enoughDepths, fmt.Sprintf("base depths: %d of at least %d", len(in.BaseDepths), enoughDepths)},
		{!photographed(in.Photos, "steel"), "a photo of the steel before it was covered"},
		{!photographed(in.Photos, "base"), "a photo of the base with a tape"},
		{len(in.Weather) == 0, "the weather as it was"},
		{len(in.Hours) == 0, "hours by task"},
		{!signed(in.Signed, "hand-over"), "a signature under the hand-over"},
	} {
		if g.missing {
			r.Gaps = append(r.Gaps, g.says)
		}
	}
	c := check.Check{ID: "record.gaps", Level: check.Good, Says: "The record is whole.", Value: quantity.Counted(len(r.Gaps)), Limit: quantity.Counted(0), Source: sources.CommonPractice}
	if len(r.Gaps) > 0 {
		c.Level, c.Says, c.Then = check.Care, fmt.Sprintf("The record lacks %d things it may one day be asked for.", len(r.Gaps)), r.Gaps
	}
	r.Check(c)
}

// enoughDepths is how many depths from string to base say how a base lies. Common practice: six or more.
const enoughDepths = 6

func photographed(all []Photo, what string) bool {
	for _, p := range all {
		if p.Of.Value == what {
			return true
		}
	}
	return false
}

func signed(all []Signature, what string) bool {
	for _, s := range all {
		if s.What.Value == what && s.Who.Value != "" {
			return true
		}
	}
	return false
}

// Validate finds every fault of the record at once.
func (in Input) Validate() check.Faults {
	list := bounds.List{Units: in.Units}
	var tasks []string
	for _, t := range in.Planned.Tasks {
		tasks = append(tasks, t.Name)
	}
	for i, h := range in.Hours {
		at := fmt.Sprintf("hours[%d].", i+1)
		if len(tasks) > 0 {
			list.Word(at+"task", h.Task, tasks...)
		}
		bounds.Needed(&list, at+"time", h.Time, 0, quantity.Hours(24), quantity.AsHours)
		if n := h.People; n.Given() && !(n.Value >= 1 && n.Value <= 50) {
			list.Add(at+"people", n.Text, "is no crew.", "Type how many people were on it.")
		}
	}
	for i, k := range in.Thickness {
		bounds.Needed(&list, fmt.Sprintf("thickness[%d]", i+1), k, quantity.Inches(0.5), quantity.Inches(48), quantity.AsThickness)
	}
	for i, k := range in.BaseDepths {
		bounds.Needed(&list, fmt.Sprintf("base_depths[%d]", i+1), k, quantity.Inches(0.5), quantity.Inches(48), quantity.AsThickness)
	}
	bounds.Between(&list, "left_over", in.LeftOver, 0, quantity.CubicYards(50), quantity.AsVolume)
	if in.Planned.Came.Given() && in.LeftOver.Value > in.Planned.Came.Value {
		list.Add("left_over", in.LeftOver.Text, "is more than came on the tickets.", "Type what was left of "+in.Planned.Came.Show(quantity.AsVolume).String(in.Units)+".")
	}
	for i, w := range in.Weather {
		at := fmt.Sprintf("weather[%d].", i+1)
		bounds.Between(&list, at+"air", w.Air, -60, 60, quantity.AsTemp)
		bounds.Between(&list, at+"humidity", w.Humidity, 0, 1, quantity.AsPercent)
		bounds.Between(&list, at+"wind", w.Wind, 0, 60, quantity.AsSpeed)
	}
	for i, c := range in.Changes {
		bounds.Between(&list, fmt.Sprintf("changes[%d].money", i+1), c.Money, -1e7, 1e7, quantity.AsMoney)
	}
	return list.Faults
}
