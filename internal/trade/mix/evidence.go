package mix

import (
	"errors"
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/strength"
	"slabwright/internal/trade/working"
)

// Evidence is what tested mixes like this one reached. It stands beside the code's rules and replaces none.
type Evidence struct {
	Of      string          `json:"of"` // "the card" or "the trial recipe"
	Ages    []AgeEvidence   `json:"ages"`
	Nearest []strength.Real `json:"nearest"`
	Refused string          `json:"refused,omitempty"` // why there is none
}

// AgeEvidence is the evidence at one age.
type AgeEvidence struct {
	Age quantity.Time `json:"age"`
	strength.Estimate
}

// The ages evidence is given for, and how many real mixes are shown.
var evidenceAges = []quantity.Time{quantity.Days(7), quantity.Days(28)}

const shownMixes = 3

// evidence asks the strength data about the card, or about the trial recipe when no card is typed.
func (d *design) evidence() error {
	m, of, air := d.recipeMix(), "the trial recipe", d.r.Air
	fume := d.r.Recipe.SilicaFume
	from := []string{"water", "cement", "coarse", "sand", "air"}
	if c := d.in.Card; c.typed() && c.Coarse.Given() && c.Sand.Given() {
		m, of, fume = c.recipe(), "the card", c.SilicaFume.Value
		from = []string{"card_water", "card_cement", "card_coarse", "card_sand", "air"}
		if c.Air.Given() {
			air = c.Air.Value
		}
	}
	e := Evidence{Of: of}
	d.r.Evidence = &e
	if fume > 0 {
		e.Refused = "the data hold no silica fume"
		d.r.Check(d.evidenceCheck(e))
		return nil
	}
	estimates, err := strength.PredictAges(m, evidenceAges, air)
	if outside := (*strength.OutsideError)(nil); errors.As(err, &outside) {
		e.Refused = outside.Error()
		d.r.Check(d.evidenceCheck(e))
		return nil
	}
	if err != nil {
		return fmt.Errorf("mix: %w", err)
	}
	for i, age := range evidenceAges {
		e.Ages = append(e.Ages, AgeEvidence{age, estimates[i]})
		d.showEvidence(age, estimates[i], of, from)
	}
	if e.Nearest, err = strength.Nearest(m, quantity.Days(28), shownMixes); err != nil {
		return fmt.Errorf("mix: %w", err)
	}
	d.r.Check(d.evidenceCheck(e))
	return nil
}

// recipeMix is the trial recipe as the strength data count recipes.
func (d *design) recipeMix() strength.Mix {
	r := d.r.Recipe
	return strength.Mix{Cement: r.Cement, Slag: r.Slag, FlyAsh: r.FlyAsh, Water: r.Water, Coarse: r.Coarse, Sand: r.Sand}
}

func (d *design) showEvidence(age quantity.Time, e strength.Estimate, of string, from []string) {
	w, name := &d.r.Working, fmt.Sprintf("evidence_%.0fd", age.Days())
	says := fmt.Sprintf("what tested mixes like %s reached at %.0f days", of, age.Days())
	formula := "process over the data, without the air above 2 %, times what air leaves"
	w.Answer(working.Step{Name: name, Says: says, Formula: formula, Value: quantity.Show(e.Strength, quantity.AsStrength), From: from, Source: sources.Yeh1998})
	w.Show(working.Step{Name: name + "_low", Says: says + ", low end of nine in ten", Formula: formula, Value: quantity.Show(e.Low, quantity.AsStrength), From: from, Source: sources.Yeh1998})
	w.Show(working.Step{Name: name + "_high", Says: says + ", high end of nine in ten", Formula: formula, Value: quantity.Show(e.High, quantity.AsStrength), From: from, Source: sources.Yeh1998})
}

// evidenceCheck says what the data say, in one sentence; it never stops a mix that the code allows.
func (d *design) evidenceCheck(e Evidence) check.Check {
	c := check.Check{ID: "mix.evidence", Level: check.Good, Source: sources.Yeh1998}
	if e.Refused != "" {
		c.Says = fmt.Sprintf("No evidence for %s: %s.", e.Of, e.Refused)
		return c
	}
	last := e.Ages[len(e.Ages)-1]
	c.Value, c.Limit = quantity.Show(last.Strength, quantity.AsStrength), quantity.Show(d.r.Strength, quantity.AsStrength)
	c.Says = fmt.Sprintf("Mixes like %s reached about %s at %.0f days, nine in ten between %s and %s (laboratory; a planning estimate, not an acceptance test)",
		e.Of, d.strengthSays(last.Strength), last.Age.Days(), d.strengthSays(last.Low), d.strengthSays(last.High))
	if last.Widened {
		c.Says += "; few tested mixes are like it, so the band is wide"
	}
	c.Says += "."
	if last.High < d.r.Strength {
		c.Level, c.Then = check.Care, []string{"Ask the plant for its test record of this mix before you rely on it."}
	}
	return c
}
