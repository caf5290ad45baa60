package cure

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// The latest a joint may wait: restraint is acute in the first 72 h; tension over bending strength of one half; and, for the
// early-entry saw, a first cool-down by 3 K.
const (
	latestSaw  = 72.0
	sawIndex   = 0.5
	eveningOff = 3.0
)

// saw finds from when to when to saw: from by the usual strength, since a cut too late costs more than one that is tried too
// early and put off; until by tension and the first evening.
func (j job) saw(r *Result) {
	early := math.Max(j.final, j.ageWhen(middle, 0, j.reaches(j.in.EarlyAt, j.gain.curve.At)))
	from := math.Max(j.final, j.ageWhen(middle, 0, j.reaches(j.in.SawAt, j.gain.curve.At)))
	late, evening := cracked(r.Index), j.evening()
	w := SawWindows{EarlyFrom: limited(early), From: limited(from), Until: quantity.Hours(math.Min(late, latestSaw)), UntilBy: "72 h after placing"}
	if late < latestSaw {
		w.UntilBy = "tension reaches half the bending strength"
	}
	w.EarlyUntil = quantity.Hours(math.Min(evening, w.Until.Hours()))
	r.Saw = w
	j.showSaw(&r.Working, w)
}

func limited(age float64) quantity.Time { return quantity.Hours(math.Min(age, horizon)) }

// evening is the age at which the air has fallen by 3 K below its warmest since final set, h.
func (j job) evening() float64 {
	top := math.Inf(-1)
	for h := j.final; h < latestSaw; h += 0.5 {
		air := j.airTemp(middle, h)
		top = math.Max(top, air)
		if top-air >= eveningOff {
			return h
		}
	}
	return latestSaw
}

// firstStrength is the strength from which tension is spoken of, MPa: below it the concrete still flows.
const firstStrength = 0.3

// cracked is the age at which tension in the slab, uncut, has reached half its bending strength, h; 72 when it does not before.
func cracked(index []IndexPoint) float64 {
	for _, p := range index {
		if p.Whole >= sawIndex && p.Age.Hours() < latestSaw {
			return p.Age.Hours()
		}
	}
	return latestSaw
}

func (j job) showSaw(w *working.Sheet, s SawWindows) {
	step := func(name, says, formula string, age quantity.Time, words string, source sources.Key, from ...string) {
		w.Show(working.Step{Name: name + "_age", Says: says + ", after placing", Formula: formula, Value: quantity.Show(age, quantity.AsHours), From: from, Source: source})
		w.Answer(working.Step{Name: name, Says: says, Formula: "poured + age, rounded to the safe side", Value: quantity.Words(words), From: []string{name + "_age", "poured"}, Source: sources.OwnRule})
	}
	step("saw_early_from", "early-entry saw from", "the later of final set and S ≥ S*", s.EarlyFrom, j.dateWords(s.EarlyFrom.Hours(), false), sources.FHWAEarlyEntry, "final_set", "early_saw_at")
	step("saw_early_until", "early-entry saw until the first cool of the evening", "air 3 K below its warmest", s.EarlyUntil, j.untilWords(s.EarlyUntil.Hours()), sources.FHWAEarlyEntry, "saw_early_from_age")
	step("saw_from", "conventional saw from", "the later of final set and S ≥ S*", s.From, j.dateWords(s.From.Hours(), false), sources.FHWASaw, "final_set", "saw_at")
	step("saw_until", "latest saw cut: "+s.UntilBy, "σ/fr < 0.5, σ = Kr Σ E Δε/(1 + 0.8φ)", s.Until, j.untilWords(s.Until.Hours()), sources.FHWAEarlyEntry, "restraint", "final_set")
}

func (j job) sawChecks(s SawWindows) []check.Check {
	when := func(t quantity.Time) string { return j.dateWords(t.Hours(), false) }
	until := j.untilWords(s.Until.Hours())
	c := check.Check{ID: "cure.saw-window", Level: check.Good, Source: sources.FHWASaw, Where: when(s.From),
		Value: quantity.Show(s.From, quantity.AsHours), Limit: quantity.Show(s.Until, quantity.AsHours)}
	c.Says = fmt.Sprintf("Saw from %s to %s, a quarter to a third of the thickness deep; try a short cut first, and wait if stones come loose.", when(s.From), until)
	early := fmt.Sprintf("Early-entry saw from %s, at least 1 in (25 mm) deep.", when(s.EarlyFrom))
	if s.EarlyFrom > s.EarlyUntil {
		early = fmt.Sprintf("Blankets before the evening so that it cools slowly, and an early-entry saw from %s.", when(s.EarlyFrom))
	}
	switch {
	case s.From > s.Until:
		c.Level = check.Care
		c.Says = fmt.Sprintf("A conventional saw comes too late: it ravels before %s and the slab may crack from %s.", when(s.From), until)
		c.Then = []string{early, "Groove or form the joints instead."}
	case s.From > s.EarlyUntil:
		c.Level = check.Care
		c.Says = fmt.Sprintf("The first cool of the evening, %s, comes before a conventional saw can go on (%s to %s).", j.untilWords(s.EarlyUntil.Hours()), when(s.From), until)
		c.Then = []string{early, "Groove the joints while it is fresh."}
	}
	return []check.Check{c, check.SawDust.In("cure")}
}
