package cure

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Defaults is what is taken when nobody says otherwise. The day of the pour has no default: without it ages are given instead
// of dates.
func Defaults() Input {
	return Input{
		LaterAir:   known.Assume(quantity.Celsius(15), quantity.Celsius(5), quantity.Celsius(25), "mild season; the forecast's own mean is taken when it covers a day", sources.OwnRule),
		LaterBand:  known.Assume[quantity.TempDiff](5, 3, 8, "weeks differ", sources.CommonPractice),
		LaterSwing: known.Assume[quantity.TempDiff](5, 3, 9, "days and nights", sources.CommonPractice),

		Strength: known.Assume(quantity.PSI(4000), quantity.PSI(3500), quantity.PSI(4500), "usual outdoor order", sources.CommonPractice),
		Ultimate: known.Assume[quantity.Ratio](hydration.DefaultUltimate, 1.0, 1.4, "ordinary mix", sources.CommonPractice),
		Rate:     known.Assume[quantity.Ratio](hydration.DefaultRate, 0.15, 0.35, "ordinary Type I/II mix", sources.CommonPractice),
		Begins:   known.Assume(quantity.Days(hydration.DefaultStart), quantity.Hours(4), quantity.Hours(10), "about final set", sources.CommonPractice),
		Energy:   known.Assume(quantity.Energy(hydration.StrengthEnergy), 33500, 45000, "usual for Type I/II; 33.5 to 45 kJ/mol are in use", sources.ASTMC1074),
		Spread:   known.Assume[quantity.Percent](0.10, 0.05, 0.20, "the curve is drawn on the strength ordered, which nine tests in ten pass; the rest is for the slab against its cylinders", sources.OwnRule),
		Cement:   known.Guess(hydration.DefaultCement, "what plants carry", sources.CommonPractice),

		FinalSet:  known.Assume(quantity.Hours(7), quantity.Hours(4), quantity.Hours(13), "70 °F: 6 to 8 h", sources.CommonPractice),
		SawAt:     known.Assume(quantity.MPa(3.5), quantity.MPa(2), quantity.MPa(7), "soft stone 2, hard gravel up to 7 MPa", sources.FHWASaw),
		EarlyAt:   known.Assume(quantity.MPa(1.0), quantity.MPa(0.7), quantity.MPa(1.4), "about final set", sources.FHWAEarlyEntry),
		Restraint: known.Assume[quantity.Ratio](0.2, 0.05, 0.6, "on stone, joints to come; 0.4 to 0.6 against a wall", sources.CommonPractice),
		Thickness: known.Assume(quantity.Inches(5), quantity.Inches(4), quantity.Inches(8), "usual outdoor slab", sources.CommonPractice),

		StripAt:   known.Assume(quantity.MPa(3.5), quantity.MPa(2), quantity.MPa(5), "500 psi", sources.CommonPractice),
		FootAt:    known.Assume(quantity.MPa(3.5), quantity.MPa(2), quantity.MPa(5), "500 psi", sources.CommonPractice),
		CarAt:     known.Assume(quantity.MPa(17), quantity.MPa(14), quantity.MPa(21), "2,500 psi", sources.ACI330Opening),
		TrailerAt: known.Assume(quantity.MPa(20.7), quantity.MPa(17), quantity.MPa(24), "3,000 psi is widely asked for", sources.CommonPractice),

		Covers: known.Guess(false, "nobody said blankets are on site", sources.OwnRule),
		Salted: known.Guess(true, "cars bring salt in", sources.CommonPractice),
	}
}
