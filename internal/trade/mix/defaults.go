package mix

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/spoken"
)

// Defaults is what is assumed until somebody says otherwise: a vehicle slab where it freezes, and ordinary materials.
func Defaults() Input {
	pct := func(v, low, high float64, why string) known.Percent {
		return known.Assume(quantity.Percent(v/100), quantity.Percent(low/100), quantity.Percent(high/100), why, sources.CommonPractice)
	}
	return Input{
		Code:       known.Guess(ACI332, "the residential concrete code with a rule for outdoor slabs", sources.ACI332Exterior),
		Freezing:   known.Guess(true, "frost is taken as given until the place is known", sources.OwnRule),
		Deicers:    known.Guess(true, "salt reaches most outdoor slabs sooner or later", sources.CommonPractice),
		Vehicles:   known.Guess(true, "most outdoor slabs see a car, and cars bring salt", sources.CommonPractice),
		Structural: known.Guess(false, "a slab on ground seldom carries the building", sources.CommonPractice),
		Reinforced: known.Guess(false, "bars in a slab on ground mostly hold cracks, they carry nothing", sources.CommonPractice),
		Sulphate:   known.Guess("S0", "most soils hold little sulfate; a soil report tells", sources.CommonPractice),
		Strength: known.Assume(quantity.PSI(4000), quantity.PSI(3000), quantity.PSI(4500),
			"usual for outdoor slabs", sources.CommonPractice),
		Slump: known.Assume(spoken.Slump(quantity.Inches(4)), spoken.Slump(quantity.Inches(3)), spoken.Slump(quantity.Inches(5)), "usual slump for flatwork is 3 to 5 in", sources.NRMCAOrdering),
		Stone: known.Guess(spoken.Stone{Size: quantity.Inches(0.75), Name: "3/4 in"}, "the plant's usual stone", sources.CommonPractice),

		CementType:     known.Guess("I", "ordinary cement", sources.CommonPractice),
		FlyAsh:         pct(0, 0, 25, "not named"),
		Slag:           pct(0, 0, 50, "not named"),
		SilicaFume:     pct(0, 0, 10, "not named"),
		WaterReduction: pct(0, 0, 10, "no admixture named; a water reducer saves 5 to 10 %"),
		AddedWater: known.Assume(quantity.Of[quantity.Density](1, "gal/yd3"), 0, quantity.Of[quantity.Density](3, "gal/yd3"),
			"what a driver is usually asked for", sources.CommonPractice),

		Coarse: Stones{
			Gravity:    known.Assume[quantity.Ratio](2.68, 2.5, 2.8, "ordinary stone", sources.CommonPractice),
			Rodded:     known.Assume(quantity.Of[quantity.Density](100, "lb/ft3"), quantity.Of[quantity.Density](90, "lb/ft3"), quantity.Of[quantity.Density](110, "lb/ft3"), "ordinary stone", sources.CommonPractice),
			Absorption: pct(0.5, 0.2, 2, "ordinary stone"),
			Moisture:   pct(2, 0, 4, "stockpile in the open"),
			Rounded:    known.Guess(false, "crushed stone", sources.CommonPractice),
		},
		Sand: SandInput{
			Gravity:    known.Assume[quantity.Ratio](2.64, 2.5, 2.75, "ordinary sand", sources.CommonPractice),
			Fineness:   known.Assume[quantity.Ratio](2.7, 2.4, 3.0, "ordinary concrete sand", sources.CommonPractice),
			Absorption: pct(0.7, 0.3, 2, "ordinary sand"),
			Moisture:   pct(6, 2, 8, "stockpile in the open"),
		},
		Basis: known.Guess(string(Dry), "as the proportioning tables count", sources.ACI211Tables),
	}
}

// defaultStep is the step in which plants offer strengths: 500 psi, or 1 MPa.
func defaultStep(s quantity.System) known.Stress {
	step := quantity.PSI(500)
	if s == quantity.Metric {
		step = quantity.MPa(1)
	}
	return known.Assume(step, step/5, 2*step, "strengths come in such steps", sources.CommonPractice)
}
