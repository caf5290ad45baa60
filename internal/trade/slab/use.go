package slab

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Filled is the input with the guesses that depend on other answers: how often the vehicle comes, how far its wheels stay
// from the long edges, and the safety factor that so many passes ask for. What was said stays.
func (in Input) Filled() Input {
	v, ok := findVehicle(in.Vehicle.Value)
	if !in.Vehicle.Given() || !ok {
		v = vehicle{passes: typedPasses, comes: "on and off twice a week"}
	}
	if !in.Passes.Given() {
		in.Passes = known.Assume(weekly(v.passes), weekly(v.passes/4), weekly(7*v.passes), v.comes, sources.OwnRule)
	}
	if !in.EdgeClearance.Given() && in.PadWidth.Given() {
		wide := overTyres(findLoads(in).wheels)
		beside := max(0, (in.PadWidth.Value-wide)/2)
		in.EdgeClearance = known.Assume(beside, 0, beside+quantity.Inches(12),
			fmt.Sprintf("half of what a pad %s wide leaves beside %s of vehicle; passes astray are counted apart", show(in.PadWidth.Value, in.Units), show(wide, in.Units)), sources.OwnRule)
	}
	if !in.SafetyWheels.Given() && in.Passes.Given() {
		often := perWeek(in.Passes.Value)
		in.SafetyWheels = known.Assume(quantity.Ratio(useSafety(often)), rareSafety, frequentSafety, useWords(often), sources.ACI360Factors)
	}
	return in
}

func weekly(n float64) quantity.Frequency { return quantity.Of[quantity.Frequency](n, "1/wk") }

func perWeek(f quantity.Frequency) float64 { return float64(f / weekly(1)) }

// typedPasses is how often axles come that were typed in without a vehicle, a week.
const typedPasses = 4.0

// Safety factors under wheels: 1.4 to 1.7 for loads that come now and then, 1.7 to 2.0 for frequent ones (ACI 360R and PCA,
// recalled).
const (
	rareSafety     = 1.4
	dailySafety    = 1.7
	frequentSafety = 2.0
)

// How many passes a week are now and then, daily, and frequent without doubt: our rule.
const (
	nowAndThen   = 1.0
	daily        = 7.0
	tenTimesADay = 70.0
)

// useSafety is the safety factor on the modulus of rupture under wheels that come so many times a week.
//
//	1.4 up to once a week, 1.7 at once a day, 2.0 from ten times a day; between them by the logarithm of the passes
//
// The three factors are ACI 360R's and PCA's ends of "occasional" and "frequent" (recalled); which passes are which, and the
// line between, is our rule. Fatigue is judged beside it, pass by pass. Checked: SLAB-26 to SLAB-29.
func useSafety(passes float64) float64 {
	between := func(a, fa, b, fb float64) float64 { return fa + (fb-fa)*math.Log(passes/a)/math.Log(b/a) }
	switch {
	case passes <= nowAndThen:
		return rareSafety
	case passes <= daily:
		return between(nowAndThen, rareSafety, daily, dailySafety)
	case passes < tenTimesADay:
		return between(daily, dailySafety, tenTimesADay, frequentSafety)
	}
	return frequentSafety
}

func useWords(passes float64) string {
	switch {
	case passes < daily:
		return "comes less than once a day: occasional, 1.4 to 1.7"
	case passes < tenTimesADay:
		return "comes every day: frequent, 1.7 to 2"
	}
	return "comes ten times a day or more: frequent, 2"
}

// overTyres is how wide a vehicle is over its tyres.
func overTyres(wheels []Contact) quantity.Length {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range wheels {
		low, high = math.Min(low, c.At.Y-c.Wide.Metres()/2), math.Max(high, c.At.Y+c.Wide.Metres()/2)
	}
	return quantity.Length(math.Max(high-low, 0))
}
