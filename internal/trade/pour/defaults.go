package pour

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// degree is one degree of angle in radians.
const degree = 0.017453292519943295

// yardsAnHour is one cubic yard an hour, and metresAnHour one square metre an hour, in SI.
const (
	yardsAnHour  = 0.764554857984 / 3600
	metresAnHour = 1.0 / 3600
)

// Defaults is what is taken when nobody says otherwise. Area and thickness have no default; the longitude follows from the
// clock, the amount from area and thickness, the water from the cementitious, the bleed share from the kind of mix.
func Defaults() Input {
	return Input{
		Latitude: known.Assume[quantity.Angle](40*degree, 25*degree, 49*degree, "middle of the country; moves sunrise and the sun's strength", sources.OwnRule),
		Earliest: known.Assume(quantity.Hours(5), quantity.Hours(4), quantity.Hours(7), "plants load from about five", sources.CommonPractice),
		Latest:   known.Assume(quantity.Hours(15), quantity.Hours(12), quantity.Hours(17), "plants load the last trucks in the afternoon", sources.CommonPractice),

		WindHeight: known.Assume(quantity.Metres(10), quantity.Metres(2), quantity.Metres(10), "airports and forecasts give wind at 10 m (33 ft)", sources.WMO8),

		Base: known.Assume(quantity.Inches(4), quantity.Inches(2), quantity.Inches(8), "usual compacted stone", sources.CommonPractice),

		PlacingRate: known.Assume(quantity.VolumeRate(12*yardsAnHour), quantity.VolumeRate(6*yardsAnHour), quantity.VolumeRate(20*yardsAnHour),
			"a crew of four off the chute", sources.CommonPractice),
		Finishers: known.Assume[quantity.Number](2, 1, 4, "a crew of four: two place while two finish", sources.CommonPractice),
		FinishRate: known.Assume(quantity.AreaRate(15*metresAnHour), quantity.AreaRate(12*metresAnHour), quantity.AreaRate(30*metresAnHour),
			"edge, float once and broom by hand", sources.CommonPractice),

		Team:     defaultTeam(),
		Rehearse: known.Guess(false, "costs some tenths of a second", sources.OwnRule),

		Strength:     known.Assume(quantity.PSI(4000), quantity.PSI(3500), quantity.PSI(4500), "usual outdoor order", sources.CommonPractice),
		Cement:       known.Guess(hydration.DefaultCement, "what plants carry", sources.CommonPractice),
		Cementitious: known.Assume[quantity.Density](335, 280, 390, "six-bag mix", sources.CommonPractice),
		WaterCement:  known.Assume[quantity.Ratio](0.45, 0.40, 0.50, "usual outdoor mix", sources.CommonPractice),
		FlyAsh:       known.Assume[quantity.Percent](0, 0, 0.25, "ask the plant", sources.CommonPractice),
		FlyAshLime:   known.Assume[quantity.Percent](0.10, 0.05, 0.28, "class F ash", sources.CommonPractice),
		Slag:         known.Assume[quantity.Percent](0, 0, 0.40, "ask the plant", sources.CommonPractice),
		SilicaFume:   known.Assume[quantity.Percent](0, 0, 0.08, "rare in flatwork", sources.CommonPractice),
		Air:          known.Assume[quantity.Percent](0.06, 0.02, 0.07, "usual outdoors where it freezes", sources.CommonPractice),
		SetShift:     known.Assume(quantity.Hours(0), quantity.Hours(-2), quantity.Hours(2), "no retarder, no accelerator", sources.CommonPractice),

		OverAir:  known.Assume[quantity.TempDiff](3, 0, 6, "cement heat and the ride", sources.CommonPractice),
		Coldest:  known.Assume(quantity.Celsius(16), quantity.Celsius(13), quantity.Celsius(18), "the plant heats water in the cold", sources.ACI306Table),
		HotLimit: known.Assume(quantity.Celsius(35), quantity.Celsius(32), quantity.Celsius(35), "95 °F; many job specifications say 90 °F", sources.ACI305R),
		TentAir:  known.Assume(quantity.Celsius(15), quantity.Celsius(10), quantity.Celsius(25), "what a vented heater keeps in a tent", sources.CommonPractice),
		Shade:    known.Assume[quantity.Ratio](0, 0, 0.8, "open to the sun", sources.OwnRule),
		Frozen:   known.Guess(false, "look before the truck is called", sources.OwnRule),
		Covers:   known.Guess(false, "nobody said blankets are on site", sources.OwnRule),

		BleedTime:   known.Assume(quantity.Hours(1), quantity.Hours(0.5), quantity.Hours(2), "order of bleeding tests", sources.ASTMC232),
		ForecastAge: known.Assume(quantity.Hours(6), quantity.Hours(3), quantity.Hours(12), "forecasts are renewed about every six hours", sources.OwnRule),
	}
}

// bleedShare is the share of mixing water that bleeds, by kind of mix.
func (k mixKind) bleedShare() known.Ratio {
	r := bleedShares[k]
	return known.Assume[quantity.Ratio](quantity.Ratio(r.share), 0, 0.06, r.says, sources.ASTMC232)
}

var bleedShares = map[mixKind]struct {
	share float64
	says  string
}{
	plain:      {0.03, "plain mix"},
	airy:       {0.02, "air-entrained mix"},
	lowBleed:   {0.01, "low w/cm or much fly ash or slag"},
	silicaFume: {0.003, "silica fume"},
}
