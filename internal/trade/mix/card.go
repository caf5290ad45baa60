package mix

import (
	"fmt"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/fresh"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/strength"
	"slabwright/internal/trade/working"
)

// Card is a plant's mix card, typed off: masses per volume, aggregates saturated and surface-dry.
type Card struct {
	Name        known.Text    `yaml:"name" says:"the plant's name for the mix"`
	Strength    known.Stress  `yaml:"strength" says:"strength the plant promises" unit:"psi|MPa" usual:"2000..6000|15..45" show:"strength"`
	Cement      known.Density `yaml:"cement" says:"Portland cement" unit:"lb/yd3|kg/m3" usual:"250..900|150..540" show:"content"`
	FlyAsh      known.Density `yaml:"fly_ash" says:"fly ash" unit:"lb/yd3|kg/m3" usual:"0..250|0..150" show:"content"`
	Slag        known.Density `yaml:"slag" says:"slag" unit:"lb/yd3|kg/m3" usual:"0..400|0..240" show:"content"`
	SilicaFume  known.Density `yaml:"silica_fume" says:"silica fume" unit:"lb/yd3|kg/m3" usual:"0..80|0..50" show:"content"`
	Water       known.Density `yaml:"water" says:"mixing water, net" unit:"lb/yd3|kg/m3" usual:"200..360|120..215" show:"content"`
	Plasticizer known.Density `yaml:"plasticizer" says:"high-range water reducer" unit:"lb/yd3|kg/m3" usual:"0..30|0..18" show:"content"`
	Coarse      known.Density `yaml:"coarse" says:"stone" unit:"lb/yd3|kg/m3" usual:"1300..2000|770..1190" show:"content"`
	Sand        known.Density `yaml:"sand" says:"sand" unit:"lb/yd3|kg/m3" usual:"900..1700|530..1010" show:"content"`
	Air         known.Percent `yaml:"air" says:"air" unit:"%|%" usual:"1..8|1..8" show:"percent"`
	Slump       known.Length  `yaml:"slump" says:"slump the mix is made for" unit:"in|mm" usual:"1..9|25..230" show:"slump"`
	Stone       known.Length  `yaml:"stone" says:"largest stone" unit:"in|mm" usual:"0.375..1.5|9.5..40" show:"nominal"`
}

// CardReading is a card read as what it is.
type CardReading struct {
	Name        string           `json:"name"`
	Binder      quantity.Density `json:"binder"`
	WaterCement float64          `json:"water_cement"`
	FlyAsh      float64          `json:"fly_ash"` // shares of the binder
	Slag        float64          `json:"slag"`
	SilicaFume  float64          `json:"silica_fume"`
	Average     quantity.Stress  `json:"average"` // by the table; zero: outside it
	Yield       float64          `json:"yield"`   // volume of the parts over the volume the card is for; zero: aggregates not typed
	Density     quantity.Density `json:"density"` // zero: aggregates not typed
}

// typed says whether anybody typed a card.
func (c Card) typed() bool { return c.Cement.Given() || c.Water.Given() }

// validate finds what cannot be on a card.
func (c Card) validate(v *bounds.List) {
	if !c.typed() {
		return
	}
	bounds.Needed(v, "card.cement", c.Cement, 60, 800, quantity.AsContent)
	bounds.Needed(v, "card.water", c.Water, 80, 350, quantity.AsContent)
	bounds.Between(v, "card.fly_ash", c.FlyAsh, 0, 400, quantity.AsContent)
	bounds.Between(v, "card.slag", c.Slag, 0, 600, quantity.AsContent)
	bounds.Between(v, "card.silica_fume", c.SilicaFume, 0, 100, quantity.AsContent)
	bounds.Between(v, "card.plasticizer", c.Plasticizer, 0, 60, quantity.AsContent)
	bounds.Between(v, "card.coarse", c.Coarse, 300, 1600, quantity.AsContent)
	bounds.Between(v, "card.sand", c.Sand, 300, 1600, quantity.AsContent)
	bounds.Between(v, "card.air", c.Air, 0, 0.15, quantity.AsPercent)
	bounds.Between(v, "card.slump", c.Slump, 0, quantity.Inches(12), quantity.AsSlump)
	bounds.Between(v, "card.stone", c.Stone, quantity.Millimetres(4), quantity.Millimetres(90), quantity.AsNominal)
	bounds.Between(v, "card.strength", c.Strength, quantity.PSI(1000), quantity.PSI(12000), quantity.AsStrength)
	if len(v.Faults) > 0 {
		return
	}
	if ratio := float64(c.Water.Value) / float64(c.binder()); ratio < 0.25 || ratio > 0.80 {
		v.Add("card.water", c.Water.Show(quantity.AsContent).String(v.Units),
			fmt.Sprintf("makes a water/cementitious ratio of %.2f, outside 0.25 to 0.80.", ratio), "Check water and cement units (lb/yd3 or kg/m3).")
	}
}

func (c Card) binder() quantity.Density {
	return c.Cement.Value + c.FlyAsh.Value + c.Slag.Value + c.SilicaFume.Value
}

// Read works out what a card says without saying it: w/cm, shares of the binder, the average by the table, and whether its parts
// fill the volume it is written for:
//
//	yield = Σ m/(ρ G) + A
//
// usual relative densities for binder and aggregates as given. Source: ACI 211.1-91, 6.3; ASTM C138. Checked: CON-CARD rows.
func (c Card) Read(t Tables, coarse, sand float64, entrained bool) CardReading {
	b := c.binder()
	r := CardReading{Name: c.Name.Value, Binder: b, WaterCement: float64(c.Water.Value / b), FlyAsh: float64(c.FlyAsh.Value / b), Slag: float64(c.Slag.Value / b), SilicaFume: float64(c.SilicaFume.Value / b)}
	r.Average, _ = t.AverageStrength(r.WaterCement, entrained)
	if c.Coarse.Given() && c.Sand.Given() {
		fills := func(m quantity.Density, g float64) float64 { return float64(m) / (t.waterDensity * g) }
		r.Yield = fills(c.Cement.Value, cementGravity) + fills(c.FlyAsh.Value, ashGravity) + fills(c.Slag.Value, slagGravity) + fills(c.SilicaFume.Value, fumeGravity) +
			fills(c.Water.Value, 1) + fills(c.Plasticizer.Value, plasticizerGravity) + fills(c.Coarse.Value, coarse) + fills(c.Sand.Value, sand) + float64(c.Air.Value)
		r.Density = b + c.Water.Value + c.Plasticizer.Value + c.Coarse.Value + c.Sand.Value
	}
	return r
}

// plasticizerGravity is the usual relative density of a water reducer.
const plasticizerGravity = 1.10

// recipe is the card as the strength data count recipes.
func (c Card) recipe() strength.Mix {
	return strength.Mix{Cement: c.Cement.Value, Slag: c.Slag.Value, FlyAsh: c.FlyAsh.Value, Water: c.Water.Value, Plasticizer: c.Plasticizer.Value, Coarse: c.Coarse.Value, Sand: c.Sand.Value}
}

// card reads and judges the plant's card, when one is typed.
func (d *design) card() error {
	c := d.in.Card
	if !c.typed() {
		return nil
	}
	r := c.Read(d.tables, float64(d.in.Coarse.Gravity.Value), float64(d.in.Sand.Gravity.Value), d.r.Entrained)
	d.r.Card = &r
	w := &d.r.Working
	given := func(name, says string, k known.Density) string {
		return working.Given(w, name, "", says, k, quantity.AsContent)
	}
	from := []string{given("card_cement", "cement on the card", c.Cement), given("card_water", "water on the card", c.Water)}
	for _, part := range []struct {
		name, says string
		k          known.Density
	}{{"card_fly_ash", "fly ash on the card", c.FlyAsh}, {"card_slag", "slag on the card", c.Slag}, {"card_silica_fume", "silica fume on the card", c.SilicaFume}} {
		if part.k.Given() {
			from = append(from, given(part.name, part.says, part.k))
		}
	}
	w.Answer(working.Step{Name: "card_water_cement", Says: "water to binder of the card", Symbol: "w/cm", Formula: "w / (c + p + s)", Value: quantity.Plain(r.WaterCement, quantity.AsRatio), From: from, Source: sources.Arithmetic})
	if r.Average > 0 {
		w.Show(working.Step{Name: "card_average", Says: "average strength of that ratio, by the table", Value: quantity.Show(r.Average, quantity.AsStrength), From: []string{"card_water_cement", "air"}, Source: d.tables.strengthFrom})
	}
	if r.Yield > 0 {
		parts := append(from, given("card_coarse", "stone on the card", c.Coarse), given("card_sand", "sand on the card", c.Sand))
		w.Answer(working.Step{Name: "card_yield", Says: "volume of its parts over the volume it is for", Formula: "Σ m/(ρ G) + A", Value: quantity.Plain(r.Yield, quantity.AsRatio), From: parts, Source: sources.ASTMC138})
	}
	d.r.Check(d.judgeCard(r)...)
	return nil
}

// judgeCard holds the card against what the exposure asks.
func (d *design) judgeCard(r CardReading) []check.Check {
	c := d.in.Card
	out := []check.Check{d.cardRatio(r)}
	if c.Strength.Given() {
		out = append(out, check.AtLeast("mix.card-strength", c.Strength.Show(quantity.AsStrength), quantity.Show(d.need.Strength, quantity.AsStrength), check.Stop,
			"The card promises the strength the exposure asks.", fmt.Sprintf("The card promises %s, %s asks %s.", d.strengthSays(c.Strength.Value), title(d.need.StrengthBy), d.strengthSays(d.need.Strength)),
			d.need.StrengthBy.Source, "Ask the plant for its mix of "+d.strengthSays(d.need.Strength)+"."))
	}
	if d.need.Frost != NoFrost && c.Air.Given() {
		if target, err := d.tables.Air(d.r.Stone, d.need.Frost); err == nil {
			out = append(out, check.AtLeast("mix.card-air", c.Air.Show(quantity.AsPercent), quantity.Show(target-fresh.AirTolerance, quantity.AsPercent), check.Stop,
				"The card has air for frost.", fmt.Sprintf("The card has %s of air; frost here asks %s ± 1.5.", c.Air.Show(quantity.AsPercent).String(d.in.Units), quantity.Show(target, quantity.AsPercent).String(d.in.Units)),
				sources.ACI318Exposure, "Ask for the air-entrained mix."))
		}
	}
	if over := OverBinderLimits(r.FlyAsh, r.Slag, r.SilicaFume); len(over) > 0 && d.need.Frost == Severe && (d.in.Deicers.Value || d.in.Vehicles.Value) {
		out = append(out, check.Check{ID: "mix.card-binder", Level: check.Stop, Source: sources.ACI318Binders,
			Says: "Too much replaced cement where it is salted: " + strings.Join(over, "; ") + ".", Then: []string{"Ask for a mix within the limits."}})
	}
	out = append(out, d.cardWorks()...)
	if r.Yield > 0 {
		y := check.Check{ID: "mix.card-yield", Level: check.Good, Value: quantity.Plain(r.Yield, quantity.AsRatio), Source: sources.ASTMC138, Says: fmt.Sprintf("Its parts make %.3f of the volume it is for.", r.Yield)}
		if r.Yield < 0.98 || r.Yield > 1.02 {
			y.Level, y.Says = check.Care, fmt.Sprintf("Its parts make %.3f of the volume it is for: a mass, a density or the air is off.", r.Yield)
			y.Then = []string{"Ask the plant for the relative densities; ask for a unit weight at the first load."}
		}
		out = append(out, y)
	}
	return out
}

// cardWorks holds what the card says of slump and stone against what is to be ordered.
func (d *design) cardWorks() []check.Check {
	c, u := d.in.Card, d.in.Units
	var out []check.Check
	if c.Slump.Given() {
		low, high := fresh.SlumpRange(u, d.r.Slump, false)
		made, asked := c.Slump.Show(quantity.AsSlump), quantity.Show(d.r.Slump, quantity.AsSlump)
		s := check.Check{ID: "mix.card-slump", Level: check.Good, Value: made, Limit: asked, Source: sources.C94Slump, Says: fmt.Sprintf("The card is made for a slump of %s; %s is to be ordered.", made.String(u), asked.String(u))}
		if c.Slump.Value < low-1e-9 || c.Slump.Value > high+1e-9 {
			s.Level, s.Then = check.Care, []string{"Have the plant set the slump by admixture; water at the truck takes it out of the card's w/cm."}
		}
		out = append(out, s)
	}
	if c.Stone.Given() {
		stone, asked := c.Stone.Show(quantity.AsNominal), quantity.Show(d.r.Stone, quantity.AsNominal)
		s := check.Check{ID: "mix.card-stone", Level: check.Good, Value: stone, Limit: asked, Source: sources.ACI318Stone, Says: fmt.Sprintf("The card has %s stone; %s is to be ordered.", stone.String(u), asked.String(u))}
		if column, err := d.tables.Stone(c.Stone.Value); err != nil || column != d.r.Stone {
			s.Level, s.Then = check.Care, []string{"Water, air and sand go with the stone: type the card's stone as mix: {stone: …} or ask for the other mix."}
		}
		out = append(out, s)
	}
	return out
}

func (d *design) cardRatio(r CardReading) check.Check {
	c := check.Check{ID: "mix.card-water", Level: check.Good, Value: quantity.Plain(r.WaterCement, quantity.AsRatio), Source: d.need.WaterCementBy.Source,
		Says: fmt.Sprintf("The card has water to binder of %.3f.", r.WaterCement)}
	if d.r.Limit == 0 {
		c.Source = sources.Arithmetic
		return c
	}
	c.Limit = quantity.Plain(d.r.Limit, quantity.AsRatio)
	c.Says = fmt.Sprintf("The card has water to binder of %.3f, %.2f is allowed.", r.WaterCement, d.r.Limit)
	if r.WaterCement > d.r.Limit+5e-4 { // cards are printed to whole pounds
		c.Level, c.Then = check.Stop, []string{fmt.Sprintf("Ask for w/cm %.2f at most: less water by admixture, or more binder.", d.r.Limit)}
	}
	return c
}
