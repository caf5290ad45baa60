package hydration

import (
	"errors"
	"fmt"
	"math"

	"slabwright/internal/engines/heat"
	"slabwright/internal/engines/weather"
)

// Material is what a layer conducts and stores.
type Material struct {
	Conductivity float64 // W/mK
	Capacity     float64 // ρc, J/m³K
	Water        float64 // that freezes, kg/m³
}

// The usual materials. Sources: recalled and common practice; k of concrete 1.4–3.0, of gravel 0.7–1.8, of clay 0.8–1.8. Water that
// freezes: 5 % of gravel's mass, 15 of moist clay's, 12 of wet sand's; of the concrete's own none is counted.
var (
	Concrete = Material{2.0, 2300 * 1000, 0}
	Gravel   = Material{1.2, 1900 * 900, 90}
	Clay     = Material{1.3, 1800 * 1200, 235}
	DrySand  = Material{0.4, 1600 * 840, 0}
	WetSand  = Material{1.5, 1800 * 1100, 190}
	Topsoil  = Material{0.5, 1200 * 1500, 240}
)

// iceHeat is the heat of freezing of water, J/kg.
const iceHeat = 334e3

// Cover is something over the slab for a while; hours after placing. A blanket lies on it with its resistance, m²K/W; a tent stands over
// it, its air kept at Inside, °C, out of sun and wind.
type Cover struct {
	On, Off, Resistance float64
	Tent                bool
	Inside              float64
}

// Slab is a young slab on its base and soil, ready to be followed. Hours are after placing.
type Slab struct {
	Thickness   float64 // m
	Base        float64 // thickness of the base, m; 0: none
	Concrete    Material
	BaseIs      Material
	Soil        Material
	Content     float64 // cementitious, kg/m³
	Curve       Curve
	Placed      float64 // concrete as placed, °C
	Ground      float64 // under the slab at placing, °C
	Deep        float64 // 1.5 m lower and below, °C
	Absorptance float64
	Emissivity  float64
	Shade       float64 // share of the sun kept off, 0–1
	WetUntil    float64 // h: bleed water or cover until curing seals it
	Covers      []Cover
	Sky         func(hour float64) (weather.Conditions, error) // wind at the slab
	Pace        heat.Pace                                      // zero: even steps of 5 min
	Depths      []float64                                      // asked for in the states, m
	Tables      *Tables                                        // of the curve; nil: worked out for this slab
}

// State is the slab at one hour. Ages in h; the hydration clock runs at 21.1 °C, the strength clock at 20 °C with 40 kJ/mol.
type State struct {
	Hour              float64
	Top, Mid, Bottom  float64 // °C; top is the concrete's face, under any cover
	Degree            float64 // of hydration, middle
	HydrationAge      float64 // middle
	TopStrengthAge    float64
	StrengthAge       float64 // middle
	BottomStrengthAge float64
	Evaporation       float64   // kg/m²/h
	Profile           []float64 // at the depths asked for
}

// Depth to which the ground is followed and over which it turns from Ground to Deep, m; the mesh: tenths of the slab to 10 mm,
// base cells of 20 mm, soil growing 8 % to 0.1 m.
const (
	followed     = 3.0
	turning      = 1.5
	slabCells    = 10
	largestSlab  = 0.010
	largestBase  = 0.020
	soilGrowth   = 1.08
	largestSoil  = 0.1
	defaultStep  = 300.0
	longestStudy = 60 * 24.0
	unclosed     = 1e-6 // share of the heat that may be lost to rounding before a run is thrown away
)

// Fitting is the pace of steps that fit themselves to the weather, in two stages each: of hours where nothing turns, of minutes where
// a cover comes off. Within 0.05 K of the fine solutions of both reference cases, in a twelfth of the work of even steps of 5 min.
var Fitting = heat.Pace{Most: 3600, Least: 225, Tolerance: 1, Twice: true}

func (s Slab) layers() []heat.Layer {
	concrete := heat.Layer{Thickness: s.Thickness, Conductivity: s.Concrete.Conductivity, Capacity: s.Concrete.Capacity, Cell: math.Min(s.Thickness/slabCells, largestSlab)}
	if even := math.Ceil(s.Thickness/concrete.Cell/2-1e-9) * 2; even > 0 {
		concrete.Cell = s.Thickness / even * (1 + 1e-12) // an even number, so that the middle is a face
	}
	list := []heat.Layer{concrete}
	if s.Base > 0 {
		list = append(list, heat.Layer{Thickness: s.Base, Conductivity: s.BaseIs.Conductivity, Capacity: s.BaseIs.Capacity, Cell: largestBase, Latent: iceHeat * s.BaseIs.Water})
	}
	return append(list, heat.Layer{Thickness: math.Max(followed-s.Thickness-s.Base, turning), Conductivity: s.Soil.Conductivity, Capacity: s.Soil.Capacity,
		Cell: largestBase, Growth: soilGrowth, Largest: largestSoil, Latent: iceHeat * s.Soil.Water})
}

// initial is the temperature at a depth when the concrete is placed.
func (s Slab) initial(depth float64) float64 {
	if depth < s.Thickness {
		return s.Placed
	}
	return s.Ground + (s.Deep-s.Ground)*math.Min(1, (depth-s.Thickness)/turning)
}

// skin is how the slab meets the weather between two hours: the last cover on it counts.
func (s Slab) skin(hour float64) heat.Skin {
	k := heat.Skin{Absorptance: s.Absorptance * (1 - s.Shade), Emissivity: s.Emissivity, Wet: hour < s.WetUntil}
	for _, c := range s.Covers {
		if hour >= c.On && hour < c.Off {
			k.Cover = c.Resistance
		}
	}
	return k
}

// stillAir is the wind inside a tent, m/s.
const stillAir = 0.3

// over is the air over the slab at an hour: the sky's, or that of a tent, whose walls are as warm as its air and which holds the
// moisture of the air outside.
func (s Slab) over(at, hour float64) (weather.Conditions, error) {
	air, err := s.Sky(at)
	for _, c := range s.Covers {
		if c.Tent && hour >= c.On && hour < c.Off && c.Inside > air.Air {
			air.Dew = math.Min(air.Dew, c.Inside)
			air = weather.Conditions{Air: c.Inside, Dew: air.Dew, Humidity: weather.Humidity(c.Inside, air.Dew), Wind: stillAir, Cloud: 1}
		}
	}
	return air, err
}

// switches are the hours at which the skin changes, s.
func (s Slab) switches() []float64 {
	out := []float64{3600 * s.WetUntil}
	for _, c := range s.Covers {
		out = append(out, 3600*c.On, 3600*c.Off)
	}
	return out
}

// source gives the heat of hydration by its total, so that none is made or lost whatever the step.
//
//	heat = Hu Cc α(te + γΔt)
func (s *Slab) source(age, temp, dt float64) (float64, float64) {
	after := age + s.Tables.HeatPace(temp)*dt/3600
	return after, s.Curve.Heat * 1e3 * s.Content * s.Tables.Degree(after)
}

func (s Slab) validate(hours float64) error {
	switch {
	case !(s.Thickness > 0.03 && s.Thickness <= 2) || !(s.Base >= 0 && s.Base < 1):
		return fmt.Errorf("hydration: a slab of %.3g m on a base of %.3g m", s.Thickness, s.Base)
	case !(s.Ground > -1 && s.Deep > -5 && s.Placed > -1):
		return errors.New("hydration: the ground or the concrete is frozen; nothing is placed on frozen ground")
	case !(s.Content >= 200 && s.Content <= 550):
		return fmt.Errorf("hydration: cementitious content %.0f kg/m³ is outside 200–550", s.Content)
	case !(hours > 0 && hours <= longestStudy):
		return fmt.Errorf("hydration: %.0f h is not between 0 and %.0f h", hours, longestStudy)
	case s.Sky == nil:
		return errors.New("hydration: no weather")
	}
	return nil
}

// Warmth follows the slab for a number of hours and tells its state at every full hour. The model is one-dimensional: edges
// lose about double. Water in the base and the soil freezes and thaws with its heat; rain is not in it. Steps of 5 min on tenths of the slab are within 0.10 K of
// a fine solution. Checked: CUR-34, CUR-35.
func (s Slab) Warmth(hours float64) ([]State, error) {
	if err := s.validate(hours); err != nil {
		return nil, err
	}
	body, err := heat.NewBody(s.layers(), s.initial, s.Deep)
	if err != nil {
		return nil, err
	}
	if s.Tables == nil {
		s.Tables = NewTables(s.Curve)
	}
	pace := s.Pace
	if pace == (heat.Pace{}) {
		pace = heat.Even(defaultStep)
	}
	begins := s.Tables.StrengthPace(s.Placed)
	w := watcher{slab: s, body: body, paces: [3]float64{begins, begins, begins}}
	switches := s.switches()
	for h := 1.0; h <= hours; h++ {
		switches = append(switches, 3600*h)
	}
	err = body.March(0, 3600*hours, pace, switches, w.surface, s.source, w.see)
	if err == nil {
		err = w.failed
	}
	if off := body.Unclosed(); err == nil && off > unclosed {
		err = fmt.Errorf("hydration: %.1e of the heat is unaccounted for", off)
	}
	return w.states, err
}

// watcher keeps the clocks that run beside the heat, and the states at full hours.
type watcher struct {
	slab   Slab
	body   *heat.Body
	now    float64 // s
	paces  [3]float64
	ages   [3]float64
	over   heat.Surface
	states []State
	failed error
}

func (w *watcher) surface(from, to float64) heat.Surface {
	air, err := w.slab.over(to/3600, (from+to)/7200)
	if err != nil && w.failed == nil {
		w.failed = err
	}
	w.over = heat.Outdoors(air, w.slab.skin((from+to)/7200))
	return w.over
}

// see advances the strength clocks by the mean of the rates at both ends of the step.
func (w *watcher) see(t float64) {
	h, b := w.slab.Thickness, w.body
	temps := [3]float64{b.Face(), b.Middle(), b.Under()}
	for i, temp := range temps {
		pace := w.slab.Tables.StrengthPace(temp)
		w.ages[i] += (pace + w.paces[i]) / 2 * (t - w.now) / 3600
		w.paces[i] = pace
	}
	w.now = t
	if hour := t / 3600; math.Abs(hour-math.Round(hour)) < 1e-9 {
		age := b.AgeAt(h / 2)
		w.states = append(w.states, State{Hour: math.Round(hour), Top: temps[0], Mid: temps[1], Bottom: temps[2], Degree: w.slab.Curve.Degree(age),
			HydrationAge: age, TopStrengthAge: w.ages[0], StrengthAge: w.ages[1], BottomStrengthAge: w.ages[2], Evaporation: 3600 * w.over.Lost(b.Outer())})
		for _, depth := range w.slab.Depths {
			last := &w.states[len(w.states)-1]
			last.Profile = append(last.Profile, b.At(depth))
		}
	}
}
