package pour

import (
	"fmt"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Measure is something that may be done, and how the chosen start goes with it.
type Measure struct {
	Name     string               `json:"name"`
	Level    check.Level          `json:"level"`
	Peak     quantity.Evaporation `json:"peak"`
	Deficit  float64              `json:"deficit"` // kg/m²
	Window   quantity.Time        `json:"window"`  // from initial to final set of the first concrete
	Lateness quantity.Time        `json:"lateness"`
	Finished time.Time            `json:"finished_by"`
	Buys     string               `json:"buys"` // in words; what it does not change is left out
}

// Effects of measures: common practice, as the table of relief; a retarder or accelerator shifts both sets by two hours.
const setShift = 2.0

// aids are the measures weighed, each a change of the job.
var aids = []struct {
	name string
	do   func(j *job)
}{
	{"wind breaks", func(j *job) { j.touch.wind = 0.5 }},
	{"fog over the slab until it is floated", func(j *job) { j.touch.drying = 0 }},
	{"evaporation film", func(j *job) { j.touch.drying = 0.4 }},
	{"shade", func(j *job) { j.touch.sun = 0.2 }},
	{"concrete 5 °C (9 °F) cooler", func(j *job) { j.touch.chill = 5 }},
	{"retarder, two hours", func(j *job) { j.set = j.set.Shift(setShift, j.curve.Energy) }},
	{"accelerator, two hours", func(j *job) { j.set = j.set.Shift(-setShift, j.curve.Energy) }},
	{"one more finisher", func(j *job) { j.moreFinishers(1) }},
	{"two more finishers", func(j *job) { j.moreFinishers(2) }},
	{"half of it now, half another day", func(j *job) { j.area, j.volume, j.crew.area = j.area/2, j.volume/2, j.crew.area/2 }},
	{"blankets for the night", func(j *job) { j.in.Covers = known.Say(true) }},
}

func (j *job) moreFinishers(n quantity.Number) {
	each := j.crew.finishing / float64(j.in.Finishers.Value)
	j.in.Finishers.Value += n
	j.crew.finishing = each * float64(j.in.Finishers.Value)
}

// weighMeasures judges the chosen start again with each measure.
func (j job) weighMeasures(r *Result) {
	c := r.Chosen
	if c.Level == check.NotComputed {
		return
	}
	sun := almanac.Day{}
	if !j.steady {
		sun = almanac.DayAt(c.At, j.place)
	}
	for _, a := range aids {
		with := j
		with.brief = true
		a.do(&with)
		s := with.judge(c.At, sun)
		if s.Level == check.NotComputed {
			continue
		}
		m := Measure{Name: a.name, Level: s.Level, Peak: s.Peak, Deficit: s.Deficit, Window: quantity.Time(s.FloatUntil.Sub(s.FloatFrom).Seconds()),
			Lateness: s.Lateness, Finished: s.FinishedBy, Buys: j.buys(c, s)}
		r.Measures = append(r.Measures, m)
	}
}

// noticed is the least change that is spoken of.
const noticed = 10 * time.Minute

// buys says what is different.
func (j job) buys(was, is StartHour) string {
	words := ""
	add := func(text string, values ...any) {
		if words != "" {
			words += "; "
		}
		words += fmt.Sprintf(text, values...)
	}
	if is.Level != was.Level {
		add("%s instead of %s", is.Level, was.Level)
	}
	if change := float64(is.Peak - was.Peak); 3600*max(change, -change) > 0.05 {
		add("at most %s instead of %s", j.show(quantity.Show(is.Peak, quantity.AsEvaporation)), j.show(quantity.Show(was.Peak, quantity.AsEvaporation)))
	}
	if riskWord(is.Deficit) != riskWord(was.Deficit) {
		add("%s risk of plastic cracks instead of %s", riskWord(is.Deficit), riskWord(was.Deficit))
	}
	long, before := is.FloatUntil.Sub(is.FloatFrom), was.FloatUntil.Sub(was.FloatFrom)
	if d := long - before; max(d, -d) >= noticed {
		add("%s to finish each place instead of %s", span(long), span(before))
	}
	if d := is.FinishedBy.Sub(was.FinishedBy); max(d, -d) >= noticed {
		add("last broom %s instead of %s", j.when(is.FinishedBy, is.At), j.when(was.FinishedBy, was.At))
	}
	if words == "" {
		return "nothing here"
	}
	return words
}

// playThrough rehearses the chosen start when that is asked for. What the crew cannot do with the hands that were said is no less a "don't"
// than what the weather does.
func (j job) playThrough(r *Result) error {
	if !j.in.Rehearse.Value && len(j.in.Team.Taps) == 0 || r.Chosen.Level == check.NotComputed {
		return nil
	}
	played, err := j.rehearse(r.Start)
	if err != nil {
		return err
	}
	r.Rehearsal = &played
	crew := j.crewCheck(played)
	r.Check(crew, j.ageOfLoadCheck(played))
	r.Verdict = max(r.Verdict, crew.Level)
	return nil
}

func (j job) showRehearsal(w *working.Sheet, r Rehearsal) {
	t := j.in.Team
	hands := t.Hands.Or(known.Guess(quantity.Number(r.Hands), "the placers and the finishers", sources.OwnRule))
	working.Given(w, "hands", "c", "everybody on site who works", hands, "")
	working.Given(w, "placers", "", "of them at chute and screed", t.Placers, "")
	working.Given(w, "window_scatter", "", "how far a day's set may lie off the clock", t.WindowScatter, quantity.AsPercent)
	working.Given(w, "spacing_scatter", "", "how unevenly trucks come", t.SpacingScatter, quantity.AsPercent)
	working.Given(w, "work_scatter", "", "how unevenly hands work", t.WorkScatter, quantity.AsPercent)
	working.Given(w, "risk", "", "days in a hundred on which something may come too late", t.Risk, quantity.AsPercent)
	w.Show(working.Step{Name: "strips", Says: "strips the slab is placed in", Value: quantity.Counted(r.Strips), From: []string{"area"}, Source: sources.OwnRule})
	w.Show(working.Step{Name: "truck_spacing", Says: "between trucks", Formula: "load / placing rate, down to 5 min", Value: quantity.Show(r.Spacing, quantity.AsMinutes), From: []string{"placing_rate"}, Source: sources.Arithmetic})
	from := []string{"hands", "placers", "strips", "truck_spacing", "window_scatter", "spacing_scatter", "work_scatter", "initial_set", "final_set"}
	played := fmt.Sprintf("share of %d played days, seed %d; ± %.1f %%", r.Days, r.Seed, 100*float64(r.Doubt))
	answer := func(name, says, formula string, value quantity.Any) {
		w.Answer(working.Step{Name: name, Says: says, Formula: formula, Value: value, From: from, Source: sources.OwnRule})
	}
	answer("late_chance", "chance that finishing cannot keep up somewhere", played, quantity.Show(r.Late, quantity.AsPercent))
	answer("old_load_chance", "chance that a load is too old before it is empty", played, quantity.Show(r.TooOld, quantity.AsPercent))
	answer("idle", "placers wait for trucks, on average", "mean over played days", quantity.Show(r.Idle, quantity.AsMinutes))
	answer("queue", "trucks wait to be unloaded, all together, on average", "mean over played days", quantity.Show(r.Queue, quantity.AsMinutes))
	answer("crew_end", "all is done by, nine days in ten", "90 % of played days", quantity.Words(j.when(r.EndP90, r.Start)))
	from = []string{"late_chance", "risk"}
	answer("crew_needed", "what keeps the chosen risk", "the same days played with more or fewer hands, tools twice, trucks closer and farther", quantity.Words(j.choiceWords(r)))
	if r.Best > 0 {
		answer("best_spacing", "truck spacing that keeps the chosen risk with these hands and waits least", "the same days played with trucks closer and farther", quantity.Show(r.Best, quantity.AsMinutes))
	}
}

// crewCheck holds the chance of late work against the chosen risk.
func (j job) crewCheck(r Rehearsal) check.Check {
	c := check.Check{ID: "pour.crew", Level: check.Good, Value: quantity.Show(r.Late, quantity.AsPercent), Limit: j.in.Team.Risk.Show(quantity.AsPercent), Source: sources.OwnRule}
	c.Says = fmt.Sprintf("With %d hands, %d of 100 played days have something finished too late (%d days played, seed %d).", r.Hands, int(100*float64(r.Late)+0.5), r.Days, r.Seed)
	if r.Late <= j.in.Team.Risk.Value {
		return c
	}
	c.Level = check.Care
	worst := StepChance{}
	for _, s := range r.LateBy {
		if s.Late > worst.Late {
			worst = s
		}
	}
	c.Says += fmt.Sprintf(" Most often it is the %s.", worst.Step)
	switch said := j.in.Team.Hands; {
	case !said.Given() || said.Origin == known.Assumed:
		c.Then = append(c.Then, "Nobody said how many hands there are: type pour.team.hands.")
	case r.Late > 0.5:
		c.Level = check.Stop
	}
	if r.Need > 0 {
		c.Then = append(c.Then, fmt.Sprintf("Under %s: %s.", j.show(c.Limit), j.choiceWords(r)))
	}
	c.Then = append(c.Then, "Pour it in two parts.", "A retarder, or a cooler hour.", "Trucks farther apart: the strips then set one after another.")
	return c
}

func (j job) ageOfLoadCheck(r Rehearsal) check.Check {
	c := check.Check{ID: "pour.load-age", Level: check.Good, Value: quantity.Show(r.TooOld, quantity.AsPercent), Limit: j.in.Team.Risk.Show(quantity.AsPercent), Source: sources.OwnRule}
	c.Says = fmt.Sprintf("A load is older than %s before it is empty on %d of 100 played days; placers wait %s for trucks, trucks wait %s in all, on average.",
		j.show(j.in.Team.AgeLimit.Show(quantity.AsMinutes)), int(100*float64(r.TooOld)+0.5), j.show(quantity.Show(r.Idle, quantity.AsMinutes)), j.show(quantity.Show(r.Queue, quantity.AsMinutes)))
	if r.TooOld > j.in.Team.Risk.Value {
		c.Level, c.Then = check.Care, []string{"Trucks farther apart, or more placers."}
		if r.Best > 0 && r.Best != r.Spacing {
			c.Then = append([]string{fmt.Sprintf("Trucks %s apart.", j.show(quantity.Show(r.Best, quantity.AsMinutes)))}, c.Then...)
		}
	}
	return c
}
