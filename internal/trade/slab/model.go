package slab

import (
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/winkler"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// found is what the ground was found to carry, and by which road.
type found struct {
	bare    float64 // Pa/m, of the ground itself
	k       float64 // Pa/m, under the slab
	road    string  // plate test, CBR, cone, R-value, soil
	from    []string
	formula string
	source  sources.Key
	cbr     float64
	clamped bool   // the base table was left
	base    string // what the base adds, in words
	soil    soilClass
}

// findGround takes the best evidence there is: a plate test, then a CBR, a cone, an R-value, and last the soil's name.
func findGround(in Input) found {
	f := bareGround(in)
	f.soil, _ = findSoil(in.Soil.Value)
	f.k = f.bare
	switch {
	case in.Base.Value == baseNone || in.BaseThickness.Value <= 0:
		f.base = "no base"
	case !in.BaseCompacted.Value:
		f.base = "the base is not compacted: no credit"
	case f.bare < granularBase.ground[0]*pci:
		f.base = "the ground is weaker than the base tables know: no credit"
	default:
		table := granularBase
		if in.Base.Value == baseCement {
			table = cementBase
		}
		var k float64
		k, f.clamped = table.CompositeK(f.bare, in.BaseThickness.Value.Metres())
		f.k = math.Max(k, f.bare)
		f.base = in.Base.Value
	}
	return f
}

func bareGround(in Input) found {
	switch {
	case in.SubgradeModulus.Given():
		return found{bare: float64(in.SubgradeModulus.Value), road: "plate test", from: []string{"subgrade_test"}, formula: "as given", source: sources.Arithmetic}
	case in.CBR.Given():
		_, _, k := SubgradeFromCBR(float64(in.CBR.Value))
		return found{bare: k, road: "CBR", cbr: float64(in.CBR.Value), from: []string{"cbr"}, formula: "(1500 CBR/26)^0.7788 or 53.438 CBR^0.5719 pci, the lower, at most 300", source: sources.FAACBR}
	case in.Cone.Given():
		cbr, _ := CBRFromCone(in.Cone.Value.Millimetres(), in.ConeSoil.Value, float64(in.ConeHammer.Value))
		_, _, k := SubgradeFromCBR(cbr)
		return found{bare: k, road: "cone", cbr: cbr, from: []string{"cbr_from_cone"}, formula: "(1500 CBR/26)^0.7788 or 53.438 CBR^0.5719 pci, the lower, at most 300", source: sources.FAACBR}
	case in.RValue.Given():
		return found{bare: soilOfRValue(float64(in.RValue.Value)).low * pci, road: "R-value", from: []string{"r_value"}, formula: "low end of the class of that R-value", source: sources.ACI330Support}
	}
	soil, _ := findSoil(in.Soil.Value)
	return found{bare: soil.low * pci, road: "soil", from: []string{"soil"}, formula: "low end of the soil's class", source: soil.source}
}

// model is the job with every value known: what all thicknesses share. SI numbers.
type model struct {
	k, bare                      float64
	strength, elasticity         float64
	rupture, postRupture         float64 // Pa
	alpha                        float64
	safety                       safety
	wheels, posts                []Contact
	axles                        int
	axle                         trafficClass
	loads                        loads
	edgeClearance, jackClearance float64
	panelLong, panelShort        float64
	day, dawn                    float64 // K, both positive: how much warmer by day, how much colder at dawn the top is, with what is built in
	joint                        string
	opening                      float64
	bars                         dowelBar
	tolerance                    float64
	passes                       float64 // in the whole life
	edgeShare, hotShare          float64
	stored                       float64
	wheelsOnly                   bool // leave the pads and the curling out
	green                        bool // leave out what a young slab is spared: wheels on its edges and corners
	noEdge                       bool // leave the free edge and corner out
}

type safety struct{ wheels, posts, rare float64 }

func newModel(in Input, g found) model {
	m := model{
		k: g.k, bare: g.bare,
		strength: float64(in.Strength.Value), alpha: float64(in.Expansion.Value) * 1e-6,
		safety:        safety{float64(in.SafetyWheels.Value), float64(in.SafetyPosts.Value), float64(in.SafetyRare.Value)},
		loads:         findLoads(in),
		edgeClearance: in.EdgeClearance.Value.Metres(), jackClearance: in.JackClearance.Value.Metres(),
		panelLong:  math.Max(in.PanelLength.Value.Metres(), in.PanelWidth.Value.Metres()),
		panelShort: math.Min(in.PanelLength.Value.Metres(), in.PanelWidth.Value.Metres()),
		day:        math.Max(float64(in.DayWarm.Value)-float64(in.BuiltInByDay.Value)*float64(in.BuiltIn.Value), 0), dawn: float64(in.DawnCold.Value) + float64(in.BuiltIn.Value),
		joint: in.Joint.Value, opening: in.JointOpening.Value.Metres(),
		bars:      dowelBar{in.DowelDiameter.Value.Metres(), in.DowelSpacing.Value.Metres(), steelE, dowelSupport},
		tolerance: in.Tolerance.Value.Metres(),
		passes:    float64(in.Passes.Value) * in.Life.Value.Seconds(),
		edgeShare: float64(in.EdgeShare.Value), hotShare: float64(in.HotShare.Value),
	}
	if in.StoredLoad.Given() {
		m.stored = float64(in.StoredLoad.Value)
	}
	if in.JacksStay.Value {
		m.safety.posts = math.Max(m.safety.posts, stayingSafety)
	}
	m.wheels, m.posts, m.axles, m.axle = m.loads.wheels, m.loads.posts, m.loads.axles, m.loads.class
	m.setConcrete(m.strength, float64(in.Rupture.Value), float64(in.PostRupture.Value))
	if in.Elasticity.Given() {
		m.elasticity = float64(in.Elasticity.Value)
	}
	return m
}

// stayingSafety is the safety factor under a jack that stays for months: a stress ratio of 0.50 at most [practice].
const stayingSafety = 2.0

func (m *model) setConcrete(strength, factor, postFactor float64) {
	m.strength, m.elasticity = strength, elasticityOf(strength)
	m.rupture, m.postRupture = ruptureOf(strength, factor), ruptureOf(strength, postFactor)
}

// plate is the slab as it is checked: the nominal thickness with the tolerance taken off, but never under a quarter of it.
func (m model) plate(nominal float64) winkler.Plate {
	return winkler.Plate{E: m.elasticity, H: math.Max(nominal-m.tolerance, nominal/4), Nu: poisson, K: m.k}
}

// truckAtAge is the model of a loaded concrete truck on the slab at an age: its strength, that truck, no curling, and the
// safety of a rare load.
func (m model) truckAtAge(in Input, age quantity.Time) model {
	truck, _ := findVehicle("concrete truck")
	young := m
	var l loads
	l.addVehicle(truck, Input{JackPad: in.JackPad, Weight: known.Force{}})
	young.wheels, young.posts, young.wheelsOnly = l.wheels, nil, true
	share := math.Min(ageFactor(age), 1)
	young.setConcrete(m.strength*share, float64(in.Rupture.Value), float64(in.PostRupture.Value))
	young.safety.wheels = m.safety.rare
	return young
}
