package hold

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Defaults are the starting guesses, for running this question alone; in a plan the slab stage gives most of them.
func Defaults() Input {
	kelvin := func(v float64) quantity.TempDiff { return quantity.TempDiff(v) }
	return Input{
		Tolerance:       known.Assume(quantity.Inches(0.25), 0, quantity.Inches(0.75), "a quarter inch thin in places", sources.CommonPractice),
		Elasticity:      known.Assume(quantity.PSI(3.6e6), quantity.PSI(3.1e6), quantity.PSI(4.2e6), "57 000 √f'c for 4,000 psi", sources.ACI318Modulus),
		Flexural:        known.Assume(quantity.PSI(569), quantity.PSI(500), quantity.PSI(660), "9 √f'c for 4,000 psi", sources.ACI330Rupture),
		PostFlexural:    known.Assume(quantity.PSI(474), quantity.PSI(430), quantity.PSI(570), "7.5 √f'c for 4,000 psi", sources.ACI318Rupture),
		JointStiffness:  known.Assume(quantity.Ratio(1.24), 0, 10, "half of the sinking crosses a saw cut without bars", sources.LoadTransferCurve),
		Expansion:       known.Assume(quantity.Ratio(10), 7, 13, "limestone 7, quartzite 13", sources.CommonPractice),
		DayWarm:         known.Assume(kelvin(5.6), 0, kelvin(11), "a hot afternoon less half of what is built in", sources.OwnRule),
		DawnCold:        known.Assume(kelvin(9.7), kelvin(7), kelvin(17), "a winter dawn with what is built in", sources.BuiltInCurl),
		SafetyWheels:    known.Assume(quantity.Ratio(1.7), 1.4, 2, "comes every day", sources.ACI360Factors),
		SafetyPosts:     known.Assume(quantity.Ratio(2), 1.7, 2, "jacks stay down for months", sources.ACI360Factors),
		SafetyRare:      known.Assume(quantity.Ratio(1.4), 1.4, 1.7, "a wheel astray, and the worst hour of curling", sources.ACI360Factors),
		WheelClearance:  known.Assume(quantity.Inches(24), 0, quantity.Inches(36), "wheels about 2 ft inside the long edges", sources.OwnRule),
		JackClearance:   known.Assume(quantity.Inches(24), 0, quantity.Inches(48), "keep jacks 2 ft from edges and joints", sources.CommonPractice),
		Finest:          known.Guess(true, "say how far the mesh can be trusted", sources.OwnRule),
		InfluencePlaces: known.Guess(true, "draw what the vehicle does at every place", sources.OwnRule),
	}
}
