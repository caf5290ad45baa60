package mix

import (
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/fresh"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// exposure reads the site by the named edition and keeps what governs.
func (d *design) exposure() error {
	in, w := d.in, &d.r.Working
	e := Exposure{Code: in.Code.Value, Freezing: in.Freezing.Value, Deicers: in.Deicers.Value, Vehicles: in.Vehicles.Value,
		Structural: in.Structural.Value, Reinforced: in.Reinforced.Value, Sulphate: in.Sulphate.Value, Weathering: in.Weathering.Value}
	applying, err := e.Applying()
	if err != nil {
		return fmt.Errorf("mix: %w", err)
	}
	from := []string{
		working.Given(w, "code", "", "edition the exposure is judged by", in.Code, ""),
		working.Given(w, "freezing", "", "freezing there", in.Freezing, ""),
		working.Given(w, "deicers", "", "deicers reach it", in.Deicers, ""),
		working.Given(w, "vehicles", "", "vehicles stand on it", in.Vehicles, ""),
		working.Given(w, "structural", "", "carries the building", in.Structural, ""),
		working.Given(w, "reinforced", "", "its steel is structural", in.Reinforced, ""),
		working.Given(w, "sulphate", "", "sulfate class of the soil", in.Sulphate, ""),
	}
	d.need = Govern(applying, in.Units)
	names := make([]string, len(applying))
	for i, c := range applying {
		names[i] = c.Code + " " + c.Name
	}
	d.r.Class, d.r.Limit, d.r.Needed = strings.Join(names, ", "), d.need.WaterCement, d.need.Strength
	w.Answer(working.Step{Name: "exposure_class", Says: "exposure classes that apply", Value: quantity.Words(d.r.Class),
		From: from, Source: applying[0].Source})
	w.Show(working.Step{Name: "needed_strength", Says: "least strength for the exposure, by " + title(d.need.StrengthBy), Symbol: "f'c",
		Value: quantity.Show(d.need.Strength, quantity.AsStrength), From: []string{"exposure_class"}, Source: d.need.StrengthBy.Source})
	if d.need.WaterCement > 0 {
		w.Answer(working.Step{Name: "water_cement_limit", Says: "most water to binder, by " + title(d.need.WaterCementBy), Symbol: "w/cm",
			Value: quantity.Plain(d.need.WaterCement, quantity.AsRatio), From: []string{"exposure_class"}, Source: d.need.WaterCementBy.Source})
	}
	return nil
}

func title(c Class) string { return c.Code + " " + c.Name }

// strength settles f'c: what a person said stands, a guess gives way to the exposure. Then the average to aim at.
func (d *design) strength() error {
	in, w := d.in, &d.r.Working
	asked := working.Given(w, "asked_strength", "", "strength asked for", in.Strength, quantity.AsStrength)
	step := in.Step.Or(defaultStep(in.Units))
	working.Given(w, "strength_step", "", "step of the plant's strengths", step, quantity.AsStrength)
	d.r.Strength = in.Strength.Value
	formula := "as asked"
	if in.Strength.Origin == known.Assumed {
		d.r.Strength = roundUp(max(in.Strength.Value, d.need.Strength), step.Value)
		formula = "larger of asked and needed, up to the plant's step"
	}
	w.Answer(working.Step{Name: "strength", Says: "strength to order", Symbol: "f'c", Formula: formula,
		Value: quantity.Show(d.r.Strength, quantity.AsStrength), From: []string{asked, "needed_strength", "strength_step"}, Source: sources.OwnRule})
	return d.average()
}

func roundUp(v, step quantity.Stress) quantity.Stress {
	return quantity.Stress(math.Ceil(float64(v/step)-1e-6)) * step
}

func (d *design) average() error {
	in, w := d.in, &d.r.Working
	step := working.Step{Name: "average", Says: "average the plant must aim at", Symbol: "f'cr", From: []string{"strength"}, Source: sources.ACI318Average}
	if in.Deviation.Given() && in.Tests.Given() {
		average, err := d.tables.RequiredAverage(d.r.Strength, in.Deviation.Value, int(in.Tests.Value))
		if err != nil {
			return fmt.Errorf("mix: %w", err)
		}
		d.r.Average, step.Formula = average, "max(f'c + 1.34 k s, f'c + 2.33 k s - 500 psi)"
		step.From = append(step.From, working.Given(w, "deviation", "s", "standard deviation of the plant's record", in.Deviation, quantity.AsStress),
			working.Given(w, "tests", "n", "tests in the plant's record", in.Tests, ""))
	} else if mean, deviation, tests := recordOf(in.Lab); tests >= provenBy {
		average, err := d.tables.RequiredAverage(d.r.Strength, deviation, tests)
		if err != nil {
			return fmt.Errorf("mix: %w", err)
		}
		d.r.Average, d.r.Proven, step.Formula = average, mean, fmt.Sprintf("max(f'c + 1.34 k s, f'c + 2.33 k s - 500 psi), k and s of the %d samples typed", tests)
		w.Show(working.Step{Name: "record_deviation", Says: "standard deviation of the samples of this mix", Symbol: "s", Value: quantity.Show(deviation, quantity.AsStress), Source: sources.ACI214Control})
		w.Show(working.Step{Name: "record_mean", Says: "average of the samples of this mix", Value: quantity.Show(mean, quantity.AsStrength), Source: sources.ACI214Control})
		step.From = append(step.From, "record_deviation")
	} else {
		d.r.Average, step.Formula = d.tables.UnprovenAverage(d.r.Strength), "f'c + step for a plant without a record"
	}
	step.Value = quantity.Show(d.r.Average, quantity.AsStrength)
	w.Answer(step)
	return nil
}

// air takes what was ordered, else the exposure's target for this stone.
func (d *design) air() error {
	in, w := d.in, &d.r.Working
	stone, err := d.tables.Stone(in.Stone.Value.Size)
	if err != nil {
		return fmt.Errorf("mix: %w", err)
	}
	target, err := d.tables.Air(stone, d.need.Frost)
	if err != nil {
		return fmt.Errorf("mix: %w", err)
	}
	d.r.Stone, d.r.Air, d.r.Entrained = stone, target, d.need.Frost != NoFrost
	from := []string{working.Given(w, "largest_stone", "", "largest stone asked for", in.Stone, ""), "exposure_class"}
	w.Answer(working.Step{Name: "stone", Says: "largest stone, the tables' size", Value: quantity.Show(stone, quantity.AsNominal),
		From: from[:1], Source: sources.ACI211Tables})
	source, formula := sources.ACI318Exposure, "by stone size and frost class"
	if !d.r.Entrained {
		source, formula = sources.ACI211Tables, "what stays trapped"
	}
	if in.Air.Given() {
		trapped, err := d.tables.Air(stone, NoFrost)
		if err != nil {
			return fmt.Errorf("mix: %w", err)
		}
		d.r.Entrained = in.Air.Value > trapped+0.005
		d.r.Air = max(in.Air.Value, trapped)
		from, formula = append(from, working.Given(w, "air_ordered", "", "air ordered", in.Air, quantity.AsPercent)), "as ordered, never below what stays trapped"
	}
	w.Answer(working.Step{Name: "air", Says: airSays(d.r.Entrained), Symbol: "A", Formula: formula,
		Value: quantity.Show(d.r.Air, quantity.AsPercent), From: from, Source: source})
	return nil
}

func airSays(entrained bool) string {
	if entrained {
		return "air to order, within 1.5 points"
	}
	return "air that stays trapped, none ordered"
}

// ashSaves is the mixing water fly ash saves, taken when a usual share of it is in the binder. Source: common practice.
const (
	ashSaves      = 0.05
	ashSavesAbove = 0.15
)

// water reads the table and takes off what admixture, fly ash and rounded gravel save.
func (d *design) water() error {
	in, w := d.in, &d.r.Working
	slump := working.Given(w, "slump_ordered", "", "slump at the chute", in.Slump, quantity.AsSlump)
	d.r.Slump = in.Slump.Value.Length()
	w.Answer(working.Step{Name: "slump", Says: "slump to order", Value: quantity.Show(d.r.Slump, quantity.AsSlump),
		From: []string{slump}, Source: sources.NRMCAOrdering})
	table, _, err := d.tables.Water(d.r.Stone, d.r.Slump, d.r.Entrained)
	if err != nil {
		return fmt.Errorf("mix: %w", err)
	}
	w.Show(working.Step{Name: "table_water", Says: "mixing water by the table", Formula: "by slump, stone and air",
		Value: quantity.Show(table, quantity.AsContent), From: []string{"slump", "stone", "air"}, Source: sources.ACI211Tables})
	water, from := table, []string{"table_water"}
	if in.Coarse.Rounded.Value {
		saves := quantity.Of[quantity.Density](d.tables.gravelSaves, d.tables.content)
		rounded := working.Given(w, "rounded", "", "rounded gravel", in.Coarse.Rounded, "")
		w.Show(working.Step{Name: "gravel_saves", Says: "water that rounded gravel saves", Value: quantity.Show(saves, quantity.AsContent),
			From: []string{rounded}, Source: sources.PCARoundGravel})
		water, from = water-saves, append(from, "gravel_saves")
	}
	saved := float64(in.WaterReduction.Value)
	from = append(from, working.Given(w, "water_reduction", "", "water saved by admixture", in.WaterReduction, quantity.AsPercent))
	if float64(in.FlyAsh.Value) >= ashSavesAbove && in.WaterReduction.Origin == known.Assumed {
		saved += ashSaves
		from = append(from, working.Given(w, "fly_ash_share", "", "fly ash, share of the binder", in.FlyAsh, quantity.AsPercent))
	}
	d.p.Water = water * quantity.Density(1-saved)
	w.Answer(working.Step{Name: "water", Says: "mixing water", Symbol: "w", Formula: "table less what gravel, fly ash and admixture save",
		Value: quantity.Show(d.p.Water, quantity.AsContent), From: from, Source: sources.ACI211Tables})
	return nil
}

// ratio is the lower w/cm of durability and strength. Where the published table does not reach the average, durability's limit
// stands, or the table's strongest row, and a check says so.
func (d *design) ratio() error {
	w := &d.r.Working
	byStrength, err := d.tables.WaterCement(d.r.Average, d.r.Entrained)
	d.r.TableAnswers = err == nil
	from, formula, source := []string{"average", "air"}, "by strength", d.tables.strengthFrom
	if !d.r.TableAnswers {
		rows := d.tables.rows(d.r.Entrained)
		byStrength = rows[0].plain
		formula = "the table's strongest row; the plant's record decides"
	}
	d.r.WaterCement = byStrength
	if d.r.Limit > 0 {
		from = append(from, "water_cement_limit")
		if d.r.Limit < byStrength || !d.r.TableAnswers {
			d.r.WaterCement, formula, source = d.r.Limit, "the exposure's limit", d.need.WaterCementBy.Source
		}
	}
	if d.in.Cement.Given() {
		from = append(from, working.Given(w, "cement_ordered", "", "cement ordered by the sack", d.in.Cement, quantity.AsContent))
		if richer := float64(d.p.Water / d.in.Cement.Value); richer < d.r.WaterCement {
			d.r.WaterCement, formula, source = richer, "water over the cement ordered", sources.Arithmetic
		}
	}
	w.Answer(working.Step{Name: "water_cement", Says: "water to binder of the trial recipe", Symbol: "w/cm", Formula: formula,
		Value: quantity.Plain(d.r.WaterCement, quantity.AsRatio), From: from, Source: source})
	return nil
}

// sacks reads a sack order as cement.
func (d *design) sacks() error {
	if !d.in.Cement.Given() {
		return nil
	}
	w := &d.r.Working
	reading := d.tables.ReadSacks(d.in.Cement.Value, d.p.Water, d.r.Entrained, d.r.Limit)
	d.r.Sacks = &reading
	w.Show(working.Step{Name: "sack_count", Says: "sacks ordered", Formula: "cement / 94 lb", Value: quantity.Plain(reading.Sacks, quantity.AsRatio),
		From: []string{"cement_ordered"}, Source: sources.Definition})
	w.Answer(working.Step{Name: "sack_water_cement", Says: "water to binder the sacks give", Formula: "w / cement", Value: quantity.Plain(reading.WaterCement, quantity.AsRatio),
		From: []string{"water", "cement_ordered"}, Source: sources.Arithmetic})
	if reading.Average > 0 {
		w.Answer(working.Step{Name: "sack_average", Says: "average strength the sacks reach at 28 days", Formula: "table of w/cm against strength",
			Value: quantity.Show(reading.Average, quantity.AsStrength), From: []string{"sack_water_cement", "air"}, Source: d.tables.strengthFrom})
		w.Answer(working.Step{Name: "sack_strength", Says: "strength that may be promised of it without a plant's record", Formula: "average less the step without a record",
			Value: quantity.Show(reading.Specified, quantity.AsStrength), From: []string{"sack_average"}, Source: sources.ACI318Average})
	}
	if reading.SacksNeeded > 0 {
		w.Answer(working.Step{Name: "sacks_needed", Says: "sacks to reach the allowed water to binder", Formula: "w / limit / 94 lb", Value: quantity.Plain(reading.SacksNeeded, quantity.AsRatio),
			From: []string{"water", "water_cement_limit"}, Source: sources.Arithmetic})
	}
	return nil
}

// added says what water at the truck does.
func (d *design) added() error {
	w := &d.r.Working
	d.r.Added = d.tables.AddWater(d.in.AddedWater.Value, d.r.Recipe.Cementitious, d.r.WaterCement, d.r.Entrained)
	added := working.Given(w, "added_water", "", "water added at the truck", d.in.AddedWater, quantity.AsContent)
	w.Answer(working.Step{Name: "watered_ratio", Says: "water to binder with the added water", Formula: "w/cm + added/cm",
		Value: quantity.Plain(d.r.Added.Ratio, quantity.AsRatio), From: []string{"water_cement", "cement", added}, Source: sources.Arithmetic})
	if d.r.Added.Inside {
		w.Answer(working.Step{Name: "watered_strength", Says: "change of the average strength by the added water", Formula: "table at both ratios",
			Value: quantity.Show(d.r.Added.Strength, quantity.AsStress), From: []string{"water_cement", "watered_ratio"}, Source: d.tables.strengthFrom})
	}
	return nil
}

var shownAges = []float64{1, 3, 7, 14, 28, 56}

// ages puts f'c on the curves that fit the cement, lowest and highest: a band, not a line.
func (d *design) ages() error {
	cements := bandOf(d.in.CementType.Value, float64(d.in.Slag.Value), float64(d.in.FlyAsh.Value))
	cement := working.Given(&d.r.Working, "cement_type", "", "cement", d.in.CementType, "")
	for _, days := range shownAges {
		a := AgeStrength{Age: quantity.Days(days), Low: quantity.Stress(math.Inf(1))}
		for _, c := range cements {
			share, err := StrengthShare(c, a.Age)
			if err != nil {
				return fmt.Errorf("mix: %w", err)
			}
			f := quantity.Stress(share) * d.r.Strength
			a.Low, a.High = min(a.Low, f), max(a.High, f)
		}
		d.r.Ages = append(d.r.Ages, a)
		name, from := fmt.Sprintf("strength_%.0fd", days), []string{"strength", cement}
		d.r.Working.Show(working.Step{Name: name + "_low", Says: fmt.Sprintf("strength at %.0f days at 20 °C, slow side", days), Formula: "lowest of the curves " + strings.Join(cements, ", "),
			Value: quantity.Show(a.Low, quantity.AsStrength), From: from, Source: sources.ACI209Age})
		d.r.Working.Show(working.Step{Name: name + "_high", Says: fmt.Sprintf("strength at %.0f days at 20 °C, fast side", days), Formula: "highest of the curves " + strings.Join(cements, ", "),
			Value: quantity.Show(a.High, quantity.AsStrength), From: from, Source: sources.EN1992Age})
	}
	return nil
}

// bandOf pairs the US and the European curve of a cement. Much slag or fly ash makes it slow.
func bandOf(cement string, slag, ash float64) []string {
	switch {
	case slag+ash >= 0.25:
		return []string{"I", "S"}
	case cement == "III" || cement == "R":
		return []string{"III", "R"}
	case cement == "S":
		return []string{"I", "S"}
	}
	return []string{"I", "N"}
}

// bleed is the share of the mixing water that rises, an order of size to plan with.
func (d *design) bleed() {
	in := d.in
	d.r.BleedShare = 0.03
	switch {
	case in.SilicaFume.Value > 0:
		d.r.BleedShare = 0.003
	case d.r.WaterCement <= 0.40 || in.FlyAsh.Value+in.Slag.Value >= 0.35:
		d.r.BleedShare = 0.01
	case d.r.Entrained:
		d.r.BleedShare = 0.02
	}
	d.r.Working.Answer(working.Step{Name: "bleed_share", Says: "mixing water that bleeds, a planning figure", Symbol: "k_b", Formula: "by air, w/cm and binder",
		Value: quantity.Plain(d.r.BleedShare, quantity.AsRatio), From: []string{"air", "water_cement"}, Source: sources.C232BleedOrder})
}

// orderLine says what to ask the plant, in one breath.
func (d *design) orderLine() {
	u := d.in.Units
	parts := []string{
		quantity.Show(d.r.Strength, quantity.AsStrength).Trimmed(u),
		quantity.Show(d.r.Stone, quantity.AsNominal).String(u) + " stone",
		quantity.Show(d.r.Slump, quantity.AsSlump).String(u) + " slump",
	}
	if d.r.Entrained {
		parts = append(parts, quantity.Show(d.r.Air, quantity.AsPercent).Trimmed(u)+" air")
	} else {
		parts = append(parts, "no air")
	}
	if d.r.Limit > 0 {
		parts = append(parts, fmt.Sprintf("w/cm %.2f max", d.r.Limit))
	}
	least := fresh.LeastTemperature(d.in.Units, d.section())
	parts = append(parts, quantity.Show(least, quantity.AsTemp).Trimmed(u)+" or warmer")
	d.r.OrderLine = strings.Join(parts, ", ")
	d.r.Working.Answer(working.Step{Name: "ask_the_plant", Says: "what to ask the plant", Value: quantity.Words(d.r.OrderLine),
		From: []string{"strength", "stone", "slump", "air", "water_cement"}, Source: sources.NRMCAOrdering})
}

// section is the slab's thickness, or a thin one where it is not known: slabs lie under 12 in.
func (d *design) section() quantity.Length {
	if d.in.Thickness.Given() {
		return d.in.Thickness.Value
	}
	return quantity.Inches(6)
}
