package pour

import (
	"math"

	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/hydration"
)

// Fresh, damp concrete under the sky. Sources: curing chapter's tables, recalled and common practice.
const (
	absorptance = 0.60
	emissivity  = 0.90
)

// relief is what a measure changes in the air over the slab and in the slab: shares of wind, sun and evaporation that are left,
// kelvin off the concrete at the chute.
type relief struct {
	wind, sun, drying, chill float64
}

var noRelief = relief{1, 1, 1, 0}

// sky is the air over the slab with the wind at slab height.
type sky = weather.Conditions

// evaporation is the water lost from a wet surface, kg/m²/s, never below zero: dew is not counted on.
func evaporation(surface float64, air sky, r relief) float64 {
	return math.Max(0, weather.EvaporationUno(surface, air.Air, air.Humidity, r.wind*air.Wind))
}

// prepareSlab sets up the slab whose heat is followed, on its base and clay: the deep ground as warm as the base.
func (j *job) prepareSlab() {
	ground := math.Max(thawed, j.ground)
	j.slab = hydration.Slab{Thickness: j.thickness, Base: j.in.Base.Value.Metres(), Concrete: hydration.Concrete, BaseIs: hydration.Gravel, Soil: hydration.Clay,
		Content: j.content, Curve: j.curve, Ground: ground, Deep: ground, Absorptance: absorptance, Emissivity: emissivity, Tables: hydration.NewTables(j.curve)}
}

// thawed is the coldest ground that heat is followed in, °C: a frozen base is refused by a check of its own.
const thawed = -0.5
