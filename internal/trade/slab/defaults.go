package slab

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// year is a year of design life.
const year = quantity.Time(365.25 * 86400)

// Defaults are the starting guesses. What is absent here is either decided by the design (thickness), or follows from other
// answers (Filled), or is only used when somebody knows it (a plate test, a CBR, axles one by one).
func Defaults() Input {
	return Input{
		Vehicle:       known.Guess("travel trailer", "somebody parks a trailer on it until told otherwise", sources.OwnRule),
		JackPad:       known.Assume(quantity.Inches(12), quantity.Millimetres(75), quantity.Inches(18), "put a 12 in pad under each jack; a bare foot is 3 to 4 in", sources.CommonPractice),
		JackClearance: known.Assume(quantity.Inches(24), 0, quantity.Inches(48), "keep jacks 2 ft from edges and joints", sources.CommonPractice),
		JacksStay:     known.Guess(true, "a parked trailer stands on its jacks for months", sources.OwnRule),
		PadWidth:      known.Assume(quantity.Feet(12), quantity.Feet(9), quantity.Feet(24), "a usual pad: about 2 ft on both sides of a truck", sources.CommonPractice),
		Life:          known.Assume(20*year, 10*year, 40*year, "usual for outdoor flatwork", sources.CommonPractice),

		Soil:          known.Guess("clay or silt", "the weakest of the ordinary soils until somebody looks", sources.ACI330Support),
		ConeSoil:      known.Guess(coneOther, "the formula for all soils but the two clays", sources.ConePenetrometer),
		ConeHammer:    known.Assume(quantity.Mass(heavyHammer), lightHammer, heavyHammer, "the usual hammer", sources.ConePenetrometer),
		Base:          known.Guess(baseStone, "crushed stone", sources.CommonPractice),
		BaseThickness: known.Assume(quantity.Inches(4), quantity.Inches(3), quantity.Inches(8), "the usual bed under outdoor flatwork", sources.CommonPractice),
		BaseCompacted: known.Guess(true, "plated in lifts; not credited otherwise", sources.CommonPractice),

		Strength:    known.Assume(quantity.PSI(4000), quantity.PSI(3000), quantity.PSI(5000), "usual outdoor mix", sources.CommonPractice),
		Rupture:     known.Assume(quantity.Ratio(9), 7.5, 10, "pavement practice, between rounded and crushed stone", sources.ACI330Rupture),
		PostRupture: known.Assume(quantity.Ratio(7.5), 7.5, 9, "structural check", sources.ACI318Rupture),
		Expansion:   known.Assume(quantity.Ratio(10), 7, 13, "limestone 7, quartzite 13", sources.CommonPractice),
		SafetyPosts: known.Assume(quantity.Ratio(1.7), 1.7, 2, "standing loads that somebody looks at", sources.ACI360Factors),
		SafetyRare:  known.Assume(quantity.Ratio(rareSafety), rareSafety, dailySafety, "a wheel astray, and the worst hour of curling", sources.ACI360Factors),

		PanelLength:   known.Assume(quantity.Feet(12), quantity.Feet(8), quantity.Feet(15), "joints about every 12 ft", sources.CommonPractice),
		PanelWidth:    known.Assume(quantity.Feet(12), quantity.Feet(8), quantity.Feet(15), "square panels", sources.CommonPractice),
		Joint:         known.Guess(jointPlain, "half of the load crosses a saw cut without bars", sources.LoadTransferCurve),
		JointOpening:  known.Assume(quantity.Millimetres(2), 0, quantity.Millimetres(4), "a 12 ft panel in winter", sources.CommonPractice),
		DowelDiameter: known.Assume(quantity.Inches(0.75), quantity.Inches(0.625), quantity.Inches(1.25), "about an eighth of the slab", sources.CommonPractice),
		DowelSpacing:  known.Assume(quantity.Inches(12), quantity.Inches(12), quantity.Inches(18), "usual", sources.CommonPractice),
		DayWarm:       known.Assume(quantity.Of[quantity.TempDiff](15, "°F"), quantity.Of[quantity.TempDiff](10, "°F"), quantity.Of[quantity.TempDiff](20, "°F"), "2 1/2 °F per inch of a 6 in slab in the sun", sources.CommonPractice),
		BuiltInByDay:  known.Assume(quantity.Percent(0.5), 0, 1, "rain and shade undo half of it", sources.OwnRule),
		DawnCold:      known.Assume(quantity.Of[quantity.TempDiff](7.5, "°F"), quantity.Of[quantity.TempDiff](4, "°F"), quantity.Of[quantity.TempDiff](10, "°F"), "half of the day's", sources.CommonPractice),
		BuiltIn:       known.Assume(quantity.Of[quantity.TempDiff](10, "°F"), quantity.Of[quantity.TempDiff](9, "°F"), quantity.Of[quantity.TempDiff](21.6, "°F"), "drying from the top", sources.BuiltInCurl),

		Tolerance: known.Assume(quantity.Inches(0.25), 0, quantity.Inches(0.75), "a quarter inch thin in places", sources.CommonPractice),
		EdgeShare: known.Assume(quantity.Percent(0.06), 0.02, 0.5, "6 % of trucks run astray at the very edge", sources.PCAStreets),
		HotShare:  known.Assume(quantity.Percent(0.10), 0.02, 0.25, "two hot hours of a day's twenty", sources.OwnRule),
	}
}

// What may lie under the slab.
const (
	baseStone  = "stone"
	baseCement = "cement-treated"
	baseNone   = "none"
)

// What is taken for an axle or a post when it is typed without it.
var (
	axleGauge    = quantity.Feet(6)  // standard truck gauge
	axlePressure = quantity.PSI(100) // truck tyre
	axleSpacing  = quantity.Metres(1.2)
	postSpacing  = quantity.Metres(2)
)
