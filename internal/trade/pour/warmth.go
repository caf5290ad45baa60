package pour

import (
	"math"

	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/hydration"
)

// What a fresh slab and the base under it are made of. Sources: curing chapter's tables, recalled and common practice.
const (
	heatCapacity  = 2.3e6  // ρc of concrete, J/m³K
	conductivity  = 2.0    // k of concrete, W/mK
	absorptance   = 0.60   // of fresh, damp concrete
	emissivity    = 0.90   // of concrete
	latentHeat    = 2.45e6 // of water, J/kg
	baseEffusance = 1432.0 // √(kρc) of compacted gravel, W√s/m²K: k 1.2, ρc 1.71e6
)

// relief is what a measure changes in the air over the slab and in the slab: factors on wind, sun and evaporation, kelvin
// off the concrete at the chute.
type relief struct {
	wind, sun, film, chill float64
}

var noRelief = relief{1, 1, 1, 0}

// lump is a slab taken as one piece of even temperature with a parabola through its depth: good enough to place the set
// within the hour, not for stresses.
//
//	ρc h dT/dt = q_top(Ts) − e(T − Tg)/√(πt) + Q h       Ts = T + q_top h/3k
//	q_top = aG + ε(L↓ − σTs⁴) − hc(Ts − Ta) − Lv E(Ts)
//
// T mean, Ts surface; e effusivity of the base, t since placing; Q heat of hydration. Within 2.5 K of the fine reference
// solution of two real days (see TestLumpAgainstTheFineSolution).
type lump struct {
	thickness, content, ground float64
	curve                      hydration.Curve
	mean, surface              float64 // °C
	meanAge, surfaceAge        float64 // hydration clock, h
	elapsed                    float64 // s
}

func newLump(thickness, content, ground, temp float64, curve hydration.Curve) *lump {
	return &lump{thickness: thickness, content: content, ground: ground, curve: curve, mean: temp, surface: temp}
}

// sky is the air over the slab with the wind at slab height.
type sky = weather.Conditions

// evaporation is the water lost from a wet surface, kg/m²/s, never below zero: dew is not counted on.
func evaporation(surface float64, air sky, r relief) float64 {
	return r.film * math.Max(0, weather.EvaporationUno(surface, air.Air, air.Humidity, r.wind*air.Wind))
}

// heatIn is the heat entering a surface at a temperature, W/m².
func heatIn(surface float64, air sky, wet bool, r relief) float64 {
	q := absorptance*r.sun*air.Solar + emissivity*(weather.SkyRadiation(air.Air, air.Dew, air.Cloud)-
		weather.StefanBoltzmann*math.Pow(surface+weather.Kelvin, 4)) - weather.Convection(r.wind*air.Wind)*(surface-air.Air)
	if wet {
		q -= latentHeat * evaporation(surface, air, r)
	}
	return q
}

// settle finds the surface temperature that goes with the mean, by Newton's rule; the balance falls steadily with the
// surface temperature, so three rounds are enough for 0.01 K.
func (l *lump) settle(air sky, wet bool, r relief) float64 {
	const step = 0.01
	depth := l.thickness / (3 * conductivity)
	for range 3 {
		q := heatIn(l.surface, air, wet, r)
		slope := (heatIn(l.surface+step, air, wet, r) - q) / step
		l.surface -= (l.surface - l.mean - q*depth) / (1 - slope*depth)
	}
	return heatIn(l.surface, air, wet, r)
}

// step moves the slab on by seconds. air is the air in the middle of the step.
func (l *lump) step(air sky, wet bool, r relief, seconds float64) {
	in := l.settle(air, wet, r)
	toBase := 2 * baseEffusance * (l.mean - l.ground) / math.SqrtPi * (math.Sqrt(l.elapsed+seconds) - math.Sqrt(l.elapsed)) / seconds
	warm := l.curve.HeatRate(l.meanAge, l.mean, l.content) * l.thickness
	hours := seconds / 3600
	l.meanAge += hours * hydration.AgeFactor(l.mean, l.curve.Energy, hydration.HydrationRef)
	l.surfaceAge += hours * hydration.AgeFactor(l.surface, l.curve.Energy, hydration.HydrationRef)
	l.mean += (in - toBase + warm) * seconds / (heatCapacity * l.thickness)
	l.elapsed += seconds
}
