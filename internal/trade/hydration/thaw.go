package hydration

import (
	"errors"
	"math"

	"slabwright/internal/engines/heat"
)

// Thaw is frozen ground being thawed before anything is placed on it.
type Thaw struct {
	Base     float64 // of compacted stone on it, m
	BaseIs   Material
	Soil     Material
	Depth    float64 // frozen, from the top, m
	Ground   float64 // of what is frozen, °C
	Deep     float64 // °C
	Inside   float64 // air kept over it, °C
	Blanket  float64 // resistance laid on it, m²K/W
	Transfer float64 // of the air to what it touches, W/m²K
}

// longestThaw is how long a thaw is followed, h.
const longestThaw = 30 * 24.0

// Hours is how long until no ice is left; infinite when it takes more than thirty days.
func (t Thaw) Hours() (float64, error) {
	if !(t.Depth > 0 && t.Depth < followed-1 && t.Base >= 0 && t.Base < 1 && t.Ground < 0 && t.Ground > -30 && t.Transfer > 0 && t.Blanket >= 0) {
		return 0, errors.New("hydration: frozen ground is some depth below 0 °C, and air moves over it")
	}
	layers := []heat.Layer{{Thickness: followed - t.Base, Conductivity: t.Soil.Conductivity, Capacity: t.Soil.Capacity, Cell: largestBase, Growth: soilGrowth, Largest: largestSoil, Latent: iceHeat * t.Soil.Water}}
	if t.Base > 0 {
		layers = append([]heat.Layer{{Thickness: t.Base, Conductivity: t.BaseIs.Conductivity, Capacity: t.BaseIs.Capacity, Cell: largestBase, Latent: iceHeat * t.BaseIs.Water}}, layers...)
	}
	body, err := heat.NewBody(layers, func(depth float64) float64 {
		if depth < t.Depth {
			return t.Ground
		}
		return math.Max(0.5, t.Deep*math.Min(1, (depth-t.Depth)/turning))
	}, math.Max(0.5, t.Deep))
	if err != nil {
		return 0, err
	}
	over := heat.Surface{Transfer: t.Transfer, Air: t.Inside, Cover: t.Blanket}
	for h := 1.0; h <= longestThaw; h++ {
		if err := body.March(3600*(h-1), 3600*h, heat.Even(600), nil, func(_, _ float64) heat.Surface { return over }, nil, nil); err != nil {
			return 0, err
		}
		if body.Frozen() < 1e-6 {
			return h, nil
		}
	}
	return math.Inf(1), nil
}
