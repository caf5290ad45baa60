package mix

import (
	"fmt"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/fresh"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// judge says what a careful foreman would say about the mix.
func (d *design) judge() {
	d.r.Check(d.exposureCheck(), d.strengthCheck(), d.airCheck(), d.tableCheck(), d.waterCheck(), d.slumpCheck(), d.sandCheck())
	for _, c := range []*check.Check{d.sackCheck(), d.stoneCheck(), d.barCheck(), d.binderCheck(), d.sulphateCheck(), d.weightCheck()} {
		if c != nil {
			d.r.Check(*c)
		}
	}
	d.r.Check(check.WetCement.In("mix"))
}

func (d *design) strengthSays(s quantity.Stress) string {
	return quantity.Show(s, quantity.AsStrength).String(d.in.Units)
}

func (d *design) exposureCheck() check.Check {
	return check.Check{ID: "mix.exposure", Level: check.Good, Source: d.need.StrengthBy.Source,
		Says: fmt.Sprintf("Exposure %s (%s): %s.", d.r.Class, d.need.StrengthBy.Condition, d.wants())}
}

// wants lists what the exposure asks, in one phrase.
func (d *design) wants() string {
	parts := []string{"at least " + d.strengthSays(d.need.Strength)}
	if d.need.WaterCement > 0 {
		parts = append(parts, fmt.Sprintf("w/cm at most %.2f", d.need.WaterCement))
	}
	if d.need.Frost != NoFrost {
		if air, err := d.tables.Air(d.r.Stone, d.need.Frost); err == nil {
			parts = append(parts, fmt.Sprintf("air %s ± 1.5", quantity.Show(air, quantity.AsPercent).String(d.in.Units)))
		}
	}
	for _, advice := range []string{d.need.StrengthBy.Advice, d.need.FrostBy.Advice} {
		if advice != "" && !strings.Contains(strings.Join(parts, ", "), advice) {
			parts = append(parts, advice)
		}
	}
	return strings.Join(parts, ", ")
}

// strengthCheck stops below what any code kept here takes for the frost, and warns below the one that was named.
func (d *design) strengthCheck() check.Check {
	floor, _ := ClassOf(IBC, map[Frost]string{NoFrost: "F0", Moderate: "F1", Severe: "F2"}[d.need.Frost])
	level := check.Care
	if d.r.Strength < floor.Strength(d.in.Units) {
		level = check.Stop
	}
	asked := d.strengthSays(d.r.Strength)
	return check.AtLeast("mix.strength", quantity.Show(d.r.Strength, quantity.AsStrength), quantity.Show(d.need.Strength, quantity.AsStrength), level,
		fmt.Sprintf("%s is enough for this exposure.", asked),
		fmt.Sprintf("%s is less than %s asks: %s.", asked, title(d.need.StrengthBy), d.strengthSays(d.need.Strength)),
		d.need.StrengthBy.Source, "Order "+d.strengthSays(roundUp(d.need.Strength, d.in.Step.Or(defaultStep(d.in.Units)).Value))+".")
}

func (d *design) airCheck() check.Check {
	c := check.Check{ID: "mix.air", Level: check.Good, Value: quantity.Show(d.r.Air, quantity.AsPercent), Source: sources.ACI318Exposure}
	if d.need.Frost == NoFrost {
		c.Says = "No frost, no air needed."
		return c
	}
	target, err := d.tables.Air(d.r.Stone, d.need.Frost)
	if err != nil {
		c.Level, c.Says = check.Care, "The air this stone needs is not in the table."
		return c
	}
	c.Limit = quantity.Show(target, quantity.AsPercent)
	low := StrongAir(target, d.r.Strength, d.in.Units) - fresh.AirTolerance
	switch {
	case !d.r.Entrained:
		c.Level, c.Says = check.Stop, "It freezes there and no air is ordered: the surface will scale."
	case d.r.Air < low-1e-9:
		c.Level, c.Says = check.Stop, fmt.Sprintf("%s of air is too little where it freezes.", c.Value.String(d.in.Units))
	case d.r.Air > target+fresh.AirTolerance+1e-9:
		c.Level, c.Says = check.Care, fmt.Sprintf("%s of air is more than needed; each point costs about 5 %% of strength.", c.Value.String(d.in.Units))
	default:
		c.Says = fmt.Sprintf("Air %s ± 1.5 suits frost with %s stone.", c.Value.String(d.in.Units), quantity.Show(d.r.Stone, quantity.AsNominal).String(d.in.Units))
		return c
	}
	c.Then = []string{fmt.Sprintf("Order air %s ± 1.5.", c.Limit.String(d.in.Units))}
	return c
}

// tableCheck says whether the published table reaches the average, or only the plant's record can show it.
func (d *design) tableCheck() check.Check {
	c := check.Check{ID: "mix.strength-record", Level: check.Good, Value: quantity.Show(d.r.Average, quantity.AsStrength), Source: d.tables.strengthFrom,
		Says: fmt.Sprintf("The published table reaches the average of %s at w/cm %.2f.", d.strengthSays(d.r.Average), d.r.WaterCement)}
	if d.r.TableAnswers {
		return c
	}
	if d.r.Proven > 0 {
		c.Source, c.Value, c.Limit = sources.ACI318Average, quantity.Show(d.r.Proven, quantity.AsStrength), quantity.Show(d.r.Average, quantity.AsStrength)
		if c.Says = fmt.Sprintf("The plant's own samples of this mix average %s; %s is asked of them.", d.strengthSays(d.r.Proven), d.strengthSays(d.r.Average)); d.r.Proven < d.r.Average {
			c.Level, c.Then = check.Care, []string{"Ask the plant for a richer mix, or what it changed since."}
		}
		return c
	}
	c.Level = check.Care
	c.Says = fmt.Sprintf("An average of %s is beyond the published table for this concrete; only the plant's record or a trial batch shows that its mix reaches %s.",
		d.strengthSays(d.r.Average), d.strengthSays(d.r.Strength))
	c.Then = []string{"Ask the plant for its test record of this mix."}
	return c
}

// waterCheck warns what a gallon does instead of forbidding it.
func (d *design) waterCheck() check.Check {
	a, u := d.r.Added, d.in.Units
	says := fmt.Sprintf("%s of added water takes w/cm %.3f to %.3f", quantity.Show(d.in.AddedWater.Value, quantity.AsContent).String(u), d.r.WaterCement, a.Ratio)
	if u == quantity.US {
		says = fmt.Sprintf("%.3g gal/yd³ of added water takes w/cm %.3f to %.3f", quantity.In(d.in.AddedWater.Value, "gal/yd3"), d.r.WaterCement, a.Ratio)
	}
	if a.Inside {
		says += fmt.Sprintf(" and costs about %s of strength", quantity.Show(-a.Strength, quantity.AsStress).String(u))
	}
	c := check.Check{ID: "mix.added-water", Level: check.Good, Says: says + ".", Value: quantity.Plain(a.Ratio, quantity.AsRatio), Source: sources.C94SiteWater}
	if d.r.Limit == 0 || a.Ratio <= d.r.Limit+1e-9 {
		return c
	}
	c.Level, c.Limit = check.Care, quantity.Plain(d.r.Limit, quantity.AsRatio)
	c.Says = says + fmt.Sprintf(": over the limit of %.2f.", d.r.Limit)
	c.Then = []string{"Let water in only as far as the ticket shows room.", "Ask the plant for more slump by admixture."}
	return c
}

func (d *design) slumpCheck() check.Check {
	limit := quantity.Inches(6)
	return check.AtMost("mix.slump", quantity.Show(d.r.Slump, quantity.AsSlump), quantity.Show(limit, quantity.AsSlump), check.Care,
		"Slump suits flatwork.", "That is a wet slump for flatwork: get it by admixture, not by water.", sources.CommonPractice,
		"Order 3 to 5 in and a water reducer.")
}

func (d *design) sandCheck() check.Check {
	r := d.r.Recipe
	share := float64(r.Sand / (r.Sand + r.Coarse))
	c := check.Check{ID: "mix.sand-share", Level: check.Good, Value: quantity.Plain(share, quantity.AsPercent), Source: sources.CommonPractice,
		Says: fmt.Sprintf("Sand is %.0f %% of the aggregate.", 100*share)}
	if share < 0.30 || share > 0.55 {
		c.Level, c.Says = check.Care, fmt.Sprintf("Sand is %.0f %% of the aggregate; 30 to 55 %% is usual.", 100*share)
		c.Then = []string{"Check the densities and the fineness of the sand."}
	}
	return c
}

// sackCheck reads a sack order back as what it is worth.
func (d *design) sackCheck() *check.Check {
	s := d.r.Sacks
	if s == nil {
		return nil
	}
	c := &check.Check{ID: "mix.sacks", Level: check.Care, Value: quantity.Plain(s.WaterCement, quantity.AsRatio), Source: sources.ACI211Tables,
		Then: []string{"Ask the plant instead for: " + d.r.OrderLine + "."}}
	c.Says = fmt.Sprintf("Sacks tell cement, not strength: %.2g sacks at this slump, stone and air make w/cm %.2f", s.Sacks, s.WaterCement)
	switch {
	case s.Average > 0:
		c.Says += fmt.Sprintf(", about %s on average and %s to promise", d.strengthSays(s.Average), d.strengthSays(s.Specified))
	default:
		c.Says += ", outside the table of strengths"
	}
	if d.r.Limit > 0 && s.WaterCement > d.r.Limit {
		c.Limit = quantity.Plain(d.r.Limit, quantity.AsRatio)
		c.Says += fmt.Sprintf("; %.2f needs %.1f sacks, or a water reducer", d.r.Limit, s.SacksNeeded)
	}
	c.Says += "."
	return c
}

func (d *design) stoneCheck() *check.Check {
	if !d.in.Thickness.Given() {
		return nil
	}
	c := check.AtMost("mix.stone-depth", quantity.Show(d.r.Stone, quantity.AsNominal), quantity.Show(d.in.Thickness.Value/3, quantity.AsDrop), check.Stop,
		"The stone fits the slab.", "The stone is larger than a third of the slab.", sources.ACI318Stone, "Order smaller stone.")
	return &c
}

func (d *design) barCheck() *check.Check {
	if !d.in.Clear.Given() {
		return nil
	}
	c := check.AtMost("mix.stone-bars", quantity.Show(d.r.Stone, quantity.AsNominal), quantity.Show(d.in.Clear.Value*3/4, quantity.AsDrop), check.Stop,
		"The stone passes between the bars.", "The stone is larger than three quarters of the space between bars.", sources.ACI318Stone, "Order smaller stone.")
	return &c
}

func (d *design) binderCheck() *check.Check {
	if d.need.Frost != Severe || !(d.in.Deicers.Value || d.in.Vehicles.Value) {
		return nil
	}
	over := OverBinderLimits(float64(d.in.FlyAsh.Value), float64(d.in.Slag.Value), float64(d.in.SilicaFume.Value))
	if len(over) == 0 {
		return nil
	}
	return &check.Check{ID: "mix.binder-limits", Level: check.Stop, Source: sources.ACI318Binders,
		Says: "Too much replaced cement where it is salted: " + strings.Join(over, "; ") + ".", Then: []string{"Lower the shares to the limits."}}
}

func (d *design) sulphateCheck() *check.Check {
	if d.in.Sulphate.Value == "S0" {
		return nil
	}
	c := mustClass(ACI318, d.in.Sulphate.Value)
	return &check.Check{ID: "mix.sulphate", Level: check.Care, Source: c.Source,
		Says: fmt.Sprintf("Sulfate %s (%s): %s.", c.Name, c.Condition, c.Advice), Then: []string{"Tell the plant the sulfate class."}}
}

// weightCheck compares the two methods: they differ by 2 to 4 % of sand; more points to a wrong density.
func (d *design) weightCheck() *check.Check {
	if d.r.WeightSand == 0 || d.in.Coarse.Gravity.Origin == known.Assumed {
		return nil
	}
	off := float64((d.r.WeightSand - d.r.Recipe.Sand) / d.r.Recipe.Sand)
	c := check.AtMost("mix.weight-method", quantity.Plain(max(off, -off), quantity.AsPercent), quantity.Plain(0.10, quantity.AsPercent), check.Care,
		"Volume and weight method agree on the sand.", "Volume and weight method differ by more than a tenth of the sand.", sources.ACI211Weight,
		"Check the relative densities and the air.")
	return &c
}
