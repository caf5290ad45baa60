package cure

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// degree is one degree of angle in radians.
const degree = 0.017453292519943295

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

		Subgrade: defaultSubgrade(),

		StripAt:   known.Assume(quantity.MPa(3.5), quantity.MPa(2), quantity.MPa(5), "500 psi", sources.CommonPractice),
		FootAt:    known.Assume(quantity.MPa(3.5), quantity.MPa(2), quantity.MPa(5), "500 psi", sources.CommonPractice),
		CarAt:     known.Assume(quantity.MPa(17), quantity.MPa(14), quantity.MPa(21), "2,500 psi", sources.ACI330Opening),
		Parks:     known.Guess("trailer", "the heaviest thing parked on most outdoor slabs", sources.OwnRule),
		TrailerAt: known.Assume(quantity.MPa(20.7), quantity.MPa(17), quantity.MPa(24), "3,000 psi is widely asked for", sources.CommonPractice),

		Latitude:  known.Assume(quantity.Angle(40*degree), quantity.Angle(25*degree), quantity.Angle(49*degree), "middle of the country; moves the sun's strength", sources.OwnRule),
		WindShare: known.Assume[quantity.Ratio](0.48, 0.3, 1, "log law from 10 m to half a metre", sources.LogLaw),
		Base:      known.Assume(quantity.Inches(4), quantity.Inches(2), quantity.Inches(8), "usual compacted stone", sources.CommonPractice),
		Thorough:  known.Guess(false, "they are followed anyway where they govern freezing", sources.OwnRule),
		Tent:      known.Guess(false, "nobody said there is one", sources.OwnRule),
		TentAir:   known.Assume(quantity.Celsius(10), quantity.Celsius(7), quantity.Celsius(20), "what a vented heater keeps in a tent", sources.CommonPractice),
		Shade:     known.Assume[quantity.Ratio](0, 0, 0.8, "open to the sun", sources.OwnRule),

		Cementitious: known.Assume[quantity.Density](335, 280, 390, "six-bag mix", sources.CommonPractice),
		WaterCement:  known.Assume[quantity.Ratio](0.45, 0.40, 0.50, "usual outdoor mix", sources.CommonPractice),
		FlyAsh:       known.Assume[quantity.Percent](0, 0, 0.25, "ask the plant", sources.CommonPractice),
		FlyAshLime:   known.Assume[quantity.Percent](0.10, 0.05, 0.28, "class F ash", sources.CommonPractice),
		Slag:         known.Assume[quantity.Percent](0, 0, 0.40, "ask the plant", sources.CommonPractice),

		CoverValue: known.Assume[quantity.Insulation](0.25, 0.12, 0.35, "one curing blanket; wet or windblown it is half of that", sources.CommonPractice),

		Covers: known.Guess(false, "nobody said blankets are on site", sources.OwnRule),
		Salted: known.Guess(true, "cars bring salt in", sources.CommonPractice),
	}
}
