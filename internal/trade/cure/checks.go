package cure

import (
	"fmt"
	"math"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// showInputs puts on the sheet what the dates rest on.
func (j job) showInputs(w *working.Sheet) {
	in := j.in
	poured := working.Step{Name: "poured", Says: "when the last concrete is placed", Value: quantity.Words("not dated"), Source: sources.OwnRule, Origin: known.Missing}
	if j.dated {
		poured.Origin, poured.Value = known.Said, quantity.Words(j.dateWords(0, false))
	}
	w.Show(poured)
	working.Given(w, "strength", "f'c", "strength ordered", in.Strength, quantity.AsStrength)
	working.Given(w, "gain_per_day", "k", "how fast strength begins, per day at 20 °C", in.Rate, "")
	working.Given(w, "strength_begins", "t0", "equivalent age at which strength begins", in.Begins, "")
	working.Given(w, "activation_energy", "Ea", "activation energy of the strength clock", in.Energy, "")
	working.Given(w, "spread", "", "how far a mix may lie off its usual curve", in.Spread, quantity.AsPercent)
	working.Given(w, "final_set", "", "hours from placing to final set", in.FinalSet, "")
	working.Given(w, "saw_at", "S*", "strength for a conventional saw", in.SawAt, quantity.AsStrength)
	working.Given(w, "early_saw_at", "S*", "strength for an early-entry saw", in.EarlyAt, quantity.AsStrength)
	working.Given(w, "restraint", "Kr", "how much ground and walls hold the slab", in.Restraint, "")
	working.Given(w, "later_air", "Ta", "mean air after the forecast, with its band", j.later, "")
	working.Given(w, "later_swing", "", "how far days and nights swing about it", in.LaterSwing, "")
	placed, ground := in.Placed, in.Ground
	if len(j.warmth.states) > 0 {
		placed = placed.Or(known.Assume(quantity.Temp(j.warmth.slab.Placed), quantity.Temp(j.warmth.slab.Placed-5), quantity.Temp(j.warmth.slab.Placed+5), "air at the pour and the cement's heat, never below what the plant heats to", sources.CommonPractice))
		ground = ground.Or(known.Assume(quantity.Temp(j.warmth.slab.Ground), quantity.Temp(j.warmth.slab.Ground-5), quantity.Temp(j.warmth.slab.Ground+5), "mean air of the first day", sources.CommonPractice))
		working.Given(w, "placed_temperature", "T0", "concrete temperature at the chute", placed, "")
		working.Given(w, "ground_temperature", "Tg", "temperature of the base", ground, "")
		working.Given(w, "wind_share", "", "wind at the slab over the forecast's wind", in.WindShare, "")
		working.Given(w, "cover_value", "Rc", "resistance of one blanket", in.CoverValue, quantity.AsInsulation)
	}
	ultimate := working.Step{Name: "ultimate_strength", Says: "strength in the end", Symbol: "Su", Formula: "ultimate share · f'c",
		Value: quantity.Plain(float64(in.Ultimate.Value)*float64(in.Strength.Value), quantity.AsStrength), From: []string{"strength"}, Source: sources.CommonPractice}
	if f := j.gain.fit; f != nil {
		ultimate.Says, ultimate.Formula, ultimate.Source = fmt.Sprintf("strength in the end, fitted to %d cylinders; scatter %.1f MPa", len(in.Cylinders), f.Scatter), "least squares of Su k(te − t0)/(1 + k(te − t0))", sources.ASTMC1074
		ultimate.Value = quantity.Plain(f.Params[0]*1e6, quantity.AsStrength)
	}
	w.Show(ultimate)
}

// dateCheck says when there is no day to count from.
func (j job) dateCheck() []check.Check {
	if j.dated {
		return nil
	}
	return []check.Check{{ID: "cure.pour-date", Level: check.NotComputed, Source: sources.OwnRule,
		Says: "The pour has no date, so these are ages, not dates.", Then: []string{"Type when the concrete is placed."}}}
}

// freezeCheck is the rule of thumb for frost: no freezing before 3.5 MPa.
func (j job) freezeCheck() check.Check {
	safe := j.ageWhen(slow, 0, func(te float64) bool { return j.gain.low(te) >= freezeStrength })
	frost, told := j.firstFrost(math.Min(safe, horizon))
	c := check.Check{ID: "cure.freeze", Level: check.Good, Source: sources.PCAFreeze, Value: quantity.Plain(math.Min(safe, horizon)*3600, quantity.AsHours),
		Limit: quantity.Plain(freezeStrength*1e6, quantity.AsStrength)}
	c.Says = fmt.Sprintf("It withstands one freeze from %s (%s); no frost is expected before.", j.dateWords(math.Min(safe, horizon), false), j.show(c.Limit))
	if math.IsInf(frost, 1) {
		return c
	}
	c.Where = j.dateWords(frost, false)
	c.Then = []string{"Blankets on from the last broom and left on; or wait for warmer nights."}
	c.Level = check.Stop
	switch {
	case j.in.Covers.Value:
		c.Level = check.Care
		c.Says = fmt.Sprintf("Frost at %s, before it has %s: blankets on until then.", c.Where, j.show(c.Limit))
	case told:
		c.Says = fmt.Sprintf("Frost at %s, before it has %s: frozen so young it can lose half its strength.", c.Where, j.show(c.Limit))
	default:
		c.Level = check.Care
		c.Says = fmt.Sprintf("In the coldest weather thought of after the forecast it may freeze from %s, before it has %s.", c.Where, j.show(c.Limit))
	}
	return c
}

func (j job) show(v quantity.Any) string { return v.String(j.in.Units) }

// firstFrost is the first age before `until` at which the slow side's air is below freezing, and whether a forecast or a
// reading told it.
func (j job) firstFrost(until float64) (age float64, told bool) {
	for h := 0.0; h < until; h++ {
		at := j.at(h)
		if t, ok := j.measuredAt(slow, at); ok {
			if t < 0 {
				return h, true
			}
			continue
		}
		if j.airTemp(slow, h) < 0 {
			_, err := j.forecast.At(at)
			return h, j.dated && err == nil
		}
	}
	return math.Inf(1), false
}

// Cold weather: air at or below 4 °C in the days of protection of a slab outdoors.
const (
	coldAir        = 4.0
	protectionDays = 3
)

func (j job) coldCheck() check.Check {
	lowest, at := math.Inf(1), 0.0
	for h := 0.0; h < protectionDays*24; h++ {
		if t := j.airTemp(middle, h); t < lowest {
			lowest, at = t, h
		}
	}
	c := check.Check{ID: "cure.cold", Level: check.Good, Value: quantity.Plain(lowest, quantity.AsTemp), Limit: quantity.Plain(coldAir, quantity.AsTemp),
		Source: sources.ACI306R, Where: j.dateWords(at, false)}
	c.Says = fmt.Sprintf("The coldest air of its first %d days is about %s.", protectionDays, j.show(c.Value))
	if lowest <= coldAir {
		c.Level = check.Care
		c.Says += " Cold-weather rules: keep it at 55 °F (13 °C) or warmer for three days."
		c.Then = []string{"Blankets, or heated concrete with an accelerator, or warmer days. No water curing in frost."}
	}
	return c
}

// useChecks say for each load when it may come.
func (j job) useChecks(list []Milestone) []check.Check {
	var out []check.Check
	for _, m := range list {
		if m.Name != "car" && m.Name != "trailer" && m.Name != "truck" {
			continue
		}
		c := check.Check{ID: check.ID("cure.open-" + m.Name), Level: check.Good, Value: quantity.Show(m.Age, quantity.AsDays), Source: sources.CommonPractice,
			Where: j.milestoneWords(m, true), Then: m.Forward}
		c.Says = fmt.Sprintf("Not before %s to %s; keep it off the edges until then too.", c.Where, m.Says)
		if m.Name == "truck" && !j.proven() {
			c.Level = check.Care
			c.Says = fmt.Sprintf("A truck not before %s, and only with cylinders at the strength ordered: the calendar alone proves nothing.", c.Where)
			c.Then = append([]string{"Cylinders broken at 28 days; or the strength the slab needs under that truck."}, m.Forward...)
		}
		switch {
		case m.Never && m.By != "strength":
			c.Level = check.Stop
			c.Says = fmt.Sprintf("Not to %s before the lighter load before it is proven, and it is not.", m.Says)
		case m.Never:
			c.Level = check.Stop
			c.Says = fmt.Sprintf("Never with this mix as far as known: %s for %q is not below what it reaches in the end on the slow side.", j.show(quantity.Show(m.Need, quantity.AsStrength)), m.Says)
		}
		if m.Age.Days() < provenAge {
			c.Then = append(c.Then, "Turning on joint edges: hold off until 28 days.")
		}
		out = append(out, c)
	}
	return out
}

// deicerCheck is the word on road salt: it matters when the first winter comes within half a year.
func (j job) deicerCheck() check.Check {
	c := check.Check{ID: "cure.deicer", Level: check.Care, Source: sources.CommonPractice,
		Says: "Use sand, not salt, the first winter; never ammonium salts or fertiliser.",
		Then: []string{"Rinse off what cars drip; seal it after a month of dry weather, before the first frost."}}
	if j.dated {
		c.Says = fmt.Sprintf("No salt in the %s winter, its first: sand only; never ammonium salts or fertiliser.", firstWinter(j.poured))
		if m := j.poured.Month(); m >= time.March && m <= time.June || !j.in.Salted.Value {
			c.Level, c.Then = check.Good, nil
		}
	}
	return c
}

// firstWinter names the first winter a slab goes through, north of the equator: one poured in January or February stands in it
// already.
func firstWinter(poured time.Time) string {
	year := poured.Year()
	if poured.Month() <= time.February {
		year--
	}
	return fmt.Sprintf("%d–%02d", year, (year+1)%100)
}

// hottestPlaced and coldestPlaced are the limits for concrete at the chute, °C.
const (
	hottestPlaced = 35.0
	coldestPlaced = 13.0
)

// placedCheck holds the concrete as it came against the limits at the chute.
func (j job) placedCheck() []check.Check {
	p := j.in.Placed
	if !p.Given() {
		return nil
	}
	c := check.Check{ID: "cure.placed", Level: check.Good, Value: p.Show(""), Limit: quantity.Plain(hottestPlaced, quantity.AsTemp), Source: sources.ACI305R}
	c.Says = fmt.Sprintf("It is placed at %s.", j.show(c.Value))
	switch t := p.Value.Celsius(); {
	case t > hottestPlaced:
		c.Level = check.Care
		c.Says = fmt.Sprintf("It is placed at %s, over the limit of %s: it sets fast, cracks more as it cools, and may lose %.0f %% of its late strength, which the dates count.", j.show(c.Value), j.show(c.Limit), 100*j.in.hotLoss())
		c.Then = []string{"Turn such a load away. If it is in: joints early, blankets so that it cools slowly, cylinders before loads."}
	case t < coldestPlaced:
		c.Level, c.Limit, c.Source = check.Care, quantity.Plain(coldestPlaced, quantity.AsTemp), sources.ACI306Table
		c.Says = fmt.Sprintf("It is placed at %s, under the %s of cold-weather practice: it gains strength late and is near freezing.", j.show(c.Value), j.show(c.Limit))
		c.Then = []string{"Warmer concrete from the plant; blankets at once."}
	}
	return []check.Check{c}
}

// heaterFumes is the word on heaters, where a tent is used or would help.
func (j job) heaterFumes(list []UnderCover) []check.Check {
	if !j.in.Tent.Value && (len(list) == 0 || j.inPlan(list).Withstood) {
		return nil
	}
	return []check.Check{check.HeaterFumes.In("cure")}
}

func cautions() []check.Check {
	return []check.Check{
		check.Caution("cure.green-traffic", "Keep children, dogs, wheelbarrows and cars off green concrete: tape it off until it may be walked on.", sources.CommonPractice, "Tape and a sign with the date."),
		check.WetCement.In("cure"),
	}
}

// Method is a way to cure.
type Method struct {
	Name, When, How string
	Fits            bool // in this weather
}

// methods lists the ways to cure, those that fit the weather marked.
func (j job) methods() []Method {
	cold := j.meanSlab(slow, curingDays*24) < 5
	return []Method{
		{"curing compound", "ordinary and hot weather", "Spray as soon as the sheen is gone, two passes crossed, 200 ft² a gallon (5 m² a litre) or as the can says; white in the sun. Not where a sealer or paint follows soon.", !cold},
		{"wet cover", "hot, dry or windy weather", "Burlap and plastic sheet, kept wet all the time, edges weighted; no drying between.", !cold},
		{"plastic sheet", "mild weather, plain looks", "Flat on the surface when it will not mark; weighted; it can mottle the colour.", !cold},
		{"blankets", "cold weather", "Dry curing blankets over plastic, doubled at edges and corners, tied down; let it cool slowly, not more than 50 °F (28 K) in a day.", cold},
	}
}

// curing lists the methods and puts those that fit on the sheet.
func (j job) curing(r *Result) {
	r.Methods = j.methods()
	r.Working.Answer(working.Step{Name: "curing_method", Says: "how to cure in this weather", Value: quantity.Words(r.MethodWords()), From: []string{"later_air"}, Source: sources.CommonPractice})
}

// MethodWords names the methods that fit.
func (r Result) MethodWords() string {
	var fit []string
	for _, m := range r.Methods {
		if m.Fits {
			fit = append(fit, m.Name)
		}
	}
	return strings.Join(fit, " or ")
}
