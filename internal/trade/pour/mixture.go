package pour

import (
	"errors"
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// mixKind is how a mix bleeds.
type mixKind string

const (
	plain      mixKind = "plain"
	airy       mixKind = "air-entrained"
	lowBleed   mixKind = "low-bleed"
	silicaFume mixKind = "silica fume"
)

// The borders between the kinds.
const (
	airyFrom     = 0.035 // air
	heavyScmFrom = 0.20  // fly ash and slag
	lowWaterTo   = 0.42  // w/cm
)

func kindOf(air, ashAndSlag, fume, waterCement float64) mixKind {
	switch {
	case fume > 0:
		return silicaFume
	case ashAndSlag > heavyScmFrom || waterCement < lowWaterTo:
		return lowBleed
	case air >= airyFrom:
		return airy
	}
	return plain
}

// dryingLimit is the evaporation from which precautions are asked for, kg/m²/h.
type dryingLimit struct {
	limit  float64
	source sources.Key
}

var dryingLimits = map[mixKind]dryingLimit{
	plain:      {1.0, sources.ACI305Trigger},
	airy:       {1.0, sources.ACI305Trigger},
	lowBleed:   {0.75, sources.LowBleedAdvice},
	silicaFume: {0.5, sources.SilicaFumeGuide},
}

// adviseFrom is the evaporation from which any mix deserves care, and mildest the strictest limit published for any, kg/m²/h.
const (
	adviseFrom = 0.5
	mildest    = 0.25
)

// Parts is what goes into the mixer: dry masses and the temperature of each. Any unit of mass, one for all.
type Parts struct {
	Aggregate, Cement, Water, Moisture, Ice            float64
	AggregateTemp, CementTemp, WaterTemp, MoistureTemp float64 // °C
}

// The shares of ice in the mixing water: the equation holds below the first and is refused above the second.
const (
	iceWarn   = 0.20
	iceRefuse = 0.50
)

// solids is the specific heat of stone and cement as a share of water's, iceHeat the heat to melt ice over that of water, K.
const (
	solids  = 0.22
	iceHeat = 79.6
)

// MixtureTemp is the temperature of fresh concrete, °C.
//
//	T = [0.22(Ta·Wa + Tc·Wc) + Tw·Ww + Twa·Wwa − 79.6·Wi] / [0.22(Wa + Wc) + Ww + Wi + Wwa]
//
// Source: ACI 305R eq., recalled. A published comparison finds it too low and to be used with at most 20 % of the
// mixing water as ice: above 50 % it is refused, as is frozen aggregate. Checked: CUR-43, CUR-44, CUR-45.
func MixtureTemp(p Parts) (float64, error) {
	if err := p.validate(); err != nil {
		return 0, err
	}
	heat := solids*(p.AggregateTemp*p.Aggregate+p.CementTemp*p.Cement) + p.WaterTemp*p.Water + p.MoistureTemp*p.Moisture - iceHeat*p.Ice
	return heat / p.capacity(), nil
}

func (p Parts) capacity() float64 {
	return solids*(p.Aggregate+p.Cement) + p.Water + p.Ice + p.Moisture
}

// iceShare is the share of ice in all the water.
func (p Parts) iceShare() float64 {
	if p.Ice <= 0 {
		return 0
	}
	return p.Ice / (p.Water + p.Moisture + p.Ice)
}

func (p Parts) validate() error {
	if !quantity.Finite(p.Aggregate, p.Cement, p.Water, p.Moisture, p.Ice, p.AggregateTemp, p.CementTemp, p.WaterTemp, p.MoistureTemp) {
		return errors.New("pour: a mass or temperature is not a number")
	}
	switch {
	case p.Aggregate < 0 || p.Cement < 0 || p.Water < 0 || p.Moisture < 0 || p.Ice < 0 || p.capacity() <= 0:
		return errors.New("pour: masses of a mix are above zero")
	case p.AggregateTemp < 0 || p.MoistureTemp < 0:
		return fmt.Errorf("pour: aggregate at %.0f °C holds ice in its moisture; thaw it or ask the plant", min(p.AggregateTemp, p.MoistureTemp))
	case p.iceShare() > iceRefuse:
		return fmt.Errorf("pour: %.0f %% of the water as ice; the rule is good to 20 %% and wrong above 50 %%", 100*p.iceShare())
	}
	return nil
}

// Drum is how a load travels.
type Drum string

// The ways to travel.
const (
	Mixer       Drum = "drum"
	CoveredDump Drum = "covered dump"
	OpenDump    Drum = "open dump"
)

// transitLoss is the share of the difference to the air lost in an hour.
var transitLoss = map[Drum]float64{Mixer: 0.25, CoveredDump: 0.10, OpenDump: 0.20}

// TransitLoss is how many kelvin a load loses on the road.
//
//	ΔT = 0.25 (Tr − Ta) t      drum; 0.10 covered dump, 0.20 open dump; t in hours
//
// Source: ACI 306R, recalled.
func TransitLoss(concrete, air, hours float64, by Drum) (float64, error) {
	share, ok := transitLoss[by]
	if !ok {
		return 0, fmt.Errorf("pour: a load travels by drum, covered dump or open dump, not by %q", by)
	}
	if !(hours >= 0 && hours <= 4) {
		return 0, fmt.Errorf("pour: %v h on the road; a load lives about two", hours)
	}
	return share * (concrete - air) * hours, nil
}

// ColdRule is what the cold asks of a section, °C and K.
type ColdRule struct {
	Thinner float64    // sections thinner than this, m
	Placed  float64    // least as placed and kept
	Mixed   [3]float64 // least as mixed: air above −1 °C, −18 to −1 °C, below −18 °C
	Drop    float64    // most it may cool in the 24 h after protection ends
	Source  sources.Key
}

// coldRules by least dimension of the section.
var coldRules = []ColdRule{
	{0.300, 13, [3]float64{16, 18, 21}, 28, sources.ACI306Table},
	{0.900, 10, [3]float64{13, 16, 18}, 22, sources.ACI306Table},
	{1.800, 7, [3]float64{10, 13, 16}, 17, sources.ACI306Wide},
	{1e9, 5, [3]float64{7, 10, 13}, 11, sources.ACI306Wide},
}

// ColdRuleFor finds the rule for a thickness in metres.
func ColdRuleFor(thickness float64) ColdRule {
	for _, r := range coldRules {
		if thickness < r.Thinner {
			return r
		}
	}
	return coldRules[len(coldRules)-1]
}

// MixedAt is the least temperature as mixed in air at a temperature, °C.
func (r ColdRule) MixedAt(air float64) float64 {
	switch {
	case air > -1:
		return r.Mixed[0]
	case air >= -18:
		return r.Mixed[1]
	}
	return r.Mixed[2]
}
