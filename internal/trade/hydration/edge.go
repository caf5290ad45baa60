package hydration

import (
	"fmt"
	"math"

	"slabwright/internal/engines/heat"
)

// Rim says what the slab's edge meets while it is young.
type Rim struct {
	Proud float64 // how far the slab's top stands above the ground outside, m
	Form  float64 // resistance of the form board at its side, m²K/W; 0: stripped
	Over  bool    // covers hang over the edge and lie on the ground beside it
}

// FormBoard is the resistance of a form of 38 mm softwood, m²K/W. Source: k 0.12 W/mK, recalled.
const FormBoard = 0.32

// EdgeState is the slab near its edge at one hour. °C.
type EdgeState struct {
	Hour        float64
	Edge        float64 // upper face at the edge
	Coldest     float64 // in the section
	Far         float64 // upper face far inside
	Corner      float64 // where two such edges meet, by the product of their losses
	StrengthAge float64 // of the upper face at the edge, h
}

// The section: how far it reaches either side, its columns at the edge, and its steps.
const (
	sectionReach = 1.0
	sectionCell  = 0.015
	sectionStep  = 900.0
)

// Edge follows a section through the slab's edge and tells it at every full hour. The corner is not followed: both its edges lose
// against the air as if each were alone, which is exact for bodies without heat of their own under a steady surface.
//
//	(T_corner − Ta)/(T_far − Ta) = [(T_edge − Ta)/(T_far − Ta)]²
//
// Against the closed form of a bare corner the section is within 0.1 K (engines/heat); the slab far inside is within 0.3 K of the
// slab in one dimension.
func (s Slab) Edge(hours float64, rim Rim) ([]EdgeState, error) {
	if err := s.validate(hours); err != nil {
		return nil, err
	}
	if s.Tables == nil {
		s.Tables = NewTables(s.Curve)
	}
	outside := func(depth float64) float64 {
		return s.Ground + (s.Deep-s.Ground)*math.Min(1, math.Max(0, depth-rim.Proud)/turning)
	}
	section, err := heat.NewSection(s.layers(), heat.Edge{Sunk: rim.Proud, Outside: heat.Layer{Conductivity: s.Soil.Conductivity, Capacity: s.Soil.Capacity},
		Reach: sectionReach, Cell: sectionCell}, s.initial, outside, s.Deep)
	if err != nil {
		return nil, err
	}
	w := edgeWatcher{slab: s, rim: rim, section: section, pace: s.Tables.StrengthPace(s.Placed)}
	switches := s.switches()
	err = section.March(0, 3600*hours, sectionStep, switches, w.around, s.source, w.see)
	if err == nil {
		err = w.failed
	}
	if off := section.Unclosed(); err == nil && off > mostLost {
		err = fmt.Errorf("hydration: %.1e of the heat at the edge is unaccounted for", off)
	}
	return w.states, err
}

// mostLost is the share of the heat of a section that may be unaccounted for; what the solver itself loses is under a hundredth of it.
const mostLost = 1e-4

type edgeWatcher struct {
	slab      Slab
	rim       Rim
	section   *heat.Section
	air       float64
	now, pace float64
	age       float64
	states    []EdgeState
	failed    error
}

func (w *edgeWatcher) around(from, to float64) heat.Around {
	air, err := w.slab.over(to/3600, (from+to)/7200)
	if err != nil && w.failed == nil {
		w.failed = err
	}
	w.air = air.Air
	skin := w.slab.skin((from + to) / 7200)
	side, ground := skin, heat.Skin{Absorptance: w.slab.Absorptance, Emissivity: w.slab.Emissivity}
	side.Wet, side.Absorptance, side.Cover = false, skin.Absorptance/2, w.rim.Form
	if w.rim.Over && skin.Cover > 0 {
		side.Cover += skin.Cover
		ground.Cover = skin.Cover
	}
	return heat.Around{Top: heat.Outdoors(air, skin), Side: heat.Outdoors(air, side), Ground: heat.Outdoors(air, ground)}
}

func (w *edgeWatcher) see(t float64) {
	edge := w.section.EdgeTop()
	pace := w.slab.Tables.StrengthPace(edge)
	w.age += (pace + w.pace) / 2 * (t - w.now) / 3600
	w.pace, w.now = pace, t
	if hour := t / 3600; math.Abs(hour-math.Round(hour)) < 1e-9 {
		far := w.section.FarTop()
		s := EdgeState{Hour: math.Round(hour), Edge: edge, Coldest: w.section.Coldest(), Far: far, StrengthAge: w.age}
		s.Corner = s.Coldest
		if over := far - w.air; over > 0 && edge > w.air {
			s.Corner = math.Min(s.Coldest, w.air+(edge-w.air)*(edge-w.air)/over)
		}
		w.states = append(w.states, s)
	}
}
