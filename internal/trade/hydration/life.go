package hydration

import (
	"math"

	"slabwright/internal/engines/heat"
	"slabwright/internal/engines/weather"
)

// Life is a slab followed step by step, as the one who asks wants it: for set, drying and finishing.
type Life struct {
	slab Slab
	body *heat.Body
	skin heat.Skin
	at   float64 // s since placing

	Surface, Mean       float64 // °C
	SurfaceAge, MeanAge float64 // of the hydration clock, h
	Lost                float64 // water in the last step, kg/m²
}

// Begin places the slab. Its sky and covers are not used: each step brings its own air.
func (s Slab) Begin() (*Life, error) {
	if s.Tables == nil {
		s.Tables = NewTables(s.Curve)
	}
	body, err := heat.NewBody(s.layers(), s.initial, s.Deep)
	if err != nil {
		return nil, err
	}
	return &Life{slab: s, body: body, skin: heat.Skin{Absorptance: s.Absorptance, Emissivity: s.Emissivity}, Surface: s.Placed, Mean: s.Placed}, nil
}

// Touch is what a measure changes over the slab: shares of sun, wind and evaporation that are left; zero resistance: bare.
type Touch struct{ Sun, Wind, Drying, Cover float64 }

// Step moves the slab on by dt seconds in air of the middle of the step, its surface wet or not. The clock of the surface is
// that of its temperature, the clock of the mean that of the mean temperature.
func (l *Life) Step(dt float64, air weather.Conditions, wet bool, by Touch) {
	air.Wind *= by.Wind
	air.Solar *= by.Sun
	l.skin.Wet, l.skin.Cover = wet, by.Cover
	s := heat.Outdoors(air, l.skin)
	s.Drying.Factor *= by.Drying
	before, mean := l.slab.Tables.HeatPace(l.Surface), l.slab.Tables.HeatPace(l.Mean)
	l.body.Step(dt, s, l.slab.source)
	l.Surface, l.Mean = l.body.Face(), l.body.MeanOfFirst()
	l.SurfaceAge += (before + l.slab.Tables.HeatPace(l.Surface)) / 2 * dt / 3600
	l.MeanAge += (mean + l.slab.Tables.HeatPace(l.Mean)) / 2 * dt / 3600
	l.Lost = s.Lost(l.body.Outer()) * dt
	l.at += dt
}

// Oldest is the greater of the two clocks, h.
func (l *Life) Oldest() float64 { return math.Max(l.SurfaceAge, l.MeanAge) }

// Unclosed is the share of heat that is unaccounted for.
func (l *Life) Unclosed() float64 { return l.body.Unclosed() }
