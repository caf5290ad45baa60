package mix

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// recipe proportions by absolute volume and cross-checks the sand by weight.
func (d *design) recipe() error {
	in, w := d.in, &d.r.Working
	share, err := d.tables.CoarseShare(d.r.Stone, float64(in.Sand.Fineness.Value))
	if err != nil {
		return fmt.Errorf("mix: %w", err)
	}
	w.Show(working.Step{Name: "coarse_share", Says: "dry-rodded stone per volume of concrete", Symbol: "b", Formula: "b(2.40) - 0.1 (FM - 2.40)",
		Value: quantity.Plain(share, quantity.AsRatio), Source: sources.ACI211Tables,
		From: []string{"stone", working.Given(w, "fineness", "FM", "fineness modulus of the sand", in.Sand.Fineness, quantity.AsRatio)}})
	d.p = Proportions{Water: d.p.Water, WaterCement: d.r.WaterCement,
		FlyAsh: float64(in.FlyAsh.Value), Slag: float64(in.Slag.Value), SilicaFume: float64(in.SilicaFume.Value),
		CoarseShare: share, Rodded: in.Coarse.Rodded.Value, Air: float64(d.r.Air),
		CementGravity: cementGravity, AshGravity: ashGravity, SlagGravity: slagGravity, FumeGravity: fumeGravity,
		CoarseGravity: float64(in.Coarse.Gravity.Value), SandGravity: float64(in.Sand.Gravity.Value)}
	if d.r.Recipe, err = d.tables.Proportion(d.p); err != nil {
		return fmt.Errorf("mix: %w", err)
	}
	d.showRecipe()
	return nil
}

func (d *design) showRecipe() {
	in, w, r := d.in, &d.r.Working, d.r.Recipe
	part := func(name, says, symbol, formula string, v quantity.Density, source sources.Key, from ...string) {
		w.Answer(working.Step{Name: name, Says: says, Symbol: symbol, Formula: formula, Value: quantity.Show(v, quantity.AsContent), From: from, Source: source})
	}
	part("cement", "all cementitious", "cm", "w / (w/cm)", r.Cementitious, sources.ACI211Tables, "water", "water_cement")
	if r.FlyAsh > 0 {
		part("fly_ash", "fly ash", "p", "share · cm", r.FlyAsh, sources.Arithmetic, "cement")
	}
	if r.Slag > 0 {
		part("slag", "slag", "s", "share · cm", r.Slag, sources.Arithmetic, "cement")
	}
	if r.SilicaFume > 0 {
		part("silica_fume", "silica fume", "", "share · cm", r.SilicaFume, sources.Arithmetic, "cement")
	}
	if r.Cement != r.Cementitious {
		part("portland", "Portland cement", "c", "cm less the others", r.Cement, sources.Arithmetic, "cement")
	}
	if in.Units == quantity.US || in.Cement.Given() {
		w.Answer(working.Step{Name: "sacks", Says: "the binder in sacks of 94 lb a yard", Formula: "cm / 94 lb", Source: sources.Definition,
			Value: quantity.Plain(Sacks(r.Cementitious), quantity.AsRatio), From: []string{"cement"}})
	}
	rodded := working.Given(w, "rodded", "DRUW", "dry-rodded density of the stone", in.Coarse.Rodded, quantity.AsDensity)
	part("coarse", "stone", "m_ca", "b · DRUW", r.Coarse, sources.ACI211Tables, "coarse_share", rodded)
	gravities := []string{working.Given(w, "stone_gravity", "G_ca", "relative density of the stone", in.Coarse.Gravity, ""),
		working.Given(w, "sand_gravity", "G_fa", "relative density of the sand", in.Sand.Gravity, "")}
	part("sand", "sand", "m_fa", "volume left over · G · density of water", r.Sand, sources.ACI211Tables,
		append([]string{"water", "cement", "coarse", "air"}, gravities...)...)
	w.Answer(working.Step{Name: "density", Says: "fresh concrete", Formula: "sum of the parts", Value: quantity.Show(r.Density, quantity.AsDensity),
		From: []string{"water", "cement", "coarse", "sand"}, Source: sources.Arithmetic})
	if fresh, err := d.tables.FreshDensity(d.r.Stone, d.r.Entrained); err == nil {
		d.r.WeightSand = WeightSand(fresh, r)
		w.Show(working.Step{Name: "sand_by_weight", Says: "sand by the weight method, a cross-check", Formula: "estimated fresh density less the rest",
			Value: quantity.Show(d.r.WeightSand, quantity.AsContent), From: []string{"water", "cement", "coarse"}, Source: sources.ACI211Weight})
	}
}

// moisture turns the recipe into batch masses.
func (d *design) moisture() (err error) {
	in, w, r := d.in, &d.r.Working, d.r.Recipe
	coarse := Aggregate{r.Coarse, float64(in.Coarse.Moisture.Value), float64(in.Coarse.Absorption.Value)}
	sand := Aggregate{r.Sand, float64(in.Sand.Moisture.Value), float64(in.Sand.Absorption.Value)}
	if d.r.Batch, err = BatchMasses(Basis(in.Basis.Value), r.Water, coarse, sand); err != nil {
		return fmt.Errorf("mix: %w", err)
	}
	from := []string{
		working.Given(w, "basis", "", "aggregate masses counted", in.Basis, ""),
		working.Given(w, "stone_moisture", "M", "moisture of the stone", in.Coarse.Moisture, quantity.AsPercent),
		working.Given(w, "stone_absorption", "a", "absorption of the stone", in.Coarse.Absorption, quantity.AsPercent),
		working.Given(w, "sand_moisture", "M", "moisture of the sand", in.Sand.Moisture, quantity.AsPercent),
		working.Given(w, "sand_absorption", "a", "absorption of the sand", in.Sand.Absorption, quantity.AsPercent),
	}
	for _, s := range []working.Step{
		{Name: "batch_coarse", Says: "stone to weigh, wet", Formula: "m (1 + M)", Value: quantity.Show(d.r.Batch.Coarse, quantity.AsContent), From: append([]string{"coarse"}, from[:3]...)},
		{Name: "batch_sand", Says: "sand to weigh, wet", Formula: "m (1 + M)", Value: quantity.Show(d.r.Batch.Sand, quantity.AsContent), From: append([]string{"sand"}, from[0], from[3], from[4])},
		{Name: "batch_water", Says: "water to add at the plant", Formula: "w - Σ m (M - a)", Value: quantity.Show(d.r.Batch.Water, quantity.AsContent), From: append([]string{"water", "coarse", "sand"}, from...)},
	} {
		s.Source = sources.ACI211Tables
		w.Show(s)
	}
	return nil
}
