package heat

import (
	"slabwright/internal/engines/weather"
)

// Skin is how a face or its cover meets the weather.
type Skin struct {
	Absorptance float64 // of the sun
	Emissivity  float64
	Cover       float64 // resistance, m²K/W; 0: bare
	Wet         bool    // water stands on it or comes up
}

// Outdoors is the surface of a skin under the sky, wind at the height of the skin. Evaporation by Uno's form, never below zero,
// and none under a cover. Checked: CUR-55.
func Outdoors(c weather.Conditions, skin Skin) Surface {
	s := Surface{Absorbed: skin.Absorptance * c.Solar, Emissivity: skin.Emissivity, Sky: weather.SkyRadiation(c.Air, c.Dew, c.Cloud),
		Transfer: weather.Convection(c.Wind), Air: c.Air, Cover: skin.Cover}
	if skin.Wet && skin.Cover <= 0 {
		s.Drying.Factor, s.Drying.Air = weather.DryingUno(c.Air, c.Humidity, c.Wind)
	}
	return s
}
