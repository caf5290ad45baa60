package pour

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/hydration"
)

// frozen says whether the ground is frozen: said, or told by a depth or a temperature below freezing.
func (j job) frozen() bool {
	return j.in.Frozen.Value || j.in.FrostDepth.Given() || j.in.GroundTemp.Given() && j.in.GroundTemp.Value < 0
}

// Thawing: how deep frozen ground is taken where nobody said, m; how cold; what lies deeper, °C; the air in a tent gives its heat by
// still air and by its walls, W/m²K. Common practice.
const (
	usualFrost  = 0.15
	frostCold   = -2.0
	underFrost  = 5.0
	tentWarming = 11.0
	openWarming = 20.0
)

// thawing says how long the ground takes to thaw in a heated tent, and in the air as forecast.
func (j job) thawing() []string {
	depth := usualFrost
	if j.in.FrostDepth.Given() {
		depth = j.in.FrostDepth.Value.Metres()
	}
	t := hydration.Thaw{Base: j.in.Base.Value.Metres(), BaseIs: hydration.Gravel, Soil: hydration.Clay, Depth: depth, Ground: frostCold, Deep: underFrost,
		Inside: j.in.TentAir.Value.Celsius(), Transfer: tentWarming}
	show := func(c float64) string { return j.show(quantity.Plain(c, quantity.AsTemp)) }
	then := []string{"Thaw it through, prove it with a rod, compact it again, and keep it warm until the concrete is on it."}
	deep := j.show(quantity.Plain(depth, quantity.AsThickness))
	if h, err := t.Hours(); err == nil {
		then = append(then, fmt.Sprintf("A heated tent at %s, vented outside, thaws %s in about %s.", show(t.Inside), deep, daysWords(h)))
	}
	if mean, ok := j.meanAir(); ok {
		t.Inside, t.Transfer = mean, openWarming
		words := fmt.Sprintf("Air as forecast, %s on average, does not thaw it.", show(mean))
		if h, err := t.Hours(); err == nil && mean > 0 && !math.IsInf(h, 1) {
			words = fmt.Sprintf("Air as forecast, %s on average, thaws it in about %s.", show(mean), daysWords(h))
		}
		then = append(then, words)
	}
	return then
}

// daysWords writes hours as people wait them out.
func daysWords(h float64) string {
	switch {
	case math.IsInf(h, 1):
		return "more than 30 days"
	case h <= 36:
		return fmt.Sprintf("%.0f h", h)
	}
	return fmt.Sprintf("%.0f days", math.Ceil(h/24))
}

// meanAir is the mean air of the forecast.
func (j job) meanAir() (float64, bool) {
	sum, n := 0.0, 0.0
	for _, t := range j.forecast.Times() {
		if air, err := j.forecast.At(t); err == nil {
			sum, n = sum+air.Air, n+1
		}
	}
	return sum / math.Max(1, n), n > 0
}

// shaded is the sky under what keeps the sun off.
func (j job) shaded(c weather.Conditions) weather.Conditions {
	c.Solar *= 1 - float64(j.in.Shade.Value)
	return c
}
